"""The live takeoff table; the chosen line answers 'why so much?'."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFont, QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHeaderView,
    QLabel,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.session import Session
from drainsketch.takeoff.results import GROUPS, TakeoffLine
from drainsketch.wording import Words

LINE = Qt.ItemDataRole.UserRole
ROW_PX = 28
CELL_PX = 6
ASK = "Choose a line to see how it is counted."
EMPTY = "Nothing to count yet. Draw runs between basins and an outfall."


def wrapped_px(option: QStyleOptionViewItem, text: str, wide_px: int) -> int:
    """Return how high a cell is whose text is wrapped into this width, pixels."""
    room = QRect(0, 0, max(60, wide_px - 2 * CELL_PX), 10_000)
    return option.fontMetrics.boundingRect(room, int(Qt.TextFlag.TextWordWrap), text).height() + CELL_PX


class WrappedRows(QStyledItemDelegate):
    """Rows as high as their wrapped item needs, a comfortable target at least."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Return the room a cell needs."""
        size = super().sizeHint(option, index)
        view = self.parent()
        if index.column() == 0 and isinstance(view, QTreeWidget) and index.data(LINE) is not None:
            return QSize(0, max(ROW_PX, wrapped_px(option, str(index.data()), view.columnWidth(0))))
        return QSize(size.width() + CELL_PX, ROW_PX)


class TakeoffPane(QWidget):
    """Item, quantity and unit by group, with the rule and the arithmetic of the chosen line below."""

    owners_shown = Signal(tuple)  # ids a line was counted from, on double click or Enter

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._lines: tuple[TakeoffLine, ...] = ()
        self._units = ""
        self.table = QTreeWidget(self)
        self.table.setHeaderLabels(["Item", "Quantity", "Unit"])
        self.table.setAccessibleName("Takeoff; the chosen line is explained below")
        self.table.setRootIsDecorated(False)
        self.table.setIndentation(0)
        self.table.setFrameShape(QFrame.Shape.NoFrame)
        self.table.setUniformRowHeights(False)
        self.table.setWordWrap(True)
        self.table.setItemDelegate(WrappedRows(self.table))
        header = self.table.header()
        header.sectionResized.connect(self.table.scheduleDelayedItemsLayout)
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        self.table.headerItem().setTextAlignment(1, Qt.AlignmentFlag.AlignRight)
        self.table.currentItemChanged.connect(self._explain)
        self.table.itemActivated.connect(self._show_owners)
        self.why = QLabel(ASK, self)
        self.why.setWordWrap(True)
        self.why.setContentsMargins(10, 6, 10, 8)
        self.why.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.table, 1)
        box.addWidget(self.why)
        session.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the takeoff of the present review, once it is to be seen; the chosen line stays chosen."""
        if not self.isVisible():
            return
        lines, units = self._session.review.takeoff, self._session.job.header.units
        if lines == self._lines and units == self._units:
            self._explain()
            return
        self._lines, self._units = lines, units
        chosen = self.chosen()
        words = Words(units=units)
        self.table.clear()
        for group in GROUPS:
            of_group = [line for line in lines if line.group == group]
            if of_group:
                self.table.addTopLevelItem(self._heading(group))
            for line in of_group:
                item = self._row(line, words)
                self.table.addTopLevelItem(item)
                if chosen is not None and (line.item, line.params) == (chosen.item, chosen.params):
                    self.table.setCurrentItem(item)
        for at in range(self.table.topLevelItemCount()):
            top = self.table.topLevelItem(at)
            self.table.setFirstColumnSpanned(at, self.table.rootIndex(), top is not None and top.data(0, LINE) is None)
        self._explain()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the review."""
        super().showEvent(event)
        self.refresh()

    def chosen(self) -> TakeoffLine | None:
        """Return the line that is chosen in the table."""
        item = self.table.currentItem()
        return item.data(0, LINE) if item is not None else None

    def _heading(self, group: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem([group[:1].upper() + group[1:]])
        item.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = QFont(self.table.font())
        font.setBold(True)
        item.setFont(0, font)
        return item

    def _row(self, line: TakeoffLine, words: Words) -> QTreeWidgetItem:
        item = QTreeWidgetItem([words.item(line), *words.counted(line)])
        item.setData(0, LINE, line)
        item.setTextAlignment(1, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return item

    def _explain(self, *_: object) -> None:
        line = self.chosen()
        if line is None:
            self.why.setText(ASK if self._lines else EMPTY)
            return
        words = Words(units=self._session.job.header.units)
        self.why.setTextFormat(Qt.TextFormat.PlainText)  # names in it come from the job
        self.why.setText(f"Why {' '.join(words.counted(line))}?\n{words.rule(line)}\n{words.arithmetic(line)}")

    def _show_owners(self, item: QTreeWidgetItem) -> None:
        line = item.data(0, LINE)
        if isinstance(line, TakeoffLine) and line.owners:
            self.owners_shown.emit(line.owners)
