"""What the plan alone says, without levels, kept for every run that stays as it is while something else moves."""

from typing import Any

import shapely.ops
from msgspec import Struct

from drainsketch.findings import Finding
from drainsketch.job.ask import structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Structure
from drainsketch.network.beside import beside_findings, structures_beside, water_findings
from drainsketch.network.digging import width_of_ft
from drainsketch.network.drawing import drawing_findings
from drainsketch.network.handdig import Stretch, hand_stretches, stations_by_hand
from drainsketch.network.meetings import Meeting, in_order, joins_on_purpose, run_meetings, service_meetings
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
    by_hand: tuple[Stretch, ...] = ()  # stations between which its trench lies in the hand-dig zone of a service

    def course(self, from_ft: float, to_ft: float) -> tuple[Point, ...]:
        """Return the plan points between two stations, upstream first."""
        part = shapely.ops.substring(self.line, self.line.length - to_ft, self.line.length - from_ft)
        return tuple((x, y) for x, y in part.coords)


class OnPlan(Struct, frozen=True):
    """All that the plan alone says of a job. ``geometry``: shapely lines of the runs that have a length, by run id."""

    shapes: Shapes
    runs: dict[str, RunOnPlan]
    geometry: dict[str, Any]
    meetings: tuple[Meeting, ...]
    findings: tuple[Finding, ...]
    holes_by_hand: frozenset[str] = frozenset()  # structures whose hole is dug in such a zone

    @property
    def by_hand(self) -> dict[str, tuple[Stretch, ...]]:
        """Return the stretches of each run that are dug by hand, stations, ft."""
        return {name: run.by_hand for name, run in self.runs.items() if run.by_hand}


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
    beside = structures_beside(job, shapes)
    found += structures_in_buildings(job, shapes) + beside + drawing_findings(job, geometry)
    holes = frozenset(f.place.ids[0] for f in beside)
    return OnPlan(shapes, runs, geometry, in_order(met, lines), tuple(found), holes)


def _run_on_plan(
    job: Job, run: Run, ends: tuple[Structure, Structure], points: tuple[Point, ...], shapes: Shapes
) -> RunOnPlan:
    line = line_of(points)
    if line.geom_type != "LineString":
        return RunOnPlan(run, ends, points, None, (), ())
    zoned = in_zones(line, shapes)
    trench_ft = width_of_ft(run, job.criteria)
    met = service_meetings(run, ends, points, line, zoned, job.services, shapes, trench_ft)
    found = setback_findings(run, line, job, shapes) + beside_findings(run, line, zoned, job.services, shapes)
    found += water_findings(run, points, line, job.services, shapes)
    by_hand = [(line.length - m.hand_to_ft, line.length - m.hand_from_ft) for m in met]
    for s, _ in zoned:  # crossed or not; at a drain that it joins on purpose only what it crosses beside the joint
        if not any(joins_on_purpose(end, job.services[s]) for end in ends):
            by_hand += hand_stretches(points, shapes.hand_zones[s], trench_ft)
    return RunOnPlan(run, ends, points, line, tuple(met), tuple(found), stations_by_hand(by_hand, line.length))
