"""What ``workplan --json`` prints: documented, versioned, stable.

Lengths, stations and levels are feet, hours decimal numbers of the crew as text ('7.13'), days as 2026-05-04 or null. Version 1: keys may be
added, never removed or bent, within a version.
"""

from datetime import date
from decimal import Decimal
from typing import Any, Literal

import msgspec
from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.review import Review
from drainsketch.takeoff.workplan.results import PlannedWork, Task
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words

VERSION = 1


class TaskRow(Struct, frozen=True):
    """A task; ``hours`` is null where the price counts none. ``hold``: nothing goes on before it has passed."""

    key: str
    text: str
    where: str
    craft: str
    craft_source: str
    hours: Decimal | None
    owner: str
    ids: tuple[str, ...]
    stretch: int  # 0 for none
    from_ft: float | None
    to_ft: float | None
    crossings: tuple[int, ...]
    hold: bool
    goes_on: bool


class DayRow(Struct, frozen=True):
    """A day of work; ``open_ft`` is all trench that lies open at any time of it, ``overnight`` what stays open at its end."""

    number: int
    date: date | None
    hours: Decimal
    open_ft: float
    spoil_yd3: float  # what is dug and does not go back, in the bank
    hauled_yd3: float  # of it what is hauled off; the rest is spread on the yard
    loads: int
    spoil_gone: int
    overnight: tuple[str, ...]
    tasks: tuple[TaskRow, ...]


class StretchRow(Struct, frozen=True):
    """A stretch of trench opened and closed together; ``low`` is its downstream end in plan, where water gathers."""

    number: int
    run: str
    from_ft: float
    to_ft: float
    deepest_ft: float
    low: Point
    low_ground_ft: float
    low_bottom_ft: float
    opened: int
    closed: int


class PaceRow(Struct, frozen=True):
    """How fast a run is dug, laid, checked and closed: crew hours a foot, and the feet of it that a day holds."""

    run: str
    hours_ft: float
    ft_day: float


class TicketRow(Struct, frozen=True):
    """The locate ticket by what was typed in; null is not known."""

    number: str
    asked: date | None
    ready: date | None
    good_through: date | None
    ask_again_by: date | None
    cautions: tuple[str, ...]


class NoteRow(Struct, frozen=True):
    """Something to know, or to settle before the work begins."""

    level: Literal["stop", "settle", "note"]
    kind: str
    text: str
    remedy: str
    ids: tuple[str, ...]


class UnplannedRow(Struct, frozen=True):
    """Hours of the price that stand on no day; the owner is '' for the whole job."""

    owner: str
    hours: Decimal


class WorkPlanReport(Struct, frozen=True):
    """The work of a job. The hours of all days and of what is unplanned add up to ``hours``, the crew hours of the price."""

    format: Literal["drainsketch-workplan"]
    version: int
    crew: int
    day_hours: Decimal
    hours: Decimal
    tolerance_in: float
    ticket: TicketRow
    notes: tuple[NoteRow, ...]
    days: tuple[DayRow, ...]
    stretches: tuple[StretchRow, ...]
    paces: tuple[PaceRow, ...]
    unplanned: tuple[UnplannedRow, ...]
    rain: tuple[str, ...]


def work_plan_report(review: Review, plan: PlannedWork, lang: str = "en") -> WorkPlanReport:
    """Return a work plan as ``workplan --json`` prints it."""
    say = Sayings(Words.of(review.job, lang))
    ticket = plan.ticket
    return WorkPlanReport(
        format="drainsketch-workplan",
        version=VERSION,
        crew=plan.crew,
        day_hours=plan.day_hours,
        hours=plan.hours,
        tolerance_in=plan.tolerance_in,
        ticket=TicketRow(
            *(ticket.number, ticket.asked, ticket.ready, ticket.good_through, ticket.ask_again_by, say.cautions)
        ),
        notes=tuple(NoteRow(n.level, n.kind, *say.note(n), n.ids) for n in plan.notes),
        days=tuple(
            DayRow(
                *(d.number, d.day, d.hours, d.open_ft, d.spoil_yd3, d.hauled_yd3, d.loads, d.spoil_gone, d.overnight),
                tuple(_task(t, say) for t in d.tasks),
            )
            for d in plan.days
        ),
        stretches=tuple(
            StretchRow(
                *(s.number, s.run_id, s.from_ft, s.to_ft, s.deepest_ft),
                *(s.low, s.low_ground_ft, s.low_bottom_ft, s.opened, s.closed),
            )
            for s in plan.stretches
        ),
        paces=tuple(PaceRow(p.run_id, p.hours_ft, p.ft_day) for p in plan.paces),
        unplanned=tuple(UnplannedRow(owner, hours) for owner, hours in plan.unplanned),
        rain=tuple(say.rain(plan)),
    )


def work_plan_json(report: WorkPlanReport) -> str:
    """Return a report as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(report), indent=2).decode()


def work_plan_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``workplan --json`` prints."""
    return msgspec.json.schema(WorkPlanReport)


def _task(task: Task, say: Sayings) -> TaskRow:
    return TaskRow(
        key=task.kind,
        text=say.task(task),
        where=say.where(task),
        craft=say.craft(task.kind),
        craft_source=say.word("common"),
        hours=task.hours,
        owner=task.owner,
        ids=task.ids,
        stretch=task.stretch,
        from_ft=task.from_ft,
        to_ft=task.to_ft,
        crossings=task.crossings,
        hold=task.is_hold,
        goes_on=task.goes_on,
    )
