"""The Storm pane: what storm it is and what it comes to at the left, its playback and the hydrograph at the right."""

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.hydrograph import Hydrograph
from drainsketch.desk.panes.storm_choice import StormChoice
from drainsketch.desk.panes.storm_controls import FAR_STEPS, StormControls
from drainsketch.desk.panes.storm_table import StormTable
from drainsketch.desk.panes.storm_words import (
    CAUTION,
    CAUTION_TIP,
    beyond_words,
    blanked,
    facts_of,
    notes,
    storm_words,
    why_not,
)
from drainsketch.desk.panes.values import Value
from drainsketch.desk.panes.water_bar import button
from drainsketch.desk.playback import Playback
from drainsketch.desk.playing import Playing
from drainsketch.desk.session import Session
from drainsketch.job.edits.change import change_rain
from drainsketch.wording import Words

SIDE_PX, NARROW_PX, LEAST_PX = 380, 244, 96
WIDE_PX = 870  # from here on there is room for both columns of figures
LOW = "QLineEdit { min-height: 20px; padding: 1px 5px }"
LOW_CHOICE = "QComboBox { min-height: 20px; padding: 1px 5px }"
LASTS = Field("storm_min", "It rains for", "duration")


class Side(QScrollArea):
    """The left side; it is as wide as its table wants where there is room."""

    def sizeHint(self) -> QSize:
        """Return the size it likes."""
        return QSize(SIDE_PX, LEAST_PX)


class StormPane(QWidget):
    """Plays the storm while it is to be seen."""

    water_asked = Signal()  # the way out of a job without rain

    def __init__(self, session: Session, playing: Playing, playback: Playback, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._playing, self.playback = session, playing, playback
        self.lasts = Form((LASTS,), self._write, self)
        self.lasts.setStyleSheet(LOW)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)  # Space plays once somebody clicked in here
        self.choice = StormChoice(session, "typed", self)
        self.choice.setToolTip("Which storm is played: one of the rain table; the table itself is in the Water pane")
        self.choice.setStyleSheet(LOW_CHOICE)
        self.storm = self.lasts.row("storm_min").label  # says how much falls, and goes on in the field
        grid = self.lasts.layout()
        assert isinstance(grid, QGridLayout)  # a form is a grid
        grid.setColumnStretch(0, 5)
        self.lasts.row("storm_min").editor.setToolTip(
            "From 5 min to 2 days, for example 90 min or 2 h; the hardest rain of the table falls in the middle"
        )
        self.table = StormTable(self)
        self.note = _quiet(self)
        self.caution = _quiet(self)
        self.caution.setText(CAUTION)
        self.caution.setToolTip(CAUTION_TIP)
        self.caution.setContentsMargins(10, 0, 8, 3)
        self.why = QLabel(self)
        self.to_water = button("To the Water Pane", "Rain table and storm are chosen there", self)
        self.controls = StormControls(playback, self)
        self.graph = Hydrograph(session, playback, self)
        self._lay_out()
        self.to_water.clicked.connect(self.water_asked)
        playing.changed.connect(self.refresh)
        playback.moved.connect(self.graph.refresh)
        playback.moved.connect(self._fit)
        session.changed.connect(self.refresh)
        session.selected.connect(self.graph.refresh)

    def refresh(self) -> None:
        """Show the storm, or why there is none, once it is to be seen."""
        if not self.isVisible():
            return
        job, shown, words = self._session.job, self.playback.shown, Words.of(self._session.job)
        self.storm.setText(storm_words(job, words) or LASTS.label)
        self.choice.show_storm()
        self.lasts.show_values(lambda _: job.rain.storm_min, job.header.units)
        self.graph.refresh()
        self.controls.refresh()
        there = shown is not None
        for part in (self.controls, self.graph, self.caution):
            part.setVisible(there)
        self.missing.setVisible(not there)
        if shown is None:
            failed = self._playing.failed or self._session.study_failed
            said, rainless = why_not(job, self._session.review, empty=self._playing.empty, failed=failed)
            self.why.setText(said)
            self.to_water.setVisible(rainless)
            self.left.setVisible(not rainless or job.rain.table is not None)
            self.table.show_facts(blanked(self.table.facts) if self._playing.is_due else ())
            self.note.setVisible(False)
            return
        if self.hasFocus():
            self.controls.slider.setFocus(Qt.FocusReason.OtherFocusReason)
        self.left.setVisible(True)
        self.table.show_facts(facts_of(shown, words))
        said = " ".join(filter(None, (*notes(shown), beyond_words(job))))
        self.note.setText(said)
        self.note.setVisible(bool(said))

    def showEvent(self, event: QShowEvent) -> None:
        """Have the storm played."""
        super().showEvent(event)
        self._playing.want(True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop."""
        super().hideEvent(event)
        self.playback.pause()
        self._playing.want(False)

    def changeEvent(self, event: QEvent) -> None:
        """Take the tones of a window that turned dark or light."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "left"):
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show one column of figures where there is no room for both."""
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Play and pause with Space, step with the arrows; the same keys as on the slider."""
        playback, key = self.playback, event.key()
        rows = {
            Qt.Key.Key_Left: playback.row - 1,
            Qt.Key.Key_Right: playback.row + 1,
            Qt.Key.Key_PageDown: playback.row - FAR_STEPS,
            Qt.Key.Key_PageUp: playback.row + FAR_STEPS,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: playback.moments - 1,
        }
        if playback.shown is None or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Space:
            playback.toggle()
        elif key in rows:
            playback.pause()
            playback.go_to(rows[Qt.Key(key)])
        else:
            super().keyPressEvent(event)

    def _fit(self) -> None:
        shown = 2 if self.playback.drained else 1
        self.table.show_only(shown if self.width() < WIDE_PX else None)

    def _write(self, field: Field, value: Value) -> None:
        job = change_rain(self._session.job, storm_min=value)
        self._session.apply(job, "Change how long it rains")

    def _lay_out(self) -> None:
        storm = QWidget(self)
        line = QHBoxLayout(storm)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(6)
        line.addWidget(self.choice, 2, Qt.AlignmentFlag.AlignTop)
        line.addWidget(self.lasts, 5)
        side = column(storm, self.table, self.note, spacing=4, margins=(10, 5, 10, 6))
        box = side.layout()
        assert isinstance(box, QVBoxLayout)  # a column
        box.addStretch(1)
        self.left = Side(self)
        self.left.setWidget(side)
        self.left.setWidgetResizable(True)
        self.left.setFrameShape(QFrame.Shape.NoFrame)
        self.left.setMinimumWidth(NARROW_PX)
        self.left.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Expanding)
        self.missing = QWidget(self)
        said = QVBoxLayout(self.missing)
        said.setContentsMargins(16, 14, 16, 10)
        self.why.setWordWrap(True)
        said.addWidget(self.why)
        said.addWidget(self.to_water, 0, Qt.AlignmentFlag.AlignLeft)
        said.addStretch(1)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        for part, share in ((self.controls, 0), (self.graph, 1), (self.missing, 1), (self.caution, 0)):
            right.addWidget(part, share)
        self.setMinimumHeight(LEAST_PX)  # or the profile would be as high as this pane wants to be
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.left)
        row.addLayout(right, 1)


def _quiet(parent: QWidget) -> QLabel:
    label = QLabel(parent)
    label.setWordWrap(True)
    label.setProperty("quiet", True)
    return label
