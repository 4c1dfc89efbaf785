"""What each crossing calls for: the gravest thing said of it, and what else a crew has to know before it digs there."""

from collections.abc import Collection
from itertools import groupby

from drainsketch.findings import Finding, Param, Place, finding
from drainsketch.job.model import Job, Service
from drainsketch.network.buried import unlikely
from drainsketch.network.meetings import SHALLOW_DEG
from drainsketch.network.results import Crossing

SLACK_FT = 1e-4  # less than any level can be shot or dug to


def crossing_findings(job: Job, crossings: tuple[Crossing, ...], not_laid: Collection[str] = ()) -> list[Finding]:
    """Return one finding for each crossing, the gravest, and what is said beside it.

    Every crossing of a service has one: a service that was not uncovered here is never passed over in silence.

    Parameters
    ----------
    not_laid : runs whose pipe cannot be laid as drawn; their crossings know no level of it
    """
    found: list[Finding] = []
    of_services = [c for c in crossings if c.other_kind != "run"]
    for c in crossings:
        found += _run_over_run(c) if c.other_kind == "run" else [_of_service(c, not_laid)]
    services = {s.id: s for s in job.services}
    for c in of_services:
        found += _along(c) + _water_below(c) + _misread(c, services[c.other])
    return found + _grades_unknown(of_services) + _crowded(of_services)


def _place(c: Crossing) -> Place:
    return Place(ids=(c.run_id, c.other), point=c.point, station_ft=c.station_ft)


def _params(c: Crossing) -> dict[str, Param]:
    return {
        "number": c.number,
        "run": c.run_id,
        "other": c.other,
        "service": c.other_kind,
        "hand_dig": c.hand_dig_ft,
        "pipe_depth": c.pipe_depth_ft,
        "service_depth": c.service_depth_ft,
        "error": c.service_error_ft,
        "known_by": c.known_by,
        "position": c.position,
        "rule": c.rule,
        "works_deeper": None if c.seen else c.works_deeper_ft,  # what was seen lies where it lies
        "works_shallower": None if c.seen else c.works_shallower_ft,
    }


def _run_over_run(c: Crossing) -> list[Finding]:
    if c.position == "meets":
        return [finding("runs_meet", _place(c), value=c.clearance_ft, limit=0.0, params=_params(c))]
    return [finding("runs_cross", _place(c), params=_params(c))] if c.position == "unknown" else []


def _of_service(c: Crossing, not_laid: Collection[str]) -> Finding:
    place, params = _place(c), _params(c)
    if c.clearance_ft is None or c.least_clearance_ft is None:
        known = "no_pipe_level" if c.run_id in not_laid else "clearance_unknown"
        kind = "depth_unknown" if c.service_depth_ft is None else known
        return finding(kind, place, params=params)
    short_ft = c.need_ft - SLACK_FT
    if c.clearance_ft < 0:
        return finding("meets_service", place, value=c.clearance_ft, limit=c.need_ft, params=params)
    if c.clearance_ft < short_ft:
        return finding("close_to_service", place, value=c.clearance_ft, limit=c.need_ft, params=params)
    if not c.seen:
        kind = "may_meet_service" if c.least_clearance_ft < 0 else "depth_unproved"
        return finding(kind, place, value=c.clearance_ft, limit=c.need_ft, params=params)
    if c.least_clearance_ft < short_ft:
        return finding("close_to_service", place, value=c.least_clearance_ft, limit=c.need_ft, params=params)
    return finding("hand_dig", place, value=c.clearance_ft, limit=c.need_ft, params=params)


def _misread(c: Crossing, service: Service) -> list[Finding]:
    """A measured level by which the service would lie above the ground, or deeper than services do."""
    if not service.exposed or c.service_depth_ft is None or not unlikely(service, c.service_depth_ft):
        return []
    levels: dict[str, Param] = {"level": c.service_top_ft, "ground": c.ground_ft}
    return [finding("exposure_unlikely", _place(c), value=c.service_depth_ft, params=_params(c) | levels)]


def _along(c: Crossing) -> list[Finding]:
    """A run that goes along a service rather than across it: most of a hand-dug stretch could be saved."""
    if c.angle_deg >= SHALLOW_DEG:
        return []
    return [finding("along_service", _place(c), value=c.hand_dig_ft, params=_params(c), angle=c.angle_deg)]


def _water_below(c: Crossing) -> list[Finding]:
    if c.other_kind != "water" or c.position != "over" or c.least_clearance_ft is None:
        return []
    if c.least_clearance_ft >= c.need_over_ft - SLACK_FT:
        return []
    return [finding("water_below_drain", _place(c), value=c.clearance_ft, limit=c.need_over_ft, params=_params(c))]


def _grades_unknown(crossings: list[Crossing]) -> list[Finding]:
    """Sewers and drain lines whose depth is said for a crossing though nobody knows their grade: one finding each."""
    found: dict[str, Finding] = {}
    for c in crossings:
        if not c.grade_known and not c.seen and c.service_depth_ft is not None and c.other not in found:
            place = Place(ids=(c.other, c.run_id), point=c.point, station_ft=c.station_ft)
            found[c.other] = finding("grade_unknown", place, service=c.other, depth=c.service_depth_ft)
    return list(found.values())


def _crowded(crossings: list[Crossing]) -> list[Finding]:
    """Several services whose hand-dug stretches on one run reach into each other: one finding names them all."""
    found = []
    for run_id, some in groupby(crossings, key=lambda c: c.run_id):
        group: list[Crossing] = []
        for c in sorted(some, key=lambda c: c.hand_dig_from_ft):
            if group and c.hand_dig_from_ft >= max(g.hand_dig_to_ft for g in group):
                found += _one_hole(run_id, group)
                group = []
            group.append(c)
        found += _one_hole(run_id, group)
    return found


def _one_hole(run_id: str, group: list[Crossing]) -> list[Finding]:
    services = tuple(dict.fromkeys(c.other for c in group))
    if len(services) < 2:
        return []
    from_ft, to_ft = group[0].hand_dig_from_ft, max(c.hand_dig_to_ft for c in group)
    place = Place(ids=(run_id, *services), point=group[0].point, station_ft=group[0].station_ft)
    numbers = ", ".join(str(n) for n in sorted(c.number for c in group))
    params: dict[str, Param] = {"run": run_id, "services": services, "numbers": numbers}
    return [finding("services_crowded", place, value=to_ft - from_ft, params=params, low=from_ft, high=to_ft)]
