"""Footings: where a trench or a hole would be dug below the line that spreads the load of a footing.

The line goes down at 45 degrees from the bottom outer edge of the footing: ground below it carries the house. The outline of a
building, as drawn, is taken as that edge.

Sources: 29 CFR 1926.651(i)(2), no digging below the level of the base of a footing that could be a hazard, unless it is held up
or a registered engineer has found it safe (from memory); the 45 degrees: common practice, no source.
Check: tests/network/test_footings.py.
"""

from typing import Any

import numpy as np
import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.surface import Surface
from drainsketch.job.model import Job, Obstacle
from drainsketch.network.beside import dug_to_ft, hole_half_ft
from drainsketch.network.digging import width_of_ft
from drainsketch.network.pits import Pit, pits_of
from drainsketch.network.results import Floats, Grade, Profile, StructureLevels
from drainsketch.network.shapes import Shapes

SLACK_FT = 1e-4


def footing_depth_ft(obstacle: Obstacle, job: Job) -> float:
    """Return the depth from the ground to the bottom of a footing, ft; the job's where nobody gave it."""
    known = obstacle.footing_depth_ft
    return job.criteria.footing_depth_in / 12 if known is None else known


def undercut_ft(off_ft: Floats, wall_ground_ft: Floats, depth_ft: float, bottom_ft: Floats) -> Floats:
    """Return how far the edge of a cut lies below the 45-degree line of a footing, ft; above it, less than zero.

    Parameters
    ----------
    off_ft : from the footing to the near bottom edge of the cut, in plan, (n,); 0 where the cut reaches the wall
    wall_ground_ft : ground at the wall, (n,)
    depth_ft : from that ground to the bottom of the footing
    bottom_ft : level of the bottom of the cut, (n,)
    """
    below: Floats = wall_ground_ft - depth_ft - np.maximum(off_ft, 0.0) - bottom_ft
    return below


def footing_findings(
    job: Job,
    shapes: Shapes,
    geometry: dict[str, Any],
    surface: Surface | None,
    profiles: dict[str, Profile],
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
) -> list[Finding]:
    """Return the runs whose trench, and the structures whose hole, would undercut a footing, with the place where it is worst.

    Parameters
    ----------
    geometry : shapely lines of the runs, by run id
    """
    buildings = {i for i, o in enumerate(job.obstacles) if o.kind == "building"}
    if surface is None or not buildings:
        return []
    found: list[Finding] = []
    half_ft = {run.id: width_of_ft(run, job.criteria) / 2 for run in job.runs}
    ids = [run_id for run_id in grades if run_id in geometry]
    reach = [_reach_ft(grades[run_id].greatest_cut_ft, half_ft[run_id]) for run_id in ids]
    lines = np.array([geometry[run_id] for run_id in ids], dtype=object)
    pairs = shapes.obstacle_tree.query(lines, predicate="dwithin", distance=reach)
    for r, o in sorted(pairs.T.tolist()):
        if o in buildings:
            building, depth_ft = job.obstacles[o], footing_depth_ft(job.obstacles[o], job)
            profile, grade = profiles[ids[r]], grades[ids[r]]
            found += _trench(building, shapes.obstacles[o], depth_ft, surface, profile, grade, half_ft[ids[r]])
    pits = pits_of(job)
    for o in sorted(buildings):
        building = job.obstacles[o]
        found += _holes(job, building, shapes.obstacles[o], footing_depth_ft(building, job), surface, levels, pits)
    return found


def _reach_ft(cut_ft: float, half_ft: float) -> float:
    """Return how far from a cut a footing may be undercut, ft: ground at the wall may lie higher, by as much again, than over it."""
    return half_ft + 2 * max(0.0, cut_ft) + 1.0


def _trench(
    building: Obstacle, shape: Any, depth_ft: float, surface: Surface, profile: Profile, grade: Grade, half_ft: float
) -> list[Finding]:
    reach_ft = (
        half_ft + max(0.0, grade.greatest_cut_ft) * 2 + 1.0
    )  # ground at the wall may lie higher than over the trench
    west, south, east, north = shape.bounds
    x, y = profile.x_ft, profile.y_ft
    near = (x > west - reach_ft) & (x < east + reach_ft) & (y > south - reach_ft) & (y < north + reach_ft)
    if not near.any():
        return []
    points = shapely.points(x[near], y[near])
    station = profile.station_ft[near]
    bottom = grade.inverts_at(station) - grade.bottom_below_invert_ft
    below, off = _below(points, shape, depth_ft, surface, half_ft, bottom)
    i = int(np.argmax(below))
    if below[i] <= SLACK_FT:
        return []
    place = Place(
        ids=(profile.run_id, building.id), point=(float(x[near][i]), float(y[near][i])), station_ft=float(station[i])
    )
    return [
        finding(
            "undercuts_footing",
            place,
            value=float(below[i]),
            limit=0.0,
            run=profile.run_id,
            obstacle=building.id,
            off=float(off[i]),
            footing=depth_ft,
            footing_known="assumed" if building.footing_depth_ft is None else "given",
        )
    ]


def _below(
    points: Any, shape: Any, depth_ft: float, surface: Surface, half_ft: float, bottom_ft: Floats
) -> tuple[Floats, Floats]:
    """Return how far the near edges of cuts lie below the line of a footing, and their distances from it in plan, ft."""
    off = np.maximum(0.0, shapely.distance(points, shape) - half_ft)
    wall = (
        shape.boundary if shape.geom_type in ("Polygon", "MultiPolygon") else shape
    )  # an outline without inside is a line
    nearest = shapely.get_point(shapely.shortest_line(points, wall), -1)
    # an outline of next to no extent may have no nearest point: the ground of the cut itself stands for its own
    at_wall = shapely.get_coordinates(np.where(shapely.is_missing(nearest), shapely.centroid(points), nearest))
    return undercut_ft(off, surface.levels_at(at_wall)[0], depth_ft, bottom_ft), off


def _holes(
    job: Job,
    building: Obstacle,
    shape: Any,
    depth_ft: float,
    surface: Surface,
    levels: dict[str, StructureLevels],
    pits: dict[str, Pit],
) -> list[Finding]:
    holes = [s for s in job.structures if s.id in levels and (s.kind == "basin" or s.id in pits)]
    found = []
    for structure in holes:
        bottom, pit = dug_to_ft(structure, levels[structure.id], job), pits.get(structure.id)
        if bottom is None:
            continue
        dug, half_ft = (pit.shape, 0.0) if pit else (shapely.Point(structure.point), hole_half_ft(structure))
        if shape.distance(dug) > _reach_ft(levels[structure.id].ground_ft - bottom, half_ft):
            continue
        below, off = _below(np.array([dug]), shape, depth_ft, surface, half_ft, np.array([bottom]))
        if below[0] > SLACK_FT:
            found.append(
                finding(
                    "hole_undercuts_footing",
                    Place(ids=(structure.id, building.id), point=structure.point),
                    value=float(below[0]),
                    limit=0.0,
                    structure=structure.id,
                    obstacle=building.id,
                    off=float(off[0]),
                    footing=depth_ft,
                    footing_known="assumed" if building.footing_depth_ft is None else "given",
                )
            )
    return found
