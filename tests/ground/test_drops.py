"""Following a drop to where it stops."""

from math import hypot

import numpy as np
import pytest

from drainsketch.ground.drops import follow_drop
from drainsketch.ground.results import GroundStudy
from drainsketch.ground.study import ground_study
from tests.ground.shapes import Height, ground_of, house, inlet


def studied(z: Height, *inlets: object, with_house: bool = False) -> GroundStudy:
    buildings = (house(-10, -10, 10, 10),) if with_house else ()
    study = ground_study(*ground_of(z, 30.0, buildings=buildings), inlets)  # type: ignore[arg-type]
    assert study is not None
    return study


@pytest.mark.parametrize("turn", np.arange(0, 360, 17).tolist())
def test_on_a_plane_it_runs_straight_down_and_off_the_edge(turn: float) -> None:
    """Source: the steepest way down a plane is against its gradient, definition."""
    east, north = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    path = follow_drop(studied(lambda x, y: 100 - 0.03 * (east * x + north * y)), (0.0, 0.0))
    assert path is not None
    assert path.ends == "edge"
    x, y = path.points[-1]
    assert hypot(x, y) > 28
    assert (x * east + y * north) / hypot(x, y) > np.cos(np.radians(3.0))


def test_it_ends_at_an_inlet_in_its_way() -> None:
    path = follow_drop(studied(lambda x, y: 100 - 0.03 * x, inlet((20.0, 5.0), 99.4)), (-20.0, 5.0))
    assert path is not None
    assert (path.ends, path.at, path.points[0], path.points[-1]) == ("inlet", "B1", (-20.0, 5.0), (20.0, 5.0))


def test_it_ends_where_water_stands() -> None:
    path = follow_drop(studied(lambda x, y: 100 + 0.05 * min(20.0, hypot(x, y))), (15.0, 15.0))
    assert path is not None
    assert path.ends == "pond"


def test_it_runs_round_a_building_and_on() -> None:
    path = follow_drop(studied(lambda x, y: 100 - 0.03 * x - 0.01 * y, with_house=True), (-25.0, -5.0))
    assert path is not None
    assert path.ends == "edge"
    assert all(not (-9.9 < x < 9.9 and -9.9 < y < 9.9) for x, y in path.points)


def test_on_a_roof_it_is_at_the_wall_and_on_level_ground_it_stays() -> None:
    level = studied(lambda x, y: 100.0, with_house=True)
    roof, lawn = follow_drop(level, (0.0, 0.0)), follow_drop(level, (20.0, 20.0))
    assert roof is not None and lawn is not None
    assert (roof.ends, roof.at) == ("wall", "building-1")
    assert (lawn.ends, lawn.points) == ("flat", ((20.0, 20.0),))


def test_where_no_ground_is_known_there_is_no_way() -> None:
    assert follow_drop(studied(lambda x, y: 100.0), (500.0, 0.0)) is None
