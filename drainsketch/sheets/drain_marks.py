"""Marks of what is to be built and of what the review says about it: structures, runs, crossings, findings."""

from math import atan2, degrees

from drainsketch.findings import Finding, Level
from drainsketch.job.kinds import Point
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Run, Service, Structure
from drainsketch.look import LEVEL_SIGNS, symbol_of
from drainsketch.network.digging import width_of_ft
from drainsketch.network.pits import Pit
from drainsketch.network.results import Grade, StructureLevels
from drainsketch.sheets.ground_marks import RANK_RUN, RANK_STRUCTURE, label_along, legs
from drainsketch.sheets.labels import FOLD
from drainsketch.sheets.marks import Band, Label, Mark, PlanMarks, Sign, Stroke
from drainsketch.sheets.text import plain
from drainsketch.wording import Words

ARROW_SPACING_FT = 40.0
LEAST_ARROW_LEG_FT = 5.0
PLAN_NAME_LENGTH = 24  # of a structure's name on the plan
ZONE_REACH_FT = 3.0  # the hand-dig strip is drawn this far past the trench on both sides


def structure_marks(
    structure: Structure, levels: StructureLevels | None, words: Words, pit: Pit | None = None
) -> PlanMarks:
    """Return a structure's symbol with its id, and rim and invert where they are known; the pit of a dry well to scale."""
    sign = Sign(at=structure.point, symbol=symbol_of(structure.kind, structure.outfall), owner=structure.id)
    name = plain(structure.name, PLAN_NAME_LENGTH)
    lines = [f"{structure.id} {name}" if name else structure.id]
    if levels is not None:
        about = "≈" if levels.guess else ""
        if structure.kind in ("basin", "cleanout", "downspout inlet"):
            lines.append(words.word("sheets.plan.rim", level=about + words.level(levels.rim_ft)))
        invert = lowest_invert(levels)
        if levels.no_invert:
            lines.append(words.word("sheets.plan.no_invert"))
        if invert is not None:
            said = "sheets.plan.invert" if structure.invert_ft is None else "sheets.plan.invert_pinned"
            lines.append(words.word(said, level=words.level(invert)))
    if pit is not None:
        said = "sheets.plan.pit" if pit.floor_ft is None else "sheets.plan.pit_floor"
        lines.append(words.word(said, length=pit.length_ft, width=pit.width_ft, floor=pit.floor_ft))
    label = Label(
        at=structure.point,
        text="\n".join(lines),
        lettering="structure",
        owner=structure.id,
        rank=RANK_STRUCTURE,
        clear_pt=9.5,
    )
    outline = (Stroke(points=pit.outline, style="pit", owner=structure.id, closed=True),) if pit is not None else ()
    return PlanMarks(ground=(), drains=(*outline, sign), flags=(), labels=(label,))


def lowest_invert(levels: StructureLevels) -> float | None:
    """Return the invert of the pipe that leaves a structure, ft; at an outfall the lowest that arrives.

    None where no pipe has a level, or none that it can be dug to.
    """
    if levels.no_invert:
        return None
    if levels.invert_out_ft is not None:
        return levels.invert_out_ft
    return min((invert for _, invert in levels.inverts_in), default=None)


def run_marks(
    run: Run,
    points: tuple[Point, ...],
    *,
    flowing: bool,
    length: float,
    grade: Grade | None,
    criteria: Criteria,
    words: Words,
) -> PlanMarks:
    """Return a run: its stone band, its line, flow arrows and its label.

    Parameters
    ----------
    points : plan points, from upstream to downstream when ``flowing``, otherwise as drawn
    length : plan length, ft
    grade : its grade, or None while there is none
    """
    style = f"run.{run.use}"
    drains: list[Mark] = [Stroke(points=points, style=style, owner=run.id)]
    if run.use == "drain":
        drains.insert(0, Band(points=points, width_ft=width_of_ft(run, criteria), style="stone band", owner=run.id))
    if flowing:
        drains.extend(_arrows(points, run.id))
    said = [run.id, words.inches(run.diameter_in), words.length(length)]
    if grade is not None:
        said.append(words.slope(grade.slope))
    label = label_along(points, FOLD.join(said), "run", owner=run.id, rank=RANK_RUN, clear_pt=4.0)
    return PlanMarks(ground=(), drains=tuple(drains), flags=(), labels=(label,) if label else ())


def _arrows(points: tuple[Point, ...], owner: str) -> list[Sign]:
    """Return flow arrows on every leg long enough, the longest leg at least."""
    found = legs(points)
    if not found:
        return []
    longest = max(d for d, _, _ in found)
    signs = []
    for d, a, b in found:
        if d < min(LEAST_ARROW_LEG_FT, longest):
            continue
        count = min(max(1, round(d / ARROW_SPACING_FT)), 100)
        turn = degrees(atan2(b[1] - a[1], b[0] - a[0]))
        for i in range(count):
            t = (i + 0.5) / count
            at = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
            signs.append(Sign(at=at, symbol="flow", owner=owner, turn_deg=turn))
    return signs


def crossing_marks(number: int, at: Point, other: str, level: Level) -> PlanMarks:
    """Return a crossing's numbered flag.

    Parameters
    ----------
    other : the id of the service or run that is crossed
    level : of the gravest finding about it
    """
    symbol = "crossing" if level == "stop" else f"crossing.{level}"
    flag = Sign(at=at, symbol=symbol, owner=other, text=str(number))
    return PlanMarks(ground=(), drains=(), flags=(flag,), labels=())


def hand_dig_marks(at: Point, service: Service, run: Run, criteria: Criteria) -> PlanMarks:
    """Return the strip to dig by hand over a buried service where a run crosses it."""
    strip = stretch_about(service.points, at, width_of_ft(run, criteria) / 2 + ZONE_REACH_FT)
    width = (2 * criteria.hand_dig_each_side_in + (service.size_in or 0.0)) / 12
    zone = (Band(points=strip, width_ft=width, style="hand-dig zone", owner=service.id),) if len(strip) > 1 else ()
    return PlanMarks(ground=(), drains=zone, flags=(), labels=())


def by_hand_marks(run: Run, points: tuple[Point, ...], criteria: Criteria) -> PlanMarks:
    """Return a stretch of trench that is dug by hand, since a service lies beside it."""
    zone = Band(points=points, width_ft=width_of_ft(run, criteria), style="hand-dig zone", owner=run.id)
    return PlanMarks(ground=(), drains=(zone,) if len(points) > 1 else (), flags=(), labels=())


def stretch_about(points: tuple[Point, ...], about: Point, reach_ft: float) -> tuple[Point, ...]:
    """Return the stretch of a polyline within ``reach_ft`` along it of its point nearest to ``about``; () if none."""
    found = legs(points)
    best, center, behind = float("inf"), 0.0, 0.0
    for d, a, b in found:
        t = ((about[0] - a[0]) * (b[0] - a[0]) + (about[1] - a[1]) * (b[1] - a[1])) / (d * d)
        t = min(1.0, max(0.0, t))
        off = (a[0] + t * (b[0] - a[0]) - about[0]) ** 2 + (a[1] + t * (b[1] - a[1]) - about[1]) ** 2
        if off < best:
            best, center = off, behind + t * d
        behind += d
    low, high = max(0.0, center - reach_ft), min(behind, center + reach_ft)
    out: list[Point] = []
    behind = 0.0
    for d, a, b in found:
        start, end = max(low, behind), min(high, behind + d)
        if start < end:
            for at in (start, end):
                t = (at - behind) / d
                p = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                if not out or out[-1] != p:
                    out.append(p)
        behind += d
    return tuple(out)


def finding_marks(finding: Finding, letter: str) -> PlanMarks:
    """Return a finding's sign with its letter, where it has a place on the plan."""
    if finding.place.point is None:
        return PlanMarks(ground=(), drains=(), flags=(), labels=())
    owner = finding.place.ids[0] if finding.place.ids else ""
    sign = Sign(at=finding.place.point, symbol=LEVEL_SIGNS[finding.level], owner=owner, text=letter)
    return PlanMarks(ground=(), drains=(), flags=(sign,), labels=())
