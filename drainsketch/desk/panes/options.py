"""The Options pane: the options of the drains side by side, with prices; a click on the head of a column draws that option."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QScrollArea,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.comparing import Comparing, Shown
from drainsketch.desk.panes.water_bar import button
from drainsketch.desk.session import Session
from drainsketch.sheets.option_table import OptionTable
from drainsketch.wording import Words

ONE = (
    "There is one option of the drains. Make another one, a copy of what is drawn, and change it: fewer basins, a solid main, "
    "bigger pipe. Here they stand side by side then, with their prices."
)
WORKING = "The options are being worked out"
OLD = "The figures below are of an earlier drawing; those of this one are being worked out"
FAILED = "The comparison broke off; what the window shows of the drawn option still holds"
SIDE_PX = 240


class OptionsPane(QWidget):
    """Compares the options while it is to be seen."""

    draw = Signal(int)  # the place of the option to draw
    new_asked = Signal()

    def __init__(self, session: Session, comparing: Comparing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self.comparing = session, comparing
        self._filled: Shown | None = None
        self.table = QTreeWidget(self)
        self.table.setAccessibleName("Options side by side; the first line of a column is the name of the option")
        self.table.setRootIsDecorated(False)
        self.table.setIndentation(0)
        self.table.setStyleSheet("QTreeWidget::item { padding: 2px 0 }")
        self.table.setFrameShape(QFrame.Shape.NoFrame)
        self.table.setSelectionMode(QTreeWidget.SelectionMode.SingleSelection)
        header = self.table.header()
        header.setSectionsClickable(True)
        header.setStretchLastSection(False)
        header.sectionClicked.connect(lambda at: self.draw.emit(at - 1) if at else None)
        self.note = QLabel(self)
        self.note.setWordWrap(True)
        self.note.setContentsMargins(10, 5, 10, 5)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)  # names and notes in it come from the job
        self.said.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.said.setContentsMargins(10, 6, 10, 8)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.remarks = QScrollArea(self)
        self.remarks.setWidget(self.said)
        self.remarks.setWidgetResizable(True)
        self.remarks.setFixedWidth(SIDE_PX)
        self.new = button("New Option…", "A copy of the drawn option, to be changed", self)
        self.new.clicked.connect(self.new_asked)
        top = QHBoxLayout()
        top.setContentsMargins(0, 0, 8, 0)
        top.addWidget(self.note, 1)
        top.addWidget(self.new)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.table, 1)
        middle.addWidget(self.remarks)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 3, 0, 0)
        box.setSpacing(2)
        box.addLayout(top)
        box.addLayout(middle, 1)
        box.addStretch(0)
        comparing.changed.connect(self.refresh)
        session.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the options, or how it stands with them, once they are to be seen."""
        if not self.isVisible():
            return
        shown, several = self.comparing.shown, bool(self._session.job.aside)
        there = several and shown is not None and len(shown.table.names) > 1
        self.new.setVisible(not several)
        self.table.setVisible(there)
        self.remarks.setVisible(there)
        self.note.setText(self._note(shown if there else None))
        self.note.setVisible(bool(self.note.text()))
        old = there and self.comparing.is_late
        for part in (self.table, self.remarks):
            part.setEnabled(not old)
        if there and shown is not None and shown is not self._filled:
            self._filled = shown
            self._fill(shown.table)
            self.said.setText("\n\n".join(filter(None, (shown.fault, *shown.table.warned, *shown.table.said))))

    def _note(self, shown: Shown | None) -> str:
        if not self._session.job.aside:
            return ONE
        if self.comparing.failed:
            return FAILED
        if shown is None:
            return WORKING
        return OLD if self.comparing.is_late else ""

    def _fill(self, table: OptionTable) -> None:
        """Write the table; where it stood scrolled to it stays."""
        at, words = self.table.verticalScrollBar().value(), Words()
        self.table.clear()
        self.table.setColumnCount(1 + len(table.names))
        self.table.setHeaderLabels(["", *table.names])
        head = self.table.headerItem()
        for i, name in enumerate(table.names, 1):
            is_drawn = i - 1 == table.drawn
            head.setFont(i, self._bold() if is_drawn else self.table.font())
            head.setToolTip(i, f"{name} is drawn" if is_drawn else f"Click to draw {name}")
        group = ""
        for row in table.rows:
            if row.group != group:
                group = row.group
                heading = QTreeWidgetItem([words.word(f"options.group.{group}")])
                heading.setFlags(Qt.ItemFlag.ItemIsEnabled)
                heading.setFont(0, self._bold())
                self.table.addTopLevelItem(heading)
                self.table.setFirstColumnSpanned(self.table.topLevelItemCount() - 1, self.table.rootIndex(), True)
            cells = [f"{c.text}  ({c.against})" if c.against else c.text for c in row.cells]
            item = QTreeWidgetItem([row.label, *cells])
            for i, cell in enumerate(cells, 1):
                item.setToolTip(i, cell)
            if row.key == "total_usd":
                item.setFont(0, self._bold())
                for i in range(1, 1 + len(cells)):
                    item.setFont(i, self._bold())
            self.table.addTopLevelItem(item)
        header = self.table.header()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        for i in range(1, 1 + len(table.names)):
            header.setSectionResizeMode(i, QHeaderView.ResizeMode.Stretch)
        self.table.verticalScrollBar().setValue(at)

    def _bold(self) -> QFont:
        font = QFont(self.table.font())
        font.setBold(True)
        return font

    def showEvent(self, event: QShowEvent) -> None:
        """Have the options compared."""
        super().showEvent(event)
        self.comparing.want(True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Let them rest."""
        super().hideEvent(event)
        self.comparing.want(False)
