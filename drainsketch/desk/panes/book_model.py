"""The level book as a table model: cells of the lines, typing into them, and blank lines that wait."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.panes import book_typing as typing
from drainsketch.desk.session import Session
from drainsketch.desk.theme import LIGHT, Tones
from drainsketch.errors import DrainsketchError
from drainsketch.ground.readings import off_rod
from drainsketch.ground.results import BookLevels
from drainsketch.job.kinds import Units
from drainsketch.job.levelling import LevelBook, Sight
from drainsketch.job.model import Job
from drainsketch.job.sights import setup_of

Index = QModelIndex | QPersistentModelIndex
ROLE = Qt.ItemDataRole
TIPS = {
    b.SETUP: "Type over it to name the setup",
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
        self._wrong: dict[tuple[str, int], str] = {}  # what cannot be read, kept in its cell; what was there counts
        self._inserted: tuple[str, int] | None = None
        self._shown: tuple[LevelBook, Units] | None = None
        self.made = ""  # the sight that the last typing added in a row of its own
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
        there = set(new) if again or self._session.history.undo_label is not None else set()  # a job just opened
        self._drafts = {key: kept for key, kept in self._drafts.items() if key in there}
        self._wrong = {place: text for place, text in self._wrong.items() if place[0] in there}
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
        return base if self.why_not_typed(index) else base | Qt.ItemFlag.ItemIsEditable

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
            return (self._own_text if role == ROLE.EditRole else self._text)(index.row(), line, column)
        if role == ROLE.TextAlignmentRole:
            left = column in (b.POINT, b.NOTE, b.SETUP, b.PLAN)
            side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == ROLE.ForegroundRole:
            return self._color(line, column)
        if role == ROLE.ToolTipRole:
            return self._tip(index.row(), line, column)
        if role == ROLE.AccessibleTextRole:
            return f"{b.COLUMNS[column]} {self._text(index.row(), line, column)}"
        return None

    def setData(self, index: Index, value: Any, role: int = ROLE.EditRole) -> bool:
        """Take what was typed into a cell; a slip is said, and changes nothing."""
        line, column, text = self._lines[index.row()], index.column(), str(value)
        if role != ROLE.EditRole or text == self._own_text(index.row(), line, column):
            return False
        self._wrong.pop((line.key, column), None)
        self.made = ""
        try:
            job, sight_id = self._typed(line, column, text)
        except DrainsketchError as fault:
            self._wrong[line.key, column] = text
            self.dataChanged.emit(index, index)
            self.said.emit(str(fault))
            return False
        if line.sight is None and job is self._session.job:
            self._drafts.setdefault(line.key, {})[column] = text
        if line.sight is None and sight_id:  # the blank line becomes the sight, and a further one comes below it
            self._wrong = {(sight_id if key == line.key else key, at): t for (key, at), t in self._wrong.items()}
            self._drafts.pop(line.key, None)
            self._lines[index.row()] = b.Line(sight_id, line.setup, line.number, line.at)
            self._inserted = None
        if job is self._session.job:
            self.dataChanged.emit(index, index)
            self.said.emit("")
        else:
            before = self._session.job.book
            self._session.apply(job, _label(line, column))
            self.refresh()
            if line.sight is not None:
                self.made, said = typing.row_made(before, job.book)
                if said:
                    self._session.tell(said)
        return True

    def why_not(self, index: Index, text: str) -> str:
        """Return why a text cannot be taken into a cell, '' where it can."""
        line = self._lines[index.row()]
        try:
            self._typed(line, index.column(), text)
        except DrainsketchError as fault:
            return str(fault)
        return ""

    def why_not_typed(self, index: Index) -> str:
        """Return why a cell takes no typing, '' where it does."""
        column = index.column()
        if column in b.TYPED or (column == b.SETUP and self._is_first(index.row())):
            return ""
        return b.WORKED_OUT[column]

    def clear(self, cells: list[Index]) -> None:
        """Empty cells, as one step; readings are struck out, and rows stay. What was typed and cannot be read goes first."""
        job, said = self._session.job, []
        for index in cells:
            line, column = self._lines[index.row()], index.column()
            if self.why_not_typed(index) or not self._own_text(index.row(), line, column):
                continue
            waited = self._wrong.pop((line.key, column), None) or self._drafts.get(line.key, {}).pop(column, None)
            if not waited:
                said.append(typing.cleared_words(line, column, job))
                job, _ = typing.typed(job, line, column, "", {})
            self.dataChanged.emit(index, index)
        self._session.apply(job, "Clear a cell" if len(said) == 1 else f"Clear {len(said)} cells")
        self.refresh()
        self.said.emit("")
        if said:
            self._session.tell(said[0] if len(said) == 1 else f"Cleared {len(said)} cells. Ctrl+Z brings them back.")

    def drop_blank(self, line: b.Line) -> bool:
        """Take out what was typed into a blank line, and the line where it was put in; return whether there was something."""
        had = any(self._drafts.pop(line.key, {}).values())
        if line.key.startswith("inserted"):
            self._inserted, had = None, True
        if had:
            self.refresh(again=True)
        return had

    # -- inside

    def _typed(self, line: b.Line, column: int, text: str) -> tuple[Job, str]:
        draft = {**self._drafts.get(line.key, {}), column: text} if line.sight is None else {}
        return typing.typed(self._session.job, line, column, text, draft)

    def _is_first(self, row: int) -> bool:
        return row == 0 or self._lines[row - 1].setup != self._lines[row].setup

    def _text(self, row: int, line: b.Line, column: int) -> str:
        kept = self._kept(line, column)
        job = self._session.job
        return kept or b.cell_text(line, column, job.book, job.header.units, first=self._is_first(row))

    def _own_text(self, row: int, line: b.Line, column: int) -> str:
        """Return the text of a cell as it is typed: of a setup its name alone."""
        if column != b.SETUP:
            return self._text(row, line, column)
        setup = setup_of(self._session.job.book, line.setup)
        return self._kept(line, column) or (setup.name if setup is not None and self._is_first(row) else "")

    def _kept(self, line: b.Line, column: int) -> str:
        """Return what was typed into a cell and is not in the book."""
        wrong = self._wrong.get((line.key, column))
        return wrong if wrong is not None else self._drafts.get(line.key, {}).get(column, "")

    def _tip(self, row: int, line: b.Line, column: int) -> str | None:
        wrong = self._wrong.get((line.key, column))
        if wrong is not None:
            return b.as_tip(self.why_not(self.index(row, column), wrong))
        return b.as_tip(self._text(row, line, column)) if column in (b.SETUP, b.POINT, b.NOTE) else None

    def _color(self, line: b.Line, column: int) -> QColor | None:
        if (line.key, column) in self._wrong:
            return QColor(self.tones.stop)
        if column in b.KINDS and line.sight is not None and self._is_off_rod(line, line.sight):
            return QColor(self.tones.stop)
        if column == b.ELEVATION and line.levelled is not None and line.levelled.elevation_ft is None:
            return QColor(self.tones.settle)
        worked_out = column in (b.SETUP, b.HI, b.CORRECTION) or (
            column == b.PLAN and line.sight and not line.sight.shot
        )
        return QColor(self.tones.quiet) if worked_out else None

    def _is_off_rod(self, line: b.Line, sight: Sight) -> bool:
        setup = setup_of(self._session.job.book, line.setup)
        return setup is not None and bool(off_rod(setup, sight))


def _label(line: b.Line, column: int) -> str:
    """Return what was done, for undo."""
    if column == b.SETUP:
        return "Name a setup"
    if line.sight is None:
        return "Enter a sight"
    return {b.POINT: "Rename a point", b.DISTANCE: "Change a distance", b.NOTE: "Change a note"}.get(
        column, "Change a reading"
    )
