"""Rainfall between the rows of a published table, the served file layout, and the storm of a textbook."""

import pytest
from msgspec.structs import replace

from drainsketch.files.rainfall import read_rain
from drainsketch.job.rain import RainRow, RainTable
from drainsketch.water.hyetograph import alternating_block
from drainsketch.water.rain import depth_in, intensity_in_h, two_year_day_in
from tests.water.rains import CAROLINA, SERVED, in_table


def test_seven_minutes_once_in_ten_years():
    # By hand between 7.14 in/h at 5 min and 5.71 at 10 min (NOAA Atlas 14, one point in North Carolina):
    # 7.14 (5.71 / 7.14)^(ln 1.4 / ln 2) = 6.406; straight in plain figures it would be 6.568.
    found = intensity_in_h(in_table(CAROLINA), 7).value
    assert found == pytest.approx(6.406, abs=0.0005)
    assert abs(found - 6.568) > 0.1


@pytest.mark.parametrize("years", [2, 10, 100])
@pytest.mark.parametrize("left_out", [10, 15, 60, 120, 180, 720])
def test_a_row_left_out_of_the_served_table_is_found_again(years, left_out):
    # The atlas itself is the check: leave a duration out, interpolate, and compare with what was printed there
    # (6 %: an atlas does not run straight between 10 and 30 min).
    table = read_rain(SERVED).table
    printed = depth_in(in_table(table, years), left_out).value
    without = replace(table, rows=tuple(r for r in table.rows if r.duration_min != left_out))
    assert depth_in(in_table(without, years), left_out).value == pytest.approx(printed, rel=0.06)


def test_the_file_of_the_public_service_reads_as_served():
    read = read_rain(SERVED)
    assert read.told == ()
    assert read.table.measure == "depth"
    assert read.table.return_periods_yr == (1, 2, 5, 10, 25, 50, 100, 200, 500, 1000)
    assert [r.duration_min for r in read.table.rows] == [
        5, 10, 15, 30, 60, 120, 180, 360, 720, 1_440, 2_880, 4_320, 5_760, 10_080, 14_400, 28_800, 43_200, 64_800, 86_400,
    ]  # fmt: skip
    assert depth_in(in_table(read.table, 100), 1_440).value == pytest.approx(12.1)
    assert intensity_in_h(in_table(read.table, 10), 5).value == pytest.approx(0.822 * 12)
    assert two_year_day_in(read.table) == pytest.approx(4.76)
    assert read.table.source == (
        "NOAA Atlas 14 Volume 9 Version 2; Time series type: Partial duration; Project area: Southeastern States; "
        "Latitude: 26.6 Degree; Longitude: -81.9 Degree"
    )


def test_the_storm_of_two_hours_in_the_textbook():
    # Chow, Maidment & Mays, Applied Hydrology (1988), Example 14.4.1 (from memory, recomputed from its formula
    # i = 96.6 / (t^0.97 + 13.90), in/h): 10-min steps of a 10-year storm.
    minutes = range(10, 130, 10)
    table = RainTable(
        measure="intensity",
        return_periods_yr=(10,),
        rows=tuple(RainRow(duration_min=m, values=(96.6 / (m**0.97 + 13.90),)) for m in minutes),
    )
    printed = [0.024, 0.033, 0.050, 0.084, 0.178, 0.693, 0.308, 0.117, 0.063, 0.040, 0.028, 0.021]
    assert alternating_block(in_table(table), 120, 10) == pytest.approx(printed, abs=0.0011)
    assert depth_in(in_table(table), 120).value == pytest.approx(1.639, abs=0.001)
