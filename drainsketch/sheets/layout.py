"""A plan sheet laid out as data: which way the paper is held, where the plan and its strip stand, at what scale."""

from collections.abc import Callable, Iterator
from datetime import date

from msgspec import Struct

from drainsketch.errors import SheetError
from drainsketch.job.model import Header, Point
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.scale import PAPERS, Scale, fits, largest_fit, paper_size, scales
from drainsketch.sheets.strip import PAD, Block, Entry, Item, caution_block, legend_block, scale_block, title_block
from drainsketch.wording import Words

MARGIN = 27.0  # 3/8 in: what office printers leave blank
FOOT_PT = 12.0
INSET = 27.0  # room inside the plan frame for the lengths of the lot line
LEAST_EXTENT_FT = 10.0
SIDE_STRIP_PT = 206.0

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


class _Try(Struct, frozen=True):
    """One way of holding the paper with the strip on one side."""

    size: tuple[float, float]
    frame: Rect
    strip: Rect
    place: Callable[[Scale], tuple[tuple[Item, ...], tuple[tuple[Spot, Spot], ...]]]

    @property
    def room(self) -> tuple[float, float]:
        x0, y0, x1, y1 = self.frame
        return x1 - x0 - 2 * INSET, y1 - y0 - 2 * INSET


def lay_out(
    header: Header, extent: Extent, entries: tuple[Entry, ...], words: Words, *, paper: str, asked: Scale | None, today: date
) -> PlanSheet:
    """Return the plan sheet on which the yard is drawn largest.

    Parameters
    ----------
    extent : west, south, east, north of what must be on the plan, ft
    asked : the scale to draw at, or None for the largest that fits

    Raises
    ------
    SheetError : the paper is unknown, or the yard does not fit at the asked scale; says what would
    """
    size = paper_size(paper)
    width, height = _spread(extent)
    best: tuple[float, float, _Try, Scale] | None = None
    for one in _tries(size, header, entries, words, today):
        if min(one.room) <= 0:
            continue
        scale = asked or largest_fit(width, height, one.room, header.units)
        if not fits(width, height, one.room, scale):
            continue
        spare = min(one.room[0] - width * scale.pt_per_ft, one.room[1] - height * scale.pt_per_ft)
        if best is None or (scale.ft_per_in, -spare) < best[:2]:
            best = (scale.ft_per_in, -spare, one, scale)
    if best is None:
        raise SheetError(_does_not_fit(header, extent, entries, words, paper=paper, asked=asked, today=today))
    _, _, one, scale = best
    items, rules = one.place(scale)
    center = ((extent[0] + extent[2]) / 2, (extent[1] + extent[3]) / 2)
    return PlanSheet(paper, one.size, one.frame, one.strip, scale, center, items, rules)


def _spread(extent: Extent) -> tuple[float, float]:
    west, south, east, north = extent
    return max(LEAST_EXTENT_FT, east - west), max(LEAST_EXTENT_FT, north - south)


def _does_not_fit(
    header: Header, extent: Extent, entries: tuple[Entry, ...], words: Words, *, paper: str, asked: Scale | None, today: date
) -> str:
    """Return the sentence that says which scale or paper would do."""
    if asked is None:
        return f"The yard is too large for {paper} paper at any scale; choose a larger paper."
    width, height = _spread(extent)

    def fitting(name: str) -> Iterator[Scale]:
        rooms = [t.room for t in _tries(PAPERS[name], header, entries, words, today)]
        return (s for s in (asked, *scales(header.units)) if any(fits(width, height, room, s) for room in rooms))

    larger = [name for name in PAPERS if name != paper and next(fitting(name), None) is asked]
    on_this = next(fitting(paper), None)
    cures = [f"{on_this.text()} does"] if on_this else []
    cures += [f"so does {larger[0]} paper at the asked scale" if cures else f"{larger[0]} paper does"] if larger else []
    return f"At {asked.text()} the yard does not fit {paper} paper; {', and '.join(cures) or 'no paper here holds it'}."


def _tries(
    size: tuple[float, float], header: Header, entries: tuple[Entry, ...], words: Words, today: date
) -> Iterator[_Try]:
    """Yield the four ways: upright or on its side, strip below or at the right."""
    for held in (size, (size[1], size[0])):
        yield from _with_strip_below(held, header, entries, words, today)
        yield from _with_strip_aside(held, header, entries, words, today)


def _with_strip_below(
    size: tuple[float, float], header: Header, entries: tuple[Entry, ...], words: Words, today: date
) -> Iterator[_Try]:
    x0, y0, x1, y1 = MARGIN, MARGIN + FOOT_PT, size[0] - MARGIN, size[1] - MARGIN
    inner = x1 - x0
    scales_width = scale_block(Scale(10, header.units == "m"), words).width
    title_width = min(300.0, max(170.0, inner * 0.32))
    rest = inner - scales_width - title_width - 6 * PAD
    title = title_block(header, title_width, today, words)
    caution = caution_block(scales_width, words)
    if rest >= 100:
        legend = legend_block(entries, rest, words)
        height = max(legend.height, title.height, _scale_height(header, words) + caution.height + PAD) + 2 * PAD
        legend_top, body_top, legend_left = height, height, title_width + scales_width + 5 * PAD
    else:
        legend = legend_block(entries, inner - 2 * PAD, words)
        title_width = inner - scales_width - 5 * PAD
        title = title_block(header, title_width, today, words)
        body = max(title.height, _scale_height(header, words) + caution.height + PAD) + 2 * PAD
        height = body + legend.height + 2 * PAD
        legend_top, body_top, legend_left = height, body, PAD
    strip = (x0, y0, x1, y0 + height)

    def place(scale: Scale) -> tuple[tuple[Item, ...], tuple[tuple[Spot, Spot], ...]]:
        bar = scale_block(scale, words)
        bar_left = x0 + title_width + 3 * PAD
        items = (
            *title.at(x0 + PAD, y0 + body_top - PAD),
            *bar.at(bar_left, y0 + body_top - PAD),
            *caution.at(bar_left, y0 + body_top - 2 * PAD - bar.height),
            *legend.at(x0 + legend_left, y0 + legend_top - PAD),
        )
        ends = [x0 + title_width + 2 * PAD]
        rules = []
        if legend_top == body_top:
            ends.append(x0 + title_width + scales_width + 4 * PAD)
        else:
            rules.append(((x0, y0 + body_top), (x1, y0 + body_top)))
        rules += [((x, y0), (x, y0 + body_top)) for x in ends]
        return items, tuple(rules)

    yield _Try(size, (x0, y0 + height, x1, y1), strip, place)


def _with_strip_aside(
    size: tuple[float, float], header: Header, entries: tuple[Entry, ...], words: Words, today: date
) -> Iterator[_Try]:
    x0, y0, x1, y1 = MARGIN, MARGIN + FOOT_PT, size[0] - MARGIN, size[1] - MARGIN
    scales_width = scale_block(Scale(10, header.units == "m"), words).width
    width = max(SIDE_STRIP_PT, scales_width + 2 * PAD)
    inner = width - 2 * PAD
    title = title_block(header, inner, today, words)
    caution = caution_block(inner, words)
    legend = legend_block(entries, inner, words)
    blocks: list[Block] = [legend, caution, title]
    needed = sum(b.height + 2 * PAD for b in blocks) + _scale_height(header, words) + 2 * PAD
    if needed > y1 - y0:
        return
    left = x1 - width

    def place(scale: Scale) -> tuple[tuple[Item, ...], tuple[tuple[Spot, Spot], ...]]:
        bar = scale_block(scale, words)
        items: list[Item] = []
        rules = []
        top = y1
        for block in (legend, bar):
            items += block.at(left + PAD, top - PAD)
            top -= block.height + 2 * PAD
            rules.append(((left, top), (x1, top)))
        bottom = y0
        for block in (title, caution):
            items += block.at(left + PAD, bottom + block.height + PAD)
            bottom += block.height + 2 * PAD
            rules.append(((left, bottom), (x1, bottom)))
        return tuple(items), tuple(rules)

    yield _Try(size, (x0, y0, left, y1), (left, y0, x1, y1), place)


def _scale_height(header: Header, words: Words) -> float:
    return scale_block(Scale(10, header.units == "m"), words).height
