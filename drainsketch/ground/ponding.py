"""Ponds: where water stands when it has stopped raining, how deep and how much, and where it spills."""

from math import hypot
from typing import Any

import numpy as np
from numpy.typing import NDArray

from drainsketch.ground.grid import Raster
from drainsketch.ground.outlines import outline_of
from drainsketch.ground.results import Floats, Grid, Inlet, Pond, Routing
from drainsketch.job.kinds import Point

GALLONS_PER_FT3 = 7.48052  # 1728 in3 per ft3 over 231 in3 per gallon, NIST Handbook 44
LEAST_DEPTH_FT = 0.02  # common practice, no source: a quarter inch, what a rod can tell
LEAST_AREA_FT2 = 2.0  # common practice, no source: less is a footprint


def ponds_of(
    ground: Raster, routing: Routing, basins: tuple[tuple[str, Point], ...]
) -> tuple[tuple[Pond, ...], Floats]:
    """Return the ponds, deepest first, and the depth of standing water of every cell, ft.

    A pond is cells side by side that are more than 0.02 ft under water, of 2 ft2 or more together. Its volume is the sum of
    depth times area over its cells.

    Parameters
    ----------
    basins : ids and places of the basins, for those that stand in a pond

    Check: tests/outside/test_ponding.py, tests/ground/test_ponding.py.
    """
    from scipy.ndimage import find_objects, label

    over = routing.filled_ft - ground.ground_ft
    over[(routing.basin >= 0) & (routing.spill[routing.basin] < 0)] = 0.0  # a grate above the ground is no water
    patches: Any
    patches, _ = label(over > LEAST_DEPTH_FT, structure=np.ones((3, 3)))
    depth = np.where(np.isnan(ground.ground_ft), np.nan, 0.0)
    ponds = []
    windows: Any = find_objects(patches)
    for number, window in enumerate(windows, start=1):
        mine = patches[window] == number
        if mine.sum() * ground.grid.cell_ft**2 < LEAST_AREA_FT2:
            continue
        depth[window][mine] = over[window][mine]
        ponds.append(_pond(ground, routing, patches, number, window, basins))
    # beyond six digits is noise: ponds as deep as each other keep their order whatever the datum
    return tuple(sorted(ponds, key=lambda p: (-round(p.depth_ft, 6), -round(p.area_ft2, 6), p.spill_point))), depth


def _pond(
    ground: Raster,
    routing: Routing,
    patches: NDArray[np.int32],
    number: int,
    window: tuple[slice, slice],
    basins: tuple[tuple[str, Point], ...],
) -> Pond:
    rows, columns = (slice(max(0, s.start - 1), s.stop + 1) for s in window)
    mine = patches[rows, columns] == number
    z = ground.ground_ft[rows, columns]
    cell = ground.grid.cell_ft
    row, column = np.unravel_index(np.argmin(np.where(mine, z, np.inf)), z.shape)
    low = (int(row) + rows.start, int(column) + columns.start)
    basin = int(routing.basin[low])
    level = float(routing.level_ft[basin])
    deep = np.where(mine, level - z, 0.0)
    return Pond(
        outline=outline_of(waterline(level - z, mine), LEAST_DEPTH_FT, ground.grid, (rows.start, columns.start)),
        level_ft=level,
        depth_ft=float(deep.max()),
        area_ft2=float(mine.sum()) * cell**2,
        volume_gal=float(deep.sum()) * cell**2 * GALLONS_PER_FT3,
        low_point=_middle(ground.grid, *low),
        spill_point=_middle(ground.grid, *divmod(_spill(routing, basin), ground.grid.columns)),
        inlets=tuple(name for name, point in basins if _stands_in(point, ground.grid, patches, number)),
    )


def waterline(over: Floats, mine: NDArray[np.bool_]) -> Floats:
    """Return the depth field of one pond, below the least elsewhere, so that its waterline runs smoothly between cells."""
    from scipy.ndimage import grey_dilation

    deep = np.where(mine, over, 0.0)
    mirrored = -grey_dilation(deep, size=(3, 3))  # water stands up to a wall: halfway between the cells
    dry = np.where(np.isnan(over), mirrored, np.minimum(np.nan_to_num(over), LEAST_DEPTH_FT - 1e-6))
    return np.where(mine, over, dry)


def _spill(routing: Routing, basin: int) -> int:
    """Return the cell over which a pond leaves: the first pass on its way that is followed by a lower one."""
    at = basin
    while True:
        following = int(routing.parent[at])
        if following == at or routing.level_ft[following] < routing.level_ft[basin]:
            return int(routing.spill[at])
        at = following


def _stands_in(point: Point, grid: Grid, patches: NDArray[np.int32], number: int) -> bool:
    """Whether a place is in a pond or within a foot and a half of it."""
    reach = max(1, round(1.5 / grid.cell_ft))
    row, column = cell_at(grid, point)
    near = patches[max(0, row - reach) : max(0, row + reach + 1), max(0, column - reach) : max(0, column + reach + 1)]
    return bool((near == number).any())


def cell_at(grid: Grid, point: Point) -> tuple[int, int]:
    """Return row and column of the cell that a place is in, which may lie outside the grid."""
    return int((point[1] - grid.south_ft) // grid.cell_ft), int((point[0] - grid.west_ft) // grid.cell_ft)


def _middle(grid: Grid, row: int, column: int) -> Point:
    return grid.west_ft + (column + 0.5) * grid.cell_ft, grid.south_ft + (row + 0.5) * grid.cell_ft


def seats(grid: Grid, inlets: tuple[Inlet, ...]) -> tuple[NDArray[np.int64], ...]:
    """Return the cells of each inlet's grate, flat numbers: those whose middle it covers, and the one it stands in."""
    out = []
    for inlet in inlets:
        row, column = cell_at(grid, inlet.point)
        reach = int(inlet.reach_ft / grid.cell_ft) + 1
        cells = {
            r * grid.columns + c
            for r in range(max(0, row - reach), min(grid.rows, row + reach + 1))
            for c in range(max(0, column - reach), min(grid.columns, column + reach + 1))
            if (r, c) == (row, column)
            or hypot(*np.subtract(_middle(grid, r, c), inlet.point).tolist()) <= inlet.reach_ft
        }
        out.append(np.array(sorted(cells), dtype=np.int64))
    return tuple(out)
