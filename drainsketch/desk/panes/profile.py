"""The profile strip under the plan: ground, pipe, structures and crossings along the selected path."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from drainsketch.desk.panes.pathway import Leg, Pathway, pathway
from drainsketch.desk.panes.profile_paint import ProfileFrame, paint_profile
from drainsketch.desk.panes.scales import FEET_PER_METER
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.look import INK, PAPER, QUIET
from drainsketch.wording import Words

STEP_FT, FAR_STEP_FT = 1.0, 10.0  # of the arrow keys
NO_PATH = "The profile of a path appears here: shoot levels, then draw runs from an inlet to an outfall."


class ProfileStrip(QWidget):
    """Paints the path of the selection; the pointer reads station, ground, invert and cut."""

    place_chosen = Signal(tuple, tuple)  # ids, plan point

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.path: Pathway | None = None
        self._hover_ft: float | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(96)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        session.changed.connect(self.refresh)
        session.selected.connect(self.refresh)
        self.refresh()

    def sizeHint(self) -> QSize:
        """Return the size it likes: the strip stays slim."""
        return QSize(600, 140)

    def refresh(self) -> None:
        """Show the path of the selection."""
        self.path = pathway(self._session.review, self._session.selection)
        self._hover_ft = None
        self.setAccessibleName(f"Profile {self.path.title}" if self.path else "Profile")
        self.setAccessibleDescription(self._summary() if self.path else NO_PATH)
        self.update()

    def reading(self, station_ft: float) -> str:
        """Return what the profile says at a station of the path, in a line of words."""
        words = Words(units=self._session.job.header.units)
        leg = self._leg_at(station_ft)
        if leg is None:
            return ""
        at = nearest(leg, station_ft)
        ground_ft = float(leg.profile.ground_ft[at])
        guess = " (guess)" if bool(leg.profile.guess[at]) else ""
        said = [f"station {words.length(station_ft)}", f"ground {words.level(ground_ft)}{guess}"]
        if leg.grade is not None:
            invert_ft = leg.grade.invert_at(station_ft - leg.from_ft)
            said.append(f"invert {words.level(invert_ft)}")
            said.append(f"cut {words.length(ground_ft - invert_ft + leg.grade.bottom_below_invert_ft)}")
        return "   ".join(said)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the strip."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.fillRect(self.rect(), QColor(PAPER))
            if self.path is None or self.path.length_ft <= 0:
                painter.setPen(QColor(QUIET))
                painter.drawText(
                    self.rect().adjusted(20, 0, -20, 0),
                    int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap),
                    NO_PATH,
                )
                return
            frame = self._frame(self.path)
            paint_profile(painter, self.path, frame)
            heading = (
                self.path.title
                + "     "
                + (self.reading(self._hover_ft) if self._hover_ft is not None else self._summary())
            )
            painter.setPen(QColor(INK))
            painter.drawText(QPointF(frame.room.left(), frame.room.top() - 6), heading)
            exaggeration = f"vertical × {frame.exaggeration:.0f}"
            width = QFontMetricsF(painter.font()).horizontalAdvance(exaggeration)
            painter.setPen(QColor(QUIET))
            painter.drawText(QPointF(frame.room.right() - width, frame.room.top() - 6), exaggeration)
            if self._hover_ft is not None:
                x = frame.along.px(self._hover_ft)
                painter.drawLine(QPointF(x, frame.room.top()), QPointF(x, frame.room.bottom()))
            if self.hasFocus():
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(QColor(tones_of(self).accent), 2))
                painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read the profile under the pointer."""
        if self.path is not None and self.path.length_ft > 0:
            station_ft = self._frame(self.path).along.ft(event.position().x())
            self._hover_ft = station_ft if 0 <= station_ft <= self.path.length_ft else None
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the place on the plan that lies under the pointer."""
        self._choose()

    def _choose(self) -> None:
        leg = self._leg_at(self._hover_ft) if self._hover_ft is not None else None
        if leg is not None and self._hover_ft is not None:
            at = nearest(leg, self._hover_ft)
            self.place_chosen.emit((), (float(leg.profile.x_ft[at]), float(leg.profile.y_ft[at])))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk along the profile with the arrows; Enter shows the place on the plan."""
        step_ft = FAR_STEP_FT if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else STEP_FT
        steps = {Qt.Key.Key_Left: -step_ft, Qt.Key.Key_Right: step_ft}
        if self.path is None or self.path.length_ft <= 0:
            super().keyPressEvent(event)
        elif event.key() in steps:
            self._read_at((self._hover_ft or 0.0) + steps[Qt.Key(event.key())])
        elif event.key() in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self._read_at(0.0 if event.key() == Qt.Key.Key_Home else self.path.length_ft)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose()
        else:
            super().keyPressEvent(event)

    def _read_at(self, station_ft: float) -> None:
        assert self.path is not None  # the caller looked
        self._hover_ft = min(self.path.length_ft, max(0.0, station_ft))
        self.setAccessibleDescription(self.reading(self._hover_ft))
        self.update()

    def leaveEvent(self, event: object) -> None:
        """Forget the pointer."""
        self._hover_ft = None
        self.update()

    def _frame(self, path: Pathway) -> ProfileFrame:
        metrics = QFontMetricsF(self.font())
        room = QRectF(self.rect()).adjusted(
            metrics.horizontalAdvance("1000.00") + 8, metrics.height() + 8, -16, -metrics.height() - 6
        )
        unit_ft = FEET_PER_METER if self._session.job.header.units == "m" else 1.0
        return ProfileFrame.of(path, room, unit_ft)

    def _leg_at(self, station_ft: float) -> Leg | None:
        below = [leg for leg in (self.path.legs if self.path else ()) if leg.from_ft <= station_ft + 1e-9]
        return below[-1] if below and len(below[-1].profile.station_ft) else None

    def _summary(self) -> str:
        """Return length, and the least and greatest cut along the path."""
        if self.path is None:
            return ""
        words = Words(units=self._session.job.header.units)
        grades = [leg.grade for leg in self.path.legs if leg.grade is not None]
        said = words.length(self.path.length_ft)
        if not grades:
            return said
        least, greatest = min(g.least_cut_ft for g in grades), max(g.greatest_cut_ft for g in grades)
        if least < 0:
            return f"{said} long   comes out of the ground   greatest cut {words.length(greatest)}"
        return f"{said} long   cut {words.length(least)} to {words.length(greatest)}"


def nearest(leg: Leg, station_ft: float) -> int:
    """Return which point of a leg's ground line is nearest to a station of the path."""
    return int(abs(leg.profile.station_ft - (station_ft - leg.from_ft)).argmin())
