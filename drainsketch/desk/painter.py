"""Marks to pixels: each mark of ``sheets/marks.py`` painted in the styles of the look.

Line widths are device-independent pixels as in the look; symbols and lettering are set at 96 dots per inch.
"""

from functools import cache
from math import sqrt

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QPixmap,
    QPolygonF,
    QTransform,
)

from drainsketch import look
from drainsketch.desk.fonts import PX_PER_PT, plan_font
from drainsketch.desk.view import Extent, View
from drainsketch.sheets.marks import Band, Disc, Mark, Sign, Stroke
from drainsketch.sheets.signs import TEXT_PT, WHITE_TEXT, text_drop

# the tape and the way of a drop are of the window alone
STYLES = {
    **look.STYLES,
    "tape": look.Style(stroke=look.SNAP, width_pt=1.4, dash_pt=(6, 3)),
    "drop end": look.Style(stroke=look.SNAP, width_pt=2.0, fill=look.PAPER),
    "drop": look.Style(stroke=look.SNAP, width_pt=2.4, casing=look.PAPER, casing_pt=5.0),
}


class Shape(Struct, frozen=True):
    """A mark made ready: its points as Qt wants them, and its bounds on the ground, ft."""

    mark: Mark
    polygon: QPolygonF
    bounds: Extent


def shaped(mark: Mark) -> Shape:
    """Return a mark made ready for painting."""
    if isinstance(mark, Stroke | Band):
        polygon = QPolygonF([QPointF(x, y) for x, y in mark.points])
        half = mark.width_ft / 2 if isinstance(mark, Band) else 0.0
    else:
        x, y = mark.center if isinstance(mark, Disc) else mark.at
        polygon = QPolygonF([QPointF(x, y)])
        half = mark.radius_ft if isinstance(mark, Disc) else 0.0
    box = polygon.boundingRect()
    return Shape(mark, polygon, (box.left() - half, box.top() - half, box.right() + half, box.bottom() + half))


class Shapes:
    """The marks made ready so far; a mark that is still there is not made ready twice."""

    def __init__(self) -> None:
        self._ready: dict[int, Shape] = {}

    def of(self, mark: Mark) -> Shape:
        """Return a mark made ready."""
        found = self._ready.get(id(mark))
        if found is None or found.mark is not mark:
            found = self._ready[id(mark)] = shaped(mark)
        return found

    def keep_only(self, marks: list[Mark]) -> None:
        """Forget all marks but these, once far more are kept than needed."""
        if len(self._ready) > 2 * len(marks) + 100:
            wanted = {id(m) for m in marks}
            self._ready = {key: shape for key, shape in self._ready.items() if key in wanted}


@cache
def pen(style_name: str) -> QPen:
    """Return the pen of a style's line."""
    style = STYLES[style_name]
    return _line_pen(style.stroke or look.INK, style.width_pt, style.dash_pt)


@cache
def _casing(style_name: str) -> QPen | None:
    style = STYLES[style_name]
    return _line_pen(style.casing, style.casing_pt, style.dash_pt, of=style.width_pt) if style.casing else None


def _line_pen(color: str, width: float, dash: tuple[float, ...], of: float = 0.0) -> QPen:
    made = QPen(QColor(color), width)
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if dash:
        made.setDashPattern([length / width for length in dash])
    return made


def transform_of(view: View) -> QTransform:
    """Return the transform from plan feet to pixels; north turns up here."""
    s = view.px_per_ft
    return QTransform(s, 0.0, 0.0, -s, -view.west_ft * s, view.north_ft * s)


def symbol_scale(px_per_ft: float) -> float:
    """Return how large symbols are drawn: full size close by, half far off, so that a whole plan stays legible."""
    return min(1.0, max(0.5, sqrt(px_per_ft / 4.0)))


def paint_shape(p: QPainter, shape: Shape, to_px: QTransform, view: View) -> None:
    """Paint one mark; labels are painted by ``paint_label`` once they have a place."""
    mark = shape.mark
    if isinstance(mark, Stroke):
        _paint_stroke(p, mark, to_px.map(shape.polygon))
    elif isinstance(mark, Band):
        _paint_band(p, mark, to_px.map(shape.polygon), view.px_per_ft)
    elif isinstance(mark, Disc):
        _paint_disc(p, mark, view)
    elif isinstance(mark, Sign):
        x, y = view.to_px(mark.at)
        paint_sign(p, mark, x, y, symbol_scale(view.px_per_ft))


def _paint_stroke(p: QPainter, mark: Stroke, polygon: QPolygonF) -> None:
    style = STYLES[mark.style]
    if mark.closed and style.fill:
        p.setPen(Qt.PenStyle.NoPen)
        p.setBrush(QColor(style.fill))
        p.drawPolygon(polygon)
    if style.stroke is None:
        return
    p.setBrush(Qt.BrushStyle.NoBrush)
    for one in (_casing(mark.style), pen(mark.style)):
        if one is not None:
            p.setPen(one)
            p.drawPolygon(polygon) if mark.closed else p.drawPolyline(polygon)


def _paint_band(p: QPainter, mark: Band, polygon: QPolygonF, px_per_ft: float) -> None:
    style = STYLES[mark.style]
    width = max(1.0, mark.width_ft * px_per_ft)
    if style.stroke is None:
        wide = QPen(QColor(style.fill or look.PAPER), width)
        wide.setCapStyle(Qt.PenCapStyle.FlatCap)
        wide.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        p.setPen(wide)
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.drawPolyline(polygon)
        return
    stroker = QPainterPathStroker()
    stroker.setWidth(width)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    stroker.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    path = QPainterPath()
    path.addPolygon(polygon)
    p.setPen(pen(mark.style))
    p.setBrush(QColor(style.fill) if style.fill else Qt.BrushStyle.NoBrush)
    p.drawPath(stroker.createStroke(path).simplified())


def _paint_disc(p: QPainter, mark: Disc, view: View) -> None:
    style = STYLES[mark.style]
    x, y = view.to_px(mark.center)
    radius = max(2.5 if style.fill else 0.0, mark.radius_ft * view.px_per_ft)
    p.setPen(pen(mark.style) if style.stroke else Qt.PenStyle.NoPen)
    p.setBrush(QColor(style.fill) if style.fill else Qt.BrushStyle.NoBrush)
    p.drawEllipse(QPointF(x, y), radius, radius)


def paint_sign(p: QPainter, sign: Sign, x: float, y: float, scale: float = 1.0) -> None:
    """Paint a symbol with its middle at a pixel, and the words in it."""
    symbol = look.SYMBOLS[sign.symbol]
    if sign.turn_deg:
        p.save()
        p.translate(x, y)
        p.rotate(-sign.turn_deg)
        paint_symbol(p, symbol, scale)
        p.restore()
    else:
        ratio = p.device().devicePixelRatio()
        picture = _symbol_picture(sign.symbol, round(scale, 2), ratio)
        side = picture.width() / ratio
        p.drawPixmap(QPointF(round((x - side / 2) * ratio) / ratio, round((y - side / 2) * ratio) / ratio), picture)
    if sign.text:
        p.setFont(plan_font(TEXT_PT, bold=True, condensed=True))
        p.setPen(QColor(look.PAPER if sign.symbol in WHITE_TEXT else symbol.ink))
        low = text_drop(sign.symbol) * symbol.size_pt * PX_PER_PT * scale
        p.drawText(QRectF(x - 30, y - 20 + low, 60, 40), Qt.AlignmentFlag.AlignCenter, sign.text)


@cache
def _symbol_picture(name: str, scale: float, ratio: float) -> QPixmap:
    symbol = look.SYMBOLS[name]
    side = symbol.size_pt * PX_PER_PT * scale + 4
    pixels = int(side * ratio) + 2
    picture = QPixmap(pixels, pixels)
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    with QPainter(picture) as p:
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.translate(pixels / ratio / 2, pixels / ratio / 2)
        paint_symbol(p, symbol, scale)
    return picture


def paint_symbol(p: QPainter, symbol: look.Symbol, scale: float = 1.0, ink: str | None = None) -> None:
    """Paint a symbol of the look about the origin; ``ink`` is another color than its own."""
    half = symbol.size_pt * PX_PER_PT * scale / 2
    color = QColor(ink or symbol.ink)
    for part in symbol.parts:
        line = QPen(color, max(1.0, 1.25 * part.width * scale))
        line.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        p.setPen(line)
        p.setBrush(color if part.filled else QColor(look.PAPER) if part.closed else Qt.BrushStyle.NoBrush)
        spots = [QPointF(x * half, -y * half) for x, y in part.points]
        if part.radius:
            p.drawEllipse(spots[0], part.radius * half, part.radius * half)
        elif part.closed:
            p.drawPolygon(QPolygonF(spots))
        else:
            p.drawPolyline(QPolygonF(spots))


def paint_foot_tick(p: QPainter, room: QRectF, x: float, text: str, measure: QFontMetricsF) -> None:
    """Paint a tick at the foot of a chart with its figure under it."""
    p.setPen(pen("frame"))
    p.drawLine(QPointF(x, room.bottom()), QPointF(x, room.bottom() + 4))
    p.setPen(QColor(look.QUIET))
    p.drawText(QPointF(x - measure.horizontalAdvance(text) / 2, room.bottom() + measure.ascent() + 4), text)
