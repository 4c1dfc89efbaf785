"""What a typed cell makes of the level book: readings set, moved to another kind, struck out, and turning points made. No widget here."""

from collections.abc import Mapping

from drainsketch.desk.panes.book_rows import (
    COLUMNS,
    DISTANCE,
    KINDS,
    NOTE,
    POINT,
    SAID,
    SETUP,
    Line,
    setup_words,
    sight_words,
)
from drainsketch.errors import EditError
from drainsketch.job import units as u
from drainsketch.job.edits.book import add_setup, add_sight, change_setup, change_sight, move_setup
from drainsketch.job.kinds import SightKind
from drainsketch.job.levelling import LevelBook, Setup, Sight
from drainsketch.job.model import Job
from drainsketch.job.plain import plain
from drainsketch.job.sights import point_key, setup_of, sights_of


def typed(job: Job, line: Line, column: int, text: str, draft: Mapping[int, str]) -> tuple[Job, str]:
    """Return the job after a text was typed into a cell of a line, and the id of the sight there ('' while it is blank).

    Parameters
    ----------
    draft : what stands in the other cells of a blank line, by column

    Raises
    ------
    EditError, LengthError : the text cannot be read, or the job cannot hold it
    """
    text = text.strip()
    if column == SETUP and setup_of(job.book, line.setup) is not None:
        return change_setup(job, line.setup, name=text), line.sight.id if line.sight is not None else ""
    if line.sight is None:
        return _typed_blank(job, line, column, text, draft)
    sight = line.sight
    if column in KINDS:
        return _typed_reading(job, line, sight, KINDS[column], text), sight.id
    if column == DISTANCE:
        distance = u.parse_length_ft(text, job.header.units) if text else None
        return change_sight(job, sight.id, distance_ft=distance), sight.id
    return change_sight(job, sight.id, **{"at" if column == POINT else "note": text}), sight.id


def _typed_reading(job: Job, line: Line, sight: Sight, kind: SightKind, text: str) -> Job:
    """Set the reading of a sight, or strike it out.

    In another column it changes the kind, as long as no height hangs on it. A backsight beside a foresight turns on the point,
    and a foresight beside a backsight that nobody shot from the setup before is the other half of that turn.
    """
    if not text:
        return change_sight(job, sight.id, reading_ft=None) if kind == sight.kind else job
    reading = u.parse_length_ft(text, job.header.units)
    new = Sight(id="", kind=kind, at=sight.at, reading_ft=reading)
    setup = setup_of(job.book, line.setup)
    assert setup is not None  # the line is of this book
    bears = any(s.kind == "backsight" and s.reading_ft is not None and s is not sight for s in setup.sights)
    if kind == sight.kind or (sight.reading_ft is None and not (kind == "backsight" and bears)):
        return change_sight(job, sight.id, kind=kind, reading_ft=reading)
    called = plain(sight.at, 20) or "This sight"
    if sight.kind == "backsight":
        before = _unturned(job.book, sight.at, line.number)
        if kind == "foresight" and before is not None:
            return add_sight(job, before.id, new)[0]
        raise EditError(
            f"{called} is the backsight of setup {setup_words(setup, line.number)} and carries its levels: "
            f"the {SAID[kind]} goes in a row of its own below. To change this row, clear its BS first (Delete)."
        )
    if kind == "backsight" and bears:
        again = _looked_back(job.book, sight.at)
        if again:
            raise EditError(f"{called} is looked back to in setup {again} already: its BS goes in the row there.")
        return _turned(job, line.setup, new)[0]
    return change_sight(job, sight.id, kind=kind, reading_ft=reading)


def _looked_back(book: LevelBook, at: str) -> str:
    """Return the setup whose backsight stands on a turning point, '' for a benchmark and where there is none."""
    key = point_key(at)
    if not key or any(point_key(b.name) == key for b in book.benchmarks):
        return ""
    for number, setup in enumerate(book.setups, 1):
        if any(s.kind == "backsight" and point_key(s.at) == key for s in setup.sights):
            return setup_words(setup, number)
    return ""


def _unturned(book: LevelBook, at: str, number: int) -> Setup | None:
    """Return the setup before setup ``number`` (from 1), where a point waits to be shot from it: nothing gives it a level."""
    return book.setups[number - 2] if number > 1 and point_key(at) and not _is_known(book, at) else None


def row_made(before: LevelBook, after: LevelBook) -> tuple[str, str]:
    """Return the sight that a typed cell added elsewhere in the book, and what to say of it; '' both for nothing."""
    old = {s.id for _, s in sights_of(before)}
    for number, setup in enumerate(after.setups, 1):
        for sight in setup.sights:
            if sight.id not in old:
                at = plain(sight.at, 20) or "the point"
                called = setup_words(setup, number)
                return sight.id, f"Added the {SAID[sight.kind]} on {at} to setup {called}, in a row of its own."
    return "", ""


def cleared_words(line: Line, column: int, job: Job) -> str:
    """Return what goes when a cell is emptied, and what hangs on it."""
    back = "Ctrl+Z brings it back."
    if column not in KINDS or line.sight is None:
        return f"Cleared the {'setup name' if column == SETUP else COLUMNS[column].lower().removesuffix('.')}. {back}"
    said = f"Cleared {sight_words(line.sight, job.header.units)}"
    setup = setup_of(job.book, line.setup)
    if line.sight.kind == "backsight" and setup is not None and len(setup.sights) > 1:
        return f"{said}: setup {setup_words(setup, line.number)} has no height until it is read again. {back}"
    return f"{said}. {back}"


def _is_known(book: LevelBook, at: str) -> bool:
    """Return whether a point is a benchmark or was shot forward."""
    key = point_key(at)
    return any(point_key(b.name) == key for b in book.benchmarks) or any(
        point_key(s.at) == key for _, s in sights_of(book) if s.kind != "backsight"
    )


def _turned(job: Job, after: str, back: Sight) -> tuple[Job, str]:
    """Return the job with a new setup behind another that looks back to a point, and the id of that sight."""
    setups = job.book.setups
    where = next(i for i, s in enumerate(setups) if s.id == after)
    job, new = add_setup(job, setups[where].instrument, (back,))
    job = move_setup(job, new, where + 1 - len(setups))
    made = setup_of(job.book, new)
    assert made is not None  # it was just added
    return job, made.sights[0].id


def _typed_blank(job: Job, line: Line, column: int, text: str, draft: Mapping[int, str]) -> tuple[Job, str]:
    if column not in KINDS or not text:
        if column == DISTANCE and text:
            u.parse_length_ft(text, job.header.units)
        return job, ""
    units = job.header.units
    distance = draft.get(DISTANCE, "").strip()
    new = Sight(
        id="",
        kind=KINDS[column],
        at=draft.get(POINT, "").strip(),
        reading_ft=u.parse_length_ft(text, units),
        distance_ft=u.parse_length_ft(distance, units) if distance else None,
        note=draft.get(NOTE, "").strip(),
    )
    setup = setup_of(job.book, line.setup)
    if setup is None:
        job, made = add_setup(job, "level", (new,))
        job = change_setup(job, made, name=draft.get(SETUP, "").strip())
        return job, _last_sight(setup_of(job.book, made))
    turns = any(s.kind != "backsight" for s in setup.sights) or (setup.sights and not _is_known(job.book, new.at))
    if new.kind == "backsight" and line.key.startswith("blank") and turns:
        return _turned(job, setup.id, new)
    return add_sight(job, setup.id, new, line.at)


def _last_sight(setup: Setup | None) -> str:
    assert setup is not None  # it was just added
    return setup.sights[-1].id
