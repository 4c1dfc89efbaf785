"""Crossings: what the depths of a run and of the service or run it meets make of each meeting."""

from math import ceil
from typing import Any

import numpy as np
import shapely
from msgspec.structs import replace

from drainsketch.ground.surface import Surface
from drainsketch.job.model import Job, Point, Service
from drainsketch.network.meetings import Meeting
from drainsketch.network.profiles import STEP_FT
from drainsketch.network.results import Crossing, Grade
from drainsketch.network.shapes import size_in

MOST_PLACES = 200  # looked at where a run lies along something for long


def crossings(
    job: Job,
    met: tuple[Meeting, ...],
    geometry: dict[str, Any],
    surface: Surface | None,
    grades: dict[str, Grade],
) -> tuple[Crossing, ...]:
    """Return every crossing with its depths and vertical clearance, numbered in order.

    Where pipe and service lie over each other for some length, the crossing stands where they come nearest.

    Parameters
    ----------
    met : the crossings in plan
    geometry : shapely lines of the runs, upstream first, by run id
    """
    services = {s.id: s for s in job.services}
    places = [_places(m, geometry[m.run_id]) for m in met]
    flat = [xy for some in places for xy, _ in some]
    ground: list[float | None] = [None] * len(flat)
    if surface is not None and flat:
        ground = surface.levels_at(np.array(flat))[0].tolist()
    levels = iter(ground)
    found = []
    for number, (meeting, some) in enumerate(zip(met, places, strict=True), 1):
        whole = _plain(number, meeting, services.get(meeting.other))
        cases = [
            _levelled(
                replace(whole, point=xy, station_ft=s), services.get(meeting.other), geometry, grades, next(levels)
            )
            for xy, s in some
        ]
        found.append(min(cases, key=lambda c: np.inf if c.clearance_ft is None else c.clearance_ft))
    return tuple(found)


def _places(meeting: Meeting, line: Any) -> list[tuple[Point, float]]:
    """Return (plan point, station) of the meeting, and of every foot or less over which the two lie on each other."""
    over_ft = meeting.to_ft - meeting.from_ft
    found = [(meeting.point, meeting.station_ft)]
    if over_ft > 0:
        stations = np.linspace(meeting.from_ft, meeting.to_ft, min(MOST_PLACES, ceil(over_ft / STEP_FT)) + 1)
        at = shapely.line_interpolate_point(line, line.length - stations)
        found += zip(
            zip(shapely.get_x(at).tolist(), shapely.get_y(at).tolist(), strict=True), stations.tolist(), strict=True
        )
    return found


def _plain(number: int, meeting: Meeting, service: Service | None) -> Crossing:
    """Return the crossing as the plan alone has it."""
    return Crossing(
        number=number,
        run_id=meeting.run_id,
        other=meeting.other,
        other_kind=service.kind if service else "run",
        point=meeting.point,
        station_ft=meeting.station_ft,
        angle_deg=meeting.angle_deg,
        ground_ft=None,
        pipe_top_ft=None,
        pipe_bottom_ft=None,
        pipe_depth_ft=None,
        service_depth_ft=service.depth_top_ft if service else None,
        service_top_ft=None,
        service_bottom_ft=None,
        clearance_ft=None,
        position="unknown",
        hand_dig_ft=meeting.hand_dig_ft,
        known_by=service.known_by if service else "",
    )


def _levelled(
    plain: Crossing,
    service: Service | None,
    geometry: dict[str, Any],
    grades: dict[str, Grade],
    ground_ft: float | None,
) -> Crossing:
    """Return the crossing with the levels of both at its place."""
    if service is not None:
        beside = _service_levels(service, size_in(service), ground_ft)
    else:
        beside = _run_levels(geometry[plain.other], grades.get(plain.other), plain.point, ground_ft)
    pipe = _pipe_levels(grades.get(plain.run_id), plain.station_ft, ground_ft)
    return _cleared(replace(plain, ground_ft=ground_ft, **pipe, **beside))


def _pipe_levels(grade: Grade | None, station_ft: float, ground_ft: float | None) -> dict[str, float | None]:
    if grade is None:
        return {"pipe_top_ft": None, "pipe_bottom_ft": None, "pipe_depth_ft": None}
    top = grade.invert_at(station_ft) + grade.top_above_invert_ft
    depth = None if ground_ft is None else ground_ft - top
    return {"pipe_top_ft": top, "pipe_bottom_ft": top - grade.outside_in / 12, "pipe_depth_ft": depth}


def _service_levels(service: Service, size_in: float, ground_ft: float | None) -> dict[str, float | None]:
    depth = service.depth_top_ft
    top = None if depth is None or ground_ft is None else ground_ft - depth
    return {
        "service_depth_ft": depth,
        "service_top_ft": top,
        "service_bottom_ft": None if top is None else top - size_in / 12,
    }


def _run_levels(line: Any, grade: Grade | None, at: Point, ground_ft: float | None) -> dict[str, float | None]:
    """Return the levels of the other pipe where two runs cross."""
    pipe = _pipe_levels(grade, line.length - line.project(shapely.Point(at)), ground_ft)
    return {
        "service_depth_ft": pipe["pipe_depth_ft"],
        "service_top_ft": pipe["pipe_top_ft"],
        "service_bottom_ft": pipe["pipe_bottom_ft"],
    }


def _cleared(crossing: Crossing) -> Crossing:
    """Return the crossing with its vertical clearance, where all four levels are known."""
    top, bottom = crossing.pipe_top_ft, crossing.pipe_bottom_ft
    other_top, other_bottom = crossing.service_top_ft, crossing.service_bottom_ft
    if top is None or bottom is None or other_top is None or other_bottom is None:
        return crossing
    over, under = bottom - other_top, other_bottom - top
    position = "over" if over >= 0 else "under" if under >= 0 else "meets"
    return replace(crossing, clearance_ft=max(over, under), position=position)
