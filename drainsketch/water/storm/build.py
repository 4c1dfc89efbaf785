"""The job as it is played: places, links and what sheds to them, by today's ground and with the drains."""

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats, GroundStudy, Inlet, Ints
from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Downspout, Job
from drainsketch.network.results import Grade, Network, StructureLevels
from drainsketch.water.arrivals import TYPED
from drainsketch.water.field import Field, share_of
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Arrival, SurfaceShare, Water
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
    every = np.ones(ground.ground_ft.size)
    sheds = _ground_sheds(job, field, surface, shedding_ft2(job, field, arrivals), every)
    for spout in job.downspouts:
        for name, part in _takers(job, field, spout):
            a = arrivals.get(name)  # it rains as hard on the roof today as then
            sheds.append(
                Shed(_landing(field, surface, spout), part * _roof_ca_ft2(job, spout, a), job.water.least_tc_min)
            )
    nodes = nodes_of(surface.tables)
    system = System(
        nodes, np.empty(0), _no_pipes(), _no_grates(), surface.passes, _no_soaks(), np.empty(0, dtype=np.int64)
    )
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
    field = Field(job, ground) if ground is not None else None
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
        _let_out_onto(job, piping, surface, field),
    )
    box = {s: first + n for n, s in enumerate(piping.structures)}
    cells = shedding_ft2(job, field, water.arrivals) if field is not None else None
    sheds = _inlet_sheds(job, surface, box, field, cells, water.arrivals)
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


def _let_out_onto(job: Job, piping: Piping, surface: Surface, field: Field | None) -> Ints:
    """Return the place that water comes to first that an outfall lets out over the ground; OFF where it leaves the yard or goes into a pipe."""
    by_id = structures_by_id(job)
    out = []
    for name in piping.open_ends:
        s = by_id[name]
        cell = field.cell_near(s.point) if field is not None and s.outfall in ("daylight", "pop-up") else None
        out.append(int(surface.place[cell]) if cell is not None else OFF)
    return np.array(out, dtype=np.int64)


def shedding_ft2(job: Job, field: Field, arrivals: dict[str, Arrival]) -> Floats:
    """Return area times coefficient of every cell, flat, ft2; by surface and slope of the ground that sheds to the same inlet.

    So the ground of each inlet sheds what the review of the peak has it shed, unless its area was typed in place of the ground.
    """
    ground = field.ground
    kinds, cell_ft2 = field.kinds.ravel(), ground.grid.cell_ft**2
    years = job.rain.return_period_yr if job.rain.intensity_in_h is None else None
    out, taken = np.zeros(kinds.size), np.zeros(kinds.size)

    def add(cells: Ints, parts: Floats, shares: tuple[SurfaceShare, ...], ca_ft2: float | None) -> None:
        mean, area = composite_c((s.area_ft2, s.c) for s in shares), sum(s.area_ft2 for s in shares)
        rarer = (storm_c(mean, years) if ca_ft2 is None else ca_ft2 / area) / mean if mean > 0 else 1.0
        c = np.zeros(len(SURFACE_KINDS))
        for share in shares:
            c[[kind == share.surface for kind in SURFACE_KINDS]] = share.c * rarer
        out[cells] += parts * c[kinds[cells]] * cell_ft2
        taken[cells] += parts

    for inlet in ground.inlets:
        a = arrivals.get(inlet.id)
        found = a is not None and not any(s.surface == TYPED for s in a.shares)
        add(*field.parts(inlet.id), field.shares(job, inlet.id), _ground_ca_ft2(a) if a is not None and found else None)
    rest = np.flatnonzero(~np.isnan(ground.ground_ft.ravel()) & (taken == 0))
    label = np.full(kinds.size, OFF, dtype=np.int64)
    label[rest] = 0
    add(rest, np.ones(len(rest)), field.shares_by(job, label.reshape(ground.ground_ft.shape), 1)[0], None)
    return out


def _ground_ca_ft2(a: Arrival) -> float:
    """Return area times coefficient in this storm of what sheds to an inlet over the ground, ft2."""
    rarer = a.storm_c / a.c if a.c > 0 else 1.0
    return rarer * sum(s.area_ft2 * s.c for s in a.shares if s.surface != "roof")


def _inlet_sheds(
    job: Job,
    surface: Surface,
    box: dict[str, int],
    field: Field | None,
    cells_ft2: Floats | None,
    arrivals: dict[str, Arrival],
) -> list[Shed]:
    """Return the ground that sheds to each inlet, parted among the places that its water comes to first."""
    by_id = structures_by_id(job)
    out = []
    for name, a in arrivals.items():
        ca = _ground_ca_ft2(a)
        if name not in box or ca <= 0:
            continue
        s = by_id[name]
        parts = {surface.dish[name] if s.kind == "basin" else box[name]: 1.0}
        if s.area_ft2 is None and field is not None and cells_ft2 is not None:
            cells, part_of = field.parts(name)
            nodes, at = np.unique(surface.place[cells], return_inverse=True)
            shares = np.bincount(at, weights=cells_ft2[cells] * part_of)
            if shares.sum() > 0:
                parts = dict(zip(nodes.tolist(), (shares / shares.sum()).tolist(), strict=True))
        out += [Shed(node, ca * part, a.minutes, name) for node, part in parts.items()]
    return out


def _uncounted(job: Job, field: Field, box: dict[str, int], arrivals: dict[str, Arrival]) -> Floats:
    """Return of each cell, flat, the part whose water no inlet that is played takes in: it goes into a hollow, or off the yard."""
    left: Floats = (~np.isnan(field.ground.ground_ft.ravel())).astype(np.float64)
    typed = {s.id for s in job.structures if s.area_ft2 is not None}  # stands in place of the ground
    for inlet in field.ground.inlets:
        if inlet.id in box and (inlet.id in arrivals or inlet.id in typed):
            cells, parts = field.parts(inlet.id)
            left[cells] = np.maximum(left[cells] - parts, 0.0)
    return left


def _ground_sheds(job: Job, field: Field, surface: Surface, cells_ft2: Floats, parts: Floats) -> list[Shed]:
    """Return what cells, or parts of them, shed to the places that their water comes to first, and off the yard."""
    minutes = [*ways_min(job, field, surface), job.water.least_tc_min]
    count = len(surface.tables)
    place = np.where(surface.place == OFF, count, surface.place)
    ca = np.bincount(place, weights=cells_ft2 * parts, minlength=count + 1)
    return [
        Shed(node if node < count else OFF, float(ca[node]), minutes[node]) for node in np.flatnonzero(ca > 0).tolist()
    ]


def _roofs(
    job: Job, field: Field | None, surface: Surface, box: dict[str, int], arrivals: dict[str, Arrival]
) -> list[Shed]:
    """Return the roofs: into the pipe that their downspout is joined to, or onto the ground at its foot."""
    joined = {s.downspout: s.id for s in job.structures if s.downspout is not None}
    out = []
    for spout in job.downspouts:
        node = box.get(joined.get(spout.id, ""))
        if node is None and field is None:
            continue  # it lands on ground that nobody shot
        for name, part in _takers(job, field, spout):
            a = arrivals.get(name)
            minutes = a.minutes if a is not None else job.water.least_tc_min
            to = node if node is not None or field is None else _landing(field, surface, spout)
            out.append(
                Shed(
                    OFF if to is None else to,
                    part * _roof_ca_ft2(job, spout, a),
                    minutes,
                    name if a is not None else "",
                )
            )
    return out


def _takers(job: Job, field: Field | None, spout: Downspout) -> list[tuple[str, float]]:
    """Return the inlets that take in the water of a downspout with the drains, by pipe or off the ground at its foot, and the part of each.

    A roof that none takes in has one of no name; a downspout without a roof has none.
    """
    if spout.roof_area_ft2 <= 0:
        return []
    joined = next((s.id for s in job.structures if s.downspout == spout.id), "")
    names = (joined,) if joined or field is None else field.takers(spout) or ("",)
    return [(name, 1 / len(names)) for name in names]


def _roof_ca_ft2(job: Job, spout: Downspout, a: Arrival | None) -> float:
    """Return area times coefficient of a roof in this storm, ft2; ``a`` is what arrives at the inlet that takes it in, with the factor of
    its storm."""
    c = share_of(job, "roof", spout.roof_area_ft2, 0.0).c
    years = job.rain.return_period_yr if job.rain.intensity_in_h is None else None
    c = storm_c(c, years) if a is None or a.c <= 0 else c * a.storm_c / a.c
    return c * spout.roof_area_ft2


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
