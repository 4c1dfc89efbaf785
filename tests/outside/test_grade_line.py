"""Grade lines against an example worked by hand, printed loss tables, and an integrator of the textbook equation."""

from itertools import product
from math import acos, pi, sqrt

import numpy as np
import pytest
from fluids import V_Manning
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from drainsketch.water.backwater import grade_line
from drainsketch.water.circular import critical_depth_ft, full_flow_cfs, normal_depth_ft, section
from drainsketch.water.losses import entry_k, turn_k, velocity_head_ft


def test_two_pipes_under_pressure_with_their_losses():
    # Worked by hand by the rules of TxDOT Hydraulic Design Manual ch. 6 sec. 3 (upstream; friction, then structure):
    # water outside 99.00; 6 in, 100 ft, n 0.012, 0.75 cfs: V 3.820, head 0.2266, Sf 0.01522, friction 1.522; junction k 1.00;
    # 4 in, 50 ft, n 0.012, 0.25 cfs: V 2.865, head 0.1274, Sf 0.01470, friction 0.735; inlet at the top k 0.50.
    lower = grade_line(0.75, 99.00, 97.00, ((100.0, 0.01),), 0.5, 0.012)
    assert lower.egl_ft[0] == pytest.approx(99.227, abs=6e-4)
    assert (lower.hgl_ft[-1], lower.egl_ft[-1]) == pytest.approx((100.522, 100.749), abs=6e-4)
    first = velocity_head_ft(0.75 / (pi / 4 * 0.5**2))
    assert first == pytest.approx(0.2266, abs=6e-5)
    junction = lower.egl_ft[-1] + turn_k(90, "junction") * first
    assert junction == pytest.approx(100.975, abs=6e-4)
    second = velocity_head_ft(0.25 / (pi / 4 * (1 / 3) ** 2))
    upper = grade_line(0.25, junction - second, 98.00, ((50.0, 0.01),), 1 / 3, 0.012)
    assert (upper.hgl_ft[0], upper.hgl_ft[-1], upper.egl_ft[-1]) == pytest.approx((100.848, 101.583, 101.711), abs=6e-4)
    assert upper.egl_ft[-1] + turn_k(0, "inlet") * second == pytest.approx(101.774, abs=6e-4)


def test_loss_coefficients_are_those_printed():
    # HEC-22 (3rd ed.) Table 7-5a (from memory); FHWA HDS-5 Table 12 for entrances.
    angles = (0, 22.5, 45, 60, 90)
    assert [turn_k(a, "inlet") for a in angles] == pytest.approx([0.50, 0.70, 1.10, 1.25, 1.50])
    assert [turn_k(a, "junction") for a in angles] == pytest.approx([0.15, 0.45, 0.75, 0.85, 1.00])
    assert (entry_k("square"), entry_k("projecting"), entry_k("socket")) == (0.5, 0.9, 0.2)


@pytest.mark.parametrize("slope", [-0.01, 0.0, 0.003])
def test_friction_under_pressure_is_that_of_a_general_library(slope):
    # `fluids` in meters, n scaled by what 1.486 is off its constant.
    d, q, n, length = 0.5, 0.75, 0.012, 80.0
    velocity = q / (pi / 4 * d**2) * 0.3048
    lost = brentq(
        lambda s: V_Manning(d / 4 * 0.3048, s, n * 0.3048 ** (-1 / 3) / 1.486) - velocity, 1e-9, 1.0, xtol=1e-15
    )
    line = grade_line(q, 3.0, 0.0, ((length, slope),), d, n)
    assert line.hgl_at(length) - line.hgl_at(0) == pytest.approx(lost * length, rel=1e-6)
    assert line.hgl_at(length / 2) == pytest.approx((line.hgl_at(0) + line.hgl_at(length)) / 2)


def textbook(q: float, d: float, slope: float, n: float, start_ft: float, along_ft: float):
    """Return depth along the pipe by dy/dx = (Sf - S) / (1 - F^2), x upward from the start (downward where negative).

    The equation of gradually varied flow as every text has it (Chow, Open-Channel Hydraulics, ch. 9, from memory); geometry
    from the chord, not from the angle, and integrated by scipy.
    """

    def rise(_: float, y: np.ndarray) -> list[float]:
        depth, r = min(float(y[0]), 0.9999 * d), d / 2
        top = 2 * sqrt(depth * (d - depth))
        area = r * r * acos((r - depth) / r) - (r - depth) * top / 2
        wetted = 2 * r * acos((r - depth) / r)
        friction = (q * n / (1.486 * area * (area / wetted) ** (2 / 3))) ** 2
        return [(friction - slope) / (1 - q * q * top / (32.2 * area**3))]

    return solve_ivp(rise, (0, along_ft), [start_ft], method="LSODA", rtol=1e-9, atol=1e-11, dense_output=True).sol


PIPES = ((0.25, 0.012), (1 / 3, 0.018), (0.5, 0.012), (0.5, 0.020))


def flows(slopes: tuple[float, ...], shares: tuple[float, ...]):
    """Return (diameter, n, slope, flow, critical depth, normal depth) for all pipes, shares being of the full flow."""
    for (d, n), slope, share in product(PIPES, slopes, shares):
        q = share * full_flow_cfs(d, slope, n)
        yield d, n, slope, q, critical_depth_ft(q, d), normal_depth_ft(q, d, slope, n)


MILD = [case for case in flows((0.0005, 0.001, 0.002, 0.004), (0.1, 0.3, 0.6, 0.9)) if case[4] * 1.02 < case[5]]
STEEP = [case for case in flows((0.02, 0.05, 0.1), (0.1, 0.3, 0.6)) if case[5] * 1.02 < case[4]]


@pytest.mark.parametrize(("d", "n", "slope", "q", "critical", "normal"), MILD)
def test_drawdown_to_a_free_outlet_is_that_of_the_textbook(d, n, slope, q, critical, normal):
    line, deep = grade_line(q, -9.0, 0.0, ((100.0, slope),), d, n), textbook(q, d, slope, n, critical * 1.0002, 100.0)
    for x in (1, 3, 10, 30, 60, 100):
        assert line.hgl_at(x) - slope * x == pytest.approx(float(deep(x)[0]), abs=1 / 16 / 12)


@pytest.mark.parametrize(("d", "n", "slope", "q", "critical", "normal"), STEEP)
def test_fast_water_runs_out_from_the_top_as_in_the_textbook(d, n, slope, q, critical, normal):
    line, deep = grade_line(q, -9.0, 0.0, ((100.0, slope),), d, n), textbook(q, d, slope, n, critical * 0.9998, -99.0)
    for x in (1, 3, 10, 30, 60):
        assert line.hgl_at(100 - x) - slope * (100 - x) == pytest.approx(float(deep(-x)[0]), abs=1 / 8 / 12)


@pytest.mark.parametrize(("d", "n", "slope", "q", "critical", "normal"), MILD)
def test_a_pool_reaches_at_least_as_far_as_in_the_textbook(d, n, slope, q, critical, normal):
    # The textbook wins velocity head back as water slows into the pool; the program does not count on it, and is above by no more
    # than the textbook's velocity head there. Started at 0.8 of the diameter: above that the textbook lets a pipe carry up to
    # 1.076 of full, the program full.
    start = max(0.8 * d, normal)
    line, deep = grade_line(q, start, 0.0, ((200.0, slope),), d, n), textbook(q, d, slope, n, start, 200.0)
    for x in (5, 20, 50, 100, 200):
        exact = float(deep(x)[0])
        head = (q / section(d, exact).area_ft2) ** 2 / 64.4
        assert -1 / 16 / 12 < line.hgl_at(x) - slope * x - exact < head + 1 / 16 / 12


@pytest.mark.parametrize("d", [0.25, 0.5])
@pytest.mark.parametrize("slope", [-0.002, 0.0, 0.0003])
@pytest.mark.parametrize("share", [0.2, 0.3, 0.4])  # more than full at all three slopes
def test_flat_and_backward_pipe_fills_up_as_in_the_textbook(d, slope, share):
    q = share * full_flow_cfs(d, 0.01, 0.012)
    assert normal_depth_ft(q, d, slope, 0.012) is None
    start = critical_depth_ft(q, d) * 1.0002
    line, deep = grade_line(q, -9.0, 0.0, ((60.0, slope),), d, 0.012), textbook(q, d, slope, 0.012, start, 60.0)
    compared = 0
    for x in np.linspace(1, 60, 30):
        exact = float(deep(x)[0])
        if exact < 0.8 * d:  # above, see the pool
            compared += 1
            assert line.hgl_at(x) - slope * x == pytest.approx(exact, abs=1 / 16 / 12)
    assert compared > 2


def test_a_pool_at_the_foot_of_steep_pipe_reaches_up_level_plus_friction():
    # By hand: 6 in at 5 %, pool 2 ft above the invert; little flow, so the pool is level and ends near 2.0/0.05 = 40 ft up.
    line = grade_line(0.02, 2.0, 0.0, ((100.0, 0.05),), 0.5, 0.010)
    assert line.hgl_at(35.0) == pytest.approx(2.0, abs=0.01)
    deep = normal_depth_ft(0.02, 0.5, 0.05, 0.010)
    assert line.hgl_at(60.0) == pytest.approx(3.0 + deep, abs=0.002)
