"""Marks of what is there: lot line, obstacles, downspouts, services, shots. One function for each kind of thing."""

from collections.abc import Callable
from itertools import pairwise
from math import dist, hypot

from msgspec.structs import replace

from drainsketch.job.kinds import Point
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Backdrop, Boundary, Breakline, Downspout, Heap, Obstacle, Service, Shot
from drainsketch.look import SERVICE_LETTERS
from drainsketch.network.buried import SEEN_FT
from drainsketch.network.setbacks import root_zone_ft
from drainsketch.sheets.labels import FOLD
from drainsketch.sheets.marks import Disc, Label, Mark, PlanMarks, Sign, Stroke
from drainsketch.sheets.text import LABEL_LENGTH, plain
from drainsketch.wording import Words

RANK_STRUCTURE, RANK_NAMED, RANK_RUN, RANK_SERVICE, RANK_DIMENSION, RANK_PLACE, RANK_LETTER, RANK_SHOT = range(1, 9)
LETTER_SPACING_FT = 20.0  # a service's letter stands about this often along it
UNKNOWN_TRUNK_IN = 8.0
LONGEST_LETTERING = 400  # letters along one service, however long it is


def backdrop_strokes(backdrop: Backdrop | None) -> tuple[Stroke, ...]:
    """Return the lines of the drawing under the plan while it is shown."""
    if backdrop is None or not backdrop.shown:
        return ()
    return tuple(Stroke(points=x.points, style="backdrop", closed=x.closed) for x in backdrop.lines)


def boundary_marks(boundary: Boundary, words: Words) -> PlanMarks:
    """Return the lot line with the length of each edge."""
    corners = boundary.points
    labels = tuple(
        Label(
            at=middle(a, b),
            text=words.length(gap),
            lettering="dimension",
            owner=boundary.id,
            along=(a, b),
            rank=RANK_DIMENSION,
            clear_pt=3.0,
        )
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
        if (gap := hypot(b[0] - a[0], b[1] - a[1])) > 0
    )
    return PlanMarks(
        ground=(Stroke(points=corners, style="boundary", owner=boundary.id, closed=True),),
        drains=(),
        flags=(),
        labels=labels,
    )


def obstacle_marks(obstacle: Obstacle, criteria: Criteria, words: Words, *, is_named: bool = False) -> PlanMarks:
    """Return an obstacle: outline, line, or symbol, with its name or, without one, what it is.

    Parameters
    ----------
    is_named : a warning speaks of it, so its words are never left out
    """
    rank = RANK_NAMED if is_named else RANK_PLACE
    name = plain(obstacle.name, LABEL_LENGTH) or words.word(f"sheets.obstacle.{obstacle.kind}")
    spot = obstacle.points[0]
    marks: tuple[Mark, ...]
    clear = 0.0
    if obstacle.kind == "tree":
        trunk_in = obstacle.trunk_diameter_in or UNKNOWN_TRUNK_IN
        marks = (
            Disc(
                center=spot,
                radius_ft=root_zone_ft(obstacle.trunk_diameter_in, criteria.root_zone_ft_per_in),
                style="root zone",
                owner=obstacle.id,
            ),
            Disc(center=spot, radius_ft=trunk_in / 24, style="trunk", owner=obstacle.id),
        )
        clear = 6.0
        if obstacle.trunk_diameter_in is not None:
            name = f"{name} {words.inches(obstacle.trunk_diameter_in)}"
    elif obstacle.kind == "well":
        marks = (Sign(at=spot, symbol="well", owner=obstacle.id),)
        clear = 7.5
    elif obstacle.kind == "fence" or len(obstacle.points) < 3:
        marks = (Stroke(points=obstacle.points, style=_style(obstacle), owner=obstacle.id),)
        label = label_along(obstacle.points, name, "place", owner=obstacle.id, rank=rank, clear_pt=3.0)
        return PlanMarks(ground=marks, drains=(), flags=(), labels=(label,) if label else ())
    else:
        marks = (Stroke(points=obstacle.points, style=_style(obstacle), owner=obstacle.id, closed=True),)
        spot = inside_point(obstacle.points)
    label = Label(at=spot, text=name, lettering="place", owner=obstacle.id, rank=rank, clear_pt=clear)
    return PlanMarks(ground=marks, drains=(), flags=(), labels=(label,))


def downspout_marks(downspout: Downspout, words: Words) -> PlanMarks:
    """Return a downspout with its name or id."""
    text = plain(downspout.name, LABEL_LENGTH) or downspout.id
    sign = Sign(at=downspout.point, symbol="downspout", owner=downspout.id)
    label = Label(at=downspout.point, text=text, lettering="place", owner=downspout.id, rank=RANK_PLACE, clear_pt=6.0)
    return PlanMarks(ground=(sign,), drains=(), flags=(), labels=(label,))


def shot_marks(shot: Shot, level_ft: float | None, words: Words) -> PlanMarks:
    """Return a ground shot with its level; without one it says so."""
    sign = Sign(at=shot.point, symbol="shot", owner=shot.id)
    text = words.level(level_ft) if level_ft is not None else words.word("sheets.plan.no_level")
    label = Label(at=shot.point, text=text, lettering="shot", owner=shot.id, rank=RANK_SHOT, clear_pt=5.5)
    return PlanMarks(ground=(sign,), drains=(), flags=(), labels=(label,))


def breakline_marks(breakline: Breakline, words: Words) -> PlanMarks:
    """Return a line along which the ground breaks, with what it is."""
    text = plain(breakline.name, LABEL_LENGTH) or words.word(f"sheets.breakline.{breakline.kind}")
    label = label_along(breakline.points, text, "place", owner=breakline.id, rank=RANK_PLACE, clear_pt=3.0)
    line = Stroke(points=breakline.points, style="breakline", owner=breakline.id)
    return PlanMarks(ground=(line,), drains=(), flags=(), labels=(label,) if label else ())


def heap_marks(heap: Heap, words: Words, *, is_named: bool = False) -> PlanMarks:
    """Return a spoil heap or a fill area with its name or, without one, what it is; a fill area says how deep.

    Parameters
    ----------
    is_named : a warning speaks of it, so its words are never left out
    """
    text = plain(heap.name, LABEL_LENGTH) or words.word(f"sheets.heap.{heap.kind}")
    if heap.kind == "fill area":
        text += FOLD + (words.inches(heap.fill_in) if heap.fill_in else words.word("sheets.plan.depth_unknown"))
    rank = RANK_NAMED if is_named else RANK_PLACE
    label = Label(at=inside_point(heap.points), text=text, lettering="place", owner=heap.id, rank=rank, clear_pt=0.0)
    outline = Stroke(points=heap.points, style=heap.kind, owner=heap.id, closed=True)
    return PlanMarks(ground=(outline,), drains=(), flags=(), labels=(label,))


def lasting(marks: PlanMarks) -> PlanMarks:
    """Return the marks without spoil heaps, which are gone when the work is done."""
    gone = {m.owner for m in marks.ground if isinstance(m, Stroke) and m.style == "spoil heap"}
    if not gone:
        return marks
    ground, labels = (tuple(m for m in some if m.owner not in gone) for some in (marks.ground, marks.labels))
    return replace(marks, ground=ground, labels=labels)


def service_marks(service: Service, words: Words, crossed: tuple[Point, ...] = ()) -> PlanMarks:
    """Return a buried service: its line, its letter along it, once its name and depth, and its level where it was exposed.

    Parameters
    ----------
    crossed : where pipe crosses services; a level stands nowhere nearer to one of these than to where it was measured
    """
    letter = SERVICE_LETTERS[service.kind]
    if service.exposed:
        depth = words.word("sheets.plan.exposed_at", count=len(service.exposed))
    elif service.depth_top_ft is None:
        depth = words.word("sheets.plan.depth_unknown")
    else:
        depth = words.word("sheets.plan.depth", depth=words.length(service.depth_top_ft))
    kind = words.word(f"sheets.service.{service.kind}")
    name = plain(service.name, LABEL_LENGTH)
    text = (f"{name}, {kind}" if name else kind) + FOLD + depth
    full = label_along(service.points, text, "service", owner=service.id, rank=RANK_SERVICE, clear_pt=3.0)
    letters = tuple(
        Label(at=at, text=letter, lettering="service", owner=service.id, along=leg, rank=RANK_LETTER, clear_pt=0.0)
        for at, leg in stations_along(service.points, LETTER_SPACING_FT)[:LONGEST_LETTERING]
    )
    seen = tuple(
        Label(
            at=e.point,
            text=words.word("sheets.plan.exposed", level=e.top_ft)
            if e.top_ft is not None
            else words.word("sheets.plan.exposed_deep", depth=e.depth_ft),
            lettering="shot",
            owner=service.id,
            rank=RANK_SERVICE,
            not_of=tuple(c for c in crossed if dist(c, e.point) > SEEN_FT),
        )
        for e in service.exposed
    )
    line = Stroke(points=service.points, style=f"service.{service.kind}", owner=service.id)
    return PlanMarks(ground=(), drains=(line,), flags=(), labels=((full,) if full else ()) + seen + letters)


def middle(a: Point, b: Point) -> Point:
    """Return the point halfway between two."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def legs(points: tuple[Point, ...]) -> list[tuple[float, Point, Point]]:
    """Return the legs of a polyline that have a length, each as (length ft, start, end)."""
    return [(d, a, b) for a, b in pairwise(points) if (d := hypot(b[0] - a[0], b[1] - a[1])) > 0]


def label_along(
    points: tuple[Point, ...], text: str, lettering: str, *, owner: str, rank: int, clear_pt: float
) -> Label | None:
    """Return a label on the longest leg of a polyline; None when no leg has a length."""
    longest: Callable[[tuple[float, Point, Point]], float] = lambda leg: leg[0]  # noqa: E731
    _, a, b = max(legs(points), key=longest, default=(0.0, None, None))
    if a is None or b is None:
        return None
    return Label(
        at=middle(a, b), text=text, lettering=lettering, owner=owner, along=(a, b), rank=rank, clear_pt=clear_pt
    )


def stations_along(points: tuple[Point, ...], spacing_ft: float) -> list[tuple[Point, tuple[Point, Point]]]:
    """Return points spread along a polyline about ``spacing_ft`` apart, each with the leg it lies on; one at least."""
    found = legs(points)
    whole = sum(d for d, _, _ in found)
    count = min(max(1, round(whole / spacing_ft)), LONGEST_LETTERING)
    spots: list[tuple[Point, tuple[Point, Point]]] = []
    behind = 0.0
    for d, a, b in found:
        while len(spots) < count and (at := (len(spots) + 0.5) * whole / count) <= behind + d:
            t = (at - behind) / d
            spots.append(((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])), (a, b)))
        behind += d
    return spots


def inside_point(ring: tuple[Point, ...]) -> Point:
    """Return a point well inside a closed outline: midway of the widest chord at mid-height; any outline is borne.

    Examples
    --------
    >>> inside_point(((0, 0), (10, 0), (10, 4), (0, 4)))
    (5.0, 2.0)
    """
    ys = [y for _, y in ring]
    level = (min(ys) + max(ys)) / 2
    cuts = sorted(
        ax + (level - ay) * (bx - ax) / (by - ay)
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True)
        if (ay > level) != (by > level)
    )
    chords = list(zip(cuts[::2], cuts[1::2], strict=False))
    if not chords:
        return ring[0]
    west, east = max(chords, key=lambda chord: chord[1] - chord[0])
    return (west + east) / 2, level


def _style(obstacle: Obstacle) -> str:
    return obstacle.kind if obstacle.kind in ("building", "hardscape", "bed", "septic", "fence") else "other"
