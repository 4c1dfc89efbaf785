"""Take things off the plan."""

from collections.abc import Iterable

from msgspec.structs import replace

from drainsketch.job.edits.laying import without_readings
from drainsketch.job.levelling import LevelBook
from drainsketch.job.model import COLLECTIONS, Job, Structure
from drainsketch.job.sights import sights_of


def with_dependents(job: Job, ids: Iterable[str]) -> tuple[str, ...]:
    """Return the ids that go when these go: a structure takes its runs along."""
    ids = tuple(ids)
    gone = set(ids)
    runs = [r.id for r in job.runs if r.id not in gone and (r.start in gone or r.end in gone)]
    return (*dict.fromkeys(ids), *runs)


def remove(job: Job, ids: Iterable[str]) -> Job:
    """Return the job without these things, and without the runs that ended at them. Unknown ids are ignored.

    Options aside keep all their drains; a downspout that goes is taken off theirs too.
    A sight of the level book that was placed on a shot that goes stays in the book, not placed. Readings on laid
    pipe go with their run.
    """
    gone = set(with_dependents(job, tuple(ids)))
    lists = {}
    for name in COLLECTIONS:
        old = getattr(job, name)
        kept = tuple(t for t in old if t.id not in gone)
        if len(kept) != len(old):
            lists[name] = kept
    if any(s.downspout in gone for s in job.structures):
        kept_structures = lists.get("structures", job.structures)
        lists["structures"] = _unfed(kept_structures, gone)
    if any(s.downspout in gone for option in job.aside for s in option.structures):
        job = replace(job, aside=tuple(replace(o, structures=_unfed(o.structures, gone)) for o in job.aside))
    if "runs" in lists:
        job = without_readings(job, gone)
    boundary = None if job.boundary is not None and job.boundary.id in gone else job.boundary
    if "shots" in lists and any(s.shot in gone for _, s in sights_of(job.book)):
        job = replace(job, book=_unplaced(job.book, gone))
    return replace(job, boundary=boundary, **lists) if lists or boundary is not job.boundary else job


def _unfed(structures: tuple[Structure, ...], gone: set[str]) -> tuple[Structure, ...]:
    """Return the structures without a downspout that is gone; the same tuple where none had it."""
    if not any(s.downspout in gone for s in structures):
        return structures
    return tuple(replace(s, downspout=None) if s.downspout in gone else s for s in structures)


def _unplaced(book: LevelBook, gone: set[str]) -> LevelBook:
    setups = []
    for setup in book.setups:
        sights = tuple(replace(s, shot=None) if s.shot in gone else s for s in setup.sights)
        setups.append(replace(setup, sights=sights) if sights != setup.sights else setup)
    return replace(book, setups=tuple(setups))
