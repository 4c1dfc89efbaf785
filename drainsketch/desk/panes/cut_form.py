"""What the cut sheet is reckoned from: run, instrument, height, where the rod stands, interval and tolerance."""

from typing import get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.form import Choice, Row
from drainsketch.errors import DrainsketchError
from drainsketch.job import kinds
from drainsketch.job.edits.laying import change_laying
from drainsketch.job.levelling import Laying, Setup
from drainsketch.job.model import Job
from drainsketch.job.plain import plain
from drainsketch.review import Review
from drainsketch.wording import Words

INSTRUMENTS = {"level": "level", "string line": "string"}
FIELDS = (
    Field("instrument", "Read by", "choice", choices=tuple((i, INSTRUMENTS[i]) for i in get_args(kinds.Instrument))),
    Field("height_ft", "HI", "level", blank="not set up yet"),
    Field("rod_on", "Rod on", "choice", choices=tuple((r, r) for r in get_args(kinds.RodOn))),
    Field("interval_ft", "Every", "length"),
    Field("tolerance_in", "Tolerance", "inches"),
)
HEIGHT_LABELS = {"level": "HI", "string line": "String"}
SETUP_LENGTH = 24


class CutForm(QWidget):
    """Run and setup, and under them the fields."""

    changed = Signal(object, str)  # job, what was done
    run_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._job, self._now = Job(), Laying()  # the job, and its laying with the heights the book gives
        self._setups: tuple[tuple[str, str], ...] | None = None
        self._runs: tuple[tuple[str, str], ...] | None = None
        self.run = self._choice("Run of the cut sheet", self._pick_run)
        self.setup = self._choice("Height from a setup of the level book", self._pick_setup)
        self.rows = {field.name: Row(field, self) for field in FIELDS}
        for name, row in self.rows.items():
            row.label.setWordWrap(False)
            row.typed.connect(lambda value, name=name: self._set(name, value))
        grid = QGridLayout(self)
        grid.setContentsMargins(8, 6, 6, 4)
        grid.setHorizontalSpacing(5)
        grid.setVerticalSpacing(4)
        pairs = [(row.label, row.editor) for row in self.rows.values()]
        wide, short = [(QLabel("Run", self), self.run), (QLabel("Setup", self), self.setup), *pairs[:-2]], pairs[-2:]
        for line, (label, editor) in enumerate(wide):
            grid.addWidget(label, line, 0)
            grid.addWidget(editor, line, 1, 1, 3)
        for side, (label, editor) in enumerate(short):
            grid.addWidget(label, len(wide), 2 * side)
            grid.addWidget(editor, len(wide), 2 * side + 1)
            grid.setColumnStretch(2 * side + 1, 1)
        for at, row in enumerate(self.rows.values(), len(wide) + 1):
            grid.addWidget(row.fault, at, 0, 1, 4)

    def show(self, review: Review, run_id: str, runs: tuple[tuple[str, str], ...]) -> None:  # type: ignore[override]
        """Show how the job is laid; ``runs`` are (id, words) of the runs that have a cut sheet."""
        self._job, self._now = review.job, review.laying
        laying, units = review.laying, review.job.header.units
        for name, row in self.rows.items():
            row.show(getattr(laying, name), units)
        by_book = laying.setup is not None
        self.rows["instrument"].editor.setEnabled(not by_book)
        self.rows["instrument"].editor.setToolTip("As in the level book, for this setup" if by_book else "")
        self.rows["height_ft"].label.setText(HEIGHT_LABELS[laying.instrument])
        if runs != self._runs:
            self._runs = runs
            self.run.clear()
            for its_id, words in runs:
                self.run.addItem(words, its_id)
        self.run.setCurrentIndex(self.run.findData(run_id))
        self._show_setups(review)

    def _show_setups(self, review: Review) -> None:
        """Offer the setups that have a height, and the one that is read from whether it has one or not."""
        heights, chosen = review.book.heights_ft, review.laying.setup
        words = Words(units=review.job.header.units)
        found = tuple(
            (s.id, f"{_called(s, number)}: {words.level(heights[s.id]) if s.id in heights else 'no height'}")
            for number, s in enumerate(review.job.book.setups, 1)
            if s.id in heights or s.id == chosen
        )
        if found != self._setups:
            self._setups = found
            self.setup.clear()
            self.setup.addItem("typed" if found else "no setups yet", None)
            for its_id, said in found:
                self.setup.addItem(said, its_id)
        self.setup.setEnabled(bool(found))
        self.setup.setCurrentIndex(max(0, self.setup.findData(chosen)))

    def _choice(self, name: str, chosen: object) -> Choice:
        combo = Choice(self)
        combo.setAccessibleName(name)
        combo.setSizePolicy(QSizePolicy.Policy.Ignored, combo.sizePolicy().verticalPolicy())
        combo.activated.connect(chosen)
        return combo

    def _pick_run(self, index: int) -> None:
        self.run_chosen.emit(self.run.itemData(index))

    def _pick_setup(self, index: int) -> None:
        setup = self.setup.itemData(index)
        if setup is None and self._now.setup is not None:
            self._set("height_ft", self._now.height_ft)
        elif setup != self._now.setup:
            self._set("setup", setup)

    def _set(self, name: str, value: object) -> None:
        try:
            job = change_laying(self._job, **{name: value})
        except DrainsketchError as fault:
            self.rows[name].refuse(str(fault))
            return
        label = "Setup" if name == "setup" else self.rows[name].label.text()
        self.changed.emit(job, f"Change {label if label == 'HI' else label.lower()} of the cut sheet")


def _called(setup: Setup, number: int) -> str:
    """Return what a setup is called in the list: ``setup 3, string``."""
    name = plain(setup.name, SETUP_LENGTH) or f"setup {number}"
    return f"{name}, string" if setup.instrument == "string line" else name
