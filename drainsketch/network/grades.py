"""Grades: inverts that hold slope, cover and clearance with the least digging.

Pinned inverts stay where the user put them. The others come from a linear program over the inverts at both ends of every run
(and at the bends of flexible pipe where asked): least excavation along the whole stationed profile. What hangs together is
graded together, and kept from the grades before where nothing it hangs on has changed. Where no grade exists, the least
breach is taken and what gave is reported.
"""

from collections.abc import Callable

import numpy as np
from msgspec import Struct

from drainsketch.job.model import Job
from drainsketch.network.bounds import Bounds, fixed_level, pinned_ft
from drainsketch.network.legs import MAKE_GOOD_FT, TOLERANCE_FT
from drainsketch.network.over_under import Pass, Side, passes
from drainsketch.network.parts import Part, Table, parts_of
from drainsketch.network.program import Answer, Program, solve
from drainsketch.network.results import Floats, FlowRun, Grade, Shortfall
from drainsketch.network.rows import doubt_ft, fouls_ft, program_of

__all__ = [
    "MAKE_GOOD_FT",
    "Bounds",
    "Placed",
    "Setting",
    "fixed_level",
    "grade",
    "grades_of",
    "pinned_ft",
    "place",
    "place_inverts",
]

SHORT_FT = 1e-4  # less than any level can be shot or dug to
CLEAR_FT = 1e-6
MOST_CHOICES = 12  # crossings that are tried on both sides, all ways together
MOST_TURNS = 4


SolvedBy = Callable[..., Answer | None]  # an answer by the sides of crossings, and those where doubt counts


class Setting(Struct, frozen=True):
    """The inverts of one run, ft: at its ends, and (station, invert) at its breaks, from the downstream end up."""

    up_ft: float
    down_ft: float
    breaks: tuple[tuple[float, float], ...] = ()


class PlacedPart(Struct, frozen=True):
    """The answer for one part. ``cost_ft3`` is its digging, dear digging counted as often as it costs; ``gave``: a limit had to."""

    part: Part
    settings: dict[str, Setting]
    cost_ft3: float
    gave: bool


class Placed(Struct, frozen=True):
    """Where the pipe of a network lies. ``settings`` by run id; ``short`` are the structures whose water cannot leave.

    ``gave``: no grade holds every limit, and these are the inverts that break them least. ``cost_ft3`` is what is dug, with dear
    digging counted as often as it costs.
    """

    parts: tuple[PlacedPart, ...]
    settings: dict[str, Setting]
    short: tuple[Shortfall, ...]

    @property
    def gave(self) -> bool:
        """Whether some limit had to give."""
        return any(p.gave for p in self.parts)

    @property
    def cost_ft3(self) -> float:
        """Return what is dug, ft3, dear digging counted as often as it costs."""
        return sum(p.cost_ft3 for p in self.parts)


def place(bounds: Bounds, before: Placed | None = None) -> Placed:
    """Return where the pipe lies.

    Limits: straight grade between structures, and between bends where flexible pipe may break grade; a tie-in without a
    measured level is left free, a curb without one is at the ground.
    Source: linear programming, least excavation of vertical-sided trenches and holes (definition).
    Check: tests/network/test_grades.py (closed forms, a search over a fine grid), tests/network/test_independent_grades.py (a
    second program written from the definition).

    Parameters
    ----------
    before : an earlier answer; its parts are taken again where nothing they hang on has changed, which changes no number
    """
    kept = {p.part.runs[0].run.id: p for p in before.parts} if before is not None else {}
    found = []
    for part in parts_of(bounds, passes(bounds)):
        old = kept.get(part.runs[0].run.id)
        found.append(old if old is not None and old.part == part else place_part(part))
    settings = {run: s for p in found for run, s in p.settings.items()}
    in_order = {f.id: settings[f.id] for f in bounds.network.runs}
    short = _shortfalls(bounds, in_order) if any(p.gave for p in found) else ()
    return Placed(tuple(found), in_order, short)


def place_inverts(bounds: Bounds) -> tuple[dict[str, tuple[float, float]], tuple[Shortfall, ...]]:
    """Return (up, down) inverts by run id, ft, and the structures whose water cannot leave; see ``place``."""
    placed = place(bounds)
    return {run: (s.up_ft, s.down_ft) for run, s in placed.settings.items()}, placed.short


def place_part(part: Part) -> PlacedPart:
    """Return the grades of one part, limits broken where they have to be."""
    solved = solve_part(part)
    if solved is None:
        raise ArithmeticError("no grade even with give")
    return PlacedPart(part, _settings(solved.table, solved.levels), solved.cost_ft3, solved.gave)


class Solved(Struct, frozen=True, eq=False):
    """The levels of a part, ft over the base of its table, what they cost to dig, and whether limits had to give."""

    table: Table
    levels: Floats
    cost_ft3: float
    gave: bool


def solve_part(
    part: Part, *, may_give: bool = True, alter: Callable[[Program], Program] | None = None
) -> Solved | None:
    """Return the levels of one part; None where there are none.

    Crossings come in as they are found too near: first only those are asked that leave no choice, then over or under is chosen at
    each that the answer fouls, until it fouls none. The side at each crossing follows from depths as they are known; on that side the error of a depth
    is kept clear of too, as far as that is worth its digging (``rows.DOUBT_FT2``): a dive under what may not be there would be dug
    for nothing, and the service is exposed before anyone digs.

    Limits: the best choice is found over up to 12 crossings that leave one; past those the nearer side is taken. Where some limit
    has to give, the nearer side is taken at once, and left for the other where that breaks less.

    Parameters
    ----------
    may_give : whether limits may be broken where no levels hold them all
    alter : applied to each program before it is solved
    """
    table = Table(part)
    # where cover leaves no room over, under is asked from the start: it would be found out in the end
    sides = tuple(Side(p, False) for p in part.passes if not p.room_over)
    gave = False
    levels = None

    def solved_by(sides: tuple[Side, ...], doubts: tuple[Side, ...] = ()) -> Answer | None:
        program = program_of(table, sides, doubts)
        return solve(program if alter is None else alter(program), give=gave)

    while True:
        answer = solved_by(sides)
        if answer is None and (gave or not may_give):
            return None
        if answer is None:
            gave = True
            sides = _sided(table, (), [s.crossing for s in sides], levels, gave)
            continue
        levels = _exact(table, answer)
        known = {s.crossing for s in sides}
        fouled = [p for p in part.passes if p not in known and min(fouls_ft(table, p, levels)) > CLEAR_FT]
        if not fouled:
            break
        sides = _sided(table, sides, fouled, levels, gave)
    if gave:
        answer, sides = _turned(table, sides, levels, answer, solved_by)
    answer = _doubted(table, sides, answer, solved_by)
    return Solved(table, _exact(table, answer), answer.cost, gave)


def _doubted(table: Table, sides: tuple[Side, ...], answer: Answer, solved_by: SolvedBy) -> Answer:
    """Return the answer that keeps clear of the error of depths too, as far as that pays, every crossing on the side it is on."""
    levels = _exact(table, answer)
    chosen = {s.crossing: s.over for s in sides if s.over is not None}

    def is_over(p: Pass) -> bool:
        over_ft, under_ft = fouls_ft(table, p, levels)
        return over_ft <= under_ft

    passed = {p: Side(p, chosen[p] if p in chosen else is_over(p)) for p in table.part.passes}
    asked = [passed[s.crossing] for s in sides]
    doubts: list[Side] = []
    while True:
        doubted = [s for s in passed.values() if s not in doubts and doubt_ft(table, s, levels) > CLEAR_FT]
        near = [
            s for s in passed.values() if s not in asked and fouls_ft(table, s.crossing, levels)[not s.over] > CLEAR_FT
        ]
        if not doubted and not near:
            return answer
        doubts += doubted
        asked += [s for s in doubted if s not in asked] + [s for s in near if s not in doubted]
        found = solved_by(tuple(asked), tuple(doubts))
        if found is None:  # not but for rounding: the answer before holds every one of these limits
            return answer
        answer, levels = found, _exact(table, found)


def _turned(
    table: Table,
    sides: tuple[Side, ...],
    levels: Floats,
    answer: Answer,
    solved_by: SolvedBy,
) -> tuple[Answer, tuple[Side, ...]]:
    """Return the better of an answer with give and of those that pass the crossings it fouls most on their other side."""
    fouls = [(min(fouls_ft(table, s.crossing, levels)), k) for k, s in enumerate(sides) if s.crossing.ground_over]
    for foul, k in sorted(fouls, reverse=True)[:MOST_TURNS]:
        if foul > SHORT_FT:
            other = (*sides[:k], Side(sides[k].crossing, not sides[k].over), *sides[k + 1 :])
            turned = solved_by(other)
            if turned is not None and turned.priced < answer.priced:
                answer, sides = turned, other
    return answer, sides


def _sided(
    table: Table, sides: tuple[Side, ...], fouled: list[Pass], levels: Floats | None, gave: bool
) -> tuple[Side, ...]:
    """Return the sides with those of more crossings: left open where both can be, as long as there are few."""
    free = 0 if gave else MOST_CHOICES - sum(s.over is None for s in sides)
    found = list(sides)
    for p in fouled:
        if not (p.ground_over if gave else p.room_over):
            found.append(Side(p, False))
        elif free > 0 or (levels is None and not gave):
            found.append(Side(p, None))
            free -= 1
        else:
            over_ft, under_ft = fouls_ft(table, p, levels) if levels is not None else (0.0, 0.0)
            found.append(Side(p, over_ft <= under_ft))
    return tuple(found)


def _exact(table: Table, answer: Answer) -> Floats:
    """Return the levels from the base, ft; fixed ones to the last digit, not to the solver's tolerance."""
    levels = answer.values[: table.levels].copy()
    for column, level in table.fixed.items():
        levels[column] = level - table.base_ft
    return levels


def _settings(table: Table, levels: Floats) -> dict[str, Setting]:
    # beyond nine digits is the solver's noise: without it a run that does not change keeps equal inverts
    whole = (levels + table.base_ft).round(9).tolist()
    for column, level in table.fixed.items():
        whole[column] = level
    return {
        r.run.id: Setting(
            up_ft=whole[knots[-1]],
            down_ft=whole[knots[0]],
            breaks=tuple((leg.from_ft, whole[k]) for leg, k in zip(r.legs[1:], knots[1:-1], strict=True)),
        )
        for r, knots in zip(table.part.runs, table.knots, strict=True)
    }


def _shortfalls(bounds: Bounds, settings: dict[str, Setting]) -> tuple[Shortfall, ...]:
    found: dict[str, Shortfall] = {}
    for flow in bounds.network.runs:
        structure = bounds.structures[flow.upstream]
        pinned = structure.invert_ft is not None or pinned_ft(bounds.runs[flow.id], flow, "up") is not None
        highest = bounds.highest_out_ft(structure, flow.id)
        worst = found.get(structure.id)
        needed = settings[flow.id].up_ft
        if not pinned and needed - highest > max(SHORT_FT, worst.short_ft if worst else 0.0):
            found[structure.id] = Shortfall(structure.id, needed, highest)
    return tuple(found.values())


def grades_of(
    bounds: Bounds, placed: Placed, before: tuple[Bounds, Placed, dict[str, Grade]] | None = None
) -> dict[str, Grade]:
    """Return the grade of every run, by id.

    Parameters
    ----------
    before : bounds, inverts and grades of an earlier job; the grade of a run that stays the same is kept
    """
    if before is None or not _same_limits(before[0].job, bounds.job):
        return {f.id: grade(bounds, f, placed.settings[f.id]) for f in bounds.network.runs}
    old, old_placed, kept = before
    found = {}
    for f in bounds.network.runs:
        same = (
            f.id in kept
            and old.profiles[f.id] is bounds.profiles[f.id]
            and old.runs[f.id] == bounds.runs[f.id]
            and old_placed.settings[f.id] == placed.settings[f.id]
            and old.on_drive(f.id) is bounds.on_drive(f.id)
            and old.taper_to_ft(f) == bounds.taper_to_ft(f)
        )
        found[f.id] = kept[f.id] if same else grade(bounds, f, placed.settings[f.id])
    return found


def _same_limits(one: Job, other: Job) -> bool:
    """Return whether two jobs hold pipe to the same limits, and lay it on the same bed."""
    return one.criteria == other.criteria and one.sections.solid_bed_in == other.sections.solid_bed_in


def grade(bounds: Bounds, flow: FlowRun, setting: Setting) -> Grade:
    """Return what the inverts of a run make of its slope, cover and cut, ft."""
    profile = bounds.profiles[flow.id]
    size = bounds.size(flow.id)
    top, below = bounds.top_ft(flow.id), bounds.below_ft(flow.id)
    taper_ft = bounds.taper_to_ft(flow)
    invert = _inverts(setting, flow, profile.station_ft)
    cover = profile.ground_ft - invert - top
    need_ft, under = bounds.cover_ft(flow.id), bounds.on_drive(flow.id)
    spare = cover - need_ft
    if under is not None:
        drive_ft = max(need_ft, bounds.job.criteria.min_cover_drive_in / 12)
        spare = np.where(under, cover - drive_ft, spare)
    first = int(np.searchsorted(profile.station_ft, taper_ft - TOLERANCE_FT))
    if first == len(cover):
        first = 0
    least, least_asked = int(cover.argmin()), first + int(spare[first:].argmin())
    deepest, shallowest = int(cover.argmax()), least
    return Grade(
        run_id=flow.id,
        length_ft=flow.length_ft,
        slope=(setting.up_ft - setting.down_ft) / flow.length_ft if flow.length_ft else 0.0,
        invert_up_ft=setting.up_ft,
        invert_down_ft=setting.down_ft,
        inside_in=size.inside_in,
        outside_in=size.outside_in,
        top_above_invert_ft=top,
        bottom_below_invert_ft=below,
        least_cover_ft=float(cover[least]),
        least_cover_station_ft=float(profile.station_ft[least]),
        greatest_cover_ft=float(cover[deepest]),
        least_cut_ft=float(cover[shallowest]) + top + below,
        greatest_cut_ft=float(cover[deepest]) + top + below,
        greatest_cut_station_ft=float(profile.station_ft[deepest]),
        cover_from_station_ft=min(taper_ft, flow.length_ft),
        asked_cover_ft=float(cover[least_asked]),
        asked_cover_station_ft=float(profile.station_ft[least_asked]),
        cover_need_ft=float(cover[least_asked] - spare[least_asked]),
        breaks=setting.breaks,
    )


def _inverts(setting: Setting, flow: FlowRun, station_ft: Floats) -> Floats:
    if not flow.length_ft:
        return np.full(len(station_ft), setting.down_ft)
    if not setting.breaks:
        return setting.down_ft + (setting.up_ft - setting.down_ft) / flow.length_ft * station_ft
    s, z = zip((0.0, setting.down_ft), *setting.breaks, (flow.length_ft, setting.up_ft), strict=True)
    found: Floats = np.interp(station_ft, s, z)
    return found
