"""A rainfall table, pasted or from a file: as the US public precipitation-frequency service hands it out, or a plain one.

A plain table has return periods in its first row and durations in its first column, with cells parted by tabs, semicolons or
commas. What the lines above say of measure, unit and place is read; values that no rain can have are refused.
"""

import re
from math import isfinite

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.files.cells import rows_of
from drainsketch.job.plain import plain
from drainsketch.job.rain import RainMeasure, RainRow, RainTable
from drainsketch.job.rain_rules import RainFault, period_name, rain_faults

MOST_CHARACTERS = 100_000
MOST_PERIODS, MOST_DURATIONS = 20, 60
MOST_FALL, MOST_MIN, MOST_YEARS = 200, 100_000, 10_000
MM_PER_IN = 25.4
TURNED_TO_INCHES = "millimeters were turned into inches"
TAKEN_AS_INCHES = (
    "no line settles the unit, so the figures were taken as inches: where they are millimeters, write mm in the line above them and "
    "take the table again"
)

_NUMBER = r"\+?([0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9})"
_VALUE = re.compile(_NUMBER)
_LENGTH = rf"'?{_NUMBER}[\s-]{{0,3}}(m|mins?|minutes?|h|hrs?|hours?|d|days?)?\.?:?"
_DURATION = re.compile(_LENGTH, re.IGNORECASE)
_MARK = re.compile(rf'\s*"?{_LENGTH} {{0,3}}"? {{0,3}}([\t;,])', re.IGNORECASE)
_PERIOD = re.compile(rf"'?(?:1\s*/\s*{_NUMBER}|{_NUMBER}\s*%|{_NUMBER}[\s-]*(?:yrs?|years?)?\.?)", re.IGNORECASE)
_GAPS = ("", "-", "--", "–", "—", ".", "n/a", "na", "none")
_MINUTES = {"m": 1.0, "h": 60.0, "d": 1_440.0}
_UNIT = re.compile(r"\b(m)in|\b(h)rs?\b|\b(h)our|\b(d)ays?\b", re.IGNORECASE)
_PER_HOUR = re.compile(r"intensit|\b(?:in|inch|inches|mm|millimet(?:er|re)s?)\.?\s*(?:/|per)\s*h", re.IGNORECASE)
_IN_ALL = re.compile(r"\bdepths?\b|\b(?:inch|inches|mm|millimet(?:er|re)s?)\b(?!\s*(?:/|per))", re.IGNORECASE)
_METRIC = re.compile(r"\bmm\b|millimet(?:er|re)", re.IGNORECASE)
_INCHES = re.compile(
    r"\binch|\bin\s*(?:/|per)\s*h|[(,;\t]\s{0,3}(?-i:in)\.?\s{0,3}(?:[),;\t]|$)", re.IGNORECASE | re.MULTILINE
)
_BOUNDS = re.compile(r"\bbounds?\b|confidence", re.IGNORECASE)
_SERVICE = re.compile(r"^\s*by duration for (?:ARI|AEP)", re.IGNORECASE)
_UNIT_LINE = re.compile(
    r"(depth|intensity|in|inches|mm|in/hr?|mm/hr?|per hour|duration|rainfall|rain|[\s,;:()])+", re.IGNORECASE
)
_IDLE = re.compile(
    r"(?:point )?precipitation frequency estimates|data type|.*:\s*(none\b\s*)+$|date/time|pyruntime", re.IGNORECASE
)
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f]")


class RainRead(Struct, frozen=True):
    """A table as read, and a sentence for each thing that was left out, turned into inches or taken for granted."""

    table: RainTable
    told: tuple[str, ...] = ()


def read_rain_table(text: str) -> RainTable:
    """Return the table of ``read_rain`` alone. Raises EditError as it does."""
    return read_rain(text).table


def read_rain(text: str) -> RainRead:
    """Return the rainfall table in a text, in inches or inches per hour, and what the user has to be told of the reading.

    Cells may be empty. A chance per year (1/10, 10 %) is read as its return period. Millimeters are turned into inches. Where no
    line says depth or intensity, it shows in the figures: depth grows with duration, intensity does not.

    Raises
    ------
    EditError : the text is no table that can be read; names line and column, and the remedy
    """
    lines = _lines(text)
    mark = next((cut[3] for line in lines if (cut := _MARK.match(line))), None)
    rows = rows_of("\n".join(lines), mark)
    for line, cells in rows:
        if any("\n" in cell for cell in cells):
            raise EditError(f"line {line}: a cell goes on in the next line; look for a quote mark too many")
    first = _first_duration(rows)
    heading_line, heading = rows[first - 1]
    said = "\n".join((*lines[: heading_line - 1], heading[0]))
    periods = _periods(heading_line, heading)
    body, notes, told = _body(rows[first:], len(periods), _unit_of(heading[0]))
    metric = _is_metric(said, notes, told)
    table = RainTable(
        measure="depth",
        return_periods_yr=periods,
        rows=tuple(RainRow(duration_min=minutes, values=values) for _, minutes, values in body),
        source=_source(lines[: heading_line - 1] + notes),
    )
    places = [line for line, _, _ in body]
    table = _measured(table, said, told, heading_line, places)
    if metric:
        table = _in_inches(table)
    for place, row in enumerate(table.rows):
        for column, value in enumerate(row.values):
            if value is not None and value > MOST_FALL:
                fault = RainFault(place, column, f"{value:g} in is more than ever fell; check the figure and its unit")
                raise _told(fault, table, heading_line, places)
    return RainRead(table, tuple(told))


def _lines(text: str) -> list[str]:
    if len(text) > MOST_CHARACTERS:
        raise EditError(f"the text has {len(text):,} characters; a rainfall table is a page of text")
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for number, line in enumerate(lines, 1):
        if _CONTROL.search(line):
            raise EditError(f"line {number}: this is not text; save the table as CSV and take that")
    return lines


def _first_duration(rows: list[tuple[int, list[str]]]) -> int:
    """Return the place of the first row that begins with a duration."""
    if not rows:
        raise EditError("there is no text; copy the rainfall table first")
    first = next((n for n, (_, c) in enumerate(rows) if len(c) > 1 and _DURATION.fullmatch(c[0][:40])), None)
    if first is None:
        raise EditError(
            f"line {rows[0][0]}: no row begins with a duration; write rows like '15 min, 0.81, 1.07' under a heading of return "
            "periods, with cells parted by tabs, semicolons or commas"
        )
    if first == 0:
        raise EditError(
            f"line {rows[0][0]}: there is no heading above the durations; write one like 'duration, 2, 10, 25' with return periods"
        )
    return first


def _unit_of(cell: str) -> float | None:
    """Return the minutes of the unit that the heading of the durations names."""
    named = _UNIT.search(cell)
    return None if named is None else _MINUTES[next(u for u in named.groups() if u).lower()]


def _periods(line: int, heading: list[str]) -> tuple[float, ...]:
    cells = _without_tail(heading[1:], 0)
    if not cells:
        raise EditError(f"line {line}: there are no return periods; write a heading like 'duration, 2, 10, 25'")
    if len(cells) > MOST_PERIODS:
        raise EditError(f"line {line}: {len(cells)} return periods; {MOST_PERIODS} are the most that are read")
    found = []
    for place, cell in enumerate(cells, 2):
        read = _PERIOD.fullmatch(cell[:40])
        if read is None:
            shown = plain(cell, 30) or "nothing"
            remedy = "write years like 10, or a chance like 1/10 or 10%"
            if _DURATION.fullmatch(cell[:40]):
                remedy = "turn the table so that durations stand in the first column"
            raise EditError(f"line {line}, column {place}: {shown} is no return period; {remedy}")
        chance, percent, years = read.groups()
        value = float(chance or years or 0) if percent is None else (100 / float(percent) if float(percent) else 0.0)
        if not 0 < value <= MOST_YEARS:
            raise EditError(f"line {line}, column {place}: {plain(cell, 30)} is no return period; write years like 10")
        found.append(round(value, 6))
    return tuple(found)


def _without_tail(cells: list[str], keep: int) -> list[str]:
    """Return the cells without the empty ones at the end, but not fewer than ``keep``."""
    while len(cells) > keep and not cells[-1]:
        cells = cells[:-1]
    return cells


Body = list[tuple[int, float, tuple[float | None, ...]]]


def _body(rows: list[tuple[int, list[str]]], columns: int, unit_min: float | None) -> tuple[Body, list[str], list[str]]:
    """Return (line, minutes, values) of each row, the notes among them, and what was left out."""
    body: Body = []
    notes: list[str] = []
    for line, cells in rows:
        if _DURATION.fullmatch(cells[0][:40]):
            body.append((line, _minutes(line, cells[0], unit_min), _values(line, cells[1:], columns)))
            if len(body) > MOST_DURATIONS:
                raise EditError(f"line {line}: more than {MOST_DURATIONS} durations; delete those you do not need")
        elif _BOUNDS.search(cells[0]):
            return (
                body,
                notes,
                [f"from line {line} on, bounds of the estimates are left out; the estimates above are used"],
            )
        elif any(_VALUE.fullmatch(cell[:40]) for cell in cells[1:]):
            shown = plain(cells[0], 30) or "nothing"
            remedy = "paste one table at a time" if _SERVICE.match(cells[0]) else "write 15 min, 2 hr or 3 days"
            raise EditError(f"line {line}, column 1: {shown} is no duration; {remedy}")
        else:
            notes.append(", ".join(filter(None, cells)))
    return body, notes, []


def _minutes(line: int, cell: str, unit_min: float | None) -> float:
    read = _DURATION.fullmatch(cell)
    number, unit = read.groups() if read else ("0", None)
    factor = _MINUTES[unit[0].lower()] if unit else unit_min
    if factor is None:
        raise EditError(
            f"line {line}, column 1: {plain(cell, 30)} has no unit; write {plain(cell, 30)} min, hr or days"
        )
    minutes = round(float(number) * factor, 6)
    if not 0 < minutes <= MOST_MIN:
        raise EditError(
            f"line {line}, column 1: {plain(cell, 30)} is no duration of a rain; write one of 1 min to 60 days"
        )
    return minutes


def _values(line: int, cells: list[str], columns: int) -> tuple[float | None, ...]:
    cells = _without_tail(cells, columns)
    if len(cells) != columns:
        raise EditError(
            f"line {line}: values for {len(cells)} of {columns} return periods; give each a cell, empty where nothing is known"
        )
    return tuple(_value(line, place, cell) for place, cell in enumerate(cells, 2))


def _value(line: int, place: int, cell: str) -> float | None:
    if cell.lower() in _GAPS:
        return None
    value = float(cell) if _VALUE.fullmatch(cell) else 0.0
    if not (isfinite(value) and value > 0):
        shown = plain(cell, 30) or "nothing"
        raise EditError(
            f"line {line}, column {place}: {shown} is no amount of rain; write a plain number like 0.48, or leave the cell empty"
        )
    return value


def _is_metric(said: str, notes: list[str], told: list[str]) -> bool:
    """Return whether figures are millimeters: as the lines above say, or else those below; inches where none says anything."""
    metric, inches = bool(_METRIC.search(said)), bool(_INCHES.search(said))
    if metric and inches:
        raise EditError("line 1: the lines above the table name both inches and millimeters; leave one of the two")
    if not metric and not inches:
        below = "\n".join(notes)
        metric, inches = bool(_METRIC.search(below)), bool(_INCHES.search(below))
    if metric and not inches:
        told.append(TURNED_TO_INCHES)
    elif not inches or metric:
        told.insert(0, TAKEN_AS_INCHES)
    return metric and not inches


def _measured(table: RainTable, said: str, told: list[str], heading_line: int, places: list[int]) -> RainTable:
    """Return the table with the measure that its lines name or its figures show, whole in itself."""
    per_hour, in_all = bool(_PER_HOUR.search(said)), bool(_IN_ALL.search(said))
    named: RainMeasure | None = None
    if per_hour != in_all:
        named = "intensity" if per_hour else "depth"
    tried = {m: replace(table, measure=m) for m in ("depth", "intensity")}
    faults = {m: next(rain_faults(t), None) for m, t in tried.items()}
    whole = [m for m, fault in faults.items() if fault is None]
    if named is None and len(whole) == 2:
        raise EditError(
            f"line {heading_line}: nothing says whether this is depth or intensity; write 'depth, in' or 'intensity, in/h' in a "
            "line above"
        )
    if named is None and whole:
        told.append(f"the lines do not settle depth or intensity; the figures run as those of {whole[0]} do")
    measure = named or (whole[0] if whole else _looks_like(table))
    fault = faults[measure]
    if fault is None:
        return tried[measure]
    if whole:
        raise EditError(
            f"line {heading_line}: the lines above say {measure}, but the figures run as {whole[0]} does; check which it is"
        )
    raise _told(fault, table, heading_line, places)


def _looks_like(table: RainTable) -> RainMeasure:
    """Return the measure that the ends of the columns show."""
    columns = [[v for v in column if v is not None] for column in zip(*(r.values for r in table.rows), strict=False)]
    grown = sum((c[-1] > c[0]) - (c[-1] < c[0]) for c in columns if c)
    return "depth" if grown >= 0 else "intensity"


def _told(fault: RainFault, table: RainTable, heading_line: int, places: list[int]) -> EditError:
    place = f"line {heading_line if fault.row is None else places[fault.row]}"
    if fault.column is not None:
        place += f", {period_name(table.return_periods_yr[fault.column])}"
    return EditError(f"{place}: {fault.text}")


def _in_inches(table: RainTable) -> RainTable:
    def turned(value: float | None) -> float | None:
        return None if value is None else float(f"{value / MM_PER_IN:.6g}")

    rows = tuple(replace(row, values=tuple(turned(v) for v in row.values)) for row in table.rows)
    return replace(table, rows=rows)


def _source(lines: list[str]) -> str:
    """Return what the lines round a table say of where it comes from; a line of measure and unit alone says nothing of that."""
    said = (plain(line.strip(" \t,;")) for line in lines)
    return plain("; ".join(line for line in said if line and not _IDLE.match(line) and not _UNIT_LINE.fullmatch(line)))
