"""Ponding and catchments against an independent library on a real elevation grid, and against closed forms.

Source of the grid: the Jacksboro fault digital elevation model that matplotlib ships (jacksboro_fault_dem.npz, 344 by 403 cells,
after U.S. government elevation data). Source of the values: fastscapelib, a general flow-routing library; it fills depressions by
priority flood or over a minimum spanning tree of basins, and routes to the steepest of eight neighbors.
"""

from functools import cache
from math import pi

import fastscapelib
import numpy as np
import pytest
from matplotlib import cbook
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from drainsketch.ground.results import Routing
from drainsketch.ground.routing import route
from drainsketch.ground.study import ground_study
from drainsketch.job.model import Boundary, Job
from tests.ground.shapes import ground_of, inlet

Floats = NDArray[np.float64]
OPEN = fastscapelib.NodeStatus.FIXED_VALUE


@cache
def elevations() -> Floats:
    return np.asarray(cbook.get_sample_data("jacksboro_fault_dem.npz")["elevation"], dtype=float)


@cache
def smooth_elevations() -> Floats:
    """Return the grid with its whole-meter terraces smoothed out: on level ground the way of the water is anyone's choice."""
    return gaussian_filter(elevations(), 1.0)


def library(z: Floats, by: str, outlets: tuple[tuple[int, int], ...] = ()) -> tuple[fastscapelib.FlowGraph, Floats]:
    """Return the library's flow graph and its filled elevations; water leaves at the edge and at outlets."""
    grid = fastscapelib.RasterGrid(z.shape, [1.0, 1.0], OPEN, nodes_status=dict.fromkeys(outlets, OPEN))
    single = fastscapelib.SingleFlowRouter()
    graph = fastscapelib.FlowGraph(
        grid,
        [single, fastscapelib.MSTSinkResolver()] if by == "tree" else [fastscapelib.PFloodSinkResolver(), single],
    )
    return graph, graph.update_routes(z)


def ours(z: Floats, outlets: tuple[tuple[int, int], ...] = ()) -> Routing:
    cells = tuple(np.array([row * z.shape[1] + column]) for row, column in outlets)
    return route(z, np.zeros(z.shape, dtype=bool), cells, np.array([z[at] for at in outlets]))


@pytest.mark.parametrize("by", ["tree", "flood"])
@pytest.mark.parametrize("grid", [elevations, smooth_elevations])
def test_filled_depth_agrees_with_the_library_on_a_real_elevation_grid(grid: object, by: str) -> None:
    z = grid()  # type: ignore[operator]
    _, theirs = library(z, by)
    depth = ours(z).filled_ft - z
    assert (depth > 1.0).sum() > 1_000  # there is water to compare
    np.testing.assert_allclose(depth, theirs - z, rtol=0, atol=1e-6)


def busy_cells(z: Floats) -> tuple[tuple[int, int], ...]:
    """Return cells in valleys: near random places, the one that most ground runs through by the library's count."""
    graph, _ = library(z, "flood")
    through = graph.accumulate(1.0)
    rng = np.random.default_rng(811)
    found = []
    for row, column in zip(rng.integers(60, 280, 8).tolist(), rng.integers(60, 340, 8).tolist(), strict=True):
        window = through[row - 25 : row + 26, column - 25 : column + 26]
        down, right = np.unravel_index(window.argmax(), window.shape)
        found.append((row - 25 + int(down), column - 25 + int(right)))
    return tuple(dict.fromkeys(found))


@pytest.mark.parametrize("by", ["tree", "flood"])
def test_catchments_agree_with_the_library_on_a_real_elevation_grid(by: str) -> None:
    z = smooth_elevations()
    inlets = busy_cells(z)
    graph, _ = library(z, by, inlets)
    basins = graph.basins()
    routing = ours(z, inlets)
    ends = routing.ends[routing.basin]
    areas = [int((ends == n).sum()) for n in range(1, len(inlets) + 1)]
    assert sum(area > 1_000 for area in areas) >= 4
    for at, area in zip(inlets, areas, strict=True):
        theirs = int((basins == basins[at]).sum())
        assert area == pytest.approx(theirs, rel=0.01, abs=2)


def test_a_cone_shaped_pit_holds_the_volume_of_a_cone() -> None:
    """Source: volume of a cone, definition: pi r2 h / 3; 7.48052 gallons per cubic foot, NIST Handbook 44 (231 in3)."""
    radius, deep = 20.0, 1.0
    study = ground_study(
        *ground_of(lambda x, y: 100 - deep * max(0.0, 1 - np.hypot(x, y) / radius), reach=40.0, pitch=1.0), ()
    )
    assert study is not None
    (pond,) = study.ponds
    assert pond.level_ft == pytest.approx(100.0, abs=1e-6)
    assert pond.depth_ft == pytest.approx(deep, abs=0.03)
    assert pond.area_ft2 == pytest.approx(pi * radius**2, rel=0.05)  # its outermost 0.02 ft do not count as water
    assert pond.volume_gal == pytest.approx(pi * radius**2 * deep / 3 * 7.48052, rel=0.01)
    assert np.hypot(*pond.low_point) < 1.0


def test_a_valleys_inlet_gathers_both_its_sides() -> None:
    """Source: plan geometry. Sides fall straight to the valley line, which falls south: all north of the inlet reaches it."""
    job, surface = ground_of(lambda x, y: 100 + 0.1 * abs(x) + 1e-5 * y, reach=30.0, pitch=2.0)
    study = ground_study(job, surface, (inlet((0.0, -10.0), surface.level_at(0.0, -10.0)[0]),))
    assert study is not None
    (area,) = study.catchments
    assert area.area_ft2 == pytest.approx(60.0 * 40.0, rel=0.03)  # half a cell of reach to the south comes on top


@pytest.mark.parametrize("slopes", [(0.0, 0.0), (0.02, 0.0), (0.013, -0.007)])
def test_a_plane_never_ponds(slopes: tuple[float, float]) -> None:
    job, surface = ground_of(lambda x, y: 100 + slopes[0] * x + slopes[1] * y, reach=30.0, pitch=10.0)
    study = ground_study(job, surface, ())
    assert study is not None
    assert study.ponds == ()
    assert np.nanmax(study.depth_ft) == 0.0


def test_the_lot_line_lets_water_out() -> None:
    job, surface = ground_of(lambda x, y: 100 - 0.05 * x, reach=30.0, pitch=10.0)
    lot = Boundary(id="boundary", points=((-30.0, -30.0), (0.0, -30.0), (0.0, 30.0), (-30.0, 30.0)))
    study = ground_study(Job(shots=job.shots, boundary=lot), surface, ())
    assert study is not None
    assert study.ponds == ()
