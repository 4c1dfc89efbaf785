"""The legend: every line, area and sign of the look, with its name."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from drainsketch.desk.panes.signs import paint_sign
from drainsketch.look import LEVEL_SIGNS, PAPER, SERVICE_LETTERS, STYLES, SYMBOLS

GROUPS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (
        "Drains",
        (
            ("run.drain", "perforated drain in stone"),
            ("run.solid", "solid pipe"),
            ("stone band", "stone around a drain"),
            ("pit", "pit of a dry well"),
            ("flow", "way the water runs"),
            ("basin", "basin with grate"),
            ("fitting", "fitting: tee, wye, bend"),
            ("cleanout", "cleanout"),
            ("downspout inlet", "downspout inlet"),
            ("outfall.daylight", "outfall: daylight"),
            ("outfall.pop-up", "outfall: pop-up"),
            ("outfall.tie-in", "outfall: tie-in to a drain that is there"),
            ("outfall.curb", "outfall: curb"),
            ("outfall.dry well", "outfall: dry well"),
        ),
    ),
    (
        "Buried services (uniform color code)",
        (
            *((f"service.{kind}", f"{letter}   {kind}") for kind, letter in SERVICE_LETTERS.items()),
            ("hand-dig zone", "dig by hand only"),
            ("crossing", "crossing with its number: stop"),
            ("crossing.settle", "crossing: settle"),
            ("crossing.note", "crossing: note"),
        ),
    ),
    (
        "Yard",
        (
            ("boundary", "lot line"),
            ("backdrop", "drawing from elsewhere, under the plan"),
            ("building", "building"),
            ("hardscape", "paving: walk, drive, patio"),
            ("bed", "planting bed"),
            ("fence", "fence"),
            ("trunk", "tree trunk"),
            ("root zone", "root zone of a tree"),
            ("septic", "septic tank or field"),
            ("well", "well"),
            ("other", "other obstacle"),
            ("downspout", "downspout"),
            ("shot", "shot with its level"),
            ("breakline", "line where the ground breaks"),
            ("spoil heap", "spoil heap while the work lasts"),
            ("fill area", "area that spoil is spread over"),
        ),
    ),
    (
        "Ground",
        (
            ("contour", "contour: ground of one level"),
            ("contour.index", "every fifth contour"),
            ("fall arrow", "way the ground falls"),
            ("standing water", "where water stands; outline alone: until the plan is built"),
            ("inlet area", "ground that reaches an inlet"),
        ),
    ),
    (
        "Storm",
        (
            ("storm.carries", "pipe carries the peak of the storm; share of what it carries full"),
            ("storm.slow", "carries it, too slow to clean itself: soil settles"),
            ("storm.too small", "pipe too small for the peak of the storm"),
            ("comes out", "water comes out of a grate or a dry well"),
            ("not proved", "dry well, not proved to hold the storm"),
            ("overland", "way of that water over the ground"),
        ),
    ),
    (
        "Profile and sheet",
        (
            ("ground line", "ground"),
            ("ground guess", "ground, a guess outside the shots"),
            ("pipe wall", "pipe"),
            ("trench line", "trench bottom"),
            ("pipe inside", "inside of a pipe"),
            ("earth", "ground from the side"),
            ("topsoil cap", "topsoil over the stone"),
            ("basin wall", "basin body and risers"),
            ("basin sump", "sump below the lowest pipe"),
            ("run.unshot", "pipe that was not shot, on the as-built plan"),
            ("grade line", "hydraulic grade line at the peak of the storm"),
            ("grade line.over", "the same, above the rims: water comes out"),
            ("laid pipe", "pipe as laid"),
            ("laid", "level read on laid pipe"),
            ("laid.off", "laid pipe off the plan: lift it, or dig deeper"),
            ("belly", "water standing in pipe as laid"),
            ("leader", "leader"),
            ("hair", "grid of levels"),
            ("match line", "match line: the plan continues on another sheet"),
            ("frame", "frame"),
            ("north", "north"),
            ("water leaves", "where the water leaves, on the owner's plan"),
        ),
    ),
    (
        "Findings",
        tuple(
            (LEVEL_SIGNS[level], words)
            for level, words in (
                ("stop", "stop: does not drain, hits a service, or unsafe"),
                ("settle", "settle before you dig"),
                ("note", "note"),
            )
        ),
    ),
)
DRAWN_WITH = ("flow arrow",)  # the ink of the flow sign, not a line of its own


class Swatch(QWidget):
    """One line, area or sign on white paper."""

    def __init__(self, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key = key
        self.setFixedSize(QSize(72, 30))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(PAPER))
            middle = QPointF(self.width() / 2, self.height() / 2)
            if self._key in SYMBOLS:
                symbol = SYMBOLS[self._key]
                paint_sign(painter, self._key, middle, min(24.0, symbol.size_pt * 1.5), symbol.ink, PAPER)
                return
            style = STYLES[self._key]
            ends = QPointF(6, middle.y()), QPointF(self.width() - 6, middle.y())
            if style.casing:
                painter.setPen(QPen(QColor(style.casing), style.casing_pt))
                painter.drawLine(*ends)
            pen = QPen(QColor(style.stroke), style.width_pt) if style.stroke else QPen(Qt.PenStyle.NoPen)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            if style.dash_pt:
                pen.setDashPattern([length / style.width_pt for length in style.dash_pt])
            painter.setPen(pen)
            if style.fill:
                fill = QColor(style.fill)
                fill.setAlphaF(style.opacity)
                painter.setBrush(QBrush(fill))
                painter.drawRect(QRectF(6, 6, self.width() - 12, self.height() - 12))
            else:
                painter.drawLine(*ends)


def legend_page() -> QWidget:
    """Return the page with all groups."""
    page = QWidget()
    grid = QGridLayout(page)
    grid.setColumnStretch(1, 1)
    grid.setVerticalSpacing(3)
    at = 0
    for heading, rows in GROUPS:
        head = QLabel(f"<b>{heading}</b>")
        head.setContentsMargins(0, 8 if at else 0, 0, 2)
        grid.addWidget(head, at, 0, 1, 2)
        at += 1
        for key, words in rows:
            grid.addWidget(Swatch(key), at, 0)
            grid.addWidget(QLabel(words), at, 1)
            at += 1
    grid.setRowStretch(at, 1)
    return page
