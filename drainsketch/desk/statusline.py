"""The status line: hint of the tool, what was told, and where the pointer is."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QStatusBar, QWidget

from drainsketch.desk.session import Session
from drainsketch.ground.surface import Surface
from drainsketch.job.bearings import compass_point, fall_of
from drainsketch.wording import Words

TOLD_MS = 8_000
PX_PER_INCH = 96.0


STEP_FT = 0.02  # from the pointer to the places its fall is read at
LEAST_FALL = 0.0005  # ft/ft; less is as good as level


class StatusLine(QStatusBar):
    """Numbers stand in labels of fixed width, in a face whose digits are alike, so nothing jitters."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setSizeGripEnabled(False)
        self.setContentsMargins(8, 0, 8, 0)
        self.hint = QLabel(self)
        self.hint.setAccessibleName("Hint")
        self.hint.setTextFormat(Qt.TextFormat.PlainText)  # names in it come from the job
        self.hint.setMinimumWidth(10)
        self.addWidget(self.hint, 1)
        self.place = self._number("Pointer", "E -1000' 10 3/8\"  N -1000' 10 3/8\"")
        self.ground = self._number("Ground at the pointer", "ground 1000.00, falls 10.00% NW")
        self.zoom = self._number("Scale of the view", "view 1 in = 100 ft")
        self._px_per_ft = PX_PER_INCH
        self._place: tuple[float, float] | None = None
        session.changed.connect(self._again)
        session.told.connect(lambda sentence: self.showMessage(sentence, TOLD_MS))

    def show_hint(self, hint: str) -> None:
        """Show what the tool waits for."""
        self.hint.setText(hint)
        self.hint.setToolTip(f"<qt>{escape(hint)}</qt>")

    def show_place(self, x_ft: float, y_ft: float) -> None:
        """Show where the pointer is and how high the ground is there."""
        self._place = (x_ft, y_ft)
        units = self._session.job.header.units
        words = Words(units=units)
        self.place.setText(f"E {words.length(x_ft)}  N {words.length(y_ft)}")
        surface = self._session.review.surface
        if surface is None:
            self.ground.setText("no shots yet")
            return
        level_ft, guess = surface.level_at(x_ft, y_ft)
        said = f"ground {words.level(level_ft)}"
        self.ground.setText(f"{said} (guess)" if guess else f"{said}{_fall_text(surface, x_ft, y_ft, level_ft, words)}")

    def forget_place(self) -> None:
        """Show no place until the pointer moves over the plan: what it last stood on was another job."""
        self._place = None
        self.place.clear()
        self.ground.clear()

    def _again(self) -> None:
        """Show place, ground and scale anew: the ground or the units may be others now."""
        self.show_scale(self._px_per_ft)
        if self._place is not None:
            self.show_place(*self._place)

    def show_scale(self, px_per_ft: float) -> None:
        """Show the scale of the view, by the nominal inch of a screen."""
        self._px_per_ft = px_per_ft
        feet = PX_PER_INCH / px_per_ft
        if self._session.job.header.units == "m":
            self.zoom.setText(f"view 1 : {feet * 12:,.0f}")
        else:
            self.zoom.setText(f"view 1 in = {feet:.1f} ft" if feet < 10 else f"view 1 in = {feet:.0f} ft")

    def _number(self, name: str, widest: str) -> QLabel:
        label = QLabel(self)
        label.setAccessibleName(name)
        label.setMinimumWidth(label.fontMetrics().horizontalAdvance(widest) + 10)
        self.addPermanentWidget(label)
        return label


def _fall_text(surface: Surface, x_ft: float, y_ft: float, level_ft: float, words: Words) -> str:
    """Return how steeply the ground falls at a place, and which way; '' where that is a guess."""
    (east_ft, guess_east), (north_ft, guess_north) = (
        surface.level_at(x_ft + dx, y_ft + dy) for dx, dy in ((STEP_FT, 0.0), (0.0, STEP_FT))
    )
    if guess_east or guess_north:
        return ""
    slope, azimuth_deg = fall_of(level_ft, east_ft, north_ft, STEP_FT)
    if slope < LEAST_FALL:
        return ", level"
    return f", falls {words.slope(slope)} {compass_point(azimuth_deg)}"
