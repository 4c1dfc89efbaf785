"""The controls of the Storm pane: which yard, play, to the start, and a slider over all moments."""

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QFontMetrics, QMouseEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QSlider, QStyle, QStyleOptionSlider, QWidget

from drainsketch.desk.panes.storm_words import NO_BEFORE, told_time
from drainsketch.desk.panes.water_bar import button
from drainsketch.desk.playback import Playback

LOW = "QPushButton { padding: 3px 7px }"
FAR_STEPS = 10
TODAY = "The storm on today's ground, without the drains"


class MomentSlider(QSlider):
    """A slider whose knob goes to where it is clicked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setAccessibleName("Moment of the storm")
        self.setToolTip("The moment shown: arrows one on or back, Home and End, Space to play")
        self.setPageStep(FAR_STEPS)
        self.setMinimumWidth(90)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go to the place of the click, then drag from there."""
        if event.button() is Qt.MouseButton.LeftButton:
            option = QStyleOptionSlider()
            self.initStyleOption(option)
            style = self.style()
            knob = style.subControlRect(
                QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, self
            )
            if not knob.contains(event.position().toPoint()):
                x = round(event.position().x() - knob.width() / 2)
                room = self.width() - knob.width()
                self.setValue(QStyle.sliderValueFromPosition(self.minimum(), self.maximum(), x, room))
        super().mousePressEvent(event)


class StormControls(QWidget):
    """One row of controls; they stay in step with the playback."""

    def __init__(self, playback: Playback, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._playback = playback
        self.setStyleSheet(LOW)
        self.start = button("To Start", "To the first rain (Home)", self)
        self.play = button("Play", "Play the storm in 20 seconds, or pause it (Space)", self)
        self.play.setFixedWidth(QFontMetrics(self.play.font()).horizontalAdvance("Pause") + 22)
        self.slider = MomentSlider(self)
        self.time = QLabel(self)
        self.time.setAccessibleName("Time of the storm")
        self.now = button("Today", TODAY, self)
        self.drained = button("With Drains", "The storm with basins, pipe and outfalls in", self)
        group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 3, 8, 2)
        row.setSpacing(4)
        for part in (self.now, self.drained):
            part.setCheckable(True)
            group.addButton(part)
        for widget in (self.play, self.start):
            row.addWidget(widget)
        row.addWidget(self.slider, 1)
        row.addWidget(self.time)
        row.addSpacing(6)
        for widget in (self.now, self.drained):
            row.addWidget(widget)
        self.start.clicked.connect(lambda: self._by_hand(0))
        self.play.clicked.connect(playback.toggle)
        self.slider.valueChanged.connect(self._by_hand)
        self.now.clicked.connect(lambda: playback.show_side(False))
        self.drained.clicked.connect(lambda: playback.show_side(True))
        playback.moved.connect(self.refresh)
        playback.turned.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the moment, the yard, and whether it plays."""
        playback, shown = self._playback, self._playback.shown
        self.setEnabled(shown is not None)
        with QSignalBlocker(self.slider):
            self.slider.setRange(0, max(0, playback.moments - 1))
            self.slider.setValue(playback.row)
        self.play.setText("Pause" if playback.runs else "Play")
        if shown is None:
            self.time.setText("")
            return
        self.time.setText(told_time(shown.after.played, playback.row))
        last = told_time(shown.after.played, playback.moments - 1)
        self.time.setMinimumWidth(QFontMetrics(self.time.font()).horizontalAdvance(last) + 4)
        self.slider.setAccessibleDescription(self.time.text())
        known = shown.before is not None
        self.now.setEnabled(known)
        self.now.setToolTip(TODAY if known else NO_BEFORE)
        (self.drained if playback.drained or not known else self.now).setChecked(True)

    def _by_hand(self, row: int) -> None:
        self._playback.pause()
        self._playback.go_to(row)
