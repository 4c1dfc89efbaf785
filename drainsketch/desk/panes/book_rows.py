"""The lines of the level book as the pane shows them, and what a typed cell makes of the job. No widget here."""

from collections.abc import Mapping
from html import escape

from msgspec import Struct

from drainsketch.errors import EditError
from drainsketch.ground.results import BookLevels, LevelledSight
from drainsketch.job import units as u
from drainsketch.job.edits.book import add_setup, add_sight, change_sight, move_setup
from drainsketch.job.model import Job, LevelBook, Setup, Sight, SightKind, Units
from drainsketch.job.plain import plain
from drainsketch.job.sights import setup_of, to_place

COLUMNS = ("Setup", "Point", "BS", "HI", "IS", "FS", "Elevation", "Corr.", "Dist.", "Note", "On plan")
SETUP, POINT, BS, HI, IS, FS, ELEVATION, CORRECTION, DISTANCE, NOTE, PLAN = range(len(COLUMNS))
KINDS: dict[int, SightKind] = {BS: "backsight", IS: "intermediate", FS: "foresight"}
TYPED = (POINT, BS, IS, FS, DISTANCE, NOTE)
UNPLACED = "not yet"


class Line(Struct, frozen=True):
    """One line: a sight, or a blank line (``sight`` None) that waits at place ``at`` of its setup ('' for no setup yet)."""

    key: str
    setup: str
    number: int  # of the setup, from 1
    at: int
    sight: Sight | None = None
    levelled: LevelledSight | None = None
    waits: bool = False  # to be placed on the plan


def lines_of(book: LevelBook, levels: BookLevels, inserted: tuple[str, int] | None = None) -> list[Line]:
    """Return the lines of the book, with a blank one in every empty setup, at the end, and where one is ``inserted``."""
    out: list[Line] = []
    known = iter(levels.sights)
    waiting = {s.id for s in to_place(book)}
    for number, setup in enumerate(book.setups, 1):
        for at, sight in enumerate(setup.sights):
            if inserted == (setup.id, at):
                out.append(Line(f"inserted {setup.id}", setup.id, number, at))
            out.append(Line(sight.id, setup.id, number, at, sight, next(known, None), sight.id in waiting))
        if setup is book.setups[-1] or not setup.sights:
            out.append(Line(f"blank {setup.id}", setup.id, number, len(setup.sights)))
    return out or [Line("blank", "", 1, 0)]


def reading_text(feet: float, units: Units) -> str:
    """Return a reading as a bare number that can be typed again: ``4.37``, ``4.365``, or ``1.332`` in meters."""
    if units == "m":
        return f"{feet * 0.3048:.4f}".removesuffix("0")
    text = f"{feet:.3f}"
    return text.removesuffix("0") if abs(feet * 100 - round(feet * 100)) < 1e-6 else text


def signed(feet: float, units: Units) -> str:
    """Return a small difference of level with its sign, to a thousandth of a foot or a millimeter."""
    return f"{feet * 0.3048 if units == 'm' else feet:+.3f}"


def as_tip(text: str) -> str:
    """Return a text as a tooltip shows it: what looks like markup in it is not taken for such."""
    return f"<qt>{escape(text)}</qt>" if text else ""


def cell_text(line: Line, column: int, book: LevelBook, units: Units, *, first: bool) -> str:
    """Return what a cell shows; ``first``: the line is the first of its setup."""
    if column == SETUP:
        return _setup_text(book, line) if first else ""
    sight = line.sight
    if sight is None:
        return ""
    if column in KINDS:
        return reading_text(sight.reading_ft, units) if sight.kind == KINDS[column] else ""
    if column in (HI, ELEVATION, CORRECTION):
        return _worked_out(line.levelled, column, units, adjust=book.adjust)
    return {
        POINT: plain(sight.at),
        NOTE: plain(sight.note),
        DISTANCE: "" if sight.distance_ft is None else reading_text(sight.distance_ft, units),
        PLAN: sight.shot or (UNPLACED if line.waits else ""),
    }[column]


def _worked_out(done: LevelledSight | None, column: int, units: Units, *, adjust: bool) -> str:
    if done is None:
        return ""
    if column == HI:
        return "" if done.kind != "backsight" or done.height_ft is None else u.format_level(done.height_ft, units)
    if done.elevation_ft is None:
        return "no level" if column == ELEVATION else ""
    if column == ELEVATION:
        return u.format_level(done.elevation_ft, units)
    return signed(done.correction_ft, units) if adjust else ""


def _setup_text(book: LevelBook, line: Line) -> str:
    setup = setup_of(book, line.setup)
    if setup is None:
        return "1"
    said = plain(setup.name, 20) or str(line.number)
    return f"{said} string" if setup.instrument == "string line" else said


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
    """Set the reading of a sight. In another column it changes the kind; a backsight beside a foresight turns on the point."""
    if not text:
        if kind == sight.kind:
            raise EditError("A sight keeps its reading; delete the row to take it out of the book.")
        return job
    reading = u.parse_length_ft(text, job.header.units)
    if kind == "backsight" and sight.kind != "backsight":
        return _turned(job, line.setup, Sight(id="", kind=kind, at=sight.at, reading_ft=reading))[0]
    return change_sight(job, sight.id, kind=kind, reading_ft=reading)


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
        return job, _last_sight(setup_of(job.book, made))
    if new.kind == "backsight" and line.key.startswith("blank") and any(s.kind != "backsight" for s in setup.sights):
        return _turned(job, setup.id, new)
    return add_sight(job, setup.id, new, line.at)


def _last_sight(setup: Setup | None) -> str:
    assert setup is not None  # it was just added
    return setup.sights[-1].id
