"""Put new things on the plan."""

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import thing, things
from drainsketch.job.edits.collections import collection_of
from drainsketch.job.model import Boundary, Job, Obstacle, Run, Service, Shot, Structure, Thing

STRUCTURE_LETTERS = {"basin": "B", "fitting": "F", "cleanout": "C", "downspout inlet": "D", "outfall": "O"}


def id_stem(new: Thing) -> str:
    """Return what the id of a thing starts with: B for a basin, R for a run, 'gas-' for a gas service."""
    match new:
        case Structure():
            return STRUCTURE_LETTERS[new.kind]
        case Run():
            return "R"
        case Obstacle() | Service():
            return new.kind.replace(" ", "-") + "-"
        case Shot():
            return "S"
        case _:
            return type(new).__name__.lower() + "-"


def fresh_id(job: Job, stem: str) -> str:
    """Return the stem with the first number above all that the job has used with it."""
    numbers = [int(tail) for t in things(job) if t.id.startswith(stem) and (tail := t.id[len(stem) :]).isdecimal()]
    return f"{stem}{max(numbers, default=0) + 1}"


def add(job: Job, new: Thing) -> Job:
    """Return the job with a new thing in it. A boundary replaces the one before; an empty id '' gets a fresh one.

    Raises
    ------
    EditError : the id is taken; a run starts or ends at a structure that is not there, or starts where it ends
    """
    if isinstance(new, Boundary):
        return replace(job, boundary=replace(new, id="boundary"))
    if not new.id:
        new = replace(new, id=fresh_id(job, id_stem(new)))
    elif thing(job, new.id) is not None:
        raise EditError(f"{new.id}: the job already has something with that id; choose another")
    if isinstance(new, Run):
        check_run_ends(job, new)
    name = collection_of(new)
    return replace(job, **{name: (*getattr(job, name), new)})


def check_run_ends(job: Job, run: Run) -> None:
    """Raise EditError unless the run joins two different structures of the job."""
    ids = {s.id for s in job.structures}
    for end in (run.start, run.end):
        if end not in ids:
            raise EditError(
                f"{run.id}: there is no structure {end}; start and end a run at a basin, fitting or outfall"
            )
    if run.start == run.end:
        raise EditError(f"{run.id}: starts and ends at {run.start}; end it at another structure")
