"""Stacks: body, risers and bed that bring a basin's grate to the turf, and what to do about the inches that remain."""

from functools import lru_cache
from itertools import accumulate
from math import inf, isfinite
from typing import Literal

from msgspec import Struct

from drainsketch.job.basins import basin_body
from drainsketch.job.limits import BasinBody
from drainsketch.takeoff.works import Works

LOW_IN = 1.0  # common practice, no source: a grate is set flush to 1 in low
GRATE_IN = 1.0  # common practice, no source: what a grate that sits within the body takes of it at least
SLACK_IN = 1e-6


class Way(Struct, frozen=True):
    """One way to lose what whole risers leave over, with what it makes of the hole.

    ``kind``: 'low' leaves the grate that much below the rim; 'trim' cuts the top riser by it; 'deeper' sets the basin deeper by
    it; 'bed' thickens the bed by it and takes one riser less.
    """

    kind: Literal["low", "trim", "deeper", "bed"]
    by_in: float
    risers_in: tuple[float, ...]  # bottom to top, uncut
    dig_to_ft: float


class Stack(Struct, frozen=True):
    """A basin from the bottom of its hole to its grate.

    ``rim_ft`` is what was asked for, ``top_ft`` where the grate comes to stand. ``sump_in`` is what lies below the lowest
    invert. ``others`` are further ways to lose what remains; none where nothing remains.
    """

    rim_ft: float
    top_ft: float
    bottom_ft: float  # the basin's floor
    dig_to_ft: float  # under its bed
    lowest_invert_ft: float
    body: BasinBody
    risers_in: tuple[float, ...]  # bottom to top, uncut
    trim_in: float  # cut off the top riser
    sump_in: float
    others: tuple[Way, ...] = ()

    @property
    def low_in(self) -> float:
        """How far the grate stands below the rim asked for, in."""
        return (self.rim_ft - self.top_ft) * 12

    @property
    def bed_in(self) -> float:
        """Thickness of the bed under the basin, in."""
        return (self.bottom_ft - self.dig_to_ft) * 12

    @property
    def body_top_ft(self) -> float:
        """Level of the top of the body, where the first riser or the grate sits, ft."""
        return self.bottom_ft + self.body.height_in / 12

    @property
    def grate_bottom_ft(self) -> float:
        """Level of the underside of the grate, ft; no pipe reaches above it."""
        return self.top_ft - (self.body.grate_in or GRATE_IN) / 12


@lru_cache(maxsize=2_000)
def basin_stack(
    rim_ft: float,
    lowest_invert_ft: float,
    sump_in: float,
    body: BasinBody,
    bed_in: float = 0.0,
    trench_bottom_ft: float = inf,
) -> Stack:
    """Return the body, risers and bed that reach from under the basin to the rim.

    height = rim - (lowest invert - sump), less body and grate, made up of whole risers, the tallest first. What remains is
    left when it is an inch or less; otherwise one more riser is cut to fit. A body taller than the height is set deeper, and
    its sump grows.

    Parameters
    ----------
    rim_ft : level of the grate's top asked for, ft
    lowest_invert_ft : lowest pipe invert at the basin, ft
    sump_in : depth wanted below that invert, in (0 or more); at least the sill of the body's openings is taken
    body : the basin of the stock
    bed_in : bed wanted under the floor, in (0 or more)
    trench_bottom_ft : bottom of the deepest trench at the basin, ft; where it is deeper the bed fills up to the floor

    Raises
    ------
    ValueError : a level, the sump or the bed is not finite, or sump or bed is negative

    Notes
    -----
    Limits: the floor counts as nothing. Source: arithmetic; 6 in risers, 1 to 2 in of bed and a grate flush to 1 in low are
    common practice, no source. Check: tests/takeoff/test_stacks.py

    Examples
    --------
    Rim 100.00, invert 98.00, 4 in sump: 28 in to make up, 12 in of it body, 16 in of risers: three of 6 in, 2 in cut off.

    >>> stack = basin_stack(100.0, 98.0, 4.0, BasinBody(size_in=12, height_in=12.0))
    >>> stack.risers_in, round(stack.trim_in, 6)
    ((6.0, 6.0, 6.0), 2.0)
    """
    if not (isfinite(rim_ft) and isfinite(lowest_invert_ft) and 0 <= sump_in < inf and 0 <= bed_in < inf):
        raise ValueError(
            f"levels must be finite, sump and bed 0 or more: {rim_ft}, {lowest_invert_ft}, {sump_in}, {bed_in}"
        )
    deep_in = max(sump_in, body.opening_in)
    over_in = (rim_ft - lowest_invert_ft) * 12 + deep_in - body.height_in - body.grate_in
    whole, left_in = _whole_risers(over_in, body.risers_in)
    trimmed = (*whole, min((h for h in body.risers_in if h >= left_in - SLACK_IN), default=max(body.risers_in)))
    is_cut = left_in > LOW_IN + SLACK_IN
    trim_in = trimmed[-1] - left_in if is_cut else 0.0
    top_ft = rim_ft if is_cut or over_in <= 0 else rim_ft - left_in / 12
    bottom_ft = lowest_invert_ft - deep_in / 12 + min(over_in, 0.0) / 12
    dig_to_ft = min(bottom_ft - bed_in / 12, trench_bottom_ft)
    others: list[Way] = []
    if is_cut:
        if trim_in > SLACK_IN:
            others.append(Way("deeper", trim_in, trimmed, min(dig_to_ft, bottom_ft - (trim_in + bed_in) / 12)))
        if deep_in - left_in >= body.opening_in - SLACK_IN:
            others.append(Way("bed", left_in, whole, dig_to_ft))
    elif left_in > SLACK_IN:
        others.append(Way("trim", trimmed[-1] - left_in, trimmed, dig_to_ft))
    return Stack(
        rim_ft=rim_ft,
        top_ft=top_ft,
        bottom_ft=bottom_ft,
        dig_to_ft=dig_to_ft,
        lowest_invert_ft=lowest_invert_ft,
        body=body,
        risers_in=trimmed if is_cut else whole,
        trim_in=trim_in,
        sump_in=(lowest_invert_ft - bottom_ft) * 12,
        others=tuple(others),
    )


def _whole_risers(over_in: float, heights_in: tuple[float, ...]) -> tuple[tuple[float, ...], float]:
    """Return whole risers that reach no higher than ``over_in``, tallest first, and what they leave, in."""
    whole: list[float] = []
    left = max(0.0, over_in)
    for height in sorted(heights_in, reverse=True):
        count = int((left + SLACK_IN) // height)
        whole += [height] * count
        left = max(0.0, left - count * height)
    return tuple(whole), left


def stacks(works: Works) -> dict[str, Stack]:
    """Return the stack of every basin whose levels are known, by id."""
    c = works.job.criteria
    found = {}
    for s in works.job.structures:
        lowest = lowest_invert_ft(works, s.id)
        if s.kind == "basin" and lowest is not None:
            found[s.id] = basin_stack(
                works.levels[s.id].rim_ft,
                lowest,
                c.basin_sump_in,
                basin_body(works.job, s.size_in),
                c.basin_bed_in,
                _trench_bottom_ft(works, s.id),
            )
    return found


def _trench_bottom_ft(works: Works, structure_id: str) -> float:
    """Return the bottom of the deepest trench at a structure, ft; infinite where there is none."""
    return min(
        (
            (g.invert_up_ft if end.leaving else g.invert_down_ft) - g.bottom_below_invert_ft
            for end in works.ends[structure_id]
            if (g := end.work.grade) is not None
        ),
        default=inf,
    )


def lowest_invert_ft(works: Works, structure_id: str) -> float | None:
    """Return the lowest invert of the pipes at a structure, ft; None where no level is known."""
    at = works.levels.get(structure_id)
    if at is None:
        return None
    inverts = [i for _, i in at.inverts_in] + ([at.invert_out_ft] if at.invert_out_ft is not None else [])
    return min(inverts, default=None)


def risers_of(stack: Stack) -> tuple[tuple[float, float], ...]:
    """Return (from, to) levels of each riser of a stack, bottom to top, ft, the top one as it is cut."""
    if not stack.risers_in:
        return ()
    cut = (*stack.risers_in[:-1], stack.risers_in[-1] - stack.trim_in)
    tops = [stack.body_top_ft + up / 12 for up in accumulate(cut)]
    return tuple(zip([stack.body_top_ft, *tops[:-1]], tops, strict=True))
