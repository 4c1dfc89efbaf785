"""The shape of water in a hollow at a level, on a funnel whose water is square."""

import numpy as np
import pytest
import shapely

from drainsketch.ground.pools import pool_rings
from drainsketch.ground.results import Ring
from tests.ground.test_hollows import looked_at, valley
from tests.water.wet_yards import funnel


def shape_of(rings: tuple[Ring, ...]) -> shapely.Geometry:
    """Return what rings enclose, a ring within another a hole: even and odd, as they are painted."""
    found = shapely.Polygon()
    for ring in rings:
        found = shapely.symmetric_difference(found, shapely.Polygon(ring))
    return found


@pytest.mark.parametrize("level_ft", [100.2, 100.5, 100.8])
@pytest.mark.parametrize("over_ft", [0.05, 0.1])
def test_water_in_a_funnel_is_a_square(level_ft: float, over_ft: float) -> None:
    """z = 100 + 0.03 max(|x|, |y|): the ground deeper than d under a level z is a square of half side (z - d - 100) / 0.03."""
    ground, found = looked_at(funnel())
    (hollow,) = found.hollows
    water = shape_of(pool_rings(ground, hollow.cells, level_ft, over_ft))
    half = (level_ft - over_ft - 100.0) / 0.03
    assert water.area == pytest.approx((2 * half) ** 2, rel=0.03)
    assert water.bounds == pytest.approx((-half, -half, half, half), abs=0.3)


def test_a_dry_hollow_has_no_shape() -> None:
    ground, found = looked_at(funnel())
    (hollow,) = found.hollows
    assert pool_rings(ground, hollow.cells, hollow.low_ft) == ()
    assert pool_rings(ground, hollow.cells, hollow.low_ft + 0.3, 0.3) == ()


def test_it_covers_what_the_hollow_says_and_stays_within_it() -> None:
    ground, found = looked_at(valley((100.0, 100.8), (99.5, 100.9)))
    for hollow in found.hollows:
        for part in (0.3, 0.7, 1.0):
            level = hollow.low_ft + part * (hollow.spill_ft - hollow.low_ft)
            water = shape_of(pool_rings(ground, hollow.cells, level))
            around = 2 * (shapely.length(water) * 0.25)  # half a cell on either side of the waterline
            assert water.area == pytest.approx(float(hollow.areas_ft2(np.array([level]))[0]), abs=around)
