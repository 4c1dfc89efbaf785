"""Cells: text from a spreadsheet or a data collector cut into rows of them, and text on its way into one."""

import csv
from io import StringIO

from drainsketch.errors import EditError

MOST_CHARACTERS = 5_000_000
MOST_ROWS = 50_000

# What makes a spreadsheet program take a cell for a formula, full-width forms included.
# Source: OWASP, CSV Injection. Blanks before it are skipped by some programs, so they are looked through.
_FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def rows_of(text: str, mark: str | None = None) -> list[tuple[int, list[str]]]:
    """Return (line number from 1, cells) of every row that is not blank; cells are stripped.

    Cells are parted by ``mark``; without it by tabs where there are any, else by semicolons, else by commas. Quotes round a cell are taken off; inch
    marks in it stay.

    Raises
    ------
    EditError : the text is far too long to be a field book
    """
    if len(text) > MOST_CHARACTERS:
        raise EditError(f"the text has {len(text):,} characters; {MOST_CHARACTERS:,} are the most that is read")
    text = text.removeprefix("\ufeff").replace("\0", "")
    mark = mark or next((m for m in "\t;" if m in text), ",")
    out: list[tuple[int, list[str]]] = []
    reader = csv.reader(StringIO(text, newline=""), delimiter=mark)
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                out.append((line, stripped))
            if len(out) > MOST_ROWS:
                raise EditError(f"line {line}: more than {MOST_ROWS:,} rows; take them in parts")
            line = reader.line_num + 1
    except csv.Error as fault:
        raise EditError(f"line {line}: a cell never ends; look for a quote mark too many") from fault
    return out


def block_of(text: str) -> list[list[str]]:
    """Return a block of cells as a spreadsheet copies it: tabs between cells, blank rows kept in their place, all rows as wide as the widest.

    Raises
    ------
    EditError : the text is far too long, or a cell never ends
    """
    if len(text) > MOST_CHARACTERS:
        raise EditError(f"the text has {len(text):,} characters; {MOST_CHARACTERS:,} are the most that is read")
    clean = text.removeprefix("\ufeff").replace("\0", "").rstrip("\r\n")
    try:
        rows = list(csv.reader(StringIO(clean, newline=""), delimiter="\t"))
    except csv.Error as fault:
        raise EditError("a cell never ends; look for a quote mark too many") from fault
    wide = max((len(cells) for cells in rows), default=0)
    return [[cell.strip() for cell in cells] + [""] * (wide - len(cells)) for cells in rows]


def heading(cell: str) -> str:
    """Return a column heading as it is compared: letters and digits only, small."""
    return "".join(c for c in cell.casefold() if c.isalnum() or c in "+-")


def one_line(text: str) -> str:
    """Return the text on one line, without control characters and halves of characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def inert_cell(text: str) -> str:
    """Return text that no spreadsheet program takes for a formula: on one line, with an apostrophe before a bad start."""
    clean = one_line(text)
    return "'" + clean if clean.startswith(_FORMULA_STARTS) else clean


def untouched(cell: str) -> str:
    """Return the text that ``inert_cell`` made a cell of: without the apostrophe that it put before a bad start.

    Examples
    --------
    >>> untouched(inert_cell("=sum")), untouched("'til noon")
    ('=sum', "'til noon")
    """
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA_STARTS) else cell
