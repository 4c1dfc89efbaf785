"""Stationing: the ground along every run, at one foot or finer and at every bend."""

from itertools import pairwise
from math import ceil, hypot

import numpy as np

from drainsketch.ground.surface import Surface
from drainsketch.network.legs import lower_hull
from drainsketch.network.results import Floats, FlowRun, Profile

STEP_FT = 1.0
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


def _profile(flow: FlowRun, surface: Surface) -> Profile:
    station_ft, xy = stationed(flow)
    ground_ft, guess = surface.levels_at(xy)
    arrays = (station_ft, xy[:, 0].copy(), xy[:, 1].copy(), ground_ft, guess)
    for a in arrays:
        a.flags.writeable = False
    return Profile(flow.id, *arrays, low=lower_hull(station_ft, ground_ft))
