"""Which way water runs over the cells, how high low ground fills before it spills, and where it goes then.

Every cell sheds to the steepest of its eight neighbors; beyond the last known cell the ground is taken to go on as it comes.
Cells that shed to none are pits, level ones side by side are one. All that runs to one pit is its basin; basins hang together
at passes. From the drains (the outside, the inlets) the lowest way over passes is followed to every basin: the highest pass on
it is the level that the basin fills to, the last pass the one it spills over.
"""

from heapq import heappop, heappush
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from drainsketch.ground.results import Bools, Floats, Ints, Routing

OUTSIDE = 0  # the basin of what leaves the yard; the inlets follow from 1 on
NEIGHBORS = (
    (0, 1),
    (1, 0),
    (1, 1),
    (1, -1),
    (0, -1),
    (-1, 0),
    (-1, -1),
    (-1, 1),
)  # rows, columns; the first four once a pair
DIAGONAL = 2**0.5
Cell = TypeVar("Cell", np.float64, np.bool_)


def route(ground_ft: Floats, wall: Bools, inlets: tuple[Ints, ...], rims_ft: Floats) -> Routing:
    """Return what water does on the ground.

    Parameters
    ----------
    ground_ft : (rows, columns), ft, NaN where there is none
    wall : (rows, columns), cells without ground that water cannot leave through; other such cells are outside
    inlets, rims_ft : flat numbers of the cells of each inlet, and the level that water has to reach to run in, ft

    Source: steepest of eight neighbors, O'Callaghan and Mark 1984; passes between basins, Cordonnier, Bovy and Braun 2019 (both
    from memory). Check: tests/outside/test_ponding.py, an independent library on a real elevation grid.
    """
    z = np.pad(ground_ft, 1, constant_values=np.nan)
    closed = np.pad(wall, 1, constant_values=False)
    wide = z.shape[1]
    flat = z.ravel()
    seats = [(c // ground_ft.shape[1] + 1) * wide + c % ground_ft.shape[1] + 1 for c in inlets]
    for cells, rim in zip(seats, rims_ft, strict=True):
        flat[cells] = np.where(np.isnan(flat[cells]), np.nan, rim)
    receiver = _receivers(z, closed)
    drains = np.full(z.size, -1, dtype=np.int64)
    for number, cells in enumerate(seats, start=1):
        known = cells[~np.isnan(flat[cells])]
        drains[known], receiver[known] = number, known
    basin, count = _basins(flat, receiver, drains, wide, len(seats))
    edge = np.flatnonzero(_on_edge(z, closed).ravel() & ~np.isnan(flat))
    edge = np.concatenate([edge, _brims(z, edge, np.concatenate([edge[:0], *seats]))])
    level, parent, spill = _spilling(count, len(seats), *_passes(flat, basin, edge, wide))
    fills = np.where(basin >= 0, level[basin], np.nan)
    inner = (slice(1, -1), slice(1, -1))
    row, column = np.divmod(np.maximum(spill, 0), wide)
    return Routing(
        filled_ft=np.fmax(flat, fills).reshape(z.shape)[inner],
        basin=basin.reshape(z.shape)[inner],
        level_ft=level,
        parent=parent,
        spill=np.where(spill >= 0, (row - 1) * ground_ft.shape[1] + column - 1, -1),
        ends=_roots(parent),
        sheds=_unpadded(receiver, z.shape),
    )


def _unpadded(cells: Ints, shape: tuple[int, ...]) -> Ints:
    """Return cell numbers without the rim of the padded array, (rows * columns,)."""
    row, column = np.divmod(np.maximum(cells, 0), shape[1])
    bare = np.where(cells >= 0, (row - 1) * (shape[1] - 2) + column - 1, -1)
    inner: Ints = bare.reshape(shape)[1:-1, 1:-1].ravel()
    return inner


def _moved(a: NDArray[Cell], down: int, right: int) -> NDArray[Cell]:
    """Return the inner part of a padded array, moved to the neighbor (down, right)."""
    rows, columns = a.shape
    return a[1 + down : rows - 1 + down, 1 + right : columns - 1 + right]


def _receivers(z: Floats, closed: Bools) -> Ints:
    """Return the cell that each sheds to: itself in a pit, -1 to the outside (and where there is no ground)."""
    wide = z.shape[1]
    here = z[1:-1, 1:-1]
    own = np.arange(z.size).reshape(z.shape)[1:-1, 1:-1]
    best = np.zeros(here.shape)
    to = own.copy()
    for down, right in NEIGHBORS:
        there = _moved(z, down, right)
        beyond = np.isnan(there) & ~_moved(closed, down, right)
        level = np.where(beyond, 2 * here - _moved(z, -down, -right), there)
        with np.errstate(invalid="ignore"):
            slope = (here - level) / (DIAGONAL if down and right else 1.0)
            steeper = slope > best
        best[steeper] = slope[steeper]
        to[steeper] = np.where(beyond, -1, own + down * wide + right)[steeper]
    to[np.isnan(here)] = -1
    receiver = np.full(z.shape, -1, dtype=np.int64)
    receiver[1:-1, 1:-1] = to
    return receiver.ravel()


def _on_edge(z: Floats, closed: Bools) -> Bools:
    """Return the cells beside the outside: water that stands as high as they are leaves there."""
    outside = np.isnan(z) & ~closed
    beside = np.zeros(z.shape, dtype=bool)
    for down, right in NEIGHBORS:
        beside[1:-1, 1:-1] |= _moved(outside, down, right)
    return beside


def _brims(z: Floats, edge: Ints, inlets: Ints) -> Ints:
    """Return the highest cell of every court that walls close in and no inlet drains: it fills until all of it is under water."""
    from scipy.ndimage import label, maximum_position

    courts, count = label(~np.isnan(z), structure=np.ones((3, 3)))
    drained = np.unique(courts.ravel()[np.concatenate([edge, inlets])])
    shut = np.setdiff1d(np.arange(1, count + 1), drained)
    at = maximum_position(np.nan_to_num(z, nan=-np.inf), courts, shut) if len(shut) else []
    return np.array([row * z.shape[1] + column for row, column in at], dtype=np.int64)


def _basins(flat: Floats, receiver: Ints, drains: Ints, wide: int, inlets: int) -> tuple[Ints, int]:
    """Return the basin of every cell, and how many there are."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    cells = np.arange(flat.size)
    pits = np.flatnonzero((receiver == cells) & (drains < 0))
    index = np.full(flat.size, -1, dtype=np.int64)
    index[pits] = np.arange(len(pits))
    pairs = []
    for down, right in NEIGHBORS[:4]:
        other = pits + down * wide + right
        level = (index[other] >= 0) & (flat[other] == flat[pits])
        pairs.append(np.column_stack([index[pits[level]], index[other[level]]]))
    joined = np.concatenate(pairs)
    groups, group = connected_components(
        coo_array((np.ones(len(joined), dtype=bool), (joined[:, 0], joined[:, 1])), shape=(len(pits), len(pits))),
        directed=False,
    )
    terminal = drains.copy()
    terminal[pits] = inlets + 1 + group
    to = receiver.copy()
    gone = (receiver < 0) & ~np.isnan(flat)
    terminal[gone] = OUTSIDE
    to[receiver < 0] = cells[receiver < 0]
    basin = np.where(np.isnan(flat), -1, terminal[_roots(to)])
    return basin, inlets + 1 + int(groups)


def _roots(to: Ints) -> Ints:
    """Return where each number ends when it is followed to one that points to itself."""
    while True:
        further = to[to]
        if np.array_equal(further, to):
            return to
        to = further


def _passes(flat: Floats, basin: Ints, edge: Ints, wide: int) -> tuple[Ints, Ints, Floats, Ints]:
    """Return the lowest pass between each two basins that meet: both basins, its level, and the cell it is at."""
    ground = np.flatnonzero(basin >= 0)
    one, two, level, at = [basin[edge]], [np.full(len(edge), OUTSIDE)], [flat[edge]], [edge]
    for down, right in NEIGHBORS[:4]:
        other = ground + down * wide + right
        meet = (basin[other] >= 0) & (basin[other] != basin[ground])
        a, b = ground[meet], other[meet]
        one.append(basin[a])
        two.append(basin[b])
        level.append(np.maximum(flat[a], flat[b]))
        at.append(np.where(flat[a] >= flat[b], a, b))
    first, second, height, cell = (np.concatenate(part) for part in (one, two, level, at))
    low, high = np.minimum(first, second), np.maximum(first, second)
    order = np.lexsort((cell, height, high, low))
    low, high, height, cell = low[order], high[order], height[order], cell[order]
    new = np.ones(len(low), dtype=bool)
    new[1:] = (low[1:] != low[:-1]) | (high[1:] != high[:-1])
    new &= low != high
    return low[new], high[new], height[new], cell[new]


def _spilling(count: int, inlets: int, one: Ints, two: Ints, height: Floats, cell: Ints) -> tuple[Floats, Ints, Ints]:
    """Return of every basin the level it fills to, the basin it spills into and the cell it spills over."""
    beside: list[list[tuple[int, float, int]]] = [[] for _ in range(count)]
    for a, b, h, c in zip(one.tolist(), two.tolist(), height.tolist(), cell.tolist(), strict=True):
        beside[a].append((b, h, c))
        beside[b].append((a, h, c))
    level = [-np.inf] * count
    parent, spill, reached = list(range(count)), [-1] * count, [False] * count
    ways: list[tuple[float, int, int, int, int]] = []
    for drain in range(inlets + 1):
        reached[drain] = True
        for b, h, c in beside[drain]:
            heappush(ways, (h, len(ways), b, drain, c))
    pushed = len(ways)
    while ways:
        h, _, at, came, c = heappop(ways)
        if reached[at]:
            continue
        reached[at], level[at], parent[at], spill[at] = True, h, came, c
        for b, further, over in beside[at]:
            if not reached[b]:
                pushed += 1
                heappush(ways, (max(h, further), pushed, b, at, over))
    return np.array(level), np.array(parent), np.array(spill)
