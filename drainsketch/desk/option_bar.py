"""The options of the drains as a strip over the plan; it is there once there are two."""

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QLabel, QMenu, QSizePolicy, QToolButton, QWidget

from drainsketch.desk.opting import shown_names
from drainsketch.desk.session import Session
from drainsketch.job.options import MOST_OPTIONS, options_of

MOST_LETTERS = 28  # of a name


class OptionBar(QFrame):
    """A button for each option, the drawn one down, and behind '…' what can be done with it."""

    chosen = Signal(int)

    def __init__(self, session: Session, doings: tuple[QAction, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setObjectName("options")
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Options of the drains")
        title = QLabel("Option")
        title.setProperty("quiet", True)
        self.group = QButtonGroup(self)
        self.group.idClicked.connect(self._clicked)
        self.buttons = [self._button(at) for at in range(MOST_OPTIONS)]
        self.more = QToolButton(self)
        self.more.setText("…")
        self.more.setStyleSheet("QToolButton::menu-indicator { image: none; }")
        self.more.setToolTip("New option, name and note, delete")
        self.more.setAccessibleName("What can be done with the options")
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.more.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.menu = QMenu(self)
        self.menu.addActions(list(doings))
        self.more.setMenu(self.menu)
        line = QHBoxLayout(self)
        line.setContentsMargins(10, 2, 8, 2)
        line.setSpacing(4)
        line.addWidget(title)
        for button in self.buttons:
            line.addWidget(button)
        line.addWidget(self.more)
        line.addStretch(1)
        session.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the options of the job as it stands."""
        job = self._session.job
        names = shown_names(job)
        self.setVisible(len(names) > 1)
        for at, button in enumerate(self.buttons):
            there = at < len(names)
            button.setVisible(there)
            if there:
                name, note = names[at], options_of(job)[at].note
                short = name if len(name) <= MOST_LETTERS else f"{name[: MOST_LETTERS - 1]}…"
                button.setText(short.replace("&", "&&"))
                button.setAccessibleName(name)
                button.setToolTip(_plain_tip(name, note, at))
                button.setChecked(at == job.option_at)

    def _button(self, at: int) -> QToolButton:
        made = QToolButton(self)
        made.setCheckable(True)
        made.setProperty("chip", True)
        made.setAccessibleName(f"Option {at + 1}")
        made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.group.addButton(made, at)
        return made

    def _clicked(self, at: int) -> None:
        self.chosen.emit(at)
        self.refresh()  # a button that was refused comes up again


def _plain_tip(name: str, note: str, at: int) -> str:
    """Return a tip that shows what the user typed as it was typed."""
    said = "\n".join(filter(None, (name, note)))
    safe = escape(said, quote=False).replace("\n", "<br>")
    return f"<p>{safe}<br>Alt+{at + 1}</p>"
