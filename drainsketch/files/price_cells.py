"""One row of a price book: its cells read strictly, and written so that they stay text."""

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from difflib import get_close_matches
from typing import get_args

from drainsketch.files.cells import inert_cell, untouched
from drainsketch.job.kinds import PipeKind
from drainsketch.job.plain import plain
from drainsketch.job.price_book import Item, PriceRow, figure, items
from drainsketch.job.price_terms import CHOICES

COLUMNS = ("item", "of", "size_in", "second", "unit", "price", "per_hour", "taxed", "group", "source", "name")
MOST_TEXT = 120
MOST_DOLLARS, MOST_PER_HOUR, MOST_SIZE = Decimal(1_000_000), Decimal(100_000), 1_000

MAY_BE_EMPTY = ", or leave the cell empty while it is not known"
_MONEY = re.compile(r"\$? ?(\d{1,12}|\d{1,3}(?:,\d{3}){1,3})(\.\d{1,2})?", re.ASCII)
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,3})?", re.ASCII)
_FORMULA = ("=", "+", "@")


def row_cells(row: PriceRow) -> dict[str, str]:
    """Return the cells of a row, by column, so that they read back as the row and no spreadsheet takes one for a formula."""
    item = items().get(row.item)
    price, per_hour = ("" if v is None else f"{v:f}" for v in (row.price, row.per_hour))
    taxed = "" if item is not None and item.kind != "price" and not row.taxed else "yes" if row.taxed else "no"
    said = {
        name: inert_cell(getattr(row, name)) for name in ("item", "of", "second", "unit", "group", "source", "name")
    }
    cells = {**said, "size_in": row.size_in, "price": price, "per_hour": per_hour, "taxed": taxed}
    return {column: cells[column] for column in COLUMNS}


class RowReader:
    """One row being read: its cells by column, what is wrong with them (column, sentence), and whether a takeoff counts the item."""

    def __init__(self, cells: Mapping[str, str], mark: str = ",") -> None:
        self.cells, self.mark = cells, mark
        self.faults: list[tuple[str, str]] = []
        self.near: str | None = (
            None  # where no takeoff counts the item: the known one spelled most like it, '' for none
        )

    def read(self) -> PriceRow | None:
        """Return the row; None where something is wrong with it."""
        name = plain(untouched(self.cells["item"]), MOST_TEXT)
        if not name:
            self._wrong("item", "is empty; name what the row is the price of, or delete the row")
            return None
        item = items().get(name)
        if item is None:
            self.near = next(iter(get_close_matches(name, items(), 1)), "")
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
        self.faults.append((column, what))

    def _shown(self, column: str) -> str:
        return f"'{plain(self.cells[column], 30)}'"

    def _text(self, column: str) -> str:
        return plain(untouched(self.cells.get(column, "")), MOST_TEXT)

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
        like = f"write dollars and cents like 12.50{MAY_BE_EMPTY}"
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
