"""Paints marks, symbols and placed words on a PDF canvas. Line widths and symbols are points; only the ground is scaled."""

from collections.abc import Iterable
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import FILL_EVEN_ODD
from shapely import LineString

from drainsketch.job.kinds import Point
from drainsketch.look import PAPER, STYLES, SYMBOLS, Style, lettering_of, style_of
from drainsketch.sheets.boxes import Spot
from drainsketch.sheets.fonts import LINE_FEED, NARROW_BOLD, font_of, printable, width_of
from drainsketch.sheets.labels import PlacedLabel, PlacedSign, ToDevice, lines_of
from drainsketch.sheets.marks import Band, Disc, Mark, Sign, Stroke
from drainsketch.sheets.signs import TEXT_PT, WHITE_TEXT, sign_size, text_drop

SYMBOL_LINE_PT = 0.9
HALO_ALPHA = 0.82


def paint_marks(canvas: Any, marks: Iterable[Mark], to_paper: ToDevice, pt_per_ft: float) -> None:
    """Paint marks in the order given; labels are not painted here."""
    for mark in marks:
        if isinstance(mark, Stroke):
            holes = [[to_paper(p) for p in hole] for hole in mark.holes]
            spots = [to_paper(p) for p in mark.points]
            paint_line(canvas, spots, style_of(mark.style), closed=mark.closed, holes=holes)
        elif isinstance(mark, Disc):
            paint_disc(canvas, to_paper(mark.center), mark.radius_ft * pt_per_ft, style_of(mark.style))
        elif isinstance(mark, Band):
            paint_band(canvas, [to_paper(p) for p in mark.points], mark.width_ft * pt_per_ft, style_of(mark.style))
        elif isinstance(mark, Sign):
            paint_sign(canvas, mark, to_paper(mark.at))


def paint_line(
    canvas: Any, spots: list[Spot], style: Style, *, closed: bool = False, holes: Iterable[list[Spot]] = ()
) -> None:
    """Paint a line or outline in a style; the fill leaves holes out."""
    path = _path(canvas, spots, closed)
    for hole in holes:
        _add_ring(path, hole, closed=True)
    if style.fill and closed:
        canvas.setFillColor(HexColor(style.fill), alpha=style.opacity)
        canvas.drawPath(path, stroke=0, fill=1, fillMode=FILL_EVEN_ODD)
        if style.opacity < 1.0:
            canvas.setFillAlpha(1.0)
    if style.casing:
        _pen(canvas, style.casing, style.casing_pt, ())
        canvas.drawPath(path, stroke=1, fill=0)
    if style.stroke:
        _pen(canvas, style.stroke, style.width_pt, style.dash_pt)
        canvas.drawPath(path, stroke=1, fill=0)


def paint_disc(canvas: Any, spot: Spot, radius_pt: float, style: Style) -> None:
    """Paint a circle in a style."""
    if style.fill:
        canvas.setFillColor(HexColor(style.fill), alpha=style.opacity)
    if style.stroke:
        _pen(canvas, style.stroke, style.width_pt, style.dash_pt)
    canvas.circle(*spot, radius_pt, stroke=int(style.stroke is not None), fill=int(style.fill is not None))
    if style.opacity < 1.0:
        canvas.setFillAlpha(1.0)


def paint_band(canvas: Any, spots: list[Spot], width_pt: float, style: Style) -> None:
    """Paint a strip along a line, square at its ends."""
    if style.fill:
        _pen(canvas, style.fill, width_pt, ())
        canvas.drawPath(_path(canvas, spots, closed=False), stroke=1, fill=0)
    if style.stroke:
        outline = LineString(spots).buffer(width_pt / 2, cap_style="flat", join_style="round")
        _pen(canvas, style.stroke, style.width_pt, style.dash_pt)
        for polygon in getattr(outline, "geoms", [outline]):
            for ring in (polygon.exterior, *polygon.interiors):
                canvas.drawPath(_path(canvas, list(ring.coords), closed=True), stroke=1, fill=0)


def paint_sign(canvas: Any, sign: Sign, spot: Spot) -> None:
    """Paint a symbol with its text."""
    text = printable(sign.text)
    size = sign_size(sign, width_of(text, NARROW_BOLD, TEXT_PT))
    paint_symbol(canvas, sign.symbol, spot, size, sign.turn_deg)
    if text:
        canvas.setFillColor(HexColor(PAPER if sign.symbol in WHITE_TEXT else SYMBOLS[sign.symbol].ink))
        canvas.setFont(NARROW_BOLD, TEXT_PT)
        canvas.drawCentredString(spot[0], spot[1] - 0.36 * TEXT_PT - text_drop(sign.symbol) * size, text)


def paint_symbol(canvas: Any, name: str, spot: Spot, size_pt: float, turn_deg: float = 0.0) -> None:
    """Paint a symbol of the look centered at a spot."""
    symbol, half = SYMBOLS[name], size_pt / 2
    canvas.saveState()
    canvas.translate(*spot)
    canvas.rotate(turn_deg)
    for part in symbol.parts:
        _pen(canvas, symbol.ink, SYMBOL_LINE_PT * part.width, ())
        canvas.setFillColor(HexColor(symbol.ink if part.filled else PAPER))
        spots = [(x * half, y * half) for x, y in part.points]
        if part.radius:
            canvas.circle(*spots[0], part.radius * half, stroke=1, fill=1)
        else:
            canvas.drawPath(_path(canvas, spots, part.closed), stroke=1, fill=int(part.closed))
    canvas.restoreState()


def paint_placed_sign(canvas: Any, placed: PlacedSign) -> None:
    """Paint a flag where it was placed, with its leader."""
    if placed.leader:
        paint_line(canvas, list(placed.leader), STYLES["leader"])
    paint_sign(canvas, placed.sign, placed.at)


def paint_label(canvas: Any, placed: PlacedLabel) -> None:
    """Paint words where they were placed, on a halo, with their leader."""
    if placed.leader:
        paint_line(canvas, list(placed.leader), STYLES["leader"])
    box = placed.box
    lines = [(text, lettering_of(name)) for text, name in lines_of(placed.label)]
    canvas.saveState()
    canvas.translate(box.x, box.y)
    canvas.rotate(box.angle_deg)
    halo = lines[0][1].halo
    if halo:
        on_line = placed.label.along is not None and placed.label.clear_pt == 0.0
        canvas.setFillColor(HexColor(halo), alpha=1.0 if on_line else HALO_ALPHA)
        canvas.rect(-box.width / 2, -box.height / 2 + 1, box.width, box.height - 2, stroke=0, fill=1)
    y = box.height / 2
    centered = placed.label.along is not None
    for text, how in lines:
        canvas.setFillColor(HexColor(how.color), alpha=1.0)
        canvas.setFont(font_of(how), how.size_pt)
        baseline = y - how.size_pt * (LINE_FEED / 2 + 0.36)
        said = printable(text)
        x = -width_of(said, font_of(how), how.size_pt) / 2 if centered else -box.width / 2 + 0.5
        canvas.drawString(x, baseline, said)
        y -= how.size_pt * LINE_FEED
    canvas.restoreState()


def _pen(canvas: Any, color: str, width_pt: float, dash_pt: tuple[float, ...]) -> None:
    canvas.setStrokeColor(HexColor(color))
    canvas.setLineWidth(width_pt)
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    canvas.setDash(list(dash_pt))


def _path(canvas: Any, spots: list[Point], closed: bool) -> Any:
    path = canvas.beginPath()
    _add_ring(path, spots, closed)
    return path


def _add_ring(path: Any, spots: list[Point], closed: bool) -> None:
    path.moveTo(*spots[0])
    for spot in spots[1:]:
        path.lineTo(*spot)
    if closed:
        path.close()
