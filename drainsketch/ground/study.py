"""What water does on the surface of a job, all of it: ponds, catchments, contours, fall arrows."""

import numpy as np

from drainsketch.ground.catchments import catchments_of
from drainsketch.ground.contours import contours_of
from drainsketch.ground.falls import arrows_of
from drainsketch.ground.grid import buildings, raster
from drainsketch.ground.ponding import ponds_of, seats
from drainsketch.ground.results import GroundStudy, Inlet
from drainsketch.ground.routing import route
from drainsketch.ground.spreading import reaches_of
from drainsketch.ground.surface import Surface
from drainsketch.ground.ways import ways_of
from drainsketch.job.model import Job


def ground_study(job: Job, surface: Surface | None, inlets: tuple[Inlet, ...]) -> GroundStudy | None:
    """Return what water does on the surface; None where the shots make none.

    Parameters
    ----------
    inlets : the basins that take water in and lead it away

    Check: tests/ground/test_study.py; tests/bench/bench_ground.py prints what an acre takes.
    """
    if surface is None or surface.is_guess_only:
        return None
    ground = raster(job, surface)
    if np.isnan(ground.ground_ft).all():
        return None
    basins = tuple((s.id, s.point) for s in job.structures if s.kind == "basin")
    bare = route(ground.ground_ft, ground.wall, (), np.empty(0))
    ponds_now, depth = ponds_of(ground, bare, basins)
    routing, ponds = bare, ponds_now
    reaches = np.zeros(ground.ground_ft.shape, dtype=np.int64)
    if inlets:
        rims, cells = np.array([i.rim_ft for i in inlets]), seats(ground.grid, inlets)
        routing = route(ground.ground_ft, ground.wall, cells, rims)
        ponds, depth = ponds_of(ground, routing, basins)
        reaches = reaches_of(ground.ground_ft, ground.wall, routing, cells, rims)
    return GroundStudy(
        grid=ground.grid,
        ground_ft=ground.ground_ft,
        depth_ft=depth,
        contours=contours_of(ground.grid, ground.ground_ft, job.criteria.contour_interval_ft),
        arrows=arrows_of(ground.grid, ground.ground_ft, depth),
        ponds=ponds,
        catchments=catchments_of(ground.grid, reaches, inlets),
        ponds_now=ponds_now,
        inlets=inlets,
        walls=tuple((b.id, b.points) for b in buildings(job)),
        reaches=reaches,
        ways=ways_of(ground.grid, routing, reaches, inlets),
        bare=bare,
        drained=routing,
    )
