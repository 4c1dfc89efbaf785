"""A storm as it is played, against closed forms of the handbook and a general solver of differential equations."""

from math import sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from drainsketch.water.storm.links import Grates, Passes, Soaks
from tests.water.storm.places import FIRST, levels_over, one, state, system, tank

OFF = np.array([-1])


def test_a_tank_empties_over_a_weir_in_the_time_of_the_closed_form() -> None:
    """A dh/dt = -C L h^1.5: t = 2 A / (C L) (h^-0.5 - h0^-0.5). Source: falling head over a weir, hydraulics handbooks (from memory)."""
    over = Passes(FIRST, OFF, one(100.0), one(5.0), one(0.0))
    pond = system([tank(99.0, 600.0)], passes=over)
    levels = levels_over(pond, state(pond, [100.5]), lambda _: [0.0], 1.0, 600)[:, 0] - 100.0
    for step in (60, 300, 600):
        h = float(levels[step])
        assert 2 * 600 / (3.0 * 5.0) * (h**-0.5 - 0.5**-0.5) == pytest.approx(1.0 * step, rel=0.015)


def test_a_tank_empties_through_a_drowned_grate_in_the_time_of_the_closed_form() -> None:
    """t = 2 A (h0^0.5 - h^0.5) / (Cd a (2 g)^0.5). Source: time to empty a tank through an orifice, hydraulics handbooks (from memory).

    The edge is so long that the orifice of 0.1 ft2 governs at every depth reached; the box below is endless.
    """
    grate = Grates(FIRST, np.array([1]), one(100.0), one(0.1), one(500.0), one(1.0))
    pond = system([tank(99.0, 400.0)], fixed_ft=[50.0], grates=grate)
    levels = levels_over(pond, state(pond, [101.0]), lambda _: [0.0], 10.0, 60)[:, 0] - 100.0
    for step in (6, 30, 60):
        h = float(levels[step])
        lasts = 2 * 400 * (1 - sqrt(h)) / (0.67 * 0.1 * sqrt(64.4))
        assert lasts == pytest.approx(10.0 * step, rel=0.01)


def test_a_flood_runs_through_a_pond_as_a_general_solver_has_it() -> None:
    """A hydrograph through two ponds in a row, each with a weir: scipy's adaptive Runge-Kutta (order 5) on the same equations."""

    def comes(seconds: float) -> float:
        return 0.8 * np.sin(np.pi * seconds / 2_400) ** 2 if seconds < 2_400 else 0.0

    def rate(seconds: float, h: np.ndarray) -> list[float]:
        out = [3.0 * w * max(x - z, 0.0) ** 1.5 for w, x, z in zip((4.0, 2.0), h, (100.0, 98.0), strict=True)]
        return [(comes(seconds) - out[0]) / 500.0, (out[0] - out[1]) / 900.0]

    exact = solve_ivp(rate, (0, 3_600), [99.9, 97.8], rtol=1e-8, atol=1e-10, dense_output=True, max_step=10.0)
    over = Passes(np.array([0, 1]), np.array([1, -1]), np.array([100.0, 98.0]), np.array([4.0, 2.0]), np.zeros(2))
    ponds = system([tank(99.0, 500.0), tank(97.0, 900.0)], passes=over)
    levels = levels_over(ponds, state(ponds, [99.9, 97.8]), lambda s: [comes(s), 0.0], 10.0, 360)
    for step in range(0, 361, 30):
        assert levels[step] == pytest.approx(exact.sol(10.0 * step), abs=0.003)


def test_two_ponds_beside_each_other_come_level_over_their_saddle_as_a_general_solver_has_it() -> None:
    """One stands 0.6 ft over the saddle, the other is empty: trapezoidal weir, drowned as Villemonte has it, both ways."""

    def rate(seconds: float, h: np.ndarray) -> list[float]:
        heads = [max(x - 100.0, 0.0) for x in h]
        high, low = max(heads), min(heads)
        runs = 3.0 * (5.0 + 0.8 * 30.0 * high) * high**1.5 * (1 - (low / high) ** 1.5) ** 0.385 if high > 0 else 0.0
        runs = runs if heads[0] > heads[1] else -runs
        return [-runs / 400.0, runs / 900.0]

    exact = solve_ivp(rate, (0, 300), [100.6, 99.9], rtol=1e-7, atol=1e-9, dense_output=True, max_step=0.5)
    over = Passes(FIRST, np.array([1]), one(100.0), one(5.0), one(30.0))
    ponds = system([tank(99.0, 400.0), tank(99.0, 900.0)], passes=over)
    levels = levels_over(ponds, state(ponds, [100.6, 99.9]), lambda _: [0.0, 0.0], 0.5, 600)
    for step in (20, 60, 120, 600):
        assert levels[step] == pytest.approx(exact.sol(0.5 * step), abs=0.006)
    assert levels[-1][0] == pytest.approx(levels[-1][1], abs=0.002)


def test_a_pit_fills_and_is_drunk_as_volume_says() -> None:
    """0.01 cfs in for 1,000 s and 0.002 cfs soaking all the while over a floor of 20 ft2: 8 ft3, 0.4 ft; then dry after 4,000 s more."""
    soil = Soaks(FIRST, one(90.0), one(0.002))
    pit = system([tank(90.0, 20.0)], soaks=soil)
    levels = levels_over(pit, state(pit, [90.0]), lambda s: [0.01 if s < 1_000 else 0.0], 10.0, 520)[:, 0] - 90.0
    assert levels[100] == pytest.approx(0.4, abs=0.01)  # less was drunk while the floor was not yet wet
    assert levels[300] == pytest.approx(0.2, abs=0.012)
    assert levels[520] < 0.02
