"""Properties of flow in round pipe over random pipes, and the corners: nothing flows, nothing falls, the pipe is full."""

from math import inf, isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.water.circular import (
    critical_depth_ft,
    flow_cfs,
    friction_slope,
    full_flow_cfs,
    normal_depth_ft,
    section,
    velocity_ft_s,
)

diameters = st.floats(0.2, 4.0)
slopes = st.floats(1e-6, 2.0)
roughs = st.floats(0.008, 0.03)
shares = st.floats(1e-6, 1.0)
more = st.floats(1.001, 3.0)


@given(diameters, slopes, roughs, more)
def test_capacity_grows_with_slope_and_size_and_falls_with_roughness(d, slope, n, by):
    full = full_flow_cfs(d, slope, n)
    assert full_flow_cfs(d, slope * by, n) > full
    assert full_flow_cfs(d * by, slope, n) > full
    assert full_flow_cfs(d, slope, n * by) < full


@given(diameters, slopes, roughs, shares, st.floats(0.0, 0.999))
def test_depths_grow_with_flow_and_stay_in_the_pipe(d, slope, n, share, less):
    q = share * full_flow_cfs(d, slope, n)
    normal, smaller = normal_depth_ft(q, d, slope, n), normal_depth_ft(q * less, d, slope, n)
    assert 0 <= smaller < normal <= 0.8197 * d
    assert 0 <= critical_depth_ft(q * less, d) < critical_depth_ft(q, d) <= d


@given(diameters, slopes, roughs, shares)
def test_what_runs_at_normal_depth_is_the_flow(d, slope, n, share):
    q = share * full_flow_cfs(d, slope, n)
    depth = normal_depth_ft(q, d, slope, n)
    assert flow_cfs(d, depth, slope, n) == pytest.approx(q, rel=1e-9)
    assert friction_slope(q, d, n, depth) == pytest.approx(slope, rel=1e-9)
    assert velocity_ft_s(q, d, depth) * section(d, depth).area_ft2 == pytest.approx(q)


@given(diameters, slopes, roughs, more)
def test_more_than_the_full_pipe_carries_has_no_normal_depth(d, slope, n, by):
    full = full_flow_cfs(d, slope, n)
    assert normal_depth_ft(full * by, d, slope, n) is None
    assert normal_depth_ft(full, d, slope, n) == pytest.approx(0.8196 * d, rel=1e-3)
    assert friction_slope(full * by, d, n) == pytest.approx(slope * by**2)


@given(diameters, roughs, st.floats(0, 1e4), st.floats(-1.0, 0.0), st.floats(-1.0, 20.0))
def test_corners_give_numbers(d, n, q, no_fall, depth):
    assert full_flow_cfs(d, no_fall, n) == flow_cfs(d, depth, no_fall, n) == 0
    assert normal_depth_ft(q, d, no_fall, n) == (0.0 if q == 0 else None)
    assert normal_depth_ft(0.0, d, no_fall, n) == critical_depth_ft(0.0, d) == friction_slope(0.0, d, n, depth) == 0
    assert 0 <= critical_depth_ft(q, d) <= d
    assert velocity_ft_s(q, d, depth) >= 0
    assert friction_slope(q, d, n, depth) >= 0
    wet = section(d, depth)
    assert 0 <= wet.depth_ft <= d
    assert isfinite(wet.radius_ft)


def test_a_dry_section_carries_nothing():
    assert section(0.5, 0.0).radius_ft == 0
    assert velocity_ft_s(1.0, 0.5, 0.0) == 0
    assert friction_slope(1.0, 0.5, 0.012, 0.0) == inf


@pytest.mark.parametrize("q", [1e-250, 1e-30, 1e-12, 1e-6])
def test_a_trickle_keeps_its_digits(q):
    depth = normal_depth_ft(q, 0.5, 0.01, 0.012)
    assert 0 < depth < 0.01
    assert flow_cfs(0.5, depth, 0.01, 0.012) == pytest.approx(q, rel=1e-9)
    assert 0 < critical_depth_ft(q, 0.5) < 0.01


@given(st.floats(1e-3, 1e3), diameters)
def test_critical_depth_is_that_of_least_energy(q, d):
    depth = critical_depth_ft(q, d)

    def energy(y: float) -> float:
        return y + velocity_ft_s(q, d, y) ** 2 / 64.4

    for other in (depth * 0.98, min(depth * 1.02, (depth + d) / 2)):
        assert energy(other) >= energy(depth) - 1e-12 * energy(depth)
