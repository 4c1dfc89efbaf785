"""Breaklines: no triangle crosses one, and they carry their levels in between."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from drainsketch.ground.breaklines import levelled_line, pieces_of
from drainsketch.ground.checks import shot_findings
from drainsketch.ground.results import LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.kinds import Point
from drainsketch.job.model import Breakline, Job


def shot(x: float, y: float, z: float, name: str = "") -> LevelledShot:
    return LevelledShot(name or f"S-{x:g}-{y:g}", (x, y), z)


def line(*points: Point, name: str = "breakline-1") -> Breakline:
    return Breakline(id=name, kind="swale", points=points)


def crossings(surface: Surface, breakline: Breakline) -> float:
    """Return how far from any place of the surface an edge of its triangles passes through a breakline, ft; 0 where none does."""
    triangles = surface._triangles
    edges = np.unique(
        np.sort(np.concatenate([triangles.simplices[:, [a, b]] for a, b in ((0, 1), (1, 2), (2, 0))])), axis=0
    )
    path = shapely.LineString(np.array(breakline.points) - surface._origin)
    along = shapely.dwithin(shapely.points(surface._xy[edges]), path, 1e-9).all(axis=1)
    crossing = ~along & shapely.crosses(shapely.linestrings(surface._xy[edges]), path)
    met = shapely.intersection(shapely.linestrings(surface._xy[edges[crossing]]), path)
    ends = shapely.multipoints(surface._xy)
    return float(max(shapely.distance(met, ends), default=0.0))


CORNERS = (shot(0, 0, 100), shot(100, 0, 100), shot(100, 100, 100), shot(0, 100, 100))


def test_a_swale_between_high_banks_stays_open_along_its_whole_length() -> None:
    banks = tuple(shot(x, y, 100.0) for x in range(10, 100, 10) for y in (45.0, 55.0))
    ends = (shot(0, 50, 98), shot(100, 50, 97))
    swale = line((0, 50), (100, 50))
    without, with_it = Surface((*CORNERS, *banks, *ends)), Surface((*CORNERS, *banks, *ends), (swale,))
    at = np.array([[x, 50.0] for x in (5.0, 20.0, 37.5, 50.0, 90.0)])
    assert without.levels_at(at)[0][2] == pytest.approx(100.0)  # banks joined across it
    np.testing.assert_allclose(with_it.levels_at(at)[0], 98 - at[:, 0] / 100, atol=1e-9)
    assert crossings(with_it, swale) < 1e-6
    assert crossings(without, swale) > 1.0


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(1, 4), st.integers(5, 60))
def test_no_triangle_crosses_a_breakline_whatever_stands_round_it(seed: int, lines: int, shots: int) -> None:
    rng = np.random.default_rng(seed)
    places = np.unique(rng.integers(0, 400, (shots + 3 * lines, 2)), axis=0) / 4.0
    rng.shuffle(places)
    levelled = tuple(shot(x, y, 100.0 + n % 3, f"S{n}") for n, (x, y) in enumerate(places.tolist()))
    breaklines = tuple(
        line(*(s.point for s in levelled[3 * n : 3 * n + 3]), name=f"breakline-{n}")
        for n in range(lines)
        if len(levelled) >= 3 * n + 3
    )
    surface = Surface(levelled, breaklines)
    if surface.is_guess_only:
        return
    for breakline in breaklines:
        through = levelled_line(breakline, levelled)
        assert through is not None
        led = line(*((x, y) for x, y in through.xy_ft.tolist()))
        assert crossings(surface, led) < 0.05


def test_cutting_ends_for_lines_that_meet_at_a_sharp_corner() -> None:
    shots = (*CORNERS, shot(10, 10, 100), shot(90, 10, 99), shot(90, 12, 98))
    first, second = line((10, 10), (90, 10)), line((10, 10), (90, 12), name="breakline-2")
    lines = tuple(found for b in (first, second) if (found := levelled_line(b, shots)) is not None)
    xy, z = np.array([s.point for s in shots]), np.array([s.elevation_ft for s in shots])
    assert len(pieces_of(lines, xy, z).xy_ft) < 400
    surface = Surface(shots, (first, second))
    assert crossings(surface, first) < 1e-6
    assert crossings(surface, second) < 1e-6


def test_a_breakline_is_led_through_the_shots_near_it_and_ends_at_its_levels() -> None:
    shots = (shot(10, 0.2, 99), shot(30, -0.1, 98), shot(20, 5, 97))
    found = levelled_line(line((0, 0), (20, 0), (40, 0)), shots)
    assert found is not None
    np.testing.assert_allclose(found.xy_ft, [(10, 0.2), (20, 0), (30, -0.1)])
    np.testing.assert_allclose(found.z_ft, [99, 98.5, 98])


def test_a_breakline_with_one_level_is_left_out_and_told() -> None:
    shots = (*CORNERS, shot(50, 50, 99))
    lone = line((50, 50), (60, 50))
    surface = Surface(shots, (lone,))
    kinds = [(f.kind, f.place.ids) for f in shot_findings(Job(breaklines=(lone,)), shots, surface)]
    assert kinds == [("breakline_unlevelled", ("breakline-1",))]
    assert surface.level_at(55, 50) == Surface(shots).level_at(55, 50)


def test_breaklines_that_cross_at_different_levels_count_as_their_mean_and_are_told() -> None:
    shots = (*CORNERS, shot(20, 50, 98), shot(80, 50, 98), shot(50, 20, 99), shot(50, 80, 99))
    one, other = line((20, 50), (80, 50)), line((50, 20), (50, 80), name="breakline-2")
    surface = Surface(shots, (one, other))
    assert surface.level_at(50, 50)[0] == pytest.approx(98.5)
    (found,) = shot_findings(Job(breaklines=(one, other)), shots, surface)
    assert (found.kind, found.place.ids) == ("breaklines_disagree", ("breakline-1", "breakline-2"))
    assert found.value == pytest.approx(1.0)
