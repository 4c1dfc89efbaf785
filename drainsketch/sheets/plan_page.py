"""A plan sheet's words and flags put in their places, and the whole sheet painted."""

from collections.abc import Callable, Iterable, Iterator
from io import BytesIO
from typing import Any

from msgspec import Struct
from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader

from drainsketch.look import INK, PAPER, STYLES, style_of
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.fonts import NARROW, NARROW_BOLD, measure_label, width_of
from drainsketch.sheets.labels import PlacedLabel, PlacedSign, place_labels, place_signs
from drainsketch.sheets.layout import PlanSheet
from drainsketch.sheets.marks import Disc, Mark, PlanMarks, Sign, Stroke, is_contour, is_pipe, is_tint
from drainsketch.sheets.paint import paint_label, paint_line, paint_marks, paint_placed_sign, paint_sign, paint_symbol
from drainsketch.sheets.signs import TEXT_PT, sign_size
from drainsketch.sheets.strip import PAGE, PAGES, SWATCH_PT, Bar, Item, Picture, Print, Swatch

BAR_PT = 7.0
TRUNK_PT = 6.0  # a trunk is kept clear as if at least so wide
EDGE_PT = 3.0  # words keep this far from the frame


class Scene(Struct, frozen=True):
    """Everything of one plan sheet with its place on the paper; ``under`` lies under all of it and nothing keeps clear of it."""

    sheet: PlanSheet
    marks: PlanMarks
    signs: tuple[PlacedSign, ...]
    labels: tuple[PlacedLabel, ...]
    under: tuple[Stroke, ...] = ()


def scene_of(marks: PlanMarks, sheet: PlanSheet, under: tuple[Stroke, ...] = ()) -> Scene:
    """Return the plan with its flags and labels placed within the frame.

    Parameters
    ----------
    under : lines that lie under all of it
    """
    x0, y0, x1, y1 = sheet.frame
    bounds = (x0 + EDGE_PT, y0 + EDGE_PT, x1 - EDGE_PT, y1 - EDGE_PT)
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


def paint_yard(canvas: Any, scene: Scene, water: Callable[[], None] = lambda: None) -> None:
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
    paint_marks(canvas, scene.under, sheet.to_paper, sheet.scale.pt_per_ft)
    paint_marks(canvas, scene.marks.ground, sheet.to_paper, sheet.scale.pt_per_ft)
    water()
    paint_marks(canvas, scene.marks.drains, sheet.to_paper, sheet.scale.pt_per_ft)
    for label in scene.labels:
        paint_label(canvas, label)
    for sign in scene.signs:
        paint_placed_sign(canvas, sign)
    canvas.restoreState()


def paint_plan(canvas: Any, scene: Scene, page: int, pages: int) -> None:
    """Paint the whole plan sheet."""
    sheet = scene.sheet
    paint_yard(canvas, scene)
    for a, b in sheet.rules:
        paint_line(canvas, [a, b], STYLES["hair"])
    for rect in (sheet.frame, sheet.strip):
        left, low, right, high = rect
        paint_line(canvas, [(left, low), (right, low), (right, high), (left, high)], STYLES["frame"], closed=True)
    for item in sheet.items:
        paint_item(canvas, item, page, pages)


def paint_item(canvas: Any, item: Item, page: int = 1, pages: int = 1) -> None:
    """Paint one thing of the strip."""
    if isinstance(item, Print):
        canvas.setFillColor(HexColor(item.color))
        canvas.setFont(NARROW_BOLD if item.bold else NARROW, item.size_pt)
        canvas.drawString(item.x, item.y, item.text.replace(PAGE, str(page)).replace(PAGES, str(pages)))
    elif isinstance(item, Bar):
        _paint_bar(canvas, item)
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
