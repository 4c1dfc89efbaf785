"""The yard as square cells: where ground is known, and where a building stands."""

from collections.abc import Iterable
from math import ceil, sqrt

import numpy as np
import shapely
from msgspec import Struct
from shapely.geometry.base import BaseGeometry

from drainsketch.ground.results import Bools, Floats, Grid
from drainsketch.ground.surface import Surface
from drainsketch.job.model import Boundary, Job, Obstacle

CELL_FT = 0.5  # half a foot shows a swale a shovel wide
STEP_FT = 0.25  # larger yards take cells larger by as much
MOST_CELLS = 250_000
LEVEL_DIGITS = 9  # level ground stays level, free of the noise of interpolation
BEYOND_LOT_FT = 10.0  # water does not stop at a lot line


class Raster(Struct, frozen=True):
    """Ground at cell centers, ft, NaN where there is none; ``wall`` marks the cells that buildings take."""

    grid: Grid
    ground_ft: Floats
    wall: Bools


def grid_over(boundary: Boundary | None, surface: Surface) -> Grid:
    """Return the cells over a yard: over the shots, as far as they lie in the lot or within 10 ft of it.

    Cells are half a foot; where that would make more than 250,000 of them, they grow by quarter feet until it does not.
    Check: tests/ground/test_study.py.
    """
    west, south, east, north = surface.extent_ft
    if boundary is not None:
        lot = np.array(boundary.points)
        (x0, y0), (x1, y1) = lot.min(axis=0) - BEYOND_LOT_FT, lot.max(axis=0) + BEYOND_LOT_FT
        if x0 < east and y0 < north and x1 > west and y1 > south:
            west, south, east, north = max(west, x0), max(south, y0), min(east, x1), min(north, y1)
    wide, high = max(east - west, CELL_FT), max(north - south, CELL_FT)
    cell = max(CELL_FT, STEP_FT * ceil(sqrt(wide * high / MOST_CELLS) / STEP_FT))
    while ceil(wide / cell) * ceil(high / cell) > MOST_CELLS:
        cell += STEP_FT
    return Grid(float(west), float(south), cell, rows=ceil(high / cell), columns=ceil(wide / cell))


def centers(grid: Grid) -> tuple[Floats, Floats]:
    """Return x of the columns and y of the rows, at the middle of the cells, ft."""
    x = grid.west_ft + (np.arange(grid.columns, dtype=np.float64) + 0.5) * grid.cell_ft
    y = grid.south_ft + (np.arange(grid.rows, dtype=np.float64) + 0.5) * grid.cell_ft
    return np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)


def raster(job: Job, surface: Surface) -> Raster:
    """Return the ground of a job as cells: none inside buildings, outside the shots, or far outside the lot."""
    grid = grid_over(job.boundary, surface)
    x, y = centers(grid)
    xy = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    levels, guess = surface.bare_levels_at(xy)
    ground = np.where(guess, np.nan, levels.round(LEVEL_DIGITS)).reshape(grid.rows, grid.columns)
    if job.boundary is not None:
        lot = shapely.buffer(polygon(job.boundary), BEYOND_LOT_FT, quad_segs=4)
        if not lot.is_empty and shapely.box(*surface.extent_ft).intersects(lot):
            ground[~covered([lot], x, y)] = np.nan
    wall = covered([polygon(o) for o in buildings(job)], x, y)
    ground[wall] = np.nan
    return Raster(grid, ground, wall)


def buildings(job: Job) -> tuple[Obstacle, ...]:
    """Return the buildings of a job, the ground's holes."""
    return tuple(o for o in job.obstacles if o.kind == "building" and len(o.points) >= 3)


def covered(shapes: Iterable[BaseGeometry], x: Floats, y: Floats) -> Bools:
    """Return which places of the lattice (rows of y, columns of x) lie inside any of the shapes."""
    inside = np.zeros((len(y), len(x)), dtype=bool)
    for shape in shapes:
        if shape.is_empty:
            continue
        x0, y0, x1, y1 = shape.bounds
        i0, i1 = np.searchsorted(x, [x0, x1])
        j0, j1 = np.searchsorted(y, [y0, y1])
        xx, yy = np.meshgrid(x[i0:i1], y[j0:j1])
        shapely.prepare(shape)
        inside[j0:j1, i0:i1] |= shapely.contains_xy(shape, xx, yy)
    return inside


def polygon(of: Boundary | Obstacle) -> BaseGeometry:
    """Return what an outline encloses, made valid where it crosses itself."""
    return shapely.make_valid(shapely.Polygon(of.points))
