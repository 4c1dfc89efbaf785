"""The work of the job as a form: the locate ticket, the first day, which days are worked, how much may lie open."""

import re
from typing import Any, get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QVBoxLayout, QWidget

from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.values import Value
from drainsketch.desk.session import Session
from drainsketch.errors import EditError
from drainsketch.job.edits.change import change_part
from drainsketch.job.work import Weekday
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words

DEFER = "State law and the one-call center decide these days. Type them as they tell you: 811. Days to wait are full days after the day asked; digging begins after the last of them."
WHOLE = ("ticket_wait_days", "ticket_good_days", "lawn_spoil_days")
DATE = "year-month-day"
TICKET = (
    Field("ticket_asked", "Ticket asked", "date", blank=DATE),
    Field("ticket_number", "Ticket number", "text", blank="none yet"),
    Field("ticket_wait_days", "Days to wait", "number", blank="not said"),
    Field("wait_in_workdays", "Count the wait in workdays", "flag"),
    Field("ticket_good_days", "Days marks hold, from the request", "number", blank="not said"),
)
WORK = (
    Field("start", "First day of work", "date", blank=DATE),
    Field("days_off", "Days off, state holidays", "text", blank="2026-05-25, 2026-07-03"),
    Field(
        "order",
        "Order",
        "choice",
        choices=(("outfall first", "outfall first"), ("basins first", "basins first")),
    ),
    Field("open_ft_day", "Most trench opened a day", "length", blank="what can be closed"),
    Field("lawn_spoil_days", "Days spoil may lie on lawn", "number"),
)
BOUNDS = {
    "ticket_wait_days": "A wait is 0 to 365 whole days; the old value is kept.",
    "ticket_good_days": "Marks hold 0 to 365 whole days; the old value is kept.",
    "lawn_spoil_days": "Spoil may lie 0 to 60 whole days; the old value is kept.",
    "ticket_number": "A ticket number has 200 characters at most; the old one is kept.",
    "days_off": "At most 100 days off can be typed; the old ones are kept.",
}


class WorkForm(QWidget):
    """Ticket above, days below."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.ticket = Form(TICKET, self._write, self)
        self.days = Weekdays(self)
        self.work = Form(WORK, self._write, self)
        rule = Sayings(Words.of(session.job)).word("ticket.rule")
        for name in ("ticket_wait_days", "wait_in_workdays", "ticket_good_days"):
            self.ticket.row(name).explain(rule)
        for form in (self.ticket, self.work):
            grid = form.layout()
            assert isinstance(grid, QGridLayout)  # a form is a grid
            grid.setColumnStretch(0, 6)
            grid.setColumnStretch(1, 5)
        note = QLabel(DEFER, self)
        note.setWordWrap(True)
        note.setProperty("quiet", True)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(column(note, self.ticket, self.days, self.work, spacing=6, margins=(10, 6, 10, 8)))
        box.addStretch(1)
        self.days.chosen.connect(self._write_days)

    def show_values(self) -> None:
        """Show the work of the job as it is now."""
        job = self._session.job
        values: dict[str, Value] = {
            name: getattr(job.work, name) for name in job.work.__struct_fields__ if name not in ("workdays", "days_off")
        }
        values["days_off"] = ", ".join(job.work.days_off)
        for form in (self.ticket, self.work):
            form.show_values(lambda name: values[name], job.header.units)
        self.days.show_days(job.work.workdays)

    def _write(self, field: Field, value: Value) -> None:
        self._change(field.name, _days_typed(str(value or "")) if field.name == "days_off" else value, field.label)

    def _write_days(self, days: tuple[Weekday, ...]) -> None:
        self._change("workdays", days, "Days of work")

    def _change(self, name: str, value: Any, label: str) -> None:
        if name in WHOLE and isinstance(value, float):
            if not value.is_integer():
                raise EditError(BOUNDS[name])
            value = int(value)
        try:
            job = change_part(self._session.job, "work", **{name: value})
        except EditError as fault:
            raise EditError(_said(name, str(fault))) from fault
        self._session.apply(job, f"Change {label[:1].lower()}{label[1:]}")


class Weekdays(QWidget):
    """A box for each weekday; one at the least stays ticked."""

    chosen = Signal(tuple)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.boxes: dict[Weekday, QCheckBox] = {}
        label = QLabel("Days of work", self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(0)
        grid.addWidget(label, 0, 0, 1, 4)
        for i, day in enumerate(get_args(Weekday)):
            box = QCheckBox(day, self)
            box.setMinimumHeight(26)
            box.setAccessibleName(f"Work on {day}")
            box.clicked.connect(self._clicked)
            self.boxes[day] = box
            grid.addWidget(box, 1 + i // 4, i % 4)

    def show_days(self, days: tuple[Weekday, ...]) -> None:
        """Tick the days that are worked; the last one cannot be taken off."""
        for day, box in self.boxes.items():
            box.setChecked(day in days)
            box.setEnabled(days != (day,))
            box.setToolTip("One day of the week is worked at the least" if days == (day,) else "")

    def _clicked(self) -> None:
        self.chosen.emit(tuple(day for day, box in self.boxes.items() if box.isChecked()))


def _days_typed(text: str) -> tuple[str, ...]:
    """Return days written one after the other, in order and each once."""
    days = [day for day in re.split(r"[,;\s]+", text.strip()) if day]
    for day in days:
        if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", day):
            raise EditError(
                f'"{day}" is not a date; write year-month-day, for example 2026-05-25, and a comma between days.'
            )
    return tuple(sorted(set(days)))


def _said(name: str, sentence: str) -> str:
    """Return why a value was refused in the words of the form: a day that is none is named as it was typed."""
    _, _, said = sentence.partition(": ")
    return f"{said[:1].upper()}{said[1:]}." if "calendar" in said else BOUNDS.get(name, sentence)
