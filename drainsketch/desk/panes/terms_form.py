"""The form of the terms of a price: those of this job alone, those kept for all jobs, and where each value comes from."""

from decimal import Decimal, InvalidOperation
from typing import Any, Literal, Protocol

from msgspec.structs import asdict
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.panes.form import Choice
from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.panes.values import without_commas
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError, JobFileError
from drainsketch.files.price_terms import own_terms, parse_terms
from drainsketch.job.edits.pricing import change_terms
from drainsketch.job.price_terms import CHOICES, COUNTS, MOST_MARGIN_PCT, NUMBERS, fault_of, margin_fault
from drainsketch.takeoff.price.money import margin_of_markup, markup_of_margin, percent

Scope = Literal["job", "own"]
SCOPES: tuple[Scope, Scope] = ("job", "own")
DEFER = "Whether tax is due, on what, and how large a deposit may be is for the state and your accountant to say."
LABELS = {
    "overhead_pct": "Overhead on direct cost, %",
    "profit_as": "Profit as",
    "profit_pct": "Profit, %",
    "tax_pct": "Tax, %",
    "tax_on": "Tax on",
    "round_to": "Round to whole, $",
    "round_way": "Round",
    "deposit_pct": "Deposit, %",
    "valid_days": "Valid for, days",
    "crew": "Workers in the crew",
    "day_hours": "Hours in a day",
    "tool": "Digging by",
    "soil": "Soil",
    "worker_hour": "Labor rate, $/h",
    "truck_yd3": "Truck bed, cu yd",
    "truck_tons": "Truck may carry, tons",
    "spoil_tons_per_yd3": "Spoil weighs, tons per cu yd",
}
WORDS = {
    "mark-up": "mark-up on cost",
    "margin": "margin on the price",
    "sale": "what the customer pays",
    "cost": "what it costs you",
    "nearest": "to the nearest",
    "up": "up",
    "hand": "hand tools",
}
PAIR = ("profit_as", "profit_pct")


class Confirms(Protocol):
    """The one question that the form asks."""

    def confirm(self, question: str, more: str, yes: str) -> bool:
        """Ask a question with one way on and a Cancel."""


class TermsForm(QDialog):
    """All terms; empty fields leave a term to what stands otherwise. Nothing is written before OK, and then all of it or nothing."""

    def __init__(self, desk: PriceDesk, dialogs: Confirms, first: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._dialogs = dialogs
        self.setWindowTitle("Terms of the price")
        self._desk = desk
        self._example: dict[str, Any] = asdict(parse_terms(b"").terms)
        self._before: dict[Scope, dict[str, str]] = {"job": self._of_job(), "own": self._of_own()}
        self._texts = {scope: dict(texts) for scope, texts in self._before.items()}
        self._scope: Scope = "job"
        self.fields: dict[str, QLineEdit | QComboBox] = {}
        self._from: dict[str, QLabel] = {}
        self.scopes = {"job": QRadioButton("of this &job alone", self), "own": QRadioButton("for &all jobs", self)}
        self.scopes["job"].setChecked(True)
        self._group = QButtonGroup(self)
        self.both = QLabel(self)
        self.both.setProperty("quiet", True)
        self.fault = fault_line(self)
        self._lay_out()
        self._show_scope()
        if first in self.fields:
            self.fields[first].setFocus()

    def _of_job(self) -> dict[str, str]:
        terms = asdict(self._desk.session.job.pricing.terms)
        return {name: _written(value) for name, value in terms.items()}

    def _of_own(self) -> dict[str, str]:
        own = own_terms()
        return {name: _written(own.get(name)) for name in LABELS}

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(QLabel("These are the terms", self))
        for scope, button in self.scopes.items():
            self._group.addButton(button)
            button.toggled.connect(lambda on, scope=scope: self._turn(scope) if on else None)
            top.addWidget(button)
        top.addStretch(1)
        inner = QWidget(self)
        grid = QGridLayout(inner)
        grid.setContentsMargins(0, 0, 6, 0)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(1, 1)
        line = 0
        for name, label in LABELS.items():
            said = QLabel(label, inner)
            editor = self._editor(name, inner)
            said.setBuddy(editor)
            editor.setAccessibleName(label)
            self.fields[name] = editor
            self._from[name] = QLabel(inner)
            grid.addWidget(said, line, 0)
            grid.addWidget(editor, line, 1)
            grid.addWidget(self._from[name], line, 2)
            line += 1
            if name == PAIR[1]:
                grid.addWidget(self.both, line, 1, 1, 2)
                line += 1
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(inner)
        note = QLabel(DEFER, self)
        note.setWordWrap(True)
        note.setProperty("quiet", True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self._take)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.addLayout(top)
        box.addWidget(area, 1)
        for part in (note, self.fault, buttons):
            box.addWidget(part)
        self.resize(600, 690)

    def _editor(self, name: str, parent: QWidget) -> QLineEdit | QComboBox:
        if name in CHOICES:
            combo = Choice(parent)
            combo.addItem("", "")
            for choice in CHOICES[name]:
                combo.addItem(WORDS.get(choice, choice), choice)
            combo.currentIndexChanged.connect(lambda _: self._note(name, str(combo.currentData() or "")))
            return combo
        line = QLineEdit(parent)
        line.textEdited.connect(lambda text: self._note(name, text.strip()))
        return line

    def _note(self, name: str, text: str) -> None:
        self._texts[self._scope][name] = text
        self._show_sources()

    def _turn(self, scope: Scope) -> None:
        self._scope = scope
        self._show_scope()

    def _show_scope(self) -> None:
        texts = self._texts[self._scope]
        for name, editor in self.fields.items():
            editor.blockSignals(True)
            other = self._otherwise(name)
            if isinstance(editor, QComboBox):
                editor.setItemText(0, f"not set: {WORDS.get(other, other)}")
                editor.setCurrentIndex(max(0, editor.findData(texts[name])))
            else:
                editor.setPlaceholderText(other or "as in the price book")
                editor.setText(texts[name])
            editor.blockSignals(False)
        self._show_sources()

    def _otherwise(self, name: str) -> str:
        """Return what stands where the shown scope says nothing."""
        own = self._texts["own"][name] if self._scope == "job" else ""
        return own or _written(self._example[name])

    def _show_sources(self) -> None:
        tones = tones_of(self)
        for name, label in self._from.items():
            of_job, own = self._texts["job"][name], self._texts["own"][name]
            book = name == "worker_hour"
            said = "this job" if of_job else "yours" if own else "price book" if book else "example, nobody set it"
            label.setText(said)
            label.setStyleSheet(f"color: {tones.settle if said.startswith('example') else tones.quiet};")
        self.both.setText(self._profit())

    def _profit(self) -> str:
        """Return the profit both ways; '' while it cannot be read."""
        said = {
            name: self._texts["job"][name] or self._texts["own"][name] or _written(self._example[name]) for name in PAIR
        }
        try:
            pct = _read("profit_pct", said["profit_pct"])
        except DrainsketchError:
            return ""
        if said["profit_as"] == "margin":
            if pct > MOST_MARGIN_PCT:
                return ""
            margin, markup = pct, markup_of_margin(pct)
        else:
            margin, markup = margin_of_markup(pct), pct
        return f"{percent(margin)} margin on the price = {percent(markup)} mark-up on cost"

    def _take(self) -> None:
        try:
            read = {scope: self._checked(scope) for scope in SCOPES}
            own = {name: read["own"].get(name) for name in self._changed("own")}
            job = change_terms(self._desk.session.job, **{n: _plain(read["job"].get(n)) for n in self._changed("job")})
            if own:
                self._desk.keep_terms(own)
        except DrainsketchError as fault:
            self.fault.setText(str(fault))
            self.fault.show()
            return
        if job is not self._desk.session.job:
            self._desk.apply(job, "Change the terms of the price")
        self.accept()

    def reject(self) -> None:
        """Close without taking anything; what was typed is asked about."""
        if self._texts != self._before and not self._dialogs.confirm(
            "Close the terms without taking what was changed in them?", "The terms stay as they were.", "Close"
        ):
            return
        super().reject()

    def _changed(self, scope: Scope) -> list[str]:
        """Return the terms that were typed over; a profit goes as a pair."""
        names = [n for n in LABELS if self._texts[scope][n] != self._before[scope][n]]
        return [*names, *(n for n in PAIR if n not in names)] if any(n in PAIR for n in names) else names

    def _checked(self, scope: Scope) -> dict[str, Any]:
        """Return the terms of a scope. Raises JobFileError, which names the first that cannot be."""
        texts = self._texts[scope]
        read = {name: _read(name, text) for name, text in texts.items() if text}
        there = [name for name in PAIR if name in read]
        if len(there) == 1:
            wanted = next(n for n in PAIR if n not in read)
            self._point_out(scope, wanted)
            raise JobFileError(
                f"{LABELS[wanted]}: say the profit as mark-up or as margin, and how much, both together."
            )
        if there and (wrong := margin_fault(read["profit_as"], read["profit_pct"])):
            self._point_out(scope, "profit_pct")
            raise JobFileError(f"{LABELS['profit_pct']}: {wrong}")
        return read

    def _point_out(self, scope: Scope, name: str) -> None:
        self.scopes[scope].setChecked(True)
        self.fields[name].setFocus()


def _written(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    return f"{Decimal(str(value)).normalize():f}"


def _read(name: str, text: str) -> Any:
    """Return a term that was typed. Raises JobFileError with a sentence that names it."""
    if name in CHOICES:
        return text
    try:
        number: Any = Decimal(without_commas(text.replace("$", "").replace("%", "").strip()))
    except (InvalidOperation, ValueError):
        number = None
    if number is None or not number.is_finite():
        low = COUNTS[name][0] if name in COUNTS else NUMBERS[name][0]
        raise JobFileError(f'{LABELS[name]}: "{text[:20]}" is no number; write it like {low}.')
    if name in COUNTS and number == number.to_integral_value() and abs(number) < 10_000:
        number = int(number)
    if wrong := fault_of(name, number):
        raise JobFileError(f"{LABELS[name]}: {wrong}.")
    return number


def _plain(value: Any) -> Any:
    """Return a term as the job file holds it."""
    return float(value) if isinstance(value, Decimal) else value
