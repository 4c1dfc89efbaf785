"""The buttons of the Water pane: a rain table in or out of the job, and which table is shown."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QHBoxLayout, QMenu, QPushButton, QWidget

from drainsketch.desk.panes.water_rows import View
from drainsketch.desk.raining import EXAMPLES

NARROW = "QPushButton { padding: 3px 6px }"  # two of them in the width of the form


class RainButtons(QWidget):
    """Ways to bring rain into the job, and out of it."""

    paste_asked = Signal()
    file_asked = Signal()
    example_asked = Signal(str)  # its file
    clear_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setStyleSheet(NARROW)
        self.paste = button("Paste Rain Table", "Paste the rain table of the place: durations down, years across", self)
        self.file = button("Read Rain Table…", "Read a rain table from a CSV or text file", self)
        self.example = button("Example Table", "Invented rain to try things with; never design by it", self)
        self.clear = button("Clear Rain", "Take table and storm out of the job", self)
        menu = QMenu(self)
        for words, name in EXAMPLES:
            menu.addAction(words).triggered.connect(lambda _=False, name=name: self.example_asked.emit(name))
        self.example.setMenu(menu)
        self.paste.clicked.connect(self.paste_asked)
        self.file.clicked.connect(self.file_asked)
        self.clear.clicked.connect(self.clear_asked)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(4)
        for at, part in enumerate((self.paste, self.file, self.example, self.clear)):
            grid.addWidget(part, at // 2, at % 2)


class Switch(QWidget):
    """Inlets or pipe."""

    turned = Signal(str)  # to which view

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        group = QButtonGroup(self)
        self.views: dict[View, QPushButton] = {
            "inlets": button("Inlets", "What arrives at each inlet", self),
            "pipe": button("Pipe", "What each run carries", self),
        }
        for view, part in self.views.items():
            part.setCheckable(True)
            part.clicked.connect(lambda _=False, view=view: self.turned.emit(view))
            group.addButton(part)
            row.addWidget(part)
        self.show_view("inlets")

    def show_view(self, view: View) -> None:
        """Show which table is shown."""
        self.views[view].setChecked(True)


def button(text: str, tip: str, parent: QWidget) -> QPushButton:
    """Return a button that leaves the keyboard where it is when it is clicked."""
    made = QPushButton(text, parent)
    made.setToolTip(tip)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
