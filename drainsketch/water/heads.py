"""The hydraulic grade line of the whole network, from the water outside each outfall up."""

from math import atan2, degrees

from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Job, Structure
from drainsketch.network.results import FlowRun, Grade, Network, StructureLevels
from drainsketch.water.backwater import STILL_CFS, GradeLine, grade_line
from drainsketch.water.curves import stream
from drainsketch.water.grates import mouth_head_ft
from drainsketch.water.losses import turn_k
from drainsketch.water.results import Head, PipeFlow

BOXES = ("basin", "downspout inlet")


def grade_lines(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    flows: dict[str, PipeFlow],
) -> tuple[dict[str, GradeLine], dict[str, Head]]:
    """Return the grade line of each run by run id, and the level in each structure above it by structure id.

    Up from the outfall: friction in each run, then the loss in the structure above it by the greatest turn any water makes there;
    never less than what drives the flow into the mouth of the pipe that leaves. A run that comes into a basin or downspout inlet
    starts from the level there, since the box stills its water; one that comes into a fitting or cleanout keeps its velocity
    head, and starts as much lower. Runs below which no level is known are left out.

    Source: TxDOT Hydraulic Design Manual ch. 6 sec. 3 (order of steps), HEC-22 table 7-5a (losses, from memory). Check:
    tests/outside/test_grade_line.py, tests/water/test_heads.py
    """
    by_id = structures_by_id(job)
    coming: dict[str, list[FlowRun]] = {}
    for flow in network.runs:
        if flow.id in flows:
            coming.setdefault(flow.downstream, []).append(flow)
    lines: dict[str, GradeLine] = {}
    heads: dict[str, Head] = {}
    for flow in reversed(network.runs):
        grade, carried = grades.get(flow.id), flows.get(flow.id)
        if grade is None or carried is None:
            continue
        below, into = heads.get(flow.downstream), by_id[flow.downstream]
        if below is not None:
            start = below.level_ft if into.kind in BOXES else _passed_on_ft(below.level_ft, grade, carried)
        elif into.kind == "outfall":
            start = _outside_ft(into, grade)
        else:
            continue
        line = grade_line(carried.flow_cfs, start, grade.invert_down_ft, grade.legs, carried.diameter_ft, carried.n)
        lines[flow.id] = line
        above = by_id[flow.upstream]
        k = turn_k(_turn_deg(flow, coming.get(flow.upstream, [])), "inlet" if above.kind in BOXES else "junction")
        level = line.egl_ft[-1] + k * (line.egl_ft[-1] - line.hgl_ft[-1])
        if above.kind in BOXES:
            level = max(level, grade.invert_up_ft + mouth_head_ft(carried.flow_cfs, carried.diameter_ft))
        heads[flow.upstream] = Head(flow.upstream, level, k, levels[flow.upstream].rim_ft)
    return lines, heads


def _passed_on_ft(energy_ft: float, grade: Grade, carried: PipeFlow) -> float:
    """Return the level at the downstream end of a run whose water joins the flow in a fitting of a known energy level, ft."""
    if carried.flow_cfs < STILL_CFS:
        return energy_ft
    water = stream(carried.flow_cfs, carried.diameter_ft, carried.n)
    return grade.invert_down_ft + water.depth_of_energy_ft(energy_ft - grade.invert_down_ft)


def _outside_ft(outfall: Structure, grade: Grade) -> float:
    """Return the level of the water a run lets out into; its invert, a free outlet, where none stands there."""
    return grade.invert_down_ft if outfall.tailwater_ft is None else outfall.tailwater_ft


def _turn_deg(leaving: FlowRun, arriving: list[FlowRun]) -> float:
    """Return the greatest turn that water makes from a run that comes in to the one that leaves, degrees; 0 at the top of a line."""
    away = _heading(leaving.points[0], leaving.points[1])
    turns = [abs((away - _heading(f.points[-2], f.points[-1]) + 180) % 360 - 180) for f in arriving]
    return max(turns, default=0.0)


def _heading(a: tuple[float, float], b: tuple[float, float]) -> float:
    return degrees(atan2(b[1] - a[1], b[0] - a[0]))
