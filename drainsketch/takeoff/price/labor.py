"""Labor: hours from production rates, at what an hour costs."""

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct

from drainsketch.job.price_book import WORKER, Lookup, PriceRow, Source, Which
from drainsketch.job.price_terms import PriceTerms
from drainsketch.takeoff.price.lines import cells, source_of, worst_source
from drainsketch.takeoff.price.money import cents, counted, dollars, plain_number
from drainsketch.takeoff.price.results import Params, PricedLine, Why
from drainsketch.takeoff.results import TakeoffLine

MOST_PLACES = 6  # of figures in a sum
# rate, and the takeoff items whose quantities it goes by
TASKS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("lay_pipe", ("pipe_drain", "pipe_solid")),
    ("set_basin", ("basin_body",)),
    (
        "set_piece",
        (
            *("cleanout_head", "cleanout_inline", "downspout_head", "downspout_inline", "outlet_daylight"),
            *("outlet_pop_up", "outlet_tie_in", "outlet_curb", "outlet_dry_well"),
        ),
    ),
    ("place_stone", ("stone_drain", "stone_solid", "stone_basin", "stone_dry_well", "splash_stone")),
    ("lay_fabric", ("fabric",)),
    ("spread_topsoil", ("topsoil_cap",)),
    ("spread_spoil", ("spoil_spread",)),
    ("saw_cutting", ("saw_cut",)),
    ("break_out", ("paving_rubble",)),
    ("place_base", ("base_course",)),
    ("patch_asphalt", ("asphalt_patch",)),
    ("patch_concrete", ("concrete_patch",)),
    ("relay_pavers", ("pavers_relaid",)),
    ("spread_gravel", ("gravel_surface",)),
    ("lay_sod", ("sod",)),
    ("seed_lawn", ("lawn_seed",)),
    ("spread_mulch", ("mulch",)),
)
DUG = ("trench_drain", "trench_solid", "basin_holes", "dry_well_holes")
GONE = ("spoil_bank", "spoil_spread")  # hauled off, or spread on the yard


class Wages(Struct, frozen=True):
    """What an hour costs: of one worker, and of the crew, in dollars; None where nobody said."""

    worker: Decimal | None
    crew: int
    taxed: bool
    source: Source
    row: PriceRow | None = None  # of the price book, where the terms say nothing


def wages(book: Lookup, terms: PriceTerms, example_terms: Sequence[str] = ()) -> Wages:
    """Return what an hour costs: as the terms say, or else as the price book says."""
    row = book.row(WORKER)
    taxed = row is not None and row.taxed
    if terms.worker_hour is not None:
        source: Source = "example" if "worker_hour" in example_terms else "yours"
        return Wages(terms.worker_hour, terms.crew, taxed, source)
    return Wages(row.price if row else None, terms.crew, taxed, source_of(row), row)


def hours_line(
    item: str,
    hours: float,
    wages: Wages,
    how: Sequence[str],
    *,
    params: Params = (),
    owners: tuple[str, ...] = (),
    rates: Sequence[PriceRow] = (),
    crew: bool = False,
    why: Why = "",
    lacks: Which | None = None,
) -> PricedLine:
    """Return hours of labor at what an hour costs, in hours of one worker, or of the whole crew beside a machine.

    Parameters
    ----------
    how : how the hours came about, in figures
    rates : the production rates behind them
    why, lacks : why the hours are not known, where they are not, and the rate that would tell
    """
    unit = "crew_hour" if crew else "hour"
    quantity = None if why else counted(hours)
    unit_price = None if wages.worker is None else wages.worker * (wages.crew if crew else 1)
    terms = list(how)
    amount = None
    if quantity is not None and unit_price is not None:
        amount = cents(quantity * unit_price)
        each = f"{wages.crew} x {dollars(wages.worker or Decimal(0))} = {dollars(unit_price)}" if crew else ""
        terms += [each] if each else []
        terms.append(f"{plain_number(quantity)} h x {dollars(unit_price)} = {dollars(amount)}")
    return PricedLine(
        item=item,
        params=params,
        group="labor",
        quantity=quantity,
        unit=unit,
        unit_price=unit_price,
        amount=amount,
        taxed=wages.taxed,
        source=worst_source(wages.source, source_of(*rates)),
        arithmetic="; ".join(terms),
        owners=owners,
        why="" if amount is not None else why or "no_wage",
        asks="" if amount is not None else cells(*(lacks or WORKER)),
        rows=(*((wages.row,) if wages.row is not None else ()), *rates),
        which=lacks or WORKER,
    )


def tasks(takeoff: Sequence[TakeoffLine], book: Lookup, wages: Wages) -> list[PricedLine]:
    """Return the labor besides digging, in hours of one worker: laying, setting, stone, topsoil, backfill."""
    lines = []
    for item, counted_items in TASKS:
        some = [line for line in takeoff if line.item in counted_items]
        quantity = sum(line.quantity for line in some)
        how = adding([line.quantity for line in some])
        owners = tuple(dict.fromkeys(owner for line in some for owner in line.owners))
        lines += _task(item, quantity, how, owners, book, wages)
    dug = [line for item in DUG for line in takeoff if line.item == item]
    off, spread = (sum(line.quantity for line in takeoff if line.item == item) for item in GONE)
    whole = sum(line.quantity for line in dug)
    left = whole - off - spread
    n = places([whole, -off, -spread])
    gone = f"hauled off {off:.{n}f}" + (f" - spread {spread:.{n}f}" if spread else "")
    how = f"dug {whole:.{n}f} - {gone} = {left:.{n}f}"
    owners = tuple(dict.fromkeys(owner for line in dug for owner in line.owners))
    return lines + _task("backfill", left, how, owners, book, wages)


def places(terms: Sequence[float]) -> int:
    """Return how many decimals terms need, 2 or more, so that as they are written they add up to their sum as it is written."""
    for n in range(2, MOST_PLACES):
        if _written(terms, n) == Decimal(f"{sum(terms):.{n}f}"):
            return n
    return MOST_PLACES


def _written(terms: Sequence[float], n: int) -> Decimal:
    """Return the sum of terms as they are written."""
    return sum((Decimal(f"{term:.{n}f}") for term in terms), Decimal(0))


def adding(terms: Sequence[float]) -> str:
    """Return a sum in figures that add up as they are written; one term alone as it is.

    Examples
    --------
    >>> adding([0.234, 2.904, 0.424])
    '0.234 + 2.904 + 0.424 = 3.562'
    """
    n = places(terms)
    said = " + ".join(f"{term:.{n}f}" for term in terms)
    return f"{said} = {_written(terms, n):f}" if len(terms) > 1 else said


def _task(
    item: str, quantity: float, how: str, owners: tuple[str, ...], book: Lookup, wages: Wages
) -> list[PricedLine]:
    if quantity <= 1e-9:
        return []
    row = book.row((item, "", "", ""))
    if row is None or row.per_hour is None:
        return [hours_line(item, 0.0, wages, [how], owners=owners, why="no_rate", lacks=(item, "", "", ""))]
    hours = quantity / float(row.per_hour)
    said = f"{how} {row.unit} / {row.per_hour:f} {row.unit} per hour = {hours:.3f} h"
    return [hours_line(item, hours, wages, [said], owners=owners, rates=[row])]
