"""Spoil: what comes out of the ground and does not go back, in the bank and loose."""

from drainsketch.job.limits import Criteria
from drainsketch.takeoff.earth import Earth
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


def spoil(earth: Earth, criteria: Criteria) -> list[TakeoffLine]:
    """Return spoil in the bank and loose, yd3: drain trenches whole, of solid runs what pipe, stone and paving displace, of basins
    body and bed, of dry wells what stone and topsoil take up.
    """
    drains, solids = earth.of_use("drain"), earth.of_use("solid")
    parts = (
        ("drain trenches", sum(r.gone_ft3 for r in drains)),
        ("solid runs", sum(r.gone_ft3 for r in solids)),
        ("basins and their beds", sum(h.gone_ft3 for h in earth.holes)),
        ("dry wells, stone and topsoil", sum(p.stone_ft3 + p.cap_ft3 for p in earth.pits)),
    )
    ft3 = sum(v for _, v in parts)
    if ft3 <= 0:
        return []
    bank = ft3 / FT3_PER_YD3
    loose = loose_yd3(bank, criteria.swell)
    terms = " + ".join(f"{name} {v:.1f} ft3" for name, v in parts if v > 0)
    owners = tuple(r.work.run.id for r in (*drains, *solids))
    owners += tuple(h.structure_id for h in earth.holes) + tuple(p.structure_id for p in earth.pits)
    return [
        TakeoffLine(
            "spoil_bank",
            "stone and soil",
            bank,
            "yd3",
            "spoil_bank",
            f"{terms} = {ft3:.1f} ft3; / 27 = {bank:.2f} yd3",
            (),
            owners,
        ),
        TakeoffLine(
            item="spoil_loose",
            group="stone and soil",
            quantity=loose,
            unit="yd3",
            rule="spoil_loose",
            arithmetic=f"{bank:.2f} yd3 bank x {criteria.swell:g} swell = {loose:.2f} yd3 loose",
            params=(("swell", criteria.swell),),
            owners=owners,
        ),
    ]
