"""How inlets sit on the bare ground: in low ground that holds water over them, alone or together, or on a slope."""

from typing import Any

import numpy as np
from msgspec import Struct

from drainsketch.ground.grid import centers
from drainsketch.ground.ponding import LEAST_AREA_FT2, LEAST_DEPTH_FT, seats
from drainsketch.ground.remember import remembered
from drainsketch.ground.results import Bools, GroundStudy, Ints

NONE = -1
HAIR_FT = 1e-6
SLOPE_WITHIN_FT = 3.0  # common practice, no source: the ground that leads water to a grate or past it


class Shared(Struct, frozen=True, eq=False):
    """The inlets that take water together: their numbers from 1 on, in the order of ``GroundStudy.inlets``, lowest rim first.

    ``group`` is the place in ``groups`` of the inlets that the water of each cell goes to, flat; -1 where it goes to one alone.
    """

    groups: tuple[tuple[int, ...], ...]
    group: Ints


@remembered
def shared_water(study: GroundStudy, over_ft: float) -> Shared:
    """Return which inlets take the water that stands first in low ground together, and of which cells that is so.

    Inlets take water together that stand in the same low ground of the bare ground, with rims no more than ``over_ft`` above the lowest
    of them, where water that stands at the higher rim is one with that over the lower. What runs straight to a grate stays with it, and
    so does what spills over to it from ground that lies higher.

    Parameters
    ----------
    over_ft : how much water is put up with over a grate

    Source: common practice, no source. Check: tests/ground/test_seating.py
    """
    none = np.full(study.ground_ft.size, NONE, dtype=np.int64)
    if study.drained is None or study.reaches is None or len(study.inlets) < 2:
        return Shared((), none)
    groups: list[tuple[int, ...]] = []
    pools: list[Ints] = []
    patch, cells = _low_ground(study), _seats(study)
    low = [_patch_of(study, patch, at, i.rim_ft) for at, i in zip(cells, study.inlets, strict=True)]
    for name in sorted(set(low) - {NONE}):
        left = sorted((n for n, p in enumerate(low) if p == name), key=lambda n: study.inlets[n].rim_ft)
        while len(left) > 1:
            together, pool = _together(study, np.flatnonzero(patch == name), left, cells, over_ft)
            left = [n for n in left if n not in together]
            if len(together) > 1:
                groups.append(tuple(n + 1 for n in together))
                pools.append(pool)
    return Shared(tuple(groups), _grouped(study, groups, pools) if groups else none)


@remembered
def sloping_grates(study: GroundStudy, over_ft: float) -> dict[str, float]:
    """Return how steep the ground about each inlet is that stands in no low ground of the bare ground, ft/ft, by inlet.

    It is the plane that lies best through the ground within 3 ft. A rim let ``over_ft`` or more into the ground stands in a dish.

    Check: tests/ground/test_seating.py
    """
    patch = _low_ground(study)
    x, y = (at.ravel() for at in np.meshgrid(*centers(study.grid)))
    z = study.ground_ft.ravel()
    out = {}
    for inlet, cells in zip(study.inlets, _seats(study), strict=True):
        here = z[cells][~np.isnan(z[cells])]
        sunk = bool(len(here)) and inlet.rim_ft <= float(here.min()) - max(over_ft, HAIR_FT)
        if sunk or _patch_of(study, patch, cells, inlet.rim_ft) != NONE:
            continue
        near = (np.hypot(x - inlet.point[0], y - inlet.point[1]) <= SLOPE_WITHIN_FT) & ~np.isnan(z)
        if near.sum() < 3:
            continue
        east, north = x[near] - inlet.point[0], y[near] - inlet.point[1]
        plane, *_ = np.linalg.lstsq(np.column_stack([east, north, np.ones(len(east))]), z[near], rcond=None)
        out[inlet.id] = float(np.hypot(plane[0], plane[1]))
    return out


def _low_ground(study: GroundStudy) -> Ints:
    """Return the number of the full pond of the bare ground that each cell lies under, flat, from 1 on; -1 none."""
    from scipy.ndimage import label

    assert study.bare is not None  # a study of ground has it
    patches: Any
    patches, count = label(
        np.nan_to_num(study.bare.filled_ft - study.ground_ft) > LEAST_DEPTH_FT, structure=np.ones((3, 3))
    )
    large = np.bincount(patches.ravel(), minlength=count + 1) * study.grid.cell_ft**2 >= LEAST_AREA_FT2
    large[0] = False
    return np.where(large[patches], patches, NONE).ravel().astype(np.int64)


def _seats(study: GroundStudy) -> tuple[Ints, ...]:
    """Return the cells of each grate that lie on the grid."""
    size = study.ground_ft.size
    return tuple(at[(at >= 0) & (at < size)] for at in seats(study.grid, study.inlets))


def _patch_of(study: GroundStudy, patch: Ints, cells: Ints, rim_ft: float) -> int:
    """Return the low ground that an inlet stands in, lower than where that spills; -1 none."""
    assert study.bare is not None  # a study of ground has it
    full = study.bare.filled_ft.ravel()
    return next((int(patch[c]) for c in cells.tolist() if patch[c] != NONE and rim_ft < full[c] - HAIR_FT), NONE)


def _together(
    study: GroundStudy, low: Ints, left: list[int], cells: tuple[Ints, ...], over_ft: float
) -> tuple[list[int], Ints]:
    """Return the inlets of low ground that take water together with the lowest, and the cells of the pool about them."""
    from scipy.ndimage import label

    rims = [i.rim_ft for i in study.inlets]
    wide = study.grid.columns
    row, column = np.divmod(low, wide)
    ground = np.full((int(row.max() - row.min()) + 1, int(column.max() - column.min()) + 1), np.inf)
    ground[row - row.min(), column - column.min()] = study.ground_ft.ravel()[low]
    here = {n: _within(cells[n], low, row, column, wide) for n in left}
    for n in left:  # a grate let into the ground is as low as its rim
        ground[here[n]] = np.minimum(ground[here[n]], rims[n])
    first, together, pool = left[0], [left[0]], np.empty(0, dtype=np.int64)
    for n in left[1:]:
        if rims[n] > rims[first] + over_ft + HAIR_FT:
            break
        pools: Any
        pools, _ = label(ground <= rims[n] + HAIR_FT, structure=np.ones((3, 3)))
        one = np.setdiff1d(np.intersect1d(pools[here[first]], pools[here[n]]), [0])
        if len(one):
            together.append(n)
            pool = low[np.isin(pools[row - row.min(), column - column.min()], one)]
    return together, pool


def _within(cells: Ints, low: Ints, row: Ints, column: Ints, wide: int) -> tuple[Ints, Ints]:
    """Return rows and columns, in the window about low ground, of those cells of a grate that lie in it."""
    down, right = np.divmod(cells[np.isin(cells, low)], wide)
    return down - row.min(), right - column.min()


def _grouped(study: GroundStudy, groups: list[tuple[int, ...]], pools: list[Ints]) -> Ints:
    """Return the group that the water of each cell goes to, flat: it stands in its pool before any inlet takes it."""
    routing, reaches = study.drained, study.reaches
    assert routing is not None  # there are inlets
    assert reaches is not None
    basin, flat = routing.basin.ravel(), reaches.ravel()
    stops: Bools = (basin > len(study.inlets)) & (routing.sheds == np.arange(basin.size))
    through = np.full(len(routing.parent), NONE, dtype=np.int64)  # the group whose pool the water of each basin passes
    for at, pool in enumerate(pools):
        through[basin[pool[stops[pool]]]] = at
    for _ in range(len(through)):
        onward = np.where(through == NONE, through[routing.parent], through)
        if np.array_equal(onward, through):
            break
        through = onward
    own = np.full(len(study.inlets) + 1, NONE, dtype=np.int64)
    for at, numbers in enumerate(groups):
        own[list(numbers)] = at
    through[: len(own)] = own  # by the eight ways straight to one of them, by the fall line to another
    shared = (basin >= 0) & (basin != flat) & (own[flat] != NONE) & (through[np.maximum(basin, 0)] == own[flat])
    return np.where(shared, own[flat], NONE)
