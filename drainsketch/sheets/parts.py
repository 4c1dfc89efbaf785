"""A yard too large for one page at its scale, cut into parts: which there are, where they meet, what of the plan each shows."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import ceil, hypot

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.kinds import Point
from drainsketch.sheets.boxes import line_meets, rect_box
from drainsketch.sheets.marks import Band, Disc, Label, Mark, PlanMarks, Sign, Stroke

Extent = tuple[float, float, float, float]  # west, south, east, north, ft
SIDES = {"west": (-1, 0), "east": (1, 0), "south": (0, 1), "north": (0, -1)}  # column and row of the part beside it
LEAST_LEG = 0.15  # of a leg inside a part, for its words to stand there
HAIR_FT = 1e-6  # what lies on the line between two parts is in both


class Part(Struct, frozen=True):
    """One part of a yard: its name, as ``B2`` (rows are letters from the north, columns numbers from the west), and what it covers."""

    column: int
    row: int
    extent: Extent

    @property
    def name(self) -> str:
        """What it is called on paper."""
        return f"{row_name(self.row)}{self.column + 1}"


class KeyMap(Struct, frozen=True):
    """The small map of all parts that stands on each of their pages: ``here`` is this part, ``lines`` the drains, ft."""

    parts: tuple[Part, ...]
    here: Part
    lines: tuple[tuple[Point, Point], ...] = ()

    @property
    def extent(self) -> Extent:
        """What it covers, ft."""
        west, south, east, north = zip(*(part.extent for part in self.parts), strict=True)
        return min(west), min(south), max(east), max(north)


def row_name(row: int) -> str:
    """Return the letter of a row, two of them from the 27th on."""
    return (row_name(row // 26 - 1) if row >= 26 else "") + chr(ord("A") + row % 26)


def grid(extent: Extent, room_ft: tuple[float, float]) -> tuple[int, int]:
    """Return how many columns and rows of rooms cover an extent."""
    west, south, east, north = extent
    return max(1, ceil((east - west) / room_ft[0] - 1e-9)), max(1, ceil((north - south) / room_ft[1] - 1e-9))


def parts_of(extent: Extent, room_ft: tuple[float, float], marks: PlanMarks) -> tuple[Part, ...]:
    """Return the parts that cover a yard, all of one size and none larger than a room; a part with nothing on it is left out."""
    west, south, east, north = extent
    columns, rows = grid(extent, room_ft)
    wide, tall = (east - west) / columns, (north - south) / rows
    every = (*marks.ground, *marks.drains, *marks.flags)
    found = []
    for row in range(rows):
        for column in range(columns):
            x, y = west + column * wide, north - row * tall
            covers = (x, y - tall, x + wide, y)
            if any(touches(mark, covers, fills=False) for mark in every):
                found.append(Part(column, row, covers))
    return tuple(found)


def beside(part: Part, parts: Iterable[Part]) -> Iterator[tuple[str, int, Part]]:
    """Yield the parts next to one: on which side, how many pages on, and which."""
    listed = tuple(parts)
    here = listed.index(part)
    for side, (right, down) in SIDES.items():
        for i, other in enumerate(listed):
            if (other.column, other.row) == (part.column + right, part.row + down):
                yield side, i - here, other


def touches(mark: Mark, extent: Extent, *, fills: bool = True) -> bool:
    """Return whether something of a mark lies within an extent; with ``fills`` also an area that lies all round it."""
    if isinstance(mark, Stroke):
        rings = (mark.points, *mark.holes)
        lines = any(_line_in(ring + ring[:1] if mark.closed else ring, extent, HAIR_FT) for ring in rings)
        return lines or (fills and mark.closed and _all_round(mark, extent))
    if isinstance(mark, Band):
        return _line_in(mark.points, extent, mark.width_ft / 2)
    if isinstance(mark, Disc):
        return _grown(extent, mark.radius_ft, mark.center)
    return _grown(extent, 0.0, mark.at)


def of_part(marks: PlanMarks, covers: Extent, shown: Extent) -> PlanMarks:
    """Return what a part shows of a plan.

    Parameters
    ----------
    covers : the part itself: words and flags are those of what stands there, so that each is said on one page
    shown : the part with the strip that it shows of its neighbors
    """
    words = (label for one in marks.labels if (label := _said_here(one, covers)) is not None)
    return PlanMarks(
        ground=tuple(m for m in marks.ground if touches(m, shown)),
        drains=tuple(m for m in marks.drains if touches(m, shown)),
        flags=tuple(m for m in marks.flags if not isinstance(m, Sign) or _grown(covers, 0.0, m.at)),
        labels=tuple(words),
    )


def _said_here(label: Label, covers: Extent) -> Label | None:
    """Return the label as this part says it: what goes along a leg stands on as much of it as lies here."""
    if label.along is None:
        return label if _grown(covers, 0.0, label.at) else None
    inside = _clipped(*label.along, covers)
    if inside is None:
        return None
    a, b = inside
    whole = hypot(label.along[1][0] - label.along[0][0], label.along[1][1] - label.along[0][1])
    if hypot(b[0] - a[0], b[1] - a[1]) < LEAST_LEG * whole and not _grown(covers, 0.0, label.at):
        return None
    at = label.at if _grown(covers, 0.0, label.at) else ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return replace(label, at=at, along=inside)


def _clipped(a: Point, b: Point, extent: Extent) -> tuple[Point, Point] | None:
    """Return the piece of a leg within an extent."""
    low, high = 0.0, 1.0
    for start, step, least, most in (
        (a[0], b[0] - a[0], extent[0], extent[2]),
        (a[1], b[1] - a[1], extent[1], extent[3]),
    ):
        if step == 0.0:
            if not least <= start <= most:
                return None
            continue
        t0, t1 = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, t0), min(high, t1)
    if low >= high:
        return None
    return (
        (a[0] + low * (b[0] - a[0]), a[1] + low * (b[1] - a[1])),
        (a[0] + high * (b[0] - a[0]), a[1] + high * (b[1] - a[1])),
    )


def _line_in(points: tuple[Point, ...], extent: Extent, by: float) -> bool:
    west, south, east, north = extent
    box = rect_box((west - by, south - by, east + by, north + by))
    return any(line_meets(box, a, b) for a, b in pairwise(points)) or _grown(extent, by, points[0])


def _all_round(mark: Stroke, extent: Extent) -> bool:
    xs, ys = zip(*mark.points, strict=True)
    return bool(min(xs) < extent[0] and max(xs) > extent[2] and min(ys) < extent[1] and max(ys) > extent[3])


def _grown(extent: Extent, by: float, spot: Point) -> bool:
    return extent[0] - by <= spot[0] <= extent[2] + by and extent[1] - by <= spot[1] <= extent[3] + by


def key_lines(marks: PlanMarks) -> tuple[tuple[Point, Point], ...]:
    """Return the lines of a key map: the drains and the lot."""
    found: list[tuple[Point, Point]] = []
    for mark in (*marks.ground, *marks.drains):
        if isinstance(mark, Stroke) and mark.style.startswith(("run.", "boundary")):
            found += pairwise(mark.points + mark.points[:1] if mark.closed else mark.points)
    return tuple(found)
