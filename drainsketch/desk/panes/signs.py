"""The signs of look.py painted small for lists and legends, in the tones of the window."""

from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF

from drainsketch.desk.theme import Tones
from drainsketch.look import LEVEL_COLORS, PAPER, SYMBOLS, Style


def paint_sign(painter: QPainter, name: str, center: QPointF, size_px: float, ink: str, paper: str) -> None:
    """Paint a symbol of ``look.SYMBOLS`` at a place of a widget."""
    symbol = SYMBOLS[name]
    half = size_px / 2
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for part in symbol.parts:
        pen = QPen(QColor(ink), max(1.0, size_px / 12) * part.width)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        fill = QBrush(QColor(ink if part.filled else paper)) if part.closed else QBrush(Qt.BrushStyle.NoBrush)
        painter.setBrush(fill)
        points = [QPointF(center.x() + x * half, center.y() - y * half) for x, y in part.points]
        if part.radius:
            painter.drawEllipse(points[0], part.radius * half, part.radius * half)
        elif part.closed:
            painter.drawPolygon(QPolygonF(points))
        else:
            painter.drawPolyline(QPolygonF(points))
    painter.restore()


def level_ink(level: str, tones: Tones) -> tuple[str, str]:
    """Return ink and paper of the sign of a finding level: a stop has the red of the plan in light and dark."""
    return (LEVEL_COLORS[level], PAPER) if level == "stop" else (tones.level(level), tones.base)


@cache
def sign_icon(name: str, ink: str, paper: str, side_px: int = 16) -> QIcon:
    """Return a symbol as an icon, sharp at twice the size too."""
    made = QIcon()
    for side in (side_px, 2 * side_px):
        pixmap = QPixmap(side, side)
        pixmap.fill(Qt.GlobalColor.transparent)
        with QPainter(pixmap) as painter:
            paint_sign(painter, name, QRectF(0, 0, side, side).center(), side * 0.85, ink, paper)
        made.addPixmap(pixmap)
    return made


def swatch_icon(style: Style) -> QIcon:
    """Return a line style as an icon on paper."""
    pixmap = QPixmap(56, 32)
    pixmap.fill(QColor(PAPER))
    with QPainter(pixmap) as painter:
        if style.casing:
            painter.setPen(QPen(QColor(style.casing), style.casing_pt * 2.4))
            painter.drawLine(4, 16, 52, 16)
        painter.setPen(QPen(QColor(style.stroke or PAPER), style.width_pt * 2.4))
        painter.drawLine(4, 16, 52, 16)
    pixmap.setDevicePixelRatio(2.0)
    return QIcon(pixmap)
