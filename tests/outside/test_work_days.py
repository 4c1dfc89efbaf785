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
    """The last day waited is that of numpy.busday_offset, rolled forward first, holidays left out; digging begins on the day after it."""
    days_off = {asked + timedelta(days=n) for n in off}
    expected = np.busday_offset(asked, wait, roll="forward", weekmask="1111100", holidays=sorted(days_off))
    assert ready_on(asked, wait, days_off, in_workdays=True) == expected.astype(object) + timedelta(days=1)


@pytest.mark.parametrize(
    ("asked", "wait", "off", "dig"),
    [
        ("2026-11-27", 2, (), "2026-12-02"),  # Friday: Monday and Tuesday are waited, Wednesday
        (
            "2026-11-23",
            2,
            ("2026-11-26",),
            "2026-11-26",
        ),  # Monday: Tuesday, Wednesday; the day after is off, nobody digs by itself
        ("2026-11-24", 2, ("2026-11-26",), "2026-11-28"),  # Tuesday: Wednesday, Friday round Thanksgiving; Saturday
        ("2026-11-25", 3, ("2026-11-26",), "2026-12-02"),  # Wednesday: Friday, Monday, Tuesday
        ("2026-11-28", 2, (), "2026-12-03"),  # Saturday counts as Monday: Tuesday, Wednesday
        ("2026-05-04", 3, (), "2026-05-08"),  # Monday: Tuesday, Wednesday, Thursday; Friday
    ],
)
def test_days_waited_are_full_days_after_the_request(asked: str, wait: int, off: tuple[str, ...], dig: str) -> None:
    """Counted by hand on the calendar of 2026: full days after the day of the request, digging on the day after the last of them."""
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
