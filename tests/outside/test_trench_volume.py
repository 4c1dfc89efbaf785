"""Trench volume by stationing against closed-form prisms, a survey handbook, and a geometry library."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.model import Run
from drainsketch.network.prisms import cut_area_ft2, dug_ft
from tests.takeoff.small_jobs import all_lines, basin, flat, job_of, outfall


def trench_volume_ft3(station_ft: np.ndarray, cut_ft: np.ndarray, width_ft: float) -> float:
    """Sum the areas that the takeoff sums, over a whole run."""
    return width_ft * float(cut_area_ft2(np.diff(station_ft), cut_ft[:-1], cut_ft[1:]).sum())


def line(*values: float) -> np.ndarray:
    return np.array(values, dtype=float)


def test_average_end_area_example_of_the_surveying_handbook():
    # Ghilani & Wolf, Elementary Surveying, Example 26.1 (from memory, recomputed): end areas 711 and 515 ft2, 100 ft apart:
    # 2,270 yd3. A trench 1 ft wide has the end area in its cut.
    assert trench_volume_ft3(line(0, 100), line(711, 515), 1.0) / 27 == pytest.approx(2270, abs=1)


def test_average_end_area_of_50_and_70_ft2():
    # V = L (A1 + A2) / 2 = 6,000 ft3 = 222.22 yd3
    volume = trench_volume_ft3(line(0, 100), line(50, 70), 1.0)
    assert volume == pytest.approx(6000, abs=1e-9)
    assert volume / 27 == pytest.approx(222.22, abs=0.005)


def test_foot_wide_trench_from_18_to_30_inches_deep():
    # Closed form: 1 ft x 100 ft x (1.5 + 2.5) / 2 = 200 ft3
    assert trench_volume_ft3(line(0, 100), line(1.5, 2.5), 1.0) == 200.0


def test_constant_cut_is_a_box():
    station = np.linspace(0, 62, 63)
    assert trench_volume_ft3(station, np.full(63, 1.85), 1.0) == pytest.approx(62 * 1.85, rel=1e-12)


def test_cut_that_runs_out_of_the_ground_is_a_wedge():
    # From 2 ft deep to 1 ft above ground over 30 ft: open over 20 ft, a triangle: 20 x 2 / 2 = 20 ft2
    assert trench_volume_ft3(line(0, 30), line(2, -1), 0.75) == pytest.approx(15.0, rel=1e-12)
    assert trench_volume_ft3(line(0, 30), line(-1, 2), 0.75) == pytest.approx(15.0, rel=1e-12)
    assert dug_ft(line(30), line(2), line(-1))[0] == pytest.approx(20.0, rel=1e-12)


def test_trench_above_ground_all_along_counts_nothing():
    assert trench_volume_ft3(line(0, 10, 20), line(-1, -0.2, -3), 1.0) == 0.0


def test_average_depth_times_length_would_be_wrong_where_the_cut_crosses_zero():
    # The mean of +2 and -1 is 0.5 ft x 30 ft = 15 ft2; the true area is 20 ft2.
    assert trench_volume_ft3(line(0, 30), line(2, -1), 1.0) == pytest.approx(20.0)


def test_parabolic_bottom_converges_to_the_integral():
    # cut = 1 + x (40 - x) / 400 over 40 ft: integral 40 + 40^3 / 2400 = 66.667 ft2
    station = np.linspace(0, 40, 41)
    assert trench_volume_ft3(station, 1 + station * (40 - station) / 400, 1.0) == pytest.approx(200 / 3, rel=3e-4)


cuts = st.lists(st.floats(-6, 12), min_size=2, max_size=40)


@given(cuts, st.floats(0.25, 5), st.floats(0.1, 3))
def test_volume_agrees_with_the_area_of_a_clipped_polygon(cut, width, step):
    """A second method: the geometry library cuts the long section at ground level."""
    station = np.arange(len(cut)) * step
    area = 0.0
    for (a, p), (b, q) in pairwise(zip(station, cut, strict=True)):
        section = shapely.Polygon([(a, -50), (a, p), (b, q), (b, -50)])
        area += section.intersection(shapely.box(a - 1, 0, b + 1, 50)).area
    assert trench_volume_ft3(station, np.array(cut), width) == pytest.approx(area * width, rel=1e-9, abs=1e-9)


@given(cuts, st.data())
def test_volume_is_the_sum_of_its_parts_wherever_it_is_split(cut, data):
    station, cut = np.arange(len(cut), dtype=float), np.array(cut)
    at = data.draw(st.floats(0.001, station[-1] - 0.001))
    level = np.interp(at, station, cut)
    left, right = station < at, station > at
    parts = trench_volume_ft3(np.append(station[left], at), np.append(cut[left], level), 1.5) + trench_volume_ft3(
        np.append(at, station[right]), np.append(level, cut[right]), 1.5
    )
    assert trench_volume_ft3(station, cut, 1.5) == pytest.approx(parts, rel=1e-9, abs=1e-6)


@given(cuts, st.floats(0.25, 4), st.floats(1, 5))
def test_volume_scales_with_width(cut, width, times):
    station, cut = np.arange(len(cut), dtype=float), np.array(cut)
    one = trench_volume_ft3(station, cut, width)
    assert trench_volume_ft3(station, cut, width * times) == pytest.approx(one * times, rel=1e-12)


@given(cuts)
def test_trench_is_the_same_from_either_end(cut):
    station, cut = np.arange(len(cut), dtype=float), np.array(cut)
    assert trench_volume_ft3(station, cut[::-1].copy(), 1.0) == pytest.approx(
        trench_volume_ft3(station, cut, 1.0), abs=1e-9
    )


@given(cuts, st.floats(0, 3))
def test_a_deeper_trench_is_never_smaller(cut, deeper):
    station, cut = np.arange(len(cut), dtype=float), np.array(cut)
    assert trench_volume_ft3(station, cut + deeper, 1.0) >= trench_volume_ft3(station, cut, 1.0) - 1e-9


def test_intervals_of_no_length_count_nothing():
    assert cut_area_ft2(line(0), line(3), line(3))[0] == 0.0
    assert dug_ft(line(5), line(0), line(0))[0] == 0.0


def test_holes_and_trenches_are_the_union_of_their_outlines():
    """On flat ground with everything dug to one depth the volume is the area of the union, by the geometry library."""
    # No sump and no beds; holes reach the trench bottom: 2 ft and the wall of 0.12 in = 2.01 ft.
    job = job_of(
        [basin("A", 0, 0), basin("B", 30, 0, size_in=24), basin("C", 30, 18, size_in=9), outfall("O", 55, 0)],
        [Run(id=f"R{i}", start=a, end=b) for i, (a, b) in enumerate((("A", "B"), ("C", "B"), ("B", "O")))],
        basin_sump_in=0,
        basin_bed_in=0,
    )
    lines = {x.item: x for x in all_lines(job, flat(100), dict.fromkeys(("R0", "R1", "R2"), (98.0, 98.0)))}
    trenches = [shapely.box(0, -0.5, 55, 0.5), shapely.box(29.5, 0, 30.5, 18)]
    holes = [shapely.box(-1, -1, 1, 1), shapely.box(28.5, -1.5, 31.5, 1.5), shapely.box(29.125, 17.125, 30.875, 18.875)]
    area = shapely.union_all(trenches + holes).area
    dug = lines["trench_solid"].quantity + lines["basin_holes"].quantity
    assert dug * 27 == pytest.approx(area * 2.01, rel=1e-9)
