"""What covers the ground: the kind of surface of every cell of the yard."""

import numpy as np
from numpy.typing import NDArray

from drainsketch.ground.grid import centers, covered, polygon
from drainsketch.ground.results import Floats, GroundStudy
from drainsketch.job.ask import is_closed
from drainsketch.job.kinds import SurfaceKind
from drainsketch.job.model import Job
from drainsketch.water.surfaces import SURFACE_KINDS

Kinds = NDArray[np.int64]


def covers_of(job: Job, ground: GroundStudy) -> Kinds:
    """Return the kind of surface of each cell, (rows, columns), as its place in ``SURFACE_KINDS``.

    Paving and planting beds are as drawn, the later above the earlier; all else is lawn on the soil of the job.
    """
    x, y = centers(ground.grid)
    kinds = np.full((ground.grid.rows, ground.grid.columns), SURFACE_KINDS.index(lawn_of(job)), dtype=np.int64)
    for obstacle in job.obstacles:
        if obstacle.kind in ("hardscape", "bed") and is_closed(obstacle):
            kind: SurfaceKind = "planting-bed" if obstacle.kind == "bed" else obstacle.surface or "drive-or-walk"
            kinds[covered([polygon(obstacle)], x, y)] = SURFACE_KINDS.index(kind)
    return kinds


def lawn_of(job: Job) -> SurfaceKind:
    """Return the kind of lawn of a job, by its soil."""
    return "lawn-sandy" if job.water.lawn_soil == "sandy" else "lawn-heavy"


def slopes_of(ground: GroundStudy) -> Floats:
    """Return how steep the ground of each cell is, ft/ft, (rows, columns); NaN at the edge of what is known."""
    z, cell = ground.ground_ft, ground.grid.cell_ft
    if min(z.shape) < 2:
        return np.full(z.shape, np.nan)
    north, east = np.gradient(z, cell)
    return np.asarray(np.hypot(north, east))
