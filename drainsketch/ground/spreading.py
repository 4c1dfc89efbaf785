"""Where the water of each cell goes when it runs straight down the slope, not only along the eight ways between cells.

Each cell sheds down the steepest of the eight planes through it and two neighbors side by side, and parts its water between
those two by where the fall line passes between them. So a slope that falls oblique to the cells is drained along its fall.
"""

from typing import Any

import numpy as np

from drainsketch.ground.results import Bools, Floats, Ints, Routing

ROUND = ((0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1))  # rows, columns, in turn
AT_ONCE = 16  # inlets, to spare memory
FACETS = tuple((side, (side + turn) % 8) for side in (0, 2, 4, 6) for turn in (1, -1))  # beside, at the corner


def reaches_of(ground_ft: Floats, wall: Bools, routing: Routing, inlets: tuple[Ints, ...], rims_ft: Floats) -> Ints:
    """Return the number of the inlet (from 1 on) that most of each cell's water reaches at last, (rows, columns); 0 where less than half does.

    Water that stops in a pit goes where that spills to (``routing.ends``).

    Parameters
    ----------
    ground_ft, wall, inlets, rims_ft : as ``route`` was given them

    Source: steepest of eight facets, Tarboton 1997 (from memory); parted by the tangent and not by the angle, so that water goes
    along the fall line in the mean. Check: tests/outside/test_catchment_areas.py, closed forms.
    """
    from scipy.sparse.linalg import spsolve_triangular

    z = ground_ft.ravel().copy()
    for cells, rim in zip(inlets, rims_ft, strict=True):
        z[cells] = np.where(np.isnan(z[cells]), np.nan, rim)
    known = ~np.isnan(z)
    order = np.argsort(z, kind="stable")  # NaN last
    place = np.empty(z.size, dtype=np.int64)
    place[order] = np.arange(z.size)
    system, stops = _system(z, ground_ft.shape, wall, routing, place)
    basin = routing.basin.ravel()
    ends = np.where(known, routing.ends[np.maximum(basin, 0)], 0)
    number, most = np.zeros(z.size, dtype=np.int64), np.full(z.size, 0.5)
    for start in range(1, len(inlets) + 1, AT_ONCE):
        asked = np.arange(start, min(start + AT_ONCE, len(inlets) + 1))
        first = np.zeros((z.size, len(asked)))
        mine = stops & (ends >= asked[0]) & (ends <= asked[-1])
        first[place[mine], ends[mine] - start] = 1.0
        share = spsolve_triangular(system, first, lower=True, unit_diagonal=True)[place]
        best = share.argmax(axis=1)
        greater = share.max(axis=1) >= most
        number[greater], most[greater] = asked[best[greater]], share.max(axis=1)[greater]
    return number.reshape(ground_ft.shape)


def _system(z: Floats, shape: tuple[int, ...], wall: Bools, routing: Routing, place: Ints) -> tuple[Any, Bools]:
    """Return the rows 'share of a cell is that of the two it sheds to', lowest cell first, and the cells where water stops."""
    from scipy.sparse import csr_array, eye_array

    levels, targets = _around(z.reshape(shape), wall)
    side, corner, part = _steepest(z, levels)
    cells = np.arange(z.size)
    known = ~np.isnan(z)
    stops = known & ((routing.sheds == cells) | (side < 0))
    runs = known & ~stops
    rows = np.concatenate([cells[runs], cells[runs]])
    into = np.concatenate([targets[side[runs], cells[runs]], targets[corner[runs], cells[runs]]])
    share = np.concatenate([1 - part[runs], part[runs]])
    kept = (into >= 0) & (share > 0)
    down = csr_array((share[kept], (place[rows[kept]], place[into[kept]])), shape=(z.size, z.size))
    return (eye_array(z.size, format="csr") - down).tocsr(), stops


def _around(z: Floats, wall: Bools) -> tuple[Floats, Ints]:
    """Return level and number of the eight cells round each, (8, cells); beyond the known ground it goes on as it comes, number -1.

    NaN where there is a wall.
    """
    wide = np.pad(z, 1, constant_values=np.nan)
    closed = np.pad(wall, 1, constant_values=False)
    rows, columns = z.shape
    own = np.arange(z.size).reshape(z.shape)
    levels, targets = np.empty((8, z.size)), np.empty((8, z.size), dtype=np.int64)
    for k, (down, right) in enumerate(ROUND):
        there = wide[1 + down : 1 + down + rows, 1 + right : 1 + right + columns]
        shut = closed[1 + down : 1 + down + rows, 1 + right : 1 + right + columns]
        back = wide[1 - down : 1 - down + rows, 1 - right : 1 - right + columns]
        beyond = np.isnan(there) & ~shut
        levels[k] = np.where(beyond, 2 * z - back, there).ravel()
        targets[k] = np.where(np.isnan(there), -1, own + down * columns + right).ravel()
    return levels, targets


def _steepest(z: Floats, levels: Floats) -> tuple[Ints, Ints, Floats]:
    """Return the two neighbors that each cell sheds to, and the share of the second; -1 where no plane falls."""
    best = np.zeros(z.size)
    side, corner = np.full(z.size, -1, dtype=np.int64), np.full(z.size, -1, dtype=np.int64)
    part = np.zeros(z.size)
    for one, two in FACETS:
        with np.errstate(invalid="ignore"):
            straight, across = z - levels[one], levels[one] - levels[two]
            angle = np.arctan2(across, straight)
            slope = np.hypot(straight, across)
            aslant = (z - levels[two]) / np.sqrt(2.0)
            low, high = angle < 0, angle > np.pi / 4
            angle = np.where(low, 0.0, np.where(high, np.pi / 4, angle))
            slope = np.where(low, straight, np.where(high, aslant, slope))
            alone, slanting = np.isnan(levels[two]), np.isnan(levels[one])  # beside a wall one way is left
            angle = np.where(slanting, np.pi / 4, np.where(alone, 0.0, angle))
            slope = np.where(slanting, aslant, np.where(alone, straight, slope))
            steeper = slope > best
        best[steeper] = slope[steeper]
        side[steeper], corner[steeper] = one, two
        part[steeper] = np.tan(angle[steeper])
    return side, corner, part
