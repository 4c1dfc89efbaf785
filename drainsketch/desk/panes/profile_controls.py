"""The controls of the profile: which path, how steep it is shown, and the level of the invert in hand."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QPushButton, QSizePolicy, QWidget

from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.session import Session

TIMES: tuple[float | None, ...] = (None, 1.0, 2.0, 5.0, 10.0)
OF_SELECTION = "selected path"
SHORT = 12  # characters of a path that are always shown
CHOOSE = "Choose an invert in the profile, then type its level or drag it"


# lower than elsewhere, to leave the room to the profile
LOW = "QComboBox, QLineEdit { min-height: 20px; padding: 1px 5px } QPushButton { min-height: 18px; padding: 2px 10px }"


class ProfileControls(QWidget):
    """One row of fields over the profile; they stay in step with it."""

    def __init__(self, session: Session, profile: ProfileStrip, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._profile = session, profile
        self.paths, self.times = QComboBox(), QComboBox()
        self.fit = QPushButton("Fit")
        self.invert = QLabel("Invert")
        self.level = QLineEdit()
        self.release = QPushButton("Release")
        self._lay_out()
        self.paths.activated.connect(lambda at: profile.show_path(self.paths.itemData(at)))
        self.times.activated.connect(lambda at: profile.exaggerate(TIMES[at]))
        self.fit.clicked.connect(profile.fit)
        self.level.returnPressed.connect(self._take_level)
        self.release.clicked.connect(profile.hand.release)
        profile.level_asked.connect(self._ask_level)
        profile.path_changed.connect(self._show_path)
        profile.hand.changed.connect(self._show_invert)
        self._show_path()
        self._show_invert()

    def _lay_out(self) -> None:
        self.setStyleSheet(LOW)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 1, 8, 1)
        row.setSpacing(5)
        for times in TIMES:
            self.times.addItem("vertical auto" if times is None else f"vertical × {times:.0f}")
        for widget, name, tip in (
            (self.paths, "Path", "Which way of the water the profile shows"),
            (self.times, "Vertical exaggeration", "How much steeper slopes are shown than they are"),
            (self.fit, "Whole path", "Show the whole path"),
            (self.level, "Invert level", CHOOSE),
            (self.release, "Release the invert", "Let the program place this invert again (Delete)"),
        ):
            widget.setAccessibleName(name)
            widget.setToolTip(tip)
        self.paths.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.paths.setMinimumContentsLength(SHORT)
        self.level.setFixedWidth(78)
        self.invert.setProperty("quiet", True)
        self.invert.setBuddy(self.level)
        for part in (self.paths, self.times, self.fit, self.invert, self.level, self.release):
            row.addWidget(part)
        row.addStretch(1)

    def _show_path(self) -> None:
        """List the paths there are and show which one is followed."""
        rows = [(OF_SELECTION, "")]
        rows += [(f"{p.inlet} to {p.outfall}", p.inlet) for p in self._session.review.paths]
        shown = [(self.paths.itemText(i), self.paths.itemData(i)) for i in range(self.paths.count())]
        if rows != shown:
            self.paths.clear()
            for text, inlet in rows:
                self.paths.addItem(text, inlet)
        self.paths.setCurrentIndex(max(0, self.paths.findData(self._profile.inlet)))
        self.times.setCurrentIndex(TIMES.index(self._profile.view.times))
        self.setEnabled(self._profile.path is not None)

    def _show_invert(self) -> None:
        chosen = self._profile.hand.chosen
        self.invert.setText(f"Invert {chosen.structure}" if chosen is not None else "Invert")
        self.level.setEnabled(chosen is not None)
        self.release.setEnabled(chosen is not None and chosen.pinned)
        if not self.level.hasFocus():
            self.level.setText(self._profile.words.level(chosen.level_ft) if chosen is not None else "")

    def _ask_level(self, begun: str) -> None:
        """Give the keyboard to the level, with what was typed so far."""
        self.level.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if begun:
            self.level.setText(begun)
        else:
            self.level.selectAll()

    def _take_level(self) -> None:
        if self._profile.hand.type_level(self.level.text()):
            self._profile.setFocus(Qt.FocusReason.OtherFocusReason)
            self._show_invert()
        else:
            self.level.selectAll()
