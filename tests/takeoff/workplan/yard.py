"""A yard whose days are worked out by hand, and plans of it.

The ground is the plane z = 100 - 0.02 x. B1 at x = 0 and O1 at x = 50: R1 is 50 ft in plan and 50.01 ft along 2 %, its trench runs
from station 0 at the outfall to the hole of B1, 24 in square (12 in and 12 in of work room): 49 ft.
"""

from drainsketch.job.edits.change import change_part
from drainsketch.job.model import Job
from drainsketch.job.price_book import PriceBook
from drainsketch.job.prices import Prices
from drainsketch.planning import work_plan_of
from drainsketch.review import analyse
from drainsketch.takeoff.workplan.results import PlannedWork
from tests.takeoff.price.books import book_of, example_book, terms_of
from tests.yards import basin, drawn, outfall, plane, run

LAY = "lay_pipe,,,,ft,,5,,labor,mine,"
YARD = drawn(
    *plane(lambda x, _: 100 - 0.02 * x),
    basin(0.0, 0.0, size_in=12, invert_ft=98.0),
    outfall(50.0, 0.0, invert_ft=97.0),
    run("B1", "O1"),
)


def planned(job: Job = YARD, book: PriceBook | None = None, **terms: object) -> PlannedWork:
    """Return the plan of a job by the example book, or by the rows of another alone."""
    prices = Prices(book or example_book(), terms_of(**terms))
    return work_plan_of(analyse(job), prices)


def laying(job: Job = YARD, *rows: str, **work: object) -> PlannedWork:
    """Return the plan of a job where laying is all that takes hours, 5 ft an hour, one worker and four hours a day."""
    job = change_part(job, "work", **work) if work else job
    return planned(job, book_of(LAY, *rows), crew=1, day_hours="4", tool="hand")


def spans(plan: PlannedWork) -> list[tuple[str, float, float, int, int]]:
    """Return the stretches of a plan: run, stations, day opened and closed."""
    return [(s.run_id, round(s.from_ft, 3), round(s.to_ft, 3), s.opened, s.closed) for s in plan.stretches]
