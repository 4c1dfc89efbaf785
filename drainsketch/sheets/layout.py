"""A plan sheet laid out as data: which way the paper is held, where the plan and its strip stand, at what scale, and in how many parts."""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.errors import SheetError
from drainsketch.job.kinds import Point
from drainsketch.sheets.arrange import Way, ways
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.marks import PlanMarks
from drainsketch.sheets.parts import Extent, KeyMap, Part, beside, grid, key_lines, parts_of
from drainsketch.sheets.scale import PAPERS, Scale, fits, largest_fit, paper_size, scales
from drainsketch.sheets.strip import Item, StripContent

LEAST_EXTENT_FT = 10.0
MOST_PARTS = 60


class Match(Struct, frozen=True):
    """The line at which a part of the yard meets the next; that part stands ``pages_on`` from here."""

    line: tuple[Spot, Spot]
    side: str
    other: str
    pages_on: int


class PlanSheet(Struct, frozen=True):
    """One plan sheet. Rectangles are points from the lower left corner of the paper.

    ``part`` is what of a large yard stands on it, None for all; ``matches`` are the lines where its neighbors go on.
    """

    paper: str
    size: tuple[float, float]
    frame: Rect
    strip: Rect
    scale: Scale
    center_ft: Point
    items: tuple[Item, ...]
    rules: tuple[tuple[Spot, Spot], ...]
    part: Part | None = None
    matches: tuple[Match, ...] = ()

    def to_paper(self, point: Point) -> Spot:
        """Return where a plan point lies on the paper, pt."""
        k = self.scale.pt_per_ft
        x0, y0, x1, y1 = self.frame
        return (x0 + x1) / 2 + (point[0] - self.center_ft[0]) * k, (y0 + y1) / 2 + (point[1] - self.center_ft[1]) * k

    @property
    def shown_ft(self) -> Extent:
        """What of the ground lies within the frame, ft."""
        k = self.scale.pt_per_ft
        x0, y0, x1, y1 = self.frame
        (x, y), half_wide, half_tall = self.center_ft, (x1 - x0) / k / 2, (y1 - y0) / k / 2
        return x - half_wide, y - half_tall, x + half_wide, y + half_tall

    @property
    def words_room(self) -> Rect:
        """Where words and flags may stand: the frame, but not beyond a match line."""
        left, low, right, high = self.frame
        for match in self.matches:
            (x, y), _ = match.line
            if match.side == "west":
                left = max(left, x)
            elif match.side == "east":
                right = min(right, x)
            elif match.side == "south":
                low = max(low, y)
            else:
                high = min(high, y)
        return left, low, right, high


def lay_out(content: StripContent, extent: Extent, *, paper: str, asked: Scale | None) -> PlanSheet:
    """Return the plan sheet on which the yard is drawn largest.

    Parameters
    ----------
    content : what stands in the strip
    extent : west, south, east, north of what must be on the plan, ft
    asked : the scale to draw at, or None for the largest that fits

    Raises
    ------
    SheetError : the paper is unknown, or the yard does not fit one page at the asked scale; says what would
    """
    size = paper_size(paper)
    width, height = spread(extent)
    best: tuple[float, float, Way, Scale] | None = None
    for one in ways(size, content):
        if min(one.room) <= 0:
            continue
        scale = asked or largest_fit(width, height, one.room, content.header.units)
        if not fits(width, height, one.room, scale):
            continue
        spare = min(one.room[0] - width * scale.pt_per_ft, one.room[1] - height * scale.pt_per_ft)
        if best is None or (scale.ft_per_in, -spare) < best[:2]:
            best = (scale.ft_per_in, -spare, one, scale)
    if best is None:
        raise SheetError(_does_not_fit(content, extent, paper=paper, asked=asked))
    _, _, one, scale = best
    items, rules = one.place(scale)
    center = ((extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2)
    return PlanSheet(paper, one.size, one.frame, one.strip, scale, center, items, rules)


def lay_out_parts(
    content: StripContent, extent: Extent, marks: PlanMarks, *, paper: str, scale: Scale
) -> tuple[PlanSheet, ...]:
    """Return the plan sheets that together show a yard at a scale: one where it fits, else as few as may be.

    Raises
    ------
    SheetError : it would take too many pages; says which scale or paper would do
    """
    try:
        return (lay_out(content, extent, paper=paper, asked=scale),)
    except SheetError:
        if paper not in PAPERS:
            raise
    west, south, east, north = extent
    wide, tall = spread(extent)
    middle_x, middle_y = (west + east) / 2, (south + north) / 2
    covered = (middle_x - wide / 2, middle_y - tall / 2, middle_x + wide / 2, middle_y + tall / 2)
    best: tuple[tuple[float, float], int, tuple[Part, ...]] | None = None
    blank = replace(content, key=KeyMap((Part(0, 0, covered),), Part(0, 0, covered)))
    for i, one in enumerate(ways(paper_size(paper), blank)):
        if min(one.room) <= 0:
            continue
        room_ft = one.room[0] / scale.pt_per_ft, one.room[1] / scale.pt_per_ft
        columns, rows = grid(covered, room_ft)
        if columns * rows > 2 * MOST_PARTS:
            continue
        parts = parts_of(covered, room_ft, marks)
        rank = (len(parts), -one.room[0] * one.room[1])
        if len(parts) <= MOST_PARTS and (best is None or rank < best[0]):
            best = rank, i, parts
    if best is None:
        raise SheetError(_does_not_fit(content, extent, paper=paper, asked=scale))
    _, chosen, parts = best
    return tuple(_part_sheet(content, part, parts, marks, chosen, paper=paper, scale=scale) for part in parts)


def _part_sheet(
    content: StripContent,
    part: Part,
    parts: tuple[Part, ...],
    marks: PlanMarks,
    chosen: int,
    *,
    paper: str,
    scale: Scale,
) -> PlanSheet:
    keyed = replace(content, key=KeyMap(parts, part, key_lines(marks)))
    one = tuple(ways(paper_size(paper), keyed))[chosen]
    items, rules = one.place(scale)
    west, south, east, north = part.extent
    center = ((west + east) / 2, (south + north) / 2)
    sheet = PlanSheet(paper, one.size, one.frame, one.strip, scale, center, items, rules, part)
    ends = {
        "west": ((west, south), (west, north)),
        "east": ((east, south), (east, north)),
        "south": ((west, south), (east, south)),
        "north": ((west, north), (east, north)),
    }
    matches = []
    for side, pages_on, other in beside(part, parts):
        a, b = (sheet.to_paper(point) for point in ends[side])
        matches.append(Match((a, b), side, other.name, pages_on))
    return replace(sheet, matches=tuple(matches))


def spread(extent: Extent) -> tuple[float, float]:
    """Return the width and height that an extent is drawn with, ft."""
    west, south, east, north = extent
    return max(LEAST_EXTENT_FT, east - west), max(LEAST_EXTENT_FT, north - south)


def _does_not_fit(content: StripContent, extent: Extent, *, paper: str, asked: Scale | None) -> str:
    """Return the sentence that says which scale or paper would do."""
    if asked is None:
        return f"The yard is too large for {paper} paper at any scale; choose a larger paper."
    width, height = spread(extent)

    def fitting(name: str) -> Iterator[Scale]:
        rooms = [t.room for t in ways(PAPERS[name], content)]
        return (
            s for s in (asked, *scales(content.header.units)) if any(fits(width, height, room, s) for room in rooms)
        )

    larger = [name for name in PAPERS if name != paper and next(fitting(name), None) is asked]
    on_this = next(fitting(paper), None)
    cures = [f"{on_this.text()} does"] if on_this else []
    cures += [f"so does {larger[0]} paper at the asked scale" if cures else f"{larger[0]} paper does"] if larger else []
    cure = ", and ".join(cures) or "no paper here holds it"
    return f"At {asked.text()} the yard takes more than {MOST_PARTS} pages of {paper} paper. On one page {cure}."
