"""The work plan in words, for window, paper and terminal alike; every sentence from ``resources/translations/*/workplan.toml``."""

from datetime import date
from decimal import Decimal
from math import ceil
from typing import Any

from drainsketch.resources import table
from drainsketch.takeoff.workplan.dates import WEEKDAYS
from drainsketch.takeoff.workplan.results import Note, PlannedWork, Task, WorkDay
from drainsketch.wording import Words

RAIN = ("close_first", "low_end", "plug", "spoil", "walls", "depth", "bed_again", "law")
_NAMED = ("things", "runs")  # params that are ids


class Sayings:
    """Says a work plan with the words of a job."""

    def __init__(self, words: Words) -> None:
        self.words = words
        self._table: dict[str, Any] = table(f"translations/{words.lang}/workplan.toml")

    def word(self, key: str, /, **params: Any) -> str:
        """Return a word of the table by its dotted key."""
        return self.words.word(f"workplan.{key}", **params)

    def date(self, day: date, *, short: bool = False) -> str:
        """Return a day with its weekday; a short one has no year."""
        month, weekday = self.word(f"month.{day.month}"), self.word(f"weekday.{WEEKDAYS[day.weekday()]}")
        return self.word("short_date" if short else "date", weekday=weekday, month=month, day=day.day, year=day.year)

    def day(self, day: WorkDay, *, short: bool = False) -> str:
        """Return the heading of a day; a short one leaves the year out."""
        if day.day is None:
            return self.word("day", number=day.number)
        return self.word("dated", number=day.number, date=self.date(day.day, short=short))

    def hours(self, hours: Decimal | None) -> str:
        """Return hours to the hundredth, '' for none counted."""
        return "" if hours is None else self.word("hours", hours=f"{hours:.2f}")

    def task(self, task: Task) -> str:
        """Return what a task is called."""
        spot = task.owner and task.from_ft is None and task.kind in self._table["spot"]
        return self.word(f"{'spot' if spot else 'task'}.{task.kind}")

    def where(self, task: Task, *, short: bool = False) -> str:
        """Return where a task is done: a stretch of a run, a structure, the crossings; '' for the whole job."""
        if task.from_ft is not None and task.to_ft is not None:
            key = "short_span" if short else "span"
            said = self.word(key, run=self.words.name(task.owner), from_ft=task.from_ft, to_ft=task.to_ft)
        else:
            said = self.words.name(task.owner) if task.owner else ""
        if task.crossings:
            crossed = self.word("crossing", numbers=tuple(str(n) for n in task.crossings))
            said = f"{said}, {crossed}" if said else crossed
        return said

    def craft(self, kind: str) -> str:
        """Return the craft of a task, common practice."""
        return self.word(f"craft.{kind}")

    def hold(self, where: str, tolerance_in: float) -> str:
        """Return what a hold point asks for, somewhere."""
        return self.word("hold_what", where=where, tolerance=self.words.inches(tolerance_in))

    def note(self, note: Note) -> tuple[str, str]:
        """Return what a note says, and what can be done."""
        said = {key: self._param(key, value) for key, value in note.params}
        return self.word(f"note.{note.kind}.text", **said), self.word(f"note.{note.kind}.remedy", **said)

    def ticket(self, plan: PlannedWork) -> list[str]:
        """Return the lines that say how the ticket stands; the cautions stand beside them."""
        ticket = plan.ticket
        lines = [self.word("ticket.number", number=ticket.number)] if ticket.number else []
        unknown = self.word("ticket.unknown")
        dated = (("asked", ticket.asked), ("ready", ticket.ready), ("good", ticket.good_through))
        lines += [self.word(f"ticket.{key}", date=self.date(day) if day else unknown) for key, day in dated]
        if ticket.ask_again_by is not None:
            lines.append(self.word("ticket.again", date=self.date(ticket.ask_again_by)))
        return lines

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what is always said of a ticket: how its days are counted, who decides, what it does not mark."""
        return self.word("ticket.rule"), self.word("ticket.law"), self.word("ticket.private")

    def crew(self, plan: PlannedWork) -> str:
        """Return who works how long."""
        return self.word(
            "crew",
            crew=plan.crew,
            day_hours=f"{plan.day_hours.normalize():f}",
            hours=f"{plan.hours:.2f}",
            days=len(plan.days),
        )

    def paces(self, plan: PlannedWork) -> str:
        """Return how many feet of each run a day opens and closes; '' where nobody knows."""
        if not plan.paces:
            return ""
        said = (self.word("pace", run=self.words.name(p.run_id), ft=int(p.ft_day)) for p in plan.paces)
        return self.word("paces", paces=", ".join(said))

    def unplanned(self, plan: PlannedWork) -> str:
        """Return which hours stand on no day; '' where all do."""
        if not plan.unplanned:
            return ""
        things = ", ".join(self.words.name(owner) if owner else self.word("whole") for owner, _ in plan.unplanned)
        hours = sum((hours for _, hours in plan.unplanned), Decimal(0))
        return self.word("unplanned", things=things, hours=f"{hours:.2f}")

    def rain(self, plan: PlannedWork) -> list[str]:
        """Return what to do when rain comes, with the numbers of the job first."""
        wettest = plan.wettest
        if wettest is None:
            return []
        first = self.word("rain.open_most", open_ft=ceil(wettest.open_ft), number=wettest.number)
        return [first, *(self.word(f"rain.{key}") for key in RAIN)]

    def open(self, day: WorkDay) -> str:
        """Return how much trench lies open on a day, in whole feet; '' where none does."""
        return self.word("open", open_ft=ceil(day.open_ft)) if day.open_ft > 0 else ""

    def overnight(self, day: WorkDay) -> str:
        """Return what a day leaves open; '' where nothing."""
        if not day.overnight:
            return ""
        return self.word("overnight", things=tuple(self.words.name(i) for i in day.overnight))

    def _param(self, key: str, value: Any) -> Any:
        if isinstance(value, date):
            return self.date(value)
        if key in _NAMED:
            return tuple(self.words.name(i) for i in value)
        return value
