"""The locate ticket against the days of work: when digging may begin, how long the marks hold, when to ask again."""

from collections.abc import Sequence
from datetime import date

from drainsketch.job.work import WorkPlan
from drainsketch.takeoff.workplan.dates import DAY, day_of, later, ready_on
from drainsketch.takeoff.workplan.results import Note, Ticket, WorkDay


def ticket_of(work: WorkPlan, days: Sequence[WorkDay]) -> tuple[Ticket, list[Note]]:
    """Return the ticket of a job and what has to be said of it.

    Digging may begin on the day after ``ticket_wait_days`` full days of wait. Marks hold for ``ticket_good_days`` from the request, its day
    counted, which is the safe side where a state counts from a later day.

    Parameters
    ----------
    days : those of the work, in order
    """
    asked, off = day_of(work.ticket_asked), _off(work)
    ready = good = again = None
    if asked is not None and work.ticket_wait_days is not None:
        ready = ready_on(asked, work.ticket_wait_days, off, in_workdays=work.wait_in_workdays)
    if asked is not None and work.ticket_good_days:
        good = later(asked, work.ticket_good_days - 1)
    digging = [d.day for d in days if d.digs and d.day is not None]
    notes = list(_unsaid(work))
    if ready is not None and digging and digging[0] < ready:
        notes.append(Note("before_ready", "stop", (("day", digging[0]), ("ready", ready))))
    late = [day for day in digging if good is not None and day > good]
    if late and good is not None:
        again = _ask_by(late[0], work)
        params = (("good", good), ("last", digging[-1]), ("again", again or good))
        notes.append(Note("marks_run_out", "settle", params))
    return Ticket(work.ticket_number, asked, ready, good, again), notes


def _unsaid(work: WorkPlan) -> list[Note]:
    notes = [] if work.ticket_asked else [Note("not_asked", "settle")]
    if work.ticket_wait_days is None:
        notes.append(Note("wait_unsaid", "settle"))
    if not work.ticket_good_days:
        notes.append(Note("good_unsaid", "settle"))
    return notes


def _off(work: WorkPlan) -> frozenset[date]:
    return frozenset(date.fromisoformat(day) for day in work.days_off)


def _ask_by(needed: date, work: WorkPlan) -> date | None:
    """Return the last day to ask on, so that digging may go on on a day; None beyond the calendar."""
    wait, off, day = work.ticket_wait_days or 0, _off(work), needed
    while True:
        ready = ready_on(day, wait, off, in_workdays=work.wait_in_workdays)
        if ready is not None and ready <= needed:
            return day
        if day == date.min:
            return None
        day -= DAY
