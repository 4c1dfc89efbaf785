"""Points from a data collector or a spreadsheet: point, northing, easting, elevation, description (P,N,E,Z,D).

Which column is which, and whether the figures are feet or meters, is the user's choice; a heading row is recognized.
"""

from math import floor, isfinite
from typing import Literal

from msgspec import Struct

from drainsketch.errors import EditError
from drainsketch.files.cells import heading, rows_of
from drainsketch.job.model import Shot
from drainsketch.job.plain import plain

METER_FT = 1 / 0.3048
FARTHEST_FT = 50_000.0
ROUND_FT = 10_000.0  # so coarse that two files of one yard hardly ever part here
SAME_FT = 0.01
MOST_SHOTS = 20_000

PointUnits = Literal["ft", "m"]
_HEADINGS = {
    "point": ("p", "pt", "point", "pointid", "pointno", "pointnumber", "no", "number", "id", "name"),
    "north": ("n", "north", "northing", "y"),
    "east": ("e", "east", "easting", "x"),
    "level": ("z", "elevation", "elev", "el", "level", "height", "h"),
    "note": ("d", "desc", "description", "code", "note", "notes", "remark", "remarks"),
}


class Columns(Struct, frozen=True):
    """Which column (from 0) holds what; ``point`` and ``note`` may be missing. ``heading``: the first row names columns."""

    point: int | None = 0
    north: int = 1
    east: int = 2
    level: int = 3
    note: int | None = 4
    heading: bool = False
    units: PointUnits = "ft"


class FieldPoint(Struct, frozen=True):
    """A point as read, ft; ``line`` is its line in the text."""

    line: int
    name: str
    north_ft: float
    east_ft: float
    level_ft: float
    note: str = ""


class FieldPoints(Struct, frozen=True):
    """The points read, what is wrong with the other lines, and what is taken off each northing and easting, ft.

    Something is taken off only where the figures lie beyond what a plan holds, as state-plane coordinates do.
    """

    points: tuple[FieldPoint, ...]
    faults: tuple[str, ...]
    off_north_ft: float = 0.0
    off_east_ft: float = 0.0


def cells_of(text: str) -> list[list[str]]:
    """Return the rows of a points file as cells, blank rows left out. Raises EditError for a text far too long."""
    return [cells for _, cells in rows_of(text)]


def guessed_columns(text: str) -> Columns:
    """Return the columns as the first row names them, or P,N,E,Z,D without a heading. Raises EditError as ``cells_of``."""
    first = next(iter(cells_of(text)), [])
    named: dict[str, int] = {}
    for number, cell in enumerate(first):
        for column, words in _HEADINGS.items():
            if heading(cell) in words:
                named.setdefault(column, number)
    if not {"north", "east", "level"} <= named.keys():
        usual = Columns()
        return Columns(point=None, north=0, east=1, level=2, note=None) if len(first) == 3 else usual
    return Columns(
        point=named.get("point"),
        north=named["north"],
        east=named["east"],
        level=named["level"],
        note=named.get("note"),
        heading=True,
    )


def read_points(text: str, columns: Columns) -> FieldPoints:
    """Return the points of a text, and a sentence for each line that gives none, naming the line.

    Raises
    ------
    EditError : the text is too long, one column is chosen twice, or there are more points than a job takes
    """
    chosen = [c for c in (columns.point, columns.north, columns.east, columns.level, columns.note) if c is not None]
    if len(set(chosen)) != len(chosen):
        raise EditError("the same column is chosen twice; choose another for one of them")
    found: list[FieldPoint] = []
    faults: list[str] = []
    names: dict[str, int] = {}
    places: dict[tuple[int, int], int] = {}
    for line, cells in rows_of(text)[1 if columns.heading else 0 :]:
        try:
            point = _point(line, cells, columns)
            _check_new(point, names, places)
        except EditError as fault:
            faults.append(str(fault))
            continue
        found.append(point)
        if len(found) > MOST_SHOTS:
            raise EditError(f"line {line}: more than {MOST_SHOTS:,} points; take them in parts")
    return _within_reach(tuple(found), faults)


def _point(line: int, cells: list[str], columns: Columns) -> FieldPoint:
    def text(column: int | None) -> str:
        return cells[column] if column is not None and column < len(cells) else ""

    factor = METER_FT if columns.units == "m" else 1.0
    figures = []
    for what, column in (("northing", columns.north), ("easting", columns.east), ("elevation", columns.level)):
        cell = text(column)
        try:
            figure = float(cell) * factor
        except ValueError:
            figure = float("nan")
        if not isfinite(figure) or "_" in cell:
            shown = plain(cell, 30)
            wrong = f"{shown} is no {what}" if shown else f"the {what} is missing"
            raise EditError(f"line {line}: {wrong}; write a plain number like 512.25")
        figures.append(round(figure, 6))
    north, east, level = figures
    if not -2_000 <= level <= 30_000:
        raise EditError(f"line {line}: an elevation of {level:g} ft is out of reach; check the column and the units")
    return FieldPoint(
        line=line,
        name=plain(text(columns.point), 60),
        north_ft=north,
        east_ft=east,
        level_ft=level,
        note=plain(text(columns.note), 120),
    )


def _check_new(point: FieldPoint, names: dict[str, int], places: dict[tuple[int, int], int]) -> None:
    name = point.name.casefold()
    if name and name in names:
        raise EditError(
            f"line {point.line}: point {point.name} stands in line {names[name]} already; delete one of the two"
        )
    place = (round(point.north_ft / SAME_FT), round(point.east_ft / SAME_FT))
    if place in places:
        raise EditError(f"line {point.line}: it lies on the point of line {places[place]}; delete one of the two")
    places[place] = point.line
    if name:
        names[name] = point.line


def _within_reach(points: tuple[FieldPoint, ...], faults: list[str]) -> FieldPoints:
    """Return the points with what has to be taken off to bring them onto a plan; one that is still too far is a fault."""
    if not points:
        return FieldPoints((), tuple(faults))
    far = max(max(abs(p.north_ft), abs(p.east_ft)) for p in points) > FARTHEST_FT
    middle = sorted(points, key=lambda p: (p.north_ft, p.east_ft))[len(points) // 2]
    north, east = (
        (floor((v - FARTHEST_FT / 50) / ROUND_FT) * ROUND_FT if far else 0.0) for v in (middle.north_ft, middle.east_ft)
    )
    near = []
    for p in points:
        if max(abs(p.north_ft - north), abs(p.east_ft - east)) > FARTHEST_FT:
            faults.append(f"line {p.line}: it lies more than 9 miles from the others; check the columns")
        else:
            near.append(p)
    return FieldPoints(tuple(near), tuple(faults), north, east)


def shots_from(read: FieldPoints) -> tuple[Shot, ...]:
    """Return the points as shots without ids, named by point and note."""
    return tuple(
        Shot(
            id="",
            point=(round(p.east_ft - read.off_east_ft, 6), round(p.north_ft - read.off_north_ft, 6)),
            elevation_ft=p.level_ft,
            name=f"{p.name} {p.note}".strip(),
        )
        for p in read.points
    )
