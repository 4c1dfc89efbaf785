"""Which list of the job a thing lives in."""

from drainsketch.job.model import Breakline, Downspout, Heap, Obstacle, Run, Service, Shot, Structure, Thing

_HOMES: tuple[tuple[type, str], ...] = (
    (Obstacle, "obstacles"),
    (Downspout, "downspouts"),
    (Service, "services"),
    (Breakline, "breaklines"),
    (Heap, "heaps"),
    (Shot, "shots"),
    (Structure, "structures"),
    (Run, "runs"),
)


def collection_of(thing: Thing) -> str:
    """Return the name of the job's list that holds this kind of thing."""
    return next(name for kind, name in _HOMES if isinstance(thing, kind))
