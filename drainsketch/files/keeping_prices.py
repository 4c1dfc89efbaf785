"""Prices and terms taken from the window into the user's own files for all jobs: one row or one term at a time, the rest untouched."""

import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from drainsketch.errors import JobFileError
from drainsketch.files.atomic import in_words
from drainsketch.files.folders import PRICES, TERMS, keep_own, own_folder
from drainsketch.files.price_terms import own_terms, parse_own_terms
from drainsketch.files.pricebook import BookRead, keep_price_book, own_book
from drainsketch.job.price_book import PriceBook, PriceRow, Which, layered

BOOK_NOTE = "# My own prices for all jobs. They lie over the example's, row by row; see drainsketch prices --help."
TERMS_NOTE = "# My own terms for all jobs. What is not said here stands as in the example, and is told."


def keep_rows(*rows: PriceRow) -> None:
    """Put rows into the user's own book, over those that name the same cells. Raises JobFileError; what was there is untouched then."""
    own = own_book() or BookRead(PriceBook((), (BOOK_NOTE,)))
    keep_price_book(BookRead(layered(own.book, PriceBook(rows))))


def take_out_rows(*gone: Which) -> None:
    """Take rows out of the user's own book, the rest untouched. Raises JobFileError."""
    own = own_book()
    if own is not None:
        keep_own_book(tuple(row for row in own.book.rows if row.which not in gone))


def keep_own_book(rows: tuple[PriceRow, ...]) -> None:
    """Write these rows as the user's own book, with the remarks of the one before. Raises JobFileError.

    Without a row there is no book; the one before is put aside as ``.bak`` then.
    """
    own = own_book()
    if not rows:
        _put_aside(own_folder() / PRICES)
        return
    keep_price_book(BookRead(PriceBook(rows, own.book.notes if own is not None else (BOOK_NOTE,))))


def _put_aside(file: Path) -> None:
    try:
        if file.exists():
            file.replace(file.with_suffix(".csv.bak"))
    except OSError as fault:
        raise JobFileError(f"{file}: {in_words(fault)}") from fault


def keep_some_terms(changes: Mapping[str, Any]) -> None:
    """Set some of the user's own terms, None taking one out; remarks and the other terms stay.

    Raises
    ------
    JobFileError : a term is out of its bounds, or the file cannot be read or written; what was there is untouched then
    """
    file = own_folder() / TERMS
    before = own_terms()
    wanted = {name: value for name, value in (before | dict(changes)).items() if value is not None}
    try:
        text = file.read_text(encoding="utf-8-sig") if file.exists() else f"{TERMS_NOTE}\n"
    except OSError as fault:
        raise JobFileError(f"{file}: this file cannot be read: {fault.strerror or fault}") from fault
    data = _with_terms(text, changes).encode()
    if not _says(data, wanted):  # written in a way that lines cannot be told apart in
        data = _with_terms(f"{TERMS_NOTE}\n", wanted).encode()
    parse_own_terms(data)
    keep_own(TERMS, data)


def _says(data: bytes, wanted: Mapping[str, Any]) -> bool:
    try:
        return parse_own_terms(data) == wanted
    except JobFileError:
        return False


def _with_terms(text: str, changes: Mapping[str, Any]) -> str:
    """Return the text of a terms file with some lines set, taken out or added at its end."""
    lines, left = [], dict(changes)
    for line in text.splitlines():
        found = re.match(r"\s*(\w+)\s*=[^#]*(#.*)?$", line)
        if found is None or found[1] not in changes:
            lines.append(line)
        elif (value := left.pop(found[1], None)) is not None:
            lines.append(f"{found[1]} = {_toml(value)}" + (f"  {found[2]}" if found[2] else ""))
    lines += [f"{name} = {_toml(value)}" for name, value in left.items() if value is not None]
    return "\n".join(lines) + "\n"


def _toml(value: object) -> str:
    return f'"{value}"' if isinstance(value, str) else f"{value:f}" if isinstance(value, Decimal) else str(value)
