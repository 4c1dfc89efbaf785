"""Painting of a profile on screen: axes, then the marks of ``sheets/profile_marks.py`` in the styles of the look."""

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from drainsketch.desk.fonts import PX_PER_PT, metrics, plan_font, plan_metrics
from drainsketch.desk.lettering import paint_flag, paint_label
from drainsketch.desk.painter import paint_foot_tick, paint_shape, pen, shaped
from drainsketch.desk.panes.profile_frame import ProfileFrame
from drainsketch.desk.view import View
from drainsketch.look import INK, PAPER, QUIET, Style
from drainsketch.sheets.axes import ticks
from drainsketch.sheets.boxes import Rect
from drainsketch.sheets.labels import lines_of
from drainsketch.sheets.marks import Label, Sign, Stroke
from drainsketch.sheets.profile_marks import ProfileMarks
from drainsketch.sheets.profile_picture import Drawn, Oval, letter, shapes, spots_seen
from drainsketch.sheets.signs import TEXT_PT, sign_size

WALLS_PX_PER_FT = 40.0  # from here on up the inside of the pipe is drawn too
AXIS_PT = 9.0
PLAIN = View()  # strokes and areas are painted alike in every view


def paint_profile(
    painter: QPainter, marks: ProfileMarks, frame: ProfileFrame, length_ft: float, clear: Sequence[Rect] = ()
) -> None:
    """Paint a profile into its frame.

    Parameters
    ----------
    clear : where no words may stand, pixels
    """
    picture = frame.picture
    walls = frame.up.px_per_ft > WALLS_PX_PER_FT
    painter.save()
    painter.setClipRect(frame.room)
    _strokes(painter, (m for m in marks.ground if m.style == "earth"), frame)
    painter.restore()
    _axes(painter, frame, length_ft)
    painter.save()
    painter.setClipRect(frame.room)
    _strokes(painter, (m for m in marks.ground if m.style != "earth" and (walls or m.style != "pipe inside")), frame)
    for shape in shapes(marks, picture):
        _paint(painter, shape)
    _strokes(painter, marks.lines, frame)
    for shape in spots_seen(marks, picture):
        _paint(painter, shape)
    lettered = letter(marks, picture, _sign_px, _label_px, clear)
    for flag in lettered.flags:
        paint_flag(painter, flag)
    for label in lettered.labels:
        paint_label(painter, label)
    painter.restore()


def _strokes(painter: QPainter, strokes: Iterable[Stroke], frame: ProfileFrame) -> None:
    to_px = frame.transform
    for stroke in strokes:
        paint_shape(painter, shaped(stroke), to_px, PLAIN)


def _paint(painter: QPainter, shape: Drawn | Oval) -> None:
    """Paint a line, an outline or an oval in its style."""
    style = shape.style
    painter.setPen(_pen(style) if style.stroke else Qt.PenStyle.NoPen)
    painter.setBrush(QColor(style.fill) if style.fill else Qt.BrushStyle.NoBrush)
    if isinstance(shape, Oval):
        painter.drawEllipse(QPointF(*shape.center), shape.half_width, shape.half_height)
        return
    polygon = QPolygonF([QPointF(x, y) for x, y in shape.points])
    painter.drawPolygon(polygon) if shape.closed else painter.drawPolyline(polygon)


def _pen(style: Style) -> QPen:
    made = QPen(QColor(style.stroke or INK), style.width_pt)
    if style.dash_pt:
        made.setDashPattern([length / style.width_pt for length in style.dash_pt])
    return made


def _sign_px(sign: Sign) -> float:
    width = plan_metrics(TEXT_PT, bold=True, condensed=True).horizontalAdvance(sign.text) if sign.text else 0.0
    return sign_size(sign, width / PX_PER_PT) * PX_PER_PT


def _label_px(label: Label) -> tuple[float, float]:
    lines = lines_of(label)
    return (
        max(metrics(lettering).horizontalAdvance(text) for text, lettering in lines),
        sum(metrics(lettering).height() * 0.98 for _, lettering in lines),
    )


def _axes(painter: QPainter, frame: ProfileFrame, length_ft: float) -> None:
    """Paint both axes: levels as hairs across, stations as ticks at the foot."""
    painter.setFont(plan_font(AXIS_PT, condensed=True))
    measure = plan_metrics(AXIS_PT, condensed=True)
    room = frame.room
    for y, text in ticks(frame.up, measure.height() + 4, frame.unit_ft):
        if not room.top() + 3 <= y <= room.bottom() - 2:
            continue
        painter.setPen(pen("hair"))
        painter.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
        painter.setPen(QColor(QUIET))
        painter.drawText(QPointF(room.left() - measure.horizontalAdvance(text) - 6, y + measure.ascent() / 2 - 1), text)
    for x, text in ticks(frame.along, 70, frame.unit_ft):
        if not frame.along.px(0.0) - 1 <= x <= frame.along.px(length_ft) + 1 or not room.left() <= x <= room.right():
            continue
        paint_foot_tick(painter, room, x, text, measure)
    painter.setPen(pen("frame"))
    painter.drawLine(room.bottomLeft(), room.bottomRight())
    painter.drawLine(room.bottomLeft(), room.topLeft())
    painter.setPen(QColor(QUIET))
    unit = "ft" if frame.unit_ft == 1.0 else "m"
    left = room.left() - measure.horizontalAdvance(unit) - 6
    painter.drawText(QPointF(left, room.bottom() + measure.ascent() + 4), unit)


def paint_pin(painter: QPainter, at: QPointF, lean: int, down: int = 1) -> None:
    """Paint a pin stuck into an invert that was typed; its head is to the left (-1) or right (1), up (-1) or down (1)."""
    head = at + QPointF(lean * 8, down * 11)
    painter.setPen(QPen(QColor(PAPER), 4.0))
    painter.drawLine(at, head)
    painter.setPen(QPen(QColor(INK), 1.6))
    painter.drawLine(at, head)
    painter.setBrush(QColor(INK))
    painter.drawEllipse(head, 3.4, 3.4)


def paint_handle(painter: QPainter, at: QPointF, chosen: bool, accent: str) -> None:
    """Paint the handle of an invert: a small diamond, larger and in the accent when it is chosen."""
    half = 5.5 if chosen else 3.8
    points = [QPointF(0, -half), QPointF(half, 0), QPointF(0, half), QPointF(-half, 0)]
    painter.setPen(QPen(QColor(accent if chosen else INK), 1.4))
    painter.setBrush(QColor(accent if chosen else PAPER))
    painter.drawPolygon(QPolygonF([at + p for p in points]))
