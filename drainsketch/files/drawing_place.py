"""A drawing brought onto the plan: into feet, to its place, and as the drawing under the plan or as its lot line."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from drainsketch.errors import DrawingError
from drainsketch.files.drawing import METERS, UNIT_WORDS, Drawing, DrawingUnit, Drawn
from drainsketch.job.ask import area_ft2, extent
from drainsketch.job.kinds import Point, Units
from drainsketch.job.model import Backdrop, BackdropLine, Job
from drainsketch.job.plain import LINE_LENGTH, plain

FARTHEST_FT = 50_000.0
Placing = Literal["keep", "origin", "yard"]


class Fitted(Struct, frozen=True):
    """A drawing in plan feet, before it is put anywhere. ``unit`` is the one it was read in."""

    drawing: Drawing
    unit: DrawingUnit
    lines: tuple[Drawn, ...]
    told: tuple[str, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return west, south, east, north, ft."""
        return _bounds(self.lines)

    @property
    def size_ft(self) -> tuple[float, float]:
        """Return its width and height, ft."""
        west, south, east, north = self.bounds
        return east - west, north - south


def in_feet(drawing: Drawing, units: Units, asked: DrawingUnit | None = None) -> Fitted:
    """Return a drawing in feet.

    Parameters
    ----------
    units : of the job; a drawing that says nothing is taken to be in feet, or in meters in a metric job
    asked : what the user says its units are, which goes before what it says itself

    Raises
    ------
    DrawingError : it is wider than a plan can be, or so small that it is a dot: the units are wrong
    """
    usual: DrawingUnit = "m" if units == "m" else "ft"
    told = list(drawing.told)
    if drawing.on_globe:
        unit: DrawingUnit = "ft"
        if asked:
            told.append("It is in longitude and latitude; the units asked for are not used.")
    else:
        unit = asked or drawing.unit or usual
        if asked and drawing.unit and asked != drawing.unit:
            told.append(f"The drawing says it is in {UNIT_WORDS[drawing.unit]}; it is taken in {UNIT_WORDS[asked]}.")
        elif not asked and not drawing.unit:
            told.append(f"The drawing does not say its units; it is taken to be in {UNIT_WORDS[unit]}.")
    factor = METERS[unit] / METERS["ft"]
    lines = tuple(
        line
        if factor == 1.0
        else Drawn(tuple((x * factor, y * factor) for x, y in line.points), line.closed, line.layer)
        for line in drawing.lines
    )
    found = Fitted(drawing, unit, lines, tuple(told))
    wide, high = found.size_ft
    if not max(wide, high) <= 2 * FARTHEST_FT:
        raise DrawingError(
            f"{drawing.source}: in {UNIT_WORDS[unit]} it is {max(wide, high) / 5280:,.0f} miles across, more than a plan holds; "
            "choose other units, or look for a line far off the rest"
        )
    if max(wide, high) < 0.1:
        raise DrawingError(
            f"{drawing.source}: in {UNIT_WORDS[unit]} it is less than an inch or so across; choose other units"
        )
    return found


def placed(fitted: Fitted, how: Placing, job: Job) -> tuple[Drawn, ...]:
    """Return the lines where they are wanted on the plan, to a ten-thousandth of a foot.

    Parameters
    ----------
    how : 'keep' the coordinates, put the lower left corner at the 'origin', or the middle at the middle of the 'yard'

    Raises
    ------
    DrawingError : its coordinates lie beyond what a plan holds
    """
    west, south, east, north = fitted.bounds
    dx = dy = 0.0
    if how == "origin":
        dx, dy = -west, -south
    elif how == "yard":
        x0, y0, x1, y1 = extent(job) or (0.0, 0.0, 0.0, 0.0)
        dx, dy = (x0 + x1 - west - east) / 2, (y0 + y1 - south - north) / 2
    farthest = max(abs(v) for v in (west + dx, south + dy, east + dx, north + dy))
    if farthest > FARTHEST_FT:
        raise DrawingError(
            f"{fitted.drawing.source}: its coordinates reach {farthest:,.0f} ft from 0, 0, a plan {FARTHEST_FT:,.0f} ft; "
            "put its lower left corner at 0, 0 instead"
        )
    made = []
    for line in fitted.lines:
        points = [(round(x + dx, 4), round(y + dy, 4)) for x, y in line.points]
        points = [points[0], *(b for a, b in pairwise(points) if b != a)]
        if len(points) > 1:
            made.append(Drawn(tuple(points), line.closed and len(points) > 2, line.layer))
    return tuple(made)


def backdrop_of(lines: Sequence[Drawn], source: str) -> Backdrop:
    """Return the lines as a drawing that lies under the plan."""
    kept = tuple(BackdropLine(points=x.points, closed=x.closed, layer=x.layer) for x in lines)
    return Backdrop(source=plain(source, LINE_LENGTH), lines=kept)


def largest_outline(lines: Sequence[Drawn], source: str) -> tuple[Point, ...]:
    """Return the corners of the closed line with the largest area. Raises DrawingError where there is none."""
    closed = [x for x in lines if x.closed]
    if not closed:
        raise DrawingError(
            f"{source}: no line in it is closed; close the lot line there, or take the drawing under the plan"
        )
    return max(closed, key=lambda x: area_ft2(x.points)).points


def _bounds(lines: Sequence[Drawn]) -> tuple[float, float, float, float]:
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    return min(xs), min(ys), max(xs), max(ys)
