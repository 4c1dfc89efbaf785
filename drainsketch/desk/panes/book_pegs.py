"""The two-peg check of the level: four readings, and how far the line of sight is off."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from drainsketch.desk.panes.book_rows import reading_text
from drainsketch.desk.panes.form import Entry
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.ground.twopeg import PEGS_FT, PegError, peg_error
from drainsketch.job import units as u
from drainsketch.job.edits.book import change_book
from drainsketch.job.kinds import Units
from drainsketch.job.levelling import TwoPeg

FIELDS = ("middle_a_ft", "middle_b_ft", "near_a_ft", "near_b_ft")
CALLED = ("midway, on A", "midway, on B", "close to A, on A", "close to A, on B")
LABEL = "Two-peg check"


class Pegs(QWidget):
    """Readings with the level midway between pegs A and B, then close to A; taken once all four can be read, and given up once all are empty."""

    said = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shown: TwoPeg | None = None
        grid = QGridLayout(self)
        grid.setContentsMargins(8, 0, 4, 0)
        grid.setSpacing(2)
        for at, text in ((0, "On A"), (1, "On B")):
            grid.addWidget(QLabel(text), 0, at + 1)
        self.entries: dict[str, Entry] = {}
        for row, text in enumerate(("Midway", "Close to A")):
            grid.addWidget(QLabel(text), row + 1, 0)
            for column in range(2):
                at = 2 * row + column
                entry = Entry(self)
                entry.setAccessibleName(f"Reading {CALLED[at]}")
                entry.editingFinished.connect(self._typed)
                entry.given_up.connect(lambda: self.refresh(again=True))
                self.entries[FIELDS[at]] = entry
                grid.addWidget(entry, row + 1, column + 1)
        self.result = QLabel()
        self.result.setWordWrap(True)
        self.result.setToolTip("Empty all four to clear the check")
        grid.addWidget(self.result, 3, 0, 1, 3, Qt.AlignmentFlag.AlignTop)
        grid.setRowStretch(3, 1)
        self.refresh(again=True)

    def refresh(self, *, again: bool = False) -> None:
        """Show the check of the present job; half-typed readings stay while it has none."""
        check, units = self._session.job.book.two_peg, self._session.job.header.units
        if check is not None:
            for name, entry in self.entries.items():
                if not entry.isModified() or again:
                    entry.setText(reading_text(getattr(check, name), units))
            error = peg_error(check)
            self._conclude(_verdict(error, units), well=error.reads_true)
        else:
            if self._shown is not None:
                for entry in self.entries.values():
                    entry.clear()
            self._conclude("Type all four readings.", well=True)
        self._shown = check

    def _conclude(self, said: str, *, well: bool) -> None:
        tones = tones_of(self)
        self.result.setText(said)
        self.result.setStyleSheet(f"color: {tones.text if well else tones.settle};")

    def _typed(self) -> None:
        units, kept = self._session.job.header.units, self._session.job.book.two_peg
        blank = [not e.text().strip() for e in self.entries.values()]
        if all(blank):
            self._session.apply(change_book(self._session.job, two_peg=None), "Clear the two-peg check")
        if any(blank):
            return
        try:
            read: dict[str, float] = {}
            for name, entry in self.entries.items():
                old: float | None = getattr(kept, name) if kept is not None else None
                if old is not None and entry.text() == reading_text(old, units):
                    read[name] = old
                else:
                    read[name] = u.parse_length_ft(entry.text(), units)
            self._session.apply(change_book(self._session.job, two_peg=TwoPeg(**read)), LABEL)
            self.said.emit("")
        except DrainsketchError as fault:
            self.said.emit(str(fault))
            return
        for entry in self.entries.values():
            entry.setModified(False)  # it is taken
        self.refresh()


def _verdict(error: PegError, units: Units) -> str:
    """Return how far off the level reads over the pegs, against what can be put up with."""
    off, allowed = u.format_fine(abs(error.per_length_ft), units), u.format_fine(PEGS_FT, units)
    if off == u.format_fine(0.0, units):
        return f"The level reads true from A to B (allowed {allowed})."
    side = "high" if error.per_length_ft > 0 else "low"
    if error.reads_true:
        return f"Good enough: reads {off} {side} from A to B, allowed {allowed}."
    return f"Reads {off} {side} from A to B, allowed {allowed}: have the level adjusted."
