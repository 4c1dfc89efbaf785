"""Outfalls: what has to be settled where the water leaves."""

from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Job, Structure
from drainsketch.network.buried import buried_at
from drainsketch.network.grades import Bounds, fixed_level
from drainsketch.network.meetings import joins_on_purpose
from drainsketch.network.pits import Pit, pits_of
from drainsketch.network.places import ground_at_exposures
from drainsketch.network.results import Grade, InletPath, Network
from drainsketch.network.shapes import Shapes, line_of, size_in

SLACK_FT = 1e-4  # less than any level can be shot or dug to
BURIED_FT = 1 / 12
HELD_FT = 1 / 12  # less water in a pipe dries up
TIED_FT = 1.0  # a tie-in this near a drawn drain or sewer is tied into it
LOT_LINE_FT = 5.0  # common practice, no source: water let out nearer runs onto the neighbor's ground or the road
LETS_OUT_ABOVE = ("daylight", "pop-up")  # outfalls that give the water to the surface
LETS_OUT = (*LETS_OUT_ABOVE, "dry well")  # outfalls that give the water to the ground they stand on


def outfall_findings(
    job: Job,
    network: Network,
    paths: tuple[InletPath, ...],
    bounds: Bounds | None,
    grades: dict[str, Grade],
    shapes: Shapes,
) -> list[Finding]:
    """Return what has to be settled at the outfalls: their kind, their levels, emitters and the water they hold, what stands or
    lies near, and the right to discharge.

    Parameters
    ----------
    bounds, grades : None and empty until there are shots
    """
    arriving: dict[str, list[tuple[float, str]]] = {}
    for flow in network.runs if grades else ():
        arriving.setdefault(flow.downstream, []).append((grades[flow.id].invert_down_ft, flow.id))
    drains = {r.id for r in job.runs if r.use == "drain"}
    ends_in_stone = {at for at, runs in arriving.items() if any(run in drains for _, run in runs)}
    found, pits = [], pits_of(job)
    for s in job.structures:
        if s.kind != "outfall" or s.id not in network.outfalls:
            continue
        place = Place(ids=(s.id,), point=s.point)
        if s.outfall is None:
            found.append(finding("outfall_kind_unset", place, structure=s.id))
        if s.outfall == "tie-in" and s.invert_ft is None:
            found.append(finding("tie_in_unmeasured", place, structure=s.id))
        sized = None not in (s.pit_length_ft, s.pit_width_ft, s.pit_depth_ft) or s.id in ends_in_stone
        proved = sized and job.water.infiltration_in_h is not None and job.rain.is_named
        if s.outfall == "dry well" and not proved:
            found.append(finding("dry_well_unproved", place, structure=s.id))
        if bounds is not None:
            found += _levels(s, place, sorted(arriving.get(s.id, [])), bounds)
            found += _emitter(s, paths, bounds) if s.outfall == "pop-up" else []
            found += _water_held(s, place, network, bounds, grades) if s.outfall == "pop-up" else []
        dug = _dug(s, pits)
        found += _tied_into(s, place, job, shapes, bounds) + _near_building(s, dug, job, shapes)
        found += _where_let_out(s, dug, job, shapes) + _where_soaked_in(s, dug, job, shapes)
        found.append(finding("discharge_right", place, structure=s.id))
    return found


def _levels(s: Structure, place: Place, arriving: list[tuple[float, str]], bounds: Bounds) -> list[Finding]:
    """A daylight end below the ground, or pipe that arrives below the level it has to flow out at."""
    ground_ft = bounds.ground[s.id]
    lowest = arriving[0][0] if arriving else s.invert_ft
    if (s.outfall or "daylight") == "daylight":
        under = ground_ft - min(v for v in (lowest, s.invert_ft, ground_ft) if v is not None)
        return [finding("outfall_buried", place, value=under, limit=0.0, structure=s.id)] if under > BURIED_FT else []
    level = fixed_level(s, ground_ft)
    return [
        finding(
            "arrives_too_low",
            Place(ids=(s.id, run), point=s.point),
            value=level - invert,
            limit=0.0,
            structure=s.id,
            run=run,
            level=level,
            invert=invert,
        )
        for invert, run in arriving
        if level is not None and level - invert > SLACK_FT
    ]


def _emitter(s: Structure, paths: tuple[InletPath, ...], bounds: Bounds) -> list[Finding]:
    """Inlets that are not above the lid of the emitter they drain to."""
    lid = bounds.rim[s.id]
    return [
        finding(
            "emitter_too_high",
            Place(ids=(path.inlet, s.id), point=bounds.structures[path.inlet].point),
            value=bounds.rim[path.inlet] - lid,
            limit=0.0,
            inlet=path.inlet,
            outfall=s.id,
            rim=bounds.rim[path.inlet],
            lid=lid,
        )
        for path in paths
        if path.outfall == s.id and bounds.rim[path.inlet] <= lid + SLACK_FT
    ]


def _water_held(
    s: Structure, place: Place, network: Network, bounds: Bounds, grades: dict[str, Grade]
) -> list[Finding]:
    """The water that an emitter leaves standing: up to its lid, in the pipe and in every drain that lies lower."""
    lid = bounds.rim[s.id]
    above = {s.id}
    leading = []
    for flow in reversed(network.runs):
        if flow.downstream in above:
            above.add(flow.upstream)
            leading.append((grades[flow.id].invert_down_ft, flow))
    here = [invert for invert, flow in leading if flow.downstream == s.id]
    depth = lid - min(here, default=lid)
    found = []
    if depth > HELD_FT:
        found.append(finding("emitter_holds_water", place, value=depth, limit=HELD_FT, structure=s.id, lid=lid))
    return found + [
        finding(
            "emitter_floods_drain",
            Place(ids=(flow.id, s.id), point=bounds.structures[flow.downstream].point),
            value=lid - invert,
            limit=0.0,
            run=flow.id,
            structure=s.id,
            lid=lid,
            invert=invert,
        )
        for invert, flow in leading
        if bounds.runs[flow.id].use == "drain" and lid - invert > SLACK_FT
    ]


def _tied_into(s: Structure, place: Place, job: Job, shapes: Shapes, bounds: Bounds | None) -> list[Finding]:
    """What the drain or sewer drawn at a tie-in makes of it."""
    at = shapely.Point(s.point)
    found = []
    for service, line in zip(job.services, shapes.services, strict=True):
        if not joins_on_purpose(s, service) or at.distance(line) > TIED_FT:
            continue
        here = Place(ids=(s.id, service.id), point=s.point)
        if service.kind == "sewer":
            found.append(finding("tie_in_to_sewer", here, structure=s.id, service=service.id))
        lies = None
        if bounds is not None:
            grounds = ground_at_exposures(service, bounds.surface)
            lies = buried_at(service, size_in(service), s.point, bounds.ground[s.id], grounds)
        if lies is not None and s.invert_ft is not None:
            bottom = lies.bottom_ft
            if s.invert_ft < bottom - BURIED_FT:
                found.append(
                    finding(
                        "tie_in_below_drain",
                        here,
                        value=bottom - s.invert_ft,
                        limit=0.0,
                        structure=s.id,
                        service=service.id,
                        invert=s.invert_ft,
                        bottom=bottom,
                    )
                )
    return found


def _dug(s: Structure, pits: dict[str, Pit]) -> Any:
    """Return where the water leaves in plan: the outline of a pit, or the point of any other outfall."""
    return pits[s.id].shape if s.id in pits else shapely.Point(s.point)


def _near_building(s: Structure, at: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Outfalls that let water out beside a wall."""
    limit = job.criteria.building_setback_ft
    if (s.outfall or "daylight") not in LETS_OUT:
        return []
    return [
        finding(
            "outfall_near_building",
            Place(ids=(s.id, obstacle.id), point=s.point),
            value=at.distance(shape),
            limit=limit,
            structure=s.id,
            obstacle=obstacle.id,
        )
        for obstacle, shape in zip(job.obstacles, shapes.obstacles, strict=True)
        if obstacle.kind == "building" and at.distance(shape) < limit
    ]


def _where_let_out(s: Structure, at: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Water let out by the lot line, onto the surface or into the soil, a road beyond it included, and onto paving."""
    if (s.outfall or "daylight") not in LETS_OUT:
        return []
    found = []
    if job.boundary is not None and shapes.lot.covers(shapely.Point(s.point)):
        off = line_of((*job.boundary.points, job.boundary.points[0])).distance(at)
        if off < LOT_LINE_FT - SLACK_FT:
            place = Place(ids=(s.id, job.boundary.id), point=s.point)
            found.append(finding("outfall_near_lot_line", place, value=off, limit=LOT_LINE_FT, structure=s.id))
    for o, shape in zip(job.obstacles, shapes.obstacles, strict=True):
        if o.kind == "hardscape" and (s.outfall or "daylight") in LETS_OUT_ABOVE and shape.intersects(at):
            place = Place(ids=(s.id, o.id), point=s.point)
            found.append(finding("outfall_on_paving", place, structure=s.id, obstacle=o.id))
    return found


def _where_soaked_in(s: Structure, at: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Water of a dry well that goes into the soil near a septic tank or field, or near a well."""
    c = job.criteria
    if s.outfall != "dry well":
        return []
    asked = {"septic": ("outfall_near_septic", c.septic_setback_ft), "well": ("outfall_near_well", c.well_setback_ft)}
    return [
        finding(
            asked[o.kind][0],
            Place(ids=(s.id, o.id), point=s.point),
            value=at.distance(shape),
            limit=asked[o.kind][1],
            structure=s.id,
            obstacle=o.id,
        )
        for o, shape in zip(job.obstacles, shapes.obstacles, strict=True)
        if o.kind in asked and at.distance(shape) < asked[o.kind][1]
    ]
