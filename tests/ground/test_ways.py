"""The longest way of water to an inlet."""

from itertools import pairwise
from math import dist, hypot

import numpy as np
import pytest

from drainsketch.ground.results import GroundStudy, Way
from drainsketch.ground.study import ground_study
from tests.ground.shapes import Height, ground_of, inlet


def studied(z: Height, *inlets: object) -> GroundStudy:
    study = ground_study(*ground_of(z, 30.0), inlets)  # type: ignore[arg-type]
    assert study is not None
    return study


def length(way: Way) -> float:
    return sum(dist(a, b) for a, b in pairwise(way.points))


def test_in_a_cone_it_comes_from_a_corner() -> None:
    """Source: the farthest ground of a cone over a square of 60 ft is at its corner, 30 * sqrt(2) ft off."""
    way = studied(lambda x, y: 100 + 0.05 * hypot(x, y), inlet((0.0, 0.0), 100.0)).ways["B1"]
    assert length(way) == pytest.approx(30 * 2**0.5, abs=1.0)
    assert way.levels_ft[0] == pytest.approx(100 + 0.05 * 30 * 2**0.5, abs=0.1)
    assert way.points[-1] == (0.0, 0.0)


def test_in_a_valley_it_runs_down_the_side_and_along_the_floor() -> None:
    """Source: on z = 0.05 |y| + 0.01 (30 - x) water runs nearly straight to the floor and along it to the east end."""
    way = studied(lambda x, y: 100 + 0.05 * abs(y) + 0.01 * (30 - x), inlet((29.0, 0.0), 100.0)).ways["B1"]
    assert dist(way.points[0], (-30.0, 30.0)) < 1.5 or dist(way.points[0], (-30.0, -30.0)) < 1.5
    assert length(way) == pytest.approx(30 + 59, rel=0.05)


def test_it_crosses_a_pond_and_never_rises() -> None:
    """A hollow halfway down a slope fills and spills on to the inlet below."""

    def hollow(x: float, y: float) -> float:
        return 100 - 0.02 * x + 0.02 * abs(y) - max(0.0, 0.8 - 0.1 * hypot(x + 10, y))

    study = studied(hollow, inlet((25.0, 0.0), 99.5))
    way = study.ways["B1"]
    assert any(p.depth_ft > 0.4 for p in study.ponds)
    assert way.points[0][0] < -15
    assert all(a >= b for a, b in pairwise(way.levels_ft))
    assert length(way) > 45


def test_every_cell_that_an_inlet_takes_is_in_its_catchment() -> None:
    study = studied(lambda x, y: 100 + 0.05 * hypot(x, y), inlet((0.0, 0.0), 100.0))
    assert study.reaches is not None
    assert (study.reaches == 1).sum() * study.grid.cell_ft**2 == study.catchments[0].area_ft2


@pytest.mark.parametrize("turn", [10.0, 25.0, 40.0, 63.0])
def test_it_ends_at_its_inlet_and_never_lies_below_its_rim(turn: float) -> None:
    """On a plane that falls oblique to the cells the eight ways lead past a small inlet: those are no ways to it."""
    east, north = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    study = studied(
        lambda x, y: 100 - 0.03 * (east * x + north * y), inlet((5.0, 3.0), 100 - 0.03 * (5 * east + 3 * north))
    )
    for way in study.ways.values():
        assert min(way.levels_ft) >= study.inlets[0].rim_ft - 0.02
        assert dist(way.points[-2], way.points[-1]) < 1.5
