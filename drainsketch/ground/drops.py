"""Following a drop over the ground to where it stops."""

from functools import cache
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray

from drainsketch.ground.ponding import cell_at
from drainsketch.ground.results import DropPath, Floats, GroundStudy
from drainsketch.job.kinds import Point

STEPS = 4_000
RINGS = (1.5, 3.0, 6.0)  # cells round the drop in which lower ground is looked for, the nearest first
WALL_FT = 1.5  # a drop that stops this near to a building stops at its wall


def follow_drop(study: GroundStudy, at: Point) -> DropPath | None:
    """Return the way of a drop from a plan point over the ground; None where the ground is not known.

    The drop goes to the lowest place on a small ring round it, again and again, and stops at an inlet, where water stands, at
    the edge of the known ground, or where no lower ground is near: at a wall, or on flat ground.

    Check: tests/ground/test_drops.py.
    """
    walls = {name: shapely.Polygon(ring) for name, ring in study.walls}
    here = np.array(at, dtype=float)
    level = float(_level(study, here[None])[0])
    if np.isnan(level):
        inside = next((n for n, w in walls.items() if shapely.contains_xy(w, *at)), None)
        return DropPath((at,), "wall", inside) if inside is not None else None
    points = [at]
    for _ in range(STEPS):
        inlet = next((i for i in study.inlets if _reaches(study, i.point, i.reach_ft, here)), None)
        if inlet is not None:
            points[-1:] = [points[-1], inlet.point]
            return DropPath(tuple(points), "inlet", inlet.id)
        row, column = cell_at(study.grid, (here[0], here[1]))
        if _known(study, row, column) and study.depth_ft[row, column] > 0:
            return DropPath(tuple(points), "pond")
        further = _lower(study, here, level)
        if further is None:
            return _stopped(walls, tuple(points))
        gone, (here, level) = np.isnan(_level(study, further[0][None])[0]), further
        points.append((float(here[0]), float(here[1])))
        if gone:
            return DropPath(tuple(points[:-1]), "edge")
    return _stopped(walls, tuple(points))


def _reaches(study: GroundStudy, inlet: Point, reach_ft: float, here: Floats) -> bool:
    return hypot(here[0] - inlet[0], here[1] - inlet[1]) <= max(reach_ft, study.grid.cell_ft)


def _lower(study: GroundStudy, here: Floats, level: float) -> tuple[Floats, float] | None:
    """Return the lowest place on the nearest ring that has lower ground, and its level.

    Beyond the known ground it is taken to go on as it comes: as much lower as the place opposite is higher.
    """
    for cells in RINGS:
        ring = here + cells * study.grid.cell_ft * _directions()
        levels = _level(study, ring)
        beyond = np.isnan(levels)
        if beyond.any():
            beyond &= ~_at_walls(study, ring)
            levels = np.where(beyond, 2 * level - np.roll(levels, len(levels) // 2), levels)
        if not (levels < level - 1e-9).any():
            continue
        lowest = int(np.nanargmin(levels))
        return ring[lowest], float(levels[lowest])
    return None


def _at_walls(study: GroundStudy, xy: Floats) -> NDArray[np.bool_]:
    """Return which places (n, 2) lie in a building or too near its wall for a level between cells."""
    off = [shapely.distance(shapely.Polygon(ring), shapely.points(xy)) for _, ring in study.walls]
    near: NDArray[np.bool_] = (
        np.any([d <= 2 * study.grid.cell_ft for d in off], axis=0) if off else np.zeros(len(xy), bool)
    )
    return near


def _stopped(walls: dict[str, shapely.Polygon], points: tuple[Point, ...]) -> DropPath:
    """Return the way of a drop that found no lower ground: at a wall, or on flat ground."""
    end = shapely.Point(points[-1])
    near = min(walls, key=lambda name: walls[name].distance(end), default="")
    if near and walls[near].distance(end) <= WALL_FT:
        return DropPath(points, "wall", near)
    return DropPath(points, "flat")


def _known(study: GroundStudy, row: int, column: int) -> bool:
    inside = 0 <= row < study.grid.rows and 0 <= column < study.grid.columns
    return inside and not np.isnan(study.ground_ft[row, column])


@cache
def _directions() -> Floats:
    turn = np.arange(72) * (np.pi / 36)
    return np.column_stack([np.cos(turn), np.sin(turn)])


def _level(study: GroundStudy, xy: Floats) -> Floats:
    """Return ground at places (n, 2), ft, bilinear between cell centers; NaN where one of the four is not known."""
    grid = study.grid
    u = (xy[:, 0] - grid.west_ft) / grid.cell_ft - 0.5
    v = (xy[:, 1] - grid.south_ft) / grid.cell_ft - 0.5
    inside = (u >= 0) & (v >= 0) & (u <= grid.columns - 1) & (v <= grid.rows - 1)
    c = np.clip(u, 0, max(0, grid.columns - 2)).astype(int)
    r = np.clip(v, 0, max(0, grid.rows - 2)).astype(int)
    s, t = u - c, v - r
    z = study.ground_ft
    e, n = np.minimum(c + 1, grid.columns - 1), np.minimum(r + 1, grid.rows - 1)
    level = (1 - t) * ((1 - s) * z[r, c] + s * z[r, e]) + t * ((1 - s) * z[n, c] + s * z[n, e])
    return np.where(inside, level, np.nan)
