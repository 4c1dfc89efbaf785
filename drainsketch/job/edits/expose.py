"""Write down where a buried service was uncovered and what was measured there, and take it back."""

import shapely

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.edits.change import change
from drainsketch.job.kinds import Point
from drainsketch.job.model import Exposure, Job, Service

SAME_PLACE_FT = 1.0  # an exposure this near to another takes its place


def expose(job: Job, service_id: str, at: Point, top_ft: float | None = None, *, depth_ft: float | None = None) -> Job:
    """Return the job with the top of a service measured at the place of it nearest to a plan point: its level, or its depth.

    A depth stays a depth: the top moves with the ground when that is levelled again. An exposure within a foot of another stands in its place: measured again.

    Raises
    ------
    EditError : no such service, a level or depth outside the model's bounds, or not just one of the two
    """
    service = _service(job, service_id)
    new = Exposure(point=nearest_on(service, at), top_ft=top_ft, depth_ft=depth_ft)
    kept = [e for e in service.exposed if not near(e.point, new.point)]
    return change(job, service_id, exposed=_in_order(service, [*kept, new]))


def cover_up(job: Job, service_id: str, at: Point) -> Job:
    """Return the job without the exposures of a service within a foot of a plan point. Raises EditError: no such service."""
    service = _service(job, service_id)
    spot = nearest_on(service, at)
    kept = tuple(e for e in service.exposed if not near(e.point, spot))
    return job if kept == service.exposed else change(job, service_id, exposed=kept)


def exposure_at(service: Service, at: Point) -> Exposure | None:
    """Return the exposure of a service within a foot of the place of it nearest to a plan point."""
    spot = nearest_on(service, at)
    return next((e for e in service.exposed if near(e.point, spot)), None)


def near(a: Point, b: Point) -> bool:
    """Return whether two plan points are one place of exposure."""
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 < SAME_PLACE_FT**2


def nearest_on(service: Service, at: Point) -> Point:
    """Return the place of a service nearest to a plan point."""
    line = shapely.LineString(service.points)
    return point_along(service, line.project(shapely.Point(at)))


def station_on(service: Service, at: Point) -> float:
    """Return how far along a service, from its first point as drawn, its place nearest to a plan point is, ft."""
    return float(shapely.LineString(service.points).project(shapely.Point(at)))


def point_along(service: Service, station_ft: float) -> Point:
    """Return the plan point at a distance along a service, ft from its first point; at an end where it is not so long."""
    spot = shapely.LineString(service.points).interpolate(max(0.0, station_ft))
    return (round(spot.x, 6), round(spot.y, 6))


def _in_order(service: Service, exposed: list[Exposure]) -> tuple[Exposure, ...]:
    return tuple(sorted(exposed, key=lambda e: station_on(service, e.point)))


def _service(job: Job, service_id: str) -> Service:
    found = thing(job, service_id)
    if not isinstance(found, Service):
        raise EditError(f"{service_id}: the job has no buried service with that id")
    return found
