"""Properties of the grade line over random runs: never below what it must hold, and more water never shows less."""

from math import inf, isfinite, nextafter

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from drainsketch.water.backwater import grade_line
from drainsketch.water.circular import critical_depth_ft, friction_slope, full_flow_cfs, normal_depth_ft

LINE_FT = 1 / 16 / 12  # how far a curve drawn from knot to knot may be off

diameters = st.sampled_from([0.25, 1 / 3, 0.5, 2 / 3, 1.0])
roughs = st.sampled_from([0.009, 0.010, 0.012, 0.018, 0.020])
slopes = st.one_of(st.just(0.0), st.floats(-0.02, 0.02), st.floats(0.0, 0.5))
leg_lists = st.lists(st.tuples(st.floats(0.5, 150.0), slopes), min_size=1, max_size=3).map(tuple)
flows = st.one_of(st.just(0.0), st.floats(-6.0, 0.7).map(lambda power: 10**power))  # over d^2.5
levels = st.floats(-2.0, 6.0)  # over d, above the lower invert
wholes = st.floats(0.0, 1.0)


def stations(line, share):
    return [*line.station_ft, share * line.station_ft[-1]]


@example(10**-0.9375, 1.01, ((21.664598502689746, 0.0005), (1.0, 0.0)), 0.25, 0.01)
@given(flows, levels, leg_lists, diameters, roughs)
def test_lines_are_numbers_above_the_invert_with_the_energy_on_top(flow, level, legs, d, n):
    line = grade_line(flow * d**2.5, level * d, 0.0, legs, d, n)
    assert line.station_ft == tuple(sorted(line.station_ft))
    assert line.station_ft[0] == 0
    assert line.station_ft[-1] == pytest.approx(sum(length for length, _ in legs))
    for invert, hgl, egl in zip(line.invert_ft, line.hgl_ft, line.egl_ft, strict=True):
        assert isfinite(egl)
        assert invert <= hgl + 1e-12
        assert hgl <= egl
    assert line.hgl_ft[0] >= level * d


@given(flows, levels, leg_lists, diameters, roughs)
def test_water_is_at_least_as_deep_as_steady_or_critical_flow(flow, level, legs, d, n):
    q = flow * d**2.5
    line = grade_line(q, level * d, 0.0, legs, d, n)
    critical = critical_depth_ft(q, d)
    at = low = 0.0
    for length, slope in legs:
        normal = normal_depth_ft(q, d, slope, n)
        least = critical if normal is None else min(normal, critical)
        for s in (at, at + length / 3, at + length):
            assert line.hgl_at(s) >= low + slope * (s - at) + least - LINE_FT
        at, low = at + length, low + slope * length
    assert line.hgl_ft[-1] >= low + critical - 1e-9  # at the top water enters the pipe


@given(flows, levels, leg_lists, diameters, roughs, st.floats(1.001, 4.0), wholes)
def test_more_flow_never_stands_lower(flow, level, legs, d, n, by, share):
    q = flow * d**2.5
    line, more = grade_line(q, level * d, 0.0, legs, d, n), grade_line(q * by, level * d, 0.0, legs, d, n)
    for s in stations(line, share):
        assert more.hgl_at(s) >= line.hgl_at(s) - LINE_FT


@given(flows, levels, leg_lists, diameters, roughs, st.floats(0.0, 2.0), wholes)
def test_a_higher_outlet_never_stands_lower(flow, level, legs, d, n, rise, share):
    q = flow * d**2.5
    line, more = grade_line(q, level * d, 0.0, legs, d, n), grade_line(q, (level + rise) * d, 0.0, legs, d, n)
    for s in stations(line, share):
        assert more.hgl_at(s) >= line.hgl_at(s) - LINE_FT


@given(flows, leg_lists, diameters, roughs, wholes)
def test_nothing_jumps_where_the_level_comes_to_the_crown(flow, legs, d, n, share):
    q = flow * d**2.5
    below, at, above = (grade_line(q, level, 0.0, legs, d, n) for level in (nextafter(d, 0), d, nextafter(d, inf)))
    for s in stations(at, share):
        assert below.hgl_at(s) == pytest.approx(at.hgl_at(s), abs=LINE_FT)
        assert above.hgl_at(s) == pytest.approx(at.hgl_at(s), abs=LINE_FT)


@given(st.floats(0.0005, 0.003), diameters, roughs, st.floats(-1e-6, 1e-6), wholes)
def test_nothing_jumps_where_a_mild_pipe_becomes_full(slope, d, n, off, share):
    q = full_flow_cfs(d, slope, n)
    assume(critical_depth_ft(q, d) < 0.81 * d)
    lines = [grade_line(q * by, 0.0, 0.0, ((100.0, slope),), d, n) for by in (1.0, 1.0 + off)]
    assert lines[0].hgl_at(100 * share) == pytest.approx(lines[1].hgl_at(100 * share), abs=2 * LINE_FT)


@given(st.floats(0.1, 2.0), st.floats(1.0, 6.0), st.floats(-0.02, 0.02), diameters, roughs)
def test_under_pressure_the_line_rises_by_friction_alone(flow, level, slope, d, n):
    q = flow * d**2.5
    length = 40.0
    lost = friction_slope(q, d, n) * length
    assume(min(level * d, level * d + lost - slope * length) > d)
    line = grade_line(q, level * d, 0.0, ((length, slope),), d, n)
    assert line.hgl_at(length) == pytest.approx(level * d + lost)


@given(levels, leg_lists)
def test_without_flow_water_stands_level_behind_what_holds_it(level, legs):
    line = grade_line(0.0, level, 0.0, legs, 0.5, 0.012)
    assert line.hgl_ft == line.egl_ft
    highest = max(level, 0.0)
    for invert, hgl in zip(line.invert_ft, line.hgl_ft, strict=True):
        highest = max(highest, invert)
        assert hgl == pytest.approx(highest)


def test_pipe_cut_in_legs_of_one_slope_is_one_pipe():
    for q, level in ((0.05, -1.0), (0.3, 1.5), (0.3, 0.4), (1.2, 0.7)):
        whole = grade_line(q, level, 0.0, ((90.0, 0.004),), 0.5, 0.012)
        cut = grade_line(q, level, 0.0, ((30.0, 0.004), (0.0, 9.0), (45.0, 0.004), (15.0, 0.004)), 0.5, 0.012)
        for s in range(0, 91, 5):
            assert cut.hgl_at(s) == pytest.approx(whole.hgl_at(s), abs=LINE_FT)


def test_a_run_of_no_length_has_one_station():
    line = grade_line(0.3, 97.0, 97.0, (), 0.5, 0.012)
    assert line.station_ft == (0.0,)
    assert line.hgl_ft[0] == pytest.approx(97.0 + critical_depth_ft(0.3, 0.5))
    assert line.hgl_at(5.0) == line.hgl_at(-5.0) == line.hgl_ft[0]
    assert line.egl_at(0.0) > line.hgl_at(0.0)
