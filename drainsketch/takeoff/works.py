"""What is to be counted: every run with its pipe size, direction, ground and grade, and what meets at every structure."""

from collections.abc import Mapping
from math import hypot
from types import MappingProxyType

from msgspec import Struct

from drainsketch.job.ask import length_ft, run_points, structures_by_id
from drainsketch.job.kinds import PipeDiameter, PipeKind, Point
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.pipes import PipeSize, pipe_size
from drainsketch.network.results import FlowRun, Grade, Network, Profile, StructureLevels

Zone = tuple[float, float]


class RunWork(Struct, frozen=True):
    """A run as it is to be laid. ``profile`` and ``grade`` are None where the ground is not known or no grade was placed.

    A run that reaches no outfall has no known direction; its points stand as drawn.
    """

    run: Run
    upstream: str
    downstream: str
    points: tuple[Point, ...]  # upstream to downstream, no point twice in a row
    plan_ft: float
    size: PipeSize
    profile: Profile | None
    grade: Grade | None
    by_hand: tuple[Zone, ...] = ()  # stations between which it is dug by hand, ft

    @property
    def pipe_ft(self) -> float:
        """Return the length of pipe, ft: along the slope where there is a grade, in plan where there is none."""
        if self.grade is None:
            return self.plan_ft
        return self.grade.laid_ft


class PipeEnd(Struct, frozen=True):
    """One end of a run at a structure; ``away`` is the plan direction in which the pipe leaves the structure."""

    work: RunWork
    leaving: bool  # True where water leaves the structure by this pipe
    away: Point


class Works(Struct, frozen=True):
    """The whole job laid out for counting, in job order."""

    job: Job
    structures: dict[str, Structure]
    runs: tuple[RunWork, ...]
    ends: dict[str, tuple[PipeEnd, ...]]  # by structure id
    levels: dict[str, StructureLevels]
    holes_by_hand: frozenset[str] = frozenset()  # structures


def works(
    job: Job,
    network: Network,
    profiles: dict[str, Profile],
    grades: dict[str, Grade],
    levels: dict[str, StructureLevels],
    by_hand: Mapping[str, tuple[Zone, ...]] = MappingProxyType({}),
    holes_by_hand: frozenset[str] = frozenset(),
) -> Works:
    """Return the job laid out for counting. Runs adrift are counted too: pipe drawn is pipe to buy.

    Parameters
    ----------
    by_hand, holes_by_hand : the stretches of each run, and the structures, that are dug by hand since a service lies there
    """
    structures = structures_by_id(job)
    flows = {f.id: f for f in network.runs}
    sizes = {kind: pipe_size(*kind) for kind in {(r.pipe, r.diameter_in) for r in job.runs}}
    runs = tuple(_run_work(r, flows.get(r.id), structures, sizes, profiles, grades, by_hand) for r in job.runs)
    ends: dict[str, list[PipeEnd]] = {s.id: [] for s in job.structures}
    for w in runs:
        ends[w.upstream].append(PipeEnd(w, True, _direction(w.points)))
        ends[w.downstream].append(PipeEnd(w, False, _direction(w.points[::-1])))
    return Works(job, structures, runs, {k: tuple(v) for k, v in ends.items()}, levels, holes_by_hand)


def _run_work(
    run: Run,
    flow: FlowRun | None,
    structures: dict[str, Structure],
    sizes: dict[tuple[PipeKind, PipeDiameter], PipeSize],
    profiles: dict[str, Profile],
    grades: dict[str, Grade],
    by_hand: Mapping[str, tuple[Zone, ...]],
) -> RunWork:
    points = flow.points if flow is not None else run_points(run, structures)
    return RunWork(
        run=run,
        upstream=flow.upstream if flow is not None else run.start,
        downstream=flow.downstream if flow is not None else run.end,
        points=tuple(p for i, p in enumerate(points) if i == 0 or p != points[i - 1]),
        plan_ft=flow.length_ft if flow is not None else length_ft(points),
        size=sizes[run.pipe, run.diameter_in],
        profile=profiles.get(run.id),
        grade=grades.get(run.id),
        by_hand=by_hand.get(run.id, ()),
    )


def _direction(points: tuple[Point, ...]) -> Point:
    """Return the unit direction of the first leg; (0, 0) for a run of no length."""
    if len(points) < 2:
        return (0.0, 0.0)
    (ax, ay), (bx, by) = points[0], points[1]
    leg_ft = hypot(bx - ax, by - ay)
    return ((bx - ax) / leg_ft, (by - ay) / leg_ft)
