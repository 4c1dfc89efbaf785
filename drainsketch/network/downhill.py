"""Downhill check: what the placed pipe makes of fall, cover, depth and crossings."""

import numpy as np

from drainsketch.findings import Finding, Param, Place, finding
from drainsketch.network.grades import MAKE_GOOD_FT, Bounds
from drainsketch.network.pins import pin_findings, pins_too_high
from drainsketch.network.results import Floats, FlowRun, Grade, Profile, Shortfall

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
                slope=bounds.slopes(leaving[s.structure][0].id)[0],
                needed=s.needed_ft,
                highest=s.highest_ft,
            )
        )
    for flow in bounds.network.runs:
        found += _slope(bounds, flow, grades[flow.id]) + _stiff(bounds, flow)
        found += _steps_up(bounds, flow, grades, leaving.get(flow.downstream, []))
        found += _little_drop(bounds, flow, grades, leaving.get(flow.downstream, []))
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
    """What is wrong with the slope of a run: of its flattest leg, or else of its steepest."""
    profile = bounds.profiles[flow.id]
    if not flow.length_ft:
        return [
            finding("run_without_length", Place(ids=(flow.id,), point=_middle(flow, profile)), params=_said(flow, 0, 0))
        ]
    least, greatest = bounds.slopes(flow.id)
    flattest = min(grade.legs, key=lambda leg: leg[1])
    steepest = max(grade.legs, key=lambda leg: leg[1])
    place = Place(ids=(flow.id,), point=_middle(flow, profile))
    length_ft, slope = flattest
    fall = length_ft * slope
    params = _said(flow, fall, length_ft)
    if fall < -SLACK_FT:
        return [finding("run_rises", place, value=slope, limit=least, params=params, rise=-fall)]
    if fall < min(SLACK_FT, length_ft * LEVEL):
        return [finding("run_level", place, value=slope, limit=least, params=params)]
    if fall < least * length_ft - SLACK_FT:
        return [finding("run_flat", place, value=slope, limit=least, params=params)]
    length_ft, slope = steepest
    if slope * length_ft > greatest * length_ft + SLACK_FT:
        params = _said(flow, slope * length_ft, length_ft)
        return [finding("run_steep", place, value=slope, limit=greatest, params=params)]
    return []


def _stiff(bounds: Bounds, flow: FlowRun) -> list[Finding]:
    """Grade breaks asked of pipe that does not bend."""
    run = bounds.runs[flow.id]
    if not run.grade_breaks or bounds.size(flow.id).flexible:
        return []
    place = Place(ids=(flow.id,), point=_middle(flow, bounds.profiles[flow.id]))
    return [finding("grade_breaks_stiff", place, run=flow.id, pipe=run.pipe)]


def _said(flow: FlowRun, fall_ft: float, length_ft: float) -> dict[str, Param]:
    return {"run": flow.id, "fall": fall_ft, "length": length_ft, "up": flow.upstream, "down": flow.downstream}


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


def _little_drop(bounds: Bounds, flow: FlowRun, grades: dict[str, Grade], leaving: list[FlowRun]) -> list[Finding]:
    """A run that enters a basin with less than the drop asked, but with no step up."""
    basin, asked_ft = bounds.structures[flow.downstream], bounds.job.criteria.basin_drop_in / 12
    if basin.kind != "basin" or not leaving or not asked_ft:
        return []
    drop = grades[flow.id].invert_down_ft - min(grades[f.id].invert_up_ft for f in leaving)
    if not -SLACK_FT <= drop < asked_ft - SLACK_FT:
        return []
    place = Place(ids=(basin.id, flow.id), point=basin.point)
    return [finding("drop_small", place, value=drop, limit=asked_ft, run=flow.id, structure=basin.id)]


def depth_findings(bounds: Bounds, grades: dict[str, Grade], short: tuple[Shortfall, ...]) -> list[Finding]:
    """Return pipe with too little cover, and trenches deep enough for the excavation rules.

    Pipe at a structure that cannot drain at all is left out: its levels are only what would be needed.
    """
    lost = {s.structure for s in short}
    ends = _ends(bounds)
    found = []
    for flow in bounds.network.runs:
        g, profile = grades[flow.id], bounds.profiles[flow.id]
        if not lost & {flow.upstream, flow.downstream}:
            found += _cover(flow, g, profile, g.cover_need_ft)
            found += _hangs(flow, g, profile) or _bare(ends, flow, g, profile)
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
    if -g.least_cover_ft - g.top_above_invert_ft <= MAKE_GOOD_FT + SLACK_FT:
        return []
    above = g.inverts_at(profile.station_ft) - profile.ground_ft
    if is_cover_asked(g):
        above = above[profile.station_ft < g.cover_from_station_ft]
    if not len(above):
        return []
    i = int(np.argmax(above))
    if above[i] <= MAKE_GOOD_FT + SLACK_FT:
        return []
    place = _place_at(flow, profile, float(profile.station_ft[i]))
    return [finding("hangs", place, value=float(above[i]), limit=MAKE_GOOD_FT, run=flow.id, down=flow.downstream)]


def _bare(ends: dict[str, tuple[str, float]], flow: FlowRun, g: Grade, profile: Profile) -> list[Finding]:
    """Pipe whose top shows for a good length where it comes out into the open; a foot or two of it is cut to the slope."""
    if g.least_cover_ft >= -SLACK_FT or not g.cover_from_station_ft:
        return []
    cover = profile.ground_ft - g.inverts_at(profile.station_ft) - g.top_above_invert_ft
    bare_ft = bare_length_ft(profile.station_ft, cover, g.cover_from_station_ft)
    if bare_ft <= BARE_FT + SLACK_FT:
        return []
    outfall = ends[flow.downstream][0]
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
    if not profile.guess.any():
        return []
    steps = np.diff(profile.station_ft)
    guessed_ft = float((steps * (profile.guess[:-1] + 1.0 * profile.guess[1:]) / 2).sum())
    if guessed_ft <= 1.0:
        return []
    place = _place_at(flow, profile, float(profile.station_ft[profile.guess.argmax()]))
    return [finding("ground_guessed", place, value=guessed_ft, run=flow.id, length=flow.length_ft)]
