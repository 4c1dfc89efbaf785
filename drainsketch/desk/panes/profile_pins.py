"""The inverts of a profile that can be taken in hand: where they are, what pins them, and how far they may go."""

from math import inf
from typing import Literal

from msgspec import Struct

from drainsketch.job.ask import structures_by_id, thing
from drainsketch.job.edits.change import change
from drainsketch.job.kinds import Units
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.units import METER_PER_FOOT
from drainsketch.network.bounds import fixed_level, pinned_ft, slope_limits
from drainsketch.network.pins import MEASURED
from drainsketch.review import Review
from drainsketch.sheets.pathway import Leg, Pathway

Place = Literal["invert_ft", "start_invert_ft", "end_invert_ft"]


class Handle(Struct, frozen=True):
    """An invert at one end of a run, at a station of the path.

    ``thing`` and ``field`` are what a level typed there is written into. ``side``: on which side of its structure the pipe lies,
    -1 towards the outfall.
    """

    at_ft: float
    level_ft: float
    run: str
    structure: str
    thing: str
    field: Place
    side: int
    pinned: bool

    @property
    def key(self) -> tuple[str, str]:
        """What stays the same while its level changes: run and structure."""
        return self.run, self.structure


def handles(path: Pathway, job: Job) -> tuple[Handle, ...]:
    """Return the handles of a path, outfall first.

    The measured level of a drain or curb that is there already is no handle: it is not for the pipe to choose.
    """
    structures = structures_by_id(job)
    found = []
    for leg in path.legs:
        flow, grade = leg.flow, leg.grade
        if flow is None or grade is None:
            continue
        below, above = structures[flow.downstream], structures[flow.upstream]
        if not (below.kind == "outfall" and below.outfall in MEASURED):
            found.append(_handle(leg, below, "down", leg.from_ft, grade.invert_down_ft))
        found.append(_handle(leg, above, "up", leg.from_ft + grade.length_ft, grade.invert_up_ft))
    return tuple(found)


def _handle(leg: Leg, structure: Structure, end: Literal["up", "down"], at_ft: float, level_ft: float) -> Handle:
    """Return the handle of one end of a run.

    Pipe leaves a structure at the structure's own invert, and so it arrives anywhere but at a basin, where it may come in higher.
    A level typed for the run stands before that.
    """
    assert leg.flow is not None  # the caller looked
    run_pin = pinned_ft(leg.run, leg.flow, end)
    field: Place = "start_invert_ft" if (end == "up") == leg.flow.drawn_downhill else "end_invert_ft"
    of_run = run_pin is not None or (end == "down" and structure.kind == "basin")
    owner = leg.run.id if of_run else structure.id
    pinned = run_pin is not None if of_run else structure.invert_ft is not None
    place: Place = field if of_run else "invert_ft"
    side = -1 if end == "up" else 1
    return Handle(at_ft, level_ft, leg.run.id, structure.id, owner, place, side, pinned)


def pin(job: Job, handle: Handle, level_ft: float) -> Job:
    """Return the job with an invert pinned. Raises EditError for a level out of bounds."""
    return change(job, handle.thing, **{handle.field: level_ft})


def release(job: Job, handle: Handle) -> Job:
    """Return the job with an invert left to the program again: every pin at this end of the run taken out."""
    owner = thing(job, handle.thing)
    if isinstance(owner, Run | Structure) and getattr(owner, handle.field) is not None:
        return change(job, handle.thing, **{handle.field: None})
    return job


def step_ft(units: Units) -> float:
    """Return the fineness of levels: 0.01 ft, or 5 mm in a metric job."""
    return 0.005 / float(METER_PER_FOOT) if units == "m" else 0.01


def snapped(level_ft: float, units: Units) -> float:
    """Return a level on the fineness of levels."""
    step = step_ft(units)
    return round(round(level_ft / step) * step, 6)


class Limits(Struct, frozen=True):
    """Between which levels an invert keeps fall and cover on its path, ft; infinite where nothing on the path holds it."""

    low_ft: float
    high_ft: float


def limits(path: Pathway, review: Review, handle: Handle) -> Limits:
    """Return how low and how high an invert may go with everything free on its path moved along.

    Lowest: the next held level downstream and the least fall up from it. Highest: under the cover of every place upstream, under
    the ground at the structures, and under the next pin upstream, less the least fall down from there.
    Limits: pipe from aside and crossings are not asked; the review is.
    """
    pins = {h.key: h for h in handles(path, review.job) if h.pinned and h.key != handle.key}
    start = next(i for i, leg in enumerate(path.legs) if leg.run.id == handle.run)
    first_above = start + 1 if handle.side < 0 else start
    low = _lowest(path.legs[:first_above], review, handle, pins)
    return Limits(low, _highest(path.legs[start], path.legs[first_above:], review, handle, pins))


Pins = dict[tuple[str, str], Handle]


def _lowest(legs: tuple[Leg, ...], review: Review, handle: Handle, pins: Pins) -> float:
    """Return the lowest invert by the runs below it."""
    structures = structures_by_id(review.job)
    own = structures[handle.structure]
    if handle.field != "invert_ft" and own.invert_ft is not None:
        return own.invert_ft
    fall = 0.0
    for leg in reversed(legs):
        if leg.flow is None or leg.grade is None:
            break
        fall += slope_limits(leg.run, review.job.criteria)[0] * leg.grade.length_ft
        below = structures[leg.flow.downstream]
        pinned = pins.get((leg.run.id, below.id))
        held = pinned.level_ft if pinned is not None else fixed_level(below, review.levels[below.id].ground_ft)
        if held is not None:
            return held + fall
    return -inf


def _highest(own: Leg, legs: tuple[Leg, ...], review: Review, handle: Handle, pins: Pins) -> float:
    """Return the highest invert by the end of its own run and by the runs above it."""
    structures, bounds = structures_by_id(review.job), review.bounds
    if bounds is None:
        return inf
    high, fall = inf, 0.0
    if handle.side < 0 and own.flow is not None:
        part = bounds.legs(own.flow)[-1]
        ceiling = float(part.ceiling[part.ceiling_share >= 1 - 1e-9].min(initial=inf))
        high = min(ceiling, bounds.highest_out_ft(structures[handle.structure], handle.run))
    for leg in legs:
        if leg.flow is None or leg.grade is None:
            break
        least = slope_limits(leg.run, review.job.criteria)[0]
        for part in bounds.legs(leg.flow):
            share = part.from_ft + part.ceiling_share * part.length_ft
            high = min(high, float((part.ceiling - least * share).min(initial=inf)) - fall)
        arrives = pins.get((leg.run.id, leg.flow.downstream))
        high = min(high, arrives.level_ft - fall) if arrives is not None else high
        fall += least * leg.grade.length_ft
        high = min(high, bounds.highest_out_ft(structures[leg.flow.upstream], leg.run.id) - fall)
        leaves = pins.get((leg.run.id, leg.flow.upstream))
        if leaves is not None:
            return min(high, leaves.level_ft - fall)
    return high
