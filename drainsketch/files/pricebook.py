"""A price book as a CSV file that a contractor edits in a spreadsheet. Strict: what cannot be a price is told, never guessed.

Lines that begin with # are remarks. Cells are parted by commas, semicolons or tabs, whichever the heading has. Text that a
spreadsheet program would take for a formula is kept as text, and is written so that it stays text.
"""

import csv
import io
from difflib import get_close_matches
from importlib.resources.abc import Traversable
from pathlib import Path

from msgspec import Struct

from drainsketch.errors import DrainsketchError, JobFileError
from drainsketch.files.cells import rows_of
from drainsketch.files.folders import PRICES, keep_own, own_folder
from drainsketch.files.price_cells import COLUMNS, RowReader, row_cells
from drainsketch.job.plain import plain
from drainsketch.job.price_book import PriceBook, PriceRow, Which
from drainsketch.job.prices import UnknownItem
from drainsketch.resources import resource

OPTIONAL = ("name",)
MOST_BYTES, MOST_ROWS = 2_000_000, 20_000


class BookRead(Struct, frozen=True):
    """A price book as read, where from, and the rows that no takeoff asks for."""

    book: PriceBook
    unknown: tuple[UnknownItem, ...] = ()
    path: str = ""  # '' for the one that ships with the program


def own_book(path: Path | None = None) -> BookRead | None:
    """Return the price book in a file, without one that which the user keeps for all jobs; None where none is kept.

    Raises
    ------
    JobFileError : the file cannot be read, or is no price book; names file, line and column
    """
    file = path or own_folder() / PRICES
    if path is None and not file.exists():
        return None
    try:
        read = read_price_book(file)
    except JobFileError as fault:
        raise JobFileError(*(f"{file}: {complaint}" for complaint in fault.complaints)) from fault
    return BookRead(read.book, read.unknown, str(file))


def shipped_book() -> Traversable:
    """Return the invented price book that ships with the program: the file to begin from."""
    return resource("pricebook/prices.csv")


def read_price_book(path: Path | Traversable) -> BookRead:
    """Return the price book in a file. Raises JobFileError as ``parse_price_book`` does, or when it cannot be read."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        raise JobFileError(f"this file cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    return parse_price_book(data)


def parse_price_book(data: bytes) -> BookRead:
    """Return the price book in the bytes of a CSV file.

    Raises
    ------
    JobFileError : a complaint for every cell that cannot be read, each with its line, its column and the remedy
    """
    if len(data) > MOST_BYTES:
        raise JobFileError(f"the file has {len(data) / 1e6:.1f} MB; a price book is a few pages of text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise JobFileError(f"byte {fault.start}: this is not UTF-8 text; save it as 'CSV UTF-8'") from fault
    mark = _mark(text)
    try:
        rows = rows_of(text, mark)
    except DrainsketchError as fault:
        raise JobFileError(str(fault)) from fault
    notes = tuple(plain(mark.join(cells).rstrip(mark), 400) for _, cells in rows if cells[0].startswith("#"))
    rows = [(line, cells) for line, cells in rows if not cells[0].startswith("#")]
    if not rows:
        raise JobFileError(f"there is no heading; the first row that is no remark holds {', '.join(COLUMNS)}")
    if len(rows) > MOST_ROWS:
        raise JobFileError(f"line {rows[MOST_ROWS][0]}: more than {MOST_ROWS:,} rows; this is no price book")
    heading = _heading(*rows[0])
    return _book(rows[1:], heading, mark, notes)


def _mark(text: str) -> str:
    """Return what parts the cells: whichever mark the heading has."""
    for line in text.splitlines():
        if line.strip(' "\t;,') and not line.lstrip(' "').startswith("#"):
            return next((m for m in "\t;," if m in line), ",")
    return ","


def _heading(line: int, cells: list[str]) -> list[str]:
    names = [cell.casefold() for cell in cells]
    while names and not names[-1]:
        names.pop()
    faults = []
    for place, name in enumerate(names, 1):
        if name not in COLUMNS:
            near = get_close_matches(name, COLUMNS, 1)
            hint = f"did you mean {near[0]}?" if near else f"the columns are {', '.join(COLUMNS)}"
            faults.append(f"line {line}, column {place}: '{plain(name, 30)}' is no column of a price book; {hint}")
        elif name in names[: place - 1]:
            faults.append(f"line {line}, column {place}: {name} stands twice; take one away")
    faults += [
        f"line {line}: the column {name} is missing; add it, even if its cells stay empty"
        for name in COLUMNS
        if name not in names and name not in OPTIONAL
    ]
    if faults:
        raise JobFileError(*faults)
    return names


def _book(rows: list[tuple[int, list[str]]], heading: list[str], mark: str, notes: tuple[str, ...]) -> BookRead:
    read: list[PriceRow] = []
    faults: list[str] = []
    unknown: list[UnknownItem] = []
    stands: dict[Which, int] = {}
    for line, cells in rows:
        over = [cell for cell in cells[len(heading) :] if cell]
        if over:
            faults.append(
                f"line {line}: '{plain(over[0], 30)}' stands past the last column; is there a comma too many?"
            )
            continue
        cell = RowReader(dict(zip(heading, [*cells, *[""] * len(heading)], strict=False)), mark)
        row = cell.read()
        faults += [f"line {line}, {column}: {wrong}" for column, wrong in cell.faults]
        if row is None:
            continue
        if row.which in stands:
            faults.append(
                f"line {line}, item: {' '.join(w for w in row.which if w)} stands already in line {stands[row.which]}; keep one"
            )
        stands.setdefault(row.which, line)
        read.append(row)
        if cell.near is not None:
            unknown.append(UnknownItem(line, row.item, cell.near))
    if faults:
        raise JobFileError(*faults)
    if not read:
        raise JobFileError("there is no row below the heading; begin with a copy of the example book")
    return BookRead(PriceBook(tuple(read), notes), tuple(unknown))


def price_book_text(book: PriceBook) -> str:
    """Return a price book as CSV, with its remarks at the head; reads back as it is."""
    text = io.StringIO(newline="")
    write = csv.writer(text, lineterminator="\r\n").writerow
    for note in book.notes:
        write([note])
    write(COLUMNS)
    for row in book.rows:
        write(row_cells(row).values())
    return text.getvalue()


def keep_price_book(read: BookRead) -> Path:
    """Write a price book as the user's own for all jobs, whole or not at all, and return the file. Raises JobFileError."""
    return keep_own(PRICES, price_book_text(read.book).encode("utf-8-sig"))
