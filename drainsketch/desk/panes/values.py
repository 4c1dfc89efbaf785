"""Values of fields as text, and text as values: the border between the form and the model."""

import re

from drainsketch.desk.panes.fields import Field
from drainsketch.errors import LengthError
from drainsketch.job import units as u
from drainsketch.job.model import Units

SQUARE_FEET_PER_SQUARE_METER = 1 / 0.3048**2
Value = str | int | float | bool | None


def written(field: Field, value: Value, units: Units) -> str:
    """Return a value as it stands in its field; '' for nothing."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    match field.quantity:
        case "length":
            return u.format_length(value, units)
        case "level":
            return u.format_level(value, units)
        case "inches":
            return u.format_inches(value, units)
        case "slope":
            return u.format_slope(value)
        case "area":
            return u.format_area(value, units)
        case _:
            return f"{value:g}"


def read(field: Field, text: str, units: Units) -> Value:
    """Return the value of what was typed into a field.

    Raises
    ------
    LengthError : the text cannot be read, or is empty where the field may not be
    """
    text = text.strip()
    if not text and field.quantity not in ("text", "notes", "date"):
        if field.blank:
            return None
        raise LengthError(f"{field.label} cannot be empty; the old value is kept.")
    match field.quantity:
        case "length" | "level":
            return u.parse_length_ft(text, units)
        case "inches":
            return u.parse_inches(text, units)
        case "slope":
            return _number(field, text.removesuffix("%")) / 100
        case "area":
            return _area_ft2(field, text, units)
        case "number":
            return _number(field, text)
        case "date" if text and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            raise LengthError(f'"{text}" is not a date; write year-month-day, for example 2026-04-30.')
        case _:
            return text


def _number(field: Field, text: str) -> float:
    try:
        value = float(text.strip().replace(",", ""))
    except ValueError:
        value = float("nan")
    if value - value != 0:  # not a number, or endless
        raise LengthError(f'"{text.strip()}" is not a number; the old value is kept.')
    return value


def _area_ft2(field: Field, text: str, units: Units) -> float:
    found = re.fullmatch(r"([\d.,]+)\s*(ft2|ft²|sq ?ft|m2|m²)?", text.strip(), re.IGNORECASE)
    if not found:
        raise LengthError(f'"{text}" is not an area; write for example 640 sq ft.')
    metric = found[2].lower().startswith("m") if found[2] else units == "m"
    return _number(field, found[1]) * (SQUARE_FEET_PER_SQUARE_METER if metric else 1.0)
