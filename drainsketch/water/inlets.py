"""Whether the grates take what arrives: how deep water stands over each, and what would take it."""

from collections.abc import Iterable
from math import ceil
from typing import get_args

from drainsketch.job.basins import basin_body, grate_of
from drainsketch.job.kinds import BasinSize
from drainsketch.job.model import Job
from drainsketch.water.grates import grate_flow_cfs, ponded
from drainsketch.water.results import Arrival, Escape, GrateFlow

SIZES: tuple[BasinSize, ...] = get_args(BasinSize)


def grate_flows(job: Job, arrivals: dict[str, Arrival], escapes: Iterable[Escape] = ()) -> dict[str, GrateFlow]:
    """Return how each basin's grate takes the peak that arrives at it, by basin id, with what came out of others and runs to it over it.

    A larger grate is asked for its own water alone: what comes out elsewhere is cured there.

    Roof water that comes in by pipe has a grate of its own nowhere: downspout inlets are left out here.

    Source: as ``grates.ponded``. Check: tests/water/test_inlets.py
    """
    allowed, clogged = job.water.grate_ponding_in / 12, job.water.grate_clogged
    runs_on: dict[str, float] = {}
    for e in escapes:
        runs_on[e.at] = runs_on.get(e.at, 0.0) + e.runs_on_cfs
    out = {}
    for s in job.structures:
        arrival = arrivals.get(s.id)
        if s.kind != "basin" or arrival is None:
            continue
        flow, on = arrival.flow_cfs, runs_on.get(s.id, 0.0)
        body = basin_body(job, s.size_in)
        stands = ponded(flow + on, *_feet(job, body.size_in), clogged)
        takes = grate_flow_cfs(allowed, *_feet(job, body.size_in), clogged)
        larger = (size for size in SIZES if size > body.size_in)
        enough = next((z for z in larger if grate_flow_cfs(allowed, *_feet(job, z), clogged) >= flow), None)
        short = flow > takes
        count = ceil(flow / takes - 1e-9) if short and takes > 0 else 0 if short else 1
        out[s.id] = GrateFlow(
            s.id, flow, stands.depth_ft, stands.governs, allowed, takes, enough if short else None, count, on
        )
    return out


def _feet(job: Job, size_in: BasinSize) -> tuple[float, float]:
    """Return open area, ft2, and edge, ft, of the grate of a size."""
    area_in2, edge_in = grate_of(basin_body(job, size_in))
    return area_in2 / 144, edge_in / 12
