"""The takeoff: every count, in the order a supplier's list and a digging plan are read."""

from drainsketch.takeoff.basins import basin_openings, bodies_and_grates, risers
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.fittings import adapters, bends, end_caps, joints, reducers, wyes
from drainsketch.takeoff.outlets import outlets
from drainsketch.takeoff.pipe import couplings, pipe_feet, pipe_stock, sock_feet
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.spoil import spoil
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.stone import basin_bed, drain_stone, dry_well_backfill, dry_well_stone, topsoil_cap
from drainsketch.takeoff.trench import basin_holes, dry_well_holes, run_trenches
from drainsketch.takeoff.uprights import upright_feet, uprights
from drainsketch.takeoff.works import Works


def takeoff(w: Works, stood: dict[str, Stack]) -> tuple[TakeoffLine, ...]:
    """Return the takeoff, in the order of ``results.GROUPS``; quantities are exact, nothing is rounded or wasted.

    Parameters
    ----------
    w : the job laid out for counting
    stood : the stack of every basin whose levels are known

    Runs without a grade and structures without levels count their lengths and pieces only: nothing that depends on depth.
    """
    job, met = w.job, joints(w)
    dug = earth(w, stood)
    feet = pipe_feet(w)
    lines = (
        *(feet, pipe_stock(w, feet), sock_feet(w)),
        *(bends(w, met), wyes(met), reducers(met), adapters(met), couplings(w), end_caps(w)),
        *(bodies_and_grates(w), risers(w, stood), basin_openings(w), uprights(w), upright_feet(w), outlets(w)),
        *(run_trenches(dug), basin_holes(dug), dry_well_holes(dug)),
        *(drain_stone(dug, job.criteria), basin_bed(dug, job.criteria), dry_well_stone(dug, job.criteria)),
        *(topsoil_cap(dug, job.criteria), dry_well_backfill(dug)),
        spoil(dug, job),
    )
    return tuple(line for some in lines for line in some)
