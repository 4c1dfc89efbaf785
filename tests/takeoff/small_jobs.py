"""Small jobs laid out by hand, so that every expected number can be worked on paper."""

from collections.abc import Callable

import numpy as np

from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Obstacle, Run, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.network.graph import orient
from drainsketch.network.profiles import stationed
from drainsketch.network.results import FlowRun, Grade, Profile, StructureLevels
from drainsketch.takeoff.quantities import takeoff
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import stacks
from drainsketch.takeoff.works import Works, works

Ground = Callable[[float, float], float]
Inverts = dict[str, tuple[float, float]]  # up and down, by run id


def flat(level_ft: float) -> Ground:
    return lambda x, y: level_ft


def basin(name: str, x: float, y: float, **more: object) -> Structure:
    return Structure(id=name, kind="basin", point=(x, y), **more)


def fitting(name: str, x: float, y: float) -> Structure:
    return Structure(id=name, kind="fitting", point=(x, y))


def outfall(name: str, x: float, y: float, kind: str = "daylight") -> Structure:
    return Structure(id=name, kind="outfall", outfall=kind, point=(x, y))


def job_of(structures: list[Structure], runs: list[Run], **criteria: float) -> Job:
    return Job(structures=tuple(structures), runs=tuple(runs), criteria=Criteria(**criteria))


def paved(name: str, west: float, east: float, surface: str | None, south: float = -50, north: float = 50) -> Obstacle:
    """Paving over a rectangle."""
    corners = ((west, south), (east, south), (east, north), (west, north))
    return Obstacle(id=name, kind="hardscape", points=corners, surface=surface)


def laid_out(job: Job, ground: Ground | None = None, inverts: Inverts | None = None) -> Works:
    return works(job, *_stages(job, ground, inverts))


def lines_of(job: Job, ground: Ground | None = None, inverts: Inverts | None = None) -> dict[str, TakeoffLine]:
    """Return the takeoff by item key; fails where an item has more than one line."""
    lines = all_lines(job, ground, inverts)
    keyed = {line.item: line for line in lines}
    assert len(keyed) == len(lines)
    return keyed


def all_lines(job: Job, ground: Ground | None = None, inverts: Inverts | None = None) -> tuple[TakeoffLine, ...]:
    laid = laid_out(job, ground, inverts)
    return takeoff(laid, stacks(laid))


def _stages(job, ground, inverts):
    network = orient(job)
    if ground is None:
        return network, {}, {}, {}
    profiles = {f.id: _profile(f, ground) for f in network.runs}
    runs = {r.id: r for r in job.runs}
    grades = {f.id: _grade(job, runs[f.id], f, *inverts[f.id]) for f in network.runs if f.id in inverts}
    levels = {s.id: _levels(s, network.runs, grades, ground) for s in job.structures}
    return network, profiles, grades, levels


def _profile(flow: FlowRun, ground: Ground) -> Profile:
    station, xy = stationed(flow)
    z = np.array([ground(x, y) for x, y in xy])
    return Profile(flow.id, station, xy[:, 0].copy(), xy[:, 1].copy(), z, np.zeros(len(z), dtype=bool))


def _grade(job: Job, run: Run, flow: FlowRun, up_ft: float, down_ft: float) -> Grade:
    size = pipe_size(run.pipe, run.diameter_in)
    bed_in = job.criteria.stone_bed_in if run.use == "drain" else job.sections.solid_bed_in
    return Grade(
        run_id=run.id,
        length_ft=flow.length_ft,
        slope=(up_ft - down_ft) / flow.length_ft,
        invert_up_ft=up_ft,
        invert_down_ft=down_ft,
        inside_in=size.inside_in,
        outside_in=size.outside_in,
        top_above_invert_ft=(size.inside_in + size.wall_in) / 12,
        bottom_below_invert_ft=(size.wall_in + bed_in) / 12,
        least_cover_ft=0.0,
        least_cover_station_ft=0.0,
        greatest_cover_ft=0.0,
        least_cut_ft=0.0,
        greatest_cut_ft=0.0,
        greatest_cut_station_ft=0.0,
        cover_from_station_ft=0.0,
    )


def _levels(s: Structure, flows, grades, ground: Ground) -> StructureLevels:
    out = [grades[f.id].invert_up_ft for f in flows if f.upstream == s.id and f.id in grades]
    into = tuple((f.id, grades[f.id].invert_down_ft) for f in flows if f.downstream == s.id and f.id in grades)
    level = ground(*s.point)
    return StructureLevels(
        id=s.id,
        ground_ft=level,
        guess=False,
        rim_ft=s.rim_ft if s.rim_ft is not None else level,
        invert_out_ft=min(out, default=None),
        inverts_in=into,
    )
