"""What comes out of the grates where the pipe is full: how much, and where it runs on the ground."""

from collections.abc import Callable
from functools import partial

from msgspec.structs import replace

from drainsketch.ground.drops import follow_drop
from drainsketch.ground.results import GroundStudy
from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Job
from drainsketch.network.graph import downhill
from drainsketch.network.results import FlowRun, Grade, Network, StructureLevels
from drainsketch.water.heads import BOXES, grade_lines
from drainsketch.water.results import Ends, Escape, Head, PipeFlow

OVER_FT = 0.01  # so little over a rim comes out of no grate
HALVINGS = 11  # the flow that comes out is found to 1 part in 2,000 of what is there
SWEEPS, SETTLED = 4, 0.005
MOST = 12  # boxes looked at, the lowest first


def escapes_of(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    flows: dict[str, PipeFlow],
    heads: dict[str, Head],
    ground: GroundStudy | None,
) -> tuple[dict[str, Escape], tuple[str, ...]]:
    """Return what comes out at basins and downspout inlets whose grade line would stand over their rims, by structure, and where water comes
    out at all: there, and wherever it still stands over a rim.

    As much comes out as has to, for the line to stand at the rim. What comes out below holds less up above, and what comes
    out above does not come down: so the boxes are gone through from the lowest up, and again until they agree. Peaks of
    branches are taken to meet, on the safe side.

    Check: tests/water/test_escapes.py
    """
    boxes = {s.id for s in job.structures if s.kind in BOXES}
    way = downhill(network)
    below = {name: _runs_below(name, way) for name in boxes}
    out: dict[str, float] = {}

    def relieved(given: dict[str, float]) -> dict[str, Head]:
        less = dict.fromkeys(flows, 0.0)
        for name, cfs in given.items():
            for run in below[name]:
                less[run] = less.get(run, 0.0) + cfs
        lighter = {n: replace(f, flow_cfs=max(0.0, f.flow_cfs - less[n])) for n, f in flows.items()}
        return grade_lines(job, network, grades, levels, lighter)[1]

    order = list(dict.fromkeys(f.upstream for f in reversed(network.runs) if f.upstream in boxes))
    order = [n for n in order if n in heads and heads[n].freeboard_ft < -OVER_FT and below[n] and below[n][0] in flows]

    def head_at(name: str, cfs: float) -> Head:
        return relieved(out | {name: cfs})[name]

    for _ in range(SWEEPS):
        before = dict(out)
        for name in order[:MOST]:
            out[name] = _coming_out(partial(head_at, name), flows[below[name][0]].flow_cfs)
        if all(abs(out[n] - before.get(n, 0.0)) <= SETTLED * flows[below[n][0]].flow_cfs for n in out):
            break
    out = {name: cfs for name, cfs in out.items() if cfs > 0}
    by_id = structures_by_id(job)
    found = {name: Escape(name, cfs, *_onward(ground, name, by_id[name].point)) for name, cfs in out.items()}
    last = relieved(out) if out else heads
    still = [n for n, h in last.items() if h.freeboard_ft < -OVER_FT and by_id[n].kind != "fitting"]
    return found, tuple(n for n in heads if n in found or n in still)


def _coming_out(head_at: Callable[[float], Head], most_cfs: float) -> float:
    """Return the least flow that has to come out for the line to stand no higher than the rim; all of it where that is not enough."""
    if head_at(0.0).freeboard_ft >= -OVER_FT:
        return 0.0
    low, high = 0.0, most_cfs
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if head_at(middle).freeboard_ft >= 0:
            high = middle
        else:
            low = middle
    return high


def _runs_below(name: str, way: dict[str, FlowRun]) -> list[str]:
    runs = []
    while name in way:
        runs.append(way[name].id)
        name = way[name].downstream
    return runs


def _onward(ground: GroundStudy | None, name: str, point: tuple[float, float]) -> tuple[Ends, str]:
    """Return where water that comes out at a place runs over the ground, and the inlet it gets to."""
    if ground is None:
        return "unknown", ""
    others = replace(ground, inlets=tuple(i for i in ground.inlets if i.id != name))
    path = follow_drop(others, point)
    if path is None:
        return "unknown", ""
    if path.ends == "inlet":
        return "inlet", path.at
    return ("edge", "") if path.ends == "edge" else ("stands", "")
