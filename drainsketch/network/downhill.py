"""Downhill check: what the placed pipe makes of fall, cover, depth and crossings."""

import numpy as np

from drainsketch.findings import Finding, Param, Place, finding
from drainsketch.job.model import Job
from drainsketch.network.grades import MAKE_GOOD_FT, Bounds
from drainsketch.network.pins import pin_findings, pins_too_high
from drainsketch.network.results import Crossing, Floats, FlowRun, Grade, Profile, Shortfall

LEVEL = 1e-4  # ft/ft: an eighth of an inch in a hundred feet lies level for anyone
SLACK_FT = 1e-4  # less than any level can be shot or dug to
BARE_FT = 2.0  # common practice, no source: so much of the end shows anyway, cut to the slope of the ground
LADDER_FT, SHORING_FT = 4.0, 5.0  # 29 CFR 1926.651(c)(2) and 652(a)(1)


def fall_findings(bounds: Bounds, grades: dict[str, Grade], short: tuple[Shortfall, ...]) -> list[Finding]:
    """Return what keeps water from its outfall: pins too high, structures too low, runs that rise or lie flat, pipe that steps up."""
    ends = _ends(bounds) if short else {}
    leaving: dict[str, list[FlowRun]] = {}
    for flow in bounds.network.runs:
        leaving.setdefault(flow.upstream, []).append(flow)
    pins = pins_too_high(bounds, short)
    kept = {s for some in pins.values() for s in some}
    found = pin_findings(bounds, pins)
    for s in short:
        if s.structure in kept:
            continue
        outfall, length_ft = ends[s.structure]
        place = Place(ids=(s.structure,), point=bounds.structures[s.structure].point)
        found.append(
            finding(
                "cannot_drain",
                place,
                value=s.short_ft,
                limit=0.0,
                structure=s.structure,
                outfall=outfall,
                length=length_ft,
                slope=bounds.job.criteria.min_slope,
                needed=s.needed_ft,
                highest=s.highest_ft,
            )
        )
    for flow in bounds.network.runs:
        found += _slope(bounds, flow, grades[flow.id])
        found += _steps_up(bounds, flow, grades, leaving.get(flow.downstream, []))
    return found


def _ends(bounds: Bounds) -> dict[str, tuple[str, float]]:
    """Return the outfall that each structure's water comes to, and how far away it is along the pipe, ft."""
    ends = {o: (o, 0.0) for o in bounds.network.outfalls}
    for flow in reversed(bounds.network.runs):
        outfall, off_ft = ends[flow.downstream]
        known = ends.get(flow.upstream)
        if known is None or known[1] > off_ft + flow.length_ft:
            ends[flow.upstream] = (outfall, off_ft + flow.length_ft)
    return ends


def _middle(flow: FlowRun, profile: Profile) -> tuple[float, float]:
    i = len(profile.station_ft) // 2
    return float(profile.x_ft[i]), float(profile.y_ft[i])


def _at_station(profile: Profile, station_ft: float) -> tuple[float, float]:
    i = int(abs(profile.station_ft - station_ft).argmin())
    return float(profile.x_ft[i]), float(profile.y_ft[i])


def _place_at(flow: FlowRun, profile: Profile, station_ft: float) -> Place:
    return Place(ids=(flow.id,), point=_at_station(profile, station_ft), station_ft=station_ft)


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
    if not flow.length_ft:
        return [finding("run_without_length", place, params=params)]
    if fall < -SLACK_FT:
        return [finding("run_rises", place, value=grade.slope, limit=c.min_slope, params=params, rise=-fall)]
    if fall < min(SLACK_FT, flow.length_ft * LEVEL):
        return [finding("run_level", place, value=grade.slope, limit=c.min_slope, params=params)]
    if fall < c.min_slope * flow.length_ft - SLACK_FT:
        return [finding("run_flat", place, value=grade.slope, limit=c.min_slope, params=params)]
    if fall > c.max_slope * flow.length_ft + SLACK_FT:
        return [finding("run_steep", place, value=grade.slope, limit=c.max_slope, params=params)]
    return []


def _steps_up(bounds: Bounds, flow: FlowRun, grades: dict[str, Grade], leaving: list[FlowRun]) -> list[Finding]:
    """A run that arrives at a structure below the pipe that leaves it."""
    found = []
    for below in leaving:
        step = grades[below.id].invert_up_ft - grades[flow.id].invert_down_ft
        if step > SLACK_FT:
            at = flow.downstream
            place = Place(ids=(at, flow.id, below.id), point=bounds.structures[at].point)
            found.append(finding("steps_up", place, value=step, limit=0.0, run=flow.id, below=below.id, structure=at))
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
            found += _hangs(flow, g, profile) or _bare(bounds, flow, g, profile)
        found += _deep(flow, g, profile) + _guessed(flow, profile)
    return found


def _cover(flow: FlowRun, g: Grade, profile: Profile, need_ft: float) -> list[Finding]:
    cover_ft = g.asked_cover_ft
    if not is_cover_asked(g) or cover_ft >= need_ft - SLACK_FT:
        return []
    place = _place_at(flow, profile, g.asked_cover_station_ft)
    kind = "out_of_ground" if cover_ft < -SLACK_FT else "shallow_cover"
    return [finding(kind, place, value=cover_ft, limit=need_ft, run=flow.id, down=flow.downstream, above=-cover_ft)]


def is_cover_asked(g: Grade) -> bool:
    """Return whether any of a run lies upstream of the taper to an open outfall."""
    return g.cover_from_station_ft < g.length_ft - SLACK_FT


def _hangs(flow: FlowRun, g: Grade, profile: Profile) -> list[Finding]:
    """Pipe in the air on its last feet to an open outfall, where no cover is asked; elsewhere it is out of the ground."""
    above = g.invert_down_ft + g.slope * profile.station_ft - profile.ground_ft
    if is_cover_asked(g):
        above = above[profile.station_ft < g.cover_from_station_ft]
    if not len(above):
        return []
    i = int(np.argmax(above))
    if above[i] <= MAKE_GOOD_FT + SLACK_FT:
        return []
    place = _place_at(flow, profile, float(profile.station_ft[i]))
    return [finding("hangs", place, value=float(above[i]), limit=MAKE_GOOD_FT, run=flow.id, down=flow.downstream)]


def _bare(bounds: Bounds, flow: FlowRun, g: Grade, profile: Profile) -> list[Finding]:
    """Pipe whose top shows for a good length where it comes out into the open; a foot or two of it is cut to the slope."""
    if g.least_cover_ft >= -SLACK_FT or not g.cover_from_station_ft:
        return []
    cover = profile.ground_ft - g.invert_down_ft - g.slope * profile.station_ft - g.top_above_invert_ft
    bare_ft = bare_length_ft(profile.station_ft, cover, g.cover_from_station_ft)
    if bare_ft <= BARE_FT + SLACK_FT:
        return []
    outfall = _ends(bounds)[flow.downstream][0]
    place = Place(ids=(flow.id, outfall), point=_at_station(profile, 0.0), station_ft=0.0)
    return [finding("bare_at_daylight", place, value=bare_ft, limit=BARE_FT, run=flow.id, outfall=outfall)]


def bare_length_ft(station_ft: Floats, cover_ft: Floats, to_station_ft: float) -> float:
    """Return the length over which cover is below zero between station 0 and another, ft; cover is straight between stations.

    Source: plane geometry. Check: tests/network/test_daylight.py.
    """
    ends = np.append(station_ft[station_ft < to_station_ft], to_station_ft)
    cover = np.interp(ends, station_ft, cover_ft)
    low, high = np.minimum(cover[:-1], cover[1:]), np.maximum(cover[:-1], cover[1:])
    share = np.where(high <= 0, 1.0 * (low < 0), np.clip(-low, 0, None) / np.maximum(high - low, 1e-12))
    return float((share * np.diff(ends)).sum())


def _deep(flow: FlowRun, g: Grade, profile: Profile) -> list[Finding]:
    if g.greatest_cut_ft < LADDER_FT - SLACK_FT:
        return []
    place = _place_at(flow, profile, g.greatest_cut_station_ft)
    is_to_shore = g.greatest_cut_ft >= SHORING_FT - SLACK_FT
    kind, limit = ("trench_to_shore", SHORING_FT) if is_to_shore else ("trench_needs_ladder", LADDER_FT)
    return [finding(kind, place, value=g.greatest_cut_ft, limit=limit, run=flow.id, down=flow.downstream)]


def _guessed(flow: FlowRun, profile: Profile) -> list[Finding]:
    steps = np.diff(profile.station_ft)
    guessed_ft = float((steps * (profile.guess[:-1] + 1.0 * profile.guess[1:]) / 2).sum())
    if guessed_ft <= 1.0:
        return []
    place = _place_at(flow, profile, float(profile.station_ft[profile.guess.argmax()]))
    return [finding("ground_guessed", place, value=guessed_ft, run=flow.id, length=flow.length_ft)]


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
