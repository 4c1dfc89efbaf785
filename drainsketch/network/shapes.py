"""The plan as shapes: outlines, lines and points of what the user drew, made once for as long as they stay the same."""

from typing import Any

import shapely
from msgspec import Struct

from drainsketch.job.ask import is_closed
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Heap, Job, Obstacle, Service
from drainsketch.network.digging import widest_ft

ASSUMED_SIZE_IN = 6.0  # of a service whose size nobody gave; on the large side on purpose
TOUCH_FT = 0.05


class Shapes(Struct, frozen=True):
    """Shapes of the lot, obstacles and services of a job, in its order, with a search tree for each kind.

    A zone is a service with its hand-dig zone and half the widest trench: the middle of a trench in it digs in the hand-dig zone.
    """

    lot: Any  # the boundary and a hair more; None without one
    obstacles: tuple[Any, ...]
    obstacle_tree: Any
    services: tuple[Any, ...]
    service_tree: Any
    reach_ft: tuple[float, ...]  # from the middle of a service to the edge of its zone
    zones: tuple[Any, ...]
    zone_tree: Any
    hand_zones: tuple[Any, ...]  # the hand-dig zones themselves
    trench_ft: float  # half the width of the widest trench


def shapes_of(job: Job, before_job: Job | None = None, before: Shapes | None = None) -> Shapes:
    """Return the shapes of a job's plan.

    Parameters
    ----------
    before_job, before : an earlier job and its shapes, kept where boundary, obstacles, services and criteria are the same objects
        and the widest trench is as wide
    """
    trench_ft = widest_ft(job) / 2
    if before_job is not None and before is not None and before.trench_ft == trench_ft:
        names = ("boundary", "obstacles", "services", "criteria")
        if all(getattr(before_job, name) is getattr(job, name) for name in names):
            return before
    lot = None
    if job.boundary is not None:
        lot = shapely.buffer(shape_of(job.boundary), TOUCH_FT)
        shapely.prepare(lot)
    obstacles = tuple(shape_of(o) for o in job.obstacles)
    services = tuple(line_of(s.points) for s in job.services)
    reach = tuple(zone_ft(s, job.criteria.hand_dig_each_side_in) + trench_ft for s in job.services)
    hand = tuple(shapely.buffer(line, r - trench_ft) for line, r in zip(services, reach, strict=True))
    zones = tuple(shapely.buffer(line, r) for line, r in zip(services, reach, strict=True))
    return Shapes(
        lot=lot,
        obstacles=obstacles,
        obstacle_tree=shapely.STRtree(obstacles),
        services=services,
        service_tree=shapely.STRtree(services),
        reach_ft=reach,
        zones=zones,
        zone_tree=shapely.STRtree(zones),
        hand_zones=hand,
        trench_ft=trench_ft,
    )


def lines_in(shape: Any) -> list[Any]:
    """Return the lines of a shape that have a length, those that continue each other joined."""
    if shape.geom_type == "LineString":
        return [shape] if shape.length > 0 else []
    parts = [p for p in shapely.get_parts(shape) if p.geom_type == "LineString" and p.length > 0]
    return list(shapely.get_parts(shapely.line_merge(shapely.MultiLineString(parts)))) if parts else []


def in_zones(line: Any, shapes: Shapes) -> list[tuple[int, list[Any]]]:
    """Return the pieces of a run's line that lie in the zone of a service, with the number of the service."""
    near = sorted(shapes.zone_tree.query(line, predicate="intersects").tolist())
    return [(s, lines_in(line.intersection(shapes.zones[s]))) for s in near]


def size_in(service: Service) -> float:
    """Return the outside size of a service, in; an assumed one where nobody gave it."""
    return service.size_in or ASSUMED_SIZE_IN


def zone_ft(service: Service, each_side_in: float) -> float:
    """Return how far the hand-dig zone reaches from the middle of a service, ft: half its size and the strip beside it."""
    return (size_in(service) / 2 + each_side_in) / 12


def line_of(points: tuple[Point, ...]) -> Any:
    """Return the shapely line through the points, or a point when they all lie on one spot."""
    return shapely.LineString(points) if any(p != points[0] for p in points) else shapely.Point(points[0])


def open_ground(job: Job, heap: Heap) -> Any:
    """Return the shape of a heap without the ground that buildings stand on, of a fill area without paving too."""
    outline, kinds = shape_of(heap), ("building", "hardscape") if heap.kind == "fill area" else ("building",)
    taken = [s for s in (shape_of(o) for o in job.obstacles if o.kind in kinds) if s.intersects(outline)]
    return outline.difference(shapely.union_all(taken)) if taken else outline


def shape_of(thing: Boundary | Obstacle | Heap) -> Any:
    """Return the shapely shape of an outline, line or point; a self-crossing outline is made valid."""
    if is_closed(thing):
        outline = shapely.Polygon(thing.points)
        return outline if outline.is_valid else shapely.make_valid(outline)
    return line_of(thing.points)
