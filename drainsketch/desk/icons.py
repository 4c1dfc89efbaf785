"""Icons: the project's own line drawings, tinted to the tones of the window."""

from functools import cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from drainsketch.desk.theme import Tones
from drainsketch.look import SNAP
from drainsketch.resources import resource

SIZES_PX = (24, 48, 72)  # sharp on screens of one, two and three pixels to the point


@cache
def _drawing(name: str) -> str:
    return resource(f"icons/{name}.svg").read_text(encoding="utf-8")


def _pixmap(drawing: QSvgRenderer, side_px: int) -> QPixmap:
    made = QPixmap(side_px, side_px)
    made.fill(Qt.GlobalColor.transparent)
    with QPainter(made) as painter:
        drawing.render(painter, QRectF(0, 0, side_px, side_px))
    return made


@cache
def icon(name: str, tones: Tones) -> QIcon:
    """Return a shipped icon; its lines take the text tone and its second tone the accent."""
    drawing = _drawing(name)
    made = QIcon()
    for mode, line, second in (
        (QIcon.Mode.Normal, tones.text, tones.accent),
        (QIcon.Mode.Disabled, tones.edge, tones.edge),
    ):
        svg = drawing.replace("currentColor", line).replace(SNAP, second)
        tinted = QSvgRenderer(QByteArray(svg.encode()))
        for side_px in SIZES_PX:
            made.addPixmap(_pixmap(tinted, side_px), mode)
    return made
