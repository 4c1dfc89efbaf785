"""The ways to hold a paper and to divide it between the plan and its strip."""

from collections.abc import Callable, Iterator

from msgspec import Struct

from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.scale import Scale
from drainsketch.sheets.strip import GAP_PT, PAD, Item, StripContent

MARGIN = 27.0  # 3/8 in: what office printers leave blank
FOOT_PT = 12.0
INSET = 20.0  # room inside the plan frame for the lengths of the lot line
LEAST_WIDTH_PT = 100.0

Rules = tuple[tuple[Spot, Spot], ...]


class Way(Struct, frozen=True):
    """One way of holding the paper, with the strip on one side; ``place`` gives the strip's items and ruled lines."""

    size: tuple[float, float]
    frame: Rect
    strip: Rect
    place: Callable[[Scale], tuple[tuple[Item, ...], Rules]]

    @property
    def room(self) -> tuple[float, float]:
        """Width and height left for the yard, pt."""
        x0, y0, x1, y1 = self.frame
        return x1 - x0 - 2 * INSET, y1 - y0 - 2 * INSET


def ways(size: tuple[float, float], content: StripContent) -> Iterator[Way]:
    """Yield the ways: upright or on its side; strip below, its legend beside or above the rest, or at the right."""
    for held in (size, (size[1], size[0])):
        for legend_above in (False, True):
            yield from _with_strip_below(held, content, legend_above=legend_above)
        for columns in (1, 2):
            yield from _with_strip_aside(held, content, columns=columns)


def _with_strip_below(size: tuple[float, float], content: StripContent, *, legend_above: bool) -> Iterator[Way]:
    x0, y0, x1, y1 = MARGIN, MARGIN + FOOT_PT, size[0] - MARGIN, size[1] - MARGIN
    inner = x1 - x0
    scales_width = content.any_scale(wide=True).width
    title_width = min(300.0, max(170.0, inner * 0.32))
    if legend_above:
        title_width = inner - scales_width - 4 * PAD
    rest = inner - 2 * PAD if legend_above else inner - scales_width - title_width - 6 * PAD
    if rest < LEAST_WIDTH_PT or title_width < LEAST_WIDTH_PT:
        return
    title = content.title(title_width)
    caution = content.caution(scales_width)
    legend = content.legend(rest)
    if legend.width > rest:
        return
    body_top = max(title.height, content.any_scale(wide=True).height + caution.height + PAD) + 2 * PAD
    if legend_above:
        height = legend_top = body_top + legend.height + 2 * PAD
        legend_left = PAD
    else:
        height = legend_top = body_top = max(body_top, legend.height + 2 * PAD)
        legend_left = title_width + scales_width + 5 * PAD
    strip = (x0, y0, x1, y0 + height)

    def place(scale: Scale) -> tuple[tuple[Item, ...], Rules]:
        bar = content.scale(scale, wide=True)
        bar_left = x0 + title_width + 3 * PAD
        items = (
            *title.at(x0 + PAD, y0 + body_top - PAD),
            *bar.at(bar_left, y0 + body_top - PAD),
            *caution.at(bar_left, y0 + body_top - 2 * PAD - bar.height),
            *legend.at(x0 + legend_left, y0 + legend_top - PAD),
        )
        ends = [x0 + title_width + 2 * PAD]
        rules = [((x0, y0 + body_top), (x1, y0 + body_top))] if legend_above else []
        if not legend_above:
            ends.append(x0 + title_width + scales_width + 4 * PAD)
        rules += [((x, y0), (x, y0 + body_top)) for x in ends]
        return items, tuple(rules)

    yield Way(size, (x0, y0 + height, x1, y1), strip, place)


def _with_strip_aside(size: tuple[float, float], content: StripContent, *, columns: int) -> Iterator[Way]:
    x0, y0, x1, y1 = MARGIN, MARGIN + FOOT_PT, size[0] - MARGIN, size[1] - MARGIN
    least = max(content.any_scale(wide=False).width, columns * content.legend(0).width)
    width = least + GAP_PT * (columns - 1) + 2 * PAD
    inner = width - 2 * PAD
    title = content.title(inner)
    caution = content.caution(inner)
    legend = content.legend(inner)
    needed = sum(b.height + 2 * PAD for b in (legend, caution, title)) + content.any_scale(wide=False).height + 2 * PAD
    if needed > y1 - y0:
        return
    left = x1 - width

    def place(scale: Scale) -> tuple[tuple[Item, ...], Rules]:
        bar = content.scale(scale, wide=False)
        items: list[Item] = []
        rules = []
        top = y1
        for block in (legend, bar):
            items += block.at(left + PAD, top - PAD)
            top -= block.height + 2 * PAD
            if block is legend:
                rules.append(((left, top), (x1, top)))
        bottom = y0
        for block in (title, caution):
            items += block.at(left + PAD, bottom + block.height + PAD)
            bottom += block.height + 2 * PAD
            rules.append(((left, bottom), (x1, bottom)))
        return tuple(items), tuple(rules)

    yield Way(size, (x0, y0, left, y1), (left, y0, x1, y1), place)
