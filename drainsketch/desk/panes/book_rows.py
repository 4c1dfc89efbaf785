"""The lines of the level book as the pane shows them, and how they say things. No widget here."""

from html import escape

from msgspec import Struct

from drainsketch.ground.results import BookLevels, LevelledSight
from drainsketch.job import units as u
from drainsketch.job.kinds import SightKind, Units
from drainsketch.job.levelling import LevelBook, Setup, Sight
from drainsketch.job.plain import plain
from drainsketch.job.sights import read_ft, setup_of, to_place

COLUMNS = ("Setup", "Point", "BS", "HI", "IS", "FS", "Elevation", "Corr.", "Dist.", "Note", "On plan")
SETUP, POINT, BS, HI, IS, FS, ELEVATION, CORRECTION, DISTANCE, NOTE, PLAN = range(len(COLUMNS))
SAID: dict[SightKind, str] = {"backsight": "BS", "intermediate": "IS", "foresight": "FS"}
KINDS: dict[int, SightKind] = {BS: "backsight", IS: "intermediate", FS: "foresight"}
TYPED = (POINT, BS, IS, FS, DISTANCE, NOTE)
WORKED_OUT = {
    SETUP: "A setup is named in its first row.",
    HI: "HI is worked out: the level of the point plus the BS on it.",
    ELEVATION: "The elevation is worked out: type what the rod shows as BS, IS or FS; a benchmark gets its level at the left.",
    CORRECTION: "The correction is worked out when Adjust is on.",
    PLAN: "Place puts this sight on the plan (Ctrl+Enter).",
}
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
        own = sight.kind == KINDS[column] and sight.reading_ft is not None
        return reading_text(read_ft(sight), units) if own else ""
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


def setup_words(setup: Setup, number: int) -> str:
    """Return what a setup is called: its name, or its number in the book."""
    return plain(setup.name, 20) or str(number)


def _setup_text(book: LevelBook, line: Line) -> str:
    setup = setup_of(book, line.setup)
    if setup is None:
        return "1"
    said = setup_words(setup, line.number)
    return f"{said} string" if setup.instrument == "string line" else said


def sight_words(sight: Sight, units: Units) -> str:
    """Return a sight in few words: ``FS 6.21 on TP1``."""
    reading = "" if sight.reading_ft is None else f" {reading_text(sight.reading_ft, units)}"
    at = plain(sight.at, 20)
    return f"{SAID[sight.kind]}{reading}{f' on {at}' if at else ''}"
