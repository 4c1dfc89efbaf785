"""Crossings: what the depths of a run and of the service or run it meets make of each meeting."""

from math import isnan, nan
from typing import Any, Literal, NamedTuple

import numpy as np
import shapely

from drainsketch.ground.surface import Surface
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Service
from drainsketch.network.buried import rule_of
from drainsketch.network.meetings import Meeting
from drainsketch.network.places import Places, places_of
from drainsketch.network.results import Crossing, Floats, Grade
from drainsketch.network.windows import LEAST_OVER_FT, gaps_ft, least_gap_ft, needs_ft, window_ft


def crossings(
    job: Job,
    met: tuple[Meeting, ...],
    geometry: dict[str, Any],
    surface: Surface | None,
    grades: dict[str, Grade],
) -> tuple[Crossing, ...]:
    """Return every crossing with its depths and vertical clearance, numbered in order.

    Where pipe and service lie over each other for some length, the crossing stands where least is left of what is asked.

    Parameters
    ----------
    met : the crossings in plan
    geometry : shapely lines of the runs, upstream first, by run id
    """
    if not met:
        return ()
    services = {s.id: s for s in job.services}
    places = places_of(job, met, geometry, surface)
    levels = _levels(met, places, geometry, grades)
    asked = {s.id: needs_ft(s, job.criteria) for s in job.services}
    needs = [asked.get(m.other, (0.0, 0.0, "")) for m in met]
    sums = _sums(places, levels, np.array([n[:2] for n in needs]))
    return tuple(
        _crossing(m + 1, meeting, services.get(meeting.other), needs[m], places, m, sums)
        for m, meeting in enumerate(met)
    )


class _Levels(NamedTuple):
    """Outside top and bottom of the pipe and of what it meets at every place, ft, (n,); nan where not known."""

    pipe_top: Floats
    pipe_bottom: Floats
    top: Floats
    bottom: Floats


class _Sums(NamedTuple):
    """What comes of the levels, as lists: by meeting ``at`` (the place that counts), ``deeper``, ``shallower``; the rest by place."""

    at: list[int]
    deeper: list[float]
    shallower: list[float]
    seen: list[bool]
    clearance: list[float]
    least: list[float]
    pipe: list[tuple[float, float]]  # outside top and bottom
    other: list[tuple[float, float]]
    ground: list[float]
    xy: list[Point]
    station: list[float]
    error: list[float]


def _sums(places: Places, levels: _Levels, needs: Floats) -> _Sums:
    """Return clearances and windows of all places, and of every meeting the place that counts.

    Parameters
    ----------
    needs : what is kept between them passing over and passing under, by meeting, ft, (m, 2)
    """
    first = places.first[:-1]
    each = np.repeat(needs, np.diff(places.first), axis=0)
    over, under = gaps_ft(*levels)
    least = least_gap_ft(over, under, places.error_ft)
    deeper, shallower = window_ft(places.ground_ft, levels.pipe_top, levels.pipe_bottom, places.size_ft, *each.T)
    left = least - np.where(over >= 0, each[:, 0], each[:, 1])
    clearance = np.maximum(over, under)
    at = first.copy()
    for m in np.flatnonzero(np.diff(places.first) > 1).tolist():
        rows = slice(places.first[m], places.first[m + 1])
        at[m] += _worst(clearance[rows], left[rows])
    return _Sums(
        at=at.tolist(),
        deeper=np.maximum.reduceat(deeper, first).tolist(),
        shallower=np.minimum.reduceat(shallower, first).tolist(),
        seen=np.logical_and.reduceat(places.seen, first).tolist(),
        clearance=clearance.tolist(),
        least=least.tolist(),
        pipe=list(zip(levels.pipe_top.tolist(), levels.pipe_bottom.tolist(), strict=True)),
        other=list(zip(levels.top.tolist(), levels.bottom.tolist(), strict=True)),
        ground=places.ground_ft.tolist(),
        xy=[(x, y) for x, y in places.xy_ft.tolist()],
        station=places.station_ft.tolist(),
        error=places.error_ft.tolist(),
    )


def _worst(clearance: Floats, left: Floats) -> int:
    """Return the place that counts: where the two meet by what is known, or else where least is left of what is asked."""
    if np.isnan(clearance).all():
        return 0
    if np.nanmin(clearance) < 0:
        return int(np.nanargmin(clearance))
    return int(np.lexsort((clearance, left.round(9)))[0])  # nan last


def _known(value: float) -> float | None:
    """Return a figure; None where it is not known."""
    return None if isnan(value) else value


def _crossing(
    number: int,
    meeting: Meeting,
    service: Service | None,
    needs: tuple[float, float, str],
    places: Places,
    m: int,
    sums: _Sums,
) -> Crossing:
    at = sums.at[m]
    ground, (pipe_top, pipe_bottom), (top, bottom) = sums.ground[at], sums.pipe[at], sums.other[at]
    clearance, seen = sums.clearance[at], service is not None and sums.seen[m]
    depth = _known(ground - top)
    if depth is None and service is not None:
        depth = service.depth_top_ft
    deeper = sums.deeper[m] if service else nan
    return Crossing(
        number=number,
        run_id=meeting.run_id,
        other=meeting.other,
        other_kind=service.kind if service else "run",
        point=sums.xy[at],
        station_ft=sums.station[at],
        angle_deg=meeting.angle_deg,
        ground_ft=_known(ground),
        pipe_top_ft=_known(pipe_top),
        pipe_bottom_ft=_known(pipe_bottom),
        pipe_depth_ft=_known(ground - pipe_top),
        service_depth_ft=depth,
        service_top_ft=_known(top),
        service_bottom_ft=_known(bottom),
        clearance_ft=_known(clearance),
        position=_position(pipe_top, pipe_bottom, top, bottom),
        hand_dig_ft=meeting.hand_dig_ft,
        known_by=_known_by(service, seen),
        seen=seen,
        flow=rule_of(service).flow if service else "",
        grade_known=bool(places.grade_known[m]),
        service_error_ft=sums.error[at] if service and not isnan(top) else None,
        least_clearance_ft=_known(sums.least[at]),
        need_over_ft=needs[0],
        need_under_ft=needs[1],
        rule=needs[2],
        works_deeper_ft=None if isnan(deeper) else max(0.0, deeper),
        works_shallower_ft=sums.shallower[m] if not isnan(deeper) and sums.shallower[m] >= LEAST_OVER_FT else None,
        hand_dig_from_ft=meeting.hand_from_ft,
        hand_dig_to_ft=meeting.hand_to_ft,
    )


def _position(
    pipe_top: float, pipe_bottom: float, top: float, bottom: float
) -> Literal["over", "under", "meets", "unknown"]:
    if isnan(pipe_top + top):
        return "unknown"
    return "over" if pipe_bottom >= top else "under" if bottom >= pipe_top else "meets"


def _known_by(service: Service | None, seen: bool) -> str:
    """Return how the depth of a service is known here: exposed only where it was seen."""
    if service is None:
        return ""
    if seen:
        return "exposed"
    return "exposed elsewhere" if service.exposed or service.known_by == "exposed" else service.known_by


def _levels(met: tuple[Meeting, ...], places: Places, geometry: dict[str, Any], grades: dict[str, Grade]) -> _Levels:
    n = len(places.station_ft)
    made = _Levels(np.full(n, np.nan), np.full(n, np.nan), places.top_ft.copy(), places.top_ft - places.size_ft)
    by_run: dict[str, list[int]] = {}
    for m, meeting in enumerate(met):
        by_run.setdefault(meeting.run_id, []).append(m)
        if meeting.other in geometry:
            _other_run(places, geometry[meeting.other], grades.get(meeting.other), m, made)
    for run_id, meetings in by_run.items():
        if run_id in grades:
            rows = np.concatenate([np.arange(places.first[m], places.first[m + 1]) for m in meetings])
            made.pipe_top[rows], made.pipe_bottom[rows] = _pipe(grades[run_id], places.station_ft[rows])
    return made


def _pipe(grade: Grade, station_ft: Floats) -> tuple[Floats, Floats]:
    top = grade.inverts_at(station_ft) + grade.top_above_invert_ft
    return top, top - grade.outside_in / 12


def _other_run(places: Places, line: Any, grade: Grade | None, m: int, made: _Levels) -> None:
    """Write down the levels of the other pipe where two runs cross."""
    rows = slice(int(places.first[m]), int(places.first[m + 1]))
    if grade is not None:
        along = line.length - shapely.line_locate_point(line, shapely.points(places.xy_ft[rows]))
        made.top[rows], made.bottom[rows] = _pipe(grade, along)
