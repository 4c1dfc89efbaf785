"""Laying pipe: what the cut sheet is reckoned from, and readings on the laid pipe."""

from typing import Any

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import things
from drainsketch.job.edits.add import checked
from drainsketch.job.model import Job, LaidReading
from drainsketch.job.sights import book_ids

SAME_FT = 0.05  # a reading this near to another along the run stands in its place
STEM = "laid-"


def change_laying(job: Job, **fields: Any) -> Job:
    """Return the job with some fields of the laying set. Raises EditError for a value outside its bounds."""
    laying = checked("laying", replace(job.laying, **fields))
    return job if laying == job.laying else replace(job, laying=laying)


def read_laid(job: Job, run: str, station_ft: float, reading_ft: float) -> Job:
    """Return the job with a reading on laid pipe, taken under the present height and with the rod where it now stands.

    A reading on the same station is replaced; the others keep the height they were taken under.

    Raises
    ------
    EditError : there is no such run, no height to read from, or a value is outside its bounds
    """
    laying = job.laying
    if all(r.id != run for r in job.runs):
        raise EditError(f"{run}: the job has no run with that id")
    if laying.height_ft is None:
        what = "string" if laying.instrument == "string line" else "instrument"
        raise EditError(f"{run}: type the height of the {what} first, then readings can be taken from it")
    old = laid_reading(job, run, station_ft)
    reading = LaidReading(
        id=old.id if old is not None else _fresh_id(job),
        run=run,
        station_ft=station_ft,
        reading_ft=reading_ft,
        height_ft=laying.height_ft,
        rod_on=laying.rod_on,
    )
    if reading == old:
        return job
    kept = tuple(r for r in laying.readings if r is not old)
    return change_laying(job, readings=(*kept, checked(reading.id, reading)))


def unread_laid(job: Job, run: str, station_ft: float) -> Job:
    """Return the job without the reading at a station of a laid run; the same job when there is none."""
    old = laid_reading(job, run, station_ft)
    return job if old is None else change_laying(job, readings=tuple(r for r in job.laying.readings if r is not old))


def without_readings(job: Job, ids: set[str]) -> Job:
    """Return the job without these readings on laid pipe; an id may also be that of a run, all of whose readings go."""
    kept = tuple(r for r in job.laying.readings if r.id not in ids and r.run not in ids)
    return job if len(kept) == len(job.laying.readings) else replace(job, laying=replace(job.laying, readings=kept))


def readings_told(job: Job, ids: tuple[str, ...]) -> str:
    """Return a sentence on the as-laid readings that go when these things go; '' when there are none."""
    count = sum(r.run in ids for r in job.laying.readings)
    said = "1 as-laid reading goes" if count == 1 else f"{count} as-laid readings go"
    return f"{said} with it; undo brings them back." if count else ""


def laid_reading(job: Job, run: str, station_ft: float) -> LaidReading | None:
    """Return the latest reading at a station of a run, or None."""
    near = (r for r in reversed(job.laying.readings) if r.run == run and abs(r.station_ft - station_ft) <= SAME_FT)
    return next(near, None)


def _fresh_id(job: Job) -> str:
    taken = [r.id for r in job.laying.readings]
    taken += [t.id for t in things(job)]
    taken += [i for _, i in book_ids(job.book)]
    tails = [i[len(STEM) :] for i in taken if i.startswith(STEM)]
    return f"{STEM}{max((int(t) for t in tails if t.isdecimal() and len(t) < 10), default=0) + 1}"
