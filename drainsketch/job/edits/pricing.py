"""Edit the price of a job: its own prices and rates, its own terms, and the lines that no takeoff counts."""

from typing import Any

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.edits.change import change_part
from drainsketch.job.model import Job
from drainsketch.job.price_book import WORKER, Which
from drainsketch.job.pricing import Extra, PriceChange


def which_of(change: PriceChange) -> Which:
    """Return what the row that a change names is found by."""
    return change.item, change.of, change.size_in, change.second


def change_price(job: Job, which: Which, **figures: Any) -> Job:
    """Return the job with a price, a rate or a tax mark of its own, for example ``change_price(job, which, price=12.5)``.

    Parameters
    ----------
    which : the row of the price book in whose place it stands
    figures : ``price`` in dollars, ``per_hour`` in units of the item, ``taxed``; what is not given stays as it is

    Raises
    ------
    EditError : a figure is outside its bounds
    """
    changes = job.pricing.changes
    item, of, size_in, second = which
    old = next((c for c in changes if which_of(c) == which), None)
    new = replace(old or PriceChange(item=item, of=of, size_in=size_in, second=second), **figures)
    kept = tuple(new if c is old else c for c in changes) if old is not None else (*changes, new)
    terms = replace(job.pricing.terms, worker_hour=None) if which == WORKER else job.pricing.terms
    return change_part(job, "pricing", changes=kept, terms=terms)


def take_back_price(job: Job, *which: Which) -> Job:
    """Return the job without its own figures for some rows: those of the price book stand again, and its terms for an hour of work."""
    kept = tuple(c for c in job.pricing.changes if which_of(c) not in which)
    terms = replace(job.pricing.terms, worker_hour=None) if WORKER in which else job.pricing.terms
    return change_part(job, "pricing", changes=kept, terms=terms)


def change_terms(job: Job, **terms: Any) -> Job:
    """Return the job with some terms of its own; None leaves a term to those of all jobs. Raises EditError outside the bounds."""
    return change_part(job, "pricing", terms=replace(job.pricing.terms, **terms))


def add_extra(job: Job, extra: Extra) -> Job:
    """Return the job with one more line that no takeoff counts. Raises EditError outside the bounds."""
    return change_part(job, "pricing", extras=(*job.pricing.extras, extra))


def change_extra(job: Job, at: int, **fields: Any) -> Job:
    """Return the job with some of an added line set. Raises EditError for no such line, or a value outside its bounds."""
    extras = job.pricing.extras
    if not 0 <= at < len(extras):
        raise EditError(f"pricing.extras[{at}]: the job has no such line")
    new = replace(extras[at], **fields)
    return change_part(job, "pricing", extras=tuple(new if n == at else e for n, e in enumerate(extras)))


def remove_extra(job: Job, at: int) -> Job:
    """Return the job without one of its added lines."""
    return change_part(job, "pricing", extras=tuple(e for n, e in enumerate(job.pricing.extras) if n != at))
