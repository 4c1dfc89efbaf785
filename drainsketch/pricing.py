"""The price of a reviewed job: the prices in use, what the job has of its own over them, and lines that no takeoff counts."""

from decimal import Decimal

from msgspec.structs import asdict, replace

from drainsketch.job.edits.pricing import which_of
from drainsketch.job.price_book import THIS_JOB, Lookup, PriceBook, PriceRow, Which, items, layered
from drainsketch.job.price_terms import PriceTerms
from drainsketch.job.prices import Prices
from drainsketch.job.pricing import PriceChange, Pricing, TermChanges
from drainsketch.review import Review
from drainsketch.takeoff.price.money import cents
from drainsketch.takeoff.price.pricing import price
from drainsketch.takeoff.price.results import Price

MONEY_TERMS = ("round_to", "worker_hour")  # whole cents


def price_of(review: Review, prices: Prices) -> Price:
    """Return the price of a reviewed job: by the prices in use, with the changes, terms and extras of the job over them.

    It takes some milliseconds and reads no file. ``files.prices.prices_in_use`` has the user's prices.

    Examples
    --------
    >>> from drainsketch.files.prices import prices_in_use
    >>> from drainsketch.job.model import Job
    >>> from drainsketch.review import analyse
    >>> price_of(analyse(Job()), prices_in_use()).total
    Decimal('0.00')
    """
    pricing = review.job.pricing
    here = priced_here(prices, pricing)
    made = price(review.works, review.stacks, review.takeoff, here.book, here.terms, here.example_terms, pricing.extras)
    return replace(made, unused=_unused(pricing, made))


def priced_here(prices: Prices, pricing: Pricing) -> Prices:
    """Return the prices in use with what one job has of its own over them."""
    terms, own = job_terms(prices.terms, pricing.terms)
    changes = pricing.changes
    if pricing.terms.worker_hour is not None:  # whichever way the job says it, it is a row of its own
        hour = PriceChange(item="worker_hour", price=pricing.terms.worker_hour)
        changes = (*(c for c in changes if c.item != "worker_hour"), hour)
    if any(c.item == "worker_hour" and c.price is not None for c in changes):
        terms = replace(terms, worker_hour=None)  # the row goes before the terms of all jobs
    book = job_book(prices.book, changes)
    examples = tuple(name for name in prices.example_terms if name not in own)
    return replace(prices, book=book, terms=terms, example_terms=examples)


def job_book(book: PriceBook, changes: tuple[PriceChange, ...]) -> PriceBook:
    """Return a book with the changes of a job as its rows. A change without a figure leaves that of the very row it names."""
    if not changes:
        return book
    look, there = Lookup(book), {row.which: row for row in book.rows}
    rows = (_row(change, look, there, book) for change in changes if change.item in items())
    return layered(book, PriceBook(tuple(row for row in rows if row is not None)))


def _row(change: PriceChange, look: Lookup, there: dict[Which, PriceRow], book: PriceBook) -> PriceRow | None:
    item, which = items()[change.item], which_of(change)
    figure = change.per_hour if item.kind == "rate" else change.price
    if figure is None:
        below = there.get(which)
        return below and replace(below, taxed=below.taxed if change.taxed is None else change.taxed)
    fits = look.row(which)
    like = fits or next((row for row in book.rows if row.item == change.item), None)
    return PriceRow(
        item=change.item,
        of=change.of,
        size_in=change.size_in,
        second=change.second,
        unit=item.unit,
        price=None if item.kind == "rate" else cents(_exact(figure)),
        per_hour=_exact(figure) if item.kind == "rate" else None,
        taxed=change.taxed if change.taxed is not None else like is not None and like.taxed,
        group=item.group,
        source=THIS_JOB,
        name=fits.name if fits is not None else "",
    )


def job_terms(terms: PriceTerms, changes: TermChanges) -> tuple[PriceTerms, tuple[str, ...]]:
    """Return terms with those of a job over them, and the names of the job's."""
    own = {name: value for name, value in asdict(changes).items() if value is not None}
    exact = {name: _exact(value) if isinstance(value, float) else value for name, value in own.items()}
    exact |= {name: cents(exact[name]) for name in MONEY_TERMS if name in exact}
    return replace(terms, **exact), tuple(own)


def _unused(pricing: Pricing, made: Price) -> tuple[PriceChange, ...]:
    used = {row.which for line in made.lines for row in line.rows} | {row.which for row in made.rows}
    return tuple(c for c in pricing.changes if which_of(c) not in used)


def _exact(number: float) -> Decimal:
    """Return a number of the job file as it is written there."""
    return Decimal(str(number))
