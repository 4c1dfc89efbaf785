"""What moves over the painted profile: handles and pins, the limits of a drag, the station line, the heading."""

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.panes.profile_frame import ProfileFrame
from drainsketch.desk.panes.profile_hand import ProfileHand, spots
from drainsketch.desk.panes.profile_paint import paint_handle, paint_pin
from drainsketch.desk.panes.profile_words import allowed, reading, summary
from drainsketch.look import INK, PAPER, QUIET
from drainsketch.sheets.pathway import Pathway
from drainsketch.wording import Words

HEADING_PT = 9.5
PIN_PX = 15.0


def paint_nothing(painter: QPainter, area: QRect, words: str) -> None:
    """Write why there is no profile."""
    painter.fillRect(area, QColor(PAPER))
    painter.setPen(QColor(QUIET))
    flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
    painter.drawText(area.adjusted(20, 0, -20, 0), flags, words)


def paint_hand(
    painter: QPainter, hand: ProfileHand, frame: ProfileFrame, accent: str, words: Words, hover_ft: float | None
) -> None:
    """Paint the station line, then handles, pins, and the limits of the invert in hand."""
    room = frame.room
    painter.save()
    painter.setClipRect(room)
    if hover_ft is not None:
        x = frame.along.px(hover_ft)
        painter.setPen(QPen(QColor(accent), 1.2))
        painter.drawLine(QPointF(x, room.top()), QPointF(x, room.bottom()))
    chosen = hand.chosen
    pinned: set[tuple[str, str]] = set()  # one pin may hold the pipe on both sides of its structure
    for handle, at in zip(hand.handles, spots(hand.handles, frame), strict=True):
        if handle.pinned and (handle.thing, handle.field) not in pinned:
            pinned.add((handle.thing, handle.field))
            paint_pin(painter, at, handle.side, -1 if at.y() + PIN_PX > room.bottom() else 1)
        paint_handle(painter, at, chosen is not None and handle.key == chosen.key, accent)
    if hand.dragging and chosen is not None and hand.limits is not None:
        x = spots((chosen,), frame)[0].x()
        painter.setPen(QPen(QColor(accent), 2.0))
        for level, way in ((hand.limits.low_ft, -1), (hand.limits.high_ft, 1)):
            if abs(level) < 1e9:
                y = frame.up.px(level)
                painter.drawLine(QPointF(x - 9, y), QPointF(x + 9, y))
                painter.drawLine(QPointF(x - 9, y), QPointF(x - 9, y + way * 4))
                painter.drawLine(QPointF(x + 9, y), QPointF(x + 9, y + way * 4))
    painter.restore()


def paint_heading(
    painter: QPainter,
    area: QRect,
    frame: ProfileFrame,
    path: Pathway,
    words: Words,
    hand: ProfileHand,
    hover_ft: float | None,
) -> None:
    """Write the path with what is read, dragged or to be known of it; the exaggeration stands at the right."""
    measure = plan_metrics(HEADING_PT)
    base = frame.room.top() - measure.descent() - 3
    times = frame.exaggeration
    right = f"vertical × {times:.0f}" if times >= 9.5 else f"vertical × {times:.1f}".removesuffix(".0")
    wide = measure.horizontalAdvance(right)
    painter.setFont(plan_font(HEADING_PT))
    painter.setPen(QColor(QUIET))
    painter.drawText(QPointF(area.right() - 12 - wide, base), right)
    title = QFontMetricsF(plan_font(HEADING_PT, bold=True))
    painter.setFont(plan_font(HEADING_PT, bold=True))
    painter.setPen(QColor(INK))
    painter.drawText(QPointF(10.0, base), path.title)
    left = 10.0 + title.horizontalAdvance(path.title) + 18
    painter.setFont(plan_font(HEADING_PT))
    said = heading(path, words, hand, hover_ft)
    room = area.right() - 24 - wide - left
    painter.drawText(QPointF(left, base), measure.elidedText(said, Qt.TextElideMode.ElideRight, room))


def heading(path: Pathway, words: Words, hand: ProfileHand, hover_ft: float | None) -> str:
    """Return what the heading says of the path."""
    chosen = hand.chosen
    if chosen is not None and (hand.dragging or hover_ft is None or abs(hover_ft - chosen.at_ft) < 1e-9):
        said = f"invert of {chosen.run} at {chosen.structure} {words.level(chosen.level_ft)}"
        said += " pinned" if chosen.pinned else ""
        return f"{said}   {allowed(hand.limits, words)}" if hand.dragging and hand.limits is not None else said
    return reading(path, hover_ft, words) if hover_ft is not None else summary(path, words)


def paint_focus(painter: QPainter, area: QRect, accent: str) -> None:
    """Paint the frame of the keyboard's focus."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(accent), 2))
    painter.drawRect(QRectF(area).adjusted(1, 1, -1, -1))
