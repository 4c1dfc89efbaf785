"""Amends: single changes to a job by which its water may come to leave, each by an amount that can be more or less."""

from collections.abc import Callable, Iterator
from math import ceil, floor
from typing import Any

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.findings import Param
from drainsketch.ground.book import book_levels, levelled_shots
from drainsketch.ground.grid import buildings
from drainsketch.ground.surface import Surface
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.kinds import PipeKind, Point
from drainsketch.job.model import Job, Shot, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.network.bounds import OPEN_AIR, Bounds, fixed_level, pinned_ft
from drainsketch.network.profiles import profiles
from drainsketch.network.troubles import Trouble
from drainsketch.network.ways import Ground

# common practice, no source: as far as each is still a remedy
FLATTEST = 0.005
LEAST_COVER_IN = 6.0
MOST_FILL_FT = 1.5
MOST_RISER_FT = 3.0
MOST_LOWER_FT = 6.0
STEP_FT = {"ft-in": 1 / 96, "ft": 0.01, "m": 0.005 / 0.3048}  # what a crew can set
PIPES: tuple[PipeKind, ...] = ("sdr35", "smooth-lined", "sch40", "corrugated")
FAR = 100  # steps over which a change of ground is measured: on the same triangles it is straight
HIGHEST_FT = 30_000.0  # that the job model holds
NEAR_FT = 10.0  # of a crossing
SPOT_FT = 0.05  # a shot so near is the shot at a structure
Said = tuple[tuple[str, Param], ...]


class Amend(Struct, frozen=True):
    """A change by 1 to ``most`` steps: the more steps, the more it helps. ``ground`` gives the ground it makes, where it does."""

    kind: str
    most: int
    edit: Callable[[int], Job]
    said: Callable[[int], Said]
    ground: Callable[[int], Ground] | None = None


def amends(bounds: Bounds, troubles: tuple[Trouble, ...], runs: frozenset[str]) -> Iterator[Amend]:
    """Yield the changes that may end troubles on these runs; those of ground and grate for one alone."""
    yield from _pins(bounds, runs)
    yield from _flatter(bounds, runs)
    yield from _less_drop(bounds)
    yield from _other_pipe(bounds, runs)
    yield from _less_cover(bounds, runs)
    for name in sorted({f.downstream for f in bounds.network.runs if f.id in runs} & set(bounds.network.outfalls)):
        yield from _outfall(bounds, bounds.structures[name])
    if len(troubles) == 1:
        trouble = troubles[0]
        yield from _grate(bounds, bounds.structures[trouble.at])
        yield from _fill(bounds, runs, bounds.structures[trouble.at])
        if trouble.station_ft is not None:
            yield from _fill_over(bounds, runs, trouble.thing, trouble.station_ft)


def _changed(job: Job, runs: list[str], **fields: Any) -> Job:
    for run in runs:
        job = change(job, run, **fields)
    return job


def _always(value: Any) -> Callable[[int], Any]:
    return lambda _: value


def _pins(bounds: Bounds, runs: frozenset[str]) -> Iterator[Amend]:
    job, seen = bounds.job, set()
    for flow in bounds.network.runs:
        if flow.id not in runs:
            continue
        for end, at in (("up", flow.upstream), ("down", flow.downstream)):
            level = pinned_ft(bounds.runs[flow.id], flow, end)
            if level is not None:
                field = "start_invert_ft" if (end == "up") == flow.drawn_downhill else "end_invert_ft"
                said: Said = (("run", flow.id), ("structure", at), ("level", level))
                yield Amend("free_end", 1, _always(change(job, flow.id, **{field: None})), _always(said))
            s = bounds.structures[at]
            if s.invert_ft is not None and s.kind != "outfall" and at not in seen:
                seen.add(at)
                said = (("structure", at), ("level", s.invert_ft))
                yield Amend("free_structure", 1, _always(change(job, at, invert_ft=None)), _always(said))


def _flatter(bounds: Bounds, runs: frozenset[str]) -> Iterator[Amend]:
    least = {run: bounds.slopes(run)[0] for run in sorted(runs)}
    first = ceil(max(least.values(), default=0.0) * 1000 - 1e-6) - 1
    most = first - round(FLATTEST * 1000) + 1

    def taken(n: int) -> tuple[float, list[str]]:
        slope = (first + 1 - n) / 1000
        return slope, [run for run, own in least.items() if own > slope]

    def edit(n: int) -> Job:
        slope, some = taken(n)
        return _changed(bounds.job, some, min_slope=slope)

    def said(n: int) -> Said:
        slope, some = taken(n)
        return ("runs", tuple(some)), ("slope", slope)

    if most > 0:
        yield Amend("flatter", most, edit, said)


def _less_drop(bounds: Bounds) -> Iterator[Amend]:
    asked = bounds.job.criteria.basin_drop_in
    most = ceil(asked * 8 - 1e-9)

    def left(n: int) -> float:
        return max(0.0, asked - n / 8)

    if most:
        yield Amend(
            "less_drop",
            most,
            lambda n: change_criteria(bounds.job, basin_drop_in=left(n)),
            lambda n: (("drop_in", left(n)), ("was_in", asked)),
        )


def _less_cover(bounds: Bounds, runs: frozenset[str]) -> Iterator[Amend]:
    asked = {run: round(bounds.cover_ft(run) * 12, 6) for run in sorted(runs)}
    first = ceil(max(asked.values(), default=0.0)) - 1

    def taken(n: int) -> tuple[float, list[str]]:
        cover = float(first + 1 - n)
        return cover, [run for run, own in asked.items() if own > cover]

    def edit(n: int) -> Job:
        cover, some = taken(n)
        return _changed(bounds.job, some, min_cover_in=cover)

    def said(n: int) -> Said:
        cover, some = taken(n)
        return ("runs", tuple(some)), ("cover_in", cover), ("drive_in", bounds.job.criteria.min_cover_drive_in)

    if first - LEAST_COVER_IN + 1 > 0:
        yield Amend("less_cover", floor(first - LEAST_COVER_IN + 1), edit, said)


def _other_pipe(bounds: Bounds, runs: frozenset[str]) -> Iterator[Amend]:
    """Pipe of the same size with a thinner wall."""

    def top_in(run: str, kind: PipeKind) -> float:
        size = pipe_size(kind, bounds.runs[run].diameter_in)
        return size.inside_in + size.wall_in

    for kind in PIPES:
        thinner = [run for run in sorted(runs) if top_in(run, kind) < bounds.top_ft(run) * 12 - 1e-6]
        if thinner:
            said = (("runs", tuple(thinner)), ("pipe", kind))
            yield Amend(
                "other_pipe", 1, _always(_changed(bounds.job, thinner, pipe=kind, grade_breaks=False)), _always(said)
            )


def _outfall(bounds: Bounds, s: Structure) -> Iterator[Amend]:
    """A lower outfall: down to the ground where it is open, into a drain that lies lower, or into the ground."""
    level, ground_ft = fixed_level(s, bounds.ground[s.id]), bounds.ground[s.id]
    step_ft = STEP_FT[bounds.job.header.units]
    if level is not None:

        def said(n: int) -> Said:
            return ("structure", s.id), ("by", n * step_ft), ("to", level - n * step_ft), ("was", level)

        if s.outfall == "tie-in":
            most = round(MOST_LOWER_FT / step_ft)
            yield Amend("lower_tie_in", most, lambda n: change(bounds.job, s.id, invert_ft=level - n * step_ft), said)
        else:
            open_air = floor((level - ground_ft) / step_ft) if (s.outfall or "daylight") in OPEN_AIR else 0
            if open_air > 0:
                yield Amend(
                    "lower_end", open_air, lambda n: change(bounds.job, s.id, invert_ft=level - n * step_ft), said
                )
            most = round(MOST_LOWER_FT / step_ft)
            yield Amend(
                "tie_in_below",
                most,
                lambda n: change(bounds.job, s.id, outfall="tie-in", invert_ft=level - n * step_ft),
                said,
            )
    if s.outfall != "dry well":
        job = change(bounds.job, s.id, outfall="dry well", invert_ft=None)
        yield Amend("dry_well", 1, _always(job), _always((("structure", s.id),)))


def _grate(bounds: Bounds, s: Structure) -> Iterator[Amend]:
    """A grate set below the ground, raised toward it, as far as risers are stacked on a basin that stands."""
    step_ft, rim = STEP_FT[bounds.job.header.units], bounds.rim[s.id]
    most = floor(min(bounds.ground[s.id] - rim, MOST_RISER_FT) / step_ft)
    if most > 0:
        yield Amend(
            "raise_grate",
            most,
            lambda n: change(bounds.job, s.id, rim_ft=rim + n * step_ft),
            lambda n: (("structure", s.id), ("by", n * step_ft), ("to", rim + n * step_ft)),
        )


def _fill(bounds: Bounds, runs: frozenset[str], s: Structure) -> Iterator[Amend]:
    """Ground raised around a structure, its grate with it: the shot there, or a new one, is set to the finished level."""
    step_ft, ground_ft = STEP_FT[bounds.job.header.units], bounds.ground[s.id]
    raised = _raised(bounds, s.point, ground_ft)
    if raised is None or _lifts_service(bounds, raised):
        return

    def edit(n: int) -> Job:
        new = raised(n)
        return change(new, s.id, rim_ft=s.rim_ft + n * step_ft) if s.rim_ft is not None else new

    yield Amend(
        "fill",
        round(MOST_FILL_FT / step_ft),
        edit,
        lambda n: (("structure", s.id), ("by", n * step_ft), ("to", ground_ft + n * step_ft)),
        _ground_by(bounds, runs, edit),
    )


def _fill_over(bounds: Bounds, runs: frozenset[str], run: str, station_ft: float) -> Iterator[Amend]:
    """Ground raised over a run at its lowest place; nearer than a foot to an end it is raised at the structure."""
    step_ft, p = STEP_FT[bounds.job.header.units], bounds.profiles[run]
    x, y, ground_ft = (float(np.interp(station_ft, p.station_ft, z)) for z in (p.x_ft, p.y_ft, p.ground_ft))
    edit = _raised(bounds, (x, y), ground_ft)
    away = 1.0 < station_ft < bounds.flows[run].length_ft - 1.0
    if edit is not None and away and not _lifts_service(bounds, edit):
        yield Amend(
            "fill_over",
            round(MOST_FILL_FT / step_ft),
            edit,
            lambda n: (("run", run), ("station", station_ft), ("by", n * step_ft), ("to", ground_ft + n * step_ft)),
            _ground_by(bounds, runs, edit),
        )


def _raised(bounds: Bounds, point: Point, ground_ft: float) -> Callable[[int], Job] | None:
    """Return the edit that raises the ground at a point; None where its level hangs on a reading: that is read again."""
    job, step_ft = bounds.job, STEP_FT[bounds.job.header.units]
    here = [x for x in job.shots if np.hypot(x.point[0] - point[0], x.point[1] - point[1]) < SPOT_FT]
    if bounds.surface is None or len(here) > 1 or any(x.elevation_ft is None for x in here):
        return None
    if ground_ft + max(MOST_FILL_FT, FAR * step_ft) > HIGHEST_FT:
        return None

    def edit(n: int) -> Job:
        to = ground_ft + n * step_ft
        return change(job, here[0].id, elevation_ft=to) if here else add(job, Shot(id="", point=point, elevation_ft=to))

    return edit


def _lifts_service(bounds: Bounds, edit: Callable[[int], Job]) -> bool:
    """Return whether fill changes the ground over a service where a run crosses it.

    The depth of a service is entered below the ground, so that fill would lift it in the job, where it stays put in the yard.
    """
    services = {s.id: s.points for s in bounds.job.services}
    near = [
        shapely.intersection(shapely.LineString(services[m.other]), shapely.Point(m.point).buffer(NEAR_FT))
        for m in bounds.meetings
        if m.other in services
    ]
    at = shapely.get_coordinates(shapely.segmentize(near, 1.0)) if near else np.zeros((0, 2))
    if not len(at):
        return False
    low, high = (_surface(edit(k)).levels_at(at)[0] for k in (0, FAR))
    return bool((np.abs(high - low) > 1e-6).any())


def _surface(job: Job) -> Surface:
    return Surface(levelled_shots(job.shots, book_levels(job.book)), job.breaklines, buildings(job))


def _ground_by(bounds: Bounds, runs: frozenset[str], edit: Callable[[int], Job]) -> Callable[[int], Ground]:
    ends: list[Ground] = []

    def ground(n: int) -> Ground:
        if not ends:
            ends.extend(_ground_of(bounds, runs, edit(k)) for k in (0, FAR))
        return _between(ends[0], ends[1], n / FAR)

    return ground


def _ground_of(bounds: Bounds, runs: frozenset[str], job: Job) -> Ground:
    surface = _surface(job)
    z, _ = surface.levels_at(np.array([s.point for s in job.structures]))
    levels = dict(zip((s.id for s in job.structures), z.tolist(), strict=True))
    return Ground(profiles(tuple(f for f in bounds.network.runs if f.id in runs), surface, {}), levels)


def _between(low: Ground, high: Ground, share: float) -> Ground:
    """Return the ground part of the way from one to another; levels on the same triangles change in a straight line."""
    made = {
        run: replace(p, ground_ft=p.ground_ft + share * (high.profiles[run].ground_ft - p.ground_ft))
        for run, p in low.profiles.items()
    }
    return Ground(made, {s: z + share * (high.levels[s] - z) for s, z in low.levels.items()})
