"""What each run has to carry: the rational method down the network, with the longest time at every junction."""

from bisect import bisect_right
from math import inf
from typing import Literal, get_args

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.kinds import PipeDiameter
from drainsketch.job.model import Job, Run
from drainsketch.job.pipes import pipe_size
from drainsketch.network.graph import downhill
from drainsketch.network.results import Grade, Network
from drainsketch.water.circular import full_flow_cfs, normal_depth_ft, velocity_ft_s
from drainsketch.water.rain import Amount, intensity_in_h
from drainsketch.water.results import NEAR, Arrival, PipeFlow
from drainsketch.water.roughness import roughness
from drainsketch.water.runoff import peak_cfs

SIZES: tuple[PipeDiameter, ...] = get_args(PipeDiameter)


class Drop(Struct, frozen=True):
    """Water of one inlet at a place in the pipe: its C times A, ft2, and the minutes since it fell on the farthest ground."""

    inlet: str
    area_ft2: float
    ca_ft2: float
    minutes: float


class Peak(Struct, frozen=True):
    """The greatest flow of several inlets together, cfs, the time it was taken for, and the inlets that make it, if not all."""

    flow_cfs: float
    minutes: float
    rain: Amount | None
    part: tuple[str, ...]


def pipe_flows(
    job: Job, network: Network, grades: dict[str, Grade], arrivals: dict[str, Arrival]
) -> dict[str, PipeFlow]:
    """Return what each run has to carry, and what it can, by run id; runs that nothing arrives at are left out.

    Rain is taken for the longest time at which water of an inlet gets to the head of the run, over ground and in pipe; where
    inlets nearer by, with shorter times and harder rain, give more without the far ones, that counts. Where pipe leaves a
    structure two ways, water takes the shorter one to an outfall, as ``network.graph.downhill`` has it.

    Source: rational method, HEC-22 section 7 (from memory). Check: tests/outside/test_storm_network.py
    """
    by_id = {r.id: r for r in job.runs}
    at: dict[str, list[Drop]] = {
        name: [Drop(name, a.area_ft2, a.storm_c * a.area_ft2, a.minutes)] for name, a in arrivals.items()
    }
    comes_in: dict[str, PipeDiameter] = {}
    way = downhill(network)
    out: dict[str, PipeFlow] = {}
    for flow in network.runs:
        drops = at.get(flow.upstream, [])
        if not drops or way.get(flow.upstream) is not flow:
            continue
        found = _flow(job, by_id[flow.id], grades.get(flow.id), drops, comes_in.get(flow.upstream, SIZES[0]))
        out[flow.id] = found
        least = found.needs_in or by_id[flow.id].diameter_in
        comes_in[flow.downstream] = max(least, comes_in.get(flow.downstream, SIZES[0]))
        later = _minutes_in(found, flow.length_ft)
        moved = [Drop(d.inlet, d.area_ft2, d.ca_ft2, d.minutes + later) for d in drops]
        at.setdefault(flow.downstream, []).extend(moved)
    return out


def peak_of(job: Job, drops: list[Drop]) -> Peak:
    """Return the greatest flow of water that comes together: of all of it, or of the part that is there by a shorter time.

    Check: tests/outside/test_storm_network.py, tests/water/test_flows.py
    """
    best = Peak(0.0, 0.0, None, ())
    together = 0.0
    in_time = sorted(drops, key=lambda d: d.minutes)
    for i, drop in enumerate(in_time):
        together += drop.ca_ft2
        if i + 1 < len(in_time) and in_time[i + 1].minutes == drop.minutes:
            continue
        rain = intensity_in_h(job.rain, drop.minutes)
        flow = peak_cfs(1.0, rain.value, together)
        if flow >= best.flow_cfs:
            rest = i + 1 < len(in_time)
            best = Peak(flow, drop.minutes, rain, tuple(d.inlet for d in in_time[: i + 1]) if rest else ())
    return best


def roughness_of(job: Job, run: Run) -> tuple[float, str]:
    """Return Manning's n of a run and where it comes from: the job's own, or the catalogue's."""
    for rule in job.water.roughness:
        if rule.pipe == run.pipe and rule.use == run.use:
            return rule.n, "typed for this job"
    found = roughness(run.pipe, run.diameter_in, run.use)
    return found.n, found.source


def _flow(job: Job, run: Run, grade: Grade | None, drops: list[Drop], comes_in: PipeDiameter) -> PipeFlow:
    peak = peak_of(job, drops)
    assert peak.rain is not None  # there is a drop
    n, source = roughness_of(job, run)
    inside_ft = pipe_size(run.pipe, run.diameter_in).inside_in / 12
    slope = full = depth = velocity = most = None
    needs: PipeDiameter | Literal[0] | None = None
    if grade is not None:
        slope = max(grade.least_slope, 0.0)
        full = full_flow_cfs(inside_ft, slope, n)
        depth = normal_depth_ft(peak.flow_cfs, inside_ft, slope, n)
        velocity = velocity_ft_s(peak.flow_cfs, inside_ft, inf if depth is None else depth)
        needs = _needed(job, run, peak.flow_cfs, slope, comes_in)
        most = _full_cfs(job, run, SIZES[-1], slope) if needs == 0 else None
    return PipeFlow(
        run_id=run.id,
        area_ft2=sum(d.area_ft2 for d in drops),
        ca_ft2=sum(d.ca_ft2 for d in drops),
        minutes=peak.minutes,
        rain=peak.rain,
        flow_cfs=peak.flow_cfs,
        part=peak.part,
        diameter_ft=inside_ft,
        n=n,
        n_source=source,
        slope=slope,
        full_cfs=full,
        depth_ft=depth,
        velocity_ft_s=velocity,
        needs_in=needs,
        most_cfs=most,
    )


def _minutes_in(pipe: PipeFlow, length_ft: float) -> float:
    """Return how long water is in a run, min; 0 where it has no grade.

    Pipe under pressure passes water no slower than it did just short of full, so that more water never comes later.
    """
    speed = pipe.velocity_ft_s or 0.0
    if pipe.depth_ft is None and pipe.full_cfs and pipe.slope is not None:
        depth = normal_depth_ft(pipe.full_cfs, pipe.diameter_ft, pipe.slope, pipe.n)
        speed = max(speed, velocity_ft_s(pipe.full_cfs, pipe.diameter_ft, inf if depth is None else depth))
    return length_ft / speed / 60 if speed > 0 else 0.0


def _needed(
    job: Job, run: Run, flow_cfs: float, slope: float, comes_in: PipeDiameter
) -> PipeDiameter | Literal[0] | None:
    """Return the smallest stocked size that carries a flow at a slope, no smaller than what comes in; None where that laid will do."""
    for size in SIZES[bisect_right(SIZES, comes_in) - 1 :]:
        if _full_cfs(job, run, size, slope) >= flow_cfs / NEAR:
            return size if size > run.diameter_in else None
    return 0


def _full_cfs(job: Job, run: Run, size: PipeDiameter, slope: float) -> float:
    """Return what a run would carry full at a slope in another size."""
    n, _ = roughness_of(job, replace(run, diameter_in=size))
    return full_flow_cfs(pipe_size(run.pipe, size).inside_in / 12, slope, n)
