"""Dry wells: whether a pit or a trench full of stone holds a storm while the soil takes it up, and how long until it is empty."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import partial
from math import ceil

import numpy as np
from msgspec.structs import replace

from drainsketch.job.model import Job, Structure
from drainsketch.job.rain import Rain
from drainsketch.network.graph import downhill
from drainsketch.network.pits import pit_of
from drainsketch.network.results import Floats, Network, StructureLevels
from drainsketch.water.constants import CFS_PER_ACRE_IN_H, FT2_PER_ACRE
from drainsketch.water.rain import intensities_in_h, longest_min
from drainsketch.water.results import Arrival, Balance, Well
from drainsketch.water.soaking import Soakage, soakage, stone_pool
from drainsketch.water.stores import StoneTrench

IN_PER_FT = 12.0
SHORTEST_MIN, LONGEST_MIN = 5.0, 2_880.0  # to two days of rain
STEPS = 200
MOST_FT = 500  # of pit, or of trench more
HALVINGS = 24


def wells_of(
    job: Job,
    network: Network,
    arrivals: dict[str, Arrival],
    levels: dict[str, StructureLevels],
    stone: Sequence[StoneTrench] = (),
) -> dict[str, Well]:
    """Return the dry wells that anything arrives at, by id of the outfall. Source and check as ``balance_of``.

    Parameters
    ----------
    stone : of drain runs; that of the drain a well ends is part of it
    """
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
            trenches = _drain_into(s.id, network, stone)
            hangs = {name for name, at in ends.items() if at == s.id}
            spill_ft = _spill_ft(job, s.id, hangs, levels, trenches) if trenches else 0.0
            out[s.id] = _well(job, s, ca, trenches, spill_ft)
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
    at_end = at == STEPS - 1 and rain.intensity_in_h is None and bool(minutes[at] < LONGEST_MIN)
    return Balance(float(minutes[at]), float(comes[at]), float(min(soaks[at], comes[at])), held, at_end)


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


def _drain_into(well: str, network: Network, stone: Sequence[StoneTrench]) -> tuple[StoneTrench, ...]:
    """Return the trenches of stone that hang together with a well: drain all the way, without a stretch of solid pipe."""
    trenches, reached = {t.run_id: t for t in stone}, {well}
    found = []
    for flow in reversed(network.runs):
        if flow.downstream in reached and flow.id in trenches:
            reached.add(flow.upstream)
            found.append(trenches[flow.id])
    return tuple(found)


def _spill_ft(
    job: Job, well: str, hangs: set[str], levels: dict[str, StructureLevels], trenches: tuple[StoneTrench, ...]
) -> float:
    """Return the level at which water comes out: the lowest rim that hangs on a well, or the ground at it or over its stone."""
    rims = [levels[s.id].rim_ft for s in job.structures if s.id in hangs & set(levels) and s.kind != "fitting"]
    cap_ft = job.criteria.topsoil_cap_in / 12
    return min(*rims, levels[well].ground_ft, *(min(t.top_ft) + cap_ft for t in trenches))


def _well(job: Job, s: Structure, ca_ft2: float, trenches: tuple[StoneTrench, ...], spill_ft: float) -> Well:
    rate, voids, pit = job.water.infiltration_in_h, job.water.stone_voids, pit_of(s)
    if pit is None and not trenches:
        return Well(s.id, ca_ft2, None, None, None, None)
    length, width, depth = pit or (0.0, 0.0, 0.0)
    pool = stone_pool(trenches, spill_ft, voids)

    def made(pit_length_ft: float, times: float = 1.0) -> Soakage:
        return soakage(pit_length_ft * width * depth * voids, pit_length_ft * width, pool, times)

    def asked(store: Soakage, held_ft3: float) -> Balance:
        return balance_of(job.rain, ca_ft2, store.floor_ft2(held_ft3), rate or 0.0)

    store = made(length)
    room = store.room_ft3
    well = Well(
        outfall=s.id,
        ca_ft2=ca_ft2,
        room_ft3=room,
        balance=None,
        drawdown_h=None,
        needs_length_ft=None,
        pit_ft3=length * width * depth * voids,
        floor_ft2=store.floor_ft2(room),
        stone=tuple(t.run_id for t in trenches),
        spill_ft=spill_ft if trenches else None,
        wet_ft=pool.wet_ft,
    )
    if rate is None:
        return well
    full_ft3 = _fills_ft3(room, partial(asked, store))
    floor_ft2 = store.floor_ft2(full_ft3)
    well = replace(
        well,
        balance=asked(store, full_ft3),
        floor_ft2=floor_ft2,
        drawdown_h=drawdown_h(full_ft3, floor_ft2, rate) if floor_ft2 > 0 else None,
    )
    if not well.is_short:
        return well
    if pit is not None:
        return replace(well, needs_length_ft=_least(ceil(length), lambda feet: _holds(made(feet), asked)))
    if pool.wet_ft > 0:
        more = _least(1, lambda feet: _holds(made(0.0, 1 + feet / pool.wet_ft), asked))
        return replace(well, needs_trench_ft=more)
    return well


def _fills_ft3(room_ft3: float, asked: Callable[[float], Balance]) -> float:
    """Return how full a well gets: to where it holds what the soil leaves over the floor that is wet by then, the room at the most."""
    if asked(room_ft3).holds_ft3 >= room_ft3:
        return room_ft3
    low, high = 0.0, room_ft3
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if asked(middle).holds_ft3 <= middle else (middle, high)
    return high


def _holds(store: Soakage, asked: Callable[[Soakage, float], Balance]) -> bool:
    return asked(store, store.room_ft3).holds_ft3 <= store.room_ft3


def _least(start: int, holds: Callable[[float], bool]) -> float | None:
    """Return the fewest whole feet that hold, from a start on; None where no length does."""
    tried = range(start, MOST_FT + 1)
    at = bisect_left(tried, True, key=holds)
    return float(tried[at]) if at < len(tried) else None
