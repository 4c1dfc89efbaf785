"""What makes a job whole, beyond the bounds of its single numbers.

The file reader and the edits hold a job to the same rules: ids are unique, runs join structures that are there, an outline
has the points its kind needs, and a field that belongs to one kind stands on no other.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date as day

from msgspec.structs import replace

from drainsketch.job.ask import things
from drainsketch.job.limits import BasinBody, WaterBasis
from drainsketch.job.model import (
    COLLECTIONS,
    LINE_OBSTACLES,
    POINT_OBSTACLES,
    Header,
    Heap,
    Job,
    Obstacle,
    Run,
    Service,
    Structure,
    Thing,
)
from drainsketch.job.option_rules import option_faults
from drainsketch.job.options import with_drains_of
from drainsketch.job.part_rules import part_faults
from drainsketch.job.rain import Rain
from drainsketch.job.rain_rules import rain_faults
from drainsketch.job.sights import book_ids

BELONGS_TO = {
    "size_in": "basin",
    "outfall": "outfall",
    "downspout": "downspout inlet",
    "trunk_diameter_in": "tree",
    "drive": "hardscape",
    "footing_depth_ft": "building",
    "surface": "hardscape",
    "area_ft2": "basin",
    "runoff_c": "basin",
    "tc_min": "basin",
    "tailwater_ft": "outfall",
    "pit_length_ft": "outfall",
    "pit_width_ft": "outfall",
    "pit_depth_ft": "outfall",
    "fill_in": "fill area",
}

LEAST_RISER_IN = (
    0.25  # common practice, no source: nothing thinner is stacked; a stack of thinner ones could not be counted
)


def own_faults(thing: Thing) -> Iterator[tuple[str, str]]:
    """Yield (field, what is wrong) for what can be told from the thing alone."""
    if isinstance(thing, Obstacle):
        yield from _outline_faults(thing)
    if isinstance(thing, Obstacle | Structure | Heap):
        for field in foreign_fields(thing):
            yield field, f"belongs to {_a(BELONGS_TO[field])} only; this is {_a(thing.kind)}"
    if isinstance(thing, Service):
        for i, e in enumerate(thing.exposed):
            if (e.top_ft is None) == (e.depth_ft is None):
                yield f"exposed[{i}]", "give either the level of its top or its depth, as it was measured"
    if isinstance(thing, Run) and thing.start == thing.end:
        yield "end", f"the run starts and ends at {thing.start}; end it at another structure"


def _a(noun: str) -> str:
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"


def _outline_faults(obstacle: Obstacle) -> Iterator[tuple[str, str]]:
    count, kind = len(obstacle.points), obstacle.kind
    if kind in POINT_OBSTACLES:
        if count != 1:
            yield "points", f"a {kind} is one point; this has {count}"
    elif count < (fewest := 2 if kind in LINE_OBSTACLES else 3):
        yield "points", f"a {kind} needs at least {fewest} points; this has {count}"


def foreign_fields(thing: Obstacle | Structure | Heap) -> tuple[str, ...]:
    """Return the filled-in fields that belong to another kind of thing."""
    return tuple(
        field
        for field, kind in BELONGS_TO.items()
        if kind != thing.kind and getattr(thing, field, None) not in (None, False)
    )


def without_foreign_fields(thing: Obstacle | Structure | Heap) -> Obstacle | Structure | Heap:
    """Return the thing with the fields of other kinds cleared, as when its kind has just been changed."""
    foreign = foreign_fields(thing)
    return replace(thing, **{f: False if f == "drive" else None for f in foreign}) if foreign else thing


def header_faults(header: Header) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for a date that is no day of the calendar."""
    try:
        day.fromisoformat(header.date or "2000-01-01")
    except ValueError:
        yield "header.date", f"{header.date} is not a day of the calendar; write it as 2026-04-14"


def stock_faults(stock: tuple[BasinBody, ...]) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for basin sizes that stand twice, an opening above its top, or a riser too thin to stack."""
    seen: set[int] = set()
    for i, body in enumerate(stock):
        if body.size_in in seen:
            yield f"stock[{i}].size_in", f"{body.size_in} in stands twice; keep one"
        seen.add(body.size_in)
        if body.opening_in >= body.height_in:
            yield (
                f"stock[{i}].opening_in",
                f"{body.opening_in:g} in is above the body's top at {body.height_in:g} in; measure it from the floor",
            )
        for k, height in enumerate(body.risers_in):
            if height < LEAST_RISER_IN:
                yield (
                    f"stock[{i}].risers_in[{k}]",
                    f"{height:g} in is too thin for a riser; give its height in inches, {LEAST_RISER_IN:g} or more",
                )


def storm_faults(rain: Rain) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for a rain table that is not one, and for a storm that is not in it."""
    table, asked = rain.table, rain.return_period_yr
    if asked is not None and table is None:
        yield "rain.return_period_yr", "there is no rain table to choose a storm from; read one in"
    if table is None:
        return
    if asked is not None and asked not in table.return_periods_yr:
        have = ", ".join(f"{years:g}" for years in table.return_periods_yr)
        yield "rain.return_period_yr", f"the table has no {asked:g}-year storm; it has {have}"
    for fault in rain_faults(table):
        row = "return_periods_yr" if fault.row is None else f"rows[{fault.row}]"
        column = (
            "" if fault.column is None else f"[{fault.column}]" if fault.row is None else f".values[{fault.column}]"
        )
        yield f"rain.table.{row}{column}", fault.text


def twice_faults(water: WaterBasis) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for a surface or a pipe that has two values."""
    for name, keys in (
        ("coefficients", [str(rule.surface) for rule in water.coefficients]),
        ("roughness", [f"{rule.pipe} {rule.use}" for rule in water.roughness]),
    ):
        for i, key in enumerate(keys):
            if key in keys[:i]:
                yield f"water.{name}[{i}]", f"{key} stands twice; keep one"


def job_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for every broken rule of a job whose single values are within their bounds."""
    yield from header_faults(job.header)
    paths = _paths(job)
    drains = [(path, thing) for path, thing in paths if isinstance(thing, Structure | Run)]
    yard = [(path, thing) for path, thing in paths if not isinstance(thing, Structure | Run)]
    yield from _id_faults([*((path, thing.id) for path, thing in paths), *book_ids(job.book), *_laid_ids(job)], {})
    yield from _bound_faults(job)
    yield from _laid_faults(job)
    yield from stock_faults(job.stock)
    yield from storm_faults(job.rain)
    yield from twice_faults(job.water)
    yield from part_faults(job)
    for path, thing in yard:
        yield from ((f"{path}.{field}", wrong) for field, wrong in own_faults(thing))
    yield from _drain_faults(job, drains)
    yield from option_faults(job)
    taken = {its_id: path for path, its_id in (*((path, thing.id) for path, thing in yard), *book_ids(job.book))}
    for i, option in enumerate(job.aside):
        prefix, drawn = f"aside[{i}].", with_drains_of(job, option)
        drains = [
            (f"{prefix}{name}[{k}]", thing)
            for name in ("structures", "runs")
            for k, thing in enumerate(getattr(option, name))
        ]
        ids = [*((path, thing.id) for path, thing in drains), *((prefix + path, its) for path, its in _laid_ids(drawn))]
        yield from _id_faults(ids, taken)
        yield from ((prefix + path, wrong) for path, wrong in _laid_faults(drawn))
        yield from _drain_faults(drawn, drains)


def _id_faults(ids: Sequence[tuple[str, str]], taken: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with (path, id) pairs of which an id stands twice, or is ``taken`` by the path given there."""
    seen = dict(taken)
    for path, its_id in ids:
        if its_id in seen:
            yield f"{path}.id", f"{its_id} is taken by {seen[its_id]}; give one of the two another id"
        seen.setdefault(its_id, path)


def _drain_faults(job: Job, drains: Sequence[tuple[str, Thing]]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with structures and runs, each with its path: runs join structures, downspouts are on the plan."""
    structures = {s.id for s in job.structures}
    downspouts = {d.id for d in job.downspouts}
    for path, thing in drains:
        for field, wrong in own_faults(thing):
            yield f"{path}.{field}", wrong
        if isinstance(thing, Run):
            for field, end in (("start", thing.start), ("end", thing.end)):
                if end not in structures:
                    yield f"{path}.{field}", f"there is no structure {end}"
        if isinstance(thing, Structure) and thing.downspout is not None and thing.downspout not in downspouts:
            yield f"{path}.downspout", f"there is no downspout {thing.downspout}"


def _laid_ids(job: Job) -> Iterator[tuple[str, str]]:
    return ((f"laying.readings[{i}]", r.id) for i, r in enumerate(job.laying.readings))


def _laid_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with the laying and its readings; one past the end of its run is for the review to tell."""
    runs, setups = {r.id for r in job.runs}, {s.id for s in job.book.setups}
    laying = job.laying
    if laying.setup is not None and laying.height_ft is not None:
        yield "laying", "give either the height or the setup it is read from, not both"
    for i, reading in enumerate(laying.readings):
        if reading.run not in runs:
            yield f"laying.readings[{i}].run", f"there is no run {reading.run}"
        if (reading.height_ft is None) == (reading.setup is None):
            yield f"laying.readings[{i}]", "give either the height or the setup it was read from"
    named = [("laying.setup", laying.setup)]
    named += [(f"laying.readings[{i}].setup", r.setup) for i, r in enumerate(laying.readings)]
    for path, setup in named:
        if setup is not None and setup not in setups:
            yield path, f"the level book has no setup {setup}"


def _bound_faults(job: Job) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with sights that are bound to shots: a shot is there, and its level stands in one place only."""
    typed = {s.id: s.elevation_ft is not None for s in job.shots}
    for i, setup in enumerate(job.book.setups):
        for j, sight in enumerate(setup.sights):
            place = f"book.setups[{i}].sights[{j}].shot"
            if sight.shot is not None and sight.shot not in typed:
                yield place, f"there is no shot {sight.shot}"
            elif sight.shot is not None and typed[sight.shot]:
                yield (
                    place,
                    f"{sight.shot} has a level of its own; take the level off the shot, or the shot off the sight",
                )


def _paths(job: Job) -> list[tuple[str, Thing]]:
    """Return every thing with its path in the job file."""
    names = ["boundary"] * (job.boundary is not None)
    names += [f"{name}[{i}]" for name in COLLECTIONS for i in range(len(getattr(job, name)))]
    return list(zip(names, things(job), strict=True))
