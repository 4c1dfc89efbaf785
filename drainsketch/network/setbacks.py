"""Setbacks: what a run must keep away from, and what it passes over or under. Also the hand-dig zone of services beside it."""

from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.ask import is_closed
from drainsketch.job.model import Boundary, Criteria, Job, Obstacle, Point, Structure
from drainsketch.network.crossings import ASSUMED_SIZE_IN, joins_on_purpose

LEAST_ROOT_ZONE_FT = 6.0
TOUCH_FT = 0.05

Lines = dict[str, tuple[Point, ...]]


def shape_of(thing: Boundary | Obstacle) -> Any:
    """Return the shapely shape of an outline, line or point; a self-crossing outline is made valid."""
    if isinstance(thing, Obstacle) and len(thing.points) == 1:
        return shapely.Point(thing.points[0])
    if is_closed(thing):
        outline = shapely.Polygon(thing.points)
        return outline if outline.is_valid else shapely.make_valid(outline)
    return shapely.LineString(thing.points)


def root_zone_ft(trunk_diameter_in: float | None, ft_per_in: float) -> float:
    """Return the radius of a tree's root zone, ft: so many feet for each inch of trunk, 6 ft at least.

    Source: 1.25 ft per inch, at least 6 ft: North Carolina State Extension. Check: tests/outside/test_root_zone.py.
    """
    return max(LEAST_ROOT_ZONE_FT, (trunk_diameter_in or 0.0) * ft_per_in)


def setback_findings(job: Job, lines: Lines) -> list[Finding]:
    """Return what the runs come too near to, pass over or leave, and structures too near a service or outside the lot."""
    found: list[Finding] = []
    runs = [(run_id, shapely.LineString(points)) for run_id, points in lines.items()]
    drains = {r.id for r in job.runs if r.use == "drain"}
    shapes = [shape_of(o) for o in job.obstacles]
    if runs and shapes:
        geometry = [g for _, g in runs]
        reach = np.array([_reach_ft(o, job.criteria) for o in job.obstacles])
        pairs = shapely.STRtree(geometry).query(shapes, predicate="dwithin", distance=reach)
        for o, r in sorted(pairs.T.tolist(), key=lambda pair: (pair[1], pair[0])):
            run_id, line = runs[r]
            rule = RULES.get(job.obstacles[o].kind)
            if rule is not None:
                found += rule(Near(job.obstacles[o], shapes[o], run_id, line, run_id in drains, job.criteria))
    return found + _outside(job, runs) + _beside_services(job, runs)


def _reach_ft(obstacle: Obstacle, c: Criteria) -> float:
    match obstacle.kind:
        case "building":
            return c.building_setback_ft
        case "tree":
            return root_zone_ft(obstacle.trunk_diameter_in, c.root_zone_ft_per_in)
        case "septic":
            return c.septic_setback_ft
        case "well":
            return c.well_setback_ft
        case _:
            return 0.0


class Near(Struct, frozen=True):
    """A run that comes within reach of an obstacle."""

    obstacle: Obstacle
    shape: Any
    run_id: str
    line: Any
    is_drain: bool
    criteria: Criteria

    def say(self, kind: str, value: float, limit: float | None = None, length: float | None = None) -> list[Finding]:
        """Return one finding at the place on the run nearest to the obstacle."""
        near = shapely.get_point(shapely.shortest_line(self.line, self.shape), 0)
        station_ft = self.line.length - self.line.project(near)
        place = Place(ids=(self.run_id, self.obstacle.id), point=(near.x, near.y), station_ft=station_ft)
        return [
            finding(kind, place, value=value, limit=limit, run=self.run_id, obstacle=self.obstacle.id, length=length)
        ]

    @property
    def over_ft(self) -> float:
        """Length of the run over (or under) the obstacle, ft."""
        length: float = self.line.intersection(self.shape).length
        return length

    @property
    def off_ft(self) -> float:
        """Distance of the run from the obstacle, ft."""
        off: float = self.line.distance(self.shape)
        return off


def _building(near: Near) -> list[Finding]:
    setback_ft = near.criteria.building_setback_ft
    if near.over_ft > TOUCH_FT:
        return near.say("under_building", near.over_ft)
    if near.is_drain:
        return near.say("drain_near_building", near.off_ft, setback_ft)
    along: float = near.line.intersection(shapely.buffer(near.shape, setback_ft)).length
    # a pipe that only leaves a downspout is not along the wall
    return near.say("pipe_along_building", along, 2 * setback_ft) if along > 2 * setback_ft else []


def _tree(near: Near) -> list[Finding]:
    radius_ft = root_zone_ft(near.obstacle.trunk_diameter_in, near.criteria.root_zone_ft_per_in)
    length: float = near.line.intersection(near.shape.buffer(radius_ft, quad_segs=32)).length
    return near.say("root_zone", near.off_ft, radius_ft, length=length) if length > TOUCH_FT else []


def _septic(near: Near) -> list[Finding]:
    if near.over_ft > TOUCH_FT:
        return near.say("over_septic", near.over_ft)
    return near.say("near_septic", near.off_ft, near.criteria.septic_setback_ft)


def _well(near: Near) -> list[Finding]:
    return near.say("near_well", near.off_ft, near.criteria.well_setback_ft)


def _hardscape(near: Near) -> list[Finding]:
    return near.say("under_hardscape", near.over_ft) if near.over_ft > TOUCH_FT else []


RULES: dict[str, Callable[[Near], list[Finding]]] = {
    "building": _building,
    "tree": _tree,
    "septic": _septic,
    "well": _well,
    "hardscape": _hardscape,
}


def _outside(job: Job, runs: list[tuple[str, Any]]) -> list[Finding]:
    """Findings for runs and structures that leave the lot."""
    if job.boundary is None:
        return []
    lot = shapely.buffer(shape_of(job.boundary), TOUCH_FT)
    shapely.prepare(lot)
    found = []
    for run, line in runs:
        if lot.covers(line):
            continue
        out = shapely.get_parts(line.difference(lot))
        at = max(out, key=lambda g: g.length).interpolate(0.5, normalized=True)
        place = Place(ids=(run,), point=(at.x, at.y), station_ft=line.length - line.project(at))
        found.append(finding("outside_lot", place, value=sum(g.length for g in out), run=run))
    for s in job.structures:
        if not lot.covers(shapely.Point(s.point)):
            found.append(finding("structure_outside_lot", Place(ids=(s.id,), point=s.point), structure=s.id))
    return found


def _beside_services(job: Job, runs: list[tuple[str, Any]]) -> list[Finding]:
    """Findings for runs that pass a service within its hand-dig zone without crossing it, and for structures set there."""
    if not job.services:
        return []
    c = job.criteria
    geometry = [shapely.LineString(s.points) for s in job.services]
    zone = np.array([((s.size_in or ASSUMED_SIZE_IN) / 2 + c.hand_dig_each_side_in) / 12 for s in job.services])
    found = []
    if runs:
        reach = zone + c.trench_width_in / 24
        pairs = shapely.STRtree([g for _, g in runs]).query(geometry, predicate="dwithin", distance=reach)
        for s, r in sorted(pairs.T.tolist(), key=lambda pair: (pair[1], pair[0])):
            run, line = runs[r]
            if not line.intersects(geometry[s]):
                near = shapely.get_point(shapely.shortest_line(line, geometry[s]), 0)
                place = Place(
                    ids=(run, job.services[s].id), point=(near.x, near.y), station_ft=line.length - line.project(near)
                )
                found.append(
                    finding(
                        "beside_service",
                        place,
                        value=line.distance(geometry[s]),
                        limit=float(reach[s]),
                        run=run,
                        service=job.services[s].id,
                    )
                )
    return found + _structures_by_services(job, geometry, zone)


def _structures_by_services(job: Job, geometry: list[Any], zone: Any) -> list[Finding]:
    found = []
    tree = shapely.STRtree(geometry)
    for structure in job.structures:
        reach = _hole_half_ft(structure)
        at = shapely.Point(structure.point)
        for s in sorted(tree.query(at, predicate="dwithin", distance=float(zone.max()) + reach).tolist()):
            service = job.services[s]
            off = at.distance(geometry[s])
            if off <= zone[s] + reach and not joins_on_purpose(structure, service):
                place = Place(ids=(structure.id, service.id), point=structure.point)
                limit = float(zone[s]) + reach
                found.append(
                    finding(
                        "structure_by_service",
                        place,
                        value=off,
                        limit=limit,
                        structure=structure.id,
                        service=service.id,
                    )
                )
    return found


def _hole_half_ft(structure: Structure) -> float:
    """Return half the width of the hole dug for a structure, ft."""
    return ((structure.size_in or 12) + 12) / 24 if structure.kind == "basin" else 0.5
