"""Days of work on the calendar: weekdays that are worked, days off, waits and how long marks hold."""

from collections.abc import Collection, Iterator
from datetime import date, timedelta
from functools import lru_cache

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
OFFICE = WEEKDAYS[:5]  # the days a one-call center counts
DAY = timedelta(days=1)


def day_of(said: str) -> date | None:
    """Return a day written as 2026-05-04; None for ''."""
    return date.fromisoformat(said) if said else None


def worked_days(start: date, weekdays: Collection[str], off: Collection[date] = ()) -> Iterator[date]:
    """Yield the days of work from a day on, itself included where it is one; they end with the calendar.

    Parameters
    ----------
    start : the first day that may be one
    weekdays : those that are worked, of ``WEEKDAYS``
    off : days that are not

    Notes
    -----
    Source: ISO 8601 calendar. Check: tests/outside/test_work_days.py

    Examples
    --------
    A Friday and the Monday after it, which is off:

    >>> days = worked_days(date(2026, 5, 1), OFFICE, {date(2026, 5, 4)})
    >>> [str(next(days)), str(next(days))]
    ['2026-05-01', '2026-05-05']
    """
    day = start
    while True:
        if WEEKDAYS[day.weekday()] in weekdays and day not in off:
            yield day
        if day == date.max:
            return
        day += DAY


def ready_on(asked: date, wait_days: int, off: Collection[date] = (), *, in_workdays: bool) -> date | None:
    """Return the first day on which digging may begin, after so many full days of wait.

    Neither the day of the request nor the day digging begins is one of them. In workdays, weekends, federal holidays and days off count
    for nothing: a request on one of those counts as of the next workday, and digging begins on a workday, which is the safe side.

    Parameters
    ----------
    asked : day of the request
    wait_days : full days of wait between request and digging (0 or more)
    off : days that are no workdays, such as holidays of a state

    Returns
    -------
    the day; None beyond the end of the calendar

    Notes
    -----
    Limits: state law says which days count, whether the day of the request does, and from which hour on. Source: days of wait are
    full days after the day of the request, as most state laws count them (common practice, no source); federal holidays of 5 U.S.C. 6103
    by the library holidays. Check: tests/outside/test_work_days.py

    Examples
    --------
    Asked on a Friday, two workdays: Monday and Tuesday are waited out, Wednesday is the day. In calendar days it is Monday.

    >>> str(ready_on(date(2026, 5, 1), 2, in_workdays=True)), str(ready_on(date(2026, 5, 1), 2, in_workdays=False))
    ('2026-05-06', '2026-05-04')
    """
    if not in_workdays:
        return later(asked, wait_days + 1)
    days = (day for day in worked_days(asked, OFFICE, off) if day not in _federal_holidays())
    return next((day for n, day in enumerate(days) if n == wait_days + 1), None)


@lru_cache(maxsize=1)
def _federal_holidays() -> Collection[date]:
    """Return the federal holidays, with the days on which they are observed."""
    from holidays import country_holidays

    return country_holidays("US")


def later(day: date, days: int) -> date | None:
    """Return the day so many calendar days later, or earlier; None beyond the calendar."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None
