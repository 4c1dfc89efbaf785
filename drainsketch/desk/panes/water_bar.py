"""The buttons of the Water pane: a rain table in or out of the job, which table is shown, and the sizes offered."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QHBoxLayout, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from drainsketch.desk.panes.water_rows import View, offer_tip, offer_words
from drainsketch.desk.raining import EXAMPLES
from drainsketch.water.offers import Offer
from drainsketch.wording import Words

LEAST_OFFER_PX = 60  # or many of them would push the panes beside
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
    """Inlets, pipe or wells; the last only where the job has one."""

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
            "wells": button("Wells", "What each dry well holds", self),
        }
        for view, part in self.views.items():
            part.setCheckable(True)
            part.clicked.connect(lambda _=False, view=view: self.turned.emit(view))
            group.addButton(part)
            row.addWidget(part)
        self.show_view("inlets")
        self.show_wells(False)

    def show_view(self, view: View) -> None:
        """Show which table is shown."""
        self.views[view].setChecked(True)

    def show_wells(self, there: bool) -> None:
        """Show the button of the wells where there are any."""
        self.views["wells"].setVisible(there)


class Bar(QWidget):
    """The line over the table: which one it is, how things stand, and a button for each size that would do."""

    accepted = Signal(object)  # an offer

    def __init__(self, switch: Switch, summary: QLabel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.offers: list[QPushButton] = []
        self._shown: tuple[object, ...] = ()
        self._line, self._below = QHBoxLayout(), QHBoxLayout()
        for row in (self._line, self._below):
            row.setContentsMargins(6, 1, 8, 1)
            row.setSpacing(4)
        self._line.addWidget(switch)
        self._line.addWidget(summary, 1)
        self._below.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(self._line)
        box.addLayout(self._below)

    def show_offers(self, offers: tuple[Offer, ...], words: Words) -> None:
        """Show a button for each offer; they stay while the offers and their words do."""
        shown = tuple((offer, offer_words(offer, words)) for offer in offers)
        if shown == self._shown:
            return
        self._shown = shown
        for old in self.offers:
            old.hide()
            old.deleteLater()
        self.offers = []
        for offer, said in shown:
            made = button(said, offer_tip(offer), self)
            made.setMinimumWidth(LEAST_OFFER_PX)
            made.clicked.connect(lambda _=False, offer=offer: self.accepted.emit(offer))
            self.offers.append(made)
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the offers anew."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        """Put the offers beside the summary, or on a line of their own where they would leave it less than half."""
        wide = sum(made.sizeHint().width() for made in self.offers)
        row = self._line if wide < self.width() / 2 else self._below
        for made in self.offers:
            row.addWidget(made)


def button(text: str, tip: str, parent: QWidget) -> QPushButton:
    """Return a button that leaves the keyboard where it is when it is clicked."""
    made = QPushButton(text, parent)
    made.setToolTip(tip)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
