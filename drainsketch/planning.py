"""The work plan of a reviewed job: the hours of its price, put on days."""

from drainsketch.job.prices import Prices
from drainsketch.pricing import price_of, priced_here
from drainsketch.review import Review
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.workplan.plan import planned_work
from drainsketch.takeoff.workplan.results import PlannedWork
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words


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


def said_machine(review: Review, prices: Prices, made: Price, words: Words) -> tuple[str, ...]:
    """Return the sentence that the machine digs on more days than its price holds; none where it does not."""
    plan = work_plan_of(review, prices, made)
    return tuple(" ".join(Sayings(words).note(note)) for note in plan.notes if note.kind == "machine_days")
