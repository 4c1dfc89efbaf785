"""Price books and terms for tests: the shipped ones, and small ones typed out."""

from decimal import Decimal

from msgspec.structs import replace

from drainsketch.files.price_terms import parse_terms
from drainsketch.files.pricebook import parse_price_book, read_price_book, shipped_book
from drainsketch.job.price_book import PriceBook, PriceRow
from drainsketch.job.price_terms import PriceTerms
from drainsketch.review import Review
from drainsketch.takeoff.price.pricing import price
from drainsketch.takeoff.price.results import Price

HEADING = "item,of,size_in,second,unit,price,per_hour,taxed,group,source,name\n"


def example_book() -> PriceBook:
    return read_price_book(shipped_book()).book


def book_of(*rows: str) -> PriceBook:
    return parse_price_book((HEADING + "\n".join(rows) + "\n").encode()).book


def terms_of(**changed: object) -> PriceTerms:
    """Return the shipped terms with some changed; numbers are given as text."""
    given = {k: Decimal(v) if isinstance(v, str) and v[0].isdigit() else v for k, v in changed.items()}
    return replace(parse_terms(b"").terms, **given)


def bare(**changed: object) -> PriceTerms:
    """Return terms that put nothing on top, but for what is changed."""
    nothing = {"overhead_pct": "0", "profit_as": "mark-up", "profit_pct": "0", "tax_pct": "0", "round_to": "0.01"}
    return terms_of(**{**nothing, **changed})


def priced(review: Review, book: PriceBook | None = None, terms: PriceTerms | None = None) -> Price:
    return price(review.works, review.stacks, review.takeoff, book or example_book(), terms or terms_of())


def without(book: PriceBook, *items: str) -> PriceBook:
    return replace(book, rows=tuple(r for r in book.rows if r.item not in items))


def changed(book: PriceBook, item: str, **values: object) -> PriceBook:
    def row(r: PriceRow) -> PriceRow:
        return replace(r, **values) if r.item == item else r

    return replace(book, rows=tuple(row(r) for r in book.rows))
