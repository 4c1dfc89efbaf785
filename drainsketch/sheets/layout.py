"""A plan sheet laid out as data: which way the paper is held, where the plan and its strip stand, at what scale."""

from collections.abc import Iterator

from msgspec import Struct

from drainsketch.errors import SheetError
from drainsketch.job.kinds import Point
from drainsketch.sheets.arrange import Way, ways
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.scale import PAPERS, Scale, fits, largest_fit, paper_size, scales
from drainsketch.sheets.strip import Item, StripContent

LEAST_EXTENT_FT = 10.0

Extent = tuple[float, float, float, float]


class PlanSheet(Struct, frozen=True):
    """One plan sheet. Rectangles are points from the lower left corner of the paper."""

    paper: str
    size: tuple[float, float]
    frame: Rect
    strip: Rect
    scale: Scale
    center_ft: Point
    items: tuple[Item, ...]
    rules: tuple[tuple[Spot, Spot], ...]

    def to_paper(self, point: Point) -> Spot:
        """Return where a plan point lies on the paper, pt."""
        k = self.scale.pt_per_ft
        x0, y0, x1, y1 = self.frame
        return (x0 + x1) / 2 + (point[0] - self.center_ft[0]) * k, (y0 + y1) / 2 + (point[1] - self.center_ft[1]) * k


def lay_out(content: StripContent, extent: Extent, *, paper: str, asked: Scale | None) -> PlanSheet:
    """Return the plan sheet on which the yard is drawn largest.

    Parameters
    ----------
    content : what stands in the strip
    extent : west, south, east, north of what must be on the plan, ft
    asked : the scale to draw at, or None for the largest that fits

    Raises
    ------
    SheetError : the paper is unknown, or the yard does not fit at the asked scale; says what would
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
    return f"At {asked.text()} the yard does not fit {paper} paper; {', and '.join(cures) or 'no paper here holds it'}."
