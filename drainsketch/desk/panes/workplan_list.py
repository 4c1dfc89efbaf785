"""The days of the work with their tasks, as a list; hold points stand out."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFont
from PySide6.QtWidgets import QFrame, QHeaderView, QTreeWidget, QTreeWidgetItem, QWidget

from drainsketch.desk.panes.signs import level_ink, sign_icon
from drainsketch.desk.panes.table_keys import TableKeys
from drainsketch.desk.theme import tones_of
from drainsketch.look import LEVEL_SIGNS
from drainsketch.takeoff.workplan.results import PlannedWork, Task, WorkDay
from drainsketch.takeoff.workplan.saying import Sayings

TASK_PX, ROW_PX = 176, 22
WHAT = Qt.ItemDataRole.UserRole


class WorkList(QTreeWidget):
    """Days, and under each its tasks; choosing one tells which."""

    task_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setHeaderLabels(["Task", "Where", "Hours"])
        self.setAccessibleName("Days of work and their tasks; the chosen task is explained beside them")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setIndentation(14)
        self.setUniformRowHeights(True)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        self.headerItem().setTextAlignment(2, Qt.AlignmentFlag.AlignRight)
        self.setColumnWidth(0, TASK_PX)
        self.setStyleSheet(f"QTreeView::item {{ height: {ROW_PX}px; }}")
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self._keys = TableKeys(self)
        self.currentItemChanged.connect(self._tell)

    def show_plan(self, plan: PlannedWork, say: Sayings) -> None:
        """Show the days of a plan; the chosen task stays chosen and folded days stay folded."""
        chosen, folded = self.chosen, {self._number(i) for i in self._days() if not i.isExpanded()}
        self.blockSignals(True)
        self.clear()
        for day in plan.days:
            item = self._day(day, say)
            self.addTopLevelItem(item)
            self.setFirstColumnSpanned(self.topLevelItemCount() - 1, self.rootIndex(), False)
            for task in day.tasks:
                row = self._task(task, say)
                item.addChild(row)
                if chosen is not None and _same(task, chosen):
                    self.setCurrentItem(row)
                    chosen = None
            item.setExpanded(day.number not in folded)
        self.blockSignals(False)

    @property
    def chosen(self) -> Task | None:
        """Return the chosen task; None where a day or nothing is."""
        item = self.currentItem()
        found = item.data(0, WHAT) if item is not None else None
        return found if isinstance(found, Task) else None

    @property
    def chosen_day(self) -> WorkDay | None:
        """Return the chosen day; None where a task or nothing is chosen."""
        item = self.currentItem()
        found = item.data(0, WHAT) if item is not None else None
        return found if isinstance(found, WorkDay) else None

    def _days(self) -> list[QTreeWidgetItem]:
        return [item for i in range(self.topLevelItemCount()) if (item := self.topLevelItem(i)) is not None]

    def _number(self, item: QTreeWidgetItem) -> int:
        day = item.data(0, WHAT)
        return day.number if isinstance(day, WorkDay) else 0

    def _day(self, day: WorkDay, say: Sayings) -> QTreeWidgetItem:
        holds = say.word("sheet.holds", holds=len(day.holds)) if day.holds else ""
        told = ", ".join(t for t in (holds, say.open(day)) if t)
        item = QTreeWidgetItem([say.day(day, short=True), told, say.hours(day.hours)])
        item.setToolTip(0, say.day(day))
        item.setToolTip(1, told)
        font = QFont(self.font())
        font.setBold(True)
        for column in range(3):
            item.setFont(column, font)
        item.setTextAlignment(2, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        item.setData(0, WHAT, day)
        if day.overnight:
            item.setIcon(0, sign_icon(LEVEL_SIGNS["settle"], *level_ink("settle", tones_of(self))))
            item.setToolTip(0, f"{say.day(day)}\n{say.overnight(day)}")
        return item

    def _task(self, task: Task, say: Sayings) -> QTreeWidgetItem:
        where = say.where(task) or say.word("whole")
        item = QTreeWidgetItem([say.task(task), say.where(task, short=True) or where, say.hours(task.hours)])
        item.setTextAlignment(2, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        item.setData(0, WHAT, task)
        item.setToolTip(0, say.task(task))
        item.setToolTip(1, where)
        if task.is_hold:
            font = QFont(self.font())
            font.setBold(True)
            tones = tones_of(self)
            for column in range(2):
                item.setFont(column, font)
                item.setForeground(column, QBrush(QColor(tones.accent)))
        return item

    def _tell(self, item: QTreeWidgetItem | None, _before: object) -> None:
        if item is not None:
            self.task_chosen.emit(item.data(0, WHAT))


def _same(one: Task, other: Task) -> bool:
    return (one.kind, one.owner, one.stretch, one.goes_on) == (other.kind, other.owner, other.stretch, other.goes_on)
