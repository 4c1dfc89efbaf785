"""What the commands of the level book make of the job: setups and rows put in, moved and taken out, rows pasted."""

from drainsketch.desk.panes.book_rows import Line, setup_words, sight_words
from drainsketch.desk.session import Session
from drainsketch.errors import EditError
from drainsketch.files.readings import parse_rows, setups_of
from drainsketch.job.edits.book import (
    add_setup,
    change_setup,
    extend_setup,
    move_setup,
    move_sight,
    remove_setup,
    remove_sight,
    unbind,
)
from drainsketch.job.edits.laying import hang_on
from drainsketch.job.kinds import Instrument
from drainsketch.job.levelling import Setup, Sight
from drainsketch.job.sights import setup_of
from drainsketch.wording import Words

BACK = "Ctrl+Z brings it back."
CALLED: dict[Instrument, str] = {"level": "level setup", "string line": "string-line setup"}


def new_setup(session: Session, instrument: Instrument) -> str:
    """Start a setup at the end of the book and return its id; an empty one there becomes it."""
    last = session.job.book.setups[-1] if session.job.book.setups else None
    if last is not None and not last.sights:
        session.apply(change_setup(session.job, last.id, instrument=instrument), f"Start a {CALLED[instrument]}")
        return last.id
    job, made = add_setup(session.job, instrument)
    session.apply(job, f"Start a {CALLED[instrument]}")
    return made


def turn_setup(session: Session, line: Line) -> None:
    """Make a level setup a string-line setup, and the other way round."""
    setup = setup_of(session.job.book, line.setup)
    if setup is not None:
        other: Instrument = "level" if setup.instrument == "string line" else "string line"
        session.apply(change_setup(session.job, setup.id, instrument=other), f"Make it a {CALLED[other]}")


def shift_setup(session: Session, line: Line, by: int) -> None:
    """Move a setup up (-1) or down (1) in the book."""
    if setup_of(session.job.book, line.setup) is not None:
        session.apply(move_setup(session.job, line.setup, by), "Move a setup")


def delete_setup(session: Session, line: Line) -> None:
    """Take a setup out of the book; its shots keep their levels."""
    setup = setup_of(session.job.book, line.setup)
    if setup is None:
        raise EditError("There is no setup to delete here.")
    levels = session.review.book
    height = levels.heights_ft.get(setup.id)
    held = _held(session, setup.id, height)
    session.apply(remove_setup(session.job, setup.id, levels.by_shot, height), "Delete a setup")
    count = len(setup.sights)
    rows = "which was empty" if not count else "with its one row" if count == 1 else f"with its {count} rows"
    session.tell(f"Deleted setup {setup_words(setup, line.number)}, {rows}.{held} {BACK}")


def _held(session: Session, setup: str, height_ft: float | None) -> str:
    """Return what keeps the height of a setup that goes, '' where nothing was taken from it."""
    count = hang_on(session.job, setup)
    if height_ft is None or not (count or session.job.laying.setup == setup):
        return ""
    keeps = "1 as-laid reading keeps" if count == 1 else f"{count} as-laid readings keep"
    written = Words(units=session.job.header.units).level(height_ft)
    return f" {keeps if count else 'The cut sheet keeps'} its height, {written}."


def shift_row(session: Session, line: Line, by: int) -> None:
    """Move a sight up (-1) or down (1) in its setup."""
    if line.sight is not None:
        session.apply(move_sight(session.job, line.sight.id, by), "Move a sight")


def delete_rows(session: Session, lines: list[Line]) -> None:
    """Take sights out of the book, as one step; shots that were placed by them keep their levels."""
    sights = [line.sight for line in lines if line.sight is not None]
    if len(sights) < 2:
        delete_row(session, lines[0])
        return
    job = session.job
    for sight in sights:
        job = remove_sight(job, sight.id, session.review.book.by_shot)
    session.apply(job, "Delete sights")
    session.tell(f"Deleted {len(sights)} rows. Ctrl+Z brings them back.")


def delete_row(session: Session, line: Line) -> None:
    """Take a sight out of the book, or an empty setup; a shot that was placed by it keeps its level."""
    if line.sight is not None:
        session.apply(remove_sight(session.job, line.sight.id, session.review.book.by_shot), "Delete a sight")
        setup = setup_of(session.job.book, line.setup)
        called = setup_words(setup, line.number) if setup is not None else ""
        left = f"setup {called} has no height now. " if setup is not None and _lost_height(setup, line.sight) else ""
        said = sight_words(line.sight, session.job.header.units)
        session.tell(f"Deleted the row {said}{': ' if left else '. '}{left}{BACK}")
    elif line.setup and line.at == 0:
        delete_setup(session, line)
    else:
        raise EditError("This row is empty; there is nothing to delete.")


def _lost_height(setup: Setup, gone: Sight) -> bool:
    """Return whether the sights left in a setup hung on the one that went."""
    return gone.kind == "backsight" and bool(setup.sights) and not any(s.kind == "backsight" for s in setup.sights)


def take_off(session: Session, line: Line) -> None:
    """Take a sight off its shot; the shot keeps its level."""
    if line.sight is None or line.sight.shot is None:
        raise EditError("This row is not on the plan.")
    session.apply(unbind(session.job, line.sight.id, session.review.book.by_shot), "Take a sight off its shot")


def paste(session: Session, text: str) -> int:
    """Put pasted rows behind the book as further setups, and return how many sights came in.

    Sights before the first backsight go on in the last setup.

    Raises
    ------
    EditError : something in the rows cannot be understood; names row and column, and nothing is taken
    """
    job = session.job
    setups = setups_of(parse_rows(text, job.header.units))
    last = job.book.setups[-1] if job.book.setups else None
    instrument: Instrument = last.instrument if last is not None else "level"
    for at, setup in enumerate(setups):
        if at == 0 and last is not None and (not last.sights or setup.sights[0].kind != "backsight"):
            job = extend_setup(job, last.id, setup.sights)
        else:
            job, _ = add_setup(job, instrument, setup.sights)
    session.apply(job, "Paste sights")
    return sum(len(s.sights) for s in setups)
