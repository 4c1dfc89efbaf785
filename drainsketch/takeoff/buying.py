"""Buying: how much more is bought than is used, and how that is rounded up to what is handed over."""

from collections.abc import Iterable
from functools import cache
from math import ceil

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.sections import Goods
from drainsketch.resources import table
from drainsketch.takeoff.results import TakeoffLine

STOCK = (
    "sticks_drain",
    "sticks_solid",
    "coils_drain",
    "coils_solid",
)  # rounded up to whole ones where they are counted
BY_LENGTH = ("pipe_drain", "pipe_solid")  # bought as sticks or coils; the waste is said, for who buys it by the foot
# what is dug, goes back or is hauled off, work done, and what is left to the owner
NOT_BOUGHT = (
    *("trench_drain", "trench_solid", "basin_holes", "dry_well_holes", "backfill_dry_well"),
    *("spoil_bank", "spoil_loose", "spoil_left", "spoil_spread", "spoil_loads", "spoil_room"),
    *("saw_cut", "paving_rubble", "paving_unknown", "lawn_left"),
)


class Buying(Struct, frozen=True, forbid_unknown_fields=True):
    """How some goods are bought: ``each`` of a line's unit is in one of ``unit``, which is sold in parts of ``step``.

    ``only_waste``: what is taken up goes back, and only what is spoiled is bought. ``together``: its lines are rounded up as one.
    """

    waste_pct: float
    items: tuple[str, ...]
    unit: str
    each: float
    step: float
    source: str
    only_waste: bool = False
    together: bool = False


@cache
def buyings() -> dict[Goods, Buying]:
    """Return how all goods are bought, from ``resources/catalogue/buying.toml``."""
    return msgspec.convert(table("catalogue/buying.toml"), dict[Goods, Buying])


@cache
def _goods_of() -> dict[str, Goods]:
    return {item: goods for goods, buying in buyings().items() for item in buying.items}


def buying_of(line: TakeoffLine) -> Buying | None:
    """Return how a line is bought by itself; None where it is not bought so, or rounded up with others."""
    goods = _goods_of().get(line.item)
    buying = buyings()[goods] if goods is not None else None
    return None if buying is None or buying.together or buying.only_waste or line.buy is None else buying


def waste_pct(job: Job, goods: Goods) -> float:
    """Return how much more of some goods is bought than is used, %: as the job says, or what is usual."""
    return next((rule.pct for rule in job.waste if rule.goods == goods), buyings()[goods].waste_pct)


def with_waste(quantity: float, pct: float) -> float:
    """Return a quantity with waste: quantity x (1 + pct / 100). Source: definition. Check: tests/takeoff/test_buying.py

    Examples
    --------
    >>> with_waste(200.0, 10.0)
    220.00000000000003
    """
    return quantity * (1 + pct / 100)


def rounded_up(amount: float, step: float) -> float:
    """Return the least whole number of steps that is enough; a hair over one is not another.

    Parameters
    ----------
    amount : 0 or more
    step : above 0

    Source: definition. Check: tests/takeoff/test_buying.py

    Examples
    --------
    >>> rounded_up(5.14, 0.5), rounded_up(5.5, 0.5)
    (5.5, 5.5)
    """
    return ceil(amount / step - 1e-9) * step


def with_purchases(lines: Iterable[TakeoffLine], job: Job) -> tuple[TakeoffLine, ...]:
    """Return the lines with what is bought of each.

    Of goods that come on one truck the sum of the lines is rounded up, and the largest of them has what that adds; each is to the
    hundredth, so that what is printed adds up. Source: definition. Check: tests/takeoff/test_buying.py
    """
    out = list(lines)
    loads: dict[tuple[Goods, int], list[int]] = {}  # goods, and the line where each is bought by itself
    for at, line in enumerate(out):
        goods = _goods_of().get(line.item)
        if goods is not None:
            loads.setdefault((goods, -1 if buyings()[goods].together else at), []).append(at)
        elif line.item in BY_LENGTH:
            out[at] = replace(line, waste_pct=waste_pct(job, "pipe"))
        elif line.item not in NOT_BOUGHT:
            pct = waste_pct(job, "pipe") if line.item in STOCK else 0.0
            out[at] = replace(line, waste_pct=pct, buy=line.quantity, buy_unit="each")
    for (goods, _), places in loads.items():
        buying, pct = buyings()[goods], waste_pct(job, goods)
        needs = [
            out[at].quantity * pct / 100 if buying.only_waste else with_waste(out[at].quantity, pct) for at in places
        ]
        parts = [round(need / buying.each, 2) for need in needs]
        whole = rounded_up(sum(needs) / buying.each, buying.step)
        most = max(range(len(needs)), key=needs.__getitem__)
        parts[most] = round(whole - sum(part for i, part in enumerate(parts) if i != most), 2)
        for at, part in zip(places, parts, strict=True):
            out[at] = replace(out[at], waste_pct=pct, buy=part, buy_unit=buying.unit, buy_each=buying.each)
    return tuple(out)
