"""Legs: the stretches of straight grade of a run, with what ground, cover and trench make of each, whatever its levels.

A run is one leg, or one from bend to bend where flexible pipe may change slope there.
"""

from itertools import pairwise
from math import hypot

import numpy as np
from msgspec import Struct

from drainsketch.network.results import Bools, Floats, FlowRun, Profile

MAKE_GOOD_FT = 1 / 12  # pipe this little out of the ground near an outfall is graded over
TOLERANCE_FT = 1e-6
IN_LINE_FT = 1e-7


class Lie(Struct, frozen=True):
    """What the legs of a run follow from besides its ground; lengths and heights in ft.

    ``cover_ft`` and ``drive_cover_ft`` are asked upstream of ``taper_to_ft``. The trench counts between the two stations of
    ``dug``, outside the basin holes.
    """

    top_ft: float  # outside top of pipe above the invert
    below_ft: float  # trench bottom below the invert
    width_ft: float
    cover_ft: float
    drive_cover_ft: float
    taper_to_ft: float
    dug: tuple[float, float]
    breaks: bool


class Leg(Struct, frozen=True, eq=False):
    """A stretch of straight grade. ``share`` is the place between its lower end (0) and its upper end (1).

    ``ceiling`` is the highest invert at ``ceiling_share``, which are all the places that can bind; ``ground_top`` is the
    invert with which the pipe's top is at the ground there, infinite where pipe may come out of it.
    ``bottom_ft`` less the invert is the cut, at every station; ``weight_ft2`` is the plan area of trench it stands for.
    """

    run_id: str
    from_ft: float
    length_ft: float
    ceiling_share: Floats
    ceiling: Floats
    ground_top: Floats
    share: Floats
    bottom_ft: Floats
    weight_ft2: Floats


def lower_hull(x: Floats, y: Floats) -> tuple[tuple[float, float], ...]:
    """Return the points of the lower convex hull of (x, y), x rising: a straight line below them is below all.

    A point on the line between its neighbors is left out, rounding allowed for, so that what gives does not hang on it.
    """
    hull: list[tuple[float, float]] = []
    for px, py in zip(x.tolist(), y.tolist(), strict=True):
        while len(hull) > 1:
            (ax, ay), (bx, by) = hull[-2], hull[-1]
            if (bx - ax) * (py - ay) > ((by - ay) + IN_LINE_FT) * (px - ax):
                break
            hull.pop()
        hull.append((px, py))
    return tuple(hull)


def bend_stations(flow: FlowRun) -> tuple[float, ...]:
    """Return the stations of a run's bends, ft from its downstream end, rising; bends on an end or on each other left out."""
    found: list[float] = []
    gone = 0.0
    for (ax, ay), (bx, by) in pairwise(flow.points[::-1]):
        gone += hypot(bx - ax, by - ay)
        if gone - (found[-1] if found else 0.0) > TOLERANCE_FT and flow.length_ft - gone > TOLERANCE_FT:
            found.append(gone)
    return tuple(found)


def legs_of(flow: FlowRun, profile: Profile, on_drive: Bools | None, lie: Lie) -> tuple[Leg, ...]:
    """Return the legs of a run, from its downstream end up.

    Parameters
    ----------
    on_drive : (n,) whether each station of the profile lies under a drive; None where none does
    """
    cover_ft: Floats = np.full(len(profile.station_ft), lie.cover_ft)
    if on_drive is not None:
        cover_ft[on_drive] = max(lie.cover_ft, lie.drive_cover_ft)
    asked = profile.station_ft >= lie.taper_to_ft - TOLERANCE_FT
    ground_top = np.where(asked, profile.ground_ft - lie.top_ft, np.inf)
    ceiling = np.where(asked, profile.ground_ft - lie.top_ft - cover_ft, profile.ground_ft + MAKE_GOOD_FT)
    weight = lie.width_ft * _stands_for_ft(profile.station_ft, *lie.dug)
    ends = [0.0, *(bend_stations(flow) if lie.breaks else ()), flow.length_ft]
    at = [0, *np.searchsorted(profile.station_ft, np.array(ends[1:-1]) - TOLERANCE_FT).tolist(), len(weight) - 1]
    found = []
    for (s0, s1), (i, j) in zip(pairwise(ends), pairwise(at), strict=True):
        here = slice(i, j + 1)
        length_ft = s1 - s0
        share = (profile.station_ft[here] - s0) / length_ft if length_ft else np.zeros(j + 1 - i)
        binds = np.array(_binding(share, ceiling[here], asked[here]), dtype=int)
        found.append(
            Leg(
                run_id=flow.id,
                from_ft=s0,
                length_ft=length_ft,
                ceiling_share=share[binds],
                ceiling=ceiling[here][binds],
                ground_top=ground_top[here][binds],
                share=share,
                bottom_ft=profile.ground_ft[here] + lie.below_ft,
                weight_ft2=_own_weight(weight[here], profile.station_ft, lie, i, j),
            )
        )
    return tuple(found)


def _binding(share: Floats, ceiling: Floats, asked: Bools) -> list[int]:
    """Return the stations that can bind: the lower hull of the ceiling where cover is asked, and of that in the taper."""
    found: list[int] = []
    for part in (np.flatnonzero(~asked), np.flatnonzero(asked)):
        if len(part):
            hull = {s for s, _ in lower_hull(share[part], ceiling[part])}
            found += [int(k) for k, s in zip(part, share[part].tolist(), strict=True) if s in hull]
    return found


def _own_weight(weight: Floats, station_ft: Floats, lie: Lie, first: int, last: int) -> Floats:
    """Return the weights of a leg's stations; the station of a break stands for trench on both sides of it, in each leg its own."""
    if first == 0 and last == len(station_ft) - 1:
        return weight
    return lie.width_ft * _stands_for_ft(station_ft[first : last + 1], *lie.dug)


def _stands_for_ft(station_ft: Floats, low_ft: float, high_ft: float) -> Floats:
    """Return the length that each station stands for between two stations, ft: the trapezoid rule, its ends cut exactly."""
    high_ft = max(low_ft, high_ft)
    s0, s1 = station_ft[:-1], station_ft[1:]
    a, b = np.clip(s0, low_ft, high_ft), np.clip(s1, low_ft, high_ft)
    later = ((a + b) / 2 - s0) / np.where(s1 > s0, s1 - s0, 1.0)
    stands: Floats = np.zeros(len(station_ft))
    stands[:-1] += (b - a) * (1 - later)
    stands[1:] += (b - a) * later
    return stands
