"""Meetings: where runs meet buried services, and each other, in plan.

A run meets a service where their lines cross, and where they lie so near that pipe and service would overlap.
"""

from itertools import pairwise
from math import atan2, degrees, hypot, radians, sin
from typing import Any

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.ask import run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Service, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.network.handdig import hand_stretches, stretch_at
from drainsketch.network.results import Network
from drainsketch.network.shapes import Shapes, lines_in, size_in

MARGIN_FT = 0.05  # an end this near a line touches it rather than crosses it
TINY_FT = 1e-9
SHALLOW_DEG = 30.0  # below this angle two pipes lie over each other for some length


class Meeting(Struct, frozen=True):
    """A crossing in plan alone: where on the run, at what angle, and for how far when they lie on each other.

    ``from_ft`` and ``to_ft`` are the stations between which pipe and service lie over each other. ``hand_dig_ft`` is
    how much of the trench is dug by hand here, between stations ``hand_from_ft`` and ``hand_to_ft``.
    """

    run_id: str
    other: str
    point: Point
    station_ft: float
    angle_deg: float
    along_ft: float = 0.0
    from_ft: float = 0.0
    to_ft: float = 0.0
    hand_from_ft: float = 0.0
    hand_to_ft: float = 0.0

    @property
    def hand_dig_ft(self) -> float:
        """Return how much of the trench is dug by hand here, ft."""
        return self.hand_to_ft - self.hand_from_ft


def lines_of_runs(job: Job, network: Network) -> dict[str, tuple[Point, ...]]:
    """Return the plan points of every run, upstream first; runs adrift as drawn."""
    by_id = structures_by_id(job)
    flow = {f.id: f.points for f in network.runs}
    return {r.id: flow.get(r.id) or run_points(r, by_id) for r in job.runs}


def in_order(met: list[Meeting], lines: dict[str, tuple[Point, ...]]) -> tuple[Meeting, ...]:
    """Return the meetings in run order, upstream last: the order in which they are numbered."""
    order = {run: i for i, run in enumerate(lines)}
    return tuple(sorted(met, key=lambda m: (order[m.run_id], m.station_ft, m.other)))


def joins_on_purpose(structure: Structure, service: Service) -> bool:
    """Return whether the structure is a tie-in to this drain or sewer, so that touching it is the plan."""
    return structure.kind == "outfall" and structure.outfall == "tie-in" and service.kind in ("drain line", "sewer")


def service_meetings(
    run: Run,
    ends: tuple[Structure, Structure],
    points: tuple[Point, ...],
    line: Any,
    zoned: list[tuple[int, list[Any]]],
    services: tuple[Service, ...],
    shapes: Shapes,
    trench_ft: float,
) -> list[Meeting]:
    """Return where one run meets services in plan.

    Parameters
    ----------
    points, line : the run's plan points, upstream first, and their shapely line
    zoned : the pieces of the line in the zones of services
    trench_ft : width of the trench
    """
    found = []
    for s, pieces in zoned:
        service, other = services[s], shapes.services[s]
        body_ft = body_reach_ft(run, service)
        by_hand = None
        touch = [end for end in ends if joins_on_purpose(end, service)]
        for piece in pieces:
            if piece.distance(other) <= body_ft:
                for at in _places(piece, other, body_ft):
                    met = _meeting(line, points, at, other, service.points, touch, body_ft)
                    if met is None:
                        continue
                    lying = _lying(met, run.id, service.id, line, piece, other, body_ft)
                    by_hand = by_hand or hand_stretches(points, shapes.hand_zones[s], trench_ft)
                    low, high = stretch_at(by_hand, line.length - lying.station_ft)
                    found.append(replace(lying, hand_from_ft=line.length - high, hand_to_ft=line.length - low))
    return found


def body_reach_ft(run: Run, service: Service) -> float:
    """Return how near in plan the middles of pipe and service may come before their outsides overlap, ft."""
    return (pipe_size(run.pipe, run.diameter_in).outside_in + size_in(service)) / 24


def _places(piece: Any, other: Any, body_ft: float) -> list[Any]:
    """Return the points and lines where a piece of a run crosses or lies on a service, or else where it is too near."""
    crossed = _common(piece, other)
    near = lines_in(piece.intersection(shapely.buffer(other, body_ft))) if not crossed else []
    return crossed or near or [shapely.get_point(shapely.shortest_line(piece, other), 0)]


def _common(line: Any, other: Any) -> list[Any]:
    """Return the points and joined lines that two lines have in common."""
    common = line.intersection(other)
    return [p for p in shapely.get_parts(common) if p.geom_type == "Point" and not p.is_empty] + lines_in(common)


def run_meetings(job: Job, lines: dict[str, tuple[Point, ...]], geometry: dict[str, Any]) -> list[Meeting]:
    """Return where runs meet each other in plan, but for the structures they share.

    Parameters
    ----------
    geometry : shapely lines of the runs that have a length, by run id
    """
    if not geometry:
        return []
    ids = list(geometry)
    ends = {r.id: {r.start, r.end} for r in job.runs}
    by_id = structures_by_id(job)
    array = np.array(list(geometry.values()), dtype=object)
    one, two = shapely.STRtree(array).query(array, predicate="intersects")
    one, two = one[one < two], two[one < two]
    found = []
    for a, b, only_touch in zip(one.tolist(), two.tolist(), shapely.touches(array[one], array[two]), strict=True):
        shared = [by_id[e] for e in ends[ids[a]] & ends[ids[b]]]
        if not (shared and only_touch):  # most pairs just meet at their structure
            for at in _common(array[a], array[b]):
                met = _meeting(array[a], lines[ids[a]], at, array[b], lines[ids[b]], shared)
                found += [_lying(met, ids[a], ids[b], array[a], array[a])] if met else []
    return found


class _Met(Struct, frozen=True):
    at: Any
    angle_deg: float
    along_ft: float


def _meeting(
    line: Any,
    points: tuple[Point, ...],
    at: Any,
    other: Any,
    other_points: tuple[Point, ...],
    touch: list[Structure],
    body_ft: float = 0.0,
) -> _Met | None:
    """Return a meeting at a point or along a line of a run; None at a structure where the two are meant to touch."""
    middle = at.interpolate(0.5, normalized=True) if at.geom_type == "LineString" else at
    if any(hypot(middle.x - s.point[0], middle.y - s.point[1]) < body_ft + MARGIN_FT for s in touch):
        return None
    along_other = other.project(middle) if other.length > TINY_FT else 0.0  # a line of no length has no direction
    return _Met(middle, angle_between(points, line.project(middle), other_points, along_other), at.length)


def _lying(
    met: _Met, run: str, other_id: str, line: Any, piece: Any, other: Any = None, body_ft: float = 0.0
) -> Meeting:
    """Return the whole meeting: at a shallow angle, or round a bend, the two lie over each other for more than a point.

    Parameters
    ----------
    piece : the piece of the run's line in which they meet
    other, body_ft : the line of a service, and how near the middle of the pipe comes before they overlap
    """
    station_ft = line.length - line.project(met.at)
    low, high = station_ft - met.along_ft / 2, station_ft + met.along_ft / 2
    if other is not None:
        overlaps = lines_in(piece.intersection(shapely.buffer(other, body_ft)))
        over = min(overlaps, key=met.at.distance, default=None)
        if over is not None and over.length > 2 * body_ft / sin(radians(SHALLOW_DEG)):
            ends = [line.length - line.project(shapely.Point(over.coords[i])) for i in (0, -1)]
            low, high = min(low, *ends), max(high, *ends)
    return Meeting(
        run_id=run,
        other=other_id,
        point=(met.at.x, met.at.y),
        station_ft=station_ft,
        angle_deg=met.angle_deg,
        along_ft=met.along_ft,
        from_ft=max(0.0, low),
        to_ft=min(line.length, high),
    )


def angle_between(a: tuple[Point, ...], along_a_ft: float, b: tuple[Point, ...], along_b_ft: float) -> float:
    """Return the angle between two polylines at distances along them, degrees 0 to 90; 90 where one has no direction."""
    first, second = _heading(a, along_a_ft), _heading(b, along_b_ft)
    if first is None or second is None:
        return 90.0
    turn = abs(first - second) % 180
    return min(turn, 180 - turn)


def _heading(points: tuple[Point, ...], along_ft: float) -> float | None:
    gone = 0.0
    heading = None
    for (ax, ay), (bx, by) in pairwise(points):
        leg = hypot(bx - ax, by - ay)
        if leg:
            heading = degrees(atan2(by - ay, bx - ax))
            gone += leg
        if along_ft <= gone + 1e-9:
            break
    return heading
