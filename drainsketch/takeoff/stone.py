"""Stone and what lies over it: in trenches, under basins, in dry wells."""

from collections.abc import Sequence

from drainsketch.job.limits import Criteria
from drainsketch.resources import table
from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.trench import FT3_PER_YD3


def stone_tons(volume_ft3: float, tons_per_yd3: float) -> float:
    """Return the weight of stone, short tons.

    tons = ft3 / 27 x tons per yd3

    Parameters
    ----------
    volume_ft3 : volume the stone fills, its own voids included, ft3 (0 or more)
    tons_per_yd3 : short tons per loose cubic yard (above 0)

    Returns
    -------
    weight, short tons

    Raises
    ------
    ValueError : an argument is out of range

    Notes
    -----
    Limits: dumped, not compacted; crushed stone runs about 1.28 to 1.49. Source: EPA volume-to-weight conversion factors
    (2006), crushed stone 2,700 lb per loose yd3 = 1.35. Check: tests/outside/test_stone_tons.py

    Examples
    --------
    A cubic yard of crushed stone at 2,700 lb:

    >>> stone_tons(27.0, 1.35)
    1.35
    """
    if not 0 <= volume_ft3 < float("inf"):
        raise ValueError(f"volume_ft3 must be 0 or more and finite, not {volume_ft3}")
    if not 0 < tons_per_yd3 < float("inf"):
        raise ValueError(f"tons_per_yd3 must be above 0 and finite, not {tons_per_yd3}")
    return volume_ft3 / FT3_PER_YD3 * tons_per_yd3


def drain_stone(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return stone in the trenches of drain runs, tons, net of the pipe."""
    return _run_stone("stone_drain", earth.of_use("drain"), criteria)


def solid_stone(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return stone under, round and over the pipe of solid runs, and up to the base course under paving, tons, net of the pipe in it."""
    return _run_stone("stone_solid", earth.of_use("solid"), criteria)


def _run_stone(item: str, dug: list[RunEarth], criteria: Criteria) -> list[TakeoffLine]:
    runs = [r for r in dug if r.stone_ft2 > 1e-9]
    if not runs:
        return []
    terms = [
        f"{r.work.run.id} {r.swept.stone_ft:.2f} ft x {r.width_ft:.2f} ft x {r.stone_ft2 / r.swept.stone_ft:.3f} ft mean = {r.stone_ft3:.1f} ft3"
        for r in runs
    ]
    gross_ft3, pipe_ft3 = sum(r.stone_ft3 for r in runs), sum(r.stone_pipe_ft3 for r in runs)
    if len(runs) > 1:
        terms.append(f"together {gross_ft3:.1f} ft3")
    if pipe_ft3 > 1e-9:
        terms.append(f"less pipe {pipe_ft3:.1f} ft3")
    return [_tons(item, gross_ft3 - pipe_ft3, terms, [r.work.run.id for r in runs], criteria)]


def base_course(earth: Earth) -> list[TakeoffLine]:
    """Return the base course put back under paving, over trenches and dry wells and round basins, tons."""
    runs = [r for r in earth.runs if r.base_ft3 > 1e-9]
    holes = [h for h in earth.holes if h.base_ft3 > 1e-9]
    pits = [p for p in earth.pits if p.base_ft3 > 1e-9]
    if not runs and not holes and not pits:
        return []
    ft3 = sum(r.base_ft3 for r in runs) + sum(h.base_ft3 for h in holes) + sum(p.base_ft3 for p in pits)
    terms = [
        f"{r.work.run.id} {r.swept.paved_ft:.2f} ft under paving x {r.width_ft:.2f} ft x {r.swept.base_ft2 / r.swept.paved_ft:.3f} ft "
        f"mean = {r.base_ft3:.2f} ft3"
        for r in runs
    ]
    terms += [
        f"{h.structure_id} {h.ring_ft2:.2f} ft2 round the basin x {h.base_ft:.3f} ft = {h.base_ft3:.2f} ft3"
        for h in holes
    ]
    terms += [p.over("base_ft") for p in pits]
    if len(terms) > 1:
        terms.append(f"together {ft3:.2f} ft3")
    owners = (*(r.work.run.id for r in runs), *(h.structure_id for h in holes), *(p.structure_id for p in pits))
    return [tons_line("base_course", ft3, terms, owners, table("catalogue/stock.toml")["weight"]["base_course"])]


def basin_bed(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return stone under basins, and round those that stand in paving which is filled with stone, tons."""
    holes = [h for h in earth.holes if h.bed_ft3 + h.stone_ft3 > 1e-9]
    if not holes:
        return []
    terms = [
        f"{h.structure_id} {h.side_ft:.2f} ft x {h.side_ft:.2f} ft x {h.bed_ft3 / h.side_ft**2:.3f} ft = {h.bed_ft3:.2f} ft3"
        for h in holes
    ]
    terms += [
        f"{h.structure_id} {h.ring_ft2:.2f} ft2 round it x {h.ring_ft:.3f} ft = {h.stone_ft3:.2f} ft3"
        for h in holes
        if h.stone_ft3 > 0
    ]
    ft3 = sum(h.bed_ft3 + h.stone_ft3 for h in holes)
    if len(terms) > 1:
        terms.append(f"together {ft3:.2f} ft3")
    return [_tons("stone_basin", ft3, terms, [h.structure_id for h in holes], criteria)]


def dry_well_stone(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return stone in the pits of dry wells, tons: from the floor up to the lowest invert, as the storm is reckoned,
    and up to the base course under paving that is filled with stone."""
    if not earth.pits:
        return []
    terms = [p.sum_of(p.stone_ft) for p in earth.pits]
    terms += [f"{p.over('fill_ft', in_stone=True)} over it" for p in earth.pits if p.more_stone_ft3 > 1e-9]
    ft3 = sum(p.stone_ft3 for p in earth.pits)
    if len(terms) > 1:
        terms.append(f"together {ft3:.1f} ft3")
    owners = [p.structure_id for p in earth.pits]
    return [_tons("stone_dry_well", ft3, terms, owners, criteria)]


def dry_well_backfill(earth: Earth) -> list[TakeoffLine]:
    """Return the earth that goes back over the stone of dry wells, yd3 in the bank."""
    pits = [p for p in earth.pits if p.back_ft3 > 1e-9]
    if not pits:
        return []
    ft3 = sum(p.back_ft3 for p in pits)
    terms = [p.over("fill_ft", in_stone=False) for p in pits] + ([f"together {ft3:.1f} ft3"] if len(pits) > 1 else [])
    return [
        TakeoffLine(
            item="backfill_dry_well",
            group="stone and soil",
            quantity=ft3 / FT3_PER_YD3,
            unit="yd3",
            rule="backfill_dry_well",
            arithmetic=f"{'; '.join(terms)}; / 27 = {ft3 / FT3_PER_YD3:.2f} yd3",
            owners=tuple(p.structure_id for p in pits),
        )
    ]


def topsoil_cap(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return topsoil over the stone of drain runs and over dry wells, yd3 in place."""
    runs = [r for r in earth.of_use("drain") if r.cap_ft3 > 1e-9]
    pits = [p for p in earth.pits if p.cap_ft3 > 1e-9]
    if not runs and not pits:
        return []
    ft3 = sum(r.cap_ft3 for r in runs) + sum(p.cap_ft3 for p in pits)
    terms = [
        f"{r.work.run.id} {r.bare_ft:.2f} ft x {r.width_ft:.2f} ft x {r.cap_ft3 / r.width_ft / r.bare_ft:.3f} ft = {r.cap_ft3:.1f} ft3"
        for r in runs
    ]
    terms += [p.over("cap_ft") for p in pits]
    if len(terms) > 1:
        terms.append(f"together {ft3:.1f} ft3")
    return [
        TakeoffLine(
            item="topsoil_cap",
            group="stone and soil",
            quantity=ft3 / FT3_PER_YD3,
            unit="yd3",
            rule="topsoil_cap",
            arithmetic=f"{'; '.join(terms)}; / 27 = {ft3 / FT3_PER_YD3:.2f} yd3",
            params=(("cap_in", criteria.topsoil_cap_in),),
            owners=(*(r.work.run.id for r in runs), *(p.structure_id for p in pits)),
        )
    ]


def _tons(item: str, ft3: float, terms: list[str], owners: list[str], criteria: Criteria) -> TakeoffLine:
    return tons_line(item, max(0.0, ft3), terms, owners, criteria.stone_tons_per_yd3)


def tons_line(
    item: str,
    ft3: float,
    terms: Sequence[str],
    owners: Sequence[str],
    tons_per_yd3: float,
    group: str = "stone and soil",
    **params: str | float,
) -> TakeoffLine:
    """Return a line of what is bought by weight, tons, from its volume as it lies."""
    tons = stone_tons(ft3, tons_per_yd3)
    return TakeoffLine(
        item=item,
        group=group,
        quantity=tons,
        unit="ton",
        rule=item,
        arithmetic=f"{'; '.join(terms)}; / 27 = {ft3 / FT3_PER_YD3:.2f} yd3; x {tons_per_yd3:g} = {tons:.2f} tons",
        params=(("volume_yd3", ft3 / FT3_PER_YD3), ("tons_per_yd3", tons_per_yd3), *params.items()),
        owners=tuple(owners),
    )
