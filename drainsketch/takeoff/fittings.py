"""Fittings: bends, wyes, tees, reducers, adapters and end caps, from the real angles and joints."""

from drainsketch.takeoff.joints import Joint, joint_of
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.sweeps import Turns, takes_tee
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works

JOINTED = ("fitting", "cleanout", "downspout inlet")
Met = list[tuple[str, Joint]]


def joints(works: Works) -> Met:
    """Return every place where pipes meet pipes, with its structure id. Basins and outfalls take each pipe by itself."""
    return [
        (s.id, joint_of(works.ends[s.id]))
        for s in works.job.structures
        if s.kind in JOINTED and len(works.ends[s.id]) > 1
    ]


def bends(turns: Turns) -> list[TakeoffLine]:
    """Return stock bends by pipe kind, diameter and angle, at the bends of runs and at joints."""
    tally = Tally("fittings", "each", "bend")
    for t in turns.turned:
        run = t.work.run
        for angle in dict.fromkeys(t.bends):
            count = t.bends.count(angle)
            tally.add("bend", count, t.where, t.owner, pipe=run.pipe, diameter_in=run.diameter_in, angle_deg=angle)
    return tally.lines()


def wyes(met: Met) -> list[TakeoffLine]:
    """Return wyes and tees by pipe kind and sizes: one for each pipe more than two that meets at a joint."""
    wye, tee = Tally("fittings", "each", "wye"), Tally("fittings", "each", "tee")
    for at, joint in met:
        out = joint.out.work.run
        for arm in joint.branches:
            branch = arm.end.work.run
            sizes = {"diameter_in": out.diameter_in, "branch_in": min(branch.diameter_in, out.diameter_in)}
            tally, item = (tee, "tee") if takes_tee(joint, arm) else (wye, "wye")
            tally.add(item, 1, f"{at} takes in {branch.id}", at, pipe=out.pipe, **sizes)
    return tee.lines() + wye.lines()


def reducers(met: Met) -> list[TakeoffLine]:
    """Return reducers: where the pipe that runs through changes diameter, or a branch is wider than the pipe it joins."""
    tally = Tally("fittings", "each", "reducer")
    for at, joint in met:
        out = joint.out.work.run
        for arm in joint.arms:
            up = arm.end.work.run
            if up.diameter_in == out.diameter_in or (arm is not joint.through and up.diameter_in < out.diameter_in):
                continue
            small_in, large_in = sorted((up.diameter_in, out.diameter_in))
            why = f"{at}: {up.id} {up.diameter_in} in to {out.id} {out.diameter_in} in"
            tally.add("reducer", 1, why, at, pipe=out.pipe, diameter_in=large_in, small_in=small_in)
    return tally.lines()


def adapters(met: Met) -> list[TakeoffLine]:
    """Return adapters between pipe kinds, at the diameter of the arriving pipe."""
    tally = Tally("fittings", "each", "adapter")
    for at, joint in met:
        out = joint.out.work.run
        for arm in joint.arms:
            up = arm.end.work.run
            if up.pipe != out.pipe:
                kinds = {"pipe": up.pipe, "to_pipe": out.pipe}
                tally.add("adapter", 1, f"{at}: {up.id} to {out.id}", at, **kinds, diameter_in=up.diameter_in)
    return tally.lines()


def end_caps(works: Works) -> list[TakeoffLine]:
    """Return end caps: one where a single pipe ends at a fitting."""
    tally = Tally("fittings", "each", "end_cap")
    for s in works.job.structures:
        if s.kind == "fitting" and len(works.ends[s.id]) == 1:
            run = works.ends[s.id][0].work.run
            tally.add("end_cap", 1, f"{s.id} closes {run.id}", s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()
