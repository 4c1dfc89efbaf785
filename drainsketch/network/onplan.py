"""What the plan alone says, without levels, kept for every run that stays as it is while something else moves."""

from typing import Any

from msgspec import Struct

from drainsketch.findings import Finding
from drainsketch.job.ask import structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Structure
from drainsketch.network.beside import beside_findings, structures_beside, water_findings
from drainsketch.network.digging import width_of_ft
from drainsketch.network.drawing import drawing_findings
from drainsketch.network.meetings import Meeting, in_order, run_meetings, service_meetings
from drainsketch.network.setbacks import setback_findings, structures_in_buildings, structures_outside
from drainsketch.network.shapes import Shapes, in_zones, line_of


class RunOnPlan(Struct, frozen=True):
    """One run on the plan: its line (None when it has no length), where it meets services, and what it comes too near to."""

    run: Run
    ends: tuple[Structure, Structure]
    points: tuple[Point, ...]
    line: Any
    met: tuple[Meeting, ...]
    found: tuple[Finding, ...]


class OnPlan(Struct, frozen=True):
    """All that the plan alone says of a job. ``geometry``: shapely lines of the runs that have a length, by run id."""

    shapes: Shapes
    runs: dict[str, RunOnPlan]
    geometry: dict[str, Any]
    meetings: tuple[Meeting, ...]
    findings: tuple[Finding, ...]


def on_plan(job: Job, lines: dict[str, tuple[Point, ...]], shapes: Shapes, before: OnPlan | None) -> OnPlan:
    """Return what the plan of a job says.

    Parameters
    ----------
    lines : plan points of every run, upstream first
    before : of an earlier job; its runs are kept where they and the shapes are the same
    """
    by_id = structures_by_id(job)
    kept = before.runs if before is not None and before.shapes is shapes else {}
    runs = {}
    for run in job.runs:
        ends, points = (by_id[run.start], by_id[run.end]), lines[run.id]
        old = kept.get(run.id)
        same = old is not None and old.run == run and old.points == points and old.ends == ends
        runs[run.id] = old if old is not None and same else _run_on_plan(job, run, ends, points, shapes)
    geometry = {r.run.id: r.line for r in runs.values() if r.line is not None}
    met = [m for r in runs.values() for m in r.met] + run_meetings(job, lines, geometry)
    found = [f for r in runs.values() for f in r.found] + structures_outside(job, shapes)
    found += structures_in_buildings(job, shapes) + structures_beside(job, shapes) + drawing_findings(job, geometry)
    return OnPlan(shapes, runs, geometry, in_order(met, lines), tuple(found))


def _run_on_plan(
    job: Job, run: Run, ends: tuple[Structure, Structure], points: tuple[Point, ...], shapes: Shapes
) -> RunOnPlan:
    line = line_of(points)
    if line.geom_type != "LineString":
        return RunOnPlan(run, ends, points, None, (), ())
    zoned = in_zones(line, shapes)
    met = service_meetings(run, ends, points, line, zoned, job.services, shapes, width_of_ft(run, job.criteria))
    found = setback_findings(run, line, job, shapes) + beside_findings(run, line, zoned, job.services, shapes)
    found += water_findings(run, points, line, job.services, shapes)
    return RunOnPlan(run, ends, points, line, tuple(met), tuple(found))
