"""Basins: bodies, risers, grates, and an opening for every pipe."""

from drainsketch.resources import table
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import Stack, basin_size_in
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works


def bodies_and_grates(works: Works) -> list[TakeoffLine]:
    """Return basin bodies and grates by size: one of each for every basin."""
    bodies, grates = Tally("structures", "each", "basin"), Tally("structures", "each", "grate")
    for s in works.job.structures:
        if s.kind == "basin":
            size_in = basin_size_in(s.size_in)
            bodies.add("basin_body", 1, s.id, s.id, size_in=size_in)
            grates.add("grate", 1, s.id, s.id, size_in=size_in)
    return bodies.lines() + grates.lines()


def risers(works: Works, stood: dict[str, Stack]) -> list[TakeoffLine]:
    """Return risers by size, from each basin's depth; ``stood`` is the stack of each basin whose levels are known."""
    riser_in = table("catalogue/stock.toml")["riser"]["height_in"]
    tally = Tally("structures", "each", "riser")
    for name, stack in stood.items():
        if stack.risers:
            size_in = basin_size_in(works.structures[name].size_in)
            why = _stack_sum(name, stack, riser_in)
            tally.add("riser", stack.risers, why, name, size_in=size_in, height_in=riser_in)
    return tally.lines()


def _stack_sum(name: str, stack: Stack, riser_in: float) -> str:
    height_in = (stack.rim_ft - stack.bottom_ft) * 12
    over_in = height_in - stack.body_in
    cut = f", top one cut by {stack.trim_in:.1f} in" if stack.trim_in > 0.05 else ""
    height = f"rim {stack.rim_ft:.2f} - bottom {stack.bottom_ft:.2f} = {height_in:.1f} in"
    return f"{name}: {height}, less body {stack.body_in:g} in = {over_in:.1f} in, / {riser_in:g} in, rounded up{cut}"


def basin_openings(works: Works) -> list[TakeoffLine]:
    """Return the adapters that take pipes into basins: one for each pipe end."""
    tally = Tally("structures", "each", "basin_opening")
    for s in works.job.structures:
        if s.kind == "basin":
            for end in works.ends[s.id]:
                run = end.work.run
                tally.add("basin_opening", 1, f"{s.id}: {run.id}", s.id, pipe=run.pipe, diameter_in=run.diameter_in)
    return tally.lines()
