"""Beside services: runs that pass a service within its hand-dig zone without crossing it, and structures dug there."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.surface import Surface
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Service, Structure
from drainsketch.network.buried import Buried, buried_at, rule_of
from drainsketch.network.meetings import SHALLOW_DEG, angle_between, body_reach_ft, joins_on_purpose
from drainsketch.network.pits import Pit, pit_of, pits_of
from drainsketch.network.places import ground_at_exposures
from drainsketch.network.results import StructureLevels
from drainsketch.network.shapes import Shapes, lines_in, size_in, zone_ft

ALONG_FT = 1.0  # a run that goes along a water line for less only passes it
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
    ends = sorted(line.length - line.project(shapely.Point(piece.coords[i])) for i in (0, -1))
    params = {"run": run, "service": service.id, "length": piece.length, "from_ft": ends[0], "to_ft": ends[1]}
    return finding("beside_service", place, value=off, limit=reach_ft, params=params)


def water_findings(
    run: Run, points: tuple[Point, ...], line: Any, services: tuple[Service, ...], shapes: Shapes
) -> list[Finding]:
    """Return the water lines that a run goes along nearer than is usual between drain and water, crossing them or not.

    Only what goes the same way counts, within 30 degrees: a run that crosses is held by the clearance at its crossing.

    Parameters
    ----------
    points, line : the run's plan points, upstream first, and their shapely line

    Source: ``resources/catalogue/services.toml``. Check: tests/network/test_beside.py.
    """
    water = {s: rule_of(service) for s, service in enumerate(services) if service.kind == "water"}
    if not water:
        return []
    found = []
    reach_ft = max(rule.beside_ft for rule in water.values())
    for s in sorted(shapes.service_tree.query(line, predicate="dwithin", distance=reach_ft).tolist()):
        if s in water:
            length_ft = _length_along(points, services[s], shapes.services[s], water[s].beside_ft)
            if length_ft > ALONG_FT:
                near = shapely.get_point(shapely.shortest_line(line, shapes.services[s]), 0)
                place = Place(
                    ids=(run.id, services[s].id), point=(near.x, near.y), station_ft=line.length - line.project(near)
                )
                found.append(
                    finding(
                        "along_water",
                        place,
                        value=line.distance(shapes.services[s]),
                        limit=water[s].beside_ft,
                        run=run.id,
                        service=services[s].id,
                        length=length_ft,
                        rule=water[s].name,
                    )
                )
    return found


def _length_along(points: tuple[Point, ...], service: Service, other: Any, reach_ft: float) -> float:
    """Return how much of a run lies within reach of a service and goes the same way, leg by leg, ft."""
    zone = shapely.buffer(other, reach_ft)
    total = 0.0
    for a, b in pairwise(points):
        for piece in lines_in(shapely.LineString((a, b)).intersection(zone)) if a != b else ():
            middle = piece.interpolate(0.5, normalized=True)
            along = other.project(middle) if other.geom_type == "LineString" else 0.0
            if angle_between((a, b), 0.0, service.points, along) < SHALLOW_DEG:
                total += piece.length
    return total


def structures_beside(job: Job, shapes: Shapes) -> list[Finding]:
    """Return the structures whose hole is dug in the hand-dig zone of a service."""
    if not job.services or not job.structures:
        return []
    found = []
    zones = [zone_ft(s, job.criteria.hand_dig_each_side_in) for s in job.services]
    pits = pits_of(job)
    at = _dug_shapes(job.structures, pits)
    halves = [0.0 if s.id in pits else hole_half_ft(s) for s in job.structures]
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


def _dug_shapes(structures: Iterable[Structure], pits: dict[str, Pit]) -> list[Any]:
    """Return what is dug at each structure in plan: the outline of a pit, or the middle of any other hole."""
    return [pits[s.id].shape if s.id in pits else shapely.Point(s.point) for s in structures]


def hole_half_ft(structure: Structure) -> float:
    """Return half the width of the hole dug for a structure, ft."""
    return ((structure.size_in or 12) + WORK_ROOM_IN) / 24 if structure.kind == "basin" else 0.5


def stands_on_findings(
    job: Job, shapes: Shapes, levels: dict[str, StructureLevels], surface: Surface | None
) -> list[Finding]:
    """Return the basins, uprights and pits that stand in the way of a service: they overlap it in plan and in height.

    Counted by the depth as it is known; that it may be off, or is not known at all, is told for everything dug in its zone.

    Parameters
    ----------
    levels : by structure id; empty until there are shots
    """
    pits = pits_of(job)
    upright = [s for s in job.structures if s.id in levels and (_half_ft(s) or s.id in pits)]
    if not job.services or not upright:
        return []
    at = _dug_shapes(upright, pits)
    widest_ft = max(size_in(s) for s in job.services) / 24
    reach = [widest_ft + _half_ft(s) for s in upright]
    found = []
    for i, s in sorted(shapes.service_tree.query(at, predicate="dwithin", distance=reach).T.tolist()):
        column = levels[upright[i].id]
        bottom_ft = dug_to_ft(upright[i], column, job)
        off_ft = at[i].distance(shapes.services[s])
        if bottom_ft is not None and off_ft <= _half_ft(upright[i]) + size_in(job.services[s]) / 24:
            lies = _lies_at(job.services[s], upright[i], column, surface)
            found += _stands_on(upright[i], job.services[s], lies, bottom_ft, column)
    return found


def _lies_at(service: Service, structure: Structure, levels: StructureLevels, surface: Surface | None) -> Buried | None:
    grounds = ground_at_exposures(service, surface)
    return buried_at(service, size_in(service), structure.point, levels.ground_ft, grounds)


def _half_ft(structure: Structure) -> float:
    """Return half the width of what stands upright at a structure, ft; 0 where nothing does."""
    if structure.kind == "basin":
        return (structure.size_in or 12) / 24
    rises = structure.kind in ("cleanout", "downspout inlet") or structure.outfall == "pop-up"
    return UPRIGHT_IN / 24 if rises else 0.0


def dug_to_ft(structure: Structure, levels: StructureLevels, job: Job) -> float | None:
    """Return the underside of what is dug at a structure, a basin's bed and a pit's floor, ft; None where no pipe gives it a level."""
    inverts = [level for _, level in levels.inverts_in]
    inverts += [levels.invert_out_ft] if levels.invert_out_ft is not None else []
    if not inverts:
        return None
    c, pit = job.criteria, pit_of(structure)
    below_in = c.basin_sump_in + c.basin_bed_in if structure.kind == "basin" else 0.0
    return min(inverts) - (below_in / 12 if pit is None else pit[2])


def _stands_on(
    structure: Structure, service: Service, lies: Buried | None, bottom_ft: float, levels: StructureLevels
) -> list[Finding]:
    if lies is None or joins_on_purpose(structure, service):
        return []
    if lies.top_ft <= bottom_ft or lies.bottom_ft >= max(levels.rim_ft, levels.ground_ft):
        return []
    return [
        finding(
            "stands_on_service",
            Place(ids=(structure.id, service.id), point=structure.point),
            value=lies.top_ft - bottom_ft,
            limit=0.0,
            structure=structure.id,
            other=service.id,
            service=service.kind,
            service_depth=levels.ground_ft - lies.top_ft,
            bottom_depth=levels.ground_ft - bottom_ft,
        )
    ]
