"""The gesture in hand on screen: its lines, what the pointer was drawn to, length and direction, and what is being typed."""

from collections.abc import Sequence
from math import hypot

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from drainsketch import look
from drainsketch.desk.driver import Driver
from drainsketch.desk.entry import Entry
from drainsketch.desk.fonts import plan_font
from drainsketch.desk.painter import STYLES, paint_symbol, pen
from drainsketch.desk.tools.gesture import Preview, Symbol, Trace
from drainsketch.desk.view import View
from drainsketch.job.bearings import azimuth_deg, format_bearing
from drainsketch.job.kinds import Point, Units
from drainsketch.job.snapping import Snap
from drainsketch.job.units import format_length

AWAY_PX = 18.0  # of the readout from the pointer
PAD_PX = 5.0
FAULT_PX = 260.0  # least room for a sentence under the entry


def paint_gesture(p: QPainter, driver: Driver, view: View, size: tuple[float, float]) -> None:
    """Paint all there is to see of the gesture in hand."""
    shown = driver.preview
    for trace in shown.traces:
        _paint_trace(p, trace, view)
    for symbol in shown.symbols:
        _paint_symbol(p, symbol, view)
    for note in shown.notes:
        _paint_lines(p, [note.text], *view.to_px(note.at), size)
    if shown.box is not None:
        _paint_box(p, shown.box, view)
    if driver.snap is not None:
        paint_snap(p, driver.snap, view)
    if driver.at is not None:
        _paint_words(p, driver, shown, view, size)


def _points(points: Sequence[Point], view: View) -> QPolygonF:
    return QPolygonF([QPointF(*view.to_px(q)) for q in points])


def _paint_trace(p: QPainter, trace: Trace, view: View) -> None:
    polygon = _points(trace.points, view)
    style = STYLES[trace.style]
    p.setBrush(Qt.BrushStyle.NoBrush)
    if trace.faint:
        p.setPen(QPen(QColor(look.QUIET), 1.0, Qt.PenStyle.DotLine))
        p.drawPolyline(polygon)
        return
    if style.casing:
        p.setPen(QPen(QColor(style.casing), style.casing_pt))
        p.drawPolyline(polygon)
    p.setPen(pen(trace.style))
    p.drawPolyline(polygon)
    if trace.plain:
        return
    p.setPen(QPen(QColor(look.INK), 1.0))
    p.setBrush(QColor(look.PAPER))
    for i in range(polygon.size()):
        p.drawEllipse(polygon.at(i), 2.6, 2.6)


def _paint_symbol(p: QPainter, symbol: Symbol, view: View) -> None:
    x, y = view.to_px(symbol.at)
    p.save()
    p.translate(x, y)
    if symbol.symbol in look.SYMBOLS:
        paint_symbol(p, look.SYMBOLS[symbol.symbol])
    else:
        style = STYLES[symbol.symbol]
        p.setPen(pen(symbol.symbol))
        p.setBrush(QColor(style.fill or look.PAPER))
        p.drawEllipse(QPointF(0, 0), 5.0, 5.0)
    p.restore()


def _paint_box(p: QPainter, box: tuple[Point, Point], view: View) -> None:
    a, b = QPointF(*view.to_px(box[0])), QPointF(*view.to_px(box[1]))
    tint = QColor(look.SELECTED)
    tint.setAlpha(24)
    p.setPen(QPen(QColor(look.SELECTED), 1.0, Qt.PenStyle.DashLine))
    p.setBrush(tint)
    p.drawRect(QRectF(a, b).normalized())


def paint_snap(p: QPainter, snap: Snap, view: View) -> None:
    """Paint what the pointer was drawn to: its guides and a mark for its kind."""
    color = QColor(look.SNAP)
    faint = QColor(color)
    faint.setAlpha(120)
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(QPen(faint, 1.0, Qt.PenStyle.DotLine))
    for a, b in snap.rays:
        p.drawLine(QPointF(*view.to_px(a)), QPointF(*view.to_px(b)))
    x, y = view.to_px(snap.point)
    p.setPen(QPen(color, 2.0))
    at = QPointF(x, y)
    match snap.kind:
        case "structure" | "downspout" | "shot" | "first":
            p.drawEllipse(at, 11.0, 11.0)
        case "corner" | "bend":
            p.drawRect(QRectF(x - 6, y - 6, 12, 12))
        case "square":
            p.drawPolyline(QPolygonF([QPointF(x - 8, y - 8), QPointF(x - 8, y + 1), QPointF(x + 1, y + 1)]))
            p.drawEllipse(at, 3.0, 3.0)
        case "edge":
            p.drawLine(QPointF(x - 6, y - 6), QPointF(x + 6, y + 6))
            p.drawLine(QPointF(x - 6, y + 6), QPointF(x + 6, y - 6))
        case _:
            p.drawEllipse(at, 3.0, 3.0)


def readout_text(preview: Preview, at: Point, units: Units) -> str:
    """Return length and direction from the last point to the pointer; '' when there is nothing to say."""
    if not preview.readout or preview.anchor is None or preview.anchor == at:
        return ""
    east, north = at[0] - preview.anchor[0], at[1] - preview.anchor[1]
    return f"{format_length(hypot(east, north), units)}   {format_bearing(azimuth_deg(east, north))}"


def _paint_words(p: QPainter, driver: Driver, shown: Preview, view: View, size: tuple[float, float]) -> None:
    assert driver.at is not None  # the caller looked
    x, y = view.to_px(driver.at)
    if driver.entry is not None:
        if shown.wants == "level" and shown.anchor is not None:
            x, y = view.to_px(shown.anchor)
        _paint_entry(p, _boxes(driver, driver.entry, shown), driver.fault, x, y, size)
        return
    words = [readout_text(shown, driver.at, driver.session.job.header.units)]
    words.append(driver.snap.word if driver.snap is not None else "")
    _paint_lines(p, [w for w in words if w], x, y, size)


class _Box(Struct, frozen=True):
    """A field of the entry: its name, its text, whether it is in hand, and what counts as long as it is empty."""

    name: str
    text: str
    in_hand: bool = True
    instead: str = ""


def _boxes(driver: Driver, entry: Entry, shown: Preview) -> tuple[_Box, ...]:
    if shown.wants == "level":
        return (_Box("level", entry.length),)
    if shown.anchor is None or "," in entry.length:
        return (_Box("east, north", entry.length),)
    on_length = entry.field == "length"
    instead = direction_text(shown.anchor, driver.toward)
    return _Box("length", entry.length, on_length), _Box("direction", entry.direction, not on_length, instead)


def direction_text(anchor: Point, toward: Point | None) -> str:
    """Return the direction a leg takes when none is typed; '' when there is none."""
    if toward is None or toward == anchor:
        return ""
    return format_bearing(azimuth_deg(toward[0] - anchor[0], toward[1] - anchor[1]))


def _corner(x: float, y: float, width: float, height: float, size: tuple[float, float]) -> QPointF:
    """Return where a box by the pointer starts so that it stays in the window."""
    left = x + AWAY_PX if x + AWAY_PX + width < size[0] - 4 else x - AWAY_PX - width
    top = y + AWAY_PX if y + AWAY_PX + height < size[1] - 4 else y - AWAY_PX - height
    return QPointF(
        max(4.0, min(left, size[0] - 4.0 - width)),
        max(4.0, min(top, size[1] - 4.0 - height)),
    )


def _paint_lines(p: QPainter, lines: list[str], x: float, y: float, size: tuple[float, float]) -> None:
    if not lines:
        return
    font = plan_font(9.0)
    measure = QFontMetricsF(font)
    width = max(measure.horizontalAdvance(line) for line in lines) + 2 * PAD_PX
    height = measure.height() * len(lines) + 2 * PAD_PX - 2
    corner = _corner(x, y, width, height, size)
    _paint_card(p, QRectF(corner.x(), corner.y(), width, height))
    p.setFont(font)
    p.setPen(QColor(look.INK))
    for i, line in enumerate(lines):
        p.drawText(
            QPointF(corner.x() + PAD_PX, corner.y() + PAD_PX - 1 + measure.ascent() + i * measure.height()), line
        )


def _paint_card(p: QPainter, box: QRectF) -> None:
    paper = QColor(look.PAPER)
    paper.setAlpha(235)
    p.setPen(QPen(QColor("#b9c0c8"), 1.0))
    p.setBrush(paper)
    p.drawRoundedRect(box, 4.0, 4.0)


def _paint_entry(
    p: QPainter, fields: Sequence[_Box], fault: str, x: float, y: float, size: tuple[float, float]
) -> None:
    font, small = plan_font(11.0, bold=True), plan_font(7.5)
    measure = QFontMetricsF(font)
    widths = [max(78.0, measure.horizontalAdvance(f.text or f.instead) + 18) for f in fields]
    fields_px = sum(widths) + 6 * (len(fields) - 1) + 2 * PAD_PX
    said = _fault_room(fault, fields_px)
    total, height = max(fields_px, said.width() + 2 * PAD_PX), measure.height() + 25 + said.height()
    corner = _corner(x, y, total, height, size)
    _paint_card(p, QRectF(corner.x(), corner.y(), total, height))
    left = corner.x() + PAD_PX
    for field, width in zip(fields, widths, strict=True):
        p.setFont(small)
        p.setPen(QColor(look.QUIET))
        p.drawText(QPointF(left + 2, corner.y() + 13), field.name)
        box = QRectF(left, corner.y() + 17, width, measure.height() + 3)
        _paint_field(p, box, field.in_hand, bool(fault))
        p.setFont(font)
        p.setPen(QColor(look.INK if field.text else look.QUIET))
        p.drawText(QPointF(left + 6, box.top() + 1 + measure.ascent()), field.text or field.instead)
        if field.in_hand:
            text = field.text
            caret = left + 7 + measure.horizontalAdvance(text)
            p.drawLine(QPointF(caret, box.top() + 4), QPointF(caret, box.bottom() - 4))
        left += width + 6
    if fault:
        p.setFont(plan_font(9.0))
        p.setPen(QColor(look.LEVEL_COLORS["stop"]))
        room = QRectF(corner.x() + PAD_PX + 2, corner.y() + measure.height() + 22, said.width(), said.height())
        p.drawText(room, int(Qt.TextFlag.TextWordWrap), fault)


def _fault_room(fault: str, fields_px: float) -> QRectF:
    """Return the room that the wrapped sentence needs under the fields."""
    if not fault:
        return QRectF()
    wide = QRectF(0, 0, max(fields_px, FAULT_PX), 1000)
    box = QFontMetricsF(plan_font(9.0)).boundingRect(wide, int(Qt.TextFlag.TextWordWrap), fault)
    return QRectF(0, 0, box.width() + 6, box.height() + 4)


def _paint_field(p: QPainter, box: QRectF, in_hand: bool, wrong: bool) -> None:
    """Paint the box of a field: red when what is typed in it cannot be read."""
    color = "#b9c0c8" if not in_hand else look.LEVEL_COLORS["stop"] if wrong else look.SNAP
    p.setPen(QPen(QColor(color), 1.6 if in_hand else 1.0))
    paper = QColor(look.PAPER)
    if in_hand and wrong:
        paper = QColor(color)
        paper.setAlpha(36)
    p.setBrush(paper)
    p.drawRoundedRect(box, 3.0, 3.0)
