"""Hauling: loads of spoil and stone by room or by weight, the dump fee, delivery, and the machine by the day."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal

from drainsketch.job.price_book import Lookup
from drainsketch.job.price_terms import PriceTerms
from drainsketch.takeoff.loads import loads
from drainsketch.takeoff.price.lines import priced_by_name
from drainsketch.takeoff.price.results import PricedLine
from drainsketch.takeoff.results import TakeoffLine

DAYS = {"trencher": "trencher_day", "mini-excavator": "mini_excavator_day"}
GOODS = ("pipe", "fittings", "structures")
STONE = ("stone_drain", "stone_solid", "stone_basin", "stone_dry_well", "base_course", "gravel_surface", "splash_stone")


def disposal(takeoff: Sequence[TakeoffLine], book: Lookup, terms: PriceTerms) -> list[PricedLine]:
    """Return spoil hauled off, by the load, and the dump fee, by the ton."""
    bank, loose = (next((line for line in takeoff if line.item == i), None) for i in ("spoil_bank", "spoil_loose"))
    if bank is None or loose is None:
        return []
    tons = bank.quantity * float(terms.spoil_tons_per_yd3)
    weight = f"{bank.quantity:.2f} yd3 bank x {terms.spoil_tons_per_yd3:f} tons per yd3 = {tons:.2f} tons"
    haul = _by_load("haul_load", loose.quantity, tons, weight, bank.owners, book, terms)
    return [haul, priced_by_name("tip_ton", tons, book, bank.owners, weight)]


def delivery(takeoff: Sequence[TakeoffLine], book: Lookup, terms: PriceTerms) -> list[PricedLine]:
    """Return what it costs to have stone, base course, gravel and topsoil brought, by the load, and pipe and pieces, once a job."""
    lines = []
    stone = [line for line in takeoff if line.item in STONE and line.quantity > 0]
    if stone:
        tons = sum(line.bought for line in stone)
        volume = sum(float(dict(line.params)["volume_yd3"]) * line.bought / line.quantity for line in stone)
        owners = tuple(o for line in stone for o in line.owners)
        lines.append(_by_load("delivery_stone", volume, tons, f"{tons:.2f} tons of stone", owners, book, terms))
    soil = next((line for line in takeoff if line.item == "topsoil_cap"), None)
    if soil is not None:
        tons = soil.bought * float(terms.spoil_tons_per_yd3)
        weight = f"{soil.bought:.2f} yd3 of topsoil x {terms.spoil_tons_per_yd3:f} tons per yd3 = {tons:.2f} tons"
        lines.append(_by_load("delivery_topsoil", soil.bought, tons, weight, soil.owners, book, terms))
    if any(line.group in GOODS for line in takeoff):
        lines.append(priced_by_name("delivery_goods", 1, book, (), ""))
    return lines


def _by_load(
    item: str, volume_yd3: float, tons: float, weight: str, owners: tuple[str, ...], book: Lookup, terms: PriceTerms
) -> PricedLine:
    yd3, most_tons = float(terms.truck_yd3), float(terms.truck_tons)
    count = loads(volume_yd3, tons, yd3, most_tons)
    by_room, by_weight = volume_yd3 / yd3, tons / most_tons
    governs = "room" if by_room >= by_weight else "weight"
    how = (
        f"{weight}; room {volume_yd3:.2f} yd3 / {yd3:g} yd3 = {by_room:.2f}, weight {tons:.2f} tons / {most_tons:g} tons = "
        f"{by_weight:.2f}: {governs} governs, rounded up = {count}"
    )
    return priced_by_name(item, count, book, owners, how)


def machine_days(hours: Decimal, book: Lookup, terms: PriceTerms) -> list[PricedLine]:
    """Return the machine of the job by whole days, from the hours that it digs."""
    if not hours or terms.tool not in DAYS:
        return []
    days = (hours / terms.day_hours).quantize(Decimal(1), ROUND_CEILING)
    how = f"{hours:f} h / {terms.day_hours:f} h a day = {hours / terms.day_hours:.2f}, rounded up = {days}"
    return [priced_by_name(DAYS[terms.tool], int(days), book, (), how)]
