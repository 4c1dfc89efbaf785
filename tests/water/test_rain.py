"""Intensity and depth from a table: nodes, gaps, both measures, what lies beyond, what is lacking."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.water.rain import choices, depth_in, intensity_in_h, lacking, two_year_day_in
from tests.water.rains import CAROLINA, in_table, one_column, turned


@pytest.mark.parametrize("table", [CAROLINA, turned(CAROLINA)], ids=["intensity", "depth"])
def test_every_cell_of_the_table_comes_back(table):
    for place, years in enumerate(CAROLINA.return_periods_yr):
        for row in CAROLINA.rows:
            found = intensity_in_h(in_table(table, years), row.duration_min)
            assert found.value == pytest.approx(row.values[place], rel=1e-12)
            assert found.beyond == ""
            depth = depth_in(in_table(table, years), row.duration_min)
            assert depth.value == pytest.approx(row.values[place] * row.duration_min / 60, rel=1e-12)


@given(one_column(), st.floats(0.5, 5_000))
def test_depths_and_intensities_are_one_table(table, minutes):
    assert intensity_in_h(in_table(turned(table)), minutes).value == pytest.approx(
        intensity_in_h(in_table(table), minutes).value, rel=1e-9
    )


@given(one_column(), st.floats(0.5, 5_000), st.floats(1.001, 3))
def test_a_longer_rain_is_no_harder_and_brings_no_less(table, minutes, factor):
    rain = in_table(table)
    assert intensity_in_h(rain, minutes * factor).value <= intensity_in_h(rain, minutes).value * (1 + 1e-9)
    assert depth_in(rain, minutes * factor).value >= depth_in(rain, minutes).value * (1 - 1e-9)


def test_a_gap_is_passed_over():
    rows = list(CAROLINA.rows)
    rows[1] = replace(rows[1], values=(4.15, 5.08, None, 6.31, 6.73, 7.10))
    holed = replace(CAROLINA, rows=tuple(rows))
    without = replace(CAROLINA, rows=(rows[0], *rows[2:]))
    assert intensity_in_h(in_table(holed), 8).value == pytest.approx(
        intensity_in_h(in_table(without), 8).value, rel=1e-12
    )
    assert intensity_in_h(in_table(holed, 5), 8).value == intensity_in_h(in_table(CAROLINA, 5), 8).value


def test_beyond_the_table_the_end_row_is_held_and_told():
    short = intensity_in_h(in_table(CAROLINA), 3)
    assert (short.value, short.beyond, short.nearest_min) == (pytest.approx(7.14), "shorter", 5.0)
    long = depth_in(in_table(CAROLINA), 120)
    assert (long.value, long.beyond, long.nearest_min) == (pytest.approx(4.54), "longer", 60.0)
    for end in (5, 60):
        assert intensity_in_h(in_table(CAROLINA), end).beyond == ""


def test_one_row_holds_for_its_own_duration_only():
    table = RainTable(measure="depth", return_periods_yr=(10,), rows=(RainRow(duration_min=60, values=(2.0,)),))
    assert intensity_in_h(in_table(table), 60).value == pytest.approx(2.0)
    assert [intensity_in_h(in_table(table), m).beyond for m in (59, 60, 61)] == ["shorter", "", "longer"]


def test_a_typed_intensity_stands_in_place_of_the_table():
    rain = Rain(table=CAROLINA, return_period_yr=10, intensity_in_h=4.0)
    for minutes in (1, 60, 5_000):
        assert intensity_in_h(rain, minutes).value == 4.0
        assert depth_in(rain, minutes).value == pytest.approx(4.0 * minutes / 60)
        assert intensity_in_h(rain, minutes).beyond == ""
    assert lacking(Rain(intensity_in_h=4.0)) == ""


@pytest.mark.parametrize(
    ("rain", "lack"),
    [
        (Rain(), "rain"),
        (Rain(return_period_yr=10), "rain"),
        (Rain(table=CAROLINA), "return period"),
        (in_table(CAROLINA, 20), "return period"),
        (
            in_table(replace(CAROLINA, rows=(replace(CAROLINA.rows[0], values=(5.18, None, None, None, None, None)),))),
            "values",
        ),
    ],
)
def test_what_is_lacking_is_named_and_nothing_is_filled_in(rain, lack):
    assert lacking(rain) == lack
    with pytest.raises(ValueError, match=lack):
        intensity_in_h(rain, 10)


@pytest.mark.parametrize("minutes", [0, -5, float("nan"), float("inf")])
def test_a_duration_has_to_be_one(minutes):
    with pytest.raises(ValueError, match="above 0 min"):
        depth_in(in_table(CAROLINA), minutes)


def test_return_periods_by_name():
    assert [c.name for c in choices(CAROLINA)] == ["2-year", "5-year", "10-year", "25-year", "50-year", "100-year"]
    assert [c.return_period_yr for c in choices(CAROLINA)] == list(CAROLINA.return_periods_yr)


def test_the_2_year_day_is_known_only_where_the_table_has_it():
    day = RainRow(duration_min=1_440, values=(0.15, 0.19, 0.22, 0.26, 0.29, 0.32))
    assert two_year_day_in(replace(CAROLINA, rows=(*CAROLINA.rows, day))) == pytest.approx(3.6)
    assert two_year_day_in(CAROLINA) is None
    assert two_year_day_in(None) is None
    assert two_year_day_in(replace(CAROLINA, return_periods_yr=(3, 5, 10, 25, 50, 100))) is None
