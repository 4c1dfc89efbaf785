"""What the window does with options: draw another one, make one, name one, take one away. Each is one step of undo."""

from collections.abc import Callable

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.session import Session
from drainsketch.errors import EditError
from drainsketch.job.edits.options import (
    add_option,
    fresh_name,
    note_option,
    remove_option,
    rename_option,
    switch_option,
)
from drainsketch.job.model import Job
from drainsketch.job.options import MOST_OPTIONS, option_names, options_of

UNNAMED = "as drawn"


def draw_option(session: Session, at: int) -> None:
    """Draw the option at a place; nothing happens where there is none."""
    names = option_names(session.job)
    if not 0 <= at < len(names) or at == session.job.option_at:
        return
    session.apply(switch_option(session.job, at), f"Draw option {names[at]}")
    session.tell(f"Drawn now: {names[at]}")


def new_option(session: Session, dialogs: Dialogs) -> None:
    """Ask for a name, and draw a copy of the drawn option under it."""
    names = option_names(session.job)
    if len(names) >= MOST_OPTIONS:
        session.tell(f"A job holds {MOST_OPTIONS} options; delete one of {', '.join(names)} first")
        return
    suggested = fresh_name(session.job, *(() if names[0] else ("Option 1",)))
    made = _asked(session, dialogs, "New option", (suggested, ""), add_option)
    if made is not None:
        session.apply(made, f"New option {made.option}")
        session.tell(f"{made.option} is a copy of {made.aside[-1].name}; what you change now, you change in it alone")


def name_option(session: Session, dialogs: Dialogs) -> None:
    """Ask for name and note of the drawn option."""
    job = session.job
    at = job.option_at

    def named(job: Job, name: str, note: str) -> Job:
        return note_option(rename_option(job, at, name), at, note)

    made = _asked(session, dialogs, "Name and note of the option", (job.option, job.option_note), named)
    if made is not None:
        session.apply(made, "Name of an option")


def delete_option(session: Session) -> None:
    """Take the drawn option away; undo brings it back."""
    job = session.job
    if not job.aside:
        session.tell("These are the only drains of the job: delete what is drawn instead")
        return
    made = remove_option(job, job.option_at)
    session.apply(made, f"Delete option {job.option}")
    session.tell(f"Option {job.option} is deleted, undo brings it back; drawn now: {made.option}")


def shown_names(job: Job) -> tuple[str, ...]:
    """Return the names of the options as they are shown."""
    return tuple(" ".join(option.name.split()) or UNNAMED for option in options_of(job))


def _asked(
    session: Session, dialogs: Dialogs, title: str, first: tuple[str, str], edit: Callable[[Job, str, str], Job]
) -> Job | None:
    """Return the job after an edit with the name and note that were asked for; None when the user thought better of it."""
    job = session.job

    def fault(name: str, note: str) -> str:
        try:
            edit(job, name, note)
        except EditError as wrong:
            return str(wrong)
        return ""

    answer = dialogs.ask_option(title, *first, fault)
    return edit(job, *answer) if answer is not None and not fault(*answer) else None
