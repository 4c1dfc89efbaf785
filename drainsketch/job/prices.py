"""The prices in use for all jobs: price book and terms, and where they come from."""

from msgspec import Struct

from drainsketch.job.price_book import PriceBook
from drainsketch.job.price_terms import PriceTerms


class UnknownItem(Struct, frozen=True):
    """A row of a price book whose item no takeoff counts, and the known item that is spelled most like it, '' for none."""

    line: int
    item: str
    near: str
    file: str = ""


class Prices(Struct, frozen=True):
    """What a job is priced with, before what the job itself says.

    ``example_terms`` are the names of terms that nobody set. ``unknown`` are rows that nothing goes by, ``book_files`` and ``terms_files`` are the files read, the last one first asked; () where all is the example.
    """

    book: PriceBook
    terms: PriceTerms
    example_terms: tuple[str, ...] = ()
    unknown: tuple[UnknownItem, ...] = ()
    book_files: tuple[str, ...] = ()
    terms_files: tuple[str, ...] = ()
