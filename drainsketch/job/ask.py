"""Plain questions about a job: which thing, which points, how long. No edits and no review here."""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

import shapely

from drainsketch.job.kinds import Point
from drainsketch.job.model import COLLECTIONS, Boundary, Heap, Job, Lined, Obstacle, Run, Structure, Thing


def things(job: Job) -> Iterator[Thing]:
    """Yield everything drawn on the plan, ground first, pipe last."""
    if job.boundary is not None:
        yield job.boundary
    for name in COLLECTIONS:
        yield from getattr(job, name)


def thing(job: Job, thing_id: str) -> Thing | None:
    """Return the thing with that id, or None."""
    return next((t for t in things(job) if t.id == thing_id), None)


def structures_by_id(job: Job) -> dict[str, Structure]:
    """Return the structures keyed by id."""
    return {s.id: s for s in job.structures}


def run_points(run: Run, structures: dict[str, Structure]) -> tuple[Point, ...]:
    """Return the plan points of a run as drawn, its two structures included."""
    return (structures[run.start].point, *run.via, structures[run.end].point)


def points_of(thing: Thing, structures: dict[str, Structure]) -> tuple[Point, ...]:
    """Return the plan points of any thing, in drawing order."""
    if isinstance(thing, Run):
        return run_points(thing, structures)
    if isinstance(thing, Lined):
        return thing.points
    return (thing.point,)


def is_closed(thing: Thing) -> bool:
    """Return whether the points of a thing are the corners of a closed outline."""
    if isinstance(thing, Boundary | Heap):
        return True
    return isinstance(thing, Obstacle) and thing.kind not in ("tree", "well", "fence")


def runs_at(job: Job, structure_id: str) -> tuple[Run, ...]:
    """Return the runs that start or end at a structure, in job order."""
    return tuple(r for r in job.runs if structure_id in (r.start, r.end))


def length_ft(points: tuple[Point, ...]) -> float:
    """Return the plan length of a polyline, ft."""
    return sum(hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise(points))


def area_ft2(points: tuple[Point, ...]) -> float:
    """Return the plan area inside an outline, ft2, whichever way round its corners go.

    Limits: an outline that does not cross itself. Source: area by coordinates, plane surveying.
    Check: tests/outside/test_area.py.
    """
    area: float = shapely.Polygon(points).area
    return area


def whole_extent(job: Job, *, with_drawing: bool = False) -> tuple[float, float, float, float] | None:
    """Return (west, south, east, north) of all that is drawn, ft; where that is nothing, or ``with_drawing``, with the drawing under it."""
    found = extent(job)
    if job.backdrop is None or not job.backdrop.lines or (found is not None and not with_drawing):
        return found
    xs, ys = zip(*(p for x in job.backdrop.lines for p in x.points), strict=True)
    west, south, east, north = found or (xs[0], ys[0], xs[0], ys[0])
    return min(west, *xs), min(south, *ys), max(east, *xs), max(north, *ys)


def extent(job: Job) -> tuple[float, float, float, float] | None:
    """Return (west, south, east, north) of all that is drawn, ft, a pit whichever way it lies; None for an empty job."""
    by_id = structures_by_id(job)
    points = [p for t in things(job) for p in points_of(t, by_id)]
    for s in job.structures:
        if s.outfall == "dry well" and s.pit_length_ft is not None and s.pit_width_ft is not None:
            reach_ft, (x, y) = hypot(s.pit_length_ft, s.pit_width_ft) / 2, s.point
            points += [(x - reach_ft, y - reach_ft), (x + reach_ft, y + reach_ft)]
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)
