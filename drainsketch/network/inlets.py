"""Structures against the ground, their own rims and their pins, and the holes dug for them."""

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.kinds import Point
from drainsketch.network.downhill import LADDER_FT, SHORING_FT, SLACK_FT, is_cover_asked
from drainsketch.network.grades import Bounds, pinned_ft
from drainsketch.network.graph import INLET_KINDS
from drainsketch.network.results import Grade, Shortfall, StructureLevels

RIM_HIGH_FT, RIM_LOW_FT = 0.1, 0.5  # common practice, no source: a grate is set flush or a little low


def inlet_findings(
    bounds: Bounds, levels: dict[str, StructureLevels], grades: dict[str, Grade], short: tuple[Shortfall, ...]
) -> list[Finding]:
    """Return grates off the ground, pipe above the grate it serves, pins that contradict each other and deep holes.

    Parameters
    ----------
    short : structures that cannot drain at all; their pipe is left out
    """
    lost = {s.structure for s in short}
    told_deep = {g.run_id for g in grades.values() if g.greatest_cut_ft >= SHORING_FT - SLACK_FT}
    at: dict[str, list[tuple[str, float]]] = {s.id: [] for s in bounds.job.structures}  # (run, its invert here)
    for flow in bounds.network.runs:
        at[flow.upstream].append((flow.id, grades[flow.id].invert_up_ft))
        at[flow.downstream].append((flow.id, grades[flow.id].invert_down_ft))
    found = _pins(bounds, grades)
    for s in bounds.job.structures:
        column = levels[s.id]
        if s.kind in INLET_KINDS:
            found += _rim(column, s.point)
            found += [] if s.id in lost else _pipe_over_rim(column, bounds, grades, at[s.id])
        if s.kind == "basin" and not told_deep & {run for run, _ in at[s.id]}:
            found += _deep_hole(column, bounds, at[s.id])
    return found


def _rim(column: StructureLevels, point: Point) -> list[Finding]:
    over = column.rim_ft - column.ground_ft
    if -RIM_LOW_FT <= over <= RIM_HIGH_FT:
        return []
    kind, limit = ("rim_high", RIM_HIGH_FT) if over > 0 else ("rim_low", RIM_LOW_FT)
    place = Place(ids=(column.id,), point=point)
    return [finding(kind, place, value=abs(over), limit=limit, structure=column.id, rim=column.rim_ft)]


def _pipe_over_rim(
    column: StructureLevels, bounds: Bounds, grades: dict[str, Grade], ends: list[tuple[str, float]]
) -> list[Finding]:
    """The highest pipe at an inlet, when its top stands above the grate and nothing else has told that it is out of the ground."""
    tops = [
        (invert + bounds.top_ft(run), run)
        for run, invert in ends
        if not (is_cover_asked(grades[run]) and grades[run].asked_cover_ft < -SLACK_FT)
    ]
    top, run = max(tops, default=(column.rim_ft, ""))
    if top <= column.rim_ft + SLACK_FT:
        return []
    place = Place(ids=(column.id, run), point=bounds.structures[column.id].point)
    return [
        finding(
            "pipe_over_rim",
            place,
            value=top - column.rim_ft,
            limit=0.0,
            structure=column.id,
            run=run,
            rim=column.rim_ft,
        )
    ]


def _deep_hole(column: StructureLevels, bounds: Bounds, ends: list[tuple[str, float]]) -> list[Finding]:
    """A basin's hole that goes deeper than the trenches beside it, into what needs a ladder or has to be shored."""
    c = bounds.job.criteria
    if not ends:
        return []
    depth = column.ground_ft - min(invert for _, invert in ends) + (c.basin_sump_in + c.basin_bed_in) / 12
    if depth < LADDER_FT - SLACK_FT:
        return []
    place = Place(ids=(column.id,), point=bounds.structures[column.id].point)
    kind, limit = ("hole_needs_ladder", LADDER_FT) if depth < SHORING_FT - SLACK_FT else ("hole_to_shore", SHORING_FT)
    return [finding(kind, place, value=depth, limit=limit, structure=column.id)]


def _pins(bounds: Bounds, grades: dict[str, Grade]) -> list[Finding]:
    """Levels set at a structure and at a run that leaves it, when they differ; and pipe set above the fitting it enters."""
    found = []
    leaving: dict[str, float] = {}
    for flow in bounds.network.runs:
        invert = grades[flow.id].invert_up_ft
        leaving[flow.upstream] = min(invert, leaving.get(flow.upstream, invert))
    for flow in bounds.network.runs:
        above, below = bounds.structures[flow.upstream], bounds.structures[flow.downstream]
        pin = pinned_ft(bounds.runs[flow.id], flow, "up")
        if pin is not None and above.invert_ft is not None and abs(pin - above.invert_ft) > SLACK_FT:
            place = Place(ids=(above.id, flow.id), point=above.point)
            found.append(
                finding(
                    "pins_disagree",
                    place,
                    value=abs(pin - above.invert_ft),
                    limit=0.0,
                    structure=above.id,
                    run=flow.id,
                    level=above.invert_ft,
                    pin=pin,
                )
            )
        drop = grades[flow.id].invert_down_ft - leaving.get(below.id, grades[flow.id].invert_down_ft)
        if below.kind != "basin" and drop > SLACK_FT:
            place = Place(ids=(below.id, flow.id), point=below.point)
            found.append(finding("drops_at_fitting", place, value=drop, limit=0.0, structure=below.id, run=flow.id))
    return found
