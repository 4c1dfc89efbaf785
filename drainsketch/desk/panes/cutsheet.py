"""The cut sheet: what to dig and what to read at every station, and the readings on the laid pipe."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from drainsketch.desk.panes.cut_form import CutForm
from drainsketch.desk.panes.cut_rows import NOT_SHOT, both_notations, pane_rows, verdict_words
from drainsketch.desk.panes.cut_table import CutTable
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.job.edits.laying import laid_reading, read_laid, unread_laid
from drainsketch.job.model import Job
from drainsketch.job.units import parse_length_ft
from drainsketch.review import cut_sheet_of
from drainsketch.wording import Words

FORM_PX = 264
EMPTY = "The cut sheet of a run appears here: shoot levels, then draw runs from an inlet to an outfall."

NO_HEIGHT = "The setup has no height now: read its backsight in the level book, or type a height here."
CANNOT_DRAIN = "No cut sheet: the water cannot drain as drawn, so there is no level to dig to. The findings say why."


class CutSheetPane(QWidget):
    """Cut sheet and as-laid readings of a run; it follows the selection."""

    place_chosen = Signal(tuple, tuple)  # ids, plan point

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._run = ""
        self._quiet = False  # rows change by themselves; nobody chose one
        self.form = CutForm(self)
        self.table = CutTable(self)
        self.verdict = _line(self)
        self.fault = _line(self)
        self.fault.setAccessibleName("What is wrong with the typing")
        self.fault.hide()
        self.empty = QLabel(EMPTY, self)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setWordWrap(True)
        self.empty.setProperty("quiet", True)
        self._lay_out()
        self.form.changed.connect(session.apply)
        self.form.run_chosen.connect(self._choose_run)
        self.table.cuts.typed.connect(self._read)
        self.table.why_not = self._why_not
        self.table.said.connect(self._say)
        self.table.row_chosen.connect(self._show_place)
        session.changed.connect(self.refresh)
        session.selected.connect(self._follow)
        self.refresh()

    @property
    def run(self) -> str:
        """The run whose cut sheet is shown; '' for none."""
        return self._run

    def refresh(self) -> None:
        """Show the cut sheet of the run, once it is to be seen."""
        if not self.isVisible():
            return
        review = self._session.review
        workable = review.workable
        runs = tuple((f.id, f"{f.id}, {f.upstream} to {f.downstream}") for f in review.network.runs if f.id in workable)
        ids = [run for run, _ in runs]
        self.empty.setText(CANNOT_DRAIN if review.grades else EMPTY)
        if self._run not in ids:
            self._run = ids[0] if ids else ""
        sheet = cut_sheet_of(review, self._run) if self._run else None
        for part, on in ((self.left, sheet is not None), (self.right, sheet is not None), (self.empty, sheet is None)):
            part.setVisible(on)
        if sheet is None:
            return
        words = Words(units=review.job.header.units)
        self.form.show(review, self._run, runs)
        self._quiet = True
        self.table.cuts.show_rows(pane_rows(review, sheet))
        self._quiet = False
        sign, said = verdict_words(review.laid.get(self._run), words)
        mark = {"holds": "✓ ", "lay again": "✗ "}.get(sign, "")
        troubles = [r for r in sheet.rows if r.trouble]
        if sheet.height_ft is None:
            ask = "Type the height to see what to read." if review.laying.setup is None else NO_HEIGHT
            said = ask if said == NOT_SHOT else f"{ask} {said}"
        elif troubles:
            said = f"{said} {_trouble_words(troubles[0].trouble, words.length(troubles[0].station_ft))}"
        self.verdict.setText(f"{self._run}: {mark}{said}")
        tones = tones_of(self)
        color = tones.stop if sign == "lay again" else tones.text
        self.verdict.setStyleSheet(f"font-weight: bold; color: {color};")

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the review and the selection."""
        super().showEvent(event)
        self._follow()
        self.refresh()

    def _lay_out(self) -> None:
        self.left = QScrollArea(self)
        self.left.setWidget(self.form)
        self.left.setWidgetResizable(True)
        self.left.setFixedWidth(FORM_PX)
        self.left.setFrameShape(QFrame.Shape.NoFrame)
        self.left.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.right = QWidget(self)
        column = QVBoxLayout(self.right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for part in (self.verdict, self.fault):
            column.addWidget(part)
        column.addWidget(self.table, 1)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        line.addWidget(self.left)
        line.addWidget(self.right, 1)
        line.addWidget(self.empty, 1)

    def _follow(self) -> None:
        """Turn to the run that is selected, or to the one that leaves a selected structure."""
        for its_id in self._session.selection:
            for flow in self._session.review.network.runs:
                if its_id in (flow.id, flow.upstream) and flow.id in self._session.review.workable:
                    self._choose_run(flow.id)
                    return

    def _choose_run(self, run: str) -> None:
        if run != self._run:
            self._run = run
            self._say("")
            self.refresh()

    def _read(self, row: int, text: str) -> None:
        """Take what was typed as the reading of a row."""
        why = self._why_not(row, text)
        self.table.refused = bool(why)
        self._say(why)
        if why:
            return
        job, station = self._session.job, self.table.cuts.rows[row].station_ft
        at, changed = self._at(row), self._reading(job, station, text)
        self._session.apply(changed, f"Read {at}" if text else f"Take off the reading of {at}")
        reading = laid_reading(changed, self._run, station)
        if reading is not None:
            self._session.tell(f"{at}: {both_notations(reading.reading_ft, Words(units=job.header.units))}.")

    def _at(self, row: int) -> str:
        """Return what a row is called in a sentence."""
        return (
            f"{self._run} at {Words(units=self._session.job.header.units).length(self.table.cuts.rows[row].station_ft)}"
        )

    def _why_not(self, row: int, text: str) -> str:
        """Return why a text is no reading of a row, '' where it can be."""
        try:
            self._reading(self._session.job, self.table.cuts.rows[row].station_ft, text.strip())
        except DrainsketchError as fault:
            return f"{self._at(row)}: {fault}"
        return ""

    def _reading(self, job: Job, station_ft: float, text: str) -> Job:
        if not text:
            return unread_laid(job, self._run, station_ft)
        if job.laying.setup is not None and self._session.review.laying.height_ft is None:
            raise EditError(NO_HEIGHT)
        return read_laid(job, self._run, station_ft, parse_length_ft(text, job.header.units))

    def _say(self, sentence: str) -> None:
        self.fault.setText(sentence)
        self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
        self.fault.setVisible(bool(sentence))

    def _show_place(self, row: int) -> None:
        """Show on the plan where the chosen row is, when somebody chose it."""
        if self._quiet or not 0 <= row < len(self.table.cuts.rows) or not self.table.hasFocus():
            return
        point = self.table.cuts.rows[row].point
        if point is not None:
            self.place_chosen.emit((), point)


def _line(parent: QWidget) -> QLabel:
    label = QLabel(parent)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setContentsMargins(8, 4, 8, 3)
    return label


def _trouble_words(trouble: str, station: str) -> str:
    if trouble == "above the line":
        return f"Set up again for station {station}: the pipe is above the line of sight."
    return f"Set up again for station {station}: the reading is longer than a 25 ft rod."
