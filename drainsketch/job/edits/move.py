"""Move things, and reshape them vertex by vertex."""

from collections.abc import Iterable
from operator import is_not

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import is_closed, thing, things
from drainsketch.job.edits.add import checked
from drainsketch.job.edits.change import replaced
from drainsketch.job.kinds import Point
from drainsketch.job.model import COLLECTIONS, Job, Lined, Obstacle, Run, Service, Thing


def _shifted(p: Point, dx_ft: float, dy_ft: float) -> Point:
    return (p[0] + dx_ft, p[1] + dy_ft)


def move(job: Job, ids: Iterable[str], dx_ft: float, dy_ft: float) -> Job:
    """Return the job with the things moved. A run keeps its ends where its structures are; its bends move along.

    Raises
    ------
    EditError : a thing would land more than 50,000 ft away
    """
    wanted = set(ids)
    after = {t.id: checked(t.id, _moved(t, dx_ft, dy_ft)) for t in things(job) if t.id in wanted}
    moved = {t.id: after[t.id] for t in things(job) if t.id in after and after[t.id] != t}
    if not moved:
        return job
    lists = {name: tuple(moved.get(t.id, t) for t in getattr(job, name)) for name in COLLECTIONS}
    kept = {name: new for name, new in lists.items() if any(map(is_not, new, getattr(job, name)))}
    boundary = moved.get(job.boundary.id, job.boundary) if job.boundary is not None else None
    return replace(job, boundary=boundary, **kept)


def _moved(old: Thing, dx_ft: float, dy_ft: float) -> Thing:
    if isinstance(old, Run):
        return replace(old, via=tuple(_shifted(p, dx_ft, dy_ft) for p in old.via))
    if isinstance(old, Lined):
        moved = replace(old, points=tuple(_shifted(p, dx_ft, dy_ft) for p in old.points))
        if isinstance(moved, Service) and moved.exposed:
            exposed = tuple(replace(e, point=_shifted(e.point, dx_ft, dy_ft)) for e in moved.exposed)
            return replace(moved, exposed=exposed)
        return moved
    return replace(old, point=_shifted(old.point, dx_ft, dy_ft))


def bends(old: Thing) -> tuple[Point, ...]:
    """Return the vertices that can be moved one by one: the bends of a run, the corners of an outline or line."""
    if isinstance(old, Run):
        return old.via
    return old.points if isinstance(old, Lined) else (old.point,)


def _with_bends(old: Thing, points: tuple[Point, ...]) -> Thing:
    if isinstance(old, Run):
        return replace(old, via=points)
    if isinstance(old, Lined):
        return replace(old, points=points)
    return replace(old, point=points[0])


def _need(job: Job, thing_id: str, index: int, most: int) -> Thing:
    old = thing(job, thing_id)
    if old is None:
        raise EditError(f"{thing_id}: the job has nothing with that id")
    if not 0 <= index < len(bends(old)) + most:
        raise EditError(f"{thing_id}: it has no vertex {index + 1}")
    return old


def _reshaped(job: Job, new: Thing) -> Job:
    return replaced(job, checked(new.id, new))


def move_vertex(job: Job, thing_id: str, index: int, to: Point) -> Job:
    """Return the job with one vertex of a thing moved. Raises EditError when there is no such thing or vertex."""
    old = _need(job, thing_id, index, 0)
    points = bends(old)
    return _reshaped(job, _with_bends(old, (*points[:index], to, *points[index + 1 :])))


def insert_vertex(job: Job, thing_id: str, index: int, at: Point) -> Job:
    """Return the job with a vertex put in before vertex ``index`` (or after the last). Raises EditError as above."""
    old = _need(job, thing_id, index, 1)
    if not isinstance(old, Run | Lined) or (isinstance(old, Obstacle) and old.kind in ("tree", "well")):
        raise EditError(f"{thing_id}: it is one point and has no bends")
    points = bends(old)
    return _reshaped(job, _with_bends(old, (*points[:index], at, *points[index:])))


def remove_vertex(job: Job, thing_id: str, index: int) -> Job:
    """Return the job with a vertex taken out. Raises EditError when too few would be left."""
    old = _need(job, thing_id, index, 0)
    points = bends(old)
    fewest = 0 if isinstance(old, Run) else 3 if is_closed(old) else 2
    if len(points) - 1 < fewest:
        raise EditError(f"{thing_id}: it needs at least {fewest} points; delete it instead")
    return replaced(job, _with_bends(old, (*points[:index], *points[index + 1 :])))
