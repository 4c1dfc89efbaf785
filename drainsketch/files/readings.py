"""Rows of a level book pasted from a spreadsheet: point, BS, IS, FS, distance, note.

Columns go by their heading in any order, or stand in that order without one. Readings may be written in any of the accepted
ways, mixed. Either every row is understood or none is taken.
"""

from msgspec import Struct

from drainsketch.errors import EditError, LengthError
from drainsketch.files.cells import heading, rows_of
from drainsketch.job.kinds import SightKind, Units
from drainsketch.job.levelling import Setup, Sight
from drainsketch.job.plain import plain
from drainsketch.job.units import parse_length_ft

MOST_TOLD = 3
WITHOUT_HEADING = ("point", "BS", "IS", "FS", "distance", "note")
_HEADINGS = {
    "point": ("point", "p", "pt", "station", "sta", "stn", "at", "name", "id", "pointid", "pointno", "no"),
    "BS": ("bs", "backsight", "back", "bs+", "+", "+s", "plus"),
    "IS": ("is", "ifs", "intermediate", "intermediatesight", "int", "inter", "sideshot", "ss"),
    "FS": ("fs", "foresight", "fore", "fs-", "-", "-s", "minus"),
    "distance": ("distance", "dist", "length", "sight", "sightlength", "sightdistance"),
    "note": ("note", "notes", "remark", "remarks", "description", "desc", "comment"),
    "": ("hi", "heightofinstrument", "elevation", "elev", "el", "level", "rl", "reducedlevel", "correction", "corr",
         "adjusted", "setup", "plan", "onplan", "rise", "fall"),  # worked out here
}  # fmt: skip
_COLUMN = {word: column for column, words in _HEADINGS.items() for word in words}
_KINDS: dict[str, SightKind] = {"BS": "backsight", "IS": "intermediate", "FS": "foresight"}


class Row(Struct, frozen=True):
    """One line of the book: a point and its readings, ft, by column (BS, IS, FS)."""

    line: int
    at: str
    readings: dict[str, float]
    distance_ft: float | None = None
    note: str = ""


def parse_rows(text: str, units: Units = "ft-in") -> tuple[Row, ...]:
    """Return the rows of a pasted level book.

    Raises
    ------
    EditError : a column, a row or a cell cannot be understood; names row and column, three of them at most
    """
    rows = rows_of(text)
    if not rows:
        raise EditError("there is nothing to paste; copy the rows of the level book first")
    columns: tuple[str, ...] = WITHOUT_HEADING
    if _is_heading(rows[0][1]):
        columns, rows = _columns(rows[0]), rows[1:]
    found: list[Row] = []
    faults: list[str] = []
    for line, cells in rows:
        try:
            found.append(_row(line, cells, columns, units))
        except EditError as fault:
            faults.append(str(fault))
    if faults:
        more = len(faults) - MOST_TOLD
        raise EditError("; ".join(faults[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else ""))
    if not found:
        raise EditError("row 1: there are headings but no rows under them")
    return tuple(found)


def _is_heading(cells: list[str]) -> bool:
    """Return whether a row names columns: one reading column at least, and no figures."""
    words = [heading(c) for c in cells if c]
    return any(_COLUMN.get(w) in _KINDS for w in words) and not any(c[:1].isdigit() for c in cells)


def _columns(row: tuple[int, list[str]]) -> tuple[str, ...]:
    line, cells = row
    out: list[str] = []
    for number, cell in enumerate(cells, 1):
        word = heading(cell)
        if word and word not in _COLUMN:
            known = ", ".join(WITHOUT_HEADING)
            raise EditError(
                f"row {line}, column {number}: {plain(cell, 30)} is no column of a level book; known: {known}"
            )
        column = _COLUMN.get(word, "")
        if column and column in out:
            raise EditError(f"row {line}, column {number}: {column} stands twice in the headings; keep one")
        out.append(column)
    return tuple(out)


def _row(line: int, cells: list[str], columns: tuple[str, ...], units: Units) -> Row:
    said: dict[str, str] = {}
    for number, cell in enumerate(cells):
        if number < len(columns):
            if columns[number]:
                said[columns[number]] = cell
        elif cell:
            raise EditError(f"row {line}, column {number + 1}: {plain(cell, 30)} stands beyond the last column")
    readings = {c: _length(line, c, said[c], units) for c in _KINDS if said.get(c)}
    at = said.get("point", "")
    if not readings:
        raise EditError(f"row {line}: {plain(at, 30) or 'this row'} has no reading; fill in BS, IS or FS")
    if "IS" in readings and "FS" in readings:
        raise EditError(f"row {line}, columns IS and FS: a point is read once from a setup; keep one of the two")
    distance = _length(line, "distance", said["distance"], units) if said.get("distance") else None
    return Row(line, at, readings, distance, said.get("note", ""))


def _length(line: int, column: str, cell: str, units: Units) -> float:
    try:
        return parse_length_ft(cell, units)
    except LengthError as fault:
        raise EditError(f"row {line}, column {column}: {fault}") from fault


def setups_of(rows: tuple[Row, ...]) -> tuple[Setup, ...]:
    """Return the setups that the rows make, without ids: a backsight starts one, where the one before has other sights.

    A row with a foresight and a backsight is a turning point: read from one setup, and looked back to from the next. Its
    distance goes with the foresight.
    """
    setups: list[list[Sight]] = []
    for row in rows:
        for column in ("IS", "FS", "BS"):
            if column not in row.readings:
                continue
            if not setups or (column == "BS" and any(s.kind != "backsight" for s in setups[-1])):
                setups.append([])
            first = column != "BS" or len(row.readings) == 1
            setups[-1].append(
                Sight(
                    id="",
                    kind=_KINDS[column],
                    at=row.at,
                    reading_ft=row.readings[column],
                    distance_ft=row.distance_ft if first else None,
                    note=row.note if first else "",
                )
            )
    return tuple(Setup(id="", sights=tuple(sights)) for sights in setups)
