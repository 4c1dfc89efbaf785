"""What no rainfall table can be, by row and column; how rows and columns are called."""

import pytest
from hypothesis import given
from msgspec.structs import replace

from drainsketch.job.rain import RainRow, RainTable
from drainsketch.job.rain_rules import duration_name, period_name, rain_faults
from tests.water.rains import CAROLINA, one_column, turned


def table(*rows: tuple[float, ...], measure: str = "depth", periods: tuple[float, ...] = (2, 10)) -> RainTable:
    found = tuple(RainRow(duration_min=minutes, values=values) for minutes, *values in rows)
    return RainTable(measure=measure, return_periods_yr=periods, rows=found)


@pytest.mark.parametrize(
    ("wrong", "place"),
    [
        (table((5, 0.4, 0.5), periods=(2, 2)), (None, 1)),
        (table((5, 0.4, 0.5), periods=(10, 2)), (None, 1)),
        (table((5, 0.4, 0.5), (10, 0.6)), (1, None)),
        (table((5, 0.4, 0.5), (5, 0.4, 0.5)), (1, None)),
        (table((10, 0.4, 0.5), (5, 0.3, 0.4)), (1, None)),
        (table((5, None, None)), (None, None)),
        (table((5, 0.4, 0.3)), (0, 1)),
        (table((5, 0.4, None), (10, None, 0.5), (15, 0.3, 0.6)), (2, 0)),
        (table((5, 0.4, 0.5), (10, 0.6, 1.2)), (1, 1)),
        (table((5, 4.0, 5.0), (10, 4.1, 5.0), measure="intensity"), (1, 0)),
        (table((5, 4.0, 5.0), (10, 3.0, 2.4), measure="intensity"), (1, 1)),
    ],
)
def test_a_fault_names_its_row_and_column(wrong, place):
    fault = next(rain_faults(wrong))
    assert (fault.row, fault.column) == place
    assert fault.text


@given(one_column())
def test_a_whole_table_has_no_fault_told_either_way(whole):
    assert list(rain_faults(whole)) == []
    assert list(rain_faults(turned(whole))) == []


def test_a_published_table_has_no_fault_with_or_without_gaps():
    assert list(rain_faults(CAROLINA)) == []
    holed = tuple(replace(r, values=(None, *r.values[1:])) if n % 2 else r for n, r in enumerate(CAROLINA.rows))
    assert list(rain_faults(replace(CAROLINA, rows=holed))) == []


def test_names_of_rows_and_columns():
    assert [period_name(y) for y in (2, 10.0, 2.5)] == ["2-year", "10-year", "2.5-year"]
    assert [duration_name(m) for m in (5, 60, 90, 120, 1_440, 2_880, 86_400)] == [
        "5-min", "60-min", "90-min", "2-hr", "24-hr", "2-day", "60-day",
    ]  # fmt: skip
