"""The takeoff: every count, in the order a supplier's list and a digging plan are read."""

from drainsketch.takeoff.basins import basin_openings, bodies_and_grates, risers
from drainsketch.takeoff.buying import waste_pct, with_purchases
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.fittings import adapters, bends, end_caps, joints, reducers, wyes
from drainsketch.takeoff.goods import fabric, grate_screws, marking_tape, splash_stone
from drainsketch.takeoff.outlets import outlets
from drainsketch.takeoff.pipe import couplings, pipe_feet, pipe_stock, sock_feet
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.spoil import spoil
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.stone import (
    base_course,
    basin_bed,
    drain_stone,
    dry_well_backfill,
    dry_well_stone,
    solid_stone,
    topsoil_cap,
)
from drainsketch.takeoff.surfaces import surfaces
from drainsketch.takeoff.sweeps import turns_of
from drainsketch.takeoff.trench import basin_holes, dry_well_holes, run_trenches
from drainsketch.takeoff.uprights import upright_feet, uprights
from drainsketch.takeoff.works import Works


def takeoff(w: Works, stood: dict[str, Stack]) -> tuple[TakeoffLine, ...]:
    """Return the takeoff, in the order of ``results.GROUPS``; quantities are exact, beside them stands what is bought.

    Parameters
    ----------
    w : the job laid out for counting
    stood : the stack of every basin whose levels are known

    Runs without a grade and structures without levels count their lengths and pieces only: nothing that depends on depth.
    """
    job, met = w.job, joints(w)
    turns, dug = turns_of(w, met), earth(w, stood)
    feet = pipe_feet(w)
    lines = (
        *(feet, pipe_stock(w, feet, waste_pct(job, "pipe")), sock_feet(w), marking_tape(w)),
        *(bends(turns), wyes(met), reducers(met), adapters(met), couplings(w, turns, met), end_caps(w)),
        *(bodies_and_grates(w), risers(w, stood), basin_openings(w), grate_screws(w)),
        *(uprights(w), upright_feet(w), outlets(w), splash_stone(w)),
        *(run_trenches(dug), basin_holes(dug), dry_well_holes(dug)),
        *(
            drain_stone(dug, job.criteria),
            solid_stone(dug, job.criteria),
            basin_bed(dug, job.criteria),
            dry_well_stone(dug, job.criteria),
        ),
        *(topsoil_cap(dug, job.criteria), dry_well_backfill(dug)),
        *(base_course(dug), fabric(w, dug), spoil(dug, job)),
        surfaces(w, dug),
    )
    return with_purchases((line for some in lines for line in some), job)
