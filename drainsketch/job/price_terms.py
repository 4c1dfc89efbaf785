"""The terms of a price: what goes on top of cost, and how the crew works. Not part of the job file; shares are in percent."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct

ProfitAs = Literal["mark-up", "margin"]
TaxOn = Literal["sale", "cost"]
RoundWay = Literal["nearest", "up"]
Tool = Literal["hand", "trencher", "mini-excavator"]
Soil = Literal["sand", "loam", "clay"]


class PriceTerms(Struct, frozen=True, kw_only=True):
    """The terms of a price. ``worker_hour`` in dollars goes before that of the price book; None leaves it to the book."""

    overhead_pct: Decimal
    profit_as: ProfitAs
    profit_pct: Decimal
    tax_pct: Decimal
    tax_on: TaxOn  # what the customer pays for taxed lines, or what they cost
    round_to: Decimal  # dollars
    round_way: RoundWay
    deposit_pct: Decimal
    valid_days: int
    crew: int
    day_hours: Decimal
    tool: Tool
    soil: Soil
    truck_yd3: Decimal
    truck_tons: Decimal
    spoil_tons_per_yd3: Decimal  # in the bank
    worker_hour: Decimal | None = None


CHOICES: dict[str, tuple[str, ...]] = {
    "profit_as": ("mark-up", "margin"),
    "tax_on": ("sale", "cost"),
    "round_way": ("nearest", "up"),
    "tool": ("hand", "trencher", "mini-excavator"),
    "soil": ("sand", "loam", "clay"),
}
COUNTS = {"valid_days": (1, 365), "crew": (1, 50)}
# lowest, highest and most decimals: beyond them it is a slip of the finger, no term
NUMBERS: dict[str, tuple[str, str, int]] = {
    "overhead_pct": ("0", "200", 3),
    "profit_pct": ("0", "500", 3),
    "tax_pct": ("0", "30", 3),
    "round_to": ("0.01", "1000", 2),
    "deposit_pct": ("0", "100", 3),
    "day_hours": ("1", "16", 2),
    "truck_yd3": ("0.1", "100", 3),
    "truck_tons": ("0.1", "100", 3),
    "spoil_tons_per_yd3": ("0.5", "3", 3),
    "worker_hour": ("0", "1000", 2),
}
MOST_MARGIN_PCT = 95  # of the price; nothing costs nothing


def fault_of(name: str, value: object) -> str:
    """Return what is wrong with one term, as a sentence without its place; '' where nothing is."""
    if name in CHOICES:
        return "" if value in CHOICES[name] else f"{_shown(value)} is not one of {', '.join(CHOICES[name])}"
    if name in COUNTS:
        low, high = COUNTS[name]
        fine = isinstance(value, int) and not isinstance(value, bool) and low <= value <= high
        return "" if fine else f"{_shown(value)} is not a whole number from {low} to {high}"
    least, most, digits = NUMBERS[name]
    if isinstance(value, bool) or not isinstance(value, int | Decimal) or not Decimal(value).is_finite():
        return f"{_shown(value)} is no number; write it without quotes, like {least}"
    number = Decimal(value)
    if not Decimal(least) <= number <= Decimal(most):
        return f"{_shown(value)} is not from {least} to {most}"
    if number != round(number, digits):
        return f"{_shown(value)} has more than {digits} decimals; round it"
    return ""


def margin_fault(profit_as: ProfitAs, profit_pct: Decimal) -> str:
    """Return what is wrong with a margin that no price could have; '' where nothing is."""
    if profit_as == "margin" and profit_pct > MOST_MARGIN_PCT:
        return f'{profit_pct} is no margin on the price; write at most {MOST_MARGIN_PCT}, or profit_as = "mark-up"'
    return ""


def _shown(value: object) -> str:
    text = f"'{value}'" if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else text[:39] + "…"
