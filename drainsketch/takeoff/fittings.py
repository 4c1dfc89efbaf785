"""Fittings: bends, wyes, reducers, adapters and end caps, from the real angles and joints."""

from drainsketch.takeoff.bends import bends_for, turn_deg
from drainsketch.takeoff.joints import Joint, joint_of
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import RunWork, Works

JOINTED = ("fitting", "cleanout", "downspout inlet")


def joints(works: Works) -> list[tuple[str, Joint]]:
    """Return every place where pipes meet pipes, with its structure id. Basins and outfalls take each pipe by itself."""
    return [(s.id, joint_of(works.ends[s.id])) for s in works.job.structures if s.kind in JOINTED and len(works.ends[s.id]) > 1]


def bends(works: Works) -> list[TakeoffLine]:
    """Return stock bends by pipe kind, diameter and angle, at the bends of runs and at joints."""
    tally = Tally("fittings", "each", "bend", between="; ")
    for w in works.runs:
        points = w.points
        for i, (a, b, c) in enumerate(zip(points, points[1:], points[2:], strict=False), start=1):
            turn = turn_deg((b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1]))
            _add_bends(tally, w, turn, w.size.flexible, f"{w.run.id} bend {i} turns {turn:.0f}°", w.run.id)
    for at, joint in joints(works):
        for arm in joint.arms:
            flexible = arm.end.work.size.flexible or (arm is joint.through and joint.out.work.size.flexible)
            turned = f"turns {arm.turn:.0f}°" if arm is joint.through else f"comes in at {arm.turn:.0f}°, wye takes 45°"
            _add_bends(tally, arm.end.work, arm.to_bend, flexible, f"{at} {arm.end.work.run.id} {turned}", at)
    return tally.lines()


def _add_bends(tally: Tally, w: RunWork, turn: float, flexible: bool, where: str, owner: str) -> None:
    needed = bends_for(turn, flexible)
    for angle in dict.fromkeys(needed):
        count = needed.count(angle)
        term = f"{where}: {count} x {angle:g}°"
        tally.add("bend", count, term, owner, pipe=w.run.pipe, diameter_in=w.run.diameter_in, angle_deg=angle)


def wyes(works: Works) -> list[TakeoffLine]:
    """Return wyes by pipe kind and sizes: one for each pipe more than two that meets at a joint."""
    tally = Tally("fittings", "each", "wye", between="; ")
    for at, joint in joints(works):
        out = joint.out.work.run
        for arm in joint.branches:
            branch = arm.end.work.run
            branch_in = min(branch.diameter_in, out.diameter_in)
            tally.add("wye", 1, f"{at} takes in {branch.id}", at, pipe=out.pipe, diameter_in=out.diameter_in, branch_in=branch_in)
    return tally.lines()


def reducers(works: Works) -> list[TakeoffLine]:
    """Return reducers: where the pipe that runs through changes diameter, or a branch is wider than the pipe it joins."""
    tally = Tally("fittings", "each", "reducer", between="; ")
    for at, joint in joints(works):
        out = joint.out.work.run
        for arm in joint.arms:
            up = arm.end.work.run
            if up.diameter_in == out.diameter_in or (arm is not joint.through and up.diameter_in < out.diameter_in):
                continue
            large_in, small_in = max(up.diameter_in, out.diameter_in), min(up.diameter_in, out.diameter_in)
            term = f"{at} {up.id} {up.diameter_in} in to {out.id} {out.diameter_in} in"
            tally.add("reducer", 1, term, at, pipe=out.pipe, diameter_in=large_in, small_in=small_in)
    return tally.lines()


def adapters(works: Works) -> list[TakeoffLine]:
    """Return adapters between pipe kinds, at the diameter of the arriving pipe."""
    tally = Tally("fittings", "each", "adapter", between="; ")
    for at, joint in joints(works):
        out = joint.out.work.run
        for arm in joint.arms:
            up = arm.end.work.run
            if up.pipe != out.pipe:
                tally.add("adapter", 1, f"{at} {up.id} to {out.id}", at, pipe=up.pipe, to_pipe=out.pipe, diameter_in=up.diameter_in)
    return tally.lines()


def end_caps(works: Works) -> list[TakeoffLine]:
    """Return end caps: one where a single pipe ends at a fitting."""
    tally = Tally("fittings", "each", "end_cap", between="; ")
    for s in works.job.structures:
        if s.kind == "fitting" and len(works.ends[s.id]) == 1:
            run = works.ends[s.id][0].work.run
            tally.add("end_cap", 1, f"{s.id} closes {run.id}", s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()
