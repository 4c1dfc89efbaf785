"""An offer for the tests: a yard with the contractor's own prices, particulars and logo, all invented."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

import pdfplumber
from msgspec.structs import replace

from drainsketch.files.logo import decoded_logo
from drainsketch.files.price_terms import shipped_terms_text
from drainsketch.files.pricebook import shipped_book
from drainsketch.files.prices import prices_in_use
from drainsketch.job.firm import Firm, Letterhead
from drainsketch.job.model import Job
from drainsketch.job.prices import Prices
from drainsketch.job.pricing import Offer
from drainsketch.pricing import price_of
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.study import Study, play, study
from drainsketch.water.storm.results import Storm
from tests.files.pictures import picture

FIRM = Firm(
    name="Willow Drainage (invented)",
    license="INV-4711",
    address=("7 Invented Road", "Nowhere 00000"),
    phone="555-0142",
    insured="Invented Mutual, policy 0-0",
    terms="Half on signing.\n\nChanges are agreed in writing.",
)
LETTERHEAD = Letterhead(FIRM, decoded_logo(picture((300, 100))))


def own_files(folder: Path) -> tuple[Path, Path]:
    """Write the shipped prices and terms as if they were somebody's own."""
    book, terms = folder / "own.csv", folder / "own.toml"
    text = shipped_book().read_text(encoding="utf-8")
    book.write_text(text.replace(",example,", ",our yard,").replace("EXAMPLE", "OURS"), encoding="utf-8")
    terms.write_text(shipped_terms_text(), encoding="utf-8")
    return book, terms


def own_prices(folder: Path) -> Prices:
    """Return prices that are no example."""
    return prices_in_use(*own_files(folder))


def with_lines(job: Job, **said: Any) -> Job:
    """Return the job with an offer that shows its parts."""
    return replace(job, offer=Offer(show_lines=True, **said))


@lru_cache(maxsize=8)
def known(job: Job) -> tuple[Study, Storm]:
    """Return the study of a job and its storm as it was played."""
    closer = study(analyse(job))
    return closer, play(closer)


def contents_of(job: Job, prices: Prices | None, letterhead: Letterhead = LETTERHEAD) -> Contents:
    """Return all that the owner's set is made from."""
    closer, played = known(job)
    return Contents(
        job,
        closer.whole,
        ground=closer.ground,
        storm=closer.water,
        played=played,
        price=price_of(closer.whole, prices) if prices is not None else None,
        letterhead=letterhead,
    )


@contextmanager
def opened(contents: Contents, path: Path, **asked: Any) -> Iterator[Any]:
    """Write the owner's set and open it with an independent reader."""
    write_sheets(contents, path, audience="owner", **asked)
    with pdfplumber.open(path) as pdf:
        yield pdf


def words_of(pdf: Any) -> str:
    """Return the words of every page, in reading order."""
    return " ".join(" ".join(w["text"] for w in page.extract_words(use_text_flow=True)) for page in pdf.pages)
