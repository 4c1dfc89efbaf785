"""As laid: readings taken on the laid pipe against the plan, where it falls back, and where water would stand in it."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.kinds import Point
from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.model import Job
from drainsketch.network.cutsheet import SAME_FT, CutMark, point_at, to_shoot
from drainsketch.network.results import FlowRun, Grade, InletPath, Network

Verdict = Literal["not shot", "holds so far", "holds", "lay again"]
VERDICTS: tuple[Verdict, ...] = ("lay again", "not shot", "holds so far", "holds")  # the worst first

COVERS_FT = 0.5  # common practice, no source: the rod need not stand nearer to a station than this
NOTHING_FT = 1e-6  # below any reading


class LaidPoint(Struct, frozen=True):
    """One reading worked out: the invert as laid against the plan's. ``ok``: within the tolerance of the job."""

    reading: str  # its id
    run_id: str
    station_ft: float
    point: Point
    invert_ft: float
    plan_ft: float
    ok: bool

    @property
    def off_ft(self) -> float:
        """How far the pipe lies above (+) or below (-) the plan, ft."""
        return self.invert_ft - self.plan_ft


class BackFall(Struct, frozen=True):
    """Two readings next to each other between which the pipe rises downstream, by ``rise_ft``."""

    up_ft: float  # station of the upstream one
    down_ft: float
    rise_ft: float


class Belly(Struct, frozen=True):
    """A stretch of laid pipe in which water stands, at ``level_ft``, up to the lip it has to pass downstream.

    ``lip`` is the run, or the outfall, that holds it up, and ``lip_station_ft`` where on that run. Stations are those of the
    stretch: ``from_ft`` its downstream end.
    """

    run_id: str
    from_ft: float
    to_ft: float
    low_ft: float  # station of the deepest place
    point: Point  # of the deepest place
    depth_ft: float
    level_ft: float
    lip: str
    lip_station_ft: float

    @property
    def length_ft(self) -> float:
        """How much pipe stands in water, ft."""
        return self.to_ft - self.from_ft


class LaidRun(Struct, frozen=True):
    """All that is known of a run as laid. ``points`` rise with the station; a later reading stands in place of one before it.

    ``lacking`` are the stations still to be shot; ``beyond`` are readings past the upstream end, which the plan cannot judge,
    and ``adrift`` those that hang on a setup of the book without a height.
    """

    run_id: str
    verdict: Verdict
    points: tuple[LaidPoint, ...] = ()
    lacking: tuple[tuple[float, tuple[CutMark, ...]], ...] = ()
    back_falls: tuple[BackFall, ...] = ()
    bellies: tuple[Belly, ...] = ()
    beyond: tuple[LaidReading, ...] = ()
    adrift: tuple[LaidReading, ...] = ()

    @property
    def stations_ft(self) -> tuple[float, ...]:
        """Where the run was read, ft, whether the height of the reading is known or not."""
        return (*(p.station_ft for p in self.points), *(r.station_ft for r in self.adrift))


class _Lip(Struct, frozen=True):
    """The level water has to reach to go on downstream, and what makes it."""

    level_ft: float = float("-inf")
    at: str = ""
    station_ft: float = 0.0


def laid_runs(job: Job, network: Network, grades: Mapping[str, Grade]) -> dict[str, LaidRun]:
    """Return every run that has a grade as laid, by run id, upstream to downstream; {} while nothing was read.

    Water stands in a laid pipe to the highest invert downstream of it, along the pipe and through the structures after it;
    an existing drain or curb of measured level counts too. Between readings the pipe is taken as straight.

    Parameters
    ----------
    job : with the heights of its laying filled in (``heights.with_heights``)

    Check: tests/network/test_laid.py, a V of given depth in closed form.
    """
    if not job.laying.readings:
        return {}
    by_run: dict[str, list[LaidReading]] = {}
    for reading in job.laying.readings:
        by_run.setdefault(reading.run, []).append(reading)
    tolerance = tolerance_ft(job.laying)
    lips = {
        s.id: _Lip(s.invert_ft, s.id)
        for s in job.structures
        if s.outfall in ("tie-in", "curb") and s.invert_ft is not None
    }
    found: dict[str, LaidRun] = {}
    for flow in reversed(network.runs):
        grade = grades.get(flow.id)
        if grade is None:
            continue
        laid = _laid(job, flow, grade, by_run.get(flow.id, []), tolerance)
        bellies, lip = _bellies(laid.points, flow, lips.get(flow.downstream, _Lip()))
        known = lips.get(flow.upstream)
        if known is None or lip.level_ft < known.level_ft:  # where two runs leave, water takes the lower
            lips[flow.upstream] = lip
        found[flow.id] = _judged(replace(laid, bellies=bellies), tolerance)
    return {flow.id: found[flow.id] for flow in network.runs if flow.id in found}


def laid_points(laid: Mapping[str, LaidRun], run_id: str) -> tuple[tuple[float, float, bool], ...]:
    """Return (station, invert as laid, whether it is within tolerance) of a run, station rising, ft; for the profile.

    Parameters
    ----------
    laid : ``review.laid``
    """
    run = laid.get(run_id)
    return tuple((p.station_ft, p.invert_ft, p.ok) for p in run.points) if run else ()


def path_verdict(path: InletPath, laid: Mapping[str, LaidRun]) -> Verdict:
    """Return the verdict on the whole way of the water from an inlet: that of its worst run."""
    said = [laid[r].verdict if r in laid else "not shot" for r in path.run_ids]
    if any(v in ("holds", "holds so far") for v in said) and "lay again" not in said and "not shot" in said:
        return "holds so far"
    return min(said, key=VERDICTS.index, default="not shot")


def worst_off(laid: LaidRun) -> tuple[LaidPoint, ...]:
    """Return the lowest and the highest point of a run that are off the plan, where there are such, the worse first."""
    off = sorted((p for p in laid.points if not p.ok), key=lambda p: -abs(p.off_ft))
    sides = {p.off_ft > 0: p for p in reversed(off)}
    return tuple(p for p in off if sides[p.off_ft > 0] is p)


def tolerance_ft(laying: Laying) -> float:
    """Return how far laid pipe may lie off the plan, ft, with room for the last digit of a float."""
    return laying.tolerance_in / 12 + NOTHING_FT


def invert_read(reading: LaidReading, grade: Grade) -> float:
    """Return the invert that a reading on laid pipe means, ft: height minus reading, less what the top is above the invert.

    Raises ValueError for a reading without a height; callers ask first.
    """
    if reading.height_ft is None:
        raise ValueError(f"{reading.id} has no height")
    top = grade.top_above_invert_ft if reading.rod_on == "top of pipe" else 0.0
    return reading.height_ft - reading.reading_ft - top


def _laid(job: Job, flow: FlowRun, grade: Grade, readings: list[LaidReading], tolerance: float) -> LaidRun:
    """Return the points of a run and what is still to be shot; bellies and verdict are not settled yet."""
    beyond = tuple(r for r in readings if r.station_ft > flow.length_ft + COVERS_FT)
    adrift = tuple(r for r in readings if r.height_ft is None and r not in beyond)
    points: list[LaidPoint] = []
    for r in readings:
        if r.height_ft is None or r.station_ft > flow.length_ft + COVERS_FT:
            continue
        station = min(r.station_ft, flow.length_ft)
        invert, plan = invert_read(r, grade), grade.invert_at(station)
        ok = abs(invert - plan) <= tolerance
        points = [p for p in points if abs(p.station_ft - station) > SAME_FT]  # shot again: the later one counts
        points.append(LaidPoint(r.id, flow.id, station, point_at(flow, station), invert, plan, ok))
    points.sort(key=lambda p: p.station_ft)
    lacking = tuple(
        (station, marks)
        for station, marks in to_shoot(job.laying, job.header.units, flow, grade)
        if all(abs(p.station_ft - station) > COVERS_FT for p in points)
    )
    back_falls = tuple(
        BackFall(up.station_ft, down.station_ft, down.invert_ft - up.invert_ft)
        for down, up in pairwise(points)
        if down.invert_ft - up.invert_ft > NOTHING_FT
    )
    return LaidRun(flow.id, "not shot", tuple(points), lacking, back_falls, beyond=beyond, adrift=adrift)


def _judged(run: LaidRun, tolerance: float) -> LaidRun:
    verdict: Verdict = "holds so far" if run.lacking else "holds"
    if not run.points:
        verdict = "not shot"
    elif not all(p.ok for p in run.points) or any(b.depth_ft > tolerance for b in run.bellies):
        verdict = "lay again"
    return replace(run, verdict=verdict)


def _bellies(points: tuple[LaidPoint, ...], flow: FlowRun, lip: _Lip) -> tuple[tuple[Belly, ...], _Lip]:
    """Return where water stands in a run, and the lip that all upstream of it has to pass.

    Walks upstream. Where the pipe lies below the lip, water stands up to the place where the pipe comes up to it again.
    """
    found: list[Belly] = []
    wet: Belly | None = None
    before: LaidPoint | None = None
    for p in points:
        if p.invert_ft < lip.level_ft - NOTHING_FT:
            depth = lip.level_ft - p.invert_ft
            if wet is None:
                start = p.station_ft if before is None else before.station_ft
                wet = Belly(flow.id, start, 0.0, 0.0, p.point, 0.0, lip.level_ft, lip.at, lip.station_ft)
            if depth > wet.depth_ft:
                wet = replace(wet, depth_ft=depth, low_ft=p.station_ft, point=p.point)
            wet = replace(wet, to_ft=p.station_ft)
        else:
            if wet is not None and before is not None:
                share = (wet.level_ft - before.invert_ft) / (p.invert_ft - before.invert_ft)
                found.append(replace(wet, to_ft=before.station_ft + share * (p.station_ft - before.station_ft)))
            wet = None
            if p.invert_ft >= lip.level_ft:
                lip = _Lip(p.invert_ft, flow.id, p.station_ft)
        before = p
    return (*found, *([wet] if wet is not None else [])), lip
