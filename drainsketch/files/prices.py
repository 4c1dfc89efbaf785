"""The prices to use: the invented ones that ship, the user's own for all jobs over them, and the files named over both."""

from pathlib import Path

from msgspec.structs import replace

from drainsketch.files.price_terms import terms_in_use
from drainsketch.files.pricebook import own_book, read_price_book, shipped_book
from drainsketch.job.price_book import layered
from drainsketch.job.prices import Prices


def prices_in_use(book: Path | None = None, terms: Path | None = None) -> Prices:
    """Return what a job is priced with, row by row and term by term: a file named, else the user's own, else the invented example.

    Raises
    ------
    JobFileError : a file cannot be read, or something in it is out of its bounds; names file and place
    """
    whole = read_price_book(shipped_book()).book
    read = [found for found in (own_book(), own_book(book) if book is not None else None) if found is not None]
    for one in read:
        whole = layered(whole, one.book)
    used = terms_in_use(terms)
    unknown = tuple(replace(row, file=one.path) for one in read for row in one.unknown)
    return Prices(whole, used.terms, used.examples, unknown, tuple(one.path for one in read), used.files)
