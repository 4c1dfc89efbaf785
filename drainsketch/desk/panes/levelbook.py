"""The level book: setups and readings as they are taken in the yard, and the levels they make."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from drainsketch.desk.panes import book_doings as do
from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.panes.book_bar import BookBar
from drainsketch.desk.panes.book_foot import foot
from drainsketch.desk.panes.book_marks import Marks
from drainsketch.desk.panes.book_model import BookModel
from drainsketch.desk.panes.book_pegs import Pegs
from drainsketch.desk.panes.book_table import BookTable
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import EditError
from drainsketch.job.sights import next_to_place, sight_of, sights_of

MARKS_PX = 180
LEAST_PX = 102  # headings and three rows
ALL_PLACED = "Every sight stands on the plan already."


class LevelBookPane(QWidget):
    """Benchmarks on the left, the book beside them, how it closes at the foot; commands in one row above."""

    place_wanted = Signal(str)  # take the tool that places this sight
    sight_chosen = Signal(str)  # the sight to place first from now on

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._told: tuple[object, ...] | None = None  # what the foot was said for
        self._waiting = ""  # the chosen sight, while it is not on the plan
        self._model = BookModel(session, self)
        self.table = BookTable(self._model, self)
        self.bar = BookBar(session, self.table.line, self)
        self.marks = Marks(session, self)
        self.pegs = Pegs(session, self)
        self.foot = QLabel(self)
        self.foot.setTextFormat(Qt.TextFormat.PlainText)
        self.foot.setContentsMargins(8, 1, 8, 2)
        self.foot.setMinimumWidth(1)
        self.foot.setWordWrap(True)
        self.side = QStackedWidget(self)
        self.side.setFixedWidth(MARKS_PX)
        self.side.addWidget(self.marks)
        self.side.addWidget(self.pegs)
        self.side.setMinimumHeight(LEAST_PX)
        self.table.setMinimumHeight(LEAST_PX)
        middle = QHBoxLayout()
        middle.setSpacing(1)
        middle.addWidget(self.side)
        middle.addWidget(self.table, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.bar)
        box.addLayout(middle, 1)
        box.addWidget(self.foot)
        self._wire()

    def _wire(self) -> None:
        bar = self.bar
        bar.started.connect(lambda: self._go_to(self._model.rowCount() - 1))
        bar.insert_asked.connect(self._insert)
        bar.place.clicked.connect(self._place)
        bar.paste.clicked.connect(lambda: bar.run(self._paste))
        bar.peg.toggled.connect(lambda on: self.side.setCurrentIndex(int(on)))
        self.table.chosen.connect(self._choose)
        self.table.place_asked.connect(self._place)
        self.table.pasted.connect(lambda: bar.run(self._paste))
        for asked in (self.table.delete_asked, bar.delete_asked):
            asked.connect(lambda: bar.run(self._delete))
        bar.name_asked.connect(lambda: bar.run(self._name))
        bar.unmark_asked.connect(self.marks.take_out)
        bar.row_menu.aboutToShow.connect(lambda: bar.name_benchmark(self.marks.chosen()))
        for part in (bar, self._model, self.marks, self.pegs):
            part.said.connect(self.say)
        self._session.changed.connect(self.refresh)
        self._session.selected.connect(self._follow_plan)

    def refresh(self) -> None:
        """Show the book of the present job, once it is to be seen."""
        if not self.isVisible():
            return
        job, line, column = self._session.job, self.table.line(), self.table.currentIndex().column()
        self._model.tones = tones_of(self)
        self._model.refresh()
        if line is not None and self.table.line() != line and (row := self._model.row_of(line.key)) >= 0:
            self.table.go_to(row, column)  # the line went elsewhere in the book
        for part in (self.marks, self.pegs, self.bar):
            part.refresh()
        self.table.setColumnHidden(b.CORRECTION, not job.book.adjust)
        told = (job.book, job.header.units, self._model.tones)
        if self._told is None or any(x is not y for x, y in zip(told, self._told, strict=True)):
            self.say("")
            self._told = told
        self._go_on_placing()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the job."""
        super().showEvent(event)
        self.refresh()

    def say(self, sentence: str) -> None:
        """Say at the foot what is wrong; '' says again how the book closes."""
        text, well, self._told = sentence, False, None
        if not sentence:
            text, well = foot(self._session.review)
        tones = tones_of(self)
        self.foot.setText(text)
        self.foot.setToolTip(b.as_tip(text))
        self.foot.setStyleSheet(f"color: {tones.quiet if well else tones.stop if sentence else tones.settle};")

    # -- inside

    def _go_to(self, row: int) -> None:
        self.table.go_to(row)
        self.table.setFocus()

    def _insert(self) -> None:
        row = self.table.currentIndex().row()
        if self._model.insert_above(row):
            self._go_to(row)

    def _paste(self) -> None:
        """Paste rows behind the book, or one value into the cell."""
        text, here = QGuiApplication.clipboard().text().strip(), self.table.currentIndex()
        if here.isValid() and text and not any(mark in text for mark in "\t\n;,"):
            self.table.fill(here, text)
            return
        count = do.paste(self._session, text)
        self._session.tell(f"Pasted {count} sights." if count != 1 else "Pasted one sight.")

    def _delete(self) -> None:
        """Take the chosen rows out of the book, and what was typed into a blank one."""
        lines, column = self.table.lines(), self.table.currentIndex().column()
        row = min((i.row() for i in self.table.selectedIndexes()), default=0)
        if len(lines) == 1 and self._model.drop_blank(lines[0]):
            self._session.tell("Deleted the row that had no reading yet.")
        elif lines:
            do.delete_rows(self._session, lines)
        self.table.go_to(min(row, self._model.rowCount() - 1), column)

    def _name(self) -> None:
        """Open the cell that names the setup of the chosen line."""
        line = self.table.line()
        if line is None:
            raise EditError("Choose a row of the setup first.")
        rows = range(self._model.rowCount())
        self.table.go_to(next(r for r in rows if (at := self._model.line(r)) and at.setup == line.setup), b.SETUP)
        self.table.setFocus()
        self.table.edit(self.table.currentIndex())

    def _choose(self, sight_id: str) -> None:
        """Note which sight the user went to; it is placed first, and its shot is selected on the plan."""
        sight = sight_of(self._session.job.book, sight_id)
        self._waiting = sight_id if sight is not None and sight.shot is None else ""
        self.sight_chosen.emit(sight_id)
        if sight is not None and sight.shot is not None:
            self._session.select((sight.shot,))

    def _follow_plan(self) -> None:
        """Go to the sight of the shot that was selected on the plan."""
        chosen = self._session.selection
        if len(chosen) != 1 or self.table.hasFocus() or not self.isVisible():
            return
        bound = next((s for _, s in sights_of(self._session.job.book) if s.shot == chosen[0]), None)
        if bound is not None and not self._waiting:
            self.table.go_to(self._model.row_of(bound.id))

    def _place(self) -> None:
        line = self.table.line()
        sight = next_to_place(self._session.job, line.sight.id if line is not None and line.sight is not None else "")
        if sight is None:
            self.say(ALL_PLACED)
            return
        self.table.go_to(self._model.row_of(sight.id))
        self.place_wanted.emit(sight.id)

    def _go_on_placing(self) -> None:
        """Go on to the next sight that waits, when the chosen one has just been placed."""
        sight = sight_of(self._session.job.book, self._waiting) if self._waiting else None
        if sight is not None and sight.shot is not None:
            self._waiting = ""
            following = next_to_place(self._session.job, sight.id)
            if following is not None:
                self.table.go_to(self._model.row_of(following.id), b.PLAN)
