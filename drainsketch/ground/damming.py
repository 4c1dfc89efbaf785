"""Fill areas that stand in the way of water on the surface."""

from collections.abc import Sequence
from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.results import GroundStudy, Pond
from drainsketch.ground.water_checks import TOLD_FT, TOLD_GAL
from drainsketch.job.model import Heap, Job

LEAST_WAY_FT = 10.0  # common practice, no source: so much of a way uphill of a fill area brings water to it
LEAST_FT2 = 4.0  # common practice, no source: less of a puddle under a fill area is its edge


def damming_findings(job: Job, study: GroundStudy | None) -> list[Finding]:
    """Return the fill areas that lie across the longest way of water to an inlet, or where water stands today.

    Only what the ground study tells counts: a way that leads to no inlet is not known to it. Check: tests/ground/test_damming.py
    """
    fills = [h for h in job.heaps if h.kind == "fill area"]
    if study is None or not fills:
        return []
    standing = [p for p in (study.ponds_now or study.ponds) if p.depth_ft >= TOLD_FT and p.volume_gal >= TOLD_GAL]
    found = []
    for fill in fills:
        shape = shapely.make_valid(shapely.Polygon(fill.points))
        found += _across_ways(fill, shape, study) + _in_ponds(fill, shape, standing)
    return found


def _across_ways(fill: Heap, shape: Any, study: GroundStudy) -> list[Finding]:
    found = []
    for way in study.ways.values():
        line = shapely.LineString(way.points) if len(set(way.points)) > 1 else None
        if line is None or not line.intersects(shape):
            continue
        first = min(line.project(shapely.Point(p)) for p in shapely.get_coordinates(line.intersection(shape)))
        if first >= LEAST_WAY_FT:
            at = line.interpolate(first)
            place = Place(ids=(fill.id, way.inlet), point=(at.x, at.y))
            found.append(finding("fill_across_way", place, value=first, heap=fill.id, inlet=way.inlet))
    return found


def _in_ponds(fill: Heap, shape: Any, ponds: Sequence[Pond]) -> list[Finding]:
    """Return the finding of the pond that a fill area covers most of."""
    covered = [(float(_area(p).intersection(shape).area), p) for p in ponds]
    area_ft2, pond = max(covered, key=lambda one: one[0], default=(0.0, None))
    if pond is None or area_ft2 < LEAST_FT2:
        return []
    at = shapely.point_on_surface(_area(pond).intersection(shape))
    place = Place(ids=(fill.id,), point=(at.x, at.y))
    return [finding("fill_in_standing_water", place, heap=fill.id, area=area_ft2, deep=pond.said_depth_ft)]


def _area(pond: Pond) -> Any:
    return shapely.union_all([shapely.Polygon(ring).buffer(0) for ring in pond.outline])
