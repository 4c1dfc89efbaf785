"""What is different about the price of this job, and what the offer to its owner says."""

from typing import Annotated

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import Money, Percent, Word
from drainsketch.job.price_terms import ProfitAs, RoundWay, Soil, TaxOn, Tool

Cell = Annotated[str, Meta(max_length=60)]
PerHour = Annotated[float, Meta(gt=0, le=100_000)]


class PriceChange(Frozen, frozen=True):
    """A price or a production rate of this job alone, in place of the price book's row that the four cells name."""

    item: Annotated[str, Meta(min_length=1, max_length=60)]
    of: Cell = ""
    size_in: Cell = ""
    second: Cell = ""
    price: Money | None = None
    per_hour: PerHour | None = None
    taxed: bool | None = None


class TermChanges(Frozen, frozen=True):
    """Terms of this job alone; None leaves a term to the contractor's own for all jobs."""

    overhead_pct: Annotated[float, Meta(ge=0, le=200)] | None = None
    profit_as: ProfitAs | None = None
    profit_pct: Annotated[float, Meta(ge=0, le=500)] | None = None
    tax_pct: Annotated[float, Meta(ge=0, le=30)] | None = None
    tax_on: TaxOn | None = None
    round_to: Annotated[float, Meta(ge=0.01, le=1_000)] | None = None
    round_way: RoundWay | None = None
    deposit_pct: Percent | None = None
    valid_days: Annotated[int, Meta(ge=1, le=365)] | None = None
    crew: Annotated[int, Meta(ge=1, le=50)] | None = None
    day_hours: Annotated[float, Meta(ge=1, le=16)] | None = None
    tool: Tool | None = None
    soil: Soil | None = None
    truck_yd3: Annotated[float, Meta(ge=0.1, le=100)] | None = None
    truck_tons: Annotated[float, Meta(ge=0.1, le=100)] | None = None
    spoil_tons_per_yd3: Annotated[float, Meta(ge=0.5, le=3)] | None = None
    worker_hour: Annotated[float, Meta(ge=0, le=1_000)] | None = None


class Extra(Frozen, frozen=True):
    """A line of the price that no takeoff can count: a permit, a stump, a day of waiting."""

    name: Annotated[Word, Meta(min_length=1)]
    quantity: Annotated[float, Meta(gt=0, le=1_000_000)] = 1.0
    unit: Annotated[str, Meta(max_length=30)] = ""
    price: Money | None = None  # for one; None is not known yet
    taxed: bool = False


class Pricing(Frozen, frozen=True):
    """The price of this job, as far as it differs from the contractor's book and terms."""

    changes: Annotated[tuple[PriceChange, ...], Meta(max_length=500)] = ()
    terms: TermChanges = TermChanges()
    extras: Annotated[tuple[Extra, ...], Meta(max_length=100)] = ()


class Offer(Frozen, frozen=True):
    """What the offer to the owner says of this job. ``show_lines`` shows what each part costs, not the total alone."""

    excluded: Annotated[tuple[Word, ...], Meta(max_length=40)] = ()
    show_lines: bool = False
    note: Annotated[str, Meta(max_length=4_000)] = ""
