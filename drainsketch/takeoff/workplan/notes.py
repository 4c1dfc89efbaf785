"""What has to be said of a work plan besides the ticket: what is left open, not seen, not planned, not counted."""

from collections.abc import Collection, Sequence
from datetime import date

from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.work import WorkPlan
from drainsketch.network.results import Crossing
from drainsketch.takeoff.price.digging import ONLY_TRENCHES, machine_hours
from drainsketch.takeoff.price.hauling import DAYS, whole_days
from drainsketch.takeoff.price.results import PricedLine
from drainsketch.takeoff.workplan.dates import day_of
from drainsketch.takeoff.workplan.filling import LEAST_FT, MOST_DAYS
from drainsketch.takeoff.workplan.results import Note, Task, WorkDay
from drainsketch.takeoff.works import Works


def notes_of(
    works: Works,
    days: Sequence[WorkDay],
    labor: Sequence[PricedLine],
    not_workable: Collection[str],
    hidden: Sequence[Crossing],
    left: Sequence[str],
    terms: PriceTerms,
    *,
    too_long: bool = False,
) -> list[Note]:
    """Return what has to be said of planned days.

    Parameters
    ----------
    labor : lines of the price
    not_workable : runs whose pipe cannot be laid as it lies, and the structures at their ends
    hidden : crossings of services that nobody saw there
    left : runs and structures that could not be planned
    terms : of the price
    too_long : there are no days, since there would be too many
    """
    work = works.job.work
    notes = list(_of_start(work, [d.day for d in days]))
    if work.open_ft_day is not None and work.open_ft_day < LEAST_FT:
        notes.append(Note("limit_small", "note", (("least", LEAST_FT),)))
    lost = tuple(w.run.id for w in works.runs if w.run.id in not_workable)
    if lost:
        notes.append(Note("not_workable", "stop", (("runs", lost),), lost))
    planned = {task.owner for day in days for task in day.tasks}
    idle = [*(w.run.id for w in works.runs if w.run.id not in planned), *filter(None, left)]
    out = tuple(dict.fromkeys(i for i in idle if i not in not_workable))
    if out and days:
        notes.append(Note("not_planned", "settle", (("things", out),), out))
    if hidden:
        ids = tuple(dict.fromkeys(i for c in hidden for i in (c.run_id, c.other)))
        numbers = tuple(str(c.number) for c in hidden)
        notes.append(Note("not_seen", "settle", (("numbers", numbers),), ids))
    open_at = [day for day in days if day.overnight]
    if open_at:
        ids = tuple(dict.fromkeys(i for day in open_at for i in day.overnight))
        numbers = tuple(str(day.number) for day in open_at)
        notes.append(Note("left_open", "settle", (("numbers", numbers), ("things", ids)), ids))
    notes += [*_of_spoil(work, days), *_of_machine(days, labor, terms)]
    unknown = sum(line.group == "labor" and line.quantity is None and line.why != "no_depth" for line in labor)
    if unknown:
        notes.append(Note("hours_unknown", "settle", (("lines", unknown),)))
    if days:
        if any(row.per_hour is not None and row.whose == "example" for line in labor for row in line.rows):
            notes.append(Note("example_rates", "note"))
        notes.append(Note("not_counted", "note"))
    elif too_long:
        notes.append(Note("too_long", "settle", (("days", MOST_DAYS),)))
    elif not lost:
        notes.append(Note("nothing", "note"))
    return notes


def _of_start(work: WorkPlan, dates: Sequence[date | None]) -> list[Note]:
    start = day_of(work.start)
    if start is None:
        return [Note("start_unsaid", "note")]
    if dates and dates[0] is not None and dates[0] != start:
        return [Note("start_is_off", "note", (("start", start), ("day", dates[0])))]
    if dates and dates[-1] is None:
        return [Note("calendar_ends", "settle")]
    return []


def _of_machine(days: Sequence[WorkDay], labor: Sequence[PricedLine], terms: PriceTerms) -> list[Note]:
    """Return a note where the machine digs on more days than the price holds of it, since other work is done in between."""
    if terms.tool not in DAYS:
        return []
    digs = [day for day in days if any(_by_machine(task, terms) for task in day.tasks)]
    priced = whole_days(machine_hours(labor), terms)
    return [Note("machine_days", "note", (("days", len(digs)), ("priced", priced)))] if len(digs) > priced > 0 else []


def _by_machine(task: Task, terms: PriceTerms) -> bool:
    in_trench = task.from_ft is not None or terms.tool != ONLY_TRENCHES
    return task.kind == "dig" and bool(task.hours) and in_trench


def _of_spoil(work: WorkPlan, days: Sequence[WorkDay]) -> list[Note]:
    """Return a note where spoil would lie on the lawn longer than it may before a truck is full."""
    worst: tuple[int, WorkDay] | None = None
    for day in days:
        last = days[day.spoil_gone - 1]
        lies = last.number - day.number
        lies = lies if day.day is None or last.day is None else (last.day - day.day).days
        if day.hauled_yd3 > 0 and lies > work.lawn_spoil_days and (worst is None or lies > worst[0]):
            worst = (lies, day)
    if worst is None:
        return []
    lies, day = worst
    params = (("number", day.number), ("lies", lies), ("limit", work.lawn_spoil_days))
    return [Note("spoil_lies", "note", params)]
