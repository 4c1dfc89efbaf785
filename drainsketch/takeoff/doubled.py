"""Trenches that lie in each other away from a joint: each is counted as if the other were not there."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.footprint import Strip, cut_of
from drainsketch.takeoff.works import Works

LEAST_FT2 = 5.0  # a trench of a foot across another one, askew, is less


def overlap_findings(works: Works, earth: Earth) -> list[Finding]:
    """Return each pair of runs whose trenches lie in each other, with the feet along which they do.

    Measured by the strips in plan: without what lies in holes and pits, and without the corners that belong to one trench alone
    (``corners_ft``); told from ``LEAST_FT2`` on.

    Notes
    -----
    Limits: plan only; trenches that cross at different depths share what lies above the higher bottom. The feet are those of the first
    run. Source: plane geometry. Check: tests/takeoff/test_doubled.py
    """
    cut = cut_of(works, earth)
    if len(cut.strips) < 2:
        return []
    holes = [shapely.Point(h.at).buffer(h.side_ft / 2, cap_style="square") for h in cut.squares]
    holes += [shapely.Polygon(at) for _, at in cut.pits]
    held = shapely.union_all(holes)
    lines = np.array([shapely.difference(shapely.MultiLineString(list(s.open_lines)), held) for s in cut.strips])
    widths = np.array([s.width_ft for s in cut.strips])
    shapes = shapely.difference(_strips(lines, widths / 2), held)
    found = []
    for one, other in _pairs(shapes):
        mine, theirs = (cut.strips[k] for k in (one, other))
        both = shapely.intersection(shapes[one], shapes[other])
        area_ft2 = both.area - _corners_ft2(works, earth, mine, theirs)
        if area_ft2 > LEAST_FT2:
            at = both.representative_point()
            place = Place(ids=(mine.run_id, theirs.run_id), point=(at.x, at.y))
            params = {"run": mine.run_id, "other": theirs.run_id, "area": area_ft2}
            found.append(finding("trenches_overlap", place, value=_along_ft(mine, both), params=params))
    return found


def _along_ft(strip: Strip, region: Any) -> float:
    """Return along how much of a trench a region lies, ft."""
    line = shapely.LineString(strip.points)
    parts = [
        shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(p))) for p in shapely.get_parts(region)
    ]
    return float(sum(np.ptp(at) for at in parts))


def _strips(lines: Any, half_ft: Any) -> Any:
    return shapely.buffer(lines, half_ft, cap_style="flat", join_style="mitre")


def _pairs(shapes: Any) -> Iterator[tuple[int, int]]:
    own, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    yield from sorted((i, k) for i, k in zip(own.tolist(), other.tolist(), strict=True) if i < k)


def _corners_ft2(works: Works, earth: Earth, one: Strip, other: Strip) -> float:
    """Return what of two trenches was taken off one of them where they meet, ft2."""
    ends = {w.run.id: {w.upstream, w.downstream} for w in works.runs if w.run.id in (one.run_id, other.run_id)}
    meet = ends[one.run_id] & ends[other.run_id]
    return sum(earth.corners.get((s.run_id, at), 0.0) * s.width_ft for s in (one, other) for at in meet)
