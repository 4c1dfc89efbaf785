"""Change the particulars of things, the header and the criteria."""

from typing import Any, Literal

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.edits.add import checked, checked_thing
from drainsketch.job.edits.collections import collection_of
from drainsketch.job.limits import BasinBody
from drainsketch.job.model import Boundary, Heap, Job, Obstacle, Structure, Thing
from drainsketch.job.part_rules import part_faults
from drainsketch.job.rules import header_faults, stock_faults, storm_faults, twice_faults, without_foreign_fields
from drainsketch.job.sections import WasteRule

Part = Literal["sections", "pricing", "offer", "work"]


def replaced(job: Job, new: Thing) -> Job:
    """Return the job with the thing of the same id replaced; nothing else is touched, and nothing at all when it is equal."""
    if thing(job, new.id) == new:
        return job
    if isinstance(new, Boundary):
        return replace(job, boundary=new)
    name = collection_of(new)
    return replace(job, **{name: tuple(new if t.id == new.id else t for t in getattr(job, name))})


def change(job: Job, thing_id: str, **fields: Any) -> Job:
    """Return the job with some fields of one thing set, for example ``change(job, "B1", rim_ft=99.4)``.

    Raises
    ------
    EditError : no such thing, another id, a value outside its bounds, a field of another kind, or a run that would end
        nowhere

    Notes
    -----
    A new ``kind`` clears the fields that belonged to the old one only.
    """
    old = thing(job, thing_id)
    if old is None:
        raise EditError(f"{thing_id}: the job has nothing with that id")
    if fields.get("id", thing_id) != thing_id:
        raise EditError(f"{thing_id}: an id stays for good; set the name instead")
    start = old
    if "kind" in fields and isinstance(old, Obstacle | Structure | Heap):
        start = without_foreign_fields(replace(old, kind=fields["kind"]))
    return replaced(job, checked_thing(job, replace(start, **fields)))


def change_header(job: Job, **fields: Any) -> Job:
    """Return the job with some header fields set. Raises EditError for a value outside its bounds."""
    header = checked("header", replace(job.header, **fields))
    for place, wrong in header_faults(header):
        raise EditError(f"{place}: {wrong}")
    return job if header == job.header else replace(job, header=header)


def change_stock(job: Job, stock: tuple[BasinBody, ...]) -> Job:
    """Return the job with basin sizes that stand in place of the shipped ones. Raises EditError for a value outside its bounds."""
    bodies = tuple(checked(f"stock[{i}]", body) for i, body in enumerate(stock))
    for place, wrong in stock_faults(bodies):
        raise EditError(f"{place}: {wrong}")
    return job if bodies == job.stock else replace(job, stock=bodies)


def change_rain(job: Job, **fields: Any) -> Job:
    """Return the job with some of its rain set. Raises EditError for a value outside its bounds, or a storm not in the table."""
    rain = checked("rain", replace(job.rain, **fields))
    for place, wrong in storm_faults(rain):
        raise EditError(f"{place}: {wrong}")
    return job if rain == job.rain else replace(job, rain=rain)


def change_water(job: Job, **fields: Any) -> Job:
    """Return the job with some of what water is reckoned with set. Raises EditError for a value outside its bounds."""
    water = checked("water", replace(job.water, **fields))
    for place, wrong in twice_faults(water):
        raise EditError(f"{place}: {wrong}")
    return job if water == job.water else replace(job, water=water)


def change_criteria(job: Job, **fields: Any) -> Job:
    """Return the job with some criteria set. Raises EditError for a value outside its bounds."""
    criteria = checked("criteria", replace(job.criteria, **fields))
    return job if criteria == job.criteria else replace(job, criteria=criteria)


def change_part(job: Job, part: Part, **fields: Any) -> Job:
    """Return the job with some fields of one of its parts set, for example ``change_part(job, "work", start="2026-05-04")``.

    Raises
    ------
    EditError : a value is outside its bounds, or the part breaks the rules of a whole job
    """
    old = getattr(job, part)
    new = checked(part, replace(old, **fields))
    if new == old:
        return job
    changed = replace(job, **{part: new})
    for place, wrong in part_faults(changed):
        raise EditError(f"{place}: {wrong}")
    return changed


def change_waste(job: Job, waste: tuple[WasteRule, ...]) -> Job:
    """Return the job with what is bought beyond what is used, where it differs from the usual. Raises EditError outside the bounds."""
    rules = tuple(checked(f"waste[{i}]", rule) for i, rule in enumerate(waste))
    changed = replace(job, waste=rules)
    for place, wrong in part_faults(changed):
        raise EditError(f"{place}: {wrong}")
    return job if rules == job.waste else changed
