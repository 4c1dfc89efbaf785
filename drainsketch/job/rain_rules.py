"""What makes a rainfall table whole: order, gaps, and figures that rain can have. How its rows and columns are called."""

from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from drainsketch.job.rain import RainTable

SLACK = 0.01  # of a value; besides what its rounding leaves open


class RainFault(Struct, frozen=True):
    """What is wrong in a table, and at which row and column (from 0); no row is the heading, no column the whole row."""

    row: int | None
    column: int | None
    text: str


def period_name(years: float) -> str:
    """Return a return period as it is called: ``10-year``."""
    return f"{years:g}-year"


def duration_name(minutes: float) -> str:
    """Return a duration as it is called: ``15-min``, ``2-hr``, ``3-day``; an hour stays ``60-min``."""
    if minutes >= 2_880 and minutes % 1_440 == 0:
        return f"{minutes / 1_440:g}-day"
    return f"{minutes / 60:g}-hr" if minutes > 60 and minutes % 60 == 0 else f"{minutes:g}-min"


def rain_faults(table: RainTable) -> Iterator[RainFault]:
    """Yield what no rainfall table can be, the worst first.

    Return periods and durations grow; a rarer storm brings no less; a longer one brings no less depth and no more intensity.
    What follows only after depth and intensity are turned into each other is held to the rounding of the figures.
    """
    periods, rows = table.return_periods_yr, table.rows
    for column, (less, more) in enumerate(pairwise(periods), 1):
        if more <= less:
            text = "stands twice; delete one of the two" if more == less else f"stands after {period_name(less)}"
            yield RainFault(None, column, text if more == less else f"{text}; put the rarer storms to the right")
    for place, row in enumerate(rows):
        if len(row.values) != len(periods):
            text = (
                f"{len(row.values)} values under {len(periods)} return periods; leave a cell empty where there is none"
            )
            yield RainFault(place, None, text)
            return
    for place, (upper, lower) in enumerate(pairwise(rows), 1):
        name = duration_name(upper.duration_min)
        if lower.duration_min == upper.duration_min:
            yield RainFault(place, None, f"{name} stands twice; delete one of the two")
        elif lower.duration_min < upper.duration_min:
            yield RainFault(place, None, f"it stands below {name}; put the longer durations below")
    if all(value is None for row in rows for value in row.values):
        yield RainFault(None, None, "the table has no values; fill in at least one")
    yield from _rarer_but_less(table)
    yield from _longer_but_odd(table)


def _rarer_but_less(table: RainTable) -> Iterator[RainFault]:
    for place, row in enumerate(table.rows):
        known = [(c, v) for c, v in enumerate(row.values) if v is not None]
        for (before, less), (column, more) in pairwise(known):
            if more < less:
                name = period_name(table.return_periods_yr[before])
                yield RainFault(
                    place, column, f"{more:g} is less than {less:g} of {name}; a rarer storm brings no less"
                )


def _longer_but_odd(table: RainTable) -> Iterator[RainFault]:
    depth = table.measure == "depth"
    for column in range(len(table.return_periods_yr)):
        known = [
            (p, r.duration_min, v, _open(r.values, v)) for p, r in enumerate(table.rows) if (v := r.values[column])
        ]
        for (_, short, first, open_first), (place, long, second, open_second) in pairwise(known):
            name = duration_name(short)
            grown = long / short  # by so much depth may grow at the most, or intensity shrink
            if depth and second < first:
                yield RainFault(
                    place, column, f"{second:g} is less than {first:g} of {name}; a longer rain brings no less"
                )
            elif depth and second - open_second > (first + open_first) * grown:
                yield RainFault(place, column, f"{second:g} rains harder than {first:g} of {name}; check the two cells")
            elif not depth and second > first:
                text = f"{second:g} is more than {first:g} of {name}; a longer rain is no harder"
                yield RainFault(place, column, text)
            elif not depth and (second + open_second) * grown < first - open_first:
                text = f"{second:g} gives less depth than {first:g} of {name}; check the two cells"
                yield RainFault(place, column, text)


def _open(row: tuple[float | None, ...], value: float) -> float:
    """Return how far a value may be off: half its row's last written place, or the slack."""
    places = max(len(f"{v:.6f}".rstrip("0").partition(".")[2]) for v in row if v is not None)
    return max(0.5 * 10.0**-places, SLACK * value)
