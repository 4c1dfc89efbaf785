"""The plan as shapes: outlines, lines and points of what the user drew, made once for as long as they stay the same."""

from typing import Any

import shapely
from msgspec import Struct

from drainsketch.job.ask import is_closed
from drainsketch.job.model import Boundary, Job, Obstacle, Point, Service

ASSUMED_SIZE_IN = 6.0  # of a service whose size nobody gave; on the large side on purpose


class Shapes(Struct, frozen=True):
    """Shapes of the obstacles and services of a job, in its order; zones are each service with its hand-dig zone."""

    obstacles: tuple[Any, ...]
    services: tuple[Any, ...]
    reach_ft: tuple[float, ...]  # from the middle of a service to where its zone meets the middle of a trench
    zones: tuple[Any, ...]


def shapes_of(job: Job, before_job: Job | None = None, before: Shapes | None = None) -> Shapes:
    """Return the shapes of a job's plan.

    Parameters
    ----------
    before_job, before : an earlier job and its shapes, kept where obstacles, services and criteria are the same objects
    """
    if before_job is None or before is None:
        return Shapes(tuple(shape_of(o) for o in job.obstacles), *_services(job))
    same_services = before_job.services is job.services and before_job.criteria is job.criteria
    if before_job.obstacles is job.obstacles and same_services:
        return before
    kept = before_job.obstacles is job.obstacles
    return Shapes(
        before.obstacles if kept else tuple(shape_of(o) for o in job.obstacles),
        *((before.services, before.reach_ft, before.zones) if same_services else _services(job)),
    )


def _services(job: Job) -> tuple[tuple[Any, ...], tuple[float, ...], tuple[Any, ...]]:
    lines = tuple(line_of(s.points) for s in job.services)
    trench_ft = job.criteria.trench_width_in / 24
    reach = tuple(zone_ft(s, job.criteria.hand_dig_each_side_in) + trench_ft for s in job.services)
    return lines, reach, tuple(shapely.buffer(line, r) for line, r in zip(lines, reach, strict=True))


def size_in(service: Service) -> float:
    """Return the outside size of a service, in; an assumed one where nobody gave it."""
    return service.size_in or ASSUMED_SIZE_IN


def zone_ft(service: Service, each_side_in: float) -> float:
    """Return how far the hand-dig zone reaches from the middle of a service, ft: half its size and the strip beside it."""
    return (size_in(service) / 2 + each_side_in) / 12


def line_of(points: tuple[Point, ...]) -> Any:
    """Return the shapely line through the points, or a point when they all lie on one spot."""
    return shapely.LineString(points) if any(p != points[0] for p in points) else shapely.Point(points[0])


def shape_of(thing: Boundary | Obstacle) -> Any:
    """Return the shapely shape of an outline, line or point; a self-crossing outline is made valid."""
    if is_closed(thing):
        outline = shapely.Polygon(thing.points)
        return outline if outline.is_valid else shapely.make_valid(outline)
    return line_of(thing.points)
