"""Values of fields as text, and text as values: the border between the form and the model."""

import re
from collections.abc import Callable

from drainsketch.desk.panes.fields import Field
from drainsketch.errors import LengthError
from drainsketch.job import units as u
from drainsketch.job.kinds import Units
from drainsketch.job.rates import M_PER_FT, MM_PER_IN, format_duration, format_rain, format_velocity

SQUARE_FEET_PER_SQUARE_METER = 1 / 0.3048**2
_BETWEEN = re.compile(r" is not a (?:number|level|coordinate) (from|above) (\S+) (?:and up )?to (\S+)$")
_AT_MOST = re.compile(r" is not text of at most (\d+) characters$")
Value = str | int | float | bool | None


def written(field: Field, value: Value, units: Units) -> str:
    """Return a value as it stands in its field; '' for nothing."""
    if value is None or isinstance(value, str):
        return value or ""
    writers: dict[str, Callable[[float], str]] = {
        "length": lambda v: u.format_length(v, units),
        "level": lambda v: u.format_level(v, units),
        "inches": lambda v: u.format_inches(v, units),
        "slope": u.format_slope,
        "area": lambda v: u.format_area(v, units),
        "rain": lambda v: format_rain(v, units),
        "velocity": lambda v: format_velocity(v, units),
        "share": lambda v: f"{100 * v:g}%",
        "minutes": lambda v: f"{v:g} min",
        "duration": format_duration,
    }
    write = writers.get(field.quantity)
    return write(value) if write else f"{value:g}"


def read(field: Field, text: str, units: Units) -> Value:
    """Return the value of what was typed into a field.

    Raises
    ------
    LengthError : the text cannot be read, or is empty where the field may not be
    """
    text = text.strip()
    if field.quantity in ("text", "notes", "date"):
        return _date(text) if field.quantity == "date" else text
    if not text:
        if field.blank:
            return None
        raise LengthError(f"{field.label} cannot be empty; the old value is kept.")
    readers: dict[str, Callable[[str], float]] = {
        "length": lambda t: u.parse_length_ft(t, units),
        "level": lambda t: u.parse_length_ft(t, units),
        "inches": lambda t: u.parse_inches(t, units),
        "slope": lambda t: _number(t.removesuffix("%")) / 100,
        "area": lambda t: _area_ft2(t, units),
        "rain": lambda t: _rate(t, "in/h", "mm/h", MM_PER_IN, units),
        "velocity": lambda t: _rate(t, "ft/s", "m/s", M_PER_FT, units),
        "share": lambda t: _number(t.removesuffix("%")) / 100,
        "minutes": lambda t: _number(re.sub(r"min\.?$", "", t)),
        "duration": _duration_min,
    }
    return readers.get(field.quantity, _number)(text)


def refusal(field: Field, sentence: str, units: Units) -> str:
    """Return why a value was refused, in the words and units of the form; ``sentence`` is that of the edit, by path and in feet.

    ``B2.runoff_c: 1.4 is not a number from 0 to 1`` is ``Runoff coefficient: from 0 to 1 can be typed here; the old value is kept.``
    """
    path, _, said = sentence.partition(": ")
    place = re.sub(r"^[^.]*\.(?:\w+\[\d+\]\.)?|\[\d+\]$", "", path)
    if place not in (field.name, field.name.partition(".")[0], "points") or not said:
        return sentence
    label = field.label
    if longest := _AT_MOST.search(said):
        return f"{label}: {longest[1]} characters at most can be typed here; the old text is kept."
    found = _BETWEEN.search(said)
    if found is None:
        return f"{label}: {said}"
    over, *limits = found.groups()
    low, high = (written(field, float(limit), units) for limit in limits)
    least = f"more than {low} and at most {high}" if over == "above" else f"from {low} to {high}"
    return f"{label}: {least} can be typed here; the old value is kept."


def _date(text: str) -> str:
    if text and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        raise LengthError(f'"{text}" is not a date; write year-month-day, for example 2026-04-30.')
    return text


def without_commas(text: str) -> str:
    """Return a number without the commas between its thousands. Raises ValueError for a comma elsewhere: it may be a decimal one."""
    if re.search(r",(?!\d{3}(?:\D|$))", text):
        raise ValueError(text)
    return text.replace(",", "")


def _number(text: str) -> float:
    try:
        value = float(without_commas(text.strip()))
    except ValueError:
        value = float("nan")
    if value - value != 0:  # not a number, or endless
        raise LengthError(f'"{text.strip()}" is not a number; the old value is kept.')
    return value


def _duration_min(text: str) -> float:
    """Return a time in minutes; a bare number is minutes, ``2:30`` hours and minutes."""
    if clock := re.fullmatch(r"(\d+):([0-5]\d)", text):
        return 60.0 * int(clock[1]) + int(clock[2])
    found = re.fullmatch(
        r"(?:([\d.]+) ?h(?:ours?|r)? ?)?(?:([\d.]+) ?(?:m(?:in(?:utes?)?)?\.?)?)?", text, re.IGNORECASE
    )
    if days := re.fullmatch(r"([\d.]+) ?d(?:ays?)?", text, re.IGNORECASE):
        return 1440.0 * _number(days[1])
    if not text or found is None:
        raise LengthError(f'"{text}" is not a time; write for example 90 min, 2 h or 1 h 30 min.')
    return 60.0 * _number(found[1] or "0") + _number(found[2] or "0")


def _area_ft2(text: str, units: Units) -> float:
    found = re.fullmatch(r"([\d.,]+)\s*(ft2|ft²|sq ?ft|m2|m²)?", text.strip(), re.IGNORECASE)
    if not found:
        raise LengthError(f'"{text}" is not an area; write for example 640 sq ft.')
    metric = found[2].lower().startswith("m") if found[2] else units == "m"
    return _number(found[1]) * (SQUARE_FEET_PER_SQUARE_METER if metric else 1.0)


def _rate(text: str, foot: str, metric: str, metric_per_foot: float, units: Units) -> float:
    """Return a rain or a velocity, in the foot unit; a bare number is in the unit of the job."""
    found = re.fullmatch(rf"([\d.,]+)\s*({foot}r?|{metric}r?)?", text.strip(), re.IGNORECASE)
    if not found:
        usual = f"40 {metric}" if units == "m" else f"1.5 {foot}"
        raise LengthError(f'"{text}" cannot be read; write for example {usual}.')
    is_metric = found[2].lower().startswith("m") if found[2] else units == "m"
    return _number(found[1]) / (metric_per_foot if is_metric else 1.0)
