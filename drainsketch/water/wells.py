"""Dry wells: whether a pit full of stone holds a storm while the soil takes it up, and how long until it is empty."""

import numpy as np
from numpy.typing import NDArray

from drainsketch.job.model import Job, Structure
from drainsketch.job.rain import Rain
from drainsketch.network.graph import downhill
from drainsketch.network.results import Network
from drainsketch.water.constants import CFS_PER_ACRE_IN_H, FT2_PER_ACRE
from drainsketch.water.rain import intensities_in_h
from drainsketch.water.results import Arrival, Balance, Well

Floats = NDArray[np.float64]
IN_PER_FT = 12.0
SHORTEST_MIN, LONGEST_MIN = 5.0, 2_880.0  # to two days of rain
STEPS = 200


def wells_of(job: Job, network: Network, arrivals: dict[str, Arrival]) -> dict[str, Well]:
    """Return the dry wells that anything arrives at, by id of the outfall. Source and check as ``balance_of``."""
    wells = {s.id for s in job.structures if s.outfall == "dry well"} & set(network.outfalls)
    if not wells:
        return {}
    ends = _ends(network)
    out = {}
    for s in job.structures:
        if s.id not in wells:
            continue
        ca = sum(a.storm_c * a.area_ft2 for name, a in arrivals.items() if ends.get(name) == s.id)
        if ca > 0:
            out[s.id] = _well(job, s, ca)
    return out


def balance_of(rain: Rain, ca_ft2: float, floor_ft2: float, infiltration_in_h: float) -> Balance:
    """Return the storm for which a well has to hold most: volume in less volume soaked away, over all durations of the rain.

    They end at the last row of the table, at two days at the most; a typed intensity lasts as long as the storm of the job. Where the
    answer is at that end, a longer rain may ask more (``Balance.at_end``). All that falls in a duration comes in within it, and the soil takes up water through the floor alone for as long: the walls,
    which silt does not seal as soon, are on the safe side.

    Parameters
    ----------
    ca_ft2 : area times coefficient for the storm, ft2
    floor_ft2 : floor of the pit, ft2
    infiltration_in_h : what the soil was measured to take up

    Raises
    ------
    ValueError : the rain lacks something (``rain.lacking``)

    Source: volume balance, conservation of mass. Check: tests/outside/test_dry_wells.py
    """
    minutes: Floats = np.geomspace(SHORTEST_MIN, max(SHORTEST_MIN, min(LONGEST_MIN, longest_min(rain))), STEPS)
    per_minute = CFS_PER_ACRE_IN_H / FT2_PER_ACRE * 60  # ft3 per min, ft2 and in/h
    comes = per_minute * ca_ft2 * intensities_in_h(rain, minutes) * minutes
    soaks = floor_ft2 * infiltration_in_h / IN_PER_FT / 60 * minutes
    at = int((comes - soaks).argmax())
    held = max(0.0, float(comes[at] - soaks[at]))
    at_end = at == STEPS - 1 and rain.intensity_in_h is None and minutes[at] < LONGEST_MIN
    return Balance(float(minutes[at]), float(comes[at]), float(min(soaks[at], comes[at])), held, at_end)


def longest_min(rain: Rain) -> float:
    """Return the longest duration that the rain says anything of, min."""
    if rain.intensity_in_h is not None or rain.table is None or rain.return_period_yr is None:
        return rain.storm_min
    place = rain.table.return_periods_yr.index(rain.return_period_yr)
    return max((row.duration_min for row in rain.table.rows if row.values[place] is not None), default=rain.storm_min)


def drawdown_h(held_ft3: float, floor_ft2: float, infiltration_in_h: float) -> float:
    """Return how long the soil under a well takes to drink what it holds, h.

    Source: volume over floor and rate. Check: tests/outside/test_dry_wells.py

    Examples
    --------
    8 ft3 over a floor of 16 ft2 stand half a foot deep in clear water; at 0.5 in/h that is 12 h:

    >>> drawdown_h(8.0, 16.0, 0.5)
    12.0
    """
    return held_ft3 / (floor_ft2 * infiltration_in_h / IN_PER_FT)


def _ends(network: Network) -> dict[str, str]:
    """Return the outfall that the water of each structure gets to."""
    ends = {name: name for name in network.outfalls}
    way = downhill(network)
    for flow in reversed(network.runs):
        if way.get(flow.upstream) is flow:
            ends[flow.upstream] = ends.get(flow.downstream, "")
    return ends


def _well(job: Job, s: Structure, ca_ft2: float) -> Well:
    length, width, depth = s.pit_length_ft, s.pit_width_ft, s.pit_depth_ft
    rate, voids = job.water.infiltration_in_h, job.water.stone_voids
    if length is None or width is None or depth is None:
        return Well(s.id, ca_ft2, None, None, None, None)
    room = length * width * depth * voids
    if rate is None:
        return Well(s.id, ca_ft2, room, None, None, None)
    balance = balance_of(job.rain, ca_ft2, length * width, rate)
    full = min(balance.holds_ft3, room)
    needs = None
    if balance.holds_ft3 > room:
        tried = np.arange(np.ceil(length), 501.0)
        enough = (
            n
            for n in tried.tolist()
            if balance_of(job.rain, ca_ft2, n * width, rate).holds_ft3 <= n * width * depth * voids
        )
        needs = next(enough, None)
    return Well(s.id, ca_ft2, room, balance, drawdown_h(full, length * width, rate), needs)
