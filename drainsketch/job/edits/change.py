"""Change the particulars of things, the header and the criteria."""

from typing import Any

import msgspec
from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.edits.add import check_run_ends
from drainsketch.job.edits.collections import collection_of
from drainsketch.job.model import Boundary, Criteria, Frozen, Header, Job, Run, Thing


def replaced(job: Job, new: Thing) -> Job:
    """Return the job with the thing of the same id replaced; nothing else is touched."""
    if isinstance(new, Boundary):
        return replace(job, boundary=new)
    name = collection_of(new)
    return replace(job, **{name: tuple(new if t.id == new.id else t for t in getattr(job, name))})


def _checked(place: str, value: Frozen) -> Any:
    """Return the value after holding it against the bounds of the model."""
    try:
        return msgspec.convert(msgspec.to_builtins(value), type(value))
    except msgspec.ValidationError as fault:
        raise EditError(f"{place}: {fault}") from fault


def change(job: Job, thing_id: str, **fields: Any) -> Job:
    """Return the job with some fields of one thing set, for example ``change(job, "B1", rim_ft=99.4)``.

    Raises
    ------
    EditError : no such thing, a value outside its bounds, or a run that would end nowhere
    """
    old = thing(job, thing_id)
    if old is None:
        raise EditError(f"{thing_id}: the job has nothing with that id")
    new = _checked(thing_id, replace(old, **fields))
    if new == old:
        return job
    if isinstance(new, Run):
        check_run_ends(job, new)
    return replaced(job, new)


def change_header(job: Job, **fields: Any) -> Job:
    """Return the job with some header fields set. Raises EditError for a value outside its bounds."""
    header: Header = _checked("header", replace(job.header, **fields))
    return job if header == job.header else replace(job, header=header)


def change_criteria(job: Job, **fields: Any) -> Job:
    """Return the job with some criteria set. Raises EditError for a value outside its bounds."""
    criteria: Criteria = _checked("criteria", replace(job.criteria, **fields))
    return job if criteria == job.criteria else replace(job, criteria=criteria)
