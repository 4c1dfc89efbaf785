"""The longest way of water over the ground to each inlet, for how long it takes to arrive."""

from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.ground.results import Floats, Grid, Inlet, Ints, Routing, Way
from drainsketch.ground.routing import DIAGONAL, NEIGHBORS

STRAIGHT_CELLS = 1.0  # steps from cell to cell zigzag; the way keeps within a cell of them


class Hops(Struct, frozen=True):
    """How each basin goes on: from its pit straight to where it spills, and into which cell of the basin beyond."""

    pit: Ints
    into: Ints  # -1 for drains
    away: Floats  # from the pit to the drain, in cells


def ways_of(grid: Grid, routing: Routing, reaches: Ints, inlets: tuple[Inlet, ...]) -> dict[str, Way]:
    """Return the longest way to each inlet that any ground drains to, by inlet; none where no cell's own way leads there.

    Water goes from cell to cell as it sheds; where it stands in a pond it crosses to the place where that spills. Levels are
    those of the ground, or of the pond, so they never rise.

    Check: tests/ground/test_ways.py.
    """
    from scipy.ndimage import maximum_position

    basin, sheds = routing.basin.ravel(), routing.sheds
    known = basin >= 0
    to = np.where(known & (sheds >= 0), sheds, np.arange(basin.size))
    run = to_stop(to, grid.columns)
    hops = hops_of(grid, routing, run)
    total = np.where(known, run + hops.away[np.maximum(basin, 0)], -1.0).reshape(grid.rows, grid.columns)
    ends = np.where(routing.basin >= 0, routing.ends[routing.basin], 0)
    there = np.where(ends == reaches, reaches, 0)  # from cell to cell the water gets there too, and not past it
    numbers = [n for n in range(1, len(inlets) + 1) if (there == n).any()]
    at: Any = maximum_position(total, there, numbers) if numbers else []
    out = {}
    for number, (row, column) in zip(numbers, at, strict=True):
        cells = _followed(int(row * grid.columns + column), to, basin, hops)
        out[inlets[number - 1].id] = _way(grid, routing, cells, inlets[number - 1])
    return out


def to_stop(to: Ints, wide: int) -> Floats:
    """Return how far each cell is from where its water stops in its own basin, in cells."""
    away = np.abs(to - np.arange(to.size))
    far = np.where(away == 0, 0.0, np.where((away == 1) | (away == wide), 1.0, DIAGONAL))
    while True:
        further = to[to]
        if np.array_equal(further, to):
            return far
        far = far + far[to]
        to = further


def hops_of(grid: Grid, routing: Routing, run: Floats) -> Hops:
    """Return how water goes on from every basin to the one it spills into."""
    basin, spill, parent = routing.basin.ravel(), routing.spill, routing.parent
    count = len(parent)
    stops = np.flatnonzero((basin >= 0) & (routing.sheds == np.arange(basin.size)))
    pit = np.full(count, -1, dtype=np.int64)
    pit[basin[stops][::-1]] = stops[::-1]
    into = np.full(count, -1, dtype=np.int64)
    mine = np.flatnonzero((spill >= 0) & (pit >= 0))
    own = basin[spill[mine]] == mine
    into[mine[~own]] = spill[mine[~own]]
    into[mine[own]] = _beyond(grid, routing, mine[own])
    hop = np.zeros(count)
    goes = mine[into[mine] >= 0]
    (r0, c0), (r1, c1) = (np.divmod(cells[goes], grid.columns) for cells in (pit, into))
    hop[goes] = np.hypot(r1 - r0, c1 - c0) + run[into[goes]]
    onward = np.where(into >= 0, parent, np.arange(count))
    return Hops(pit, into, _summed(hop, onward))


def _beyond(grid: Grid, routing: Routing, basins: Ints) -> Ints:
    """Return the lowest neighbor of each basin's spill cell that lies in the basin it spills into; -1 at the edge."""
    flat, basin = routing.filled_ft.ravel(), routing.basin.ravel()
    row, column = np.divmod(routing.spill[basins], grid.columns)
    best, lowest = np.full(len(basins), -1, dtype=np.int64), np.full(len(basins), np.inf)
    for down, right in NEIGHBORS:
        r, c = row + down, column + right
        inside = (r >= 0) & (r < grid.rows) & (c >= 0) & (c < grid.columns)
        cell = np.where(inside, r * grid.columns + c, 0)
        fits = inside & (basin[cell] == routing.parent[basins])
        level = np.where(fits, flat[cell], np.inf)
        best, lowest = np.where(level < lowest, cell, best), np.minimum(level, lowest)
    return best


def _summed(hop: Floats, to: Ints) -> Floats:
    """Return the sum of hops from each basin to its drain."""
    while True:
        further = to[to]
        if np.array_equal(further, to):
            return hop
        hop = hop + np.where(to == np.arange(len(to)), 0.0, hop[to])
        to = further


def _followed(cell: int, to: Ints, basin: Ints, hops: Hops) -> list[int]:
    cells = [cell]
    while True:
        here = cells[-1]
        following = int(to[here])
        if following == here:
            following = int(hops.into[basin[here]])
            if following < 0:
                return cells
        cells.append(following)


def _way(grid: Grid, routing: Routing, cells: list[int], inlet: Inlet) -> Way:
    row, column = np.divmod(np.array(cells, dtype=np.int64), grid.columns)
    xy = np.column_stack([grid.west_ft + (column + 0.5) * grid.cell_ft, grid.south_ft + (row + 0.5) * grid.cell_ft])
    level = np.minimum.accumulate(routing.filled_ft.ravel()[cells])
    if len(cells) > 1:
        line = shapely.simplify(shapely.LineString(xy), STRAIGHT_CELLS * grid.cell_ft, preserve_topology=False)
        kept = {point: i for i, point in reversed(list(enumerate(map(tuple, xy.tolist()))))}
        at = [kept[point] for point in map(tuple, shapely.get_coordinates(line).tolist())]
        at[-1] = len(cells) - 1
        xy, level = xy[at], level[at]
    points = [*map(tuple, xy.tolist()), inlet.point]
    return Way(inlet.id, tuple(points), (*level.tolist(), float(level[-1])))
