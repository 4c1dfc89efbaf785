"""Where a pointer means to be: at a point, square to an edge, on an edge, or in line with what is drawn. Feet, no window.

The order: points; the foot of the perpendicular from the last point to an edge; where a guide meets an edge; an edge; where
two guides meet; a guide. Guides run from the last point: straight on, at right angles and 45s to the leg before, and along
the compass.
"""

from collections.abc import Iterable
from math import atan2, cos, hypot, inf, pi, sin

from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Breakline, Downspout, Heap, Obstacle, Run, Service, Shot, Structure, Thing
from drainsketch.job.plan_index import Leg, PlanIndex
from drainsketch.job.under_index import UnderIndex

SQUARE_REACH = 1.5  # the foot of a perpendicular draws the pointer from this many times the reach
GUIDE_ANGLE = 4 * pi / 180  # a guide draws the pointer from no wider an angle than this
UNDER = "on the drawing under the plan"
ON_EDGE_FT = 0.02  # the last point lies on an edge
Ray = tuple[Point, Point]  # a line through two points, without end


class Snap(Struct, frozen=True):
    """Where the pointer was drawn to. ``kind`` is what for; ``id`` the thing, '' for a guide; ``word`` says it in short."""

    point: Point
    kind: str  # structure, downspout, shot, corner, bend, first, square, edge, guide
    id: str = ""
    word: str = ""
    rays: tuple[Ray, ...] = ()  # guides to show


class Edge(Struct, frozen=True):
    """A straight piece that the pointer may be drawn to, and what it is a piece of; ``id`` '' is the drawing under the plan."""

    a: Point
    b: Point
    id: str
    word: str


class Guide(Struct, frozen=True):
    """A line the pointer may follow, through ``a`` along the unit vector ``u``; ``ahead``: only in that direction."""

    a: Point
    u: Point
    word: str
    ahead: bool = True


def snap(
    index: PlanIndex,
    at: Point,
    reach_ft: float,
    *,
    anchor: Point | None = None,
    before: Point | None = None,
    own: tuple[Point, ...] = (),
    rays: tuple[Ray, ...] = (),
    skip: frozenset[str] = frozenset(),
) -> Snap | None:
    """Return where a pointer is drawn to, or None where nothing is in reach.

    Parameters
    ----------
    at : the pointer, ft
    reach_ft : how near something must be, ft
    anchor : the last point of what is being drawn
    before : the point before it
    own : points of what is being drawn that may be met again
    rays : further lines to keep in line with
    skip : ids that do not count (what is being dragged)
    """
    found = _at_point(index, at, reach_ft, own, skip)
    if found is not None:
        return found
    legs = sorted(_edges_near(index, at, reach_ft, skip), key=lambda one: one[1])
    guides = [*_guides(anchor, before), *(_ray_guide(ray) for ray in rays)]
    if anchor is not None:
        found = _square(legs, anchor, at, reach_ft)
    found = found or _guide_on_edge(legs, guides, at, reach_ft)
    if found is None and legs:
        leg, _, where = legs[0]
        found = Snap(where, "edge", leg.id, leg.word)
    return found or _on_guides(guides, at, reach_ft)


def _edges_near(index: PlanIndex, at: Point, reach_ft: float, skip: frozenset[str]) -> list[tuple[Edge, float, Point]]:
    """Return the edges in reach, each with how far off it is and its nearest place; those of the yard first."""
    edges = [Edge(x.a, x.b, x.owner.id, _edge_word(x.owner)) for x in index.legs_near(at, reach_ft)]
    near = [(x, *_nearest(x, at)) for x in edges if x.id not in skip]
    near = [one for one in near if one[1] <= reach_ft]
    if near or index.under is None:
        return near
    under = [Edge(a, b, "", UNDER) for a, b in index.under.legs_near(at, reach_ft)]
    return [one for x in under if (one := (x, *_nearest(x, at)))[1] <= reach_ft]


def aimed(
    index: PlanIndex, found: Snap | None, anchor: Point, before: Point | None, at: Point, reach_ft: float
) -> Point:
    """Return the point that a leg of typed length goes toward.

    A guide within a few degrees of the pointer beats an edge that only lies near, which would turn the leg a little; what
    the pointer was drawn to otherwise counts, and so does the very edge that the last point lies on.

    Parameters
    ----------
    found : what the pointer is drawn to
    anchor, before : the last point of what is being drawn, and the one before it
    at : the pointer, ft
    reach_ft : how near something must be, ft
    """
    if found is not None and (found.kind not in ("edge", "guide") or _leads_along(index, found, anchor, at, reach_ft)):
        return found.point
    best: tuple[float, Point] | None = None
    for guide in _guides(anchor, before):
        near = _projected(guide, at, inf)
        if near is not None and (best is None or near[0] < best[0] - 1e-9):
            best = near
    return best[1] if best is not None else found.point if found is not None else at


def _leads_along(index: PlanIndex, found: Snap, anchor: Point, at: Point, reach_ft: float) -> bool:
    """Return whether the edge that draws the pointer is the one the last point lies on."""
    legs = (leg for leg in index.legs_near(at, reach_ft) if leg.owner.id == found.id)
    return any(_nearest(leg, at)[0] <= reach_ft and _nearest(leg, anchor)[0] < ON_EDGE_FT for leg in legs)


def _at_point(
    index: PlanIndex, at: Point, reach_ft: float, own: tuple[Point, ...], skip: frozenset[str]
) -> Snap | None:
    best: tuple[tuple[int, float], Snap] | None = None
    for point in own:
        off = hypot(point[0] - at[0], point[1] - at[1])
        if off <= reach_ft:
            best = ((0, off), Snap(point, "first", "", "first point: close"))
    for spot in index.spots_near(at, reach_ft):
        off = hypot(spot.at[0] - at[0], spot.at[1] - at[1])
        if off > reach_ft or spot.owner.id in skip:
            continue
        kind, word = _point_kind(spot.owner)
        rank = (1 if kind == "structure" else 2 if kind == "downspout" else 3, off)
        if best is None or rank < best[0]:
            best = (rank, Snap(spot.at, kind, spot.owner.id, word))
    if best is None and index.under is not None:
        return _at_corner_under(index.under, at, reach_ft)
    return best[1] if best else None


def _at_corner_under(under: UnderIndex, at: Point, reach_ft: float) -> Snap | None:
    """Return the nearest corner of the drawing under the plan; whatever is drawn goes before it."""
    near = [(hypot(x - at[0], y - at[1]), (x, y)) for x, y in under.spots_near(at, reach_ft)]
    off, spot = min(near, default=(inf, at))
    return Snap(spot, "corner", "", UNDER) if off <= reach_ft else None


def _point_kind(owner: Thing) -> tuple[str, str]:
    match owner:
        case Structure():
            return "structure", owner.id
        case Downspout() | Shot():
            kind = type(owner).__name__.lower()
            return kind, kind
        case Run() | Service() | Breakline():
            return "bend", "bend"
        case Obstacle(kind="tree" | "well"):
            return "corner", owner.kind
        case _:
            return "corner", "corner"


def _edge_word(owner: Thing) -> str:  # noqa: PLR0911  one a kind
    match owner:
        case Run():
            return f"on run {owner.id}"
        case Service():
            return f"on the {owner.kind} line" if owner.kind != "drain line" else "on the drain line"
        case Breakline():
            return f"on the {owner.kind} line" if owner.kind == "other" else f"on the {owner.kind}"
        case Boundary():
            return "on the lot line"
        case Heap():
            return f"on the edge of the {owner.kind}"
        case Obstacle(kind="fence"):
            return "on the fence"
        case _:
            return "on the edge"


def _square(legs: list[tuple[Edge, float, Point]], anchor: Point, at: Point, reach_ft: float) -> Snap | None:
    best: tuple[float, Snap] | None = None
    for leg, _, _ in legs:
        off_line, foot = _nearest(leg, anchor)
        if off_line < 1e-6 or foot in (leg.a, leg.b):
            continue
        off = hypot(foot[0] - at[0], foot[1] - at[1])
        if off <= reach_ft * SQUARE_REACH and (best is None or off < best[0]):
            best = (off, Snap(foot, "square", leg.id, "square to the edge", ((anchor, foot),)))
    return best[1] if best else None


def _guides(anchor: Point | None, before: Point | None) -> list[Guide]:
    """Return the guides from the last point: those of the leg before, then those of the compass."""
    if anchor is None:
        return []
    guides: list[Guide] = []
    if before is not None and before != anchor:
        heading = atan2(anchor[1] - before[1], anchor[0] - before[0])
        turns = (
            (0, "straight on"),
            (2, "right angle"),
            (-2, "right angle"),
            (1, "45°"),
            (-1, "45°"),
            (3, "45°"),
            (-3, "45°"),
        )
        guides += [Guide(anchor, _unit(heading + turn * pi / 4), word) for turn, word in turns]
    compass = ("east", "", "north", "", "west", "", "south", "")
    guides += [
        Guide(anchor, _unit(i * pi / 4), f"due {name}" if name else "45° to north") for i, name in enumerate(compass)
    ]
    return guides


def _unit(heading: float) -> Point:
    """Return the unit vector of a heading; exact along the axes, so that a level line is level to the last digit."""
    c, s = cos(heading), sin(heading)
    return (
        (0.0, 1.0 if s > 0 else -1.0) if abs(c) < 1e-12 else (1.0 if c > 0 else -1.0, 0.0) if abs(s) < 1e-12 else (c, s)
    )


def _ray_guide(ray: Ray) -> Guide:
    (ax, ay), (bx, by) = ray
    return Guide(ray[0], _unit(atan2(by - ay, bx - ax)), "in line", ahead=False)


def _projected(guide: Guide, at: Point, reach_ft: float) -> tuple[float, Point] | None:
    """Return how far off a guide is and the place on it; None when it does not draw the pointer."""
    dx, dy = at[0] - guide.a[0], at[1] - guide.a[1]
    along = dx * guide.u[0] + dy * guide.u[1]
    off = abs(dx * guide.u[1] - dy * guide.u[0])
    if guide.ahead and (along <= 0 or off > along * sin(GUIDE_ANGLE)):
        return None
    if off > reach_ft:
        return None
    return off, (guide.a[0] + along * guide.u[0], guide.a[1] + along * guide.u[1])


def _guide_on_edge(
    legs: list[tuple[Edge, float, Point]], guides: Iterable[Guide], at: Point, reach_ft: float
) -> Snap | None:
    best: tuple[float, Snap] | None = None
    near = [g for g in guides if _projected(g, at, reach_ft) is not None]
    for leg, _, _ in legs:
        for guide in near:
            where = _meeting(guide.a, guide.u, leg.a, (leg.b[0] - leg.a[0], leg.b[1] - leg.a[1]))
            if where is None:
                continue
            off = hypot(where[0] - at[0], where[1] - at[1])
            if off <= reach_ft and _nearest(leg, where)[0] < 1e-6 and (best is None or off < best[0] - 1e-9):
                word = f"{guide.word}, {leg.word}"
                best = (off, Snap(where, "edge", leg.id, word, ((guide.a, where),)))
    return best[1] if best else None


def _on_guides(guides: list[Guide], at: Point, reach_ft: float) -> Snap | None:
    near = [(off[0], i, guide, off[1]) for i, guide in enumerate(guides) if (off := _projected(guide, at, reach_ft))]
    rays = [g for _, _, g, _ in near if not g.ahead]
    for _, _, guide, _ in sorted(near, key=lambda one: one[:2]):
        for ray in rays:
            where = None if ray is guide else _meeting(guide.a, guide.u, ray.a, ray.u)
            if where is not None and hypot(where[0] - at[0], where[1] - at[1]) <= reach_ft * SQUARE_REACH:
                word = f"{guide.word}, in line" if guide.ahead else "in line"
                return Snap(where, "guide", "", word, ((guide.a, where), (ray.a, where)))
    if not near:
        return None
    _, _, guide, where = min(near, key=lambda one: (round(one[0], 9), one[1]))
    return Snap(where, "guide", "", guide.word, ((guide.a, where),))


def _meeting(a: Point, u: Point, b: Point, v: Point) -> Point | None:
    """Return where the line through a along u meets the line through b along v; None when they run side by side."""
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 1e-9 * hypot(*u) * hypot(*v):
        return None
    t = ((b[0] - a[0]) * v[1] - (b[1] - a[1]) * v[0]) / cross
    return a[0] + t * u[0], a[1] + t * u[1]


def _nearest(leg: Leg | Edge, at: Point) -> tuple[float, Point]:
    (ax, ay), (bx, by) = leg.a, leg.b
    dx, dy = bx - ax, by - ay
    along = ((at[0] - ax) * dx + (at[1] - ay) * dy) / (dx * dx + dy * dy)
    if along <= 0.0:
        where = leg.a
    elif along >= 1.0:
        where = leg.b
    else:
        where = (ax + along * dx, ay + along * dy)
    return hypot(at[0] - where[0], at[1] - where[1]), where
