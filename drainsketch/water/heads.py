"""The hydraulic grade line of the whole network, from the water outside each outfall up."""

from collections.abc import Collection
from functools import lru_cache
from math import atan2, degrees

from drainsketch.job.ask import structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Structure
from drainsketch.network.graph import downhill
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
    among: Collection[str] | None = None,
) -> tuple[dict[str, GradeLine], dict[str, Head]]:
    """Return the grade line of each run by run id, and the level in each structure above it by structure id.

    Up from the outfall: friction in each run, then the loss in the structure above it by the greatest turn any water makes there;
    never less than where that run begins at critical depth, nor, in a box, than what drives the flow into its mouth. A run that comes into a basin or downspout inlet
    starts from the level there, since the box stills its water; one that comes into a fitting or cleanout keeps its velocity
    head, and starts as much lower. Water outside an outfall stands at its tailwater, and at a pop-up at least at its lid, which
    lets nothing out below. Where nothing flows, water stands as high as below; a run in which none stands, or below which no
    level is known, is left out.

    Parameters
    ----------
    among : the runs asked for, with all below them; None for every run

    Source: TxDOT Hydraulic Design Manual ch. 6 sec. 3 (order of steps), HEC-22 table 7-5a (losses, from memory). Check:
    tests/outside/test_grade_line.py, tests/water/test_heads.py
    """
    by_id = structures_by_id(job)
    coming: dict[str, list[FlowRun]] = {}
    for flow in network.runs:
        if flow.id in flows:
            coming.setdefault(flow.downstream, []).append(flow)
    way = downhill(network)
    asked = [f for f in reversed(network.runs) if way.get(f.upstream) is f and (among is None or f.id in among)]
    lines: dict[str, GradeLine] = {}
    heads: dict[str, Head] = {}
    for flow in asked:
        grade, carried = grades.get(flow.id), flows.get(flow.id)
        if grade is None:
            continue
        below, into = heads.get(flow.downstream), by_id[flow.downstream]
        if below is None and into.kind != "outfall":
            continue
        start = _outside_ft(into, grade, levels) if below is None else below.level_ft
        if carried is not None and below is not None and into.kind not in BOXES:
            start = _passed_on_ft(below.level_ft, grade, carried)
        if carried is None:
            if start > grade.invert_up_ft:
                lines[flow.id] = grade_line(0.0, start, grade.invert_down_ft, grade.legs, 1.0, 1.0)  # in any pipe
                heads[flow.upstream] = Head(flow.upstream, start, 0.0, levels[flow.upstream].rim_ft)
            continue
        line = grade_line(carried.flow_cfs, start, grade.invert_down_ft, grade.legs, carried.diameter_ft, carried.n)
        lines[flow.id] = line
        above = by_id[flow.upstream]
        k = turn_k(_turn_deg(flow, coming.get(flow.upstream, [])), "inlet" if above.kind in BOXES else "junction")
        level = line.egl_ft[-1] + k * (line.egl_ft[-1] - line.hgl_ft[-1])
        if carried.flow_cfs >= STILL_CFS:
            level = max(level, grade.invert_up_ft + _free_ft(carried, k))
        if above.kind in BOXES:
            level = max(level, grade.invert_up_ft + mouth_head_ft(carried.flow_cfs, carried.diameter_ft))
        heads[flow.upstream] = Head(flow.upstream, level, k, levels[flow.upstream].rim_ft)
    return lines, heads


def _free_ft(carried: PipeFlow, k: float) -> float:
    """Return the height above the invert at which a flow leaves a structure for a pipe in which nothing holds it up, ft.

    There it is fastest, and loses most: without this floor, water held up a little would show lower than water that runs off.
    """
    water = stream(carried.flow_cfs, carried.diameter_ft, carried.n)
    return water.critical_ft + (1 + k) * water.velocity_head_ft(water.critical_ft)


def _passed_on_ft(energy_ft: float, grade: Grade, carried: PipeFlow) -> float:
    """Return the level at the downstream end of a run whose water joins the flow in a fitting of a known energy level, ft."""
    if carried.flow_cfs < STILL_CFS:
        return energy_ft
    water = stream(carried.flow_cfs, carried.diameter_ft, carried.n)
    return grade.invert_down_ft + water.depth_of_energy_ft(energy_ft - grade.invert_down_ft)


def _outside_ft(outfall: Structure, grade: Grade, levels: dict[str, StructureLevels]) -> float:
    """Return the level of the water a run lets out into; its invert, a free outlet, where none stands there."""
    level = grade.invert_down_ft if outfall.tailwater_ft is None else outfall.tailwater_ft
    return max(level, levels[outfall.id].rim_ft) if outfall.outfall == "pop-up" else level


def _turn_deg(leaving: FlowRun, arriving: list[FlowRun]) -> float:
    """Return the greatest turn that water makes from a run that comes in to the one that leaves, degrees; 0 at the top of a line."""
    away = _heading(leaving.points)
    turns = [180.0 - abs((away - _heading(f.points[::-1]) + 180) % 360 - 180) for f in arriving]
    return max(turns, default=0.0)


@lru_cache(maxsize=4_096)
def _heading(points: tuple[Point, ...]) -> float:
    """Return the direction in which a line sets out, degrees; bends that lie on its start are passed over."""
    (x0, y0), (x, y) = points[0], next((p for p in points if p != points[0]), points[0])
    return degrees(atan2(y - y0, x - x0))
