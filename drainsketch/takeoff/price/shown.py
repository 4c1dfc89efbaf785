"""A price as its owner reads it: the price before tax in a few parts that add up to the cent. No cost, no profit, no hours."""

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from drainsketch.takeoff.price.money import CENT
from drainsketch.takeoff.price.results import Price, PricedLine

PARTS = ("materials", "work", "hauling")
_PART_OF = {
    "materials": "materials",
    "labor": "work",
    "equipment": "work",
    "disposal": "hauling",
    "delivery": "hauling",
}


class Part(Struct, frozen=True):
    """A part of the price before tax. ``key`` is one of ``PARTS``, or '' for a line that is named by itself: ``line``."""

    key: str
    amount: Decimal
    line: PricedLine | None = None


def shown_parts(price: Price) -> tuple[Part, ...]:
    """Return the price before tax in parts: what stands on top of cost lies on all of them alike.

    Parameters
    ----------
    price : one in which every line has a price; a part that costs nothing is left out

    Notes
    -----
    Source: largest remainders, so that cents add up (arithmetic). Check: tests/takeoff/price/test_shown.py
    """
    sale = price.step("sale")
    cost: dict[str, Decimal] = dict.fromkeys(PARTS, Decimal(0))
    own: dict[str, PricedLine] = {}
    for at, line in enumerate(price.lines):
        key = _PART_OF.get(line.group, "")
        if not key:
            key = str(at)
            own[key] = line
        cost[key] = cost.get(key, Decimal(0)) + (line.amount or 0)
    found = parted(sale.amount if sale is not None else Decimal(0), {k: c for k, c in cost.items() if c or k in own})
    return tuple(Part("" if key in own else key, amount, own.get(key)) for key, amount in found.items())


def parted(whole: Decimal, shares: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Return an amount parted by shares, in whole cents that add up to it.

    Examples
    --------
    >>> parted(Decimal("1.00"), {"a": Decimal(1), "b": Decimal(1), "c": Decimal(1)})
    {'a': Decimal('0.34'), 'b': Decimal('0.33'), 'c': Decimal('0.33')}
    """
    every = sum(shares.values(), Decimal(0))
    if not every:
        return {}
    exact = {key: whole * share / every for key, share in shares.items()}
    found = {key: amount // CENT * CENT for key, amount in exact.items()}
    missing = int((whole - sum(found.values())) / CENT)
    for key in sorted(exact, key=lambda k: found[k] - exact[k])[:missing]:
        found[key] += CENT
    return found
