"""How hard and how much it rains in a given time, from the user's own table or the one intensity typed in its place."""

from functools import lru_cache
from math import isclose, isfinite
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.job.rain import Rain, RainTable
from drainsketch.job.rain_rules import period_name

Floats = NDArray[np.float64]
Beyond = Literal["", "shorter", "longer"]
Lack = Literal["", "rain", "return period", "values"]
DAY_MIN = 1_440.0


class Amount(Struct, frozen=True):
    """A depth (in) or an intensity (in/h), and whether the duration asked for lies beyond the table.

    ``beyond`` is 'shorter' or 'longer' than its rows; then the intensity of ``nearest_min``, the row at that end, is held. For a
    shorter rain that is too little, for a longer one too much.
    """

    value: float
    beyond: Beyond = ""
    nearest_min: float | None = None


class Choice(Struct, frozen=True):
    """A return period of a table, and how it is called."""

    return_period_yr: float
    name: str


def choices(table: RainTable) -> tuple[Choice, ...]:
    """Return the return periods of a table with their names, ``2-year`` and so on."""
    return tuple(Choice(years, period_name(years)) for years in table.return_periods_yr)


def lacking(rain: Rain) -> Lack:
    """Return what the rain still lacks before it can be asked: nothing, any rain, a column of the table, values in it."""
    if rain.intensity_in_h is not None:
        return ""
    if rain.table is None:
        return "rain"
    if _place(rain.table, rain.return_period_yr) is None:
        return "return period"
    return "" if len(_column(rain.table, rain.return_period_yr)[0]) else "values"


def intensity_in_h(rain: Rain, duration_min: float) -> Amount:
    """Return the mean intensity over a duration, in/h.

    Straight in the logarithms of duration and intensity between two rows, which is the same as in duration and depth; a gap
    in the table is passed over. A typed intensity holds for every duration.

    Parameters
    ----------
    duration_min : more than 0

    Raises
    ------
    ValueError : the duration is not above 0, or the rain is ``lacking`` something

    Source: log-log interpolation between durations, as is usual with precipitation-frequency tables (common practice).
    Check: tests/outside/test_rainfall.py
    """
    if not (isfinite(duration_min) and duration_min > 0):
        raise ValueError("a duration has to be above 0 min")
    value = float(intensities_in_h(rain, np.array([duration_min]))[0])
    if rain.table is None or rain.intensity_in_h is not None:
        return Amount(value)
    rows = _column(rain.table, rain.return_period_yr)[0]
    shortest, longest = float(rows[0]), float(rows[-1])
    if duration_min < shortest * (1 - 1e-9):
        return Amount(value, "shorter", shortest)
    if duration_min > longest * (1 + 1e-9):
        return Amount(value, "longer", longest)
    return Amount(value)


def depth_in(rain: Rain, duration_min: float) -> Amount:
    """Return how much falls in a duration, in. Arguments, errors, source and check as ``intensity_in_h``."""
    intensity = intensity_in_h(rain, duration_min)
    return Amount(intensity.value * duration_min / 60, intensity.beyond, intensity.nearest_min)


def intensities_in_h(rain: Rain, duration_min: Floats) -> Floats:
    """Return ``intensity_in_h`` for many durations at once, (n,); beyond the table its end rows are held.

    Raises
    ------
    ValueError : the rain is ``lacking`` something
    """
    if lack := lacking(rain):
        raise ValueError(f"the rain lacks: {lack}")
    if rain.intensity_in_h is not None:
        return np.full(len(duration_min), rain.intensity_in_h)
    assert rain.table is not None  # or it would lack rain
    minutes, intensity = _column(rain.table, rain.return_period_yr)
    return np.asarray(np.exp(np.interp(np.log(duration_min), np.log(minutes), np.log(intensity))))


def longest_min(rain: Rain) -> float:
    """Return the longest duration that the rain says anything of, min; a typed intensity lasts as long as the storm."""
    if rain.intensity_in_h is not None or rain.table is None:
        return rain.storm_min
    rows = _column(rain.table, rain.return_period_yr)[0]
    return float(rows[-1]) if len(rows) else rain.storm_min


def played_min(rain: Rain) -> float:
    """Return how long it rains when the storm is played, min: no longer than the table has figures for."""
    return min(rain.storm_min, longest_min(rain))


def two_year_day_in(table: RainTable | None) -> float | None:
    """Return the 2-year depth of 24 hours, in, where the table has that column and its rows reach so far; None where not."""
    if table is None or _place(table, 2.0) is None:
        return None
    rain = Rain(table=table, return_period_yr=2.0)
    if lacking(rain):
        return None
    depth = depth_in(rain, DAY_MIN)
    return None if depth.beyond else depth.value


def _place(table: RainTable, return_period_yr: float | None) -> int | None:
    if return_period_yr is None:
        return None
    years = table.return_periods_yr
    return next((n for n, y in enumerate(years) if isclose(y, return_period_yr, rel_tol=1e-9)), None)


@lru_cache(maxsize=64)
def _column(table: RainTable, return_period_yr: float | None) -> tuple[Floats, Floats]:
    """Return durations (min) and intensities (in/h) of a column, gaps left out."""
    place = _place(table, return_period_yr)
    known = sorted((r.duration_min, v) for r in table.rows if place is not None and (v := r.values[place]) is not None)
    minutes = np.array([m for m, _ in known], dtype=np.float64)
    values = np.array([v for _, v in known], dtype=np.float64)
    return minutes, values * 60 / minutes if table.measure == "depth" else values
