"""Slips of the pen: what on the plan cannot be meant as it is drawn."""

from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Structure
from drainsketch.network.buried import DEEPEST_FT, DEEPEST_SEWER_FT

SAME_SPOT_FT = 0.05


def drawing_findings(job: Job, geometry: dict[str, Any]) -> list[Finding]:
    """Return structures that stand on one spot, runs that cross themselves or pass through a structure they are not joined to,
    services deeper than any yard has them, and slope limits that leave no slope.

    Parameters
    ----------
    geometry : shapely lines of the runs by run id
    """
    found = _limits(job.criteria) + _depths(job)
    if not job.structures:
        return found
    tree = shapely.STRtree(shapely.points([s.point for s in job.structures]))
    found += _one_spot(job, tree)
    lines = list(geometry.values())
    if lines:
        found += [_crosses_itself(run, geometry[run]) for run in _not_simple(geometry)]
        found += _passed(job, geometry, tree)
    return found


def _limits(c: Criteria) -> list[Finding]:
    if c.min_slope <= c.max_slope:
        return []
    return [finding("slope_limits_cross", Place(), value=c.min_slope, limit=c.max_slope)]


def _depths(job: Job) -> list[Finding]:
    """Services entered so deep that inches were most likely typed as feet."""
    found = []
    for s in job.services:
        limit = DEEPEST_SEWER_FT if s.kind == "sewer" else DEEPEST_FT
        if s.depth_top_ft is not None and s.depth_top_ft > limit:
            place = Place(ids=(s.id,), point=s.points[0])
            found.append(finding("depth_unlikely", place, value=s.depth_top_ft, limit=limit, service=s.id))
    return found


def _one_spot(job: Job, tree: Any) -> list[Finding]:
    """One finding for each group of structures on one spot."""
    one, two = tree.query(tree.geometries, predicate="dwithin", distance=SAME_SPOT_FT)
    mates: dict[int, list[str]] = {}
    for a, b in sorted(zip(one.tolist(), two.tolist(), strict=True)):
        mates.setdefault(a, []).append(job.structures[b].id)
    groups = dict.fromkeys(tuple(ids) for ids in mates.values() if len(ids) > 1)
    point = {s.id: s.point for s in job.structures}
    return [finding("one_spot", Place(ids=ids, point=point[ids[0]]), structures=ids) for ids in groups]


def _not_simple(geometry: dict[str, Any]) -> list[str]:
    simple = shapely.is_simple(list(geometry.values())).tolist()
    return [run for run, fine in zip(geometry, simple, strict=True) if not fine]


def _crosses_itself(run: str, line: Any) -> Finding:
    at = line.interpolate(0.5, normalized=True)
    return finding("run_crosses_itself", Place(ids=(run,), point=(at.x, at.y)), run=run)


def _passed(job: Job, geometry: dict[str, Any], tree: Any) -> list[Finding]:
    ends = {r.id: (r.start, r.end) for r in job.runs}
    reach = max(_half_ft(s) for s in job.structures)
    ids = list(geometry)
    found = []
    for r, s in sorted(tree.query(list(geometry.values()), predicate="dwithin", distance=reach).T.tolist()):
        structure, run, line = job.structures[s], ids[r], geometry[ids[r]]
        at = tree.geometries[s]
        if structure.id in ends[run] or line.distance(at) > _half_ft(structure):
            continue
        if any(at.distance(shapely.Point(p)) < SAME_SPOT_FT for p in (line.coords[0], line.coords[-1])):
            continue  # it is the other of two structures on one spot
        place = Place(ids=(run, structure.id), point=structure.point, station_ft=line.length - line.project(at))
        found.append(finding("passes_structure", place, run=run, structure=structure.id))
    return found


def _half_ft(structure: Structure) -> float:
    return (structure.size_in or 12) / 24 if structure.kind == "basin" else 0.25
