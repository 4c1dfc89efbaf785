"""Stacks: body and risers that bring a basin's grate to its rim."""

from math import ceil, inf, isfinite

from msgspec import Struct

from drainsketch.resources import table
from drainsketch.takeoff.works import Works


class Stack(Struct, frozen=True):
    """A basin from bottom to rim. ``trim_in`` is cut off the top riser; ``sump_in`` is what lies below the lowest invert."""

    rim_ft: float
    bottom_ft: float
    lowest_invert_ft: float
    body_in: float
    risers: int
    trim_in: float
    sump_in: float


def basin_stack(rim_ft: float, lowest_invert_ft: float, sump_in: float, size_in: int) -> Stack:
    """Return the body and risers that reach from the sump to the rim.

    height = rim - (lowest invert - sump); risers = (height - body) / riser, rounded up, the top one cut to fit. Where the
    body alone is taller than that, the basin is set deeper and its sump grows.

    Parameters
    ----------
    rim_ft : level of the grate's top, ft
    lowest_invert_ft : lowest pipe invert at the basin, ft
    sump_in : depth wanted below that invert, in (0 or more)
    size_in : size of the basin, in: a row of basin_body in ``resources/catalogue/stock.toml``

    Returns
    -------
    the stack

    Raises
    ------
    ValueError : a level or the sump is not finite, or the sump is negative
    KeyError : there is no body of that size

    Notes
    -----
    Limits: body height includes the grate, its floor counts as nothing. Source: generic sizes, common practice, no source.
    Check: tests/takeoff/test_stacks.py

    Examples
    --------
    Rim 100.00, invert 98.00, 4 in sump: 28 in to make up, 12 in of it body, 16 in of risers: three of 6 in, 2 in cut off.

    >>> stack = basin_stack(100.0, 98.0, 4.0, 12)
    >>> stack.risers, round(stack.trim_in, 6)
    (3, 2.0)
    """
    if not (isfinite(rim_ft) and isfinite(lowest_invert_ft) and 0 <= sump_in < inf):
        raise ValueError(f"levels must be finite and sump_in 0 or more, not {rim_ft}, {lowest_invert_ft}, {sump_in}")
    stock = table("catalogue/stock.toml")
    body_in, riser_in = stock["basin_body"][str(size_in)]["height_in"], stock["riser"]["height_in"]
    height_in = (rim_ft - lowest_invert_ft) * 12 + sump_in
    risers = max(0, ceil((height_in - body_in) / riser_in - 1e-6))
    stands_in = max(height_in, body_in)
    bottom_ft = rim_ft - stands_in / 12
    return Stack(
        rim_ft=rim_ft,
        bottom_ft=bottom_ft,
        lowest_invert_ft=lowest_invert_ft,
        body_in=body_in,
        risers=risers,
        trim_in=max(0.0, body_in + risers * riser_in - stands_in) if risers else 0.0,
        sump_in=(lowest_invert_ft - bottom_ft) * 12,
    )


def basin_size_in(size_in: int | None) -> int:
    """Return the size a basin counts as, in: its own, or the usual one where none was given."""
    return int(size_in or table("catalogue/stock.toml")["basin"]["default_size_in"])


def stacks(works: Works) -> dict[str, Stack]:
    """Return the stack of every basin whose levels are known, by id."""
    found = {}
    for s in works.job.structures:
        lowest = lowest_invert_ft(works, s.id)
        if s.kind == "basin" and lowest is not None:
            rim_ft = works.levels[s.id].rim_ft
            found[s.id] = basin_stack(rim_ft, lowest, works.job.criteria.basin_sump_in, basin_size_in(s.size_in))
    return found


def lowest_invert_ft(works: Works, structure_id: str) -> float | None:
    """Return the lowest invert of the pipes at a structure, ft; None where no level is known."""
    at = works.levels.get(structure_id)
    if at is None:
        return None
    inverts = [i for _, i in at.inverts_in] + ([at.invert_out_ft] if at.invert_out_ft is not None else [])
    return min(inverts, default=None)
