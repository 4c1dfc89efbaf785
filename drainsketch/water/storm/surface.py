"""Where rain on the yard comes to first: the hollows of its ground, and the inlets that stand on a slope."""

import numpy as np
from msgspec import Struct

from drainsketch.ground.hollows import NOWHERE, OFF, Hollow, Hollows, followed, hollows_of, points_of
from drainsketch.ground.ponding import seats
from drainsketch.ground.results import Floats, GroundStudy, Inlet, Ints
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.water.concentration import concentration
from drainsketch.water.field import Field
from drainsketch.water.storm.links import Passes
from drainsketch.water.storm.nodes import Table, hollow_table

PASS_FT, PASS_SIDE = (
    5.0,
    30.0,
)  # common practice, no source: how wide the low place of a lawn is, and 1 in how much its sides rise
DISH_FT2 = 12.0  # common practice, no source: ground about a grate on a slope that water stands on
LEAST_OVER_FT = 0.005  # what stands about such an inlet before water runs past it, at the least


class Surface(Struct, frozen=True):
    """The ground of a yard as places that water stands at: hollows first, then a dish about each inlet on a slope.

    ``place`` is the node that the water of each cell comes to first, flat, -1 off the yard; ``dish`` the node of each inlet, in a hollow
    or of its own; ``onward`` the way of what runs past an inlet that has a dish of its own, by inlet.
    """

    hollows: Hollows | None
    place: Ints
    dish: dict[str, int]
    tables: tuple[Table, ...]
    passes: Passes
    onward: dict[str, tuple[Point, ...]]


def bare_surface(ground: GroundStudy) -> Surface:
    """Return the ground as it is today: water takes no inlet."""
    hollows = hollows_of(ground)
    place = np.maximum(hollows.first.ravel(), OFF)
    to = [h.into for h in hollows.hollows]
    return Surface(hollows, place, {}, *_basins(hollows.hollows, to), onward={})


def drained_surface(ground: GroundStudy | None, inlets: tuple[Inlet, ...], over_ft: dict[str, float]) -> Surface:
    """Return the ground with inlets in it.

    Parameters
    ----------
    inlets : all that take water in or let it out; those of ``ground.inlets`` in the same order among them
    over_ft : how deep water stands over the grate of each on a slope before it runs past
    """
    if ground is None:
        numbers = {i.id: n for n, i in enumerate(inlets)}
        return _with_dishes(None, np.empty(0, dtype=np.int64), numbers, list(inlets), over_ft, {})
    hollows = hollows_of(ground)
    first = np.maximum(hollows.first.ravel(), OFF)
    dish: dict[str, int] = {}
    alone: list[Inlet] = []
    at_cell: dict[str, int] = {}
    for inlet, cells in zip(inlets, seats(ground.grid, inlets), strict=True):
        inside = cells[(cells >= 0) & (cells < len(first))]
        at_cell[inlet.id] = int(inside[0]) if len(inside) else OFF
        own = [n for n in first[inside].tolist() if n >= 0 and _stands_in(hollows, n, inside, inlet.rim_ft)]
        if own:
            dish[inlet.id] = own[0]
        else:
            dish[inlet.id] = len(hollows.hollows) + len(alone)
            alone.append(inlet)
    place = _first_places(ground, first, dish)
    return _with_dishes((ground, hollows), place, dish, alone, over_ft, at_cell)


def ways_min(job: Job, field: Field, surface: Surface) -> list[float]:
    """Return how long the last water takes to each node of a surface, min; the least there is for dishes."""
    least = job.water.least_tc_min
    longest = surface.hollows.longest if surface.hollows is not None else ()
    hollows = [concentration(field.stretches(*way), rain=job.rain, minimum_min=least).minutes for way in longest]
    return hollows + [least] * (len(surface.tables) - len(hollows))


def _stands_in(hollows: Hollows, number: int, cells: Ints, rim_ft: float) -> bool:
    """Whether a grate takes water out of a hollow: it stands in it, lower than where it spills."""
    hollow = hollows.hollows[number]
    return rim_ft < hollow.brim_ft - 1e-6 and bool(np.isin(cells, hollow.cells).any())


def _first_places(ground: GroundStudy, first: Ints, dish: dict[str, int]) -> Ints:
    """Return the node that water of each cell comes to first, once there are inlets.

    What an inlet takes before any hollow does goes straight to it; what runs down into a hollow goes there first.
    """
    if ground.reaches is None or ground.drained is None or not ground.inlets:
        return first
    nodes = np.array([NOWHERE, *(dish.get(i.id, NOWHERE) for i in ground.inlets)], dtype=np.int64)
    reached, straight = ground.reaches.ravel(), ground.drained.basin.ravel()
    taken = (nodes[reached] != NOWHERE) & ((straight == reached) | (first < 0))
    return np.where(taken, nodes[reached], first)


def _basins(found: tuple[Hollow, ...], to: list[int]) -> tuple[tuple[Table, ...], Passes]:
    """Return hollows as places, and the passes they spill over."""
    count = len(found)
    passes = Passes(
        at=np.arange(count),
        to=np.array(to, dtype=np.int64),
        crest_ft=np.array([h.spill_ft for h in found], dtype=np.float64),
        width_ft=np.full(count, PASS_FT),
        side=np.full(count, PASS_SIDE),
    )
    return tuple(hollow_table(h) for h in found), passes


def _with_dishes(
    on: tuple[GroundStudy, Hollows] | None,
    place: Ints,
    dish: dict[str, int],
    alone: list[Inlet],
    over_ft: dict[str, float],
    at_cell: dict[str, int],
) -> Surface:
    """Return hollows and dishes together, each with the place it spills into."""
    tables, passes = _basins((), [])
    onward: dict[str, tuple[Point, ...]] = {}
    if on is not None:
        ground, hollows = on
        to = [_beyond(ground, hollows, place, n, h.beyond) for n, h in enumerate(hollows.hollows)]
        tables, passes = _basins(hollows.hollows, to)
    targets = []
    for inlet in alone:
        cell = at_cell.get(inlet.id, OFF)
        targets.append(_beyond(*on, place, dish[inlet.id], cell) if on is not None else OFF)
        if on is not None and cell >= 0:
            onward[inlet.id] = (inlet.point, *_way(*on, place, dish[inlet.id], cell))
    rims = np.array([i.rim_ft for i in alone], dtype=np.float64)
    return Surface(
        hollows=on[1] if on is not None else None,
        place=place,
        dish=dish,
        tables=(*tables, *(_dish_table(rim) for rim in rims.tolist())),
        passes=Passes(
            at=np.concatenate([passes.at, [dish[i.id] for i in alone]]).astype(np.int64),
            to=np.concatenate([passes.to, targets]).astype(np.int64),
            crest_ft=np.concatenate([passes.crest_ft, rims + [max(over_ft[i.id], LEAST_OVER_FT) for i in alone]]),
            width_ft=np.full(len(passes.at) + len(alone), PASS_FT),
            side=np.full(len(passes.at) + len(alone), PASS_SIDE),
        ),
        onward=onward,
    )


def _dish_table(rim_ft: float) -> Table:
    levels: Floats = np.array([rim_ft, rim_ft + 10.0])
    return levels, DISH_FT2 * (levels - rim_ft)


def _beyond(ground: GroundStudy, hollows: Hollows, place: Ints, own: int, cell: int) -> int:
    """Return the place that water of a node comes to when it runs on over the ground from a cell."""
    if cell < 0:
        return OFF
    cells = list(followed(ground, hollows, cell))
    return next((int(n) for n in place[cells].tolist() if n not in (own, OFF)), OFF)


def _way(ground: GroundStudy, hollows: Hollows, place: Ints, own: int, cell: int) -> tuple[Point, ...]:
    """Return the way of that water, to where the first cell of the next place is its last."""
    cells: list[int] = []
    for at in followed(ground, hollows, cell):
        cells.append(at)
        if place[at] not in (own, OFF) and at == int(ground.drained.sheds[at] if ground.drained is not None else at):
            break
    return points_of(ground.grid, cells)
