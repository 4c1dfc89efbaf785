"""Values of fields as text, and text as values: the border between the form and the model."""

import re
from collections.abc import Callable

from drainsketch.desk.panes.fields import Field
from drainsketch.errors import LengthError
from drainsketch.job import units as u
from drainsketch.job.model import Units
from drainsketch.job.rates import M_PER_FT, MM_PER_IN, format_rain, format_velocity

SQUARE_FEET_PER_SQUARE_METER = 1 / 0.3048**2
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
    }
    return readers.get(field.quantity, _number)(text)


def _date(text: str) -> str:
    if text and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        raise LengthError(f'"{text}" is not a date; write year-month-day, for example 2026-04-30.')
    return text


def _number(text: str) -> float:
    try:
        value = float(text.strip().replace(",", ""))
    except ValueError:
        value = float("nan")
    if value - value != 0:  # not a number, or endless
        raise LengthError(f'"{text.strip()}" is not a number; the old value is kept.')
    return value


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
