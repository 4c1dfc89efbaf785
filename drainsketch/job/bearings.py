"""Directions as surveyors write them: azimuths (degrees clockwise from north) and quadrant bearings (N 45° E).

Plan x is east and y north, so an azimuth of 90 points along x.
"""

import re
from math import atan2, cos, degrees, hypot, isfinite, radians, sin

from drainsketch.errors import LengthError
from drainsketch.job.kinds import Point

_WORDS = {"north": "n", "east": "e", "south": "s", "west": "w"}
_COMPASS = {"n": 0.0, "ne": 45.0, "e": 90.0, "se": 135.0, "s": 180.0, "sw": 225.0, "w": 270.0, "nw": 315.0}
_AXES = {0.0: (0.0, 1.0), 90.0: (1.0, 0.0), 180.0: (0.0, -1.0), 270.0: (-1.0, 0.0)}
_PLAIN = str.maketrans("′’″”º", "''\"\"°")
_ANGLE = r"(?P<deg>\d+\.?\d*|\.\d+)\s*(?:°|deg|d)?\s*(?:(?P<min>\d+\.?\d*)\s*'?\s*(?:(?P<sec>\d+\.?\d*)\s*\"?)?)?"
_AZIMUTH = re.compile(_ANGLE, re.ASCII)
_QUADRANT = re.compile(rf"(?P<from>[ns])\s*{_ANGLE}\s*(?P<to>[ew])", re.ASCII)
_EXAMPLE = "write it like 45, NE or N 45 30 E"


def parse_bearing_deg(text: str) -> float:
    """Return a typed direction as azimuth, degrees clockwise from north, 0 up to 360.

    Takes ``45``, ``45.5``, ``45 30`` (degrees and minutes), ``N45E``, ``n 45 30 e``, ``S 10°15'30" W``, ``N``, ``NE``,
    ``due west``.

    Raises
    ------
    LengthError : not a direction; says what was typed and gives an example

    Notes
    -----
    Source: a quadrant bearing is measured from north or south toward east or west, 0 to 90 degrees (surveying practice,
    from memory).

    Examples
    --------
    >>> parse_bearing_deg("S 45 30 E")
    134.5
    """
    plain = _plain(text)
    if plain in _COMPASS:
        return _COMPASS[plain]
    if found := _QUADRANT.fullmatch(plain):
        angle = _degrees(found, text)
        if angle > 90:
            raise LengthError(f"{_shown(text)}: a quadrant bearing stays within 90 degrees; {_EXAMPLE}")
        toward_east = angle if found["from"] == "n" else 180 - angle
        return (toward_east if found["to"] == "e" else 360 - toward_east) % 360
    if found := _AZIMUTH.fullmatch(plain):
        angle = _degrees(found, text)
        if angle > 360:
            raise LengthError(f"{_shown(text)}: directions run from 0 to 360 degrees, clockwise from north; {_EXAMPLE}")
        return angle % 360
    raise LengthError(f"{_shown(text)}: that is not a direction; {_EXAMPLE}")


def fall_of(level_ft: float, east_ft: float, north_ft: float, step_ft: float) -> tuple[float, float]:
    """Return slope (ft/ft) and azimuth (degrees) of the steepest way down a plane.

    Parameters
    ----------
    level_ft, east_ft, north_ft : its level at a point, and one step east and one step north of it
    step_ft : the step

    Notes
    -----
    Source: the gradient of a plane, definition. On the level the azimuth is 0.

    Examples
    --------
    >>> fall_of(100.0, 99.98, 100.0, 1.0)
    (0.02, 90.0)
    """
    east, north = (level_ft - east_ft) / step_ft, (level_ft - north_ft) / step_ft
    slope = hypot(east, north)
    return round(slope, 9), azimuth_deg(east, north) if slope else 0.0


def compass_point(azimuth_deg: float) -> str:
    """Return the nearest of the eight points of the compass.

    Examples
    --------
    >>> compass_point(0.0), compass_point(100.0), compass_point(359.0)
    ('N', 'E', 'N')
    """
    return ("N", "NE", "E", "SE", "S", "SW", "W", "NW")[round(azimuth_deg / 45.0) % 8]


def _plain(text: str) -> str:
    if len(text) > 60:
        raise LengthError(f"{_shown(text)}: that is not a direction; {_EXAMPLE}")
    plain = " ".join(text.casefold().translate(_PLAIN).split()).removeprefix("due ")
    for word, letter in _WORDS.items():
        plain = plain.replace(word, letter)
    return plain.replace(" ", "") if plain.replace(" ", "") in _COMPASS else plain


def _degrees(found: re.Match[str], text: str) -> float:
    minutes, seconds = float(found["min"] or 0), float(found["sec"] or 0)
    if minutes >= 60 or seconds >= 60:
        raise LengthError(f"{_shown(text)}: minutes and seconds stay under 60; {_EXAMPLE}")
    return float(found["deg"]) + minutes / 60 + seconds / 3600


def _shown(text: str) -> str:
    clean = "".join(c if c.isprintable() else "?" for c in text.strip())
    return (clean[:40] + "..." if len(clean) > 40 else clean) or "nothing"


def format_bearing(azimuth: float, letters: str = "NESW") -> str:
    """Return an azimuth (degrees clockwise from north) as a quadrant bearing to a tenth of a degree, or a compass letter.

    Parameters
    ----------
    letters : of north, east, south and west in the language it is read in

    Examples
    --------
    >>> format_bearing(150.04), format_bearing(90), format_bearing(359.99), format_bearing(274.8, "NESO")
    ('S 30.0° E', 'E', 'N', 'N 85.2° O')
    """
    north, east, south, west = tuple(letters)
    if not isfinite(azimuth):
        return "?"
    tenths = round(azimuth * 10) % 3600
    if tenths % 900 == 0:
        return letters[tenths // 900]
    is_north = tenths < 900 or tenths > 2700
    off_pole = min(tenths, 3600 - tenths) if is_north else abs(1800 - tenths)
    return f"{north if is_north else south} {off_pole / 10:.1f}° {east if tenths < 1800 else west}"


def unit_vector(azimuth: float) -> tuple[float, float]:
    """Return (east, north) of length 1 along an azimuth (degrees clockwise from north); exact along the axes."""
    turned = azimuth % 360
    return _AXES.get(turned) or (sin(radians(turned)), cos(radians(turned)))


def azimuth_deg(east: float, north: float) -> float:
    """Return the azimuth of a plan vector, degrees clockwise from north, 0 up to 360; a vector of no length is 0."""
    return degrees(atan2(east, north)) % 360 % 360  # a hair west of north comes out as 360 the first time


def along(a: Point, azimuth: float, length_ft: float) -> Point:
    """Return the point ``length_ft`` from a in a direction; exact along the axes, else to a millionth of a foot."""
    east, north = unit_vector(azimuth)
    return round(a[0] + east * length_ft, 6), round(a[1] + north * length_ft, 6)
