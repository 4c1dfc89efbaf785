"""Spoil: what comes out of the ground and does not go back, what is spread on the yard of it, and what is hauled off."""

from drainsketch.job.model import Job
from drainsketch.resources import table
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.heaps import LEAST_YD3, Spread, heap_grounds, heap_room, spread_over
from drainsketch.takeoff.loads import loads
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.trench import FT3_PER_YD3


def loose_yd3(bank_yd3: float, swell: float) -> float:
    """Return the loose volume of earth dug from the bank, yd3.

    loose = bank x swell

    Parameters
    ----------
    bank_yd3 : volume in place, yd3 (0 or more)
    swell : loose volume per bank volume (1 or more)

    Returns
    -------
    loose volume, yd3

    Raises
    ------
    ValueError : an argument is out of range

    Notes
    -----
    Limits: one figure for the whole job; sand swells less (1.11), clay more (1.43). Source: US Army FM 5-434 Table 1-2,
    common earth 1.25, from memory. Check: tests/outside/test_earthwork.py

    Examples
    --------
    >>> loose_yd3(4.0, 1.25)
    5.0
    """
    if not 0 <= bank_yd3 < float("inf"):
        raise ValueError(f"bank_yd3 must be 0 or more and finite, not {bank_yd3}")
    if not 1 <= swell < float("inf"):
        raise ValueError(f"swell must be 1 or more and finite, not {swell}")
    return bank_yd3 * swell


def spoil_yd3(earth: Earth) -> float:
    """Return what comes out and does not go back, yd3 in the bank."""
    return sum(ft3 for _, ft3 in _parts(earth)) / FT3_PER_YD3


def spreads(job: Job, earth: Earth) -> list[Spread]:
    """Return what each fill area takes of the spoil."""
    return spread_over(job, earth, spoil_yd3(earth)) if job.heaps else []


def hauled_share(earth: Earth, job: Job) -> float:
    """Return the share of the spoil that is hauled off, 0 to 1; the rest is spread on fill areas."""
    bank = spoil_yd3(earth)
    gone = sum(s.spread_yd3 for s in spreads(job, earth))
    return max(0.0, 1 - gone / bank) if bank > 0 and gone > 0 else 1.0


def spoil(earth: Earth, job: Job) -> list[TakeoffLine]:
    """Return spoil: what is left over, what fill areas take of it, what is hauled off in the bank, loose and in loads, and the
    room on the heaps.

    Left over are drain trenches whole, of solid runs what pipe, stone and paving displace, of basins body and bed, of dry wells what stone,
    topsoil and paving take up. What the fill areas take is never more than that, and what is hauled off never less than nothing.
    """
    parts, bank = _parts(earth), spoil_yd3(earth)
    if bank <= 0:
        return []
    owners = tuple(r.work.run.id for use in ("drain", "solid") for r in earth.of_use(use))
    owners += tuple(h.structure_id for h in earth.holes) + tuple(p.structure_id for p in earth.pits)
    terms = " + ".join(f"{name} {v:.1f} ft3" for name, v in parts if v > 0)
    how = f"{terms} = {sum(v for _, v in parts):.1f} ft3; / 27 = {bank:.2f} yd3"
    spread = spreads(job, earth)
    if not spread:
        return [*_hauled(bank, how, job, owners), *_rooms(job)]
    gone = sum(s.spread_yd3 for s in spread)
    hauled = max(0.0, bank - gone)
    off = f"{bank:.2f} yd3 left over - {gone:.2f} yd3 spread on the yard = {hauled:.2f} yd3"
    return [
        _line("spoil_left", bank, "yd3", how, owners),
        *(_spread_line(s) for s in spread if s.spread_yd3 > LEAST_YD3),
        *(_hauled(hauled, off, job, owners) if hauled > LEAST_YD3 else []),
        *_rooms(job),
    ]


def _parts(earth: Earth) -> tuple[tuple[str, float], ...]:
    return (
        ("drain trenches", sum(r.gone_ft3 for r in earth.of_use("drain"))),
        ("solid runs", sum(r.gone_ft3 for r in earth.of_use("solid"))),
        ("basins and their beds", sum(h.gone_ft3 for h in earth.holes)),
        ("dry wells, what fills them", sum(p.gone_ft3 for p in earth.pits)),
    )


def _spread_line(s: Spread) -> TakeoffLine:
    room = (
        f"{s.area_ft2:.1f} ft2 x {s.deep_ft:.3f} ft = {s.room_yd3 * FT3_PER_YD3:.1f} ft3; / 27 = {s.room_yd3:.2f} yd3"
    )
    how = room if s.spread_yd3 >= s.room_yd3 else f"{room} of room, {s.spread_yd3:.2f} yd3 of spoil left for it"
    return _line("spoil_spread", s.spread_yd3, "yd3", how, (s.heap.id,), heap=s.heap.id, away_ft=s.away_ft)


def _hauled(bank: float, how: str, job: Job, owners: tuple[str, ...]) -> list[TakeoffLine]:
    """Return the lines of what is hauled off: in the bank, loose, and in loads of the truck of the job."""
    swell = job.criteria.swell
    loose = loose_yd3(bank, swell)
    usual, own = table("pricebook/price-terms.toml"), job.pricing.terms
    room, most, weight = (
        float(usual[name] if getattr(own, name) is None else getattr(own, name))
        for name in ("truck_yd3", "truck_tons", "spoil_tons_per_yd3")
    )
    tons = bank * weight
    count = loads(loose, tons, room, most)
    by_room, by_weight = loose / room, tons / most
    load_terms = (
        f"room {loose:.2f} yd3 / {room:g} yd3 = {by_room:.2f}; weight {bank:.2f} yd3 bank x {weight:g} tons per yd3 = "
        f"{tons:.2f} tons / {most:g} tons = {by_weight:.2f}; {'room' if by_room >= by_weight else 'weight'} governs, rounded up = {count}"
    )
    return [
        _line("spoil_bank", bank, "yd3", how, owners),
        _line(
            "spoil_loose",
            loose,
            "yd3",
            f"{bank:.2f} yd3 bank x {swell:g} swell = {loose:.2f} yd3 loose",
            owners,
            swell=swell,
        ),
        _line("spoil_loads", count, "load", load_terms, owners, truck_yd3=room, truck_tons=most),
    ]


def _rooms(job: Job) -> list[TakeoffLine]:
    """Return how much lies on each heap, loose."""
    lines = []
    for heap, ground in heap_grounds(job):
        room = heap_room(ground)
        if room.loose_yd3 <= LEAST_YD3:
            continue
        how = (
            f"{room.area_ft2:.1f} ft2, 1.5 across to 1 up from its edge: {room.height_ft:.2f} ft high, "
            f"{room.loose_yd3 * FT3_PER_YD3:.1f} ft3; / 27 = {room.loose_yd3:.2f} yd3 loose"
        )
        lines.append(_line("spoil_room", room.loose_yd3, "yd3", how, (heap.id,), heap=heap.id))
    return lines


def _line(
    item: str, quantity: float, unit: str, how: str, owners: tuple[str, ...], **params: str | float
) -> TakeoffLine:
    return TakeoffLine(
        item=item,
        group="stone and soil",
        quantity=quantity,
        unit=unit,
        rule=item,
        arithmetic=how,
        params=tuple(params.items()),
        owners=owners,
    )
