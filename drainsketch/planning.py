"""The door to the work plan: a reviewed job and its price, put on days."""

from drainsketch.job.price_terms import PriceTerms
from drainsketch.review import Review
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.price.results import Price
from drainsketch.takeoff.workplan.plan import planned_work
from drainsketch.takeoff.workplan.results import PlannedWork


def work_plan_of(review: Review, made: Price, terms: PriceTerms) -> PlannedWork:
    """Return the work plan of a reviewed job.

    Parameters
    ----------
    made : its price, whose hours of labor are planned
    terms : those of the price: crew, hours a day, truck
    """
    return planned_work(
        review.works,
        earth(review.works, review.stacks),
        review.network,
        review.crossings,
        [line for line in made.lines if line.group == "labor"],
        terms,
        frozenset(review.grades) - frozenset(review.workable),
    )
