"""The profile as it is shown: which path, from how near, and what it reads. The strip under the plan adds mouse and keys."""

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from drainsketch.desk.fonts import plan_metrics
from drainsketch.desk.panes.profile_frame import ProfileFrame, ProfileView
from drainsketch.desk.panes.profile_hand import ProfileHand, spots
from drainsketch.desk.panes.profile_overlay import HEADING_PT, paint_focus, paint_hand, paint_heading, paint_nothing
from drainsketch.desk.panes.profile_paint import AXIS_PT, paint_profile
from drainsketch.desk.panes.profile_words import described, reading
from drainsketch.desk.session import Session
from drainsketch.job.kinds import Point
from drainsketch.look import PAPER, SNAP
from drainsketch.sheets.axes import FEET_PER_METER
from drainsketch.sheets.pathway import Pathway, pathway
from drainsketch.sheets.profile_marks import ProfileMarks, profile_marks
from drainsketch.sheets.storm_line import with_storm
from drainsketch.water.results import Water
from drainsketch.wording import Words

HANDLE_PX = 6.0  # words keep this far from the middle of a handle
NO_PATH = "The profile of a path appears here: shoot levels, then draw runs from an inlet to an outfall."


class ProfileChart(QWidget):
    """Shows the path of the selection, or the one chosen."""

    place_shown = Signal(object)  # plan point that is read, or None
    path_changed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.path: Pathway | None = None
        self.marks: ProfileMarks | None = None
        self.inlet = ""  # '' follows the selection
        self.view = ProfileView()
        self.hand = ProfileHand(session, self)
        self.hover_ft: float | None = None
        self.held: ProfileFrame | None = None  # kept still while an invert is dragged
        self._picture: QPixmap | None = None
        self.setMinimumHeight(96)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        session.changed.connect(self.refresh)
        session.studied.connect(self.refresh)
        session.selected.connect(self.refresh)
        self.hand.changed.connect(self.update)
        self.refresh()

    def sizeHint(self) -> QSize:
        """Return the size it likes: the strip stays slim."""
        return QSize(600, 170)

    def refresh(self) -> None:
        """Show the path that was chosen, or that of the selection."""
        before, review = self.path, self._session.review
        if self.inlet and all(p.inlet != self.inlet for p in review.paths):
            self.inlet = ""
        selection = self._session.selection or ((before.inlet,) if before is not None and before.inlet else ())
        self.path = pathway(review, selection, self.inlet)
        if self.path is not None and self._water is not None:
            self.path = with_storm(self.path, self._water)
        words = self.words
        self.marks = profile_marks(self.path, review, words) if self._is_shown(self.path) and self.path else None
        if before is None or self.path is None or before.title != self.path.title:
            self.view, self.hover_ft = self.view.fitted(), None
        self.hand.take(self.path)
        self.setAccessibleName(f"Profile {self.path.title}" if self.path else "Profile")
        self.setAccessibleDescription(described(self.path, words) if self.path else NO_PATH)
        self.repaint_all()
        self.path_changed.emit()

    def show_path(self, inlet: str) -> None:
        """Show the path from an inlet, whatever is selected; '' follows the selection."""
        self.inlet = inlet
        self.refresh()

    def exaggerate(self, times: float | None) -> None:
        """Set how much steeper slopes are shown; None fills the strip."""
        self.look_at(ProfileView(times=times))

    def fit(self) -> None:
        """Show the whole path."""
        self.look_at(self.view.fitted())

    def look_at(self, view: ProfileView) -> None:
        """Take another view."""
        if view != self.view:
            self.view = view
            self.repaint_all()
            self.path_changed.emit()

    def follow(self, at: Point | None, reach_ft: float) -> None:
        """Show the station of a place on the plan, where that lies on the path."""
        station = self.path.station_of(at, reach_ft) if self.path is not None and at is not None else None
        if station != self.hover_ft:
            self.hover_ft = station
            self.update()

    def point_at(self, station_ft: float | None) -> None:
        """Read the profile at a station and show its place on the plan."""
        if station_ft != self.hover_ft:
            self.hover_ft = station_ft
            place = self.path.place_at(station_ft) if self.path is not None and station_ft is not None else None
            self.place_shown.emit(place)
            self.update()

    @property
    def _water(self) -> Water | None:
        """What the storm does to the job as it stands; None while nobody knows."""
        study = self._session.study if self._session.study_is_current else None
        return study.water if study is not None else None

    @property
    def words(self) -> Words:
        """The words of the job."""
        return Words(units=self._session.job.header.units)

    def reading(self, station_ft: float) -> str:
        """Return what the profile says at a station of the path, in a line of words."""
        return reading(self.path, station_ft, self.words) if self.path is not None else ""

    @property
    def frame(self) -> ProfileFrame | None:
        """Where on the strip what is painted; None without a path."""
        path = self.path
        if path is None or not self._is_shown(path):
            return None
        if self.held is not None:
            return self.held
        measure = plan_metrics(AXIS_PT, condensed=True)
        head = plan_metrics(HEADING_PT).height() + 4
        room = QRectF(self.rect()).adjusted(measure.horizontalAdvance("1000.00") + 10, head, -12, -measure.height() - 6)
        unit_ft = FEET_PER_METER if self._session.job.header.units == "m" else 1.0
        return ProfileFrame.of(path, room, unit_ft, self.view)

    @staticmethod
    def _is_shown(path: Pathway | None) -> bool:
        return path is not None and path.length_ft > 0

    def repaint_all(self) -> None:
        """Paint the profile anew."""
        self._picture = None
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the strip: the profile from its picture, on top what moves with the pointer."""
        frame = self.frame
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if frame is None or self.path is None or self.marks is None:
                paint_nothing(painter, self.rect(), NO_PATH)
                return
            if self._picture is None:
                self._picture = self._painted(frame, self.marks, self.path.length_ft)
            painter.drawPixmap(0, 0, self._picture)
            accent = SNAP  # the paper is white in dark windows too
            paint_hand(painter, self.hand, frame, accent, self.words, self.hover_ft)
            paint_heading(painter, self.rect(), frame, self.path, self.words, self.hand, self.hover_ft)
            if self.hasFocus():
                paint_focus(painter, self.rect(), accent)

    def _painted(self, frame: ProfileFrame, marks: ProfileMarks, length_ft: float) -> QPixmap:
        ratio = self.devicePixelRatioF()
        picture = QPixmap(self.size() * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(QColor(PAPER))
        with QPainter(picture) as painter:
            painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
            clear = [
                (at.x() - HANDLE_PX, at.y() - HANDLE_PX, at.x() + HANDLE_PX, at.y() + HANDLE_PX)
                for at in spots(self.hand.handles, frame)
            ]
            paint_profile(painter, marks, frame, length_ft, clear)
        return picture

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Paint anew at another size."""
        self.repaint_all()
