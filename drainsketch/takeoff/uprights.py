"""Uprights: cleanouts and downspout inlets, where a pipe comes up to the surface."""

from drainsketch.takeoff.joints import joint_of
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import lowest_invert_ft
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import PipeEnd, Works

KINDS = {"cleanout": "cleanout", "downspout inlet": "downspout"}


def uprights(works: Works) -> list[TakeoffLine]:
    """Return the pieces of cleanouts and downspout inlets, a set for each, by pipe kind and diameter.

    At the head of a line the upright stands on a 90 degree bend; on a line that runs through it stands on a wye and a 45.
    """
    lines = []
    for kind, name in KINDS.items():
        head = Tally("structures", "each", f"{name}_head")
        inline = Tally("structures", "each", f"{name}_inline")
        for s in works.job.structures:
            ends = works.ends[s.id]
            if s.kind == kind and ends:
                tally, item = (head, f"{name}_head") if len(ends) == 1 else (inline, f"{name}_inline")
                run = _out(ends).work.run
                tally.add(item, 1, s.id, s.id, pipe=run.pipe, diameter_in=run.diameter_in)
        lines += head.lines() + inline.lines()
    return lines


def upright_feet(works: Works) -> list[TakeoffLine]:
    """Return feet of pipe from invert to rim at cleanouts and downspout inlets whose levels are known."""
    tally = Tally("structures", "ft", "upright")
    for s in works.job.structures:
        invert_ft = lowest_invert_ft(works, s.id)
        if s.kind in KINDS and invert_ft is not None and works.ends[s.id]:
            rim_ft = works.levels[s.id].rim_ft
            run = _out(works.ends[s.id]).work.run
            up_ft = max(0.0, rim_ft - invert_ft)
            why = f"{s.id}: {rim_ft:.2f} - {invert_ft:.2f}"
            tally.add(f"{KINDS[s.kind]}_upright", up_ft, why, s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()


def _out(ends: tuple[PipeEnd, ...]) -> PipeEnd:
    return ends[0] if len(ends) == 1 else joint_of(ends).out
