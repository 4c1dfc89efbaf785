"""The table of the level book: typed straight through like a notebook, with Tab from cell to cell and Enter to the next line."""

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.panes.book_model import BookModel, Index

ROW_PX = 24
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
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
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
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
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
            self.setColumnWidth(column, metrics.horizontalAdvance(text) + 16)

    def line(self) -> b.Line | None:
        """Return the line of the current cell."""
        return self._model.line(self.currentIndex().row())

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
            self.go_on()

    def event(self, event: QEvent) -> bool:
        """Keep the keys of the table from the shortcuts of the window."""
        asked = event if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) else None
        if asked is not None and (self._is_own(asked) or is_typing(asked)):
            event.accept()
            return True
        return super().event(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin at the blank line at the end, where no cell was chosen yet."""
        if not self.currentIndex().isValid():
            self.go_to(self._model.rowCount() - 1)
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, Ctrl+Enter, Delete and the keys for pasting; the rest is typing."""
        if is_typing(event) and self.currentIndex().column() not in b.TYPED:
            self.go_to(self.currentIndex().row())
        if not self._is_own(event) or self.state() is QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        elif event.key() == Qt.Key.Key_Delete:
            self.delete_asked.emit()
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.place_asked.emit()
        else:
            self.go_on()

    def _is_own(self, event: QKeyEvent) -> bool:
        own = event.key() in ENTERS or event.key() == Qt.Key.Key_Delete
        return own or event.matches(QKeySequence.StandardKey.Paste)


def is_typing(event: QKeyEvent) -> bool:
    """Return whether a key writes something, so that it is for a cell and not for a tool of the plan."""
    held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
    return not held and bool(event.text().strip()) and event.text().isprintable()
