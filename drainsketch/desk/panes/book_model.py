"""The level book as a table model: cells of the lines, typing into them, and blank lines that wait."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.session import Session
from drainsketch.desk.theme import LIGHT, Tones
from drainsketch.errors import DrainsketchError
from drainsketch.ground.results import BookLevels
from drainsketch.job.model import LevelBook, Units

Index = QModelIndex | QPersistentModelIndex
ROLE = Qt.ItemDataRole
TIPS = {
    b.BS: "Backsight: on a benchmark or turning point. Typed beside a foresight, it starts the next setup on that point",
    b.HI: "Height of instrument, or of the string",
    b.IS: "Intermediate sight",
    b.FS: "Foresight: on a turning point, or to close on a benchmark",
    b.DISTANCE: "Length of sight, from the level to the rod; where all have it, the adjustment goes by it",
    b.CORRECTION: "Correction: what the adjustment adds; it is in the elevation",
    b.PLAN: "The shot on the plan that takes its level from here; Ctrl+Enter places it",
}


class BookModel(QAbstractTableModel):
    """Shows the book of the session and applies what is typed, as one step of the history each."""

    said = Signal(str)  # what is wrong with what was typed; '' when it was taken

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._lines = b.lines_of(LevelBook(), BookLevels())
        self._drafts: dict[str, dict[int, str]] = {}
        self._wrong: set[tuple[str, int]] = set()
        self._inserted: tuple[str, int] | None = None
        self._shown: tuple[LevelBook, Units] | None = None
        self.tones: Tones = LIGHT

    # -- what the pane asks

    def line(self, row: int) -> b.Line | None:
        """Return the line of a row, None where there is none."""
        return self._lines[row] if 0 <= row < len(self._lines) else None

    def row_of(self, sight_id: str) -> int:
        """Return the row of a sight, -1 where it is not in the book."""
        return next((i for i, line in enumerate(self._lines) if line.key == sight_id), -1)

    def insert_above(self, row: int) -> bool:
        """Put a blank line above a sight; return whether there was one."""
        line = self.line(row)
        if line is None or line.sight is None:
            return False
        self._inserted = (line.setup, line.at)
        self.refresh(again=True)
        return True

    def refresh(self, *, again: bool = False) -> None:
        """Take the book of the present job; lines that stay keep their place in the view."""
        job = self._session.job
        shown = (job.book, job.header.units)
        if not again and self._shown is not None and shown[0] is self._shown[0] and shown[1] == self._shown[1]:
            return
        self._shown = shown
        if not again and self._inserted is not None and not self._drafts.get(f"inserted {self._inserted[0]}"):
            self._inserted = None  # nobody wrote into it
        lines = b.lines_of(job.book, self._session.review.book, self._inserted)
        old, new = [line.key for line in self._lines], [line.key for line in lines]
        head = next((i for i, (x, y) in enumerate(zip(old, new, strict=False)) if x != y), min(len(old), len(new)))
        most = min(len(old), len(new)) - head
        tail = next((i for i in range(most) if old[-1 - i] != new[-1 - i]), most)
        if head + tail < len(old):
            self.beginRemoveRows(QModelIndex(), head, len(old) - tail - 1)
            del self._lines[head : len(old) - tail]
            self.endRemoveRows()
        if head + tail < len(new):
            self.beginInsertRows(QModelIndex(), head, len(new) - tail - 1)
            self._lines[head:head] = lines[head : len(new) - tail]
            self.endInsertRows()
        self._lines = lines
        there = set(new)
        self._drafts = {key: kept for key, kept in self._drafts.items() if key in there}
        self._wrong = {place for place in self._wrong if place[0] in there}
        self.dataChanged.emit(self.index(0, 0), self.index(len(lines) - 1, len(b.COLUMNS) - 1))

    # -- what Qt asks

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many lines there are."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(b.COLUMNS)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Say which cells can be typed into."""
        base = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return base | Qt.ItemFlag.ItemIsEditable if index.column() in b.TYPED else base

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = ROLE.DisplayRole) -> Any:
        """Return the heading of a column."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == ROLE.ToolTipRole:
            return TIPS.get(section)
        return b.COLUMNS[section] if role == ROLE.DisplayRole else None

    def data(self, index: Index, role: int = ROLE.DisplayRole) -> Any:
        """Return text, color and place of a cell."""
        line, column = self._lines[index.row()], index.column()
        if role in (ROLE.DisplayRole, ROLE.EditRole):
            return self._text(index.row(), line, column)
        if role == ROLE.TextAlignmentRole:
            left = column in (b.POINT, b.NOTE, b.SETUP, b.PLAN)
            side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == ROLE.ForegroundRole:
            return self._color(line, column)
        if role == ROLE.ToolTipRole:
            return b.as_tip(self._text(index.row(), line, column)) if column in (b.POINT, b.NOTE) else None
        if role == ROLE.AccessibleTextRole:
            return f"{b.COLUMNS[column]} {self._text(index.row(), line, column)}"
        return None

    def setData(self, index: Index, value: Any, role: int = ROLE.EditRole) -> bool:
        """Take what was typed into a cell; a slip is said, and changes nothing."""
        line, column, text = self._lines[index.row()], index.column(), str(value)
        if role != ROLE.EditRole or text == self._text(index.row(), line, column):
            return False
        draft = self._drafts.setdefault(line.key, {}) if line.sight is None else {}
        if line.sight is None:
            draft[column] = text
        self._wrong.discard((line.key, column))
        try:
            job, sight_id = b.typed(self._session.job, line, column, text, draft)
        except DrainsketchError as fault:
            if line.sight is None:
                self._wrong.add((line.key, column))
            self.said.emit(str(fault))
            return False
        if line.sight is None and sight_id:  # the blank line becomes the sight, and a further one comes below it
            self._drafts.pop(line.key, None)
            self._lines[index.row()] = b.Line(sight_id, line.setup, line.number, line.at)
            self._inserted = None
        if job is self._session.job:
            self.dataChanged.emit(index, index)
            self.said.emit("")
        else:
            self._session.apply(job, _label(line, column))
            self.refresh()
        return True

    # -- inside

    def _text(self, row: int, line: b.Line, column: int) -> str:
        if line.sight is None and column in self._drafts.get(line.key, ()):
            return self._drafts[line.key][column]
        first = row == 0 or self._lines[row - 1].setup != line.setup
        job = self._session.job
        return b.cell_text(line, column, job.book, job.header.units, first=first)

    def _color(self, line: b.Line, column: int) -> QColor | None:
        if (line.key, column) in self._wrong:
            return QColor(self.tones.stop)
        if column == b.ELEVATION and line.levelled is not None and line.levelled.elevation_ft is None:
            return QColor(self.tones.settle)
        worked_out = column in (b.SETUP, b.HI, b.CORRECTION) or (
            column == b.PLAN and line.sight and not line.sight.shot
        )
        return QColor(self.tones.quiet) if worked_out else None


def _label(line: b.Line, column: int) -> str:
    """Return what was done, for undo."""
    if line.sight is None:
        return "Enter a sight"
    return {b.POINT: "Rename a point", b.DISTANCE: "Change a distance", b.NOTE: "Change a note"}.get(
        column, "Change a reading"
    )
