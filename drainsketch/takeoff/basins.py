"""Basins: bodies, risers, grates, and an opening for every pipe."""

from collections import Counter

from drainsketch.job.basins import basin_body
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works


def bodies_and_grates(works: Works) -> list[TakeoffLine]:
    """Return basin bodies and grates by size: one of each for every basin."""
    bodies, grates = Tally("structures", "each", "basin"), Tally("structures", "each", "grate")
    for s in works.job.structures:
        if s.kind == "basin":
            size_in = basin_body(works.job, s.size_in).size_in
            bodies.add("basin_body", 1, s.id, s.id, size_in=size_in)
            grates.add("grate", 1, s.id, s.id, size_in=size_in)
    return bodies.lines() + grates.lines()


def risers(works: Works, stood: dict[str, Stack]) -> list[TakeoffLine]:
    """Return risers by size, from each basin's depth; ``stood`` is the stack of each basin whose levels are known."""
    tally = Tally("structures", "each", "riser")
    for name, stack in stood.items():
        for height_in, count in Counter(stack.risers_in).items():
            why = _stack_sum(name, stack)
            tally.add("riser", count, why, name, size_in=stack.body.size_in, height_in=height_in)
    return tally.lines()


def _stack_sum(name: str, stack: Stack) -> str:
    height_in = (stack.rim_ft - stack.bottom_ft) * 12
    body_in = stack.body.height_in + stack.body.grate_in
    risers = " + ".join(f"{height:g}" for height in stack.risers_in)
    left = f"grate {stack.low_in:.1f} in low" if stack.low_in > 0.05 else ""
    left = f"top one cut by {stack.trim_in:.1f} in" if stack.trim_in > 0.05 else left
    height = f"rim {stack.rim_ft:.2f} - bottom {stack.bottom_ft:.2f} = {height_in:.1f} in"
    made_up = f"less body {body_in:g} in = {height_in - body_in:.1f} in, made up by {risers} in"
    return ", ".join(part for part in (f"{name}: {height}", made_up, left) if part)


def basin_openings(works: Works) -> list[TakeoffLine]:
    """Return the adapters that take pipes into basins: one for each pipe end."""
    tally = Tally("structures", "each", "basin_opening")
    for s in works.job.structures:
        if s.kind == "basin":
            for end in works.ends[s.id]:
                run = end.work.run
                tally.add("basin_opening", 1, f"{s.id}: {run.id}", s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()
