"""Stationing: the ground along every run, at one foot or finer, at every bend and wherever the ground breaks."""

from itertools import pairwise
from math import ceil, hypot

import numpy as np

from drainsketch.ground.surface import Surface
from drainsketch.network.legs import lower_hull
from drainsketch.network.results import Floats, FlowRun, Profile

STEP_FT = 1.0
APART_FT = 0.001  # a break of the ground nearer than this to a station is at that station
MOST_STEPS = 20_000  # of a run; only one longer than 20,000 ft is stationed coarser


def stationed(flow: FlowRun) -> tuple[Floats, Floats]:
    """Return stations (n,), ft from the downstream end, and plan points (n, 2), ft: both ends, every bend, at most 1 ft apart."""
    points = flow.points[::-1]
    stations, places, start = [0.0], [points[0]], 0.0
    step_ft = max(STEP_FT, flow.length_ft / MOST_STEPS)
    for (ax, ay), (bx, by) in pairwise(points):
        leg_ft = hypot(bx - ax, by - ay)
        parts = max(1, ceil(leg_ft / step_ft - 1e-9))
        for i in range(1, parts + 1):
            t = i / parts
            stations.append(start + leg_ft * t)
            places.append((ax + (bx - ax) * t, ay + (by - ay) * t))
        start += leg_ft
    return np.array(stations), np.array(places)


def profiles(
    flows: tuple[FlowRun, ...], surface: Surface, kept: dict[str, tuple[FlowRun, Profile]]
) -> dict[str, Profile]:
    """Return the ground along each run, by run id.

    Parameters
    ----------
    kept : profiles made earlier on the same surface, with the run each was made for; taken again where the run is the same
    """
    found = {}
    for flow in flows:
        before = kept.get(flow.id)
        found[flow.id] = before[1] if before is not None and before[0] == flow else _profile(flow, surface)
    return found


def _with_breaks(flow: FlowRun, surface: Surface, station_ft: Floats, xy: Floats) -> tuple[Floats, Floats]:
    """Return stations and places with those added where the run crosses an edge of the surface: a ditch is no wider than its lips."""
    points = np.array(flow.points[::-1])
    found, start = [], 0.0
    for a, b in pairwise(points):
        leg_ft = hypot(*(b - a))
        found.append(start + leg_ft * surface.breaks_between(a, b))
        start += leg_ft
    extra = np.unique(np.concatenate(found)) if found else np.empty(0)
    after = np.searchsorted(station_ft, extra)
    inside = (after > 0) & (after < len(station_ft))
    extra, after = extra[inside], after[inside]
    clear = (extra - station_ft[after - 1] > APART_FT) & (station_ft[after] - extra > APART_FT)
    clear &= np.append(True, np.diff(extra) > APART_FT)[: len(extra)]
    extra, after = extra[clear], after[clear]
    if not len(extra):
        return station_ft, xy
    share = (extra - station_ft[after - 1]) / (station_ft[after] - station_ft[after - 1])
    places = xy[after - 1] + share[:, None] * (xy[after] - xy[after - 1])
    return np.insert(station_ft, after, extra), np.insert(xy, after, places, axis=0)


def _profile(flow: FlowRun, surface: Surface) -> Profile:
    station_ft, xy = _with_breaks(flow, surface, *stationed(flow))
    ground_ft, guess = surface.levels_at(xy)
    arrays = (station_ft, xy[:, 0].copy(), xy[:, 1].copy(), ground_ft, guess)
    for a in arrays:
        a.flags.writeable = False
    return Profile(flow.id, *arrays, low=lower_hull(station_ft, ground_ft))
