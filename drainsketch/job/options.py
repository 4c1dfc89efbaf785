"""Plain questions about the options of a job: variants of the drains of one yard, of which one is drawn and the others are aside."""

from collections.abc import Iterator

from msgspec.structs import replace

from drainsketch.job.ask import things
from drainsketch.job.model import Job, Option
from drainsketch.job.sights import book_ids

MOST_OPTIONS = 3


def options_of(job: Job) -> tuple[Option, ...]:
    """Return every option in order, the drawn one at ``job.option_at``; its lists are those of the job, not copies."""
    drawn = Option(name=job.option, note=job.option_note, structures=job.structures, runs=job.runs, laying=job.laying)
    return (*job.aside[: job.option_at], drawn, *job.aside[job.option_at :])


def option_names(job: Job) -> tuple[str, ...]:
    """Return the names of the options in order; ('',) for a job whose drains were never named.

    Examples
    --------
    >>> option_names(Job(option="Short", option_at=1, aside=(Option("Long"),)))
    ('Long', 'Short')
    """
    return tuple(option.name for option in options_of(job))


def with_drains_of(job: Job, option: Option) -> Job:
    """Return the job with the drains of an option drawn and none aside; what they share stays the same objects."""
    return replace(
        job,
        structures=option.structures,
        runs=option.runs,
        laying=option.laying,
        option=option.name,
        option_note=option.note,
        option_at=0,
        aside=(),
    )


def option_jobs(job: Job) -> tuple[tuple[str, Job], ...]:
    """Return (name, job) of every option in order, each a whole job without options aside.

    Yard, level book, rain and limits are the same objects in all, so that a review of one keeps the ground of another.
    """
    if not job.aside:
        return ((job.option, job),)
    return tuple((option.name, with_drains_of(job, option)) for option in options_of(job))


def at_option(job: Job, name: str) -> int:
    """Return the place of the option with a name, whatever its capitals; -1 where there is none."""
    return next((i for i, own in enumerate(option_names(job)) if name_key(own) == name_key(name)), -1)


def name_key(name: str) -> str:
    """Return what an option is known by: its name without regard to capitals and to spaces at its ends."""
    return name.strip().casefold()


def ids_in_use(job: Job) -> Iterator[str]:
    """Yield every id of a job, those of options aside too; one that stands in several options comes several times."""
    yield from (t.id for t in things(job))
    yield from (its_id for _, its_id in book_ids(job.book))
    yield from (reading.id for reading in job.laying.readings)
    yield from ids_aside(job)


def ids_aside(job: Job) -> Iterator[str]:
    """Yield the ids within the options aside."""
    for option in job.aside:
        yield from (s.id for s in option.structures)
        yield from (r.id for r in option.runs)
        yield from (reading.id for reading in option.laying.readings)
