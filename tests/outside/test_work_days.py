"""Days of work and of the ticket against two calendars that know nothing of this project: numpy's business days and Python's own."""

import calendar
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.workplan.dates import OFFICE, WEEKDAYS, later, ready_on, worked_days

DAYS = st.dates(date(2000, 1, 1), date(2090, 12, 31))
OFF = st.sets(st.integers(0, 40), max_size=8)


@given(asked=DAYS, wait=st.integers(0, 60), off=OFF)
def test_a_wait_in_workdays_is_that_of_the_business_days(asked: date, wait: int, off: set[int]) -> None:
    """Digging begins on the workday after so many of numpy.busday_offset, rolled forward first, days off and federal holidays left out.

    Where holidays fall: 5 U.S.C. 6103(a) and (b), written out here by its words.
    """
    days_off = {asked + timedelta(days=n) for n in off}
    legal = {day for year in range(asked.year, asked.year + 2) for day in by_the_statute(year)}
    expected = np.busday_offset(asked, wait + 1, roll="forward", weekmask="1111100", holidays=sorted(days_off | legal))
    assert ready_on(asked, wait, days_off, in_workdays=True) == expected.astype(object)


def by_the_statute(year: int) -> set[date]:
    """Return the legal public holidays of a year with the days off for those of a weekend: Friday for Saturday, Monday for Sunday."""

    def nth(month: int, weekday: int, n: int) -> date:
        weeks = [week[weekday] for week in calendar.monthcalendar(year, month) if week[weekday]]
        return date(year, month, weeks[n])

    monday, thursday = 0, 3
    found = {date(year, month, day) for month, day in ((1, 1), (7, 4), (11, 11), (12, 25))}
    found |= {
        nth(1, monday, 2),
        nth(2, monday, 2),
        nth(5, monday, -1),
        nth(9, monday, 0),
        nth(10, monday, 1),
        nth(11, thursday, 3),
    }
    found |= {date(year, 6, 19)} if year >= 2021 else set()
    found |= {date(year, 12, 31)} if date(year + 1, 1, 1).weekday() == calendar.SATURDAY else set()
    shift = {calendar.SATURDAY: -1, calendar.SUNDAY: 1}
    return found | {day + timedelta(days=shift[day.weekday()]) for day in found if day.weekday() in shift}


@pytest.mark.parametrize(
    ("asked", "wait", "off", "dig"),
    [
        ("2026-11-27", 2, (), "2026-12-02"),  # Friday: Monday and Tuesday are waited, Wednesday
        (
            "2026-11-23",
            2,
            (),
            "2026-11-27",
        ),  # Monday: Tuesday, Wednesday; Thursday is Thanksgiving
        ("2026-11-24", 2, (), "2026-11-30"),  # Tuesday: Wednesday, Friday round Thanksgiving; Monday
        (
            "2026-11-25",
            2,
            ("2026-11-27",),
            "2026-12-02",
        ),  # Wednesday: Friday is a holiday of the state; Monday, Tuesday
        (
            "2026-07-01",
            1,
            (),
            "2026-07-06",
        ),  # Wednesday: Thursday is waited, Friday is off for Saturday the 4th; Monday
        ("2026-11-28", 2, (), "2026-12-03"),  # Saturday counts as Monday: Tuesday, Wednesday
        ("2026-05-04", 3, (), "2026-05-08"),  # Monday: Tuesday, Wednesday, Thursday; Friday
    ],
)
def test_days_waited_are_full_days_after_the_request(asked: str, wait: int, off: tuple[str, ...], dig: str) -> None:
    """Counted by hand on the calendar of 2026: full days after the day of the request, digging on the first workday after the last of them."""
    days_off = {date.fromisoformat(day) for day in off}
    assert ready_on(date.fromisoformat(asked), wait, days_off, in_workdays=True) == date.fromisoformat(dig)


def test_calendar_days_are_waited_in_full_too() -> None:
    """By hand: asked on the 27th, the 28th and the 29th are waited, the 30th is the day."""
    assert ready_on(date(2026, 11, 27), 2, in_workdays=False) == date(2026, 11, 30)


@given(asked=DAYS, wait=st.integers(0, 365))
def test_a_wait_in_calendar_days_counts_every_day(asked: date, wait: int) -> None:
    """Source: proleptic ordinals of Python's datetime."""
    found = ready_on(asked, wait, {asked}, in_workdays=False)
    assert found is not None
    assert found.toordinal() - asked.toordinal() == wait + 1


@given(start=DAYS, worked=st.sets(st.integers(0, 6), min_size=1), off=OFF, count=st.integers(1, 60))
def test_days_of_work_are_those_of_numpy(start: date, worked: set[int], off: set[int], count: int) -> None:
    days_off = {start + timedelta(days=n) for n in off}
    mask = [n in worked for n in range(7)]
    names = [name for name, is_on in zip(WEEKDAYS, mask, strict=True) if is_on]
    found = [day for day, _ in zip(worked_days(start, names, days_off), range(count), strict=False)]
    first = np.busday_offset(start, 0, roll="forward", weekmask=mask, holidays=sorted(days_off))
    expected = [np.busday_offset(first, n, weekmask=mask, holidays=sorted(days_off)) for n in range(count)]
    assert found == [day.astype(object) for day in expected]


def test_weekdays_are_named_as_the_calendar_has_them() -> None:
    """4 May 2026 is a Monday by Python's calendar, which is computed from the Gregorian rules."""
    assert tuple(calendar.day_abbr) == WEEKDAYS
    assert WEEKDAYS[calendar.weekday(2026, 5, 4)] == "Mon"
    assert WEEKDAYS[:5] == OFFICE


def test_the_calendar_ends() -> None:
    assert later(date.max, 1) is None
    assert ready_on(date.max, 3, in_workdays=True) is None
    assert list(worked_days(date.max, WEEKDAYS)) == [date.max]
