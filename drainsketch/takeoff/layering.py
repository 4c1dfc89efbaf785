"""Layering: the levels between the layers of a trench along a run, for pictures of it."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from drainsketch.job.model import Job, Run
from drainsketch.network.results import Floats, Grade, Profile
from drainsketch.takeoff.cover import Stretch
from drainsketch.takeoff.sweep import stone_height_ft

STEP_FT = 1e-6  # within which one layer gives way to the next at the edge of paving


class Layering(Struct, frozen=True):
    """Levels along a run, ft, one array each (n,): ground, underside of topsoil or base course, top of stone, trench bottom."""

    station_ft: Floats
    ground_ft: Floats
    under_cover_ft: Floats
    stone_top_ft: Floats
    bottom_ft: Floats


def layering(job: Job, run: Run, profile: Profile, grade: Grade, stretches: Sequence[Stretch]) -> Layering:
    """Return the levels between the layers of a run's trench; none lies above the ground or below the trench bottom.

    Parameters
    ----------
    stretches : of the run that lie under paving (``Paving.stretches``)

    Source: as ``sweep``, whose volumes lie between them. Check: tests/takeoff/test_layering.py
    """
    is_drain = run.use == "drain"
    bed_ft = (job.criteria.stone_bed_in if is_drain else job.sections.solid_bed_in) / 12
    high_ft = stone_height_ft(job, run.use, bed_ft, grade.outside_in)
    ends = [at for s in stretches for at in (s.from_ft, s.from_ft + STEP_FT, s.to_ft - STEP_FT, s.to_ft)]
    known = profile.station_ft
    station = np.union1d(known, [at for at in ends if known[0] <= at <= known[-1]]) if ends else known
    over = np.full(len(station), job.criteria.topsoil_cap_in / 12 if is_drain else 0.0)
    high = np.full(len(station), high_ft)
    for s in stretches:
        inside = (station > s.from_ft + STEP_FT / 2) & (station < s.to_ft - STEP_FT / 2)
        over[inside] = s.layers.over_fill_ft
        if job.sections.paved_fill == "stone":
            high[inside] = np.inf
    bottom = grade.inverts_at(station) - grade.bottom_below_invert_ft
    ground = np.interp(station, known, profile.ground_ft)
    under = np.maximum(bottom, ground - over)
    return Layering(station, ground, under, np.minimum(under, bottom + high), bottom)
