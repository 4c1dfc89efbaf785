"""Flow between places: pipe against the general library of hydraulics, grates and passes against their formulas."""

from math import pi, sqrt

import numpy as np
import pytest
from fluids.open_flow import V_Manning
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.water.grates import grate_flow_cfs
from drainsketch.water.storm.links import MOUTH_DEPTHS, Grates, Passes, Pipes, Soaks

FT_M = 0.3048
ENDLESS = np.full((1, 5), 1e6)


def pipe(fall_ft: float = 1.0, length_ft: float = 50.0, lost: float = 0.0, one_way: float = 0.0) -> Pipes:
    one = np.array([0])
    return Pipes(
        one,
        one,
        np.array([100.0 + fall_ft]),
        np.array([100.0]),
        np.array([0.5]),
        np.array([0.012]),
        np.array([length_ft]),
        np.ones(1),
        np.array([lost]),
        ENDLESS,
        np.array([one_way]),
    )


def flow(p: Pipes, up_ft: float, down_ft: float) -> float:
    return float(p.flows(np.array([up_ft]), np.array([down_ft]))[0])


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.8])
def test_pipe_that_nothing_holds_back_runs_at_steady_depth(share: float) -> None:
    """Manning's velocity by `fluids` (SI), from the hydraulic radius of the segment by plane geometry."""
    angle = 2 * np.arccos(1 - 2 * share)
    area, radius = 0.5**2 / 8 * (angle - np.sin(angle)), 0.5 / 4 * (1 - np.sin(angle) / angle)
    velocity = V_Manning(Rh=radius * FT_M, S=1.0 / 50.0, n=0.012) / FT_M
    assert flow(pipe(), 101.0 + 0.5 * share, 90.0) == pytest.approx(velocity * area, rel=0.004)


def test_full_pipe_runs_by_the_difference_of_level() -> None:
    """104.0 to 102.0 over 50 ft, both ends drowned: hf = [Q n / (1.486 A R^(2/3))]^2 L, the other way round."""
    conveyance = 1.486 / 0.012 * pi / 16 * (0.5 / 4) ** (2 / 3)
    assert flow(pipe(), 104.0, 102.0) == pytest.approx(conveyance * sqrt(2.0 / 50.0), rel=1e-3)


def test_losses_count_as_velocity_heads() -> None:
    """2.0 ft between the levels are friction and 1.5 velocity heads together."""
    q = flow(pipe(lost=1.5), 104.0, 102.0)
    friction = (q / (1.486 / 0.012 * pi / 16 * (0.5 / 4) ** (2 / 3))) ** 2 * 50
    assert friction + 1.5 * (q / (pi / 16)) ** 2 / 64.4 == pytest.approx(2.0, rel=2e-3)


def test_water_runs_back_only_where_it_may() -> None:
    assert flow(pipe(), 101.0, 103.0) < -0.1
    assert flow(pipe(one_way=1.0), 101.0, 103.0) == 0.0
    assert flow(pipe(), 102.0, 102.0) == 0.0


def test_a_mouth_lets_no_more_in_than_it_takes() -> None:
    p = pipe(fall_ft=10.0)
    small = Pipes(*(getattr(p, f) for f in p.__struct_fields__[:9]), np.linspace(0, 0.4, 5)[None], p.one_way)
    assert flow(small, 110.0 + MOUTH_DEPTHS * 0.5, 90.0) == pytest.approx(0.4)
    assert flow(small, 110.25, 90.0) == pytest.approx(0.1, rel=0.01)
    assert flow(small, 114.0, 90.0) == pytest.approx(0.4 * sqrt((8 - 0.5) / 1.5), rel=0.01)  # an orifice from there on


@given(
    fall=st.floats(-2, 5),
    length=st.floats(0.1, 500),
    up=st.floats(95, 110),
    down=st.floats(95, 110),
    lost=st.floats(0, 4),
)
def test_levels_drive_flow_one_way_and_never_to_no_number(
    fall: float, length: float, up: float, down: float, lost: float
) -> None:
    p = pipe(fall, length, lost)
    q = flow(p, up, down)
    assert np.isfinite(q)
    assert q * (up - down) >= 0  # never from the lower level to the higher
    assert flow(p, up + 0.1, down) >= q - 1e-9
    assert flow(p, up, down + 0.1) <= q + 1e-9


def test_grates_take_water_in_and_let_it_out() -> None:
    one = np.array([0])
    g = Grates(one, one, np.array([100.0]), np.array([0.3]), np.array([2.0]), np.ones(1))

    def at(ground_ft: float, box_ft: float) -> float:
        return float(g.flows(np.array([ground_ft]), np.array([box_ft]))[0])

    assert at(100.2, 98.0) == pytest.approx(grate_flow_cfs(0.2, 0.3, 2.0, clogged=0.0))
    assert at(100.2, 100.1) == pytest.approx(grate_flow_cfs(0.1, 0.3, 2.0, clogged=0.0))
    assert at(99.0, 100.2) == pytest.approx(-grate_flow_cfs(0.2, 0.3, 2.0, clogged=0.0))
    assert at(99.9, 98.0) == 0.0 == at(99.0, 99.9)


def test_passes_are_weirs_and_soils_take_their_rate() -> None:
    def over(side: float, here_ft: float, there_ft: float) -> float:
        one = np.array([0])
        made = Passes(one, one, np.array([100.0]), np.array([5.0]), np.array([side]))
        return float(made.flows(np.array([here_ft]), np.array([there_ft]))[0])

    assert over(0.0, 100.25, 0.0) == pytest.approx(3.0 * 5.0 * 0.125)  # 0.25^1.5
    assert over(10.0, 100.25, 0.0) == pytest.approx(3.0 * (5.0 + 0.8 * 10.0 * 0.25) * 0.125)
    assert over(0.0, 99.0, 98.0) == 0.0
    assert over(0.0, 100.1, 100.25) == -over(0.0, 100.25, 100.1) < 0  # from the higher water to the lower
    assert 0 < over(0.0, 100.25, 100.2) < over(0.0, 100.25, 99.0)
    assert over(0.0, 100.3, 100.3) == 0.0
    soil = Soaks(np.array([0]), np.array([95.0]), np.array([0.01]))
    assert soil.flows(np.array([96.0]), np.zeros(1))[0] == pytest.approx(0.01)
    assert soil.flows(np.array([95.0]), np.zeros(1))[0] == 0.0
