"""The table of the Water pane: a row for each inlet, run or well, its verdict beside its name."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from drainsketch.desk.panes.table_keys import TableKeys
from drainsketch.desk.panes.water_rows import HEAD_TIPS, HEADS, View, WaterRow
from drainsketch.desk.theme import tones_of

ROW_PX = 25
LEAST_PX = 30
MORE = 1.5  # rows in a table that makes room
VERDICT = 1
Index = QModelIndex | QPersistentModelIndex
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class WaterRows(QAbstractTableModel):
    """The rows shown; quiet while they are of an earlier job."""

    def __init__(self, view: QWidget) -> None:
        super().__init__(view)
        self._view = view
        self.heads: tuple[str, ...] = HEADS["inlets"]
        self.rows: tuple[WaterRow, ...] = ()
        self.old = False

    def show_rows(self, view: View, rows: tuple[WaterRow, ...], *, old: bool) -> None:
        """Show these rows; where the same things are shown, what is chosen stays chosen."""
        same = HEADS[view] == self.heads and [r.id for r in rows] == [r.id for r in self.rows]
        if same and rows == self.rows and old == self.old:
            return
        if same:
            self.rows, self.old = rows, old
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(self.heads) - 1))
            return
        self.beginResetModel()
        self.heads, self.rows, self.old = HEADS[view], rows, old
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell: its words, side, weight and color."""
        row, column = self.rows[index.row()], index.column()
        tones = tones_of(self._view)
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return row.cells[column]
            case Qt.ItemDataRole.TextAlignmentRole:
                return LEFT if column <= VERDICT else RIGHT
            case Qt.ItemDataRole.FontRole if column <= VERDICT:
                font = QFont(self._view.font())
                font.setBold(True)
                return font
            case Qt.ItemDataRole.ForegroundRole if self.old:
                return QColor(tones.quiet)
            case Qt.ItemDataRole.ForegroundRole if column == VERDICT and row.state in ("short", "slow"):
                return QColor(tones.stop if row.state == "short" else tones.settle)
            case _:
                return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the heading of a column."""
        if orientation != Qt.Orientation.Horizontal:
            return None
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.AccessibleTextRole:
                return self.heads[section]
            case Qt.ItemDataRole.TextAlignmentRole:
                return LEFT if section <= VERDICT else RIGHT
            case Qt.ItemDataRole.ToolTipRole:
                return HEAD_TIPS.get(self.heads[section])
            case _:
                return None


class WaterTable(QTableView):
    """The rows with the keys of a table: arrows go from row to row, copy copies them all, paste is for a rain table."""

    row_chosen = Signal(str)  # id of an inlet, a run or a well; by hand only
    pasted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.water = WaterRows(self)
        self._quiet = False
        self.setModel(self.water)
        self.setAccessibleName("What the storm does, row by row")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.verticalHeader().setMinimumSectionSize(ROW_PX)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setMinimumSectionSize(LEAST_PX)
        self.setStyleSheet("QTableView::item { padding: 0 3px }")
        header.setStyleSheet("QHeaderView::section { padding: 4px 3px; }")
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        TableKeys(self)
        self.selectionModel().currentRowChanged.connect(lambda now, _: self._chosen(now.row()))

    def show_rows(self, view: View, rows: tuple[WaterRow, ...], *, old: bool) -> None:
        """Show these rows."""
        self._quiet = True
        self.water.show_rows(view, rows, old=old)
        self._stretch()
        self._quiet = False

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew; the chosen row stays in sight."""
        super().resizeEvent(event)
        self._stretch()
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def _stretch(self) -> None:
        """Give the verdict what the figures leave over; where they leave nothing, it still shows whole."""
        header = self.horizontalHeader()
        if header.count() <= VERDICT:
            return
        header.setSectionResizeMode(VERDICT, QHeaderView.ResizeMode.ResizeToContents)
        if header.length() < self.viewport().width():
            header.setSectionResizeMode(VERDICT, QHeaderView.ResizeMode.Stretch)

    @property
    def least_px(self) -> int:
        """The height in which the heading and a row are seen, and that there are more."""
        rows = min(self.water.rowCount() * ROW_PX, round(MORE * ROW_PX))
        bar = self.horizontalScrollBar()
        return self.horizontalHeader().height() + rows + (bar.height() if bar.isVisible() else 0)

    @property
    def chosen(self) -> str:
        """The id of the row that is chosen; '' for none."""
        row = self.currentIndex().row()
        return self.water.rows[row].id if 0 <= row < len(self.water.rows) else ""

    def go_to(self, its_id: str) -> None:
        """Choose the row of a thing without telling anybody; none where it has no row."""
        if its_id == self.chosen:
            return
        at = next((n for n, row in enumerate(self.water.rows) if row.id == its_id), -1)
        self._quiet = True
        if at < 0:
            self.selectionModel().clear()
        else:
            self.setCurrentIndex(self.water.index(at, 0))
        self._quiet = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy the table or paste a rain table; Enter goes on to the next row."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            lines = (self.water.heads, *(row.cells for row in self.water.rows))
            QGuiApplication.clipboard().setText("\n".join("\t".join(cells) for cells in lines))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            row = min(self.currentIndex().row() + 1, self.water.rowCount() - 1)
            self.setCurrentIndex(self.water.index(row, 0))
        else:
            super().keyPressEvent(event)

    def _chosen(self, row: int) -> None:
        if not self._quiet and 0 <= row < len(self.water.rows):
            self.row_chosen.emit(self.water.rows[row].id)
