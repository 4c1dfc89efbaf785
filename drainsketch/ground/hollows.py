"""Low ground as it fills: how much water it holds at each level, where it spills, and what ground sheds to it.

All of it is of the bare ground, as it is before any drain takes water in.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from msgspec import Struct

from drainsketch.ground.pits import Pit, pits_of
from drainsketch.ground.ponding import LEAST_AREA_FT2, LEAST_DEPTH_FT
from drainsketch.ground.results import Bools, Floats, Grid, GroundStudy, Ints, Routing
from drainsketch.ground.ways import hops_of, to_stop
from drainsketch.job.kinds import Point

MOST = 100
OFF, NOWHERE = -1, -2  # in place of the number of a hollow: off the yard; no ground


class Hollow(Struct, frozen=True):
    """Low ground that holds water: its cells by flat number, and their ground, lowest first, ft.

    It spills at ``spill_ft`` into the hollow ``into`` (its number, or OFF), along ``way``, which begins there. ``beyond`` is the cell
    that the water comes to first there, OFF at the edge of the yard. At ``brim_ft`` all its cells are under water: higher than where it spills
    where water then stands over the saddle to the next one.
    """

    cells: Ints
    ground_ft: Floats
    cell_ft2: float
    spill_ft: float
    brim_ft: float
    low_point: Point
    into: int
    beyond: int
    way: tuple[Point, ...]

    @property
    def low_ft(self) -> float:
        """The level of its lowest ground."""
        return float(self.ground_ft[0])

    def volumes_ft3(self, level_ft: Floats) -> Floats:
        """Return what it holds at levels, ft3."""
        under = np.searchsorted(self.ground_ft, level_ft)
        piled = np.concatenate([[0.0], np.cumsum(self.ground_ft - self.low_ft)])
        out: Floats = np.maximum((level_ft - self.low_ft) * under - piled[under], 0.0) * self.cell_ft2
        return out

    def areas_ft2(self, level_ft: Floats) -> Floats:
        """Return how much of its ground stands under more than a quarter inch of water at levels, ft2."""
        under = np.searchsorted(self.ground_ft, level_ft - LEAST_DEPTH_FT).astype(np.float64)
        return under * self.cell_ft2


class Hollows(Struct, frozen=True):
    """The hollows of a yard. ``first`` is the number of the hollow that the water of each cell comes to first, (rows, columns): OFF where it
    runs off the yard, NOWHERE where there is no ground. ``longest`` is the longest way of water to each hollow: points and levels.
    ``number`` is the hollow that the pit of each basin of ``GroundStudy.bare`` lies in, ``into`` the cell that it spills into.
    """

    hollows: tuple[Hollow, ...]
    first: Ints
    number: Ints
    into: Ints
    longest: tuple[tuple[tuple[Point, ...], tuple[float, ...]], ...]


def hollows_of(study: GroundStudy) -> Hollows:
    """Return the hollows of the bare ground of a study, in the order of their cells.

    A hollow is what a pond of the bare ground covers when it is full: cells side by side, 2 ft2 or more, with more than 0.02 ft of water
    over some; of more than 100 those that hold most. Smaller pits fill at once, and their water goes on to where they spill. Where
    such ground has several pits that count (``pits_of``), each is a hollow of its own up to its saddle, and beyond.

    Check: tests/ground/test_hollows.py
    """
    routing, grid = study.bare, study.grid
    assert routing is not None  # a study of ground has it
    flat, basin = study.ground_ft.ravel(), routing.basin.ravel()
    stops = (basin >= 0) & (routing.sheds == np.arange(basin.size))
    run = to_stop(np.where((basin >= 0) & (routing.sheds >= 0), routing.sheds, np.arange(basin.size)), grid.columns)
    into = hops_of(grid, routing, run).into
    number = np.full(len(routing.parent), NOWHERE, dtype=np.int64)  # of the hollow that each basin lies in
    number[0] = OFF
    leaves: dict[int, int] = {}  # the basin that each first pit spills from
    found: list[tuple[Pit, int, float]] = []  # with the number of its patch's first pit, and its brim
    for cells in _patches(study, routing):
        name = int(basin[cells[0]])
        inside = np.zeros(len(number), dtype=bool)
        inside[basin[cells[stops[cells]]]] = inside[name] = True
        last, first_number = _leaving(name, inside, routing), len(found)
        pits = pits_of(study.ground_ft, routing.basin, cells, grid.cell_ft**2, last)
        for at, pit in enumerate(pits, start=first_number):
            number[basin[pit.cells[stops[pit.cells]]]] = number[basin[pit.cells[0]]] = at
            found.append((pit, first_number, float(routing.level_ft[name])))
        leaves[first_number] = last
    onward = _resolved(number, routing)
    first = np.where(basin >= 0, onward[np.maximum(basin, 0)], NOWHERE).reshape(grid.rows, grid.columns)
    hollows, longest = [], []
    for at, (pit, first_number, brim) in enumerate(found):
        if pit.into < 0:
            last = leaves[at]
            spill, beyond = int(routing.spill[last]), int(into[last])
            goes_to, level = int(onward[routing.parent[last]]), brim
        else:
            spill, beyond, goes_to, level = pit.own_cell, pit.next_cell, first_number + pit.into, pit.saddle_ft
        spill = spill if spill >= 0 else int(pit.cells[0])
        hollows.append(
            Hollow(
                cells=pit.cells,
                ground_ft=flat[pit.cells],
                cell_ft2=grid.cell_ft**2,
                spill_ft=level,
                brim_ft=brim,
                low_point=middle(grid, int(pit.cells[0])),
                into=goes_to,
                beyond=beyond,
                way=points_of(grid, [spill, *_followed(beyond, number, routing, into)]),
            )
        )
        longest.append(_longest(study, routing, number, at, run))
    return Hollows(tuple(hollows), first, number, into, tuple(longest))


def _patches(study: GroundStudy, routing: Routing) -> list[Ints]:
    """Return the cells of each hollow, lowest first; of very many the ones that hold most."""
    from scipy.ndimage import find_objects, label

    over = np.nan_to_num(routing.filled_ft - study.ground_ft)
    patches: Any
    patches, _ = label(over > LEAST_DEPTH_FT, structure=np.ones((3, 3)))
    flat, deep, grid = study.ground_ft.ravel(), over.ravel(), study.grid
    found: list[Ints] = []
    windows: Any = find_objects(patches)
    for patch, window in enumerate(windows, start=1):
        mine = patches[window] == patch
        if mine.sum() * grid.cell_ft**2 < LEAST_AREA_FT2:
            continue
        rows, columns = np.nonzero(mine)
        cells = (rows + window[0].start) * grid.columns + columns + window[1].start
        found.append(cells[np.argsort(flat[cells], kind="stable")])
    if len(found) <= MOST:
        return found
    kept = np.sort(np.argsort([-deep[cells].sum() for cells in found], kind="stable")[:MOST])
    return [found[at] for at in kept.tolist()]


def followed(study: GroundStudy, hollows: Hollows, cell: int) -> Iterator[int]:
    """Yield the cells that water runs over the bare ground from a cell on, to where it stands or leaves the yard."""
    assert study.bare is not None  # or there were no hollows
    return _followed(cell, hollows.number, study.bare, hollows.into)


def middle(grid: Grid, cell: int) -> Point:
    """Return the middle of a cell, by its flat number."""
    row, column = divmod(cell, grid.columns)
    return grid.west_ft + (column + 0.5) * grid.cell_ft, grid.south_ft + (row + 0.5) * grid.cell_ft


def _resolved(number: Ints, routing: Routing) -> Ints:
    """Return the hollow that the water of each basin comes to first: its own, or that of the basins it spills into."""
    to = np.where(number == NOWHERE, routing.parent, np.arange(len(number)))
    while not np.array_equal(further := to[to], to):
        to = further
    return np.where(number[to] == NOWHERE, OFF, number[to])


def _leaving(basin: int, inside: Bools, routing: Routing) -> int:
    """Return the last of the basins inside a hollow on the way of its water out of it."""
    while True:
        following = int(routing.parent[basin])
        if following == basin or (not inside[following] and routing.level_ft[following] < routing.level_ft[basin]):
            return basin
        basin = following


def _followed(cell: int, number: Ints, routing: Routing, into: Ints) -> Iterator[int]:
    """Yield the cells that water runs over from one on, to where it stands again or leaves the yard."""
    basin = routing.basin.ravel()
    while cell >= 0:
        yield cell
        following = int(routing.sheds[cell])
        if following == cell:
            if number[basin[cell]] != NOWHERE:
                return
            following = int(into[basin[cell]])
        cell = following


def points_of(grid: Grid, cells: Iterable[int]) -> tuple[Point, ...]:
    """Return the middles of cells in a row as a line, without its zigzag."""
    import shapely

    points = [middle(grid, cell) for cell in dict.fromkeys(cells)]
    if len(points) < 2:
        return tuple(points)
    line = shapely.simplify(shapely.LineString(points), grid.cell_ft, preserve_topology=False)
    return tuple((x, y) for x, y in shapely.get_coordinates(line).tolist())


def _longest(
    study: GroundStudy, routing: Routing, number: Ints, at: int, run: Floats
) -> tuple[tuple[Point, ...], tuple[float, ...]]:
    """Return the longest way of water straight to a hollow: its points, and the ground there, which never rises."""
    grid, basin = study.grid, routing.basin.ravel()
    mine = np.flatnonzero((basin >= 0) & (number[np.maximum(basin, 0)] == at))
    here = int(mine[run[mine].argmax()])
    cells = [here]
    while (following := int(routing.sheds[here])) not in (here, OFF):
        cells.append(here := following)
    level = np.minimum.accumulate(study.ground_ft.ravel()[cells])
    kept = sorted({*range(0, len(cells), 4), len(cells) - 1})  # a foot of zigzag is no way
    return tuple(middle(grid, cells[i]) for i in kept), tuple(level[kept].tolist())
