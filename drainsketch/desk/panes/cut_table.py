"""The table of the cut sheet pane: as-laid readings are typed right in their row, one after the other with Enter."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QFont, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QStyle,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from drainsketch.desk.panes.cut_rows import AS_LAID, COLUMNS, ON_PIPE, VERDICT, WHAT, PaneRow
from drainsketch.desk.panes.table_keys import KeepingCells, TableKeys
from drainsketch.desk.theme import tones_of

ROW_PX = 25
AS_LAID_PX, LEAST_PX = 88, 30
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
Index = QModelIndex | QPersistentModelIndex
HEADS = tuple("\n".join(name.rsplit(" ", 2)) for name in COLUMNS)  # wrapped, so that the numbers get the room
HEAD_TIPS = {
    "Cut to trench bottom": "From the ground down to the trench bottom, under the bed",
    "Off plan": "How far the laid pipe is above or below the plan, and whether water stands in it",
    "On pipe": "The number the rod or tape shows when the pipe lies on plan",
    "On bottom": "The number the rod or tape shows when the trench is deep enough",
    "As laid": "Type what the rod shows on the laid pipe; Enter goes on to the next row, an empty cell takes a reading off",
}


class CutRows(QAbstractTableModel):
    """The rows of one run; only the as-laid column takes typing."""

    typed = Signal(int, str)  # row, text

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self._view = view
        self.rows: tuple[PaneRow, ...] = ()

    def show_rows(self, rows: tuple[PaneRow, ...]) -> None:
        """Show these rows; where their number stays the same, selection and typing stay too."""
        if rows == self.rows:
            return
        if len(rows) != len(self.rows):
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        else:
            self.rows = rows
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(COLUMNS) - 1))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell: its words, side, weight, color, and what its row has to say."""
        row, column = self.rows[index.row()], index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.EditRole:
                return row.cells[column]
            case Qt.ItemDataRole.TextAlignmentRole:
                return LEFT if column in (WHAT, VERDICT) else RIGHT
            case Qt.ItemDataRole.ToolTipRole:
                return row.tip or None
            case Qt.ItemDataRole.FontRole if column in (ON_PIPE, AS_LAID, VERDICT):
                font = QFont(self._view.font())
                font.setBold(True)
                return font
            case Qt.ItemDataRole.ForegroundRole if column == VERDICT and row.state == "lay again":
                return QColor(tones_of(self._view).stop)
            case _:
                return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the heading of a column."""
        if orientation != Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return HEADS[section]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return COLUMNS[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignCenter if section == AS_LAID else LEFT if section in (WHAT, VERDICT) else RIGHT
        return HEAD_TIPS.get(COLUMNS[section]) if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that a row can be chosen, and its as-laid cell typed in."""
        kept = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return kept | Qt.ItemFlag.ItemIsEditable if index.column() == AS_LAID else kept

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Pass on what was typed."""
        if role != Qt.ItemDataRole.EditRole or index.column() != AS_LAID:
            return False
        if str(value).strip() != self.rows[index.row()].cells[AS_LAID]:
            self.typed.emit(index.row(), str(value).strip())
        return True


class ReadingCells(KeepingCells):
    """The as-laid column: every cell is a box to fill in; that of the chosen row waits for the keys."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the cell."""
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        tones = tones_of(option.widget)
        rect = option.rect
        painter.save()
        if chosen:
            painter.fillRect(rect, option.palette.highlight())
        painter.setBrush(QColor(tones.base))
        painter.setPen(QPen(QColor(tones.accent if chosen else tones.quiet), 2 if chosen else 1))
        painter.drawRect(rect.adjusted(2, 2, -3, -3))
        painter.setPen(QColor(tones.text))
        painter.setFont(index.data(Qt.ItemDataRole.FontRole))
        painter.drawText(rect.adjusted(6, 0, -8, 0), int(RIGHT), str(index.data()))
        painter.restore()


class CutTable(QTableView):
    """The rows with the keys of a man who reads numbers one after the other."""

    row_chosen = Signal(int)
    said = Signal(str)  # what is wrong with what stands in a cell; '' once it was given up

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cuts = CutRows(self)
        self.setModel(self.cuts)
        self.refused = False  # what was typed last could not be taken
        self.setAccessibleName("Cut sheet; the As laid column takes readings")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.verticalHeader().setVisible(False)
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.verticalHeader().setMinimumSectionSize(ROW_PX)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(AS_LAID, QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(WHAT, QHeaderView.ResizeMode.Stretch)
        header.setStyleSheet("QHeaderView::section { padding: 3px 2px; font-size: 11px; }")
        header.setMinimumSectionSize(LEAST_PX)
        header.resizeSection(AS_LAID, AS_LAID_PX)
        self.why_not: Callable[[int, str], str] = lambda row, text: ""  # why a row does not take a text
        self.setItemDelegateForColumn(
            AS_LAID, ReadingCells(self, lambda cell, text: self.why_not(cell.row(), text), self.said.emit)
        )
        TableKeys(self)
        self.selectionModel().currentRowChanged.connect(lambda now, _: self.row_chosen.emit(now.row()))

    def go_to(self, row: int) -> None:
        """Put the typing into a row."""
        if 0 <= row < self.cuts.rowCount():
            self.setCurrentIndex(self.cuts.index(row, AS_LAID))

    def scrollTo(
        self, index: Index, hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible
    ) -> None:
        """Bring a row into view; the stations stay where they are."""
        across = self.horizontalScrollBar().value()
        super().scrollTo(index, hint)
        self.horizontalScrollBar().setValue(across)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on to the next row, Delete takes a reading off, digits start a reading; letters are no reading."""
        row = self.currentIndex().row()
        if self.state() == QAbstractItemView.State.EditingState:
            event.accept()  # the editor had it; what follows comes when it closes
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go_to(row + 1)
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and row >= 0:
            self.cuts.setData(self.cuts.index(row, AS_LAID), "")
        elif event.text().strip() and event.text() not in "0123456789.-" and not event.modifiers():
            event.accept()
        else:
            if event.text() and event.text() in "0123456789.-" and row >= 0:
                self.go_to(row)  # wherever in the row the keyboard was
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Go on to the next row after Enter, unless what was typed was refused."""
        row = self.currentIndex().row()
        super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
        forward = (QAbstractItemDelegate.EndEditHint.SubmitModelCache, QAbstractItemDelegate.EndEditHint.EditNextItem)
        if hint in forward and not self.refused:
            self.go_to(row + 1)
        elif hint == QAbstractItemDelegate.EndEditHint.EditPreviousItem:
            self.go_to(row - 1)
        self.refused = False
