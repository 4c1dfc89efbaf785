"""Beside services: runs that pass a service within its hand-dig zone without crossing it, and structures dug there."""

from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Job, Run, Service, Structure
from drainsketch.network.meetings import body_reach_ft, joins_on_purpose
from drainsketch.network.results import StructureLevels
from drainsketch.network.shapes import Shapes, size_in, zone_ft

WORK_ROOM_IN = 12.0  # round a basin, 6 in each side
UPRIGHT_IN = 6.0  # taken for whatever comes up from the pipe at a cleanout, downspout inlet or pop-up


def beside_findings(
    run: Run, line: Any, zoned: list[tuple[int, list[Any]]], services: tuple[Service, ...], shapes: Shapes
) -> list[Finding]:
    """Return the stretches of a run that lie in the hand-dig zone of a service without meeting it.

    Parameters
    ----------
    line : the run's shapely line, upstream first
    zoned : the pieces of the line in the zones of services
    """
    found = []
    for s, pieces in zoned:
        body_ft = body_reach_ft(run, services[s])
        for piece in pieces:
            if piece.distance(shapes.services[s]) > body_ft:  # nearer, it is a crossing
                found.append(_beside(run.id, services[s], line, piece, shapes.services[s], shapes.reach_ft[s]))
    return found


def _beside(run: str, service: Service, line: Any, piece: Any, other: Any, reach_ft: float) -> Finding:
    near = shapely.get_point(shapely.shortest_line(piece, other), 0)
    place = Place(ids=(run, service.id), point=(near.x, near.y), station_ft=line.length - line.project(near))
    off = piece.distance(other)
    return finding("beside_service", place, value=off, limit=reach_ft, run=run, service=service.id, length=piece.length)


def structures_beside(job: Job, shapes: Shapes) -> list[Finding]:
    """Return the structures whose hole is dug in the hand-dig zone of a service."""
    if not job.services or not job.structures:
        return []
    found = []
    zones = [zone_ft(s, job.criteria.hand_dig_each_side_in) for s in job.services]
    at = shapely.points([s.point for s in job.structures])
    halves = [hole_half_ft(s) for s in job.structures]
    pairs = shapes.service_tree.query(at, predicate="dwithin", distance=[max(zones) + half for half in halves])
    for i, s in sorted(pairs.T.tolist()):
        structure, service = job.structures[i], job.services[s]
        off, limit = at[i].distance(shapes.services[s]), zones[s] + halves[i]
        if off <= limit and not joins_on_purpose(structure, service):
            place = Place(ids=(structure.id, service.id), point=structure.point)
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


def hole_half_ft(structure: Structure) -> float:
    """Return half the width of the hole dug for a structure, ft."""
    return ((structure.size_in or 12) + WORK_ROOM_IN) / 24 if structure.kind == "basin" else 0.5


def stands_on_findings(job: Job, shapes: Shapes, levels: dict[str, StructureLevels]) -> list[Finding]:
    """Return the basins and uprights that stand in the way of a service: they overlap it in plan and in height.

    Parameters
    ----------
    levels : by structure id; empty until there are shots
    """
    upright = [s for s in job.structures if s.id in levels and _half_ft(s)]
    if not job.services or not upright:
        return []
    at = shapely.points([s.point for s in upright])
    widest_ft = max(size_in(s) for s in job.services) / 24
    reach = [widest_ft + _half_ft(s) for s in upright]
    found = []
    for i, s in sorted(shapes.service_tree.query(at, predicate="dwithin", distance=reach).T.tolist()):
        column = levels[upright[i].id]
        bottom_ft = _bottom_ft(upright[i], column, job)
        if bottom_ft is not None:
            off_ft = at[i].distance(shapes.services[s])
            found += _stands_on(upright[i], job.services[s], off_ft, bottom_ft, column)
    return found


def _half_ft(structure: Structure) -> float:
    """Return half the width of what stands upright at a structure, ft; 0 where nothing does."""
    if structure.kind == "basin":
        return (structure.size_in or 12) / 24
    rises = structure.kind in ("cleanout", "downspout inlet") or structure.outfall == "pop-up"
    return UPRIGHT_IN / 24 if rises else 0.0


def _bottom_ft(structure: Structure, levels: StructureLevels, job: Job) -> float | None:
    """Return the underside of what stands at a structure, ft; None where no pipe gives it a level."""
    inverts = [level for _, level in levels.inverts_in]
    inverts += [levels.invert_out_ft] if levels.invert_out_ft is not None else []
    if not inverts:
        return None
    c = job.criteria
    below_in = c.basin_sump_in + c.basin_bed_in if structure.kind == "basin" else 0.0
    return min(inverts) - below_in / 12


def _stands_on(
    structure: Structure, service: Service, off_ft: float, bottom_ft: float, levels: StructureLevels
) -> list[Finding]:
    if (
        service.depth_top_ft is None
        or off_ft > _half_ft(structure) + size_in(service) / 24
        or joins_on_purpose(structure, service)
    ):
        return []
    top = levels.ground_ft - service.depth_top_ft
    if top <= bottom_ft or top - size_in(service) / 12 >= max(levels.rim_ft, levels.ground_ft):
        return []
    return [
        finding(
            "stands_on_service",
            Place(ids=(structure.id, service.id), point=structure.point),
            value=top - bottom_ft,
            limit=0.0,
            structure=structure.id,
            other=service.id,
            service=service.kind,
            service_depth=service.depth_top_ft,
            bottom_depth=levels.ground_ft - bottom_ft,
        )
    ]
