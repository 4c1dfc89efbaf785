"""The sweep: all runs of a job worked in one go over the intervals between their stations, layer by layer."""

from collections.abc import Sequence
from itertools import accumulate
from math import inf

import numpy as np
from msgspec import Struct

from drainsketch.job.kinds import RunUse
from drainsketch.job.model import Job
from drainsketch.network.digging import trench_width_ft
from drainsketch.network.prisms import cut_area_ft2, dug_ft, pipe_in_layer_ft3
from drainsketch.network.results import Floats, Grade, Profile
from drainsketch.takeoff.cover import Stretch
from drainsketch.takeoff.works import RunWork


class Dug(Struct, frozen=True):
    """A run whose trench is known: from which station to which it is dug, and where it lies under paving."""

    work: RunWork
    profile: Profile
    grade: Grade
    from_ft: float
    to_ft: float
    stretches: tuple[Stretch, ...] = ()

    @property
    def bed_ft(self) -> float:
        """Return how thick the bed under the pipe is, ft."""
        return self.grade.bottom_below_invert_ft - self.work.size.wall_in / 12


class Swept(Struct, frozen=True):
    """What one run's trench is made of, between its ends. Lengths in plan, ft; areas seen from the side, ft2; pipe by its outside, ft3."""

    dug_ft: float
    cut_ft2: float  # ground to trench bottom
    not_earth_ft2: float  # of it paving that is broken out or lifted before anyone digs
    topsoil_ft2: float
    surfacing_ft2: float
    base_ft2: float
    fill_ft2: float  # what is left: stone, pipe and native earth
    stone_ft2: float  # of it, pipe in it included
    stone_ft: float  # over what length there is any
    paved_ft: float
    pipe_ft3: float  # in the fill
    stone_pipe_ft3: float  # of it in stone


def stone_height_ft(job: Job, use: RunUse, bed_ft: float, outside_in: float) -> float:
    """Return how high stone reaches above the trench bottom away from paving, ft: endless where all of the fill is stone."""
    if use == "drain":
        return inf
    over_in = job.sections.solid_over_in
    return bed_ft + (0.0 if over_in is None else (outside_in + over_in) / 12)


def sweep(job: Job, dug: Sequence[Dug]) -> list[Swept]:
    """Return what each run's trench is made of: ground, layers and pipe run straight between stations, and no layer goes deeper
    than the cut.

    Source: prisms between stations, plane geometry (``network/prisms.py``). Check: tests/outside/test_trench_sections.py
    """
    if not dug:
        return []
    stationed = [_stationed(d) for d in dug]
    counts = [len(station) - 1 for station, _ in stationed]
    cap_ft = job.criteria.topsoil_cap_in / 12
    per_run = np.array(
        [
            (
                *(d.from_ft, max(d.from_ft, d.to_ft), d.grade.slope, d.grade.invert_down_ft),
                *(d.grade.bottom_below_invert_ft, d.bed_ft, d.grade.outside_in / 12),
                stone_height_ft(job, d.work.run.use, d.bed_ft, d.grade.outside_in),
                cap_ft if d.work.run.use == "drain" else 0.0,
            )
            for d in dug
        ]
    )
    low, high, slope, level, below, bed, outside, stone, over = np.repeat(per_run.T, counts, axis=1)
    surfacing, not_earth, paved = np.zeros((3, len(low)))
    starts = list(accumulate(counts[:-1], initial=0))
    for start, count, d, (station, _) in zip(starts, counts, dug, stationed, strict=True):
        here = slice(start, start + count)
        if d.grade.breaks or d.stretches:
            middle = (station[:-1] + station[1:]) / 2
        if d.grade.breaks:  # each interval lies on the line of its own leg
            slope[here], level[here] = d.grade.lines_at(middle)
        for s in d.stretches:
            under = start + np.flatnonzero((middle > s.from_ft) & (middle < s.to_ft))
            over[under], surfacing[under] = s.layers.over_fill_ft, s.layers.surfacing_ft
            not_earth[under] = s.layers.not_earth_ft
            paved[under] = 1.0
            if job.sections.paved_fill == "stone":
                stone[under] = inf
    (s0, s1), (g0, g1) = _intervals(stationed)
    cut = (g0 - level + below - slope * s0, g1 - level + below - slope * s1)
    length, first, last = _clipped((s0, s1), cut, low, np.maximum(low, high))
    whole, open_ft = cut_area_ft2(length, first, last), dug_ft(length, first, last)
    fill = cut_area_ft2(length, first - over, last - over)
    in_stone, stone_ft = fill, dug_ft(length, first - over, last - over)
    if np.isfinite(stone).any():
        known = np.where(np.isfinite(stone), stone, 0.0)
        above = cut_area_ft2(length, first - over - known, last - over - known)
        in_stone = np.where(np.isfinite(stone), fill - above, fill)
        stone_ft = np.where(stone > 0, stone_ft, 0.0)
    pipe = np.hypot(1.0, slope) * pipe_in_layer_ft3(length, first - over - bed, last - over - bed, outside)
    nothing = np.zeros(len(length))
    off, surfaced = nothing, nothing
    if paved.any():
        off = whole - cut_area_ft2(length, first - not_earth, last - not_earth)
        surfaced = whole - cut_area_ft2(length, first - surfacing, last - surfacing)
    columns = (
        *(open_ft, whole, off, np.where(paved > 0, 0.0, whole - fill), surfaced),
        np.where(paved > 0, whole - fill - surfaced, 0.0),
        *(fill, in_stone, stone_ft, open_ft * paved, pipe, np.where(stone > bed, pipe, 0.0)),
    )
    sums = np.add.reduceat(np.stack(columns), starts, axis=1).T.tolist()
    return [Swept(*row) for row in sums]


def width_ft(job: Job, grade: Grade) -> float:
    """Return the width of a run's trench, ft."""
    return trench_width_ft(grade.outside_in, job.criteria.trench_width_in)


def _stationed(d: Dug) -> tuple[Floats, Floats]:
    """Return stations and ground of a run, with stations added where paving begins and ends."""
    station, ground = d.profile.station_ft, d.profile.ground_ft
    if not d.stretches:
        return station, ground
    ends = [at for s in d.stretches for at in (s.from_ft, s.to_ft) if station[0] < at < station[-1]]
    more = np.union1d(station, ends)
    return more, np.interp(more, station, ground)


def _intervals(stationed: list[tuple[Floats, Floats]]) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return the first and the last of every interval: stations, then ground."""
    station, ground = (
        (np.concatenate([a[k][:-1] for a in stationed]), np.concatenate([a[k][1:] for a in stationed])) for k in (0, 1)
    )
    return station, ground


def _clipped(
    station: tuple[Floats, Floats], cut: tuple[Floats, Floats], low: Floats, high: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return length and end cuts of each interval, kept between two stations."""
    (s0, s1), (c0, c1) = station, cut
    rise = (c1 - c0) / np.where(s1 > s0, s1 - s0, 1.0)
    a, b = np.clip(s0, low, high), np.clip(s1, low, high)
    return b - a, c0 + rise * (a - s0), c0 + rise * (b - s0)
