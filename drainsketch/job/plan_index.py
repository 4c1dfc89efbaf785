"""Where everything of a plan lies, ready to be asked: points, legs and areas in search trees, feet.

The index of an unchanged list of the job is used again, so an edit pays only for the list it touched.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.job.ask import is_closed, points_of, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import COLLECTIONS, Boundary, Job, Run, Structure, Thing
from drainsketch.job.under_index import UnderIndex, under_index_of

Bounds = tuple[float, float, float, float]


class Spot(Struct, frozen=True):
    """A point of a thing. ``vertex`` counts the points that can be moved one by one, None where there is no such point."""

    at: Point
    owner: Thing
    vertex: int | None
    alone: bool  # the thing is this one point


class Leg(Struct, frozen=True):
    """A straight piece of a thing; a new vertex on it goes in before vertex ``insert``."""

    a: Point
    b: Point
    owner: Thing
    insert: int


class Part(Struct, frozen=True):
    """The index of one list of the job. ``sources`` are the lists it was made from."""

    sources: tuple[Any, ...]
    spots: tuple[Spot, ...]
    legs: tuple[Leg, ...]
    areas: tuple[Thing, ...]
    bounds: tuple[tuple[str, Bounds], ...]
    spot_tree: shapely.STRtree
    leg_tree: shapely.STRtree
    area_tree: shapely.STRtree


class PlanIndex(Struct, frozen=True):
    """The index of a job; ``parts`` stand ground first, pipe last, ``under`` is the drawing under the plan while it is shown."""

    job: Job
    parts: tuple[Part, ...]
    under: UnderIndex | None = None

    def spots_near(self, at: Point, reach_ft: float) -> list[Spot]:
        """Return the points within a square of ``reach_ft`` on either side."""
        square = _square(at, reach_ft)
        return [part.spots[i] for part in self.parts for i in part.spot_tree.query(square)]

    def legs_near(self, at: Point, reach_ft: float) -> list[Leg]:
        """Return the legs whose bounds touch a square of ``reach_ft`` on either side."""
        square = _square(at, reach_ft)
        return [part.legs[i] for part in self.parts for i in part.leg_tree.query(square)]

    def areas_at(self, at: Point) -> list[Thing]:
        """Return the closed things that hold a point, smallest first."""
        here = shapely.Point(at)
        found = []
        for part in (p for p in self.parts if p.areas):
            for i in part.area_tree.query(here, predicate="intersects"):
                found.append((float(part.area_tree.geometries[i].area), part.areas[i]))
        return [area for _, area in sorted(found, key=lambda pair: pair[0])]


def index_of(job: Job, before: PlanIndex | None = None) -> PlanIndex:
    """Return the index of a job; parts of ``before`` made from the very same lists are kept."""
    if before is not None and before.job is job:
        return before
    structures = structures_by_id(job)
    sources: list[tuple[Any, ...]] = [(job.boundary,)]
    sources += [(getattr(job, name),) for name in COLLECTIONS[:-1]]
    sources.append((job.runs, job.structures))
    kept = before.parts if before is not None else (None,) * len(sources)
    parts = tuple(
        old if old is not None and _same(old.sources, now) else _part(now, structures)
        for old, now in zip(kept, sources, strict=True)
    )
    under = under_index_of(job.backdrop, before.under if before is not None else None)
    return PlanIndex(job=job, parts=parts, under=under)


def _same(one: tuple[Any, ...], two: tuple[Any, ...]) -> bool:
    return all(a is b for a, b in zip(one, two, strict=True))


def _square(at: Point, reach_ft: float) -> Any:
    return shapely.box(at[0] - reach_ft, at[1] - reach_ft, at[0] + reach_ft, at[1] + reach_ft)


def _part(sources: tuple[Any, ...], structures: dict[str, Structure]) -> Part:
    first = sources[0]
    members: tuple[Thing, ...] = first if isinstance(first, tuple) else () if first is None else (first,)
    spots: list[Spot] = []
    legs: list[Leg] = []
    areas: list[Thing] = []
    bounds: list[tuple[str, Bounds]] = []
    for member in members:
        points = points_of(member, structures)
        spots += _spots(member, points)
        legs += _legs(member, points)
        if is_closed(member) and not isinstance(member, Boundary) and len(points) > 2:
            areas.append(member)
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        bounds.append((member.id, (min(xs), min(ys), max(xs), max(ys))))
    return Part(
        sources=sources,
        spots=tuple(spots),
        legs=tuple(legs),
        areas=tuple(areas),
        bounds=tuple(bounds),
        spot_tree=_tree(shapely.points, [s.at for s in spots], (-1, 2)),
        leg_tree=_tree(shapely.linestrings, [(leg.a, leg.b) for leg in legs], (-1, 2, 2)),
        area_tree=shapely.STRtree([shapely.make_valid(shapely.Polygon(points_of(t, structures))) for t in areas]),
    )


def _tree(make: Callable[[Any], Any], coordinates: list[Any], shape: tuple[int, ...]) -> shapely.STRtree:
    return shapely.STRtree(make(np.array(coordinates, dtype=float).reshape(shape)))


def _spots(member: Thing, points: tuple[Point, ...]) -> list[Spot]:
    if isinstance(member, Run):  # its ends belong to its structures
        return [Spot(p, member, i, False) for i, p in enumerate(points[1:-1])]
    return [Spot(p, member, i, len(points) == 1) for i, p in enumerate(points)]


def _legs(member: Thing, points: tuple[Point, ...]) -> list[Leg]:
    ends = points[1:] + points[:1] if is_closed(member) else points[1:]
    shift = 0 if isinstance(member, Run) else 1
    return [Leg(a, b, member, i + shift) for i, (a, b) in enumerate(zip(points, ends, strict=False)) if a != b]
