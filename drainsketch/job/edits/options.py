"""Edit the options of a job: up to three variants of its drains, of which one is drawn and the others are aside.

Every edit is one step of undo, and shares all lists of things with the job before it.
"""

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.edits.add import checked
from drainsketch.job.model import Job, Option
from drainsketch.job.options import MOST_OPTIONS, at_option, name_key, option_names, options_of


def fresh_name(job: Job, *others: str) -> str:
    """Return a name that no option has, nor any of the others: Option 1, Option 2 and so on."""
    taken = {name_key(name) for name in (*option_names(job), *others)}
    return next(name for i in range(1, len(taken) + 2) if name_key(name := f"Option {i}") not in taken)


def add_option(job: Job, name: str, note: str = "") -> Job:
    """Return the job with a copy of the drawn option, drawn from now on and last in order; the one it is a copy of goes aside.

    Where the drains had no name yet they get one.

    Raises
    ------
    EditError : there are three already, or the name is empty, taken or too long
    """
    options = options_of(job)
    if len(options) >= MOST_OPTIONS:
        raise EditError(f"A job holds {MOST_OPTIONS} options; delete one of {', '.join(o.name for o in options)} first")
    if not options[0].name.strip() and len(options) == 1:
        options = (replace(options[0], name=fresh_name(job, name)),)
    new = replace(options[job.option_at], name=_free(name, options), note=note)
    return _with(job, (*options, _checked(new)), len(options))


def switch_option(job: Job, at: int) -> Job:
    """Return the job with another option drawn. Raises EditError where there is none at that place, the first being 0."""
    _at(job, at)
    return job if at == job.option_at else _with(job, options_of(job), at)


def switch_to(job: Job, name: str) -> Job:
    """Return the job with the option of that name drawn, whatever its capitals. Raises EditError where there is none."""
    at = at_option(job, name)
    if at < 0:
        names = [own for own in option_names(job) if own]
        there = f"there are {', '.join(names)}" if names else "it has one only, without a name"
        raise EditError(f"the job has no option {name}; {there}")
    return switch_option(job, at)


def rename_option(job: Job, at: int, name: str) -> Job:
    """Return the job with another name for an option. Raises EditError where it is taken, too long, or empty beside others."""
    old, options = _at(job, at), options_of(job)
    alone = len(options) == 1 and not name.strip()
    others = (*options[:at], *options[at + 1 :])
    return _changed(job, at, replace(old, name="" if alone else _free(name, others)))


def note_option(job: Job, at: int, note: str) -> Job:
    """Return the job with a note on an option, in plain words for its owner. Raises EditError where it is too long."""
    return _changed(job, at, replace(_at(job, at), note=note))


def remove_option(job: Job, at: int) -> Job:
    """Return the job without an option; where it was drawn, the one before it is drawn now, or else the next.

    Raises
    ------
    EditError : there is none at that place, or no other
    """
    _at(job, at)
    options = options_of(job)
    if len(options) == 1:
        raise EditError("These are the only drains of the job: delete what is drawn instead")
    kept = (*options[:at], *options[at + 1 :])
    drawn = job.option_at - 1 if at <= job.option_at else job.option_at
    return _with(job, kept, max(0, drawn))


def _free(name: str, others: tuple[Option, ...]) -> str:
    """Return the name without spaces at its ends. Raises EditError where it is empty, or one of the others has it."""
    key = name_key(name)
    if not key:
        raise EditError("An option beside others needs a name")
    if any(name_key(other.name) == key for other in others):
        raise EditError(f"There is an option {name.strip()} already; choose another name")
    return name.strip()


def _at(job: Job, at: int) -> Option:
    options = options_of(job)
    if not 0 <= at < len(options):
        raise EditError(f"There is no option {at + 1}; the job has {len(options)}")
    return options[at]


def _changed(job: Job, at: int, new: Option) -> Job:
    options = options_of(job)
    if new == options[at]:
        return job
    return _with(job, (*options[:at], _checked(new), *options[at + 1 :]), job.option_at)


def _checked(new: Option) -> Option:
    """Return the option. Raises EditError where name or note is too long; its drains were checked when they were drawn."""
    checked("option", Option(name=new.name, note=new.note))
    return new


def _with(job: Job, options: tuple[Option, ...], at: int) -> Job:
    """Return the job with these options, one of them drawn."""
    drawn = options[at]
    return replace(
        job,
        structures=drawn.structures,
        runs=drawn.runs,
        laying=drawn.laying,
        option=drawn.name,
        option_note=drawn.note,
        option_at=at,
        aside=(*options[:at], *options[at + 1 :]),
    )
