"""Put new things on the plan."""

from typing import TypeVar

from msgspec import convert, to_builtins
from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.bounds import complaints, half_character_faults
from drainsketch.job.edits.collections import collection_of
from drainsketch.job.frozen import Frozen
from drainsketch.job.model import Boundary, Breakline, Heap, Job, Obstacle, Run, Service, Shot, Structure, Thing
from drainsketch.job.options import ids_aside, ids_in_use
from drainsketch.job.rules import own_faults
from drainsketch.job.sights import book_ids, sights_of

Kind = TypeVar("Kind", bound=Frozen)
AnyThing = TypeVar("AnyThing", bound=Thing)

STRUCTURE_LETTERS = {"basin": "B", "fitting": "F", "cleanout": "C", "downspout inlet": "D", "outfall": "O"}


def id_stem(new: Thing) -> str:
    """Return what the id of a thing starts with: B for a basin, R for a run, 'gas-' for a gas service."""
    match new:
        case Structure():
            return STRUCTURE_LETTERS[new.kind]
        case Run():
            return "R"
        case Obstacle() | Service() | Heap():
            return new.kind.replace(" ", "-") + "-"
        case Shot():
            return "S"
        case Breakline():
            return "L"
        case _:
            return type(new).__name__.lower() + "-"


def fresh_id(job: Job, stem: str) -> str:
    """Return the stem with the first number above all that the job has used with it, in options aside too."""
    tails = [its_id[len(stem) :] for its_id in ids_in_use(job) if its_id.startswith(stem)]
    numbers = [int(tail) for tail in tails if tail.isdecimal() and len(tail) < 10]
    return f"{stem}{max(numbers, default=0) + 1}"


def add(job: Job, new: Thing) -> Job:
    """Return the job with a new thing in it. A boundary replaces the one before; an empty id '' gets a fresh one.

    Raises
    ------
    EditError : the id is taken; a value is outside its bounds; a field belongs to another kind; a run starts or ends at a
        structure that is not there, or starts where it ends
    """
    if isinstance(new, Boundary):
        taken = thing(job, "boundary")
        if (taken is not None and taken is not job.boundary) or "boundary" in ids_aside(job):
            raise EditError("boundary: something else in the job has that id; delete it first")
        new = replace(new, id="boundary")
        return replace(job, boundary=checked_thing(job, new))
    if not new.id:
        new = replace(new, id=fresh_id(job, id_stem(new)))
    elif thing(job, new.id) is not None or _is_taken(job, new):
        raise EditError(f"{new.id}: the job already has something with that id; choose another")
    new = checked_thing(job, new)
    name = collection_of(new)
    return replace(job, **{name: (*getattr(job, name), new)})


def _is_taken(job: Job, new: Thing) -> bool:
    """Return whether something that is no thing of the plan has its id. Drains may be called like those of another option."""
    if any(its_id == new.id for _, its_id in book_ids(job.book)) or any(r.id == new.id for r in job.laying.readings):
        return True
    return not isinstance(new, Structure | Run) and new.id in ids_aside(job)


def add_shots(job: Job, new: tuple[Shot, ...]) -> Job:
    """Return the job with many shots added at once, each with a fresh id. Raises EditError outside the model's bounds."""
    last = int(fresh_id(job, "S")[1:]) - 1
    shots = [checked(f"S{i}", replace(shot, id=f"S{i}")) for i, shot in enumerate(new, last + 1)]
    return replace(job, shots=(*job.shots, *shots)) if shots else job


def checked(place: str, value: Kind) -> Kind:
    """Return the value with lists made tuples and whole numbers floats. Raises EditError outside the model's bounds."""
    content = to_builtins(value)
    for complaint in (*complaints(content, type(value)), *half_character_faults(content)):
        raise EditError(f"{place}.{complaint}")
    return convert(content, type(value))


def checked_thing(job: Job, new: AnyThing) -> AnyThing:
    """Return the thing, checked. Raises EditError when it breaks the bounds of the model or the rules of a whole job."""
    new = checked(new.id, new)
    if isinstance(new, Run):
        check_run_ends(job, new)
    for field, wrong in own_faults(new):
        raise EditError(f"{new.id}.{field}: {wrong}")
    spout = new.downspout if isinstance(new, Structure) else None
    if spout is not None and all(d.id != spout for d in job.downspouts):
        raise EditError(f"{new.id}: there is no downspout {spout}; choose one that is on the plan")
    if isinstance(new, Shot) and new.elevation_ft is not None and any(s.shot == new.id for _, s in sights_of(job.book)):
        raise EditError(
            f"{new.id}: its level comes from the level book; change the reading there, or take the sight off it"
        )
    return new


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
