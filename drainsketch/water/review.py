"""The water review: what the storm brings, what pipe and grates do with it, and where it backs up."""

from collections.abc import Sequence

from drainsketch.ground.passing import past_inlets_ft2
from drainsketch.ground.results import GroundStudy
from drainsketch.job.model import Job
from drainsketch.network.results import Grade, Network, StructureLevels
from drainsketch.water.arrivals import arrivals_of
from drainsketch.water.escapes import escapes_of
from drainsketch.water.flows import pipe_flows
from drainsketch.water.heads import BOXES, grade_lines
from drainsketch.water.inlets import grate_flows
from drainsketch.water.rain import lacking
from drainsketch.water.results import Arrival, Water
from drainsketch.water.stores import StoneTrench
from drainsketch.water.tailwater import high_tailwaters
from drainsketch.water.underground import stores_of
from drainsketch.water.wells import wells_of


def water_of(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    ground: GroundStudy | None,
    arrivals: dict[str, Arrival] | None = None,
    stone: Sequence[StoneTrench] = (),
) -> Water:
    """Return the water review of a job at the peak of its storm.

    Parameters
    ----------
    arrivals : those of an earlier review of the same rain and ground, where they still hold
    stone : the stone round perforated pipe, of runs that have a grade
    """
    lack = lacking(job.rain)
    if lack or not network.inlets:
        return Water(lack, {}, {}, {}, {}, {})
    if arrivals is None:
        arrivals = arrivals_of(job, ground, network.inlets)
    flows = pipe_flows(job, network, grades, arrivals)
    lines, heads = grade_lines(job, network, grades, levels, flows)
    escapes, over, relieved = escapes_of(job, network, grades, levels, flows, heads, ground)
    held = {at for at, z in levels.items() if z.no_invert}  # that their water cannot leave is told elsewhere
    asked = {s.id for s in job.structures if s.kind in BOXES and s.area_ft2 is None} - held
    return Water(
        lacking="",
        arrivals=arrivals,
        pipes=flows,
        grates=grate_flows(job, arrivals, escapes.values()),
        lines=lines,
        heads=heads,
        escapes=escapes,
        over=over,
        wells=wells_of(job, network, arrivals, levels, stone),
        stores=stores_of(job, grades, levels, stone),
        relieved=relieved,
        tailwaters=high_tailwaters(job, network, levels),
        past_ft2=past_inlets_ft2(job, ground) if ground is not None else None,
        unmeasured=tuple(i for i in network.inlets if i in asked and i not in arrivals),
    )
