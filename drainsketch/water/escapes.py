"""What comes out of the grates where the pipe is full: how much, and where it runs on the ground."""

from collections.abc import Callable, Collection
from functools import partial

import shapely
from msgspec.structs import replace

from drainsketch.ground.drops import follow_drop
from drainsketch.ground.remember import remembered
from drainsketch.ground.results import GroundStudy
from drainsketch.job.ask import structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.network.graph import downhill
from drainsketch.network.results import FlowRun, Grade, Network, StructureLevels
from drainsketch.water.heads import BOXES, grade_lines
from drainsketch.water.results import Ends, Escape, Head, PipeFlow

OVER_FT = 0.01  # so little over a rim comes out of no grate
NEAR_ENOUGH = 0.0005  # the flow that comes out is found to 1 part in 2,000 of what is there
SWEEPS = 4
AT_RIM_FT = 0.002
PLAINER_FT = 0.25  # half a cell of the ground study
MOST = 12  # boxes looked at, the lowest first


def escapes_of(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    flows: dict[str, PipeFlow],
    heads: dict[str, Head],
    ground: GroundStudy | None,
) -> tuple[dict[str, Escape], tuple[str, ...], dict[str, Head]]:
    """Return what comes out at basins and downspout inlets whose grade line would stand over their rims, by structure; where water comes
    out at all: there, and wherever it still stands over a rim; and the heads that are left once all that is out.

    As much comes out as has to, for the line to stand at the rim. What comes out below holds less up above, and what comes
    out above does not come down, unless it runs to another inlet over the ground and goes in there: so the boxes are gone
    through from the lowest up, and again until they agree. Peaks of branches are taken to meet, on the safe side.

    Check: tests/water/test_escapes.py
    """
    boxes = {s.id for s in job.structures if s.kind in BOXES}
    way = downhill(network)
    below = {name: _runs_below(name, way) for name in boxes}
    out: dict[str, float] = {}
    by_id = structures_by_id(job)

    def onward(name: str) -> tuple[Ends, str, tuple[Point, ...]]:
        return ("unknown", "", ()) if ground is None else _onward(ground, name, by_id[name].point)

    def relieved(given: dict[str, float], among: Collection[str]) -> dict[str, Head]:
        less = dict.fromkeys(among, 0.0)
        for name, cfs in given.items():
            if cfs > 0:
                for run in below[name]:
                    less[run] = less.get(run, 0.0) + cfs
                for run in below.get(onward(name)[1], []):
                    less[run] = less.get(run, 0.0) - cfs
        lighter = {
            n: replace(f, flow_cfs=max(0.0, f.flow_cfs - less.get(n, 0.0))) for n, f in flows.items() if n in less
        }
        return grade_lines(job, network, grades, levels, flows | lighter, among)[1]

    order = list(dict.fromkeys(f.upstream for f in reversed(network.runs) if f.upstream in boxes))
    order = [n for n in order if n in heads and heads[n].freeboard_ft < -OVER_FT and below[n] and below[n][0] in flows]

    def freeboard_ft(name: str, cfs: float) -> float:
        return relieved(out | {name: cfs}, below[name])[name].freeboard_ft

    for _ in range(SWEEPS):
        before = dict(out)
        for name in order[:MOST]:
            out[name] = _coming_out(partial(freeboard_ft, name), flows[below[name][0]].flow_cfs, out.get(name, 0.0))
        if out == before:
            break
    out = {name: cfs for name, cfs in out.items() if cfs > 0}
    passing = {name: sum(cfs for other, cfs in out.items() if onward(other)[1] == name) for name in out}
    found = {name: Escape(name, max(0.0, cfs - passing[name]), *onward(name), cfs) for name, cfs in out.items()}
    last = relieved(out, list(flows)) if out else heads
    still = [n for n, h in last.items() if h.freeboard_ft < -OVER_FT and by_id[n].kind != "fitting"]
    return found, tuple(n for n in heads if n in found or n in still), last if out else {}


def _coming_out(freeboard_ft: Callable[[float], float], most_cfs: float, so_far_cfs: float) -> float:
    """Return the least flow that has to come out for the line to stand no higher than the rim; all of it where that is not enough.

    Parameters
    ----------
    so_far_cfs : the answer before something changed elsewhere, kept where it still holds
    """
    from scipy.optimize import brentq

    if so_far_cfs > 0 and 0 <= freeboard_ft(so_far_cfs) <= AT_RIM_FT:
        return so_far_cfs
    if freeboard_ft(0.0) >= -OVER_FT:
        return 0.0
    if freeboard_ft(most_cfs) < 0:
        return most_cfs
    found = float(brentq(freeboard_ft, 0.0, most_cfs, xtol=NEAR_ENOUGH * most_cfs))
    return min(most_cfs, found + NEAR_ENOUGH * most_cfs)  # rather the side on which the line stays below the rim


def _runs_below(name: str, way: dict[str, FlowRun]) -> list[str]:
    runs = []
    while name in way:
        runs.append(way[name].id)
        name = way[name].downstream
    return runs


@remembered
def _onward(ground: GroundStudy, name: str, point: Point) -> tuple[Ends, str, tuple[Point, ...]]:
    """Return where water that comes out at a place runs over the ground, the inlet it gets to, and its way."""
    others = replace(ground, inlets=tuple(i for i in ground.inlets if i.id != name))
    drop = follow_drop(others, point)
    if drop is None:
        return "unknown", "", ()
    way = _plainer(drop.points)
    if drop.ends == "inlet":
        return "inlet", drop.at, way
    return ("edge" if drop.ends == "edge" else "stands"), "", way


def _plainer(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return a way without the points that turn it by next to nothing; () where it leads nowhere."""
    if len(points) < 2:
        return ()
    return tuple((float(x), float(y)) for x, y in shapely.LineString(points).simplify(PLAINER_FT).coords)
