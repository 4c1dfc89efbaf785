"""Setbacks: what a run must keep away from, what it passes over or under, and where it leaves the lot."""

from collections.abc import Callable
from typing import Any

import shapely
from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Obstacle, Run
from drainsketch.network.shapes import TOUCH_FT, Shapes

LEAST_ROOT_ZONE_FT = 6.0
WALL_FT = 0.5  # common practice, no source: a structure at a wall may be drawn so far inside it


def root_zone_ft(trunk_diameter_in: float | None, ft_per_in: float) -> float:
    """Return the radius of a tree's root zone, ft: so many feet for each inch of trunk, 6 ft at least.

    Source: 1.25 ft per inch, at least 6 ft: North Carolina State Extension. Check: tests/outside/test_root_zone.py.
    """
    return max(LEAST_ROOT_ZONE_FT, (trunk_diameter_in or 0.0) * ft_per_in)


def setback_findings(run: Run, line: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Return what a run comes too near to or passes over, and where it leaves the lot.

    Parameters
    ----------
    line : the run's shapely line, upstream first
    """
    found: list[Finding] = []
    if job.obstacles:
        reach = [_reach_ft(o, job.criteria) for o in job.obstacles]
        for o in sorted(shapes.obstacle_tree.query(line, predicate="dwithin", distance=max(reach)).tolist()):
            obstacle, shape = job.obstacles[o], shapes.obstacles[o]
            rule = RULES.get(obstacle.kind)
            if rule is not None and line.distance(shape) <= reach[o]:
                found += rule(Near(obstacle, shape, run.id, line, run.use == "drain", job.criteria))
    return found + _leaves_lot(run.id, line, shapes.lot)


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


def _other(near: Near) -> list[Finding]:
    return near.say("through_obstacle", near.over_ft) if near.over_ft > TOUCH_FT else []


def _hardscape(near: Near) -> list[Finding]:
    return near.say("under_hardscape", near.over_ft) if near.over_ft > TOUCH_FT else []


RULES: dict[str, Callable[[Near], list[Finding]]] = {
    "building": _building,
    "tree": _tree,
    "septic": _septic,
    "well": _well,
    "hardscape": _hardscape,
    "other": _other,
}


def _leaves_lot(run: str, line: Any, lot: Any) -> list[Finding]:
    if lot is None or lot.covers(line):
        return []
    out = [g for g in shapely.get_parts(line.difference(lot)) if not g.is_empty]
    if not out:
        return []
    at = max(out, key=lambda g: g.length).interpolate(0.5, normalized=True)
    place = Place(ids=(run,), point=(at.x, at.y), station_ft=line.length - line.project(at))
    return [finding("outside_lot", place, value=sum(g.length for g in out), run=run)]


def structures_outside(job: Job, shapes: Shapes) -> list[Finding]:
    """Return the structures that stand outside the lot."""
    if shapes.lot is None or not job.structures:
        return []
    inside = shapely.covers(shapes.lot, shapely.points([s.point for s in job.structures]))
    return [
        finding("structure_outside_lot", Place(ids=(s.id,), point=s.point), structure=s.id)
        for s, fine in zip(job.structures, inside.tolist(), strict=True)
        if not fine
    ]


def structures_in_buildings(job: Job, shapes: Shapes) -> list[Finding]:
    """Return the structures that stand in a building, further inside than a wall is thick; outfalls are told by their setback."""
    within = [
        (o, s.buffer(-WALL_FT)) for o, s in zip(job.obstacles, shapes.obstacles, strict=True) if o.kind == "building"
    ]
    return [
        finding("structure_in_building", Place(ids=(s.id, o.id), point=s.point), structure=s.id, building=o.id)
        for s in job.structures
        if s.kind != "outfall"
        for o, shape in within
        if shapely.contains_xy(shape, *s.point)
    ]
