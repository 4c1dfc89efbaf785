"""The plan as GeoJSON objects in the job's own local feet.

RFC 7946 wants longitude and latitude (WGS 84) and allows other coordinates only by prior arrangement. A job has no place on
the globe, so its coordinates are plan feet, x east and y north from the job's own origin. The foreign member
``drainsketch`` says so in the file; a map program that does not read it will put the yard in the wrong place.
"""

import json
from pathlib import Path
from typing import Any

import msgspec

from drainsketch.exports.text import write_export
from drainsketch.job.ask import is_closed, points_of, structures_by_id, things
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Lined, Run, Structure, Thing
from drainsketch.review import Review

FRAME = {
    "coordinates": "local plan feet, x east, y north; NOT longitude and latitude",
    "elevations": "feet above the job's own datum, in properties",
    "foot": "international foot, 0.3048 m",
}
_PLACED = ("points", "point", "via")


def plan_geojson(job: Job, review: Review) -> dict[str, Any]:
    """Return the plan as a FeatureCollection: every thing drawn, with its fields and, once known, its levels.

    Outlines are polygons, counterclockwise and closed (RFC 7946 section 3.1.6); runs go the way the water runs where that
    is known.
    """
    by_id = structures_by_id(job)
    features = [_feature(thing, by_id, review) for thing in things(job)]
    features += [_crossing_feature(crossing) for crossing in review.crossings]
    return {
        "type": "FeatureCollection",
        "drainsketch": {"frame": FRAME, "title": job.header.title},
        "features": features,
    }


def _feature(thing: Thing, by_id: dict[str, Structure], review: Review) -> dict[str, Any]:
    kind = type(thing).__name__.lower()
    said = {key: value for key, value in msgspec.to_builtins(thing).items() if key not in _PLACED and value is not None}
    points = points_of(thing, by_id)
    if isinstance(thing, Run):
        flow = next((r for r in review.network.runs if r.id == thing.id), None)
        points = flow.points if flow is not None else points
        grade = review.grades.get(thing.id)
        if grade is not None:
            said |= {"invert_up_ft": grade.invert_up_ft, "invert_down_ft": grade.invert_down_ft, "slope": grade.slope}
    if isinstance(thing, Structure) and thing.id in review.levels:
        levels = review.levels[thing.id]
        said |= {"rim_ft": levels.rim_ft, "ground_ft": levels.ground_ft, "ground_is_a_guess": levels.guess}
        said |= {"invert_out_ft": levels.invert_out_ft, "inverts_in_ft": dict(levels.inverts_in)}
    return {
        "type": "Feature",
        "id": thing.id,
        "geometry": _geometry(thing, points),
        "properties": {"what": kind, **said},
    }


def _geometry(thing: Thing, points: tuple[Point, ...]) -> dict[str, Any]:
    if is_closed(thing):
        ring = points if _twice_area(points) >= 0 else points[::-1]
        return {"type": "Polygon", "coordinates": [[list(p) for p in (*ring, ring[0])]]}
    if isinstance(thing, Run | Lined) and len(points) > 1:
        return {"type": "LineString", "coordinates": [list(p) for p in points]}
    return {"type": "Point", "coordinates": list(points[0])}


def _twice_area(ring: tuple[Point, ...]) -> float:
    """Return twice the area inside, above 0 when the corners go counterclockwise (area by coordinates)."""
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True))


def _crossing_feature(crossing: Any) -> dict[str, Any]:
    said = {key: value for key, value in msgspec.to_builtins(crossing).items() if key != "point" and value is not None}
    place = {"type": "Point", "coordinates": list(crossing.point)}
    return {"type": "Feature", "geometry": place, "properties": {"what": "crossing", **said}}


def geojson_text(job: Job, review: Review) -> str:
    """Return the plan in local feet as JSON text, one feature a line."""
    plan = plan_geojson(job, review)
    features = [json.dumps(feature, ensure_ascii=False, allow_nan=False) for feature in plan.pop("features")]
    head = json.dumps(plan, ensure_ascii=False, indent=1).removesuffix("\n}")
    return head + ',\n "features": [\n  ' + ",\n  ".join(features) + "\n ]\n}\n"


def write_geojson(job: Job, review: Review, path: str | Path) -> None:
    """Write the plan in local feet, whole or not at all. Raises SheetError when the file cannot be written."""
    write_export(path, geojson_text(job, review).encode())
