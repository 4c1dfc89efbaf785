"""The table of the price book's form: cells checked as they are typed, rows of the example marked, a block pasted whole or not."""

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from drainsketch.desk.panes.price_book_rows import DERIVED, HEADS, NAMES, SHOWN, BookSheet
from drainsketch.desk.panes.table_keys import ENTERS, ERASERS, KeepingCells, TableKeys
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.files.cells import block_of
from drainsketch.job.price_book import PriceRow

Index = QModelIndex | QPersistentModelIndex
ROLE = Qt.ItemDataRole
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
NUMBERS = ("size_in", "second", "price", "per_hour")
WIDE_PX = {
    "name": 356,
    "item": 112,
    "of": 134,
    "size_in": 60,
    "second": 86,
    "price": 74,
    "per_hour": 66,
    "unit": 62,
    "taxed": 50,
}
ROW_PX = 25
TIPS = {
    "item": "What the takeoff counts, as the file of the book calls it",
    "of": "Kind of pipe, or soil; empty fits any",
    "second": "Bend: its angle. Wye: its branch. Stick or coil: its length in ft. Digging: the deepest cut in ft. Empty fits any",
    "price": "Dollars for one; empty is not known yet",
    "per_hour": "What one worker, or a machine with the crew, does in an hour",
    "source": "Where the price comes from; 'example' marks an invented one",
}


class _Model(QAbstractTableModel):
    """The rows of a sheet."""

    def __init__(self, sheet: BookSheet, view: QWidget) -> None:
        super().__init__(view)
        self.sheet = sheet
        self._view = view

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self.sheet.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns are shown."""
        return 0 if parent.isValid() else len(SHOWN)

    def data(self, index: Index, role: int = ROLE.DisplayRole) -> Any:
        """Return a cell: its words, side and color."""
        row, column = self.sheet.rows[index.row()], SHOWN[index.column()]
        wrong = next((said for at, said in row.faults if at == column), "")
        match role:
            case ROLE.DisplayRole | ROLE.EditRole:
                return row.cells[column]
            case ROLE.TextAlignmentRole:
                return RIGHT if column in NUMBERS else LEFT
            case ROLE.ForegroundRole:
                return self._ink(index.row(), column, wrong)
            case ROLE.ToolTipRole:
                return wrong or TIPS.get(column)
            case ROLE.AccessibleTextRole:
                return f"{HEADS[index.column()]}: {row.cells[column] or 'empty'}"
            case _:
                return None

    def _ink(self, at: int, column: str, wrong: str) -> QColor | None:
        tones, row = tones_of(self._view), self.sheet.rows[at]
        if wrong:
            return QColor(tones.stop)
        if row.is_example and column in ("price", "per_hour", "source"):
            return QColor(tones.settle)
        fixed = column in DERIVED or (column in NAMES and self.sheet.is_shipped(at))
        return QColor(tones.quiet) if fixed else None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = ROLE.DisplayRole) -> Any:
        """Return the heading of a column, or the number of a row."""
        if role == ROLE.DisplayRole:
            return HEADS[section] if orientation == Qt.Orientation.Horizontal else section + 1
        return (
            TIPS.get(SHOWN[section]) if role == ROLE.ToolTipRole and orientation == Qt.Orientation.Horizontal else None
        )

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell."""
        fixed = SHOWN[index.column()] in DERIVED
        return (
            Qt.ItemFlag.ItemIsEnabled
            | Qt.ItemFlag.ItemIsSelectable
            | (Qt.ItemFlag.NoItemFlags if fixed else Qt.ItemFlag.ItemIsEditable)
        )

    def setData(self, index: Index, value: Any, role: int = ROLE.EditRole) -> bool:
        """Take what was typed into a cell, if it can be."""
        column = SHOWN[index.column()]
        if role != ROLE.EditRole or self.sheet.why_not(index.row(), column, str(value)):
            return False
        self.sheet.put(index.row(), column, str(value))
        self.dataChanged.emit(self.index(index.row(), 0), self.index(index.row(), len(SHOWN) - 1))
        return True


class BookTable(QTableView):
    """Shows a sheet. It knows keys; what is asked and written is the form's."""

    said = Signal(str)
    pasted = Signal(str)
    erased = Signal()

    def __init__(self, sheet: BookSheet, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sheet = sheet
        self.model_ = _Model(sheet, self)
        self.setModel(self.model_)
        self.setAccessibleName("Price book")
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setItemDelegate(KeepingCells(self, self._why_not, self.said.emit))
        self.setWordWrap(False)
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.verticalHeader().setMinimumSectionSize(ROW_PX)
        self.horizontalHeader().setStretchLastSection(True)
        self.horizontalHeader().setHighlightSections(False)
        for column, wide in WIDE_PX.items():
            self.setColumnWidth(SHOWN.index(column), wide)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        TableKeys(self)
        self.go_to(0, SHOWN.index("price"))

    def go_to(self, row: int, column: int) -> None:
        """Make a cell the current one and bring it into view."""
        index = self.model_.index(row, column)
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self.scrollTo(index)

    def add_row(self, item: str) -> None:
        """Add a row of the user's own for an item, and go to what it is the price of."""
        at = len(self.sheet.rows)
        self.model_.beginInsertRows(QModelIndex(), at, at)
        self.sheet.add(item)
        self.model_.endInsertRows()
        self.go_to(at, SHOWN.index("of"))
        self.setFocus()

    def take_out(self, at: int) -> str:
        """Take a row out; return why that cannot be."""
        column = self.currentIndex().column()
        self.model_.beginResetModel()
        why = self.sheet.take_out(at)
        self.model_.endResetModel()
        self.go_to(min(at, len(self.sheet.rows) - 1), max(0, column))
        return why

    def merge(self, rows: Iterable[PriceRow]) -> int:
        """Lay rows over those of the table; return how many changed."""
        self.model_.beginResetModel()
        changed = self.sheet.merge(rows)
        self.model_.endResetModel()
        self.go_to(0, SHOWN.index("price"))
        return changed

    def paste(self, text: str) -> list[str]:
        """Put cells over the table from the chosen one on, all or none; return what is wrong."""
        here = self.currentIndex()
        try:
            block = block_of(text)
        except DrainsketchError as fault:
            return [str(fault)]
        if not here.isValid() or not block:
            return []
        places = [n for n in range(here.row(), len(self.sheet.rows)) if not self.isRowHidden(n)]
        self.model_.beginResetModel()
        wrong = self.sheet.paste(places, here.column(), block)
        self.model_.endResetModel()
        self.go_to(here.row(), here.column())
        return wrong

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, Delete, copying and pasting; the rest is typing. With Ctrl, Delete takes the row out."""
        held = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        here = self.currentIndex()
        if self.state() is QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit(QGuiApplication.clipboard().text())
        elif event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self._copied())
        elif event.key() in ERASERS and held:
            self.erased.emit()
        elif event.key() in ERASERS and here.isValid():
            self._type("", here)
        elif event.key() in ENTERS and here.isValid():
            self.go_to(min(here.row() + 1, len(self.sheet.rows) - 1), here.column())
        else:
            super().keyPressEvent(event)

    def _type(self, text: str, at: Index) -> None:
        why = self._why_not(at, text)
        self.said.emit(why)
        if not why:
            self.model_.setData(at, text)

    def _why_not(self, at: Index, text: str) -> str:
        column = SHOWN[at.column()]
        why = self.sheet.why_not(at.row(), column, text)
        return f"Row {at.row() + 1}, {column}: {why}" if why else ""

    def _copied(self) -> str:
        """Return the chosen cells as a spreadsheet takes them."""
        chosen = {
            (i.row(), i.column()): str(i.data() or "") for i in self.selectedIndexes() if not self.isRowHidden(i.row())
        }
        columns = sorted({column for _, column in chosen})
        return "\n".join(
            "\t".join(chosen.get((row, c), "") for c in columns) for row in sorted({row for row, _ in chosen})
        )
