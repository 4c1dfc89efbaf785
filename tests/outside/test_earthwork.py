"""Pipe in stone, swell and basin earth against handbook figures and closed forms."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.network.prisms import pipe_in_layer_ft3, segment_area_ft2
from drainsketch.takeoff.spoil import loose_yd3

# Partly full pipe, area over full area by depth over diameter: circle geometry, printed in every hydraulics handbook.
PARTLY_FULL = {
    0.10: 0.0520,
    0.20: 0.1424,
    0.25: 0.1955,
    0.30: 0.2523,
    0.40: 0.3735,
    0.50: 0.5000,
    0.60: 0.6265,
    0.70: 0.7477,
    0.75: 0.8045,
    0.80: 0.8576,
    0.90: 0.9480,
    1.00: 1.0000,
}


@pytest.mark.parametrize(("depth", "share"), PARTLY_FULL.items())
def test_circle_below_a_level_is_that_of_the_table_of_partly_full_pipe(depth, share):
    diameter = np.array([0.5])
    area = segment_area_ft2(depth * diameter, diameter)[0]
    assert area / (pi / 4 * 0.25) == pytest.approx(share, abs=6e-5)


def test_circle_is_whole_above_its_top_and_nothing_below_its_bottom():
    diameter = np.array([0.4, 0.4])
    assert segment_area_ft2(np.array([-1.0, 9.0]), diameter) == pytest.approx([0.0, pi / 4 * 0.16], abs=1e-12)


def test_covered_pipe_counts_whole():
    # 100 ft of 4 in corrugated, 4.6 in outside: 0.1154 ft2 x 100 ft = 11.54 ft3
    volume = pipe_in_layer_ft3(np.array([100.0]), np.array([2.0]), np.array([1.0]), np.array([4.6 / 12]))
    assert volume[0] == pytest.approx(11.54, abs=0.005)


@given(st.floats(-0.2, 0.8), st.floats(-0.2, 0.8))
def test_pipe_partly_in_a_layer_agrees_with_fine_slices(first, last):
    diameter, slices = 0.5, 4000
    middle = first + (last - first) * (np.arange(slices) + 0.5) / slices
    fine = segment_area_ft2(middle, np.full(slices, diameter)).mean()
    volume = pipe_in_layer_ft3(np.array([1.0]), np.array([first]), np.array([last]), np.array([diameter]))[0]
    assert volume == pytest.approx(fine, abs=2e-6)


def test_common_earth_swells_by_a_quarter():
    # US Army FM 5-434 Table 1-2, loam / common earth: 1.25 loose per bank (from memory). 7.407 bank yd3 -> 9.26 loose.
    assert loose_yd3(200 / 27, 1.25) == pytest.approx(9.26, abs=0.005)


@pytest.mark.parametrize(("swell", "loose"), [(1.11, 111.0), (1.43, 143.0)])
def test_sand_and_clay_swell_as_printed(swell, loose):
    # Same table: sand 1.11, clay 1.43 (from memory).
    assert loose_yd3(100.0, swell) == pytest.approx(loose, abs=1e-9)


@pytest.mark.parametrize(("bank", "swell"), [(-1, 1.25), (float("nan"), 1.25), (1, 0.9), (1, float("inf"))])
def test_nonsense_is_refused(bank, swell):
    with pytest.raises(ValueError, match="must be"):
        loose_yd3(bank, swell)


def test_a_circle_needs_a_diameter():
    with pytest.raises(ValueError, match="diameter_ft"):
        segment_area_ft2(np.array([1.0]), np.array([0.0]))
