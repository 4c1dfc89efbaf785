"""Standing water: what holds for any ground."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from drainsketch.ground.ponding import cell_at
from drainsketch.ground.results import GroundStudy
from drainsketch.ground.routing import route
from drainsketch.ground.study import ground_study
from tests.ground.shapes import ground_of, house, inlet


def studied(seed: int, raised: float = 0.0) -> GroundStudy:
    """Return the study of bumpy ground with a house on it, all of it raised by so much."""
    bumps = np.random.default_rng(seed).integers(0, 512, (9, 9)) / 256
    study = ground_study(
        *ground_of(
            lambda x, y: 100 + raised + bumps[int(y + 20) // 5, int(x + 20) // 5],
            reach=20.0,
            buildings=(house(-6, -6, 4, 4),),
        ),
        (),
    )
    assert study is not None
    return study


@settings(max_examples=25, deadline=None)
@example(8137431, -64.0)
@given(st.integers(0, 2**32 - 1), st.sampled_from([-64.0, 8.0, 512.0]))
def test_moving_the_datum_moves_the_level_of_every_pond_and_nothing_else(seed: int, raised: float) -> None:
    here, there = studied(seed), studied(seed, raised)
    np.testing.assert_allclose(there.ground_ft, here.ground_ft + raised, atol=1e-9)
    np.testing.assert_allclose(there.depth_ft, here.depth_ft, atol=1e-9)
    assert len(here.ponds) == len(there.ponds)
    for one, other in zip(here.ponds, there.ponds, strict=True):
        assert other.level_ft == pytest.approx(one.level_ft + raised)
        assert (other.volume_gal, other.area_ft2) == pytest.approx((one.volume_gal, one.area_ft2))
        low = [here.ground_ft[cell_at(here.grid, p)] for p in (one.low_point, other.low_point)]
        assert low[0] == pytest.approx(low[1], abs=1e-8)  # of equally low cells either may be named


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_ponds_agree_with_the_depth_of_their_cells(seed: int) -> None:
    study = studied(seed)
    assert np.nanmin(study.depth_ft) >= 0
    assert all(p.volume_gal > 0 and p.depth_ft > 0 and p.area_ft2 >= 2 for p in study.ponds)
    deep = [round(p.depth_ft, 6) for p in study.ponds]  # what differs by less is as deep
    assert deep == sorted(deep, reverse=True)
    cubic_ft = np.nansum(study.depth_ft) * study.grid.cell_ft**2
    assert sum(p.volume_gal for p in study.ponds) == pytest.approx(cubic_ft * 7.48052)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(1, 12), st.integers(1, 12), st.booleans())
def test_filled_ground_is_never_below_the_ground_and_all_water_ends_somewhere(
    seed: int, rows: int, columns: int, coarse: bool
) -> None:
    rng = np.random.default_rng(seed)
    z = rng.integers(0, 4, (rows, columns)).astype(float) if coarse else rng.uniform(0, 4, (rows, columns))
    hole = rng.random((rows, columns)) < 0.2
    wall = hole & (rng.random((rows, columns)) < 0.5)
    z[hole] = np.nan
    known = np.flatnonzero(~hole.ravel())
    if not len(known):
        return
    at = rng.choice(known)
    found = route(z, wall, (np.array([at]),), np.array([z.ravel()[at]]))
    assert ((found.filled_ft >= z) | hole).all()
    assert np.isnan(found.filled_ft[hole]).all()
    assert (found.basin[~hole] >= 0).all()
    assert set(found.ends[found.basin[~hole]].tolist()) <= {0, 1}
    assert found.filled_ft.ravel()[at] == z.ravel()[at]


def test_a_basin_beside_the_low_point_lets_water_stand_up_to_its_grate() -> None:
    def trough(x: float, y: float) -> float:
        return 100.0 + min(1.0, 0.05 * max(abs(x), abs(y)))

    job, surface = ground_of(trough, reach=30.0, pitch=2.0)
    now = ground_study(job, surface, ())
    beside = ground_study(job, surface, (inlet((6.0, 0.0), 100.3),))
    low = ground_study(job, surface, (inlet((0.0, 0.0), 100.0, reach_ft=1.0),))
    assert now is not None and beside is not None and low is not None
    assert now.ponds[0].level_ft == pytest.approx(101.0)
    assert beside.ponds[0].level_ft == pytest.approx(100.3)
    assert beside.ponds_now[0].level_ft == pytest.approx(101.0)
    assert low.ponds == ()


def test_a_grate_set_high_holds_water_back() -> None:
    job, surface = ground_of(lambda x, y: 100.0 + min(1.0, 0.05 * max(abs(x), abs(y))), reach=30.0, pitch=2.0)
    study = ground_study(job, surface, (inlet((0.0, 0.0), 100.2, reach_ft=1.0),))
    assert study is not None
    assert study.ponds[0].level_ft == pytest.approx(100.2)


def test_a_court_that_walls_close_in_fills_to_its_highest_ground() -> None:
    z = np.full((9, 9), np.nan)
    wall = np.zeros((9, 9), dtype=bool)
    z[:, 0], z[:, -1], z[0], z[-1] = 1.0, 1.0, 1.0, 1.0
    z[3:6, 3:6] = np.arange(9).reshape(3, 3) / 10
    wall = np.isnan(z)
    assert np.nanmax(route(z, wall, (), np.empty(0)).filled_ft[3:6, 3:6]) == pytest.approx(0.8)
    assert np.nanmin(route(z, wall, (), np.empty(0)).filled_ft[3:6, 3:6]) == pytest.approx(0.8)
