"""What is being typed at the pointer: a length and, after Tab or @, a direction; or the two coordinates of a point."""

from math import cos, hypot, radians, sin
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.errors import LengthError
from drainsketch.job.bearings import along, azimuth_deg, parse_bearing_deg
from drainsketch.job.kinds import Point, Units
from drainsketch.job.units import parse_length_ft

OPENERS = "0123456789.'\"-@"
MOST_CHARACTERS = 40
FARTHEST_FT = 50_000.0


class Entry(Struct, frozen=True):
    """The text typed so far. ``field`` is where the next character goes."""

    length: str = ""
    direction: str = ""
    field: Literal["length", "direction"] = "length"

    def typed(self, text: str) -> "Entry":
        """Return the entry with a character more; @ goes on to the direction."""
        if text == "@":
            return replace(self, field="direction")
        old = getattr(self, self.field)
        return replace(self, **{self.field: (old + text)[:MOST_CHARACTERS]})

    def turned(self) -> "Entry":
        """Return the entry with the other field in hand."""
        return replace(self, field="length" if self.field == "direction" else "direction")

    def erased(self) -> "Entry | None":
        """Return the entry with the last character gone; None when nothing is left."""
        if getattr(self, self.field):
            return replace(self, **{self.field: getattr(self, self.field)[:-1]})
        return replace(self, field="length") if self.field == "direction" and self.length else None

    def target(self, anchor: Point | None, toward: Point | None, units: Units) -> Point:
        """Return the plan point meant.

        Parameters
        ----------
        anchor : the last point drawn; None for a first point, which is typed as ``x, y``; later points may be typed so too
        toward : where the pointer is, for its direction when none is typed, and its distance when no length is typed

        Raises
        ------
        LengthError : a length or direction that cannot be read, or one that is missing
        """
        if anchor is None or "," in self.length:
            return _first_point(self.length, units)
        if self.direction.strip():
            azimuth = parse_bearing_deg(self.direction)
        elif toward is None or hypot(toward[0] - anchor[0], toward[1] - anchor[1]) < 1e-6:
            raise LengthError("Move the pointer the way the line should go, or press Tab and type a direction.")
        else:
            azimuth = azimuth_deg(toward[0] - anchor[0], toward[1] - anchor[1])
        length = parse_length_ft(self.length, units) if self.length.strip() else _reach(anchor, toward, azimuth)
        if length <= 0:
            raise LengthError(f"{self.length.strip() or 'The length'}: type a length above zero.")
        return _within(along(anchor, azimuth, length))


def _first_point(text: str, units: Units) -> Point:
    parts = text.split(",")
    if len(parts) != 2:
        raise LengthError("Click the first point, or type it as east, north: for example 12, 30.")
    return _within((parse_length_ft(parts[0], units), parse_length_ft(parts[1], units)))


def _reach(anchor: Point, toward: Point | None, azimuth_deg: float) -> float:
    """Return how far the pointer is in a direction, ft."""
    if toward is None:
        raise LengthError("Type a length too.")
    turn = radians(azimuth_deg)
    reach = (toward[0] - anchor[0]) * sin(turn) + (toward[1] - anchor[1]) * cos(turn)
    if reach <= 0:
        raise LengthError("Type a length too: the pointer is not on that side.")
    return reach


def _within(point: Point) -> Point:
    if max(abs(point[0]), abs(point[1])) > FARTHEST_FT:
        raise LengthError("That is more than 50,000 ft from the origin; type less.")
    return point
