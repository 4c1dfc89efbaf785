"""The table of the level book: typed straight through like a notebook, with Tab from cell to cell and Enter to the next line."""

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.panes.book_model import BookModel, Index
from drainsketch.desk.panes.table_keys import ENTERS, ERASERS, KeepingCells, TableKeys, is_typing

ROW_PX = 24
EDGES_PX = 12  # of a cell, both sides
ROOM = {  # the widest a column is made for
    b.SETUP: "12 string",
    b.POINT: "House corner",
    b.BS: "000.000",
    b.HI: "000.00",
    b.IS: "000.000",
    b.FS: "000.000",
    b.ELEVATION: "Elevation",
    b.CORRECTION: "+0.000",
    b.DISTANCE: "000.0",
    b.PLAN: "On plan",
}
Hint = QAbstractItemDelegate.EndEditHint


class BookTable(QTableView):
    """Shows a book model. It knows keys; what they do to the book is done by the pane."""

    chosen = Signal(str)  # the sight of the line the user went to, '' for a blank line
    place_asked = Signal()
    delete_asked = Signal()
    pasted = Signal()

    def __init__(self, model: BookModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self.setModel(model)
        self.setAccessibleName("Level book")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setItemDelegate(KeepingCells(self, model.why_not, model.said.emit))
        TableKeys(self)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.verticalHeader().setMinimumSectionSize(ROW_PX)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setMinimumSectionSize(40)
        header.setSectionResizeMode(b.NOTE, QHeaderView.ResizeMode.Stretch)
        metrics = QFontMetrics(self.font())
        for column, text in ROOM.items():
            self.setColumnWidth(column, metrics.horizontalAdvance(text) + EDGES_PX)

    def line(self) -> b.Line | None:
        """Return the line of the current cell."""
        return self._model.line(self.currentIndex().row())

    def lines(self) -> list[b.Line]:
        """Return the lines of the chosen cells, in the order of the book."""
        chosen = (self._model.line(row) for row in sorted({i.row() for i in self.selectedIndexes()}))
        return [line for line in chosen if line is not None]

    def fill(self, cell: Index, text: str) -> None:
        """Put a text into a cell as if it had been typed, or say why it does not go there."""
        why = self._model.why_not_typed(cell)
        self._model.said.emit(why) if why else self._model.setData(cell, text)

    def go_to(self, row: int, column: int = b.POINT) -> None:
        """Make a cell the current one and bring it into view."""
        index = self._model.index(max(0, row), column)
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self.scrollTo(index)

    def go_on(self) -> None:
        """Go to the next line, to its point: the blank one at the end waits for a further sight."""
        self.go_to(min(self.currentIndex().row() + 1, self._model.rowCount() - 1))

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell which sight the user went to."""
        super().currentChanged(current, previous)
        line = self._model.line(current.row())
        if line is not None and current.row() != previous.row():
            self.chosen.emit(line.sight.id if line.sight is not None else "")

    def moveCursor(self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier) -> QModelIndex:
        """Take Tab from one cell that can be typed to the next, over the end of the line."""
        steps = {QAbstractItemView.CursorAction.MoveNext: 1, QAbstractItemView.CursorAction.MovePrevious: -1}
        if action not in steps:
            return super().moveCursor(action, modifiers)
        if not self.currentIndex().isValid():
            return self._model.index(0, b.POINT)
        row, column, by = self.currentIndex().row(), self.currentIndex().column(), steps[action]
        ahead = [c for c in b.TYPED[::by] if (c - column) * by > 0]
        if ahead:
            return self._model.index(row, ahead[0])
        return self._model.index(row + by, b.TYPED[::by][0])  # not valid over the ends of the book: the keyboard leaves

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Go on to the next line when Enter ended the typing."""
        super().closeEditor(editor, Hint.NoHint if hint is Hint.SubmitModelCache else hint)
        if hint is Hint.SubmitModelCache:
            below = self.currentIndex().row() + 1
            if self._model.made and self._model.row_of(self._model.made) == below:
                self.go_to(below)  # the row it made is written; what is typed next goes below it
            self.go_on()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin at the blank line at the end, where no cell was chosen yet."""
        if not self.currentIndex().isValid():
            self.go_to(self._model.rowCount() - 1)
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, Delete, copying and pasting; the rest is typing. With Ctrl, Enter places and Delete takes the row out."""
        held = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        here = self.currentIndex()
        if self.state() is QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self._copied())
        elif event.key() in ERASERS:
            self.delete_asked.emit() if held else self._clear()
        elif event.key() in ENTERS:
            self.place_asked.emit() if held else self.go_on()
        elif is_typing(event) and here.isValid() and (why := self._model.why_not_typed(here)):
            self._model.said.emit(why)
        else:
            super().keyPressEvent(event)

    def _clear(self) -> None:
        cells = self.selectedIndexes()
        self._model.clear(sorted(cells, key=lambda cell: (cell.row(), cell.column())))

    def _copied(self) -> str:
        """Return the chosen cells as a spreadsheet takes them; with headings where the whole book is chosen."""
        chosen = {(i.row(), i.column()): str(i.data() or "") for i in self.selectedIndexes()}
        columns = [c for c in range(len(b.COLUMNS)) if not self.isColumnHidden(c) and any(at == c for _, at in chosen)]
        lines = [[chosen.get((row, c), "") for c in columns] for row in sorted({row for row, _ in chosen})]
        if len(lines) == self._model.rowCount() and len(columns) > 1:
            lines.insert(0, [b.COLUMNS[c] for c in columns])
        return "\n".join("\t".join(cells) for cells in lines)
