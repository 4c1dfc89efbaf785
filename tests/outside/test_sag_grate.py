"""Inlets against published formulas worked by hand, a worked example, and equations fitted to model tests."""

from math import pi

import pytest
from scipy.optimize import brentq

from drainsketch.water.circular import critical_depth_ft, section
from drainsketch.water.grates import Ponded, grate_flow_cfs, mouth_flow_cfs, mouth_head_ft, ponded

# TxDOT Hydraulic Design Manual ch. 10 sec. 6, eq. 10-30 and 10-31: Q = 3 P h^1.5, Q = 0.67 A (2 g h)^0.5; half of P and A.


def test_a_clean_foot_square_grate_worked_by_hand():
    # 12 x 12 in, edge 4.0 ft, open 0.50 ft2: at 0.10 ft the weir takes 0.379 cfs (orifice 0.850), at 0.25 ft the orifice 1.344 (weir 1.500).
    assert grate_flow_cfs(0.10, 0.50, 4.0, clogged=0) == pytest.approx(0.379, abs=5e-4)
    assert grate_flow_cfs(0.25, 0.50, 4.0, clogged=0) == pytest.approx(1.344, abs=5e-4)
    assert ponded(0.379, 0.50, 4.0, clogged=0).governs == "weir"
    assert ponded(1.344, 0.50, 4.0, clogged=0).governs == "orifice"


def test_the_published_sag_example():
    # HEC-22, grate in a sag (from memory): 6.71 cfs over 8.0 ft of edge that is left clear stands 0.428 ft deep at the grate.
    # The printed edge already leaves out what is clogged; the double 2 x 3 ft grate is wide open, so the weir governs.
    water = ponded(6.71, 6.0, 8.0, clogged=0)
    assert water.depth_ft == pytest.approx(0.428, abs=1e-3)
    assert water.governs == "weir"


def test_weir_and_orifice_change_over_where_both_formulas_meet():
    # 3.0 P d^1.5 = 0.67 A (64.4 d)^0.5 gives d = 0.67 * 8.02496 / 3.0 = 1.7922 times A/P.
    both = brentq(lambda d: 3.0 * 4.0 * d**1.5 - 0.67 * 0.5 * (64.4 * d) ** 0.5, 0.01, 1.0)
    assert both == pytest.approx(1.7922 * 0.5 / 4.0, rel=1e-4)
    for share, governs in ((0.999, "weir"), (1.001, "orifice")):
        flow = grate_flow_cfs(share * both, 0.5, 4.0, clogged=0)
        assert ponded(flow, 0.5, 4.0, clogged=0) == Ponded(pytest.approx(share * both), governs)


def test_half_clogged_takes_half_at_the_same_depth():
    for depth in (0.02, 0.1, 0.3, 1.0):
        assert grate_flow_cfs(depth, 0.5, 4.0) == pytest.approx(grate_flow_cfs(depth, 0.5, 4.0, clogged=0) / 2)


# FHWA HDS-5 Table A.1, circular pipe, square edge in a headwall (second-hand copy; slope term left out):
# short of drowned HW/D = Hc/D + 0.0098 X^2.0 up to X = 3.5, drowned HW/D = 0.0398 X^2 + 0.67 from X = 4.0; X = Q/(A D^0.5).
@pytest.mark.parametrize("d", [0.25, 1 / 3, 0.5, 1.0])
@pytest.mark.parametrize("x", [1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0])
def test_a_pipe_mouth_takes_what_culvert_models_took(d, x):
    q = x * pi / 4 * d**2 * d**0.5
    critical = critical_depth_ft(q, d)
    energy = critical + (q / section(d, critical).area_ft2) ** 2 / 64.4
    measured = d * (0.0398 * x**2 + 0.67) if x >= 4.0 else energy + d * 0.0098 * x**2
    head = mouth_head_ft(q, d)
    assert head == pytest.approx(measured, rel=0.12)  # two ways to say it; never more than 6 % on the light side
    assert head > 0.94 * measured
    assert mouth_flow_cfs(head, d) == pytest.approx(q, rel=1e-6)
