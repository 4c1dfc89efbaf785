"""The benchmarks of the level book: a name and a level each, with a blank line for the next."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QFrame, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from drainsketch.desk.panes.book_table import ROW_PX
from drainsketch.desk.panes.table_keys import ERASERS, Index, KeepingCells, TableKeys
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.job import units as u
from drainsketch.job.edits.book import add_benchmark, change_benchmark, remove_benchmark
from drainsketch.job.kinds import Units
from drainsketch.job.levelling import Benchmark
from drainsketch.job.model import Job
from drainsketch.job.plain import plain

NAME, LEVEL = range(2)
KEPT = "A benchmark keeps its name and level: type over them, or take it out with Ctrl+Delete."


class Marks(QTableWidget):
    """Name and level of every benchmark; Ctrl+Delete takes one out."""

    said = Signal(str)  # what is wrong with what was typed; '' when it was taken

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(0, 2, parent)
        self._session = session
        self._shown: tuple[tuple[Benchmark, ...], Units] | None = None
        self._draft = ""
        self.setAccessibleName("Benchmarks")
        self.setHorizontalHeaderLabels(["Benchmark", "Level"])
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.verticalHeader().setMinimumSectionSize(ROW_PX)
        self.horizontalHeader().setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setHighlightSections(False)
        self.setColumnWidth(LEVEL, 78)
        self.setTabKeyNavigation(True)
        self.setItemDelegate(KeepingCells(self, self._why_not, self.said.emit))
        TableKeys(self)
        self.cellChanged.connect(self._changed)
        self.refresh()

    def refresh(self, *, again: bool = False) -> None:
        """Show the benchmarks of the present job."""
        marks, units = self._session.job.book.benchmarks, self._session.job.header.units
        if not again and self._shown is not None and self._shown[0] is marks and self._shown[1] == units:
            return
        self._shown = (marks, units)
        self.blockSignals(True)
        self.setRowCount(len(marks) + 1)
        for row, mark in enumerate(marks):
            self._put(row, NAME, plain(mark.name))
            self._put(row, LEVEL, u.format_level(mark.elevation_ft, units))
        self._put(len(marks), NAME, self._draft)
        self._put(len(marks), LEVEL, "")
        self.blockSignals(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Delete: alone it clears the blank line, with Ctrl it takes the chosen benchmark out."""
        if event.key() not in ERASERS:
            super().keyPressEvent(event)
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.take_out()
        elif self.currentRow() < len(self._session.job.book.benchmarks):
            self.said.emit(KEPT)
        elif self.currentColumn() == NAME:
            self._put(self.currentRow(), NAME, "")
            self._draft = ""

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the chosen cell again."""
        super().focusInEvent(event)
        if self.currentItem() is not None:
            self.currentItem().setSelected(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show no chosen cell while the keyboard is elsewhere; it stays the one the commands are for."""
        super().focusOutEvent(event)
        self.clearSelection()

    def take_out(self) -> None:
        """Take the chosen benchmark out of the book."""
        mark = self.chosen()
        if mark is None:
            self.said.emit("Choose the benchmark to delete first.")
            return
        self._session.apply(remove_benchmark(self._session.job, mark.id), "Delete a benchmark")
        self._session.tell(f"Deleted benchmark {plain(mark.name, 20)}. Ctrl+Z brings it back.")

    def chosen(self) -> Benchmark | None:
        """Return the benchmark of the current row."""
        marks, row = self._session.job.book.benchmarks, self.currentRow()
        return marks[row] if 0 <= row < len(marks) else None

    def _put(self, row: int, column: int, text: str) -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            side = Qt.AlignmentFlag.AlignLeft if column == NAME else Qt.AlignmentFlag.AlignRight
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)
        item.setText(text)
        item.setForeground(QColor(tones_of(self).text))

    def _changed(self, row: int, column: int) -> None:
        item = self.item(row, column)
        text = item.text().strip() if item is not None else ""
        is_new = row >= len(self._session.job.book.benchmarks)
        try:
            job = self._typed(row, column, text)
        except DrainsketchError as fault:
            self._color(row, column, tones_of(self).stop)  # it stays, to be mended; what was there counts
            self.said.emit(str(fault))
            return
        if is_new and column == NAME:
            self._draft = text
        elif job is not self._session.job:
            self._draft = "" if is_new else self._draft
            label = "Add a benchmark" if is_new else "Rename a benchmark" if column == NAME else "Change a benchmark"
            self._session.apply(job, label)
        self.said.emit("")
        self.refresh(again=True)

    def _typed(self, row: int, column: int, text: str) -> Job:
        """Return the job after a text was typed into a cell. Raises DrainsketchError where it cannot be taken."""
        job, marks = self._session.job, self._session.job.book.benchmarks
        units = job.header.units
        if row >= len(marks):
            if column == NAME or not text:
                return job
            return add_benchmark(job, self._draft or f"BM{len(marks) + 1}", u.parse_length_ft(text, units))
        mark = marks[row]
        if not text:
            raise EditError(KEPT)
        if column == NAME:
            return change_benchmark(job, mark.id, name=text)
        if text == u.format_level(mark.elevation_ft, units):
            return job
        return change_benchmark(job, mark.id, elevation_ft=u.parse_length_ft(text, units))

    def _why_not(self, cell: Index, text: str) -> str:
        try:
            self._typed(cell.row(), cell.column(), text.strip())
        except DrainsketchError as fault:
            return str(fault)
        return ""

    def _color(self, row: int, column: int, color: str) -> None:
        item = self.item(row, column)
        if item is not None:
            self.blockSignals(True)
            item.setForeground(QColor(color))
            self.blockSignals(False)
