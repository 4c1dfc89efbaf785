"""The job as it is played: places, links and what sheds to them, by today's ground and with the drains."""

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats, GroundStudy, Inlet
from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Downspout, Job
from drainsketch.network.results import Grade, Network, StructureLevels
from drainsketch.water.field import Field, share_of
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Arrival, Water
from drainsketch.water.storm.links import Grates, Pipes, Soaks
from drainsketch.water.storm.march import System
from drainsketch.water.storm.nodes import nodes_of
from drainsketch.water.storm.piping import Piping, grates_on, pipes_on, piping_of, soaks_on
from drainsketch.water.storm.sheds import Shed
from drainsketch.water.storm.surface import Surface, bare_surface, drained_surface, sheds_of
from drainsketch.water.surfaces import storm_c

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


def stage_now(job: Job, ground: GroundStudy) -> Stage:
    """Return today's ground: rain runs into its hollows and off the yard; roof water lands where the downspouts end."""
    field = Field(job, ground)
    surface = bare_surface(ground)
    count = len(surface.tables)
    label = np.where(surface.place == OFF, count, surface.place).reshape(ground.ground_ft.shape)
    label = np.where(np.isnan(ground.ground_ft), OFF, label)
    sheds = sheds_of(job, field, surface, label, job.water.least_tc_min)
    sheds += [_roof(job, d, _landing(field, surface, d), 1.0) for d in job.downspouts if d.roof_area_ft2 > 0]
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
    surface = drained_surface(ground, _inlets(job, piping, levels, ground), job.water.grate_ponding_in / 12)
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
        soaks_on(job, piping, water, first),
    )
    box = {s: first + n for n, s in enumerate(piping.structures)}
    sheds = _inlet_sheds(job, surface, box, ground, water.arrivals)
    if ground is not None:
        field = Field(job, ground)
        sheds += _other_ground(job, field, surface, box)
    sheds += _roofs(job, Field(job, ground) if ground is not None else None, surface, box, water.arrivals)
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


def _inlet_sheds(
    job: Job, surface: Surface, box: dict[str, int], ground: GroundStudy | None, arrivals: dict[str, Arrival]
) -> list[Shed]:
    """Return the ground that sheds to each inlet, parted among the places that its water comes to first."""
    by_id = structures_by_id(job)
    number = {i.id: n for n, i in enumerate(ground.inlets, start=1)} if ground is not None else {}
    out = []
    for name, a in arrivals.items():
        if name not in box:
            continue
        rarer = a.storm_c / a.c if a.c > 0 else 1.0
        ca = rarer * sum(s.area_ft2 * s.c for s in a.shares if s.surface != "roof")
        s = by_id[name]
        own = surface.dish[name] if s.kind == "basin" else box[name]
        nodes, cells = np.array([own]), np.array([1])
        if s.area_ft2 is None and ground is not None and ground.reaches is not None and name in number:
            mine = surface.place[ground.reaches.ravel() == number[name]]
            if len(mine):
                nodes, cells = np.unique(mine, return_counts=True)
        for node, part in zip(nodes.tolist(), (cells / cells.sum()).tolist(), strict=True):
            if ca > 0:
                out.append(Shed(node, ca * part, a.minutes, name))
    return out


def _other_ground(job: Job, field: Field, surface: Surface, box: dict[str, int]) -> list[Shed]:
    """Return the ground whose water reaches no inlet in the end: into a hollow, or off the yard."""
    ground, count = field.ground, len(surface.tables)
    reached = ground.reaches if ground.reaches is not None else np.zeros(ground.ground_ft.shape, dtype=np.int64)
    counted = np.array([False, *(i.id in box for i in ground.inlets)])[reached]
    place = surface.place.reshape(ground.ground_ft.shape)
    label = np.where(place == OFF, count, place)
    label = np.where(counted | np.isnan(ground.ground_ft), OFF, label)
    return sheds_of(job, field, surface, label, job.water.least_tc_min)


def _roofs(
    job: Job, field: Field | None, surface: Surface, box: dict[str, int], arrivals: dict[str, Arrival]
) -> list[Shed]:
    """Return the roofs: into the pipe that their downspout is joined to, or onto the ground at its foot."""
    joined = {s.downspout: s.id for s in job.structures if s.downspout is not None}
    out = []
    for spout in job.downspouts:
        if spout.roof_area_ft2 <= 0:
            continue
        name = joined.get(spout.id, "")
        if name in box:
            node = box[name]
        elif field is not None:
            node, name = _landing(field, surface, spout), field.inlet_at(spout)
        else:
            continue  # it lands on ground that nobody shot
        a = arrivals.get(name)
        rarer = a.storm_c / a.c if a is not None and a.c > 0 else None
        shed = _roof(job, spout, node, rarer)
        out.append(shed if a is None else Shed(node, shed.ca_ft2, a.minutes, name))
    return out


def _roof(job: Job, spout: Downspout, node: int, rarer: float | None) -> Shed:
    c = share_of(job, "roof", spout.roof_area_ft2, 0.0).c
    years = job.rain.return_period_yr if job.rain.intensity_in_h is None else None
    c = storm_c(c, years) if rarer is None else c * rarer
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
