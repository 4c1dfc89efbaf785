"""The job as it is played: places, links and what sheds to them, by today's ground and with the drains."""

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Bools, Floats, GroundStudy, Inlet
from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Downspout, Job
from drainsketch.network.results import Grade, Network, StructureLevels
from drainsketch.water.arrivals import TYPED
from drainsketch.water.field import Field, share_of
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Arrival, Water
from drainsketch.water.storm.links import Grates, Pipes, Soaks
from drainsketch.water.storm.march import System
from drainsketch.water.storm.nodes import nodes_of
from drainsketch.water.storm.piping import Piping, grates_on, pipes_on, piping_of, soaks_on
from drainsketch.water.storm.sheds import Shed
from drainsketch.water.storm.surface import Surface, bare_surface, drained_surface, ways_min
from drainsketch.water.surfaces import SURFACE_KINDS, composite_c, storm_c

HALF_INCH_FT = 0.04  # of water stands over a grate on a slope before some runs past it, at the least
USUAL_REACH_FT = 0.5  # half a foot about a downspout or the top of a well
OFF = -1


class Stage(Struct, frozen=True):
    """All that a storm is played through. Nodes are those of the surface, then the structures of ``piping``."""

    system: System
    surface: Surface
    piping: Piping
    rims: tuple[str, ...]  # structures of the grates
    start_ft: Floats
    sheds: tuple[Shed, ...]


NO_PIPE = Piping((), (), (), (), (), ())


def stage_now(job: Job, ground: GroundStudy, arrivals: dict[str, Arrival]) -> Stage:
    """Return today's ground: rain runs into its hollows and off the yard; roof water lands where the downspouts end.

    Parameters
    ----------
    arrivals : what the storm brings to each inlet; each foot of ground sheds today what it does then
    """
    field = Field(job, ground)
    surface = bare_surface(ground)
    every = ~np.isnan(ground.ground_ft.ravel())
    sheds = _ground_sheds(job, field, surface, shedding_ft2(job, field, arrivals), every)
    for spout in job.downspouts:
        if spout.roof_area_ft2 > 0:
            taker = arrivals.get(_taker(job, field, spout))  # it rains as hard on the roof today as then
            sheds.append(_roof(job, spout, _landing(field, surface, spout), taker))
    nodes = nodes_of(surface.tables)
    system = System(nodes, np.empty(0), _no_pipes(), _no_grates(), surface.passes, _no_soaks())
    return Stage(system, surface, NO_PIPE, (), nodes.bottom_ft, tuple(sheds))


def stage_drained(
    job: Job,
    network: Network,
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    ground: GroundStudy | None,
    water: Water,
) -> Stage:
    """Return the yard with its drains."""
    piping = piping_of(job, network, grades, levels, water)
    inlets = _inlets(job, piping, levels, ground)
    grated = {s.id for s in job.structures if s.kind == "basin"}
    over_ft = {i.id: max(job.water.grate_ponding_in / 12, HALF_INCH_FT) if i.id in grated else 0.0 for i in inlets}
    surface = drained_surface(ground, inlets, over_ft)
    first = len(surface.tables)
    nodes = nodes_of((*surface.tables, *piping.tables))
    count = first + len(piping.tables)
    rims, grates = grates_on(job, piping, levels, surface, first)
    system = System(
        nodes,
        np.array(piping.fixed_ft, dtype=np.float64),
        pipes_on(job, piping, grades, water, first, count),
        grates,
        surface.passes,
        soaks_on(job, piping, first),
    )
    box = {s: first + n for n, s in enumerate(piping.structures)}
    field = Field(job, ground) if ground is not None else None
    cells = shedding_ft2(job, field, water.arrivals) if field is not None else None
    sheds = _inlet_sheds(job, surface, box, ground, cells, water.arrivals)
    if field is not None and cells is not None:
        sheds += _ground_sheds(job, field, surface, cells, _uncounted(job, field, box, water.arrivals))
    sheds += _roofs(job, field, surface, box, water.arrivals)
    start = np.concatenate([nodes.bottom_ft[:first], piping.start_ft])
    return Stage(system, surface, piping, rims, start, tuple(sheds))


def _inlets(
    job: Job, piping: Piping, levels: dict[str, StructureLevels], ground: GroundStudy | None
) -> tuple[Inlet, ...]:
    """Return every structure that joins ground and pipe, those of the ground study first."""
    known = {i.id: i for i in ground.inlets} if ground is not None else {}
    by_id = structures_by_id(job)
    out = {name: i for name, i in known.items() if name in piping.structures}
    for name in piping.structures:
        s = by_id[name]
        if name not in out and (s.kind in BOXES or s.kind == "outfall"):
            out[name] = Inlet(name, s.point, USUAL_REACH_FT, levels[name].rim_ft)
    return tuple(out.values())


def shedding_ft2(job: Job, field: Field, arrivals: dict[str, Arrival]) -> Floats:
    """Return area times coefficient of every cell, flat, ft2; by surface and slope of the ground that sheds to the same inlet.

    So the ground of each inlet sheds what the review of the peak has it shed, unless its area was typed in place of the ground.
    """
    ground = field.ground
    reached = (ground.reaches if ground.reaches is not None else np.zeros(ground.ground_ft.shape)).astype(np.int64)
    known = ~np.isnan(ground.ground_ft)
    years = job.rain.return_period_yr if job.rain.intensity_in_h is None else None
    table = np.zeros((len(ground.inlets) + 1, len(SURFACE_KINDS)))
    for group, shares in enumerate(field.shares_by(job, np.where(known, reached, OFF), len(ground.inlets) + 1)):
        mean = composite_c((s.area_ft2, s.c) for s in shares)
        rarer = storm_c(mean, years) / mean if mean > 0 else 1.0
        a = arrivals.get(ground.inlets[group - 1].id) if group else None
        if a is not None and mean > 0 and not any(s.surface == TYPED for s in a.shares):
            area = sum(s.area_ft2 for s in shares)
            rarer = _ground_ca_ft2(a) / (mean * area)
        for share in shares:
            table[group, SURFACE_KINDS.index(share.surface)] = share.c * rarer
    c: Floats = np.where(known, table[reached, field.kinds], 0.0).ravel()
    return c * ground.grid.cell_ft**2


def _ground_ca_ft2(a: Arrival) -> float:
    """Return area times coefficient in this storm of what sheds to an inlet over the ground, ft2."""
    rarer = a.storm_c / a.c if a.c > 0 else 1.0
    return rarer * sum(s.area_ft2 * s.c for s in a.shares if s.surface != "roof")


def _inlet_sheds(
    job: Job,
    surface: Surface,
    box: dict[str, int],
    ground: GroundStudy | None,
    cells_ft2: Floats | None,
    arrivals: dict[str, Arrival],
) -> list[Shed]:
    """Return the ground that sheds to each inlet, parted among the places that its water comes to first."""
    by_id = structures_by_id(job)
    number = {i.id: n for n, i in enumerate(ground.inlets, start=1)} if ground is not None else {}
    out = []
    for name, a in arrivals.items():
        ca = _ground_ca_ft2(a)
        if name not in box or ca <= 0:
            continue
        s = by_id[name]
        parts = {surface.dish[name] if s.kind == "basin" else box[name]: 1.0}
        if (
            s.area_ft2 is None
            and ground is not None
            and ground.reaches is not None
            and cells_ft2 is not None
            and name in number
        ):
            mine = ground.reaches.ravel() == number[name]
            nodes, at = np.unique(surface.place[mine], return_inverse=True)
            shares = np.bincount(at, weights=cells_ft2[mine])
            if shares.sum() > 0:
                parts = dict(zip(nodes.tolist(), (shares / shares.sum()).tolist(), strict=True))
        out += [Shed(node, ca * part, a.minutes, name) for node, part in parts.items()]
    return out


def _uncounted(job: Job, field: Field, box: dict[str, int], arrivals: dict[str, Arrival]) -> Bools:
    """Return the cells, flat, whose water no inlet that is played takes in: it goes into a hollow, or off the yard."""
    ground = field.ground
    known: Bools = ~np.isnan(ground.ground_ft.ravel())
    if ground.reaches is None:
        return known
    typed = {s.id for s in job.structures if s.area_ft2 is not None}  # stands in place of the ground
    counted = np.array([False, *(i.id in box and (i.id in arrivals or i.id in typed) for i in ground.inlets)])
    taken: Bools = counted[ground.reaches.ravel()]
    return known & ~taken


def _ground_sheds(job: Job, field: Field, surface: Surface, cells_ft2: Floats, among: Bools) -> list[Shed]:
    """Return what cells shed to the places that their water comes to first, and off the yard."""
    minutes = [*ways_min(job, field, surface), job.water.least_tc_min]
    count = len(surface.tables)
    place = np.where(surface.place == OFF, count, surface.place)[among]
    ca = np.bincount(place, weights=cells_ft2[among], minlength=count + 1)
    return [
        Shed(node if node < count else OFF, float(ca[node]), minutes[node]) for node in np.flatnonzero(ca > 0).tolist()
    ]


def _roofs(
    job: Job, field: Field | None, surface: Surface, box: dict[str, int], arrivals: dict[str, Arrival]
) -> list[Shed]:
    """Return the roofs: into the pipe that their downspout is joined to, or onto the ground at its foot."""
    out = []
    for spout in job.downspouts:
        name = _taker(job, field, spout)
        joined = any(s.downspout == spout.id for s in job.structures if s.id == name)
        if spout.roof_area_ft2 <= 0 or (field is None and name not in box):
            continue  # no roof, or it lands on ground that nobody shot
        node = box[name] if joined and name in box else OFF if field is None else _landing(field, surface, spout)
        a = arrivals.get(name)
        shed = _roof(job, spout, node, a)
        out.append(shed if a is None else Shed(node, shed.ca_ft2, a.minutes, name))
    return out


def _taker(job: Job, field: Field | None, spout: Downspout) -> str:
    """Return the inlet that takes the water of a downspout in with the drains: by pipe, or off the ground at its foot; '' for none."""
    joined = next((s.id for s in job.structures if s.downspout == spout.id), "")
    return joined or (field.inlet_at(spout) if field is not None else "")


def _roof(job: Job, spout: Downspout, node: int, a: Arrival | None) -> Shed:
    """Return what a roof sheds; ``a`` is what arrives at the inlet that takes it in, with the factor of its storm."""
    c = share_of(job, "roof", spout.roof_area_ft2, 0.0).c
    years = job.rain.return_period_yr if job.rain.intensity_in_h is None else None
    c = storm_c(c, years) if a is None or a.c <= 0 else c * a.storm_c / a.c
    return Shed(node, c * spout.roof_area_ft2, job.water.least_tc_min)


def _landing(field: Field, surface: Surface, spout: Downspout) -> int:
    """Return the place that roof water of a loose downspout comes to first."""
    cell = field.cell_near(spout.point)
    return int(surface.place[cell]) if cell is not None else OFF


def _no_pipes() -> Pipes:
    none, whole = np.empty(0), np.empty(0, dtype=np.int64)
    return Pipes(whole, whole, none, none, none, none, none, none, none, np.empty((0, 2)), none)


def _no_grates() -> Grates:
    none, whole = np.empty(0), np.empty(0, dtype=np.int64)
    return Grates(whole, whole, none, none, none, none)


def _no_soaks() -> Soaks:
    return Soaks(np.empty(0, dtype=np.int64), np.empty(0), np.empty(0))
