"""Join pipe into a run that is already there."""

from itertools import pairwise
from math import hypot

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import length_ft, run_points, structures_by_id, thing
from drainsketch.job.edits.add import add, fresh_id, id_stem
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Run, Structure


def split_run(job: Job, run_id: str, at: Point, new: Structure) -> tuple[Job, str]:
    """Return the job with a structure set into a run, and the structure's id; the run becomes two, the first keeps its id.

    ``at`` is moved to the nearest point of the run.

    Raises
    ------
    EditError : there is no such run, the point is at one of its ends, or the run is laid and shot: its stations would change
    """
    run = thing(job, run_id)
    if not isinstance(run, Run):
        raise EditError(f"{run_id}: the job has no run with that id")
    shot = sum(r.run == run_id for r in job.laying.readings)
    if shot:
        raise EditError(
            f"{run_id}: it has as-laid readings ({shot}) by station, which would not hold for two runs; "
            "clear them in the cut sheet first, then set the structure in"
        )
    points = run_points(run, structures_by_id(job))
    leg, where = _nearest_on(points, at)
    before, after = points[: leg + 1], points[leg + 1 :]
    if length_ft((*before, where)) < 0.1 or length_ft((where, *after)) < 0.1:
        raise EditError(f"{run_id}: that point is at the end of the run; use the structure there")
    new = replace(new, id=new.id or fresh_id(job, id_stem(new)), point=where)
    job = add(job, new)
    first = replace(run, end=new.id, via=_clean(before[1:], where), end_invert_ft=None)
    job = replace(job, runs=tuple(first if r.id == run.id else r for r in job.runs))
    second = replace(run, id="", start=new.id, via=_clean(after[:-1], where), start_invert_ft=None, name="")
    return add(job, second), new.id


def _clean(via: tuple[Point, ...], end: Point) -> tuple[Point, ...]:
    """Return the bends without one that lies at the new structure."""
    return tuple(p for p in via if hypot(p[0] - end[0], p[1] - end[1]) > 1e-6)


def _nearest_on(points: tuple[Point, ...], at: Point) -> tuple[int, Point]:
    """Return the leg (by its first point) and the place on a polyline nearest to a point."""
    best: tuple[float, int, Point] | None = None
    for leg, ((ax, ay), (bx, by)) in enumerate(pairwise(points)):
        dx, dy = bx - ax, by - ay
        along = ((at[0] - ax) * dx + (at[1] - ay) * dy) / ((dx * dx + dy * dy) or 1.0)
        along = min(1.0, max(0.0, along))
        where = (ax + along * dx, ay + along * dy)
        off = hypot(at[0] - where[0], at[1] - where[1])
        if best is None or off < best[0]:
            best = (off, leg, where)
    assert best is not None  # a run has two points at least
    return best[1], best[2]
