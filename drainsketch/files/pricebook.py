"""A price book as a CSV file that a contractor edits in a spreadsheet. Strict: what cannot be a price is told, never guessed.

Lines that begin with # are remarks. Cells are parted by commas, semicolons or tabs, whichever the heading has. Text that a
spreadsheet program would take for a formula is kept as text, and is written so that it stays text.
"""

import csv
import io
import re
from collections.abc import Callable
from decimal import Decimal
from difflib import get_close_matches
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import get_args

from msgspec import Struct

from drainsketch.errors import DrainsketchError, JobFileError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.files.cells import inert_cell, rows_of, untouched
from drainsketch.files.folders import PRICES, own_folder
from drainsketch.job.kinds import PipeKind
from drainsketch.job.plain import plain
from drainsketch.job.price_book import Item, PriceBook, PriceRow, Which, figure, items
from drainsketch.job.price_terms import CHOICES
from drainsketch.resources import resource

COLUMNS = ("item", "of", "size_in", "second", "unit", "price", "per_hour", "taxed", "group", "source", "name")
OPTIONAL = ("name",)
MOST_BYTES, MOST_ROWS, MOST_TEXT = 2_000_000, 20_000, 120
MOST_DOLLARS, MOST_PER_HOUR, MOST_SIZE = Decimal(1_000_000), Decimal(100_000), 1_000

_MONEY = re.compile(r"\$? ?(\d{1,12}|\d{1,3}(?:,\d{3}){1,3})(\.\d{1,2})?", re.ASCII)
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,3})?", re.ASCII)
_FORMULA = ("=", "+", "@")


class BookRead(Struct, frozen=True):
    """A price book as read, where from, and a sentence for each thing the user has to be told of it."""

    book: PriceBook
    told: tuple[str, ...] = ()
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
    return BookRead(read.book, read.told, str(file))


def shipped_book() -> Traversable:
    """Return the invented price book that ships with the program: the file to begin from."""
    return resource("pricebook/prices.csv")


def read_price_book(path: Path | Traversable) -> BookRead:
    """Return the price book in a file. Raises JobFileError as ``parse_price_book`` does, or when it cannot be read."""
    try:
        data = path.read_bytes()
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
    told: list[str] = []
    stands: dict[Which, int] = {}
    for line, cells in rows:
        over = [cell for cell in cells[len(heading) :] if cell]
        if over:
            faults.append(
                f"line {line}: '{plain(over[0], 30)}' stands past the last column; is there a comma too many?"
            )
            continue
        cell = _Row(line, dict(zip(heading, [*cells, *[""] * len(heading)], strict=False)), mark)
        row = cell.read()
        faults += cell.faults
        told += cell.told
        if row is None:
            continue
        if row.which in stands:
            faults.append(
                f"line {line}, item: {' '.join(w for w in row.which if w)} stands already in line {stands[row.which]}; keep one"
            )
        stands.setdefault(row.which, line)
        read.append(row)
    if faults:
        raise JobFileError(*faults)
    if not read:
        raise JobFileError("there is no row below the heading; begin with a copy of the example book")
    return BookRead(PriceBook(tuple(read), notes), tuple(told))


class _Row:
    """One row being read: its cells, what is wrong with them and what is to be told."""

    def __init__(self, line: int, cells: dict[str, str], mark: str) -> None:
        self.line, self.cells, self.mark = line, cells, mark
        self.faults: list[str] = []
        self.told: list[str] = []

    def read(self) -> PriceRow | None:
        """Return the row; None where something is wrong with it."""
        name = plain(untouched(self.cells["item"]), MOST_TEXT)
        if not name:
            self._wrong("item", "is empty; name what the row is the price of, or delete the row")
            return None
        item = items().get(name)
        if item is None:
            self._tell_unknown(name)
        row = PriceRow(
            item=name,
            of=self._of(item),
            size_in=self._size(item),
            second=self._second(item),
            unit=self._unit(item),
            price=self._figure("price", self._money, item is None or item.kind != "rate"),
            per_hour=self._figure("per_hour", self._rate, item is None or item.kind == "rate"),
            taxed=self._taxed(item),
            group=self._group(item),
            source=self._text("source"),
            name=self._text("name"),
        )
        return None if self.faults else row

    def _wrong(self, column: str, what: str) -> None:
        self.faults.append(f"line {self.line}, {column}: {what}")

    def _shown(self, column: str) -> str:
        return f"'{plain(self.cells[column], 30)}'"

    def _text(self, column: str) -> str:
        return plain(untouched(self.cells.get(column, "")), MOST_TEXT)

    def _tell_unknown(self, name: str) -> None:
        near = get_close_matches(name, items(), 1)
        hint = f"did you mean {near[0]}?" if near else "items are named as in the example book"
        self.told.append(
            f"line {self.line}, item: '{name}' is not counted by any takeoff, so its price is not used; {hint}"
        )

    def _of(self, item: Item | None) -> str:
        of = self._text("of")
        if item is None or not of:
            return of
        known = {"pipe": get_args(PipeKind), "soil": CHOICES["soil"], "": ()}[item.of]
        if of not in known:
            what = f"is not one of {', '.join(known)}" if known else "does not belong here; leave the cell empty"
            self._wrong("of", f"{self._shown('of')} {what}")
        return of

    def _size(self, item: Item | None) -> str:
        if item is not None and not item.size and self.cells["size_in"]:
            self._wrong("size_in", f"{self._shown('size_in')} does not belong here; leave the cell empty")
        return self._measure("size_in")

    def _second(self, item: Item | None) -> str:
        if item is not None and item.second == "to_pipe":
            second, known = self._text("second"), get_args(PipeKind)
            if second and second not in known:
                self._wrong("second", f"{self._shown('second')} is not one of {', '.join(known)}")
            return second
        if item is not None and not item.second and self.cells["second"]:
            self._wrong("second", f"{self._shown('second')} does not belong here; leave the cell empty")
        return self._text("second") if item is None else self._measure("second")

    def _measure(self, column: str) -> str:
        written = self.cells[column]
        if not written:
            return ""
        if not _NUMBER.fullmatch(written) or not 0 < float(written) <= MOST_SIZE:
            self._wrong(
                column, f"{self._shown(column)} is no size; write a number like 4, or leave the cell empty for any"
            )
            return ""
        return figure(float(written))

    def _unit(self, item: Item | None) -> str:
        unit = self._text("unit")
        if item is not None and unit != item.unit:
            self._wrong("unit", f"{self._shown('unit')}: {self.cells['item']} goes by {item.unit}; write {item.unit}")
        return unit

    def _group(self, item: Item | None) -> str:
        group = self._text("group")
        if item is not None and group not in ("", item.group):
            self._wrong("group", f"{self._shown('group')}: {self.cells['item']} belongs to {item.group}")
        return group or (item.group if item is not None else "")

    def _taxed(self, item: Item | None) -> bool:
        said = self.cells["taxed"].casefold()
        if said in ("yes", "no"):
            return said == "yes"
        if said or item is None or item.kind == "price":
            self._wrong("taxed", f"{self._shown('taxed')} is neither yes nor no; write one of them")
        return False

    def _figure(self, column: str, read: Callable[[str, str], Decimal | None], belongs: bool) -> Decimal | None:
        written = self.cells[column]
        if not written:
            return None
        if not belongs:
            self._wrong(column, f"{self._shown(column)} does not belong here; leave the cell empty")
            return None
        if written.lstrip("'").startswith(_FORMULA):
            self._wrong(column, f"{self._shown(column)} is a formula; write the number that comes out of it")
            return None
        return read(column, written)

    def _money(self, column: str, written: str) -> Decimal | None:
        like = "write dollars and cents like 12.50, or leave the cell empty while it is not known"
        if not _MONEY.fullmatch(written) or ("," in written and self.mark != ","):
            self._wrong(column, f"{self._shown(column)} is no price; {like}")
            return None
        money = Decimal(written.lstrip("$ ").replace(",", ""))
        if money > MOST_DOLLARS:
            self._wrong(column, f"{self._shown(column)} is more than {MOST_DOLLARS:,}; look for a digit too many")
        return money.quantize(Decimal("0.01"))

    def _rate(self, column: str, written: str) -> Decimal | None:
        rate = Decimal(written) if _NUMBER.fullmatch(written) else Decimal(0)
        if not 0 < rate <= MOST_PER_HOUR:
            self._wrong(column, f"{self._shown(column)} is no amount done in an hour; write a number above 0 like 2.5")
            return None
        return rate


def price_book_text(book: PriceBook) -> str:
    """Return a price book as CSV, with its remarks at the head; reads back as it is."""
    text = io.StringIO(newline="")
    write = csv.writer(text, lineterminator="\r\n").writerow
    for note in book.notes:
        write([note])
    write(COLUMNS)
    for r in book.rows:
        price, per_hour = ("" if v is None else f"{v:f}" for v in (r.price, r.per_hour))
        taxed = (
            "" if r.item in items() and items()[r.item].kind != "price" and not r.taxed else "yes" if r.taxed else "no"
        )
        said = (inert_cell(r.item), inert_cell(r.of), r.size_in, inert_cell(r.second), inert_cell(r.unit))
        write([*said, price, per_hour, taxed, inert_cell(r.group), inert_cell(r.source), inert_cell(r.name)])
    return text.getvalue()


def keep_price_book(read: BookRead) -> Path:
    """Write a price book as the user's own for all jobs, whole or not at all, and return the file. Raises JobFileError."""
    return keep_own(PRICES, price_book_text(read.book).encode("utf-8-sig"))


def keep_own(name: str, data: bytes) -> Path:
    """Write a file into the user's folder for all jobs, whole or not at all, and return it. Raises JobFileError."""
    file = own_folder() / name
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, data)
    except OSError as fault:
        raise JobFileError(f"{file}: {in_words(fault)}") from fault
    return file
