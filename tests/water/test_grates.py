"""Properties of inlets over random grates and pipe mouths."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.water.grates import grate_flow_cfs, mouth_flow_cfs, mouth_head_ft, ponded

areas, edges = st.floats(0.05, 6.0), st.floats(0.5, 12.0)
flows, depths = st.floats(1e-4, 10.0), st.floats(1e-3, 5.0)
blocked = st.floats(0.0, 0.95)
more = st.floats(1.001, 3.0)
diameters = st.floats(0.2, 2.0)


@given(flows, areas, edges, blocked)
def test_depth_and_flow_are_each_other_the_other_way_round(q, area, edge, clogged):
    assert grate_flow_cfs(ponded(q, area, edge, clogged).depth_ft, area, edge, clogged) == pytest.approx(q)


@given(depths, areas, edges, blocked, more)
def test_a_grate_takes_more_when_deeper_larger_and_cleaner(depth, area, edge, clogged, by):
    takes = grate_flow_cfs(depth, area, edge, clogged)
    assert grate_flow_cfs(depth * by, area, edge, clogged) > takes
    assert grate_flow_cfs(depth, area * by, edge * by, clogged) > takes
    assert grate_flow_cfs(depth, area, edge, clogged / by) >= takes
    assert grate_flow_cfs(depth, area * by, edge, clogged) >= takes


@given(areas, edges, blocked)
def test_what_governs_changes_at_the_switch_depth(area, edge, clogged):
    depth = 0.67 * 64.4**0.5 / 3.0 * area / edge  # both formulas set equal
    assert ponded(grate_flow_cfs(depth * 0.99, area, edge, clogged), area, edge, clogged).governs == "weir"
    assert ponded(grate_flow_cfs(depth * 1.01, area, edge, clogged), area, edge, clogged).governs == "orifice"


def test_corners_of_a_grate():
    assert ponded(0.0, 0.5, 4.0).depth_ft == 0
    assert ponded(0.0, 0.5, 4.0, clogged=1.0).depth_ft == 0
    assert ponded(0.1, 0.5, 4.0, clogged=1.0).depth_ft == inf
    assert ponded(0.1, 0.0, 0.0).depth_ft == inf
    assert (
        grate_flow_cfs(-0.1, 0.5, 4.0)
        == grate_flow_cfs(0.0, 0.5, 4.0)
        == grate_flow_cfs(1.0, 0.5, 4.0, clogged=1.0)
        == 0
    )


@given(st.floats(1e-5, 20.0), diameters, st.sampled_from([0.2, 0.5, 0.9]))
def test_head_and_flow_of_a_mouth_are_each_other_the_other_way_round(head, d, entry):
    q = mouth_flow_cfs(head, d, entry)
    assert q > 0
    assert mouth_head_ft(q, d, entry) == pytest.approx(head, rel=1e-6)


@given(st.floats(1e-5, 20.0), diameters, more)
def test_a_mouth_takes_more_under_more_head_and_when_larger(head, d, by):
    assert mouth_flow_cfs(head * by, d) > mouth_flow_cfs(head, d)
    assert mouth_flow_cfs(head, d * by) > mouth_flow_cfs(head, d) * (1 - 1e-9)


def test_corners_of_a_mouth():
    assert mouth_flow_cfs(0.0, 0.5) == mouth_flow_cfs(-1.0, 0.5) == mouth_head_ft(0.0, 0.5) == 0
    assert mouth_head_ft(1e-250, 0.5) >= 0
