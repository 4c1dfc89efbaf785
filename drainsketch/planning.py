"""The work plan of a reviewed job: the hours of its price, put on days."""

from drainsketch.job.prices import Prices
from drainsketch.pricing import price_of, priced_here
from drainsketch.review import Review
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.workplan.plan import planned_work
from drainsketch.takeoff.workplan.results import PlannedWork


def work_plan_of(review: Review, prices: Prices, made: Price | None = None) -> PlannedWork:
    """Return the work plan of a reviewed job. It takes some milliseconds and reads no file.

    Parameters
    ----------
    prices : those in use; crew, hours a day and truck are its terms, with the job's own over them
    made : the price of the job by these prices; None has it made

    Examples
    --------
    >>> from drainsketch.files.prices import prices_in_use
    >>> from drainsketch.job.model import Job
    >>> from drainsketch.review import analyse
    >>> work_plan_of(analyse(Job()), prices_in_use()).days
    ()
    """
    made = made or price_of(review, prices)
    return planned_work(
        review.works,
        earth(review.works, review.stacks),
        review.network,
        review.crossings,
        [line for line in made.lines if line.group == "labor"],
        priced_here(prices, review.job.pricing).terms,
        frozenset(review.grades) - frozenset(review.workable) | review.undug,
    )
