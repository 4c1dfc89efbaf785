"""Digging by depth: how much of a trench is cut how deep, from its stations, within the strips dug by hand and outside them."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from drainsketch.network.prisms import cut_area_ft2, dug_ft
from drainsketch.network.results import Floats
from drainsketch.takeoff.earth import RunEarth

SLACK_FT = 1e-6
Zone = tuple[float, float]  # stations from and to


class DugAt(Struct, frozen=True):
    """What is dug of a trench in one class of depth."""

    length_ft: float
    volume_ft3: float


def dug_by_depth(
    run: RunEarth, inside_ft: dict[str, float], limits_ft: Sequence[float], zones: Sequence[Zone], *, in_zones: bool
) -> tuple[DugAt, ...]:
    """Return what is dug of a run down to each limit of depth, and beyond the last.

    A stretch belongs to the class its cut falls in, with all the earth that is dug there: production rates go by the cut, and paving
    that is broken out or lifted is none of it.

    Parameters
    ----------
    inside_ft : how far the run lies within the hole at each end, ft (``Earth.inside_ft``): its trench begins there
    limits_ft : greatest cut of each class, ft, rising; a cut of just a limit belongs to it
    zones : stretches dug by hand, stations, ft
    in_zones : whether to return what lies in the zones, or what lies outside them

    Notes
    -----
    Limits: cut linear between stations, which is split where it passes a limit; exact then. Source: plane geometry.
    Check: tests/takeoff/price/test_depths.py
    """
    station, cut = _cuts(run, inside_ft)
    for limit in (0.0, *(at for at in limits_ft if np.isfinite(at))):
        station, cut = _split(station, cut, limit)
    places = (*zones, *((s.from_ft, s.to_ft) for s in run.stretches))
    ends = np.unique([at for place in places for at in place if station[0] < at < station[-1]])
    added = np.union1d(station, ends)
    station, cut = added, np.interp(added, station, cut)
    length, first, last = np.diff(station), cut[:-1], cut[1:]
    middle = (station[:-1] + station[1:]) / 2
    by_hand = np.zeros(len(middle), dtype=bool)
    for low, high in zones:
        by_hand |= (low <= middle) & (middle <= high)
    of_class = np.searchsorted(np.array(limits_ft) + SLACK_FT, (first + last) / 2)
    off = np.zeros(len(middle))
    for s in run.stretches:
        off[(s.from_ft < middle) & (middle < s.to_ft)] = s.layers.not_earth_ft
    dug, area = dug_ft(length, first, last), cut_area_ft2(length, first - off, last - off)
    found = []
    for number in range(len(limits_ft) + 1):
        here = (of_class == number) & (by_hand == in_zones)
        found.append(DugAt(float(dug[here].sum()), float(area[here].sum()) * run.width_ft))
    return tuple(found)


def _cuts(run: RunEarth, inside_ft: dict[str, float]) -> tuple[Floats, Floats]:
    """Return stations from hole to hole and the cut at each, ft; cut is negative where the trench bottom is above ground."""
    profile, grade, work = run.work.profile, run.work.grade, run.work
    assert profile is not None
    assert grade is not None  # or nothing would be dug
    low = inside_ft.get(work.downstream, 0.0)
    high = max(low, work.plan_ft - inside_ft.get(work.upstream, 0.0))
    inner = profile.station_ft[(profile.station_ft > low) & (profile.station_ft < high)]
    station = np.concatenate([[low], inner, [high]])
    ground = np.interp(station, profile.station_ft, profile.ground_ft)
    return station, ground - grade.inverts_at(station) + grade.bottom_below_invert_ft


def _split(station: Floats, cut: Floats, limit_ft: float) -> tuple[Floats, Floats]:
    """Return stations and cuts with one more wherever the cut passes a limit."""
    over = cut - limit_ft
    passes = np.flatnonzero(over[:-1] * over[1:] < 0)
    share = over[passes] / (over[passes] - over[passes + 1])
    at = station[passes] + share * np.diff(station)[passes]
    return np.insert(station, passes + 1, at), np.insert(cut, passes + 1, limit_ft)
