"""The price book being edited: rows of cells, each checked as it is typed, over the rows of the example; no Qt in here."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from drainsketch.files.cells import untouched
from drainsketch.files.price_cells import COLUMNS, RowReader, row_cells
from drainsketch.job.price_book import EXAMPLE, PriceBook, PriceRow, Which, items, layered

SHOWN = ("name", "item", "of", "size_in", "second", "price", "per_hour", "unit", "taxed", "source")
HEADS = (
    *("Name", "Item", "Kind of pipe or soil", "Size, in", "Second size"),
    *("Price, $", "Per hour", "Unit", "Taxed", "Source"),
)
NAMES = ("item", "of", "size_in", "second")  # what a row is the price of
DERIVED = ("unit",)
OWN = "yours"
HELD = "This row is the example's: give it your own price or rate, or add a row of your own for another kind or size."
BLANK: dict[str, str] = dict.fromkeys(COLUMNS, "")


class BookRow(Struct, frozen=True):
    """A row as typed: its cells, the row that they make, or what is wrong with them."""

    cells: dict[str, str]
    row: PriceRow | None
    faults: tuple[tuple[str, str], ...] = ()

    @property
    def is_example(self) -> bool:
        """Whether the row is invented."""
        return self.cells["source"].casefold() == EXAMPLE


def of_cells(cells: Mapping[str, str]) -> BookRow:
    """Return a row of cells as they were typed."""
    reader = RowReader(cells)
    row = reader.read()
    return BookRow(dict(cells), row, tuple(reader.faults))


def of_row(row: PriceRow) -> BookRow:
    """Return a row as it is edited: text without the apostrophe that a file needs."""
    return BookRow({column: untouched(cell) for column, cell in row_cells(row).items()}, row)


def typed_over(old: BookRow, column: str, text: str) -> tuple[BookRow, str]:
    """Return a row with one cell typed over, and why that cannot be; '' where it can.

    An item brings its unit and group, and whether its like is taxed. A figure typed over an invented one is the user's own.
    """
    cells = {**old.cells, column: text.strip()}
    item = items().get(cells["item"])
    if column == "item":
        cells |= {"unit": item.unit, "group": item.group} if item is not None else {}
        if item is not None and item.kind == "price" and not cells["taxed"]:
            cells["taxed"] = "yes" if item.group == "materials" else "no"
    if column in ("price", "per_hour") and old.is_example and cells[column] != old.cells[column]:
        cells["source"] = OWN
    new = of_cells(cells)
    if column == "item" and item is None and cells["item"]:
        return old, "no takeoff counts that; take an item of the list"
    return new, next((wrong for at, wrong in new.faults if at == column), "")


class BookSheet:
    """All rows of the book, the example's with the user's own over them."""

    def __init__(self, shipped: PriceBook, own: PriceBook) -> None:
        self._shipped: dict[Which, PriceRow] = {row.which: row for row in shipped.rows}
        self.rows: list[BookRow] = [of_row(row) for row in layered(shipped, own).rows]
        self._at_first = tuple(self.rows)

    @property
    def changed(self) -> bool:
        """Whether anything was typed."""
        return tuple(self.rows) != self._at_first

    @property
    def own_rows(self) -> tuple[PriceRow, ...]:
        """What is the user's: every row that is not just as it ships."""
        made = (r.row for r in self.rows)
        return tuple(row for row in made if row is not None and self._shipped.get(row.which) != row)

    @property
    def whole(self) -> PriceBook:
        """Every row, to be written into a file."""
        return PriceBook(tuple(r.row for r in self.rows if r.row is not None))

    def is_shipped(self, at: int) -> bool:
        """Return whether a row stands in the place of one of the example: what it is the price of cannot be typed over."""
        return at < len(self._shipped)

    def why_not(self, at: int, column: str, text: str) -> str:
        """Return why a text cannot go into a cell; '' where it can."""
        if column in DERIVED:
            return "The unit comes with the item."
        if self.is_shipped(at) and column in NAMES and text != self.rows[at].cells[column]:
            return HELD
        return typed_over(self.rows[at], column, text)[1]

    def put(self, at: int, column: str, text: str) -> None:
        """Type over a cell that can be."""
        self.rows[at] = typed_over(self.rows[at], column, text)[0]

    def add(self, item: str) -> int:
        """Add a row of the user's own and return where it stands."""
        row, _ = typed_over(of_cells({**BLANK, "source": OWN}), "item", item)
        self.rows.append(row)
        return len(self.rows) - 1

    def take_out(self, at: int) -> str:
        """Take out a row of the user's own; the example's shows again. Return why not, for a row of the example."""
        if not self.is_shipped(at):
            del self.rows[at]
            return ""
        row = self.rows[at].row
        shipped = self._shipped[row.which] if row is not None else None
        if shipped is None or row == shipped:
            return "This row is the example's and stays. Empty its price where it is not known yet: then it counts as missing."
        self.rows[at] = of_row(shipped)
        return ""

    def merge(self, rows: Iterable[PriceRow]) -> int:
        """Lay rows over these; an invented one replaces none of the user's own. Return how many changed."""
        at = {r.row.which: n for n, r in enumerate(self.rows) if r.row is not None}
        changed = 0
        for row in rows:
            here = at.get(row.which)
            if here is None:
                self.rows.append(of_row(row))
                changed += 1
            elif self.rows[here].row != row and (self.rows[here].is_example or not row.is_example):
                self.rows[here] = of_row(row)
                changed += 1
        return changed

    def paste(self, places: Sequence[int], first: int, block: Sequence[Sequence[str]]) -> list[str]:
        """Put a block of cells over rows at these places, from a shown column on; all of it or nothing.

        Returns
        -------
        what is wrong, a sentence for each cell; [] where all went in
        """
        if len(block) > len(places):
            return [f"{len(block)} rows do not go over the {len(places)} from here to the end; add rows first"]
        wide = max((len(cells) for cells in block), default=0)
        if first + wide > len(SHOWN):
            return [f"{wide} cells side by side do not go in from column {HEADS[first]}"]
        new: dict[int, BookRow] = {}
        wrong = []
        for number, (at, cells) in enumerate(zip(places, block, strict=False), 1):
            row, held = self.rows[at], self.is_shipped(at)
            for column, text in zip(SHOWN[first:], cells, strict=False):
                if column in DERIVED or text == row.cells[column]:
                    continue
                if held and column in NAMES:
                    wrong.append(f"row {number} of what was pasted, {column}: {HELD}")
                    break
                row, why = typed_over(row, column, text)
                if why:
                    wrong.append(f"row {number} of what was pasted, {column}: {why}")
            new[at] = row
        if not wrong:
            for at, row in new.items():
                self.rows[at] = row
        return wrong

    def faults(self) -> list[tuple[int, str, str]]:
        """Return what keeps the book from being kept: row, column, sentence."""
        found: list[tuple[int, str, str]] = []
        stands: dict[Which, int] = {}
        for at, r in enumerate(self.rows):
            found += [(at, column, wrong) for column, wrong in r.faults]
            if r.row is None:
                continue
            if r.row.which in stands:
                found.append((at, "item", f"stands already in row {stands[r.row.which] + 1}; take one out"))
            stands.setdefault(r.row.which, at)
        return found
