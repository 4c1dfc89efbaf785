"""Time of concentration: its legs, its floor, its minimum, the round of time and intensity."""

from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from drainsketch.job.rain import Rain
from drainsketch.water.concentration import (
    LEAST_SLOPE,
    PipeStretch,
    Stretch,
    concentration,
    kinematic_wave_min,
    shallow_velocity_ft_s,
)
from drainsketch.water.rain import intensity_in_h
from tests.water.rains import CAROLINA, in_table, one_column

LAWN = Stretch(length_ft=80, slope=0.02, sheet_n=0.24, shallow_k=0.457)
RAIN = in_table(CAROLINA)


def lawn(length_ft: float, slope: float = 0.02) -> Stretch:
    return Stretch(length_ft=length_ft, slope=slope, sheet_n=0.24, shallow_k=0.457)


def test_beyond_100_ft_the_water_gathers():
    found = concentration([lawn(150), lawn(40, 0.01)], rain=RAIN)
    assert [(leg.kind, leg.length_ft, leg.slope, leg.factor) for leg in found.legs] == [
        ("sheet", 100, 0.02, 0.24),
        ("shallow", 50, 0.02, 0.457),
        ("shallow", 40, 0.01, 0.457),
    ]
    for leg in found.legs:
        assert leg.velocity_ft_s * leg.minutes * 60 == pytest.approx(leg.length_ft, rel=1e-9)
    assert found.sum_min == pytest.approx(sum(leg.minutes for leg in found.legs))
    assert (found.form, found.minutes, found.check_min) == ("kinematic wave", found.sum_min, None)


@given(one_column(), st.floats(1, 100), st.floats(0.001, 0.3), st.floats(0, 300))
def test_time_and_intensity_agree(table, length, slope, pipe_ft):
    # an independent root finder on the same two statements
    rain = in_table(table)
    found = concentration([lawn(length, slope)], [PipeStretch(pipe_ft, 0.01, 2.0)], rain)

    def off(minutes: float) -> float:
        wave = kinematic_wave_min(0.24, length, slope, intensity_in_h(rain, minutes).value)
        return max(5.0, wave + pipe_ft / 120) - minutes

    assert found.minutes == pytest.approx(brentq(off, 1e-3, 1e4, xtol=1e-10), rel=1e-6)
    assert found.intensity == intensity_in_h(rain, found.minutes)


@given(st.floats(1, 300), st.floats(0.01, 0.99), st.booleans())
def test_a_way_cut_in_two_takes_as_long(length, share, by_depth):
    known = {"two_year_depth_in": 3.6} if by_depth else {"rain": RAIN}
    whole = concentration([lawn(length)], minimum_min=0.0, **known)
    cut = concentration([lawn(length * share), lawn(length * (1 - share))], minimum_min=0.0, **known)
    assert cut.minutes == pytest.approx(whole.minutes, rel=1e-7)


def test_a_short_way_takes_the_minimum_and_says_so():
    found = concentration([Stretch(20, 0.02, 0.011, 0.619)], rain=RAIN)
    assert found.sum_min < 1 < found.minutes == found.minimum_min == 5.0
    assert found.intensity == intensity_in_h(RAIN, 5.0)


@pytest.mark.parametrize("slope", [0.0, 1e-9, -0.0004])
def test_level_ground_takes_the_floor_slope_and_says_so(slope):
    found = concentration([lawn(150, slope)], rain=RAIN)
    assert all(leg.raised and leg.slope == LEAST_SLOPE for leg in found.legs)
    assert isfinite(found.minutes)
    assert not any(leg.raised for leg in concentration([lawn(150, 0.001)], rain=RAIN).legs)
    assert concentration([lawn(150, -0.02)], rain=RAIN) == concentration([lawn(150)], rain=RAIN)


def test_no_length_takes_no_time():
    found = concentration([lawn(0.0)], [PipeStretch(0.0, 0.0, 0.0)], RAIN)
    assert [(leg.kind, leg.minutes, leg.velocity_ft_s) for leg in found.legs] == [
        ("sheet", 0.0, 0.0),
        ("pipe", 0.0, 0.0),
    ]
    assert (found.sum_min, found.minutes) == (0.0, 5.0)
    assert concentration([], rain=RAIN).minutes == 5.0
    assert concentration([], rain=RAIN, minimum_min=0.0).intensity.beyond == "shorter"


def test_pipe_adds_its_time_and_none_where_nothing_flows():
    ground = concentration([lawn(80)], rain=Rain(intensity_in_h=4.0))
    piped = concentration(
        [lawn(80)], [PipeStretch(120, 0.01, 2.0), PipeStretch(50, 0.0, 0.0)], Rain(intensity_in_h=4.0)
    )
    assert piped.minutes == pytest.approx(ground.minutes + 1.0)
    assert [leg.minutes for leg in piped.legs[1:]] == [1.0, 0.0]


def test_a_time_beyond_the_table_is_told():
    assert concentration([lawn(100, 0.0)], [PipeStretch(9_000, 0.01, 2.0)], RAIN).intensity.beyond == "longer"


def test_only_the_2_year_depth_known():
    found = concentration([lawn(80)], rain=Rain(), two_year_depth_in=3.6)
    assert (found.form, found.intensity) == ("TR-55", None)
    assert found.check_min == found.sum_min == found.minutes
    both = concentration([lawn(80)], rain=RAIN, two_year_depth_in=3.6)
    assert (both.form, both.check_min) == ("kinematic wave", found.minutes)


@pytest.mark.parametrize(
    ("way", "pipes", "known", "said"),
    [
        ([LAWN], [], {}, "needs the rain"),
        ([LAWN], [], {"rain": Rain()}, "needs the rain"),
        ([lawn(-1)], [], {"rain": RAIN}, "no length"),
        ([lawn(float("nan"))], [], {"rain": RAIN}, "have to be numbers"),
        ([lawn(9, float("inf"))], [], {"rain": RAIN}, "have to be numbers"),
        ([Stretch(9, 0.02, 0.0, 0.457)], [], {"rain": RAIN}, "n and k"),
        ([LAWN], [PipeStretch(9, 0.01, float("nan"))], {"rain": RAIN}, "have to be numbers"),
        ([LAWN], [], {"two_year_depth_in": -1.0}, "2-year depth"),
    ],
)
def test_what_cannot_be_is_refused(way, pipes, known, said):
    with pytest.raises(ValueError, match=said):
        concentration(way, pipes, **known)


def test_steeper_and_smoother_is_quicker():
    assert shallow_velocity_ft_s(0.619, 0.04) == pytest.approx(2 * shallow_velocity_ft_s(0.619, 0.01))
    slow = concentration([lawn(90, 0.01)], rain=RAIN, minimum_min=0.0).minutes
    assert concentration([lawn(90, 0.05)], rain=RAIN, minimum_min=0.0).minutes < slow
    assert concentration([Stretch(90, 0.01, 0.011, 0.619)], rain=RAIN, minimum_min=0.0).minutes < slow / 3
