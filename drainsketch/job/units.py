"""Lengths as the trade writes them: parsing and formatting, exact both ways.

Source of the factors: the international foot is 0.3048 m and the inch 0.0254 m exactly (yard and pound agreement of
1959; NIST Special Publication 811). Everything in between is a Fraction: nothing is lost until the last step to a float.

What the formats keep: 1/8 in or 0.01 ft or 0.01 m for a length, 0.01 ft or 0.001 m for a level, 1/8 in or 0.1 in or
1 mm for a size.
"""

import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from math import isfinite

from drainsketch.errors import LengthError
from drainsketch.job.kinds import Units

METER_PER_FOOT = Fraction(3048, 10_000)
MOST_FT = 50_000
_SHOWN = {
    "ft": {"ft-in": Fraction(1, 96), "ft": Fraction(1, 100), "m": 1 / METER_PER_FOOT / 100},
    "level": {"ft-in": Fraction(1, 100), "ft": Fraction(1, 100), "m": 1 / METER_PER_FOOT / 1000},
    "in": {"ft-in": Fraction(1, 8), "ft": Fraction(1, 10), "m": Fraction(10, 254)},
    "ft/ft": {"ft-in": Fraction(1, 10_000), "ft": Fraction(1, 10_000), "m": Fraction(1, 10_000)},
}
_READ_TO_FT = {"ft": Fraction(1, 1000), "ft-in": Fraction(1, 192), "m": 1 / METER_PER_FOOT / 10_000}

_EXAMPLES = {
    "ft-in": "12' 6 1/2\", 12.54 ft or 3.82 m",
    "ft": "12.54, 12' 6 1/2\" or 3.82 m",
    "m": "3.82, 382 cm or 12' 6 1/2\"",
}
_INCH_EXAMPLES = {"ft-in": '4, 6 1/2" or 102 mm', "ft": '4, 6.5" or 102 mm', "m": '102, 10.2 cm or 4"'}

_AMOUNT = r"(?:(?:\d+(?:\s+|-))?\d+\s*/\s*\d+|\d+\.?\d*|\.\d+)"
_FOOT = r"(?:'|ft\.?|feet|foot)"
_INCH = r"(?:\"|inches|inch|in\.?)"
_FEET = re.compile(rf"(?P<feet>{_AMOUNT})\s*{_FOOT}(?:(?:-|\s*-\s+|\s+|)(?P<inches>{_AMOUNT})\s*{_INCH}?)?", re.ASCII)
_INCHES = re.compile(rf"(?P<inches>{_AMOUNT})\s*{_INCH}", re.ASCII)
_METRIC = re.compile(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>mm|cm|meters?|metres?|m)\.?", re.ASCII)
_NUMBER = re.compile(r"\d+\.?\d*|\.\d+", re.ASCII)
_MIXED = re.compile(r"(?:(?P<whole>\d+)(?:\s+|-))?(?P<over>\d+)\s*/\s*(?P<under>\d+)", re.ASCII)
_TYPED = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "`": "'", "″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-"}
)


class _SlipError(Exception):
    """What is wrong with a typed length; the caller adds what was typed and an example."""


def parse_length_ft(text: str, units: Units = "ft-in") -> float:
    """Return a typed length or level in feet.

    Takes ``12' 6 1/2"``, ``12'-6.5"``, ``12.54 ft``, ``150 1/2"``, ``3.82 m``, ``382 cm``, in any style of primes and
    quotes. A bare number is feet, or meters in a metric job; after feet it is inches.

    Raises
    ------
    LengthError : not a length, or a likely slip (12 inches or more after feet, a comma, a fraction without a unit,
        beyond 50,000 ft); says what was typed and gives an example

    Examples
    --------
    >>> parse_length_ft("12' 6 1/2\\"") * 24
    301.0
    """
    try:
        return float(_feet(_plain(text), units, bare_is="length"))
    except _SlipError as slip:
        raise LengthError(f"{_shown(text)}: {slip}; write it like {_EXAMPLES[units]}") from slip


def parse_inches(text: str, units: Units = "ft-in") -> float:
    """Return a typed size in inches. A bare number is inches, or millimeters in a metric job.

    Raises
    ------
    LengthError : as for ``parse_length_ft``
    """
    try:
        return float(_feet(_plain(text), units, bare_is="size") * 12)
    except _SlipError as slip:
        raise LengthError(f"{_shown(text)}: {slip}; write it like {_INCH_EXAMPLES[units]}") from slip


def _shown(text: str) -> str:
    """Return what was typed, short and without control characters, fit for a sentence."""
    clean = "".join(c if c.isprintable() else "?" for c in text.strip())
    return (clean[:40] + "..." if len(clean) > 40 else clean) or "nothing"


def _plain(text: str) -> str:
    """Return the text with typographic marks, fractions and spaces made plain."""
    if len(text) > 200:
        raise _SlipError("that is too long for a length")
    plain = ""
    for char in text.translate(_TYPED):
        parts = unicodedata.decomposition(char).split()
        if parts[:1] == ["<fraction>"]:
            plain += " " + "".join(chr(int(code, 16)) for code in parts[1:]).replace("⁄", "/")
        else:
            plain += " " if char.isspace() else char
    return plain.strip().replace("''", '"').lower()


def _feet(plain: str, units: Units, bare_is: str) -> Fraction:
    """Return the feet in plain text; ``bare_is`` 'length' or 'size' says what a bare number means."""
    if not plain:
        raise _SlipError("a length is missing")
    if "," in plain:
        raise _SlipError("a comma can mean two things; use a point for decimals and nothing between thousands")
    sign = -1 if plain[0] == "-" else 1
    feet = sign * _unsigned_feet(plain[1:].strip() if plain[0] in "+-" else plain, units, bare_is)
    if abs(feet) > MOST_FT:
        raise _SlipError(f"that is more than {MOST_FT:,} ft")
    return feet


def _unsigned_feet(plain: str, units: Units, bare_is: str) -> Fraction:
    if found := _FEET.fullmatch(plain):
        feet = _amount(found["feet"])
        return feet if found["inches"] is None else feet + _inches_after(feet, _amount(found["inches"]))
    if found := _INCHES.fullmatch(plain):
        return _amount(found["inches"]) / 12
    if found := _METRIC.fullmatch(plain):
        per_meter = {"mm": 1000, "cm": 100}.get(found["unit"], 1)
        return _amount(found["amount"]) / per_meter / METER_PER_FOOT
    if _NUMBER.fullmatch(plain) or (bare_is == "size" and units != "m" and _MIXED.fullmatch(plain)):
        return _amount(plain) * _bare_unit_ft(units, bare_is)
    if _MIXED.fullmatch(plain):
        raise _SlipError("a fraction needs its unit, ' or \"")
    if re.search(r"['\"a-z]\s*-", plain):
        raise _SlipError("a part of a length cannot be negative; put the minus in front of it all")
    raise _SlipError("that is not a length")


def _bare_unit_ft(units: Units, bare_is: str) -> Fraction:
    if units == "m":
        return 1 / METER_PER_FOOT / (1000 if bare_is == "size" else 1)
    return Fraction(1) if bare_is == "length" else Fraction(1, 12)


def _inches_after(feet: Fraction, inches: Fraction) -> Fraction:
    """Return the inches that follow feet, in feet."""
    if inches >= 12:
        raise _SlipError("after feet the inches stay under 12")
    if feet.denominator != 1:
        raise _SlipError("feet with a fraction take no inches after them")
    return inches / 12


def _amount(text: str) -> Fraction:
    found = _MIXED.fullmatch(text)
    if not found:
        return Fraction(text)
    if int(found["under"]) == 0:
        raise _SlipError("nothing can be divided by 0")
    part = Fraction(int(found["over"]), int(found["under"]))
    if found["whole"] is None:
        return part
    if part >= 1:
        raise _SlipError("a fraction after a whole number stays under 1")
    return int(found["whole"]) + part


def format_length(ft: float, units: Units) -> str:
    """Return a length (ft) as text: ``12' 6 1/2"`` to the nearest 1/8 in, ``12.54 ft``, or ``3.82 m``.

    A value that is not finite is written ``?``, so that a window never dies of it.
    """
    if not isfinite(ft):
        return "?"
    if units == "m":
        return _fixed(Fraction(ft) * METER_PER_FOOT, 2) + " m"
    if units == "ft":
        return _fixed(Fraction(ft), 2) + " ft"
    eighths = round(Fraction(ft) * 96)
    feet, rest = divmod(abs(eighths), 96)
    inches = f"0 {_eighths(rest)}" if 0 < rest < 8 else _eighths(rest)  # 12' 0 1/2": no field is left out
    return f"{'-' if eighths < 0 else ''}{feet}' {inches}\""


def reading_step_ft(units: str) -> float:
    """Return what a rod or tape reading is rounded to, ft: 1/8 in, 0.01 ft or 1 mm."""
    return float({"ft-in": Fraction(1, 96), "ft": Fraction(1, 100)}.get(units, Fraction(1, 1000) / METER_PER_FOOT))


def format_reading(ft: float, units: Units) -> str:
    """Return a rod or tape reading (ft) as text: ``4' 4 3/8"``, ``4.37 ft``, or ``1.332 m``."""
    if not isfinite(ft):
        return "?"
    return _fixed(Fraction(ft) * METER_PER_FOOT, 3) + " m" if units == "m" else format_length(ft, units)


def shown_step(kind: str, units: Units) -> float:
    """Return the step to which a value is written, in its own unit.

    Parameters
    ----------
    kind : 'ft' a length, 'level' a level, both in ft; 'in' a size, in; 'ft/ft' a slope
    """
    return float(_SHOWN[kind][units])


def on_step(value: float, kind: str, units: Units, to_whole: Callable[[float], int]) -> float:
    """Return a value at the next step that is written, up (``ceil``) or down (``floor``); within a millionth of a step it stays."""
    step = shown_step(kind, units)
    near = round(value / step)
    return (near if abs(value / step - near) < 1e-6 else to_whole(value / step)) * step


def told_apart(value: float, other: float, write: Callable[[float], str], step: float) -> float:
    """Return a value moved away from another by written steps until the two are not written alike; equal ones stay."""
    away = step if value > other else -step
    tries = (value, value + away, value + 2 * away) if abs(value - other) > 1e-6 else ()
    return next((v for v in tries if write(v) != write(other)), value)


def format_as_read(ft: float, units: Units) -> str:
    """Return a reading (ft) in the notation it was typed in: that of the job where it gives the reading exactly, else another.

    Feet to 0.001, inches to 1/16 and meters to 0.0001 are tried, so that nothing typed comes back as something else.

    Examples
    --------
    >>> format_as_read(parse_length_ft("4' 4 7/16\\""), "ft"), format_as_read(4.365, "ft"), format_as_read(4.37, "ft-in")
    ('4\\' 4 7/16"', '4.365 ft', '4.37 ft')
    """
    if not isfinite(ft):
        return "?"
    notations: tuple[Units, ...] = ("ft", "ft-in", "m")
    for notation in sorted(notations, key=lambda n: n != units):
        step = _READ_TO_FT[notation]
        count = round(Fraction(ft) / step)
        if abs(float(count * step) - ft) < 1e-7:
            return _fine(count, notation)
    return format_reading(ft, units)


def format_fine(ft: float, units: Units) -> str:
    """Return a small length (ft) to the finest step readings are typed in: ``0' 0 3/16"``, ``0.016 ft``, or ``0.005 m``."""
    return _fine(round(Fraction(ft) / _READ_TO_FT[units]), units) if isfinite(ft) else "?"


def _fine(count: int, units: Units) -> str:
    """Return so many of the finest steps a reading is typed in, without an idle last figure."""
    if units == "ft-in":
        feet, rest = divmod(abs(count), 192)
        inches = f"0 {_inches(rest, 16)}" if 0 < rest < 16 else _inches(rest, 16)
        return f"{'-' if count < 0 else ''}{feet}' {inches}\""
    places = 3 if units == "ft" else 4
    return _fixed(Fraction(count, 10**places), places - 1 if count % 10 == 0 else places) + f" {units}"


def format_off(ft: float, units: Units) -> str:
    """Return how far a reading is off (ft), without sign, as rods are read: ``3/8 in``, ``0.03 ft``, or ``9 mm``."""
    return format_length(abs(ft), units) if units == "ft" else format_inches(abs(ft) * 12, units)


def format_level(ft: float, units: Units) -> str:
    """Return a level (ft) as text without its unit: ``99.42``, or ``30.303`` in meters."""
    if not isfinite(ft):
        return "?"
    return _fixed(Fraction(ft) * METER_PER_FOOT, 3) if units == "m" else _fixed(Fraction(ft), 2)


def format_inches(inches: float, units: Units) -> str:
    """Return a size (in) as text: ``4 1/2 in`` to the nearest 1/8, ``4.5 in`` to 0.1, or ``114 mm``."""
    if not isfinite(inches):
        return "?"
    if units == "m":
        return f"{round(Fraction(inches) * 254 / 10)} mm"
    if units == "ft":
        return _fixed(Fraction(inches), 1).removesuffix(".0") + " in"
    eighths = round(Fraction(inches) * 8)
    return f"{'-' if eighths < 0 else ''}{_eighths(abs(eighths))} in"


def format_slope(slope: float) -> str:
    """Return a slope (ft/ft) as text: ``1.04%``."""
    return _fixed(Fraction(slope) * 100, 2) + "%" if isfinite(slope) else "?"


def format_area(ft2: float, units: Units) -> str:
    """Return an area (ft2) as text: ``1250 sq ft``, or ``116.1 m²``."""
    if not isfinite(ft2):
        return "?"
    if units == "m":
        return _fixed(Fraction(ft2) * METER_PER_FOOT**2, 1) + " m²"
    return f"{round(Fraction(ft2))} sq ft"


def _fixed(value: Fraction, places: int) -> str:
    """Return a number with so many places, never ``-0.00``."""
    scaled = round(value * 10**places)
    whole, part = divmod(abs(scaled), 10**places)
    return f"{'-' if scaled < 0 else ''}{whole}.{part:0{places}d}"


def _eighths(count: int) -> str:
    return _inches(count, 8)


def _inches(count: int, parts: int) -> str:
    """Return parts of an inch as a whole number and a reduced fraction."""
    whole, rest = divmod(count, parts)
    if not rest:
        return str(whole)
    part = Fraction(rest, parts)
    return f"{whole} {part}" if whole else str(part)
