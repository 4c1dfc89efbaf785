"""The commands of the level book, in one row: setups, rows, placing, pasting, the two-peg check, adjustment and allowance."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QMenu, QPushButton, QWidget

from drainsketch.desk.actions import keys_text
from drainsketch.desk.panes import book_doings as do
from drainsketch.desk.panes.book_rows import Line, reading_text
from drainsketch.desk.panes.form import Entry
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.job import units as u
from drainsketch.job.edits.book import change_book
from drainsketch.job.kinds import Instrument
from drainsketch.job.levelling import Benchmark
from drainsketch.job.plain import plain

Act = Callable[[], object]
UNMARK = "Delete benchmark"
EDGES_PX = 30  # of a button, both sides


class BookBar(QWidget):
    """A row of buttons and two menus. ``line_of`` tells which line of the book a command is for."""

    said = Signal(str)  # what is wrong; '' when it was done
    started = Signal()  # a setup was started at the end of the book
    insert_asked = Signal()
    name_asked = Signal()  # a name for the setup of this line
    delete_asked = Signal()
    unmark_asked = Signal()  # the chosen benchmark is to go

    def __init__(self, session: Session, line_of: Callable[[], Line | None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._line_of = line_of
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(4, 1, 8, 1)
        self._row.setSpacing(4)
        self.setup_menu = self._menu("Setup", self._setup_entries())
        self.row_menu = self._menu("Row", self._row_entries())
        self.place = self._button("Place", "Put this sight on the plan: click where the rod stood (Ctrl+Enter)")
        self.paste = self._button("Paste", "Paste rows: point, BS, IS, FS, distance, note (Ctrl+V)")
        self.points = self._button("Points…", "Import ground shots from a file: point, north, east, level, note")
        self.peg = self._button("Two-peg", "Check whether the level reads true")
        self.peg.setCheckable(True)
        self._row.addStretch(1)
        self.adjust = QCheckBox("Adjust", self)
        self.adjust.setToolTip("Spread the misclosure over the turning points")
        self.adjust.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.adjust.clicked.connect(lambda on: self.run(lambda: self._set("Adjust the levels", adjust=on)))
        self.allowance = Entry(self)
        self.allowance.setAccessibleName("Misclosure allowed")
        self.allowance.setToolTip("The misclosure you put up with")
        self.allowance.setFixedWidth(70)
        self.allowance.editingFinished.connect(lambda: self.run(self._allow))
        self.allowance.given_up.connect(self._show_allowance)
        self._row.addWidget(self.adjust)
        self._row.addSpacing(10)
        for part in (QLabel("Allowed", self), self.allowance):
            self._row.addWidget(part)

    def refresh(self) -> None:
        """Show adjustment and allowance of the present job."""
        self.adjust.setChecked(self._session.job.book.adjust)
        if not self.allowance.hasFocus():
            self._show_allowance()

    def run(self, act: Act) -> None:
        """Do something to the book; what is wrong with it is said."""
        try:
            act()
        except DrainsketchError as fault:
            self.said.emit(str(fault))

    def name_benchmark(self, mark: Benchmark | None) -> None:
        """Say in the menu which benchmark would go."""
        action = self.row_menu.actions()[-1]
        action.setText(f"Delete benchmark {plain(mark.name, 20)}".replace("&", "&&") if mark is not None else UNMARK)
        action.setEnabled(mark is not None)

    def on_line(self, act: Callable[[Session, Line], object]) -> Act:
        """Return a command for the line that the keyboard is on."""

        def on_that_line() -> None:
            line = self._line_of()
            if line is not None:
                act(self._session, line)

        return on_that_line

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setToolTip(tip)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard in the book
        button.setMinimumWidth(button.fontMetrics().horizontalAdvance(text) + EDGES_PX)
        self._row.addWidget(button)
        return button

    def _menu(self, title: str, entries: tuple[tuple[str, Act], ...]) -> QMenu:
        menu = QMenu(title, self)
        for text, act in entries:
            menu.addAction(text).triggered.connect(lambda _=False, act=act: self.run(act))
        self._button(title, f"Put in, move or take out a {title.lower()}").setMenu(menu)
        return menu

    def _setup_entries(self) -> tuple[tuple[str, Act], ...]:
        return (
            ("New level or laser setup", lambda: self._start("level")),
            ("New string-line setup", lambda: self._start("string line")),
            ("Name setup", self.name_asked.emit),
            ("Change between level and string line", self.on_line(do.turn_setup)),
            ("Move setup up", self.on_line(lambda s, line: do.shift_setup(s, line, -1))),
            ("Move setup down", self.on_line(lambda s, line: do.shift_setup(s, line, 1))),
            ("Delete setup", self.on_line(do.delete_setup)),
        )

    def _row_entries(self) -> tuple[tuple[str, Act], ...]:
        return (
            ("Insert row above", self.insert_asked.emit),
            ("Move row up", self.on_line(lambda s, line: do.shift_row(s, line, -1))),
            ("Move row down", self.on_line(lambda s, line: do.shift_row(s, line, 1))),
            ("Take off the plan", self.on_line(do.take_off)),
            (f"Delete row\t{keys_text('Ctrl+Del')}", self.delete_asked.emit),
            (UNMARK, self.unmark_asked.emit),
        )

    def _start(self, instrument: Instrument) -> None:
        do.new_setup(self._session, instrument)
        self.started.emit()

    def _set(self, label: str, **fields: object) -> None:
        self._session.apply(change_book(self._session.job, **fields), label)

    def _allow(self) -> None:
        kept, units = self._session.job.book.allowance_ft, self._session.job.header.units
        try:
            if self.allowance.text() != reading_text(kept, units):
                self._set("Change the allowance", allowance_ft=u.parse_length_ft(self.allowance.text(), units))
        finally:
            self._show_allowance()

    def _show_allowance(self) -> None:
        self.allowance.setText(reading_text(self._session.job.book.allowance_ft, self._session.job.header.units))
