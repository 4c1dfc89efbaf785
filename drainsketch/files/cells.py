"""Text from a spreadsheet or a data collector, cut into rows of cells."""

import csv
from io import StringIO

from drainsketch.errors import EditError

MOST_CHARACTERS = 5_000_000
MOST_ROWS = 50_000


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


def heading(cell: str) -> str:
    """Return a column heading as it is compared: letters and digits only, small."""
    return "".join(c for c in cell.casefold() if c.isalnum() or c in "+-")
