"""What has to be settled about the water of a storm: pipe, grates and wells too small, and where it backs up."""

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.ground.results import GroundStudy
from drainsketch.ground.seating import sloping_grates
from drainsketch.job.ask import run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.water.circular import slope_for_velocity
from drainsketch.water.flows import SIZES
from drainsketch.water.rain import depth_in
from drainsketch.water.results import Head, Water
from drainsketch.water.tailwater import FAR_FT

SLOPE = 0.02  # common practice, no source: on steeper ground water does not stand over a grate, it runs past


def storm_findings(job: Job, water: Water, ground: GroundStudy | None = None) -> list[Finding]:
    """Return the findings of the water review.

    Parameters
    ----------
    ground : what water does on the surface; None where no shots say

    Source of the limits: ``resources/catalogue/findings.toml``. Check: tests/water/test_checks.py
    """
    if not job.runs:
        return []
    if water.lacking:
        return [finding("no_rain", Place())]
    found = _rain(water) + _storm(job) + _pipes(job, water) + _grates(job, water) + _wells(job, water)
    found += _tailwaters(job, water)
    found += _on_slope(job, water, ground) if ground is not None else []
    found += [_backs_up(job, water, water.heads[name]) for name in water.over]
    if water.unmeasured:
        found.append(finding("no_area", Place(ids=water.unmeasured), inlets=water.unmeasured))
    return found


def _backs_up(job: Job, water: Water, head: Head) -> Finding:
    """Return that water stands over a rim, with what comes out there and where it runs, where it comes out there and not lower down."""
    place, over_ft = _at(job, head.structure), -head.freeboard_ft
    escape = water.escapes.get(head.structure)
    if escape is None or escape.flow_cfs <= 0:  # what came out of others may run past
        return finding("backs_up", place, value=over_ft, limit=0.0, structure=head.structure)
    kind = {"inlet": "comes_out_onward", "edge": "comes_out_off"}.get(escape.ends, "comes_out")
    onward = {"inlet": escape.at} if escape.at else {}
    return finding(kind, place, value=over_ft, limit=0.0, structure=head.structure, flow=escape.flow_cfs, params=onward)


def _rain(water: Water) -> list[Finding]:
    """Return where the table has no rain for the time asked: at inlets too soon for it, at inlets and in pipe too late."""
    asked = [(a.inlet, a.minutes, a.rain) for a in water.arrivals.values()]
    asked += [(p.run_id, p.minutes, p.rain) for p in water.pipes.values()]
    found = []
    if early := [x for x in asked if x[2].beyond == "shorter"]:
        inlets = tuple(name for name, _, _ in early if name in water.arrivals)
        soonest, limit = min((minutes, rain.nearest_min) for _, minutes, rain in early)
        found.append(finding("rain_beyond_table", Place(ids=inlets), value=soonest, limit=limit, inlets=inlets))
    if late := [x for x in asked if x[2].beyond == "longer"]:
        names = tuple(name for name, _, _ in late)
        latest, limit = max((minutes, rain.nearest_min) for _, minutes, rain in late)
        found.append(finding("rain_past_table", Place(ids=names), value=latest, limit=limit, things=names))
    return found


def _storm(job: Job) -> list[Finding]:
    """Return that the storm that is played lasts longer than the table goes, or not as long as it begins with."""
    amount, lasts = depth_in(job.rain, job.rain.storm_min), job.rain.storm_min
    if not amount.beyond:
        return []
    kind = "storm_past_table" if amount.beyond == "longer" else "storm_before_table"
    return [finding(kind, Place(), value=lasts, limit=amount.nearest_min)]


def _pipes(job: Job, water: Water) -> list[Finding]:
    found = []
    slow = []
    for flow in water.pipes.values():
        if flow.full_cfs is None or flow.velocity_ft_s is None:
            continue  # without a grade it carries nothing, which is said elsewhere
        place = Place(ids=(flow.run_id,), point=_middle(job, flow.run_id))
        if not flow.carries:
            kind = "pipe_too_small" if flow.needs_in else "pipe_too_small_for_stock"
            more = {"size": float(flow.needs_in or SIZES[-1])}
            if flow.most_cfs is not None:
                more["left"] = flow.flow_cfs - flow.most_cfs
            found.append(finding(kind, place, value=flow.flow_cfs, limit=flow.full_cfs, run=flow.run_id, params=more))
        elif 0 < flow.velocity_ft_s < job.water.self_cleansing_ft_s:
            slow.append(flow)
    if slow:
        runs = tuple(f.run_id for f in slow)
        least = min(f.velocity_ft_s or 0.0 for f in slow)
        limit = job.water.self_cleansing_ft_s
        fall = max(slope_for_velocity(limit, f.diameter_ft, f.n) for f in slow)
        more = {"slope": fall}
        found.append(finding("not_self_cleansing", Place(ids=runs), value=least, limit=limit, runs=runs, params=more))
    return found


def _grates(job: Job, water: Water) -> list[Finding]:
    return [
        finding(
            "grate_too_small" if g.needs_count else "grate_takes_none",
            _at(job, g.inlet),
            value=g.depth_ft,
            limit=g.allowed_ft,
            inlet=g.inlet,
            flow=g.flow_cfs,
            takes=g.takes_cfs,
            count=g.needs_count,
        )
        for g in water.grates.values()
        if g.depth_ft > g.allowed_ft
    ]


def _on_slope(job: Job, water: Water, ground: GroundStudy) -> list[Finding]:
    """Return the grates that stand on a slope and are reckoned as if water could stand over them."""
    over_ft = job.water.grate_ponding_in / 12
    steep = {i: s for i, s in sloping_grates(ground, over_ft).items() if i in water.grates and s > SLOPE}
    if not steep:
        return []
    names, deep = tuple(steep), {"over": job.water.grate_ponding_in}
    value = max(steep.values())
    return [finding("grate_on_slope", Place(ids=names), value=value, limit=SLOPE, inlets=names, params=deep)]


def _tailwaters(job: Job, water: Water) -> list[Finding]:
    found = []
    for t in water.tailwaters:
        kind, limit = ("tailwater_high", FAR_FT) if t.over == "ground" else ("tailwater_over_rims", 0.0)
        more = {"inlet": t.rim_of} if t.rim_of else {}
        place = _at(job, t.outfall)
        found.append(
            finding(kind, place, value=t.by_ft, limit=limit, structure=t.outfall, level=t.level_ft, params=more)
        )
    return found


def _wells(job: Job, water: Water) -> list[Finding]:
    found = []
    for well in water.wells.values():
        place = _at(job, well.outfall)
        if well.room_ft3 is None:  # where a drain ends in it that has no room for stone, nobody else tells
            found.append(finding("dry_well_unproved", place, structure=well.outfall))
        if well.room_ft3 is None or well.balance is None:
            continue  # what is not known of it is told of the outfall
        held = well.balance.holds_ft3
        if well.is_short:
            kind, more = "well_far_too_small", {}
            if well.needs_length_ft is not None:
                kind, more = "well_too_small", {"length": well.needs_length_ft}
            elif well.needs_trench_ft is not None and well.spill_ft is not None:
                kind, more = "trench_too_short", {"length": well.needs_trench_ft, "level": well.spill_ft}
            found.append(
                finding(
                    kind,
                    place,
                    value=held * GALLONS_PER_FT3,
                    limit=well.room_ft3 * GALLONS_PER_FT3,
                    structure=well.outfall,
                    params=more,
                )
            )
        if well.balance.at_end:
            found.append(
                finding("well_rain_short", place, value=well.balance.duration_min, limit=None, structure=well.outfall)
            )
        if well.drawdown_h is not None and well.drawdown_h > job.water.drawdown_h:
            found.append(
                finding("well_slow", place, value=well.drawdown_h, limit=job.water.drawdown_h, structure=well.outfall)
            )
    return found


def _at(job: Job, structure: str) -> Place:
    return Place(ids=(structure,), point=structures_by_id(job)[structure].point)


def _middle(job: Job, run_id: str) -> Point:
    """Return the place halfway along a run."""
    run = next(r for r in job.runs if r.id == run_id)
    middle = shapely.LineString(run_points(run, structures_by_id(job))).interpolate(0.5, normalized=True)
    return (middle.x, middle.y)
