"""A price book: what a contractor pays for each item, and how much is done in an hour. Money is Decimal, to the cent."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache
from itertools import product
from typing import Literal

import msgspec
from msgspec import Struct

from drainsketch.resources import table

Group = Literal["materials", "labor", "equipment", "disposal", "delivery", "extras", "job"]
Source = Literal["example", "yours", "this job"]
EXAMPLE, THIS_JOB = (
    "example",
    "this job",
)  # what stands in the source column of an invented row, and of one of a job alone
Which = tuple[str, str, str, str]  # item, of, size, second; '' where a cell is empty
WORKER: Which = ("worker_hour", "", "", "")  # what an hour of a worker costs


class Item(Struct, frozen=True):
    """What a price book may hold of one item: its unit, and which param of a takeoff line each column stands for."""

    group: Group
    unit: str
    of: Literal["", "pipe", "soil"] = ""
    size: str = ""
    second: str = ""
    kind: Literal["price", "rate", "least"] = "price"

    def which(self, name: str, params: Mapping[str, str | float]) -> Which:
        """Return what a takeoff line with these params is looked up by."""
        of, size, second = (figure(params[param]) if param else "" for param in (self.of, self.size, self.second))
        return name, of, size, second


class PriceRow(Struct, frozen=True, kw_only=True):
    """One row of a price book. A price of None is not known yet; an empty ``of``, ``size_in`` or ``second`` fits any."""

    item: str
    of: str = ""
    size_in: str = ""
    second: str = ""
    unit: str
    price: Decimal | None = None
    per_hour: Decimal | None = None
    taxed: bool = False
    group: str = ""
    source: str = ""
    name: str = ""

    @property
    def which(self) -> Which:
        """Return what the row is found by."""
        return self.item, self.of, self.size_in, self.second

    @property
    def whose(self) -> Source:
        """Return whether the row is an invented example, the user's own for all jobs, or that of one job."""
        said = self.source.casefold()
        return "example" if said == EXAMPLE else "this job" if said == THIS_JOB else "yours"

    @property
    def is_example(self) -> bool:
        """Return whether the row is invented."""
        return self.whose == "example"


class PriceBook(Struct, frozen=True):
    """The rows of a price book in file order, and the remarks at its head."""

    rows: tuple[PriceRow, ...]
    notes: tuple[str, ...] = ()


def layered(under: PriceBook, over: PriceBook) -> PriceBook:
    """Return a book in which the rows of one lie over those of another: a row that names the same cells replaces the one below.

    An invented row replaces none of the user's own.
    """
    rows = {row.which: row for row in under.rows}
    for row in over.rows:
        below = rows.get(row.which)
        if below is None or below.is_example or not row.is_example:
            rows[row.which] = row
    return PriceBook(tuple(rows.values()), over.notes or under.notes)


class Lookup:
    """Finds the row of a price book that fits best.

    Any row of the user's own that fits goes before every invented one. Among them a row with the kind of pipe or soil goes before
    one that fits any, then one with the size, then one with ``second``.
    """

    def __init__(self, book: PriceBook) -> None:
        self._own = {row.which: row for row in book.rows if not row.is_example}
        self._examples = {row.which: row for row in book.rows if row.is_example}

    def row(self, which: Which) -> PriceRow | None:
        """Return the row that fits best; None where there is none."""
        item, *cells = which
        for rows in (self._own, self._examples):
            for of, size, second in product(*((cell, "") if cell else ("",) for cell in cells)):
                if found := rows.get((item, of, size, second)):
                    return found
        return None

    def rates(self, item: str, of: str) -> tuple[PriceRow, ...]:
        """Return the rates of a tool in a soil, the shallowest first.

        Those of any soil stand where the soil's own do not reach, and invented ones only beyond the deepest of the user's own.
        """
        rates: list[PriceRow] = []
        for rows in (self._own, self._examples):
            for soil in (of, ""):
                some = _rates(rows.values(), item, soil)
                reach = to_depth_ft(rates[-1]) if rates else 0.0
                rates += [rate for rate in some if to_depth_ft(rate) > reach]
        return tuple(rates)


def _rates(rows: Iterable[PriceRow], item: str, of: str) -> list[PriceRow]:
    found = [row for row in rows if (row.item, row.of) == (item, of) and row.per_hour is not None]
    return sorted(found, key=to_depth_ft)


def to_depth_ft(rate: PriceRow) -> float:
    """Return down to what cut a rate holds, ft; any depth where the row names none."""
    return float(rate.second or "inf")


def figure(value: str | float) -> str:
    """Return a word as it is and a number without idle zeros, as the cells of a price book are compared.

    Examples
    --------
    >>> figure("sdr35"), figure(4.0), figure(22.5)
    ('sdr35', '4', '22.5')
    """
    return value if isinstance(value, str) else f"{value:g}"


@cache
def items() -> dict[str, Item]:
    """Return every item that a price book may hold, by its key."""
    return msgspec.convert(table("catalogue/price_items.toml"), dict[str, Item])
