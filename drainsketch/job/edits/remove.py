"""Take things off the plan."""

from collections.abc import Iterable

from msgspec.structs import replace

from drainsketch.job.model import COLLECTIONS, Job


def with_dependents(job: Job, ids: Iterable[str]) -> tuple[str, ...]:
    """Return the ids that go when these go: a structure takes its runs along."""
    ids = tuple(ids)
    gone = set(ids)
    runs = [r.id for r in job.runs if r.id not in gone and (r.start in gone or r.end in gone)]
    return (*dict.fromkeys(ids), *runs)


def remove(job: Job, ids: Iterable[str]) -> Job:
    """Return the job without these things, and without the runs that ended at them. Unknown ids are ignored."""
    gone = set(with_dependents(job, tuple(ids)))
    lists = {}
    for name in COLLECTIONS:
        old = getattr(job, name)
        kept = tuple(t for t in old if t.id not in gone)
        if len(kept) != len(old):
            lists[name] = kept
    if any(s.downspout in gone for s in job.structures):
        kept_structures = lists.get("structures", job.structures)
        lists["structures"] = tuple(replace(s, downspout=None) if s.downspout in gone else s for s in kept_structures)
    boundary = None if job.boundary is not None and job.boundary.id in gone else job.boundary
    return replace(job, boundary=boundary, **lists) if lists or boundary is not job.boundary else job
