"""Crossings: where runs meet buried services, and each other, in plan and in depth."""

from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians, sin
from typing import Any

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.ground.surface import Surface
from drainsketch.job.ask import length_ft, run_points, structures_by_id
from drainsketch.job.model import Job, Point, Service, Structure
from drainsketch.network.results import Crossing, Grade, Network

ASSUMED_SIZE_IN = 6.0  # of a service whose size nobody gave; on the large side on purpose
MARGIN_FT = 0.05  # an end this near a line touches it rather than crosses it


class Meeting(Struct, frozen=True):
    """A crossing in plan alone: where on the run, at what angle, and for how far when they lie on each other."""

    run_id: str
    other: str
    point: Point
    station_ft: float
    angle_deg: float
    along_ft: float = 0.0


def lines_of_runs(job: Job, network: Network) -> dict[str, tuple[Point, ...]]:
    """Return the plan points of every run, upstream first; runs adrift as drawn."""
    by_id = structures_by_id(job)
    flow = {f.id: f.points for f in network.runs}
    return {r.id: flow.get(r.id) or run_points(r, by_id) for r in job.runs}


def meetings(lines: dict[str, tuple[Point, ...]], job: Job) -> tuple[Meeting, ...]:
    """Return where the runs meet services and each other in plan, in run order, upstream last."""
    if not lines:
        return ()
    ids = list(lines)
    geometry = [shapely.LineString(p) for p in lines.values()]
    found = _with_services(ids, geometry, lines, job) + _with_runs(ids, geometry, lines, job)
    order = {run: i for i, run in enumerate(ids)}
    return tuple(sorted(found, key=lambda m: (order[m.run_id], m.station_ft, m.other)))


def _with_services(ids: list[str], geometry: list[Any], lines: dict[str, tuple[Point, ...]], job: Job) -> list[Meeting]:
    if not job.services:
        return []
    service_lines = [shapely.LineString(s.points) for s in job.services]
    ends = {r.id: (r.start, r.end) for r in job.runs}
    by_id = structures_by_id(job)
    found = []
    for r, s in shapely.STRtree(service_lines).query(geometry, predicate="intersects").T:
        run, service = ids[r], job.services[s]
        touch = [by_id[e] for e in ends[run] if joins_on_purpose(by_id[e], service)]
        found += _meet(run, lines[run], geometry[r], service.id, service.points, service_lines[s], touch)
    return found


def joins_on_purpose(structure: Structure, service: Service) -> bool:
    """Return whether the structure is a tie-in to this drain or sewer, so that touching it is the plan."""
    return structure.kind == "outfall" and structure.outfall == "tie-in" and service.kind in ("drain line", "sewer")


def _with_runs(ids: list[str], geometry: list[Any], lines: dict[str, tuple[Point, ...]], job: Job) -> list[Meeting]:
    ends = {r.id: {r.start, r.end} for r in job.runs}
    by_id = structures_by_id(job)
    lines_array = np.array(geometry, dtype=object)
    one, two = shapely.STRtree(geometry).query(geometry, predicate="intersects")
    one, two = one[one < two], two[one < two]
    found = []
    for a, b, only_touch in zip(
        one.tolist(), two.tolist(), shapely.touches(lines_array[one], lines_array[two]), strict=True
    ):
        shared = [by_id[e] for e in ends[ids[a]] & ends[ids[b]]]
        if not (shared and only_touch):  # most pairs just meet at their structure
            found += _meet(ids[a], lines[ids[a]], geometry[a], ids[b], lines[ids[b]], geometry[b], shared)
    return found


def _meet(
    run: str,
    points: tuple[Point, ...],
    line: Any,
    other: str,
    other_points: tuple[Point, ...],
    other_line: Any,
    touch: list[Structure],
) -> list[Meeting]:
    """Return the meetings of two lines that intersect, but for those at structures where they are meant to touch."""
    found = []
    for piece in shapely.get_parts(line.intersection(other_line)):
        at = piece.interpolate(0.5, normalized=True) if piece.geom_type == "LineString" else piece
        if any(hypot(at.x - s.point[0], at.y - s.point[1]) < MARGIN_FT for s in touch):
            continue
        down_run = line.project(at)
        angle = angle_between(points, down_run, other_points, other_line.project(at))
        station = line.length - down_run
        found.append(Meeting(run, other, (at.x, at.y), station, angle, piece.length))
    return found


def angle_between(a: tuple[Point, ...], along_a_ft: float, b: tuple[Point, ...], along_b_ft: float) -> float:
    """Return the angle between two polylines at distances along them, degrees 0 to 90."""
    turn = abs(_heading(a, along_a_ft) - _heading(b, along_b_ft)) % 180
    return min(turn, 180 - turn)


def _heading(points: tuple[Point, ...], along_ft: float) -> float:
    gone = 0.0
    heading = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        leg = hypot(bx - ax, by - ay)
        if leg:
            heading = degrees(atan2(by - ay, bx - ax))
            gone += leg
        if along_ft <= gone + 1e-9:
            break
    return heading


def hand_dig_ft(meeting: Meeting, size_in: float, each_side_in: float, trench_in: float, run_ft: float) -> float:
    """Return the length of trench, ft, any part of whose width lies in the hand-dig zone of a service.

    The zone is the service's width and ``each_side_in`` on both sides of it. (zone + trench width x cos a) / sin a, no longer
    than the run. Source: plane geometry; the zone is the practice of 18 in each side from the outside edge.
    """
    a = radians(meeting.angle_deg)
    zone_ft = (size_in + 2 * each_side_in) / 12
    if sin(a) < 1e-6:
        return min(run_ft, meeting.along_ft + zone_ft)
    return min(run_ft, (zone_ft + trench_in / 12 * abs(cos(a))) / sin(a) + meeting.along_ft)


def crossings(
    job: Job,
    met: tuple[Meeting, ...],
    lines: dict[str, tuple[Point, ...]],
    surface: Surface | None,
    grades: dict[str, Grade],
) -> tuple[Crossing, ...]:
    """Return every crossing with its depths and vertical clearance, numbered in order.

    Parameters
    ----------
    met : the crossings in plan
    lines : plan points of every run, upstream first
    """
    services = {s.id: s for s in job.services}
    ground: list[float | None] = [None] * len(met)
    if surface is not None and met:
        ground = surface.levels_at(np.array([m.point for m in met]))[0].tolist()
    found = []
    for number, (meeting, level) in enumerate(zip(met, ground, strict=True), 1):
        service = services.get(meeting.other)
        size_in = (service.size_in or ASSUMED_SIZE_IN) if service else 0.0
        if service is not None:
            beside = _service_levels(service, size_in, level)
        else:
            beside = _run_levels(lines[meeting.other], grades.get(meeting.other), meeting.point, level)
        c = job.criteria
        run_ft = length_ft(lines[meeting.run_id])
        crossing = Crossing(
            number=number,
            run_id=meeting.run_id,
            other=meeting.other,
            other_kind=service.kind if service else "run",
            point=meeting.point,
            station_ft=meeting.station_ft,
            angle_deg=meeting.angle_deg,
            ground_ft=level,
            **_pipe_levels(grades.get(meeting.run_id), meeting.station_ft, level),
            **beside,
            clearance_ft=None,
            position="unknown",
            hand_dig_ft=hand_dig_ft(meeting, size_in, c.hand_dig_each_side_in, c.trench_width_in, run_ft)
            if service
            else 0.0,
            known_by=service.known_by if service else "",
        )
        found.append(_cleared(crossing))
    return tuple(found)


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


def _run_levels(
    line: tuple[Point, ...], grade: Grade | None, at: Point, ground_ft: float | None
) -> dict[str, float | None]:
    """Return the levels of the other pipe where two runs cross."""
    up_to_down = shapely.LineString(line)
    pipe = _pipe_levels(grade, up_to_down.length - up_to_down.project(shapely.Point(at)), ground_ft)
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
