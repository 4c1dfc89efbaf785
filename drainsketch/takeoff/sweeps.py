"""Sweeps: where a coil is laid round a turn by itself, and where the pipe is cut for bends."""

from collections.abc import Sequence
from math import hypot, radians, tan

from msgspec import Struct

from drainsketch.resources import table
from drainsketch.takeoff.bends import bends_for, turn_deg
from drainsketch.takeoff.joints import Arm, Joint
from drainsketch.takeoff.works import PipeEnd, RunWork, Works


class Turned(Struct, frozen=True):
    """A turn that takes stock bends: on the pipe of which run, where, and which."""

    work: RunWork
    where: str
    owner: str
    bends: tuple[float, ...]


class Turns(Struct, frozen=True):
    """All turns that take bends, those of runs first, and the lengths of pipe between fittings, by run, ft along the slope."""

    turned: tuple[Turned, ...]
    pieces_ft: dict[str, tuple[float, ...]]


def tangent_ft(radius_ft: float, turn: float) -> float:
    """Return how far before and behind a bend a curve begins and ends, ft.

    T = R tan(I / 2)

    Parameters
    ----------
    radius_ft : radius of the curve, ft (above 0)
    turn : angle by which it turns, I, degrees, 0 to under 180

    Raises
    ------
    ValueError : an argument is out of range

    Notes
    -----
    Source: tangent distance of a simple curve, route surveying (US Army FM 5-233, from memory).
    Check: tests/outside/test_swept_coil.py

    Examples
    --------
    A square turn begins a radius before the corner:

    >>> round(tangent_ft(3.0, 90.0), 9)
    3.0
    """
    if not (radius_ft > 0 and 0 <= turn < 180):
        raise ValueError(f"radius_ft must be above 0 and turn 0 to under 180, not {radius_ft}, {turn}")
    return radius_ft * tan(radians(turn) / 2)


class _Straight:
    """What is left of the straight legs of every run, ft, as turns take their tangents from them."""

    def __init__(self, works: Works) -> None:
        self._left = {
            w.run.id: [hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(w.points, w.points[1:], strict=False)]
            for w in works.runs
            if w.size.flexible
        }

    def take(self, turn: float, sides: Sequence[tuple[RunWork, int]]) -> bool:
        """Take the tangents of a turn from legs, given as run and number of the leg; False, and nothing taken, where one is too short."""
        coil = table("catalogue/stock.toml")["coil"]
        if turn > coil["sweeps_deg"] + 1e-6:
            return False
        needs: dict[tuple[str, int], float] = {}
        for w, leg in sides:
            radius_ft = coil["radius_ft"][str(w.run.diameter_in)]
            both = 2 if len(sides) == 1 else 1  # a curve that has to lie on one side of the corner
            key = (w.run.id, leg % max(1, len(self._left[w.run.id])))
            needs[key] = needs.get(key, 0.0) + both * tangent_ft(radius_ft, turn)
        if any(not self._left[run] or self._left[run][leg] < need - 1e-9 for (run, leg), need in needs.items()):
            return False
        for (run, leg), need in needs.items():
            self._left[run][leg] -= need
        return True


def turns_of(works: Works, met: Sequence[tuple[str, Joint]]) -> Turns:
    """Return where stock bends are needed, at the bends of runs and at joints.

    A coil is swept round a turn where the straight pipe beside it is long enough for the tangents of a curve of its least radius;
    each foot of pipe serves one curve only. Where only one side is a coil the whole curve lies on that side.
    """
    straight = _Straight(works)
    found, pieces = [], {}
    for w in works.runs:
        points, cuts = w.points, [0.0]
        at = 0.0
        for i, (a, b, c) in enumerate(zip(points, points[1:], points[2:], strict=False), start=1):
            at += hypot(b[0] - a[0], b[1] - a[1])
            turn = turn_deg((b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1]))
            needed = bends_for(turn)
            if needed and not (w.size.flexible and straight.take(turn, ((w, i - 1), (w, i)))):
                found.append(Turned(w, f"{w.run.id} bend {i} turns {turn:.0f}°", w.run.id, needed))
                cuts.append(at)
        along = w.pipe_ft / w.plan_ft if w.plan_ft else 1.0
        pieces[w.run.id] = tuple((b - a) * along for a, b in zip(cuts, [*cuts[1:], w.plan_ft], strict=True))
    for name, joint in met:
        for arm in joint.arms:
            found += _at_joint(name, joint, arm, straight)
    return Turns(tuple(found), pieces)


def _at_joint(name: str, joint: Joint, arm: Arm, straight: _Straight) -> list[Turned]:
    w, straight_on = arm.end.work, arm is joint.through
    turn = arm.to_bend
    needed = () if takes_tee(joint, arm) else bends_for(turn)
    ends = (arm.end, joint.out) if straight_on else (arm.end,)
    coils = [(e.work, _leg_at(e)) for e in ends if e.work.size.flexible]
    if not needed or (coils and straight.take(turn, coils)):
        return []
    turns = f"turns {arm.turn:.0f}°" if straight_on else f"comes in at {arm.turn:.0f}°, wye takes 45°"
    return [Turned(w, f"{name}: {w.run.id} {turns}", name, needed)]


def _leg_at(end: PipeEnd) -> int:
    return 0 if end.leaving else -1


def takes_tee(joint: Joint, arm: Arm) -> bool:
    """Return whether a branch comes in by a tee: square to the line of perforated pipe that it joins, within what joints take up."""
    near = table("catalogue/stock.toml")["bends"]["near_enough_deg"]
    return arm is not joint.through and joint.out.work.run.use == "drain" and abs(arm.turn - 90.0) <= near + 1e-9
