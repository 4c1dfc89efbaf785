"""Catchments where the ground falls oblique to the cells, against plan geometry, and beside an independent library.

On two planes that meet in a valley, z = a |y| - b x, water falls along (b, -a): ground at (x, y) reaches the valley at x + |y| b / a,
and an inlet at x = e, as wide as its cells reach, takes all ground whose way meets the valley before e or passes within that reach.
"""

import numpy as np
import pytest

from drainsketch.ground.drops import follow_drop
from drainsketch.ground.results import GroundStudy
from drainsketch.ground.spreading import reaches_of
from drainsketch.ground.study import ground_study
from tests.ground.shapes import ground_of, inlet
from tests.outside.test_ponding import busy_cells, library, ours, smooth_elevations

E = 29.5
REACH = 0.75  # of an inlet of 0.5 ft in cells of 0.5 ft: to the edges of the cells it takes


def valley(a: float, b: float) -> GroundStudy:
    study = ground_study(*ground_of(lambda x, y: 100 + a * abs(y) - b * x, 30.0), (inlet((E, 0.0), 100 - b * E),))
    assert study is not None
    return study


def exact_ft2(a: float, b: float) -> float:
    """Return the area by plan geometry, the reach of the inlet counted as ground whose fall line passes within it."""
    at = np.linspace(-30, 30, 2_401)
    x, y = np.meshgrid(at, at)
    over = np.maximum(np.abs(y) - REACH, 0.0)
    return float((x + over * b / a <= E).mean()) * 3_600


@pytest.mark.parametrize(
    ("a", "b"), [(0.02, 0.01), (0.01, 0.02), (0.01, 0.03), (0.02, 0.02), (0.03, 0.01), (0.017, 0.011)]
)
def test_two_planes_that_meet_in_a_valley(a: float, b: float) -> None:
    (found,) = valley(a, b).catchments
    assert found.area_ft2 == pytest.approx(exact_ft2(a, b), rel=0.03)


@pytest.mark.parametrize("turn", [0, 10, 22, 30, 45, 67])
def test_a_plane_drains_along_its_fall_whichever_way_it_is_turned(turn: float) -> None:
    """A wide inlet at the middle of a square takes the strip upslope of it, as wide as itself."""
    east, north = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    wide = inlet((0.0, 0.0), 100.0, reach_ft=5.0)
    study = ground_study(*ground_of(lambda x, y: 100 - 0.02 * (east * x + north * y), 30.0), (wide,))
    assert study is not None and study.reaches is not None
    rows, columns = np.nonzero(study.reaches == 1)
    x, y = (study.grid.west_ft + (columns + 0.5) / 2, study.grid.south_ft + (rows + 0.5) / 2)
    assert np.abs(north * x - east * y).max() < 8.0  # nothing from far off the strip
    upslope = 30 / max(abs(east), abs(north))
    area = study.catchments[0].area_ft2 - np.pi * 25 / 2  # the inlet's own lower half
    assert (
        10.0 * upslope * 0.99 < area < 12.0 * upslope
    )  # the cells at its sides, a foot in all each side, draw water in


def test_a_followed_drop_ends_where_the_catchment_says() -> None:
    study = valley(0.02, 0.01)
    assert study.reaches is not None
    rng = np.random.default_rng(811)
    differ = 0
    for x, y in rng.uniform(-29, 29, (300, 2)).tolist():
        path = follow_drop(study, (x, y))
        assert path is not None
        cell = study.reaches[int((y + 30) / 0.5), int((x + 30) / 0.5)]
        differ += (path.ends == "inlet") != (cell == 1)
    assert differ <= 24  # in 300, along 120 ft of border


def test_areas_stand_beside_those_of_the_library_on_a_real_elevation_grid() -> None:
    """The library sends all water of a cell one of eight ways; on ground that falls every way the mean is the same."""
    z = smooth_elevations()
    at = busy_cells(z)
    graph, _ = library(z, "flood", at)
    basins = graph.basins()
    cells = tuple(np.array([row * z.shape[1] + column]) for row, column in at)
    rims = np.array([z[place] for place in at])
    found = reaches_of(z, np.zeros(z.shape, dtype=bool), ours(z, at), cells, rims)
    for n, place in enumerate(at, start=1):
        assert int((found == n).sum()) == pytest.approx(int((basins == basins[place]).sum()), rel=0.01)
