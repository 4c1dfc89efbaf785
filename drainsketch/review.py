"""The review: one pure function that runs the stages over a job and collects what they find.

Each stage is kept from the review before when its inputs are the same, so that dragging one basin never rebuilds the ground.
"""

from collections.abc import Iterable
from math import inf

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.findings import Finding, Place, finding, worst_first
from drainsketch.ground.book import book_levels, levelled_shots
from drainsketch.ground.checks import shot_findings
from drainsketch.ground.grid import buildings
from drainsketch.ground.readings import book_findings
from drainsketch.ground.results import BookLevels, LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.ask import is_closed, length_ft
from drainsketch.job.kinds import Point
from drainsketch.job.levelling import Laying
from drainsketch.job.model import Boundary, Heap, Job, Obstacle
from drainsketch.network.beside import stands_on_findings
from drainsketch.network.bounds import Bounds, least_slopes
from drainsketch.network.crossing_findings import crossing_findings
from drainsketch.network.crossings import crossings
from drainsketch.network.cutsheet import CutSheet, cut_sheet
from drainsketch.network.downhill import depth_findings, fall_findings
from drainsketch.network.footings import footing_findings
from drainsketch.network.grades import Placed, grades_of, place
from drainsketch.network.graph import inlet_paths, orient, shape_findings
from drainsketch.network.heaps import heap_findings
from drainsketch.network.heights import with_heights
from drainsketch.network.inlets import inlet_findings
from drainsketch.network.laid import LaidRun, laid_runs
from drainsketch.network.laid_checks import laid_findings
from drainsketch.network.meetings import lines_of_runs
from drainsketch.network.onplan import OnPlan, on_plan
from drainsketch.network.outfalls import outfall_findings
from drainsketch.network.pits import Pit, pit_findings, pits_of
from drainsketch.network.profiles import profiles
from drainsketch.network.results import Crossing, Grade, InletPath, Network, Profile, Shortfall, StructureLevels
from drainsketch.network.shapes import shapes_of
from drainsketch.network.troubles import RUNS
from drainsketch.takeoff.loading import Load, load_list
from drainsketch.takeoff.openings import Opening, opening_findings, openings
from drainsketch.takeoff.quantities import takeoff
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import Stack, stacks
from drainsketch.takeoff.unknown import paving_findings
from drainsketch.takeoff.works import Works, works


class Review(Struct, frozen=True):
    """Everything the program can say about a job. ``levels`` and ``grades`` are empty until there are shots."""

    job: Job
    book: BookLevels
    book_findings: tuple[Finding, ...]
    shots: tuple[LevelledShot, ...]  # those with a level
    surface: Surface | None
    network: Network
    lengths_ft: dict[str, float]  # of every run in plan, by run id
    profiles: dict[str, Profile]  # by run id
    grades: dict[str, Grade]  # by run id
    levels: dict[str, StructureLevels]  # by structure id
    shortfalls: tuple[Shortfall, ...]
    bounds: Bounds | None  # what the grades were placed within
    placed: Placed | None
    paths: tuple[InletPath, ...]
    plan: OnPlan
    crossings: tuple[Crossing, ...]
    stacks: dict[str, Stack]  # by basin id
    openings: dict[str, tuple[Opening, ...]]  # by basin id
    laying: Laying  # the job's, with the heights that it takes from the level book
    laid: dict[str, LaidRun]  # by run id; {} while nothing was read on laid pipe
    works: Works  # laid out for counting
    findings: tuple[Finding, ...]

    @property
    def workable(self) -> dict[str, Grade]:
        """The grades pipe can be laid to, by run id: without those at a structure that has no invert, and of runs that are stopped."""
        return _without(self.grades, _not_laid(self.network, self.levels, self.findings))

    @property
    def undug(self) -> frozenset[str]:
        """The structures at which pipe has levels, but none that it can be laid to: no hole can be dug by them."""
        workable = self.workable
        out = [f for f in self.network.runs if f.id in self.grades and f.id not in workable]
        return frozenset(end for f in out for end in (f.upstream, f.downstream))

    @property
    def pits(self) -> dict[str, Pit]:
        """The pits of dry wells, by outfall; without a level where pipe arrives that cannot be laid as drawn."""
        pits = pits_of(self.job, self.levels)
        if not pits:
            return pits
        lost = self.undug - {s.id for s in self.job.structures if s.invert_ft is not None}
        return {name: replace(p, invert_ft=None) if name in lost else p for name, p in pits.items()}

    @property
    def takeoff(self) -> tuple[TakeoffLine, ...]:
        """The takeoff, counted when it is asked for: nobody reads it while a thing is dragged."""
        return takeoff(self.works, self.stacks)

    @property
    def loading(self) -> tuple[Load, ...]:
        """The loading list, made when it is asked for."""
        return load_list(self.works, self.stacks, self.takeoff, self.crossings)


# the pipe of a run of which one of these is told at stop level lies where it cannot drain or stay in the ground
STOPPED_BY = (*RUNS, "hangs", "pipe_over_rim", "arrives_too_low")


def analyse(job: Job, before: Review | None = None) -> Review:
    """Return the review of a job.

    Parameters
    ----------
    before : an earlier review; its stages are kept where their inputs are the same objects, and the result is equal to that
        of a review without it
    """
    book = book_levels(job.book) if before is None or before.job.book is not job.book else before.book
    shots = _shots(job, book, before)
    of_book = _book_findings(job, book, before)
    surface = _surface(job, shots, before)
    network = _network(job, before)
    same_surface = before is not None and before.surface is surface
    found: list[Finding] = shot_findings(job, shots, surface) + _outline_findings(job) + shape_findings(job, network)
    profile: dict[str, Profile] = {}
    grades: dict[str, Grade] = {}
    levels: dict[str, StructureLevels] = {}
    short: tuple[Shortfall, ...] = ()
    bounds: Bounds | None = None
    placed: Placed | None = None
    lines = lines_of_runs(job, network)
    plan = _on_plan(job, before, network, lines)
    if surface is not None:
        kept = (
            {f.id: (f, before.profiles[f.id]) for f in before.network.runs}
            if before is not None and same_surface
            else {}
        )
        profile = profiles(network.runs, surface, kept)
        ground, guess = _ground(job, surface)
        bounds = Bounds(
            job=job,
            network=network,
            profiles=profile,
            ground=ground,
            meetings=plan.meetings,
            geometry=plan.geometry,
            surface=surface,
            before=before.bounds if before is not None else None,
        )
        placed = place(bounds, before.placed if before is not None else None)
        short = placed.short
        graded = None
        if before is not None and before.bounds is not None and before.placed is not None:
            graded = (before.bounds, before.placed, before.grades)
        grades = grades_of(bounds, placed, graded)
        levels = _levels(bounds, guess, grades)
    paths = inlet_paths(network, grades, least_slopes(job))
    if bounds is not None:
        found += fall_findings(bounds, grades, short) + depth_findings(bounds, grades, short)
        found += inlet_findings(bounds, levels, grades, short)
    found += outfall_findings(job, network, paths, bounds, grades, plan.shapes) + list(plan.findings)
    found += pit_findings(pits_of(job, levels)) + stands_on_findings(job, plan.shapes, levels, surface)
    found += footing_findings(job, plan.shapes, plan.geometry, surface, profile, grades, levels)
    found += heap_findings(job, plan.shapes, plan.geometry)
    found += of_book
    laid_out = works(job, network, profile, grades, levels, plan.by_hand, plan.holes_by_hand)
    stood = stacks(laid_out)
    holes = openings(laid_out, stood)
    found += opening_findings(laid_out, stood, holes) + paving_findings(job, plan.shapes, plan.geometry)
    as_read = with_heights(job, book.heights_ft)
    laid = laid_runs(as_read, network, grades)
    found += laid_findings(job, laid)
    if job.runs and not job.services:
        found.append(finding("no_services", Place()))
    levels = _without_inverts(job, network, levels, short, _stopped(found))
    not_laid = _not_laid(network, levels, found)
    crossed = crossings(job, plan.meetings, plan.geometry, surface, _without(grades, not_laid))
    found += crossing_findings(job, crossed, not_laid)
    return Review(
        job=job,
        book=book,
        book_findings=of_book,
        shots=shots,
        surface=surface,
        network=network,
        lengths_ft=_lengths_ft(network, lines),
        profiles=profile,
        grades=grades,
        levels=levels,
        shortfalls=short,
        bounds=bounds,
        placed=placed,
        paths=paths,
        plan=plan,
        crossings=crossed,
        stacks=stood,
        openings=holes,
        laying=as_read.laying,
        laid=laid,
        works=laid_out,
        findings=worst_first(found),
    )


def cut_sheet_of(review: Review, run_id: str, *, laid: bool = False) -> CutSheet | None:
    """Return the cut sheet of a run, with the stations that were shot as laid; None while it has no workable grade.

    Parameters
    ----------
    laid : to hold laid pipe against, which is there whether its grade is workable or not
    """
    flow = next((f for f in review.network.runs if f.id == run_id), None)
    grade, profile = (review.grades if laid else review.workable).get(run_id), review.profiles.get(run_id)
    if flow is None or grade is None or profile is None:
        return None
    as_laid = review.laid.get(run_id)
    shot = as_laid.stations_ft if as_laid is not None else ()
    return cut_sheet(review.laying, review.job.header.units, flow, profile, grade, review.crossings, shot)


def _shots(job: Job, book: BookLevels, before: Review | None) -> tuple[LevelledShot, ...]:
    if before is not None and before.job.shots is job.shots and before.book is book:
        return before.shots
    return levelled_shots(job.shots, book)


def _book_findings(job: Job, book: BookLevels, before: Review | None) -> tuple[Finding, ...]:
    if before is not None and before.job.shots is job.shots and before.job.book is job.book:
        return before.book_findings
    return book_findings(job, book)


def _surface(job: Job, shots: tuple[LevelledShot, ...], before: Review | None) -> Surface | None:
    if before is not None and before.shots is shots and _same_breaks(job, before.job):
        return before.surface
    return Surface(shots, job.breaklines, buildings(job)) if shots else None


def _same_breaks(job: Job, earlier: Job) -> bool:
    """Whether breaklines and buildings are those of an earlier job."""
    return job.breaklines is earlier.breaklines and (
        job.obstacles is earlier.obstacles or buildings(job) == buildings(earlier)
    )


def _network(job: Job, before: Review | None) -> Network:
    if before is not None and before.job.structures is job.structures and before.job.runs is job.runs:
        return before.network
    return orient(job)


def _lengths_ft(network: Network, lines: dict[str, tuple[Point, ...]]) -> dict[str, float]:
    known = {f.id: f.length_ft for f in network.runs}
    return {run: known[run] if run in known else length_ft(points) for run, points in lines.items()}


def _on_plan(job: Job, before: Review | None, network: Network, lines: dict[str, tuple[Point, ...]]) -> OnPlan:
    if before is None:
        return on_plan(job, lines, shapes_of(job), None)
    shapes = shapes_of(job, before.job, before.plan.shapes)
    if before.network is network and before.plan.shapes is shapes and before.job.structures is job.structures:
        return before.plan
    return on_plan(job, lines, shapes, before.plan)


def _ground(job: Job, surface: Surface) -> tuple[dict[str, float], dict[str, bool]]:
    """Return ground level and whether it is a guess, by structure id."""
    if not job.structures:
        return {}, {}
    z, guess = surface.levels_at(np.array([s.point for s in job.structures]))
    ids = [s.id for s in job.structures]
    return dict(zip(ids, z.tolist(), strict=True)), dict(zip(ids, guess.tolist(), strict=True))


def _levels(bounds: Bounds, guess: dict[str, bool], grades: dict[str, Grade]) -> dict[str, StructureLevels]:
    out: dict[str, float] = {}
    arriving: dict[str, list[tuple[str, float]]] = {}
    for flow in bounds.network.runs:
        g = grades[flow.id]
        out[flow.upstream] = min(g.invert_up_ft, out.get(flow.upstream, g.invert_up_ft))
        arriving.setdefault(flow.downstream, []).append((flow.id, g.invert_down_ft))
    return {
        s.id: StructureLevels(
            id=s.id,
            ground_ft=bounds.ground[s.id],
            guess=guess[s.id],
            rim_ft=bounds.rim[s.id],
            invert_out_ft=out.get(s.id),
            inverts_in=tuple(sorted(arriving.get(s.id, ()))),
            no_invert=s.invert_ft is None and out.get(s.id, -inf) > bounds.rim[s.id],
        )
        for s in bounds.job.structures
    }


def _stopped(findings: Iterable[Finding]) -> set[str]:
    """Return the runs whose pipe cannot be laid where it lies."""
    return {str(dict(f.params)["run"]) for f in findings if f.level == "stop" and f.kind in STOPPED_BY}


def _without(grades: dict[str, Grade], not_laid: set[str]) -> dict[str, Grade]:
    return {run: grade for run, grade in grades.items() if run not in not_laid} if not_laid else grades


def _not_laid(network: Network, levels: dict[str, StructureLevels], findings: Iterable[Finding]) -> set[str]:
    """Return the runs whose pipe cannot be laid: those that are stopped, and those at a structure that has no invert."""
    lost = {at for at, of in levels.items() if of.no_invert}
    return {f.id for f in network.runs if f.upstream in lost or f.downstream in lost} | _stopped(findings)


def _without_inverts(
    job: Job,
    network: Network,
    levels: dict[str, StructureLevels],
    short: tuple[Shortfall, ...],
    stopped: set[str],
) -> dict[str, StructureLevels]:
    """Return the levels, without an invert where nobody pinned one and the water cannot leave, there or farther down."""
    pinned = {s.id for s in job.structures if s.invert_ft is not None}
    lost = {s.structure for s in short} - pinned
    for f in reversed(network.runs):
        if (f.id in stopped or f.downstream in lost) and f.upstream not in pinned:
            lost.add(f.upstream)
    return {at: replace(z, no_invert=True) if at in lost else z for at, z in levels.items()} if lost else levels


def _outline_findings(job: Job) -> list[Finding]:
    outlines: list[Boundary | Obstacle | Heap] = [job.boundary] if job.boundary else []
    outlines += [*(o for o in job.obstacles if is_closed(o)), *job.heaps]
    valid = shapely.is_valid([shapely.Polygon(o.points) for o in outlines])
    return [
        finding("outline_crosses", Place(ids=(o.id,), point=o.points[0]), thing=o.id)
        for o, fine in zip(outlines, valid, strict=True)
        if not fine
    ]
