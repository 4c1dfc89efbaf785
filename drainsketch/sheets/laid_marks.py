"""Marks of pipe as laid: where it holds water, and on the plan for the record the measured inverts."""

from itertools import pairwise
from math import dist

from msgspec.structs import replace

from drainsketch.network.cutsheet import point_at
from drainsketch.network.laid import COVERS_FT, LaidRun
from drainsketch.network.results import FlowRun
from drainsketch.review import Review
from drainsketch.sheets.drain_marks import lowest_invert
from drainsketch.sheets.ground_marks import RANK_NAMED, RANK_SHOT, label_along, lasting
from drainsketch.sheets.labels import FOLD
from drainsketch.sheets.marks import Label, Mark, PlanMarks, Sign, Stroke
from drainsketch.wording import Words


def belly_marks(laid: LaidRun, flow: FlowRun, words: Words) -> PlanMarks:
    """Return the stretches of a laid run in which water would stand, each with its depth."""
    drains: list[Mark] = []
    labels: list[Label] = []
    for belly in laid.bellies:
        points = stretch(flow, belly.from_ft, belly.to_ft)
        if len(points) < 2:
            continue
        drains.append(Stroke(points=points, style="belly", owner=flow.id))
        text = words.word("sheets.built.mark_belly", depth=words.inches(belly.depth_ft * 12))
        label = label_along(points, text, "water", owner=flow.id, rank=RANK_NAMED, clear_pt=4.0)
        labels += [label] if label is not None else []
    return PlanMarks(ground=(), drains=tuple(drains), flags=(), labels=tuple(labels))


def stretch(flow: FlowRun, from_ft: float, to_ft: float) -> tuple[tuple[float, float], ...]:
    """Return the plan points of a run from one station up to another, its bends between them included."""
    marks = [from_ft, *sorted(s for s in _bends(flow) if from_ft < s < to_ft), to_ft]
    return tuple(dict.fromkeys(point_at(flow, s) for s in marks))


def _bends(flow: FlowRun) -> list[float]:
    out, behind = [], 0.0
    points = flow.points[::-1]
    for a, b in pairwise(points[:-1]):
        behind += dist(a, b)
        out.append(behind)
    return out


def record_marks(marks: PlanMarks, review: Review, words: Words) -> PlanMarks:
    """Return the plan as built: no warnings, runs with the slope they were laid at, measured inverts where pipe was shot.

    A run that nobody shot is drawn in a line of its own, and its label says so.
    """
    marks = lasting(marks)
    signs: list[Mark] = []
    shot: list[Label] = []
    at_structure: dict[str, list[str]] = {}
    for flow in review.network.runs:
        laid = review.laid.get(flow.id)
        for p in laid.points if laid else ():
            signs.append(Sign(at=p.point, symbol="laid" if p.ok else "laid.off", owner=flow.id))
            text = words.word("sheets.built.mark", level=words.level(p.invert_ft))
            end = _end(flow, p.station_ft)
            if end is not None:
                at_structure.setdefault(end, []).append(f"{flow.id} {text}")
            else:
                shot.append(
                    Label(at=p.point, text=text, lettering="level", owner=flow.id, rank=RANK_SHOT, clear_pt=6.0)
                )
    unshot = {r.id for r in review.job.runs if r.id not in review.laid or not review.laid[r.id].points}
    labels = [_renewed(label, review, at_structure, unshot, words) for label in marks.labels]
    drains = [
        replace(mark, style="run.unshot") if isinstance(mark, Stroke) and mark.owner in unshot else mark
        for mark in marks.drains
    ]
    return replace(marks, drains=(*drains, *signs), flags=(), labels=(*labels, *shot))


def _end(flow: FlowRun, station_ft: float) -> str | None:
    if station_ft <= COVERS_FT:
        return flow.downstream
    return flow.upstream if station_ft >= flow.length_ft - COVERS_FT else None


def _renewed(label: Label, review: Review, at_structure: dict[str, list[str]], unshot: set[str], words: Words) -> Label:
    """Return a label with what was measured in place of what was planned; what nobody measured is left out."""
    if label.lettering == "structure":
        levels = review.levels.get(label.owner)
        invert = lowest_invert(levels) if levels is not None else None
        keys = ("sheets.plan.invert", "sheets.plan.invert_pinned")
        planned = [words.word(key, level=words.level(invert)) for key in keys] if invert is not None else []
        lines = [line for line in label.text.split("\n") if line not in planned]
        return replace(label, text="\n".join((*lines, *at_structure.get(label.owner, ()))))
    if label.lettering == "run":
        said = label.text.split(FOLD)[: -1 if label.owner in review.grades else None]
        if label.owner in unshot:
            said[0] = words.word("sheets.built.mark_not_shot", run=said[0])  # there even where the rest finds no room
        laid = review.laid.get(label.owner)
        if laid is not None and len(laid.points) > 1 and not laid.lacking:
            low, high = laid.points[0], laid.points[-1]
            said.append(words.slope((high.invert_ft - low.invert_ft) / (high.station_ft - low.station_ft)))
        return replace(label, text=FOLD.join(said))
    return label
