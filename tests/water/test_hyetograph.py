"""The storm in steps: its total, its peak, its shape."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.water.hyetograph import alternating_block, even_rain
from drainsketch.water.rain import depth_in
from tests.water.rains import CAROLINA, in_table, one_column


@given(one_column(), st.floats(5, 2_880), st.integers(1, 400))
def test_the_storm_brings_what_the_table_has_for_its_length(table, storm, count):
    rain, step = in_table(table), storm / count
    fallen = alternating_block(rain, storm, step)
    assert len(fallen) == count
    assert fallen.min() >= -1e-12
    assert fallen.sum() == pytest.approx(depth_in(rain, storm).value, rel=1e-9)


@given(one_column(), st.floats(5, 2_880), st.floats(1, 60))
def test_a_last_part_of_a_step_loses_nothing(table, storm, step):
    rain = in_table(table)
    assert alternating_block(rain, storm, step).sum() == pytest.approx(depth_in(rain, storm).value, rel=1e-9)


@pytest.mark.parametrize("count", [1, 2, 3, 6, 11, 12])
def test_the_hardest_step_is_the_middle_one_and_it_falls_off_both_ways(count):
    fallen = alternating_block(in_table(CAROLINA), 60, 60 / count)
    peak = int(fallen.argmax())
    assert peak == (count - 1) // 2
    assert all(a <= b for a, b in pairwise(fallen[: peak + 1]))
    assert all(a >= b for a, b in pairwise(fallen[peak:]))


def test_every_spell_about_the_peak_is_that_of_the_table():
    rain = in_table(CAROLINA)
    fallen = alternating_block(rain, 60, 5)
    for steps in range(1, 13):
        hardest = np.convolve(fallen, np.ones(steps), "valid").max()
        assert hardest == pytest.approx(depth_in(rain, 5 * steps).value, rel=1e-9)


def test_one_typed_intensity_is_an_even_rain():
    even = alternating_block(Rain(intensity_in_h=3.0), 30, 5)
    assert even == pytest.approx([0.25] * 6)
    assert even_rain(3.0, 30, 5) == pytest.approx([0.25] * 6)
    assert even_rain(3.0, 32, 10) == pytest.approx([0.5, 0.5, 0.5, 0.1])


@pytest.mark.parametrize(("storm", "step"), [(0, 5), (60, 0), (60, -1), (float("nan"), 5), (60, float("inf"))])
def test_storm_and_step_have_to_be_times(storm, step):
    with pytest.raises(ValueError, match="above 0 min"):
        alternating_block(in_table(CAROLINA), storm, step)
    with pytest.raises(ValueError, match="above 0 min"):
        even_rain(1.0, storm, step)


def test_a_table_rounded_so_that_less_falls_in_longer_time_brings_no_rain_below_none():
    # 0.20 in/h over 24 h are 4.80 in, 0.097 in/h over 48 h are 4.656 in
    rows = tuple(RainRow(duration_min=60.0 * h, values=(i,)) for h, i in ((1, 2.0), (24, 0.20), (48, 0.097)))
    table = RainTable(measure="intensity", return_periods_yr=(10.0,), rows=rows)
    for step in (1.0, 30.0, 1_440.0):
        fallen = alternating_block(in_table(table), 2_880, step)
        assert fallen.min() >= 0
        assert fallen.sum() == pytest.approx(4.80, rel=1e-9)
