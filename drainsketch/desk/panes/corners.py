"""The corners or bends of a thing as a table, for those who would rather type than drag."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.panes.table_keys import Index, KeepingCells, TableKeys, fault_line
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.job import units as u
from drainsketch.job.ask import is_closed, points_of, structures_by_id, thing
from drainsketch.job.edits.move import bends, insert_vertex, move_vertex, remove_vertex
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Breakline, Heap, Job, Obstacle, Run, Service, Structure, Thing

ROW_PX = 30
KEPT = "A corner keeps both its figures: type over them, or take the corner out with the button below."


def has_corners(shown: Thing) -> bool:
    """Return whether a thing has corners or bends that can be typed."""
    if isinstance(shown, Obstacle):
        return len(shown.points) > 1
    return isinstance(shown, Boundary | Breakline | Heap | Service | Run)


def new_corner(shown: Thing, row: int, structures: dict[str, Structure]) -> tuple[int, Point]:
    """Return where a further corner goes in and its place: midway on the leg after corner ``row`` (-1: the first leg)."""
    points = points_of(shown, structures)
    if isinstance(shown, Run):  # its ends are its structures
        a, b = points[row + 1], points[row + 2]
    else:
        row = max(0, row if is_closed(shown) else min(row, len(points) - 2))
        a, b = points[row], points[(row + 1) % len(points)]
    return row + 1, (round((a[0] + b[0]) / 2, 6), round((a[1] + b[1]) / 2, 6))


class Corners(QWidget):
    """East and north of each corner; a changed cell moves it, Add puts one in behind it, Remove takes it out."""

    def __init__(self, session: Session, thing_id: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._id = thing_id
        self.table = QTableWidget(0, 2, self)
        self.table.setHorizontalHeaderLabels(["East", "North"])
        self.table.setAccessibleName("Corners")
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setDefaultSectionSize(ROW_PX)
        self.table.setTabKeyNavigation(False)
        self.table.setItemDelegate(KeepingCells(self.table, self._why_not, self._say))
        TableKeys(self.table, erase=lambda: self._say(KEPT))
        self.table.cellChanged.connect(self._changed)
        self.fault = fault_line(self)
        word = "Bend" if isinstance(thing(session.job, thing_id), Run | Service | Breakline) else "Corner"
        self.add, self.remove = QPushButton(f"Add {word}", self), QPushButton(f"Remove {word}", self)
        self.add.setToolTip(f"Put a {word.lower()} in the middle of the leg after the chosen one")
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        line = QHBoxLayout()
        line.addWidget(self.add)
        line.addWidget(self.remove)
        line.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.table)
        box.addWidget(self.fault)
        box.addLayout(line)
        self.show_values()

    def show_values(self) -> None:
        """Show the corners as they are now."""
        shown = thing(self._session.job, self._id)
        if shown is None:
            return
        points = bends(shown)
        units = self._session.job.header.units
        self._say("")
        self.table.blockSignals(True)
        self.table.setRowCount(len(points))
        for row, point in enumerate(points):
            for column, feet in enumerate(point):
                item = QTableWidgetItem(u.format_length(feet, units))
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.table.setItem(row, column, item)
        self.table.blockSignals(False)
        self.table.setFixedHeight(min(6, len(points)) * ROW_PX + 36)
        self.table.setVisible(bool(points))
        self.remove.setVisible(bool(points))

    def _changed(self, row: int, column: int) -> None:
        item = self.table.item(row, column)
        if item is None:
            return
        why = self._why_not(self.table.model().index(row, column), item.text())
        if why:
            self._say(why)  # what was typed stays, to be mended
            return
        self._session.apply(self._moved(row, column, item.text()), f"Move a corner of {self._id}")
        self.show_values()

    def _moved(self, row: int, column: int, text: str) -> Job:
        """Return the job with a corner where it was typed to be. Raises DrainsketchError where it cannot be there."""
        job = self._session.job
        shown = thing(job, self._id)
        if shown is None:
            return job
        east, north = bends(shown)[row]
        feet = u.parse_length_ft(text, job.header.units)
        return move_vertex(job, self._id, row, (feet, north) if column == 0 else (east, feet))

    def _why_not(self, cell: Index, text: str) -> str:
        try:
            self._moved(cell.row(), cell.column(), text)
        except DrainsketchError as fault:
            return str(fault)
        return ""

    def _say(self, sentence: str) -> None:
        self.fault.setText(sentence)
        self.fault.setVisible(bool(sentence))

    def _add(self) -> None:
        job = self._session.job
        shown = thing(job, self._id)
        if shown is None:
            return
        row, at = new_corner(shown, self.table.currentRow(), structures_by_id(job))
        try:
            self._session.apply(insert_vertex(job, self._id, row, at), f"Add a corner to {self._id}")
        except DrainsketchError as fault:
            self._session.tell(str(fault))
            return
        self.show_values()
        self.table.setCurrentCell(row, 0)

    def _remove(self) -> None:
        row = self.table.currentRow()
        if row < 0:
            self._session.tell("Choose the corner to remove in the table first.")
            return
        try:
            self._session.apply(remove_vertex(self._session.job, self._id, row), f"Remove a corner of {self._id}")
        except DrainsketchError as fault:
            self._session.tell(str(fault))
