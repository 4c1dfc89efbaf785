"""Downhill check: what the placed pipe makes of fall, cover, depth and outfalls."""

import numpy as np

from drainsketch.findings import Finding, Param, Place, finding
from drainsketch.job.model import Job, Structure
from drainsketch.network.grades import Bounds
from drainsketch.network.results import Crossing, FlowRun, Grade, InletPath, Network, Profile, Shortfall

SLACK_FT = 1e-4  # less than any level can be shot or dug to
LADDER_FT, SHORING_FT = 4.0, 5.0  # 29 CFR 1926.651(c)(2) and 652(a)(1)


def fall_findings(
    bounds: Bounds, grades: dict[str, Grade], short: tuple[Shortfall, ...], paths: tuple[InletPath, ...]
) -> list[Finding]:
    """Return what keeps water from its outfall: structures too low, runs that rise or lie flat, pipe that steps up."""
    outfall = {p.inlet: p for p in paths}
    found = []
    for s in short:
        path = outfall.get(s.structure)
        place = Place(ids=(s.structure,), point=bounds.structures[s.structure].point)
        found.append(
            finding(
                "cannot_drain",
                place,
                value=s.short_ft,
                limit=0.0,
                structure=s.structure,
                outfall=path.outfall if path else None,
                length=path.length_ft if path else None,
                slope=bounds.job.criteria.min_slope,
                needed=s.needed_ft,
                highest=s.highest_ft,
            )
        )
    for flow in bounds.network.runs:
        found += _slope(bounds, flow, grades[flow.id]) + _steps_up(bounds, flow, grades)
    return found


def _middle(flow: FlowRun, profile: Profile) -> tuple[float, float]:
    i = len(profile.station_ft) // 2
    return float(profile.x_ft[i]), float(profile.y_ft[i])


def _at_station(profile: Profile, station_ft: float) -> tuple[float, float]:
    i = int(abs(profile.station_ft - station_ft).argmin())
    return float(profile.x_ft[i]), float(profile.y_ft[i])


def _slope(bounds: Bounds, flow: FlowRun, grade: Grade) -> list[Finding]:
    c = bounds.job.criteria
    place = Place(ids=(flow.id,), point=_middle(flow, bounds.profiles[flow.id]))
    fall = grade.invert_up_ft - grade.invert_down_ft
    params: dict[str, Param] = {
        "run": flow.id,
        "fall": fall,
        "length": flow.length_ft,
        "up": flow.upstream,
        "down": flow.downstream,
    }
    if fall < -SLACK_FT:
        return [finding("run_rises", place, value=grade.slope, limit=c.min_slope, params=params, rise=-fall)]
    if fall < SLACK_FT and c.min_slope > 0:
        return [finding("run_level", place, value=grade.slope, limit=c.min_slope, params=params)]
    if fall < c.min_slope * flow.length_ft - SLACK_FT:
        return [finding("run_flat", place, value=grade.slope, limit=c.min_slope, params=params)]
    if fall > c.max_slope * flow.length_ft + SLACK_FT:
        return [finding("run_steep", place, value=grade.slope, limit=c.max_slope, params=params)]
    return []


def _steps_up(bounds: Bounds, flow: FlowRun, grades: dict[str, Grade]) -> list[Finding]:
    """A run that arrives at a structure below the pipe that leaves it."""
    found = []
    for below in bounds.network.runs:
        if below.upstream == flow.downstream:
            step = grades[below.id].invert_up_ft - grades[flow.id].invert_down_ft
            if step > SLACK_FT:
                place = Place(ids=(flow.downstream, flow.id, below.id), point=bounds.structures[flow.downstream].point)
                found.append(
                    finding(
                        "steps_up", place, value=step, limit=0.0, run=flow.id, below=below.id, structure=flow.downstream
                    )
                )
    return found


def depth_findings(bounds: Bounds, grades: dict[str, Grade], short: tuple[Shortfall, ...]) -> list[Finding]:
    """Return pipe with too little cover, and trenches deep enough for the excavation rules.

    Pipe at a structure that cannot drain at all is left out: its levels are only what would be needed.
    """
    lost = {s.structure for s in short}
    found = []
    for flow in bounds.network.runs:
        g, profile = grades[flow.id], bounds.profiles[flow.id]
        if not lost & {flow.upstream, flow.downstream}:
            found += _cover(flow, g, profile, bounds.job.criteria.min_cover_in / 12)
        found += _deep(flow, g, profile) + _guessed(flow, profile)
    return found


def _cover(flow: FlowRun, g: Grade, profile: Profile, need_ft: float) -> list[Finding]:
    is_asked = g.cover_from_station_ft < flow.length_ft - SLACK_FT
    if not is_asked or g.least_cover_ft >= need_ft - SLACK_FT:
        return []
    station_ft = g.least_cover_station_ft
    place = Place(ids=(flow.id,), point=_at_station(profile, station_ft), station_ft=station_ft)
    kind = "out_of_ground" if g.least_cover_ft < -SLACK_FT else "shallow_cover"
    return [finding(kind, place, value=g.least_cover_ft, limit=need_ft, run=flow.id, above=-g.least_cover_ft)]


def _deep(flow: FlowRun, g: Grade, profile: Profile) -> list[Finding]:
    if g.greatest_cut_ft < LADDER_FT - SLACK_FT:
        return []
    station_ft = g.greatest_cut_station_ft
    place = Place(ids=(flow.id,), point=_at_station(profile, station_ft), station_ft=station_ft)
    is_to_shore = g.greatest_cut_ft >= SHORING_FT - SLACK_FT
    kind, limit = ("trench_to_shore", SHORING_FT) if is_to_shore else ("trench_needs_ladder", LADDER_FT)
    return [finding(kind, place, value=g.greatest_cut_ft, limit=limit, run=flow.id)]


def _guessed(flow: FlowRun, profile: Profile) -> list[Finding]:
    steps = np.diff(profile.station_ft)
    guessed_ft = float((steps * (profile.guess[:-1] + 1.0 * profile.guess[1:]) / 2).sum())
    if guessed_ft <= 1.0:
        return []
    station_ft = float(profile.station_ft[profile.guess.argmax()])
    place = Place(ids=(flow.id,), point=_at_station(profile, station_ft), station_ft=station_ft)
    return [finding("ground_guessed", place, value=guessed_ft, run=flow.id, length=flow.length_ft)]


def outfall_findings(job: Job, network: Network, paths: tuple[InletPath, ...], bounds: Bounds | None) -> list[Finding]:
    """Return what has to be settled at the outfalls: measured levels, emitters above their inlets, the right to discharge."""
    found = []
    for s in job.structures:
        if s.kind != "outfall" or s.id not in network.outfalls:
            continue
        place = Place(ids=(s.id,), point=s.point)
        if s.outfall == "tie-in" and s.invert_ft is None:
            found.append(finding("tie_in_unmeasured", place, structure=s.id))
        if s.outfall == "dry well":
            found.append(finding("dry_well_unproved", place, structure=s.id))
        if bounds is not None:
            found += _at_outfall(s, place, paths, bounds)
        found.append(finding("discharge_right", place, structure=s.id))
    return found


def _at_outfall(s: Structure, place: Place, paths: tuple[InletPath, ...], bounds: Bounds) -> list[Finding]:
    found = []
    if (s.outfall or "daylight") == "daylight" and s.invert_ft is not None:
        under = bounds.ground[s.id] - s.invert_ft
        if under > 1 / 12:
            found.append(finding("outfall_buried", place, value=under, limit=0.0, structure=s.id))
    if s.outfall == "pop-up":
        for path in paths:
            if path.outfall == s.id:
                rim, lid = bounds.rim[path.inlet], bounds.rim[s.id]
                if rim <= lid + SLACK_FT:
                    here = Place(ids=(path.inlet, s.id), point=bounds.structures[path.inlet].point)
                    found.append(
                        finding(
                            "emitter_too_high",
                            here,
                            value=rim - lid,
                            limit=0.0,
                            inlet=path.inlet,
                            outfall=s.id,
                            rim=rim,
                            lid=lid,
                        )
                    )
    return found


def crossing_findings(job: Job, crossings: tuple[Crossing, ...]) -> list[Finding]:
    """Return what each crossing calls for: one finding each, the gravest."""
    need_ft = job.criteria.clearance_in / 12
    found = []
    for c in crossings:
        place = Place(ids=(c.run_id, c.other), point=c.point, station_ft=c.station_ft)
        params: dict[str, Param] = {
            "number": c.number,
            "run": c.run_id,
            "other": c.other,
            "service": c.other_kind,
            "hand_dig": c.hand_dig_ft,
        }
        depths = {"pipe_depth": c.pipe_depth_ft, "service_depth": c.service_depth_ft}
        if c.other_kind == "run":
            if c.position == "meets":
                found.append(finding("runs_meet", place, value=c.clearance_ft, limit=0.0, params=params))
            elif c.position == "unknown":
                found.append(finding("runs_cross", place, params=params))
        elif c.service_depth_ft is None:
            found.append(finding("depth_unknown", place, params=params, pipe_depth=c.pipe_depth_ft))
        elif c.clearance_ft is None:
            found.append(finding("clearance_unknown", place, params=params, **depths))
        elif c.position == "meets":
            found.append(finding("meets_service", place, value=c.clearance_ft, limit=need_ft, params=params, **depths))
        elif c.clearance_ft < need_ft - SLACK_FT:
            found.append(
                finding(
                    "close_to_service",
                    place,
                    value=c.clearance_ft,
                    limit=need_ft,
                    params=params,
                    **depths,
                    position=c.position,
                )
            )
        elif c.known_by != "exposed":
            found.append(
                finding(
                    "depth_unproved",
                    place,
                    value=c.clearance_ft,
                    limit=need_ft,
                    params=params,
                    **depths,
                    known_by=c.known_by,
                    position=c.position,
                )
            )
        else:
            found.append(
                finding(
                    "hand_dig", place, value=c.clearance_ft, limit=need_ft, params=params, **depths, position=c.position
                )
            )
    return found
