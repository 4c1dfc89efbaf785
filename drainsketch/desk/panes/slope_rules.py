"""Slope limits of single kinds and sizes of pipe: a small form for each, one added and one taken away at a time."""

from functools import partial
from typing import get_args

from msgspec.structs import replace
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from drainsketch.desk.panes.fields import PIPE_WORDS, Field
from drainsketch.desk.panes.form import Form
from drainsketch.desk.panes.values import Value
from drainsketch.desk.session import Session
from drainsketch.job.edits.change import change_criteria
from drainsketch.job.kinds import PipeDiameter
from drainsketch.job.limits import SlopeRule

SIZES = tuple((size, f"{size} in") for size in get_args(PipeDiameter))
FIELDS = (
    Field("pipe", "Pipe", "choice", choices=PIPE_WORDS),
    Field("diameter_in", "Diameter", "choice", blank="every size", choices=SIZES),
    Field("min_slope", "Least slope", "slope"),
    Field("max_slope", "Greatest slope", "slope"),
)


class SlopeRules(QWidget):
    """The slope limits by pipe of the job; where two hold for a run, the one for its size counts."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.forms: list[Form] = []
        self._rows: list[QWidget] = []
        self.add = QPushButton("Add Slope Limits for a Pipe", self)
        self.add.setToolTip("Slope limits of one kind of pipe, or of one size of it, in place of those above")
        self.add.clicked.connect(self._add)
        title = QLabel("Slope limits by pipe")
        title.setProperty("quiet", True)
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.addWidget(title)
        self._box.addWidget(self.add)

    def show_values(self) -> None:
        """Show the rules as they are now; forms stay while their number does, so that typing goes on."""
        rules = self._session.job.criteria.slope_rules
        if len(rules) != len(self.forms):
            for row in self._rows:
                row.setParent(None)
                row.deleteLater()
            self.forms, self._rows = [], []
            for at in range(len(rules)):
                self._box.insertWidget(self._box.count() - 1, self._row(at))
        for rule, form in zip(rules, self.forms, strict=True):
            form.show_values(partial(getattr, rule), self._session.job.header.units)

    def _row(self, at: int) -> QWidget:
        row = QWidget(self)
        form = Form(FIELDS, lambda field, value: self._write(at, field, value))
        remove = QPushButton("Remove These Limits", row)
        remove.clicked.connect(lambda: self._remove(at))
        box = QVBoxLayout(row)
        box.setContentsMargins(0, 4, 0, 4)
        box.addWidget(form)
        box.addWidget(remove)
        self.forms.append(form)
        self._rows.append(row)
        return row

    def _write(self, at: int, field: Field, value: Value) -> None:
        rules = list(self._session.job.criteria.slope_rules)
        rules[at] = replace(rules[at], **{field.name: value})
        self._take(tuple(rules), f"Change {field.label.lower()} of a pipe")

    def _add(self) -> None:
        c = self._session.job.criteria
        new = SlopeRule(pipe="corrugated", min_slope=c.min_slope, max_slope=c.max_slope)
        self._take((*c.slope_rules, new), "Add slope limits for a pipe")

    def _remove(self, at: int) -> None:
        rules = self._session.job.criteria.slope_rules
        self._take((*rules[:at], *rules[at + 1 :]), "Remove slope limits of a pipe")

    def _take(self, rules: tuple[SlopeRule, ...], label: str) -> None:
        self._session.apply(change_criteria(self._session.job, slope_rules=rules), label)
