"""The benchmarks of the level book: a name and a level each, with a blank line for the next."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from drainsketch.desk.panes.book_table import ROW_PX, is_typing
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.job import units as u
from drainsketch.job.edits.book import add_benchmark, change_benchmark, remove_benchmark
from drainsketch.job.model import Benchmark, Units
from drainsketch.job.plain import plain

NAME, LEVEL = range(2)


class Marks(QTableWidget):
    """Name and level of every benchmark; Delete takes one out."""

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

    def event(self, event: QEvent) -> bool:
        """Keep Delete and letters from the shortcuts of the window."""
        asked = event if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) else None
        if asked is not None and (_is_delete(asked) or is_typing(asked)):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take out the chosen benchmark on Delete."""
        if not _is_delete(event):
            super().keyPressEvent(event)
            return
        marks, row = self._session.job.book.benchmarks, self.currentRow()
        if 0 <= row < len(marks):
            self._session.apply(remove_benchmark(self._session.job, marks[row].id), "Delete a benchmark")

    def _put(self, row: int, column: int, text: str) -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            side = Qt.AlignmentFlag.AlignLeft if column == NAME else Qt.AlignmentFlag.AlignRight
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)
        item.setText(text)

    def _changed(self, row: int, column: int) -> None:
        item = self.item(row, column)
        text = item.text().strip() if item is not None else ""
        marks = self._session.job.book.benchmarks
        self.said.emit("")
        try:
            if row < len(marks):
                self._change(marks[row], column, text)
            elif column == NAME:
                self._draft = text
            elif text:
                level = u.parse_length_ft(text, self._session.job.header.units)
                name, self._draft = self._draft or f"BM{len(marks) + 1}", ""
                self._session.apply(add_benchmark(self._session.job, name, level), "Add a benchmark")
        except DrainsketchError as fault:
            self.said.emit(str(fault))
        self.refresh(again=True)

    def _change(self, mark: Benchmark, column: int, text: str) -> None:
        job, units = self._session.job, self._session.job.header.units
        if column == NAME:
            self._session.apply(change_benchmark(job, mark.id, name=text), "Rename a benchmark")
        elif text != u.format_level(mark.elevation_ft, units):
            level = u.parse_length_ft(text, units)
            self._session.apply(change_benchmark(job, mark.id, elevation_ft=level), "Change a benchmark")


def _is_delete(event: QKeyEvent) -> bool:
    return event.key() == Qt.Key.Key_Delete and not event.modifiers()
