"""What pricing returns: lines, the steps from their sum to the total, and how each figure was made."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct

from drainsketch.findings import Finding
from drainsketch.job.price_book import Group, PriceRow, Source, Which
from drainsketch.job.pricing import PriceChange

Params = tuple[tuple[str, str | float], ...]
Why = Literal["", "no_row", "no_figure", "no_rate", "too_deep", "no_wage", "no_depth", "no_extra"]
StepKey = Literal[
    "direct", "overhead", "cost", "profit", "minimum", "sale", "tax", "rounding", "total", "deposit", "balance"
]
ADDED: tuple[StepKey, ...] = ("overhead", "profit", "minimum", "tax", "rounding")  # onto the lines: they make the total
GROUPS: tuple[Group, ...] = ("materials", "labor", "equipment", "disposal", "delivery", "extras")


class PricedLine(Struct, frozen=True, kw_only=True):
    """One line of a price. Where ``amount`` is None there is no price, and ``why`` says why; it is never zero.

    ``item`` and ``params`` are worded as those of a takeoff line. ``quantity`` is to the hundredth, as it is printed: quantity
    times ``unit_price`` is the amount, to the cent. ``source`` is 'example' where any figure behind the line is invented.
    ``asks`` are the cells of the row that the price book lacks. ``rows`` are those behind it, the one with its unit price first, and
    ``which`` names the row that would be this line's alone.
    """

    item: str
    params: Params = ()
    group: Group
    quantity: Decimal | None
    unit: str
    unit_price: Decimal | None
    amount: Decimal | None
    taxed: bool = False
    source: Source = "yours"
    arithmetic: str = ""
    owners: tuple[str, ...] = ()
    why: Why = ""
    asks: str = ""
    rows: tuple[PriceRow, ...] = ()
    which: Which | None = None


class Step(Struct, frozen=True):
    """A step from the lines to the total, with its sum in figures."""

    key: StepKey
    amount: Decimal
    arithmetic: str


class Covered(Struct, frozen=True):
    """A takeoff line that has no price of its own, since another line of the price holds it; ``by`` is that line's item."""

    item: str
    params: Params
    by: str


class Price(Struct, frozen=True, kw_only=True):
    """The price of a job. While a line has no price the total is only that of the others, and there is no deposit yet.

    ``markup_pct`` and ``margin_pct`` are the profit that was asked for, said both ways; ``sold_margin_pct`` and
    ``sold_markup_pct`` what is left of it, or comes on top, once the least price and rounding are in; None where the sale is nothing.
    """

    lines: tuple[PricedLine, ...]
    steps: tuple[Step, ...]
    covered: tuple[Covered, ...]
    findings: tuple[Finding, ...]
    total: Decimal
    deposit: Decimal | None
    balance: Decimal | None
    valid_days: int
    markup_pct: Decimal
    margin_pct: Decimal
    sold_margin_pct: Decimal | None
    sold_markup_pct: Decimal | None
    crew_hours: Decimal  # on the job, all together
    crew_days: Decimal
    has_example_prices: bool  # an invented price or rate is in it
    example_terms: tuple[str, ...] = ()  # terms that nobody set
    rows: tuple[PriceRow, ...] = ()  # behind the steps: the least price of a job
    least_job: Decimal | None = None  # the least price of a job, whether it is met or not
    unused: tuple[PriceChange, ...] = ()  # changes of the job that no line goes by

    @property
    def has_examples(self) -> bool:
        """Whether an invented price, rate or term is in it: no bid."""
        return self.has_example_prices or bool(self.example_terms)

    @property
    def complete(self) -> bool:
        """Whether every line has a price."""
        return all(line.amount is not None for line in self.lines)

    def of_group(self, group: Group) -> tuple[PricedLine, ...]:
        """Return the lines of a group."""
        return tuple(line for line in self.lines if line.group == group)

    def step(self, key: StepKey) -> Step | None:
        """Return a step; None where there is none of it."""
        return next((s for s in self.steps if s.key == key), None)
