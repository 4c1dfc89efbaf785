"""Directions as surveyors write them: azimuths (degrees clockwise from north) and quadrant bearings (N 45° E)."""

import re
from math import cos, radians, sin

from drainsketch.errors import LengthError
from drainsketch.job.model import Point

_COMPASS = {"N": 0.0, "NE": 45.0, "E": 90.0, "SE": 135.0, "S": 180.0, "SW": 225.0, "W": 270.0, "NW": 315.0}
_NUMBER = r"(\d+(?:\.\d*)?|\.\d+)"
_ANGLE = _NUMBER + r"(?:\s*[°d ]\s*(?:" + _NUMBER + r"(?:\s*['′ ]\s*(?:" + _NUMBER + r"\s*[\"″]?)?)?)?)?"
_AZIMUTH = re.compile(rf"^{_ANGLE}$")
_QUADRANT = re.compile(rf"^([NS])\s*{_ANGLE}\s*([EW])$")


def parse_bearing_deg(text: str) -> float:
    """Return a typed direction as an azimuth, degrees clockwise from north, 0 up to 360.

    Read are an azimuth (``45``, ``312.5``), a quadrant bearing (``N45E``, ``S 12 30 W``, ``N 12° 30' 15" E``) and a compass
    point (``N``, ``NE``).

    Raises
    ------
    LengthError : the text is none of these, or an angle is out of its range

    Notes
    -----
    Source: the quadrant bearing is measured from north or south towards east or west, 0 to 90 degrees (surveying practice, from memory).

    Examples
    --------
    >>> parse_bearing_deg("S 30 E")
    150.0
    """
    clean = " ".join(text.upper().replace("D", "°").split())
    if clean in _COMPASS:
        return _COMPASS[clean]
    if found := _QUADRANT.match(clean):
        from_pole, *parts, side = found.groups()
        angle = _degrees(text, parts)
        if angle > 90:
            raise LengthError(f"{text.strip()}: a bearing between two compass letters is 0 to 90 degrees")
        east = angle if from_pole == "N" else 180.0 - angle
        return (east if side == "E" else 360.0 - east) % 360.0
    if found := _AZIMUTH.match(clean):
        angle = _degrees(text, list(found.groups()))
        if angle > 360:
            raise LengthError(f"{text.strip()}: a direction is 0 to 360 degrees clockwise from north")
        return angle % 360.0
    raise LengthError(f"{text.strip() or 'direction'}: type degrees clockwise from north, or a bearing like N45E, or N, E, S, W")


def _degrees(text: str, parts: list[str | None]) -> float:
    whole, minutes, seconds = (float(p) if p else 0.0 for p in parts)
    if minutes >= 60 or seconds >= 60:
        raise LengthError(f"{text.strip()}: minutes and seconds stay below 60")
    return whole + minutes / 60 + seconds / 3600


def format_bearing(azimuth_deg: float) -> str:
    """Return an azimuth as a quadrant bearing to a tenth of a degree, or as a compass letter.

    Examples
    --------
    >>> format_bearing(150.04), format_bearing(90), format_bearing(359.99)
    ('S 30.0° E', 'E', 'N')
    """
    azimuth = round(azimuth_deg % 360.0, 1) % 360.0
    for letter, degrees in _COMPASS.items():
        if len(letter) == 1 and azimuth == degrees:
            return letter
    pole, angle = ("N", min(azimuth, 360.0 - azimuth)) if azimuth < 90 or azimuth > 270 else ("S", abs(180.0 - azimuth))
    return f"{pole} {angle:.1f}° {'E' if azimuth < 180 else 'W'}"


def along(a: Point, azimuth_deg: float, length_ft: float) -> Point:
    """Return the point ``length_ft`` from a in a direction; exact along the compass, else to a millionth of a foot."""
    quarter = {0.0: (0.0, 1.0), 90.0: (1.0, 0.0), 180.0: (0.0, -1.0), 270.0: (-1.0, 0.0)}
    turn = azimuth_deg % 360.0
    east, north = quarter.get(turn, (sin(radians(turn)), cos(radians(turn))))
    return round(a[0] + east * length_ft, 6), round(a[1] + north * length_ft, 6)
