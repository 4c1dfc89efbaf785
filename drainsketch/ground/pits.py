"""The pits of one hollow: low spots inside it that fill each by itself until water stands over the saddle between them."""

from collections import deque

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats, Ints

LESSER_FT, LESSER_FT3 = 0.1, 2.0  # common practice, no source: a lesser pit than that is a dimple of the one beside it
HALF_ROUND = ((0, 1), (1, 0), (1, 1), (1, -1))  # rows, columns


class Pit(Struct, frozen=True):
    """Cells of a pit, lowest first. All but that which the hollow spills from have a saddle to the next: its level, the cell on this
    side of it and the one beyond, and the pit there by its place in the list.
    """

    cells: Ints
    into: int = -1
    saddle_ft: float = 0.0
    own_cell: int = -1
    next_cell: int = -1


class Saddle(Struct, frozen=True):
    """The lowest way between two basins: its level and the cell on either side."""

    level_ft: float
    one: int
    other: int
    one_cell: int
    other_cell: int


def pits_of(ground_ft: Floats, basin: Ints, cells: Ints, cell_ft2: float, outlet: int) -> tuple[Pit, ...]:
    """Return the pits of a hollow, the one it spills from first.

    Pits that are less than a tenth of a foot or 2 ft3 deep to the saddle beside them are one with what lies beyond it.

    Parameters
    ----------
    ground_ft, basin : (rows, columns), level and basin of every cell, as ``route`` has them
    cells : flat numbers of the hollow's cells, lowest first
    outlet : the basin that the hollow spills from

    Check: tests/ground/test_pits.py
    """
    own = basin.ravel()[cells]
    names = np.unique(own)
    if len(names) == 1:
        return (Pit(cells),)
    flat = ground_ft.ravel()
    kin, tree = _Kin(len(names)), _Kin(len(names))
    ground = [flat[cells[own == name]] for name in names.tolist()]
    kept: list[Saddle] = []
    for saddle in _saddles(ground_ft, basin, cells, names):
        if tree.same(saddle.one, saddle.other):
            continue
        tree.join(saddle.one, saddle.other)
        sides = [kin.all_of(side) for side in (saddle.one, saddle.other)]
        if all(_counts(np.concatenate([ground[n] for n in side]), saddle.level_ft, cell_ft2) for side in sides):
            kept.append(saddle)
        else:
            kin.join(saddle.one, saddle.other)
    start = int(np.searchsorted(names, outlet)) if outlet in names else int(np.searchsorted(names, own[0]))
    return _hung(cells, np.searchsorted(names, own), kin, kept, start)


def _counts(ground_ft: Floats, level_ft: float, cell_ft2: float) -> bool:
    deep = np.maximum(level_ft - ground_ft, 0.0)
    return float(deep.max()) >= LESSER_FT and float(deep.sum()) * cell_ft2 >= LESSER_FT3


def _saddles(ground_ft: Floats, basin: Ints, cells: Ints, names: Ints) -> list[Saddle]:
    """Return the lowest saddle between each two basins that meet inside a hollow, lowest first."""
    wide = ground_ft.shape[1]
    rows, columns = np.divmod(cells, wide)
    south, west = int(rows.min()), int(columns.min())
    number = np.full((int(rows.max()) - south + 3, int(columns.max()) - west + 3), -1, dtype=np.int64)
    level = np.full(number.shape, np.inf)
    at = rows - south + 1, columns - west + 1
    number[at], level[at] = np.searchsorted(names, basin.ravel()[cells]), ground_ft.ravel()[cells]
    best: dict[tuple[int, int], Saddle] = {}
    for down, right in HALF_ROUND:
        there = number[at[0] + down, at[1] + right]
        here = number[at]
        meet = np.flatnonzero((there >= 0) & (there != here))
        high = np.maximum(level[at], level[at[0] + down, at[1] + right])
        for n in meet.tolist():
            a, b, cell = int(here[n]), int(there[n]), int(cells[n])
            beside = cell + down * wide + right
            found = Saddle(float(high[n]), a, b, cell, beside) if a < b else Saddle(float(high[n]), b, a, beside, cell)
            key = (found.one, found.other)
            if key not in best or found.level_ft < best[key].level_ft:
                best[key] = found
    return sorted(best.values(), key=lambda s: (s.level_ft, s.one_cell, s.other_cell))


def _hung(cells: Ints, own: Ints, kin: "_Kin", kept: list[Saddle], start: int) -> tuple[Pit, ...]:
    """Return the pits in the order in which water gets to them backward from the outlet."""
    first = kin.head(start)
    order, found = [first], {first: Pit(cells[np.isin(own, kin.all_of(start))])}
    waiting = deque([first])
    while waiting:
        here = waiting.popleft()
        for saddle in kept:
            for mine, theirs, own_cell, next_cell in (
                (saddle.one, saddle.other, saddle.one_cell, saddle.other_cell),
                (saddle.other, saddle.one, saddle.other_cell, saddle.one_cell),
            ):
                name = kin.head(mine)
                if kin.head(theirs) == here and name not in found:
                    mine_cells = cells[np.isin(own, kin.all_of(mine))]
                    found[name] = Pit(mine_cells, order.index(here), saddle.level_ft, own_cell, next_cell)
                    order.append(name)
                    waiting.append(name)
    return tuple(found[name] for name in order)


class _Kin:
    """Which of a few things belong together."""

    def __init__(self, count: int) -> None:
        self._of = list(range(count))

    def head(self, one: int) -> int:
        """Return the name of the set that a thing belongs to."""
        return self._of[one]

    def same(self, one: int, other: int) -> bool:
        """Whether two things belong together."""
        return self._of[one] == self._of[other]

    def join(self, one: int, other: int) -> None:
        """Let the sets of two things be one."""
        gone, stays = self._of[other], self._of[one]
        self._of = [stays if n == gone else n for n in self._of]

    def all_of(self, one: int) -> list[int]:
        """Return all that belong with a thing."""
        return [n for n, head in enumerate(self._of) if head == self._of[one]]
