"""Laying pipe: what the cut sheet is reckoned from, and readings on the laid pipe."""

from typing import Any

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.edits.add import checked, fresh_id
from drainsketch.job.kinds import Instrument
from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.model import Job, Option
from drainsketch.job.options import options_of
from drainsketch.job.sights import setup_of

SAME_FT = 0.05  # a reading this near to another along the run stands in its place
STEM = "laid-"


def change_laying(job: Job, **fields: Any) -> Job:
    """Return the job with some fields of the laying set. Raises EditError for a value outside its bounds.

    A setup takes the place of a typed height and brings its instrument; a typed height takes the place of the setup.
    """
    asked = fields.get("setup") or job.laying.setup
    setup = setup_of(job.book, asked) if asked is not None else None
    if fields.get("setup") is not None and setup is None:
        raise EditError(f"{asked}: the level book has no setup with that id")
    if setup is not None and ("setup" in fields or "height_ft" in fields):
        fields = {"height_ft": None, "setup": None, "instrument": setup.instrument, **fields}
    laying = checked("laying", replace(job.laying, **fields))
    return job if laying == job.laying else replace(job, laying=laying)


def read_laid(job: Job, run: str, station_ft: float, reading_ft: float) -> Job:
    """Return the job with a reading on laid pipe, taken under the present height and with the rod where it now stands.

    Where that is the height of a setup, the reading hangs on the setup and moves with it. A reading on the same station is
    replaced; the others keep what they were taken under.

    Raises
    ------
    EditError : there is no such run, no height to read from, or a value is outside its bounds
    """
    laying = job.laying
    if all(r.id != run for r in job.runs):
        raise EditError(f"{run}: the job has no run with that id")
    if laying.height_ft is None and laying.setup is None:
        what = "string" if laying.instrument == "string line" else "instrument"
        raise EditError(f"{run}: type the height of the {what} first, then readings can be taken from it")
    old = laid_reading(job, run, station_ft)
    reading = LaidReading(
        id=old.id if old is not None else fresh_id(job, STEM),
        run=run,
        station_ft=station_ft,
        reading_ft=reading_ft,
        height_ft=laying.height_ft,
        setup=laying.setup,
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


def hang_on(job: Job, setup: str) -> int:
    """Return how many readings on laid pipe hang on a setup of the book, in options aside too."""
    return sum(r.setup == setup for option in options_of(job) for r in option.laying.readings)


def height_written(job: Job, setup: str, height_ft: float | None) -> Job:
    """Return the job with the height of a setup written into all that is read from it, before the setup goes.

    Raises
    ------
    EditError : readings hang on the setup, and it has no height to write down
    """
    count = hang_on(job, setup)
    if count and height_ft is None:
        raise EditError(
            f"As-laid readings hang on this setup ({count}), and it has no height to keep them by: "
            f"read its backsight first, or take those readings off in the cut sheet{_where(job, setup)}."
        )
    found = setup_of(job.book, setup)
    instrument = found.instrument if found is not None else job.laying.instrument
    level = None if height_ft is None else round(height_ft, 6)
    aside = tuple(_option_written(option, setup, level, instrument) for option in job.aside)
    if any(new is not old for new, old in zip(aside, job.aside, strict=True)):
        job = replace(job, aside=aside)
    laying = _laying_written(job.laying, setup, level, instrument)
    return job if laying is job.laying else replace(job, laying=checked("laying", laying))


def _where(job: Job, setup: str) -> str:
    """Return in which options aside readings hang on a setup, since those do not show in the cut sheet; '' where in none."""
    names = [option.name for option in job.aside if any(r.setup == setup for r in option.laying.readings)]
    return f" (also of option {', '.join(names)})" if names else ""


def _option_written(option: Option, setup: str, level_ft: float | None, instrument: Instrument) -> Option:
    laying = _laying_written(option.laying, setup, level_ft, instrument)
    return option if laying is option.laying else replace(option, laying=checked("laying", laying))


def _laying_written(laying: Laying, setup: str, level_ft: float | None, instrument: Instrument) -> Laying:
    """Return the laying with a level in place of a setup, the same object where it does not go by that setup."""
    if laying.setup == setup:
        laying = replace(laying, setup=None, height_ft=level_ft, instrument=instrument)
    if not any(r.setup == setup for r in laying.readings):
        return laying
    kept = tuple(replace(r, setup=None, height_ft=level_ft) if r.setup == setup else r for r in laying.readings)
    return replace(laying, readings=kept)


def laid_reading(job: Job, run: str, station_ft: float) -> LaidReading | None:
    """Return the latest reading at a station of a run, or None."""
    near = (r for r in reversed(job.laying.readings) if r.run == run and abs(r.station_ft - station_ft) <= SAME_FT)
    return next(near, None)
