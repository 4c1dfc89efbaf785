"""A plan sheet's words and flags put in their places, and the whole sheet painted."""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from io import BytesIO
from typing import Any

from msgspec import Struct
from msgspec.structs import replace
from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader

from drainsketch.job.kinds import Point
from drainsketch.look import INK, PAPER, QUIET, STYLES, Style, style_of
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, measure_label, width_of
from drainsketch.sheets.labels import PlacedLabel, PlacedSign, place_labels, place_signs
from drainsketch.sheets.layers import by_layer, layer_of, layer_of_label, services_of
from drainsketch.sheets.layout import Match, PlanSheet
from drainsketch.sheets.marks import Disc, Mark, PlanMarks, Sign, Stroke, is_contour, is_pipe, is_tint
from drainsketch.sheets.paint import paint_label, paint_line, paint_marks, paint_placed_sign, paint_sign, paint_symbol
from drainsketch.sheets.parts import Extent, of_part
from drainsketch.sheets.signs import TEXT_PT, sign_size
from drainsketch.sheets.strip import PAGE, PAGES, SHEET, SWATCH_PT, Bar, Item, Keyed, Picture, Print, Swatch
from drainsketch.wording import Words

BAR_PT = 7.0
TRUNK_PT = 6.0  # a trunk is kept clear as if at least so wide
EDGE_PT = 3.0  # words keep this far from the frame
MATCH_PT, MATCH_OFF_PT = 9.0, 4.0  # words along a match line, and how far off it
PALE = 0.5  # of the paper over what lies beyond a match line
KEY_SHADE, KEY_LINE = "#c9d2da", Style(stroke=QUIET, width_pt=0.5)


class Scene(Struct, frozen=True):
    """Everything of one plan sheet with its place on the paper; ``under`` lies under all of it and nothing keeps clear of it."""

    sheet: PlanSheet
    marks: PlanMarks
    signs: tuple[PlacedSign, ...]
    labels: tuple[PlacedLabel, ...]
    under: tuple[Stroke, ...] = ()


def scene_of(marks: PlanMarks, sheet: PlanSheet, under: tuple[Stroke, ...] = ()) -> Scene:
    """Return the plan with its flags and labels placed within the frame, and within the match lines where it is in parts.

    Parameters
    ----------
    under : lines that lie under all of it
    """
    bounds = _bounds(sheet)
    if sheet.part is not None:
        marks = of_part(marks, _covered(sheet), sheet.shown_ft)
    every = (*marks.ground, *marks.drains)
    symbols = [_around(sheet.to_paper(m.at), sign_width(m)) for m in every if isinstance(m, Sign)]
    symbols += [
        _around(sheet.to_paper(m.center), max(TRUNK_PT, 2 * m.radius_ft * sheet.scale.pt_per_ft))
        for m in every
        if isinstance(m, Disc) and m.style.startswith("trunk")
    ]
    flags = [m for m in marks.flags if isinstance(m, Sign)]
    signs = place_signs(flags, sheet.to_paper, sign_width, keep_clear=symbols, bounds=bounds)
    clear = symbols + [_around(s.at, sign_width(s.sign)) for s in signs]
    labels = place_labels(
        marks.labels,
        sheet.to_paper,
        measure_label,
        keep_clear=clear,
        bounds=bounds,
        lines=_lines((m for m in every if not (is_pipe(m) or is_contour(m) or is_tint(m))), sheet),
        pipes=_lines(filter(is_pipe, every), sheet),
    )
    return Scene(sheet, marks, signs, labels, tuple(_within(under, sheet)))


def _within(under: Iterable[Stroke], sheet: PlanSheet) -> Iterator[Stroke]:
    """Yield the lines that may show within the frame."""
    x0, y0, x1, y1 = sheet.frame
    for line in under:
        xs, ys = zip(*(sheet.to_paper(p) for p in line.points), strict=True)
        if min(xs) <= x1 and max(xs) >= x0 and min(ys) <= y1 and max(ys) >= y0:
            yield line


def _bounds(sheet: PlanSheet) -> Rect:
    """Return where words may stand: a little off the frame, up to a match line."""
    (x0, y0, x1, y1), (left, low, right, high) = sheet.frame, sheet.words_room
    return max(left, x0 + EDGE_PT), max(low, y0 + EDGE_PT), min(right, x1 - EDGE_PT), min(high, y1 - EDGE_PT)


def _covered(sheet: PlanSheet) -> Extent:
    """Return what of the ground this part speaks of: up to its match lines, elsewhere to the frame."""
    assert sheet.part is not None
    sides = {match.side for match in sheet.matches}
    own, shown = sheet.part.extent, sheet.shown_ft
    west, south, east, north = (
        own[i] if side in sides else shown[i] for i, side in enumerate(("west", "south", "east", "north"))
    )
    return west, south, east, north


def sign_width(sign: Sign) -> float:
    """Return the full width of a sign on paper, pt."""
    return sign_size(sign, width_of(sign.text, NARROW_BOLD, TEXT_PT))


def _around(spot: Spot, width: float) -> Rect:
    return spot[0] - width / 2, spot[1] - width / 2, spot[0] + width / 2, spot[1] + width / 2


def _lines(marks: Iterable[Mark], sheet: PlanSheet) -> Iterator[tuple[Spot, Spot]]:
    """Yield the lines that words had better not cover."""
    for mark in marks:
        if isinstance(mark, Stroke):
            spots = [sheet.to_paper(p) for p in mark.points]
            yield from zip(spots, spots[1:] + (spots[:1] if mark.closed else []), strict=False)


def paint_yard(canvas: Any, scene: Scene, water: Callable[[], None] | None = None) -> None:
    """Paint the plan itself, within its frame.

    Parameters
    ----------
    water : paints what lies over the marks of the ground, and under all others
    """
    sheet = scene.sheet
    x0, y0, x1, y1 = sheet.frame
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(path, stroke=0, fill=0)
    marks, services = scene.marks, services_of(scene.marks)
    paint = partial(paint_marks, canvas, to_paper=sheet.to_paper, pt_per_ft=sheet.scale.pt_per_ft)
    by_layer(canvas, scene.under, partial(layer_of, otherwise="ground"), paint)
    by_layer(canvas, marks.ground, partial(layer_of, otherwise="ground"), paint)
    if water is not None:
        with canvas.layer("water"):
            water()
    by_layer(canvas, marks.drains, partial(layer_of, otherwise="drains"), paint)
    by_layer(canvas, scene.labels, partial(layer_of_label, services=services), partial(_each, paint_label, canvas))
    warned = partial(_each, paint_placed_sign, canvas)
    by_layer(canvas, scene.signs, lambda placed: layer_of(placed.sign, otherwise="warnings"), warned)
    canvas.restoreState()


def _each(paint: Callable[[Any, Any], None], canvas: Any, things: Iterable[Any]) -> None:
    for thing in things:
        paint(canvas, thing)


def paint_plan(canvas: Any, scene: Scene, words: Words) -> None:
    """Paint the whole plan sheet."""
    sheet = scene.sheet
    paint_yard(canvas, scene)
    _paint_beyond(canvas, sheet)
    for match in sheet.matches:
        _paint_match(canvas, match, words)
    for a, b in sheet.rules:
        paint_line(canvas, [a, b], STYLES["hair"])
    for rect in (sheet.frame, sheet.strip):
        left, low, right, high = rect
        paint_line(canvas, [(left, low), (right, low), (right, high), (left, high)], STYLES["frame"], closed=True)
    number = canvas.sheet_number()
    numbered = [item for item in sheet.items if isinstance(item, Print) and PAGES in item.text]
    for item in sheet.items:
        if item not in numbered:
            paint_item(canvas, item)
    page = canvas.getPageNumber()
    for item in numbered:
        said = replace(item, text=item.text.replace(SHEET, number).replace(PAGE, str(page)))
        canvas.paint_at_end(
            lambda pages, said=said: paint_item(canvas, replace(said, text=said.text.replace(PAGES, str(pages))))
        )


def _paint_beyond(canvas: Any, sheet: PlanSheet) -> None:
    """Pale what lies beyond the match lines: it is shown to go on by, and spoken of on its own sheet."""
    (x0, y0, x1, y1), (left, low, right, high) = sheet.frame, sheet.words_room
    canvas.setFillColor(HexColor(PAPER), alpha=PALE)
    strips = ((x0, y0, left, y1), (right, y0, x1, y1), (left, y0, right, low), (left, high, right, y1))
    for west, south, east, north in strips:
        if east > west and north > south:
            canvas.rect(west, south, east - west, north - south, stroke=0, fill=1)
    canvas.setFillAlpha(1.0)


def _paint_match(canvas: Any, match: Match, words: Words) -> None:
    """Paint a match line, and along it, on the neighbor's side, which sheet goes on."""
    (ax, ay), (bx, by) = match.line
    paint_line(canvas, [(ax, ay), (bx, by)], STYLES["match line"])
    text = words.word("sheets.parts.match", part=match.other, sheet=canvas.sheet_number(match.pages_on))
    wide = width_of(text, NARROW_BOLD, MATCH_PT)
    canvas.saveState()
    canvas.translate((ax + bx) / 2, (ay + by) / 2)
    if match.side in ("west", "east"):
        canvas.rotate(90)
    outward = 1 if match.side in ("north", "west") else -1
    low = MATCH_OFF_PT if outward > 0 else -MATCH_OFF_PT - MATCH_PT
    canvas.setFillColor(HexColor(PAPER))
    canvas.rect(-wide / 2 - 3, low - 1, wide + 6, MATCH_PT + 2, stroke=0, fill=1)
    canvas.setFillColor(HexColor(INK))
    canvas.setFont(NARROW_BOLD, MATCH_PT)
    canvas.drawCentredString(0, low + 0.2 * MATCH_PT, text)
    canvas.restoreState()


def paint_item(canvas: Any, item: Item) -> None:
    """Paint one thing of the strip."""
    if isinstance(item, Print):
        canvas.setFillColor(HexColor(item.color))
        canvas.setFont(NARROW_BOLD if item.bold else NARROW, item.size_pt)
        canvas.drawString(item.x, item.y, item.text)
    elif isinstance(item, Bar):
        _paint_bar(canvas, item)
    elif isinstance(item, Keyed):
        _paint_key(canvas, item)
    elif isinstance(item, Picture):
        paint_logo(canvas, item)
    elif item.symbol:
        sign = Sign(at=(item.x, item.y), symbol=item.symbol, text=item.text)
        if item.size_pt:
            paint_symbol(canvas, item.symbol, (item.x, item.y), item.size_pt)
        else:
            paint_sign(canvas, sign, (item.x, item.y))
    else:
        _paint_sample(canvas, item)


def _paint_key(canvas: Any, item: Keyed) -> None:
    """Paint the key map: every part, this one shaded, and the drains."""
    west, south, east, _ = item.key.extent
    k = item.width / (east - west)

    def spot(point: Point) -> Spot:
        return item.x + (point[0] - west) * k, item.y + (point[1] - south) * k

    for part in item.key.parts:
        (x0, y0), (x1, y1) = spot(part.extent[:2]), spot(part.extent[2:])
        canvas.setStrokeColor(HexColor(QUIET))
        canvas.setFillColor(HexColor(KEY_SHADE if part == item.key.here else PAPER))
        canvas.setLineWidth(0.6)
        canvas.setDash([])
        canvas.rect(x0, y0, x1 - x0, y1 - y0, stroke=1, fill=1)
    for a, b in item.key.lines:
        paint_line(canvas, [spot(a), spot(b)], KEY_LINE)
    canvas.setFillColor(HexColor(INK))
    canvas.setFont(NARROW_BOLD, TEXT_PT)
    for part in item.key.parts:
        (x0, y0), (x1, y1) = spot(part.extent[:2]), spot(part.extent[2:])
        if x1 - x0 > width_of(part.name, NARROW_BOLD, TEXT_PT) + 2 and y1 - y0 > TEXT_PT + 1:
            canvas.drawCentredString((x0 + x1) / 2, (y0 + y1) / 2 - 0.36 * TEXT_PT, part.name)


def paint_logo(canvas: Any, item: Picture) -> None:
    """Paint a logo from its own bytes; no file is asked."""
    canvas.drawImage(ImageReader(BytesIO(item.logo.png)), item.x, item.y, item.width, item.height)


def _paint_sample(canvas: Any, item: Swatch) -> None:
    """Paint a sample of a style: a strip where it has a fill, otherwise a line, with its letter."""
    style, half = style_of(item.style), SWATCH_PT / 2
    left, right = item.x - half, item.x + half
    if style.fill:
        low, high = item.y - 4.5, item.y + 4.5
        paint_line(canvas, [(left, low), (right, low), (right, high), (left, high)], style, closed=True)
    else:
        paint_line(canvas, [(left, item.y), (right, item.y)], style)
    if item.text:
        width = width_of(item.text, NARROW_BOLD, TEXT_PT)
        canvas.setFillColor(HexColor(PAPER))
        canvas.rect(item.x - width / 2 - 1, item.y - 4.5, width + 2, 9, stroke=0, fill=1)
        canvas.setFillColor(HexColor(INK))
        canvas.setFont(NARROW_BOLD, TEXT_PT)
        canvas.drawCentredString(item.x, item.y - 0.36 * TEXT_PT, item.text)


def _paint_bar(canvas: Any, item: Bar) -> None:
    """Paint the scale bar: a black part and a white one, each of the exact length."""
    part = item.bar.part_pt
    canvas.setLineWidth(0.6)
    canvas.setDash([])
    canvas.setStrokeColor(HexColor(INK))
    for i, color in enumerate((INK, PAPER)):
        canvas.setFillColor(HexColor(color))
        canvas.rect(item.x + i * part, item.y, part, BAR_PT, stroke=1, fill=1)
