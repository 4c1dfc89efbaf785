"""A work plan as text for a terminal: the ticket, what is to be settled, and every day with its tasks."""

from collections.abc import Iterator

from drainsketch.review import Review
from drainsketch.takeoff.workplan.results import PlannedWork, Task, WorkDay
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words


def work_plan_lines(review: Review, plan: PlannedWork, lang: str = "en") -> Iterator[str]:
    """Yield a work plan line by line."""
    words = Words.of(review.job, lang)
    say = Sayings(words)
    yield from say.ticket(plan)
    yield from say.cautions
    yield ""
    levels = {note.level: words.word(f"findings.level.{note.level}") for note in plan.notes}
    width = max(map(len, levels.values()), default=0) + 1
    for note in plan.notes:
        text, remedy = say.note(note)
        yield f"{levels[note.level]:{width}} {text} {remedy}"
    if plan.days:
        yield ""
        yield say.crew(plan)
        yield say.paces(plan)
    if said := say.unplanned(plan):
        yield said
    for day in plan.days:
        yield ""
        yield from _day(day, plan, say)
    if plan.days:
        yield ""
        yield f"{say.word('rain.title')}:"
        yield from say.rain(plan)


def _day(day: WorkDay, plan: PlannedWork, say: Sayings) -> Iterator[str]:
    open_ft = f"; {say.open(day)}" if day.open_ft > 0 else ""
    loads = f"; {say.word('loads', loads=day.loads)}" if day.loads else ""
    yield f"{say.day(day)}: {say.hours(day.hours)}{open_ft}{loads}"
    for task in day.tasks:
        yield _task(task, plan, say)
    if said := say.overnight(day):
        yield f"  {said}"


def _task(task: Task, plan: PlannedWork, say: Sayings) -> str:
    where = say.where(task)
    said = f"{say.task(task)}: {where}" if where else say.task(task)
    if task.is_hold:
        said = f"{say.word('hold')}: {say.hold(where, plan.tolerance_in)}"
    later = f" ({say.word('goes_on')})" if task.goes_on else ""
    return f"  {say.hours(task.hours):>8}  {said}{later}"
