"""What lies under a pointer: things, vertices, legs, and all within a box. Feet, no window."""

from math import hypot

from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Breakline, Downspout, Heap, Obstacle, Run, Service, Shot, Structure, Thing
from drainsketch.job.plan_index import Leg, PlanIndex

# which of several things in reach is meant: what is small and lies on top first
_POINT_ORDER: tuple[type, ...] = (Structure, Downspout, Obstacle, Shot)
_LINE_ORDER: tuple[type, ...] = (Run, Service, Breakline, Heap, Obstacle, Boundary)


class Vertex(Struct, frozen=True):
    """A vertex of a thing, as the editing functions count it."""

    id: str
    index: int


class OnLeg(Struct, frozen=True):
    """A place on a leg of a thing; a vertex put there goes in before vertex ``insert``."""

    id: str
    insert: int
    point: Point


def pick(index: PlanIndex, at: Point, reach_ft: float) -> tuple[str, ...]:
    """Return the ids of the things at a point, the one most likely meant first.

    Point things within reach come first, then lines within reach, then areas that hold the point (not the lot: it holds
    everything), smallest first.

    Parameters
    ----------
    at : plan point, ft
    reach_ft : how far off still counts, ft
    """
    found: list[tuple[tuple[float, ...], str]] = []
    for spot in index.spots_near(at, max(reach_ft, 3.0)):
        reach = max(reach_ft, _own_reach_ft(spot.owner))
        off = hypot(spot.at[0] - at[0], spot.at[1] - at[1])
        if spot.alone and off <= reach:
            found.append(((0, _POINT_ORDER.index(type(spot.owner)) if off <= reach_ft else 9, off), spot.owner.id))
    for leg in index.legs_near(at, reach_ft):
        off, _ = _nearest(leg, at)
        if off <= reach_ft:
            found.append(((1, _LINE_ORDER.index(type(leg.owner)), off), leg.owner.id))
    for i, area in enumerate(index.areas_at(at)):
        found.append(((2, i, 0.0), area.id))
    return tuple(dict.fromkeys(thing_id for _, thing_id in sorted(found)))


def touching(index: PlanIndex, at: Point, reach_ft: float = 0.05) -> frozenset[str]:
    """Return the ids of the things with a point or a line at a place; areas that only hold it do not count.

    Parameters
    ----------
    at : plan point, ft
    reach_ft : how far off still counts, ft
    """
    spots = (s.owner.id for s in index.spots_near(at, reach_ft))
    legs = (leg.owner.id for leg in index.legs_near(at, reach_ft) if _nearest(leg, at)[0] <= reach_ft)
    return frozenset((*spots, *legs))


def pick_box(index: PlanIndex, a: Point, b: Point) -> tuple[str, ...]:
    """Return the ids of the things that lie wholly within the box between two corners, in drawing order."""
    west, east = sorted((a[0], b[0]))
    south, north = sorted((a[1], b[1]))
    return tuple(
        owner
        for part in index.parts
        for owner, (x0, y0, x1, y1) in part.bounds
        if west <= x0 and x1 <= east and south <= y0 and y1 <= north
    )


def vertex_at(index: PlanIndex, ids: tuple[str, ...], at: Point, reach_ft: float) -> Vertex | None:
    """Return the nearest vertex of these things within reach; a thing that is one point has none."""
    best: tuple[float, Vertex] | None = None
    for spot in index.spots_near(at, reach_ft):
        if spot.alone or spot.vertex is None or spot.owner.id not in ids:
            continue
        off = hypot(spot.at[0] - at[0], spot.at[1] - at[1])
        if off <= reach_ft and (best is None or off < best[0]):
            best = (off, Vertex(spot.owner.id, spot.vertex))
    return best[1] if best else None


def leg_at(index: PlanIndex, ids: tuple[str, ...], at: Point, reach_ft: float) -> OnLeg | None:
    """Return the nearest place on a leg of these things within reach."""
    best: tuple[float, OnLeg] | None = None
    for leg in index.legs_near(at, reach_ft):
        if leg.owner.id not in ids:
            continue
        off, where = _nearest(leg, at)
        if off <= reach_ft and (best is None or off < best[0]):
            best = (off, OnLeg(leg.owner.id, leg.insert, where))
    return best[1] if best else None


def _own_reach_ft(owner: Thing) -> float:
    """Return the size of a thing on the ground: a trunk may be picked anywhere on it."""
    return (owner.trunk_diameter_in or 0.0) / 24 if isinstance(owner, Obstacle) else 0.0


def _nearest(leg: Leg, at: Point) -> tuple[float, Point]:
    (ax, ay), (bx, by) = leg.a, leg.b
    dx, dy = bx - ax, by - ay
    along = min(1.0, max(0.0, ((at[0] - ax) * dx + (at[1] - ay) * dy) / (dx * dx + dy * dy)))
    where = (ax + along * dx, ay + along * dy)
    return hypot(at[0] - where[0], at[1] - where[1]), where
