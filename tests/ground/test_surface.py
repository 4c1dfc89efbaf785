"""The ground as a surface."""

import numpy as np
import pytest

from drainsketch.ground.book import levelled_shots
from drainsketch.ground.checks import shot_findings
from drainsketch.ground.results import BookLevels
from drainsketch.ground.surface import Surface
from tests.ground.shapes import ground_of, house
from tests.yards import basin, drawn, shot


def test_a_plane_is_followed_exactly() -> None:
    surface = Surface(drawn(shot(0, 0, 100), shot(100, 0, 99), shot(0, 100, 98)).shots)
    level, guess = surface.level_at(25, 25)
    assert level == pytest.approx(100 - 0.25 - 0.5, abs=1e-12)
    assert not guess


def test_outside_the_shots_the_nearest_edge_is_a_guess() -> None:
    surface = Surface(drawn(shot(0, 0, 100), shot(100, 0, 90), shot(0, 100, 100)).shots)
    level, guess = surface.level_at(50, -30)  # straight below the middle of the edge from 100 to 90
    assert guess
    assert level == pytest.approx(95.0)


def test_one_shot_is_a_guess_everywhere() -> None:
    surface = Surface(drawn(shot(5, 5, 98.2)).shots)
    assert surface.is_guess_only
    assert surface.level_at(50, 50) == (98.2, True)


def test_shots_in_one_line_give_guesses_along_it() -> None:
    surface = Surface(drawn(shot(0, 0, 100), shot(20, 20, 98), shot(10, 10, 99)).shots)
    assert surface.is_guess_only
    level, guess = surface.level_at(15, 15)
    assert guess
    assert level == pytest.approx(98.5)


def test_two_shots_on_one_spot_count_as_their_mean_and_are_told() -> None:
    job = drawn(shot(0, 0, 100), shot(0, 0, 100.4), shot(50, 0, 99), shot(0, 50, 99), basin(1, 1))
    surface = Surface(job.shots)
    assert surface.level_at(0, 0)[0] == pytest.approx(100.2)
    (found,) = shot_findings(job, levelled_shots(job.shots, BookLevels()), surface)
    assert found.kind == "shots_disagree"
    assert found.place.ids == ("S1", "S2")
    assert found.value == pytest.approx(0.4)


def test_every_shot_keeps_its_own_level() -> None:
    rng = np.random.default_rng(3)
    places = rng.uniform(0, 100, (40, 2))
    levels = rng.uniform(95, 100, 40)
    surface = Surface(drawn(*(shot(x, y, z) for (x, y), z in zip(places.tolist(), levels.tolist(), strict=True))).shots)
    np.testing.assert_allclose(surface.levels_at(places)[0], levels, atol=1e-9)


def test_shots_an_inch_apart_count_as_one_and_are_told_when_they_disagree() -> None:
    shots = drawn(shot(0, 0, 100), shot(0.08, 0, 100.4), shot(50, 0, 99), shot(0, 50, 99), shot(0.0, 0.3, 100)).shots
    levelled = levelled_shots(shots, BookLevels())
    surface = Surface(levelled)
    assert [tuple(s.id for s in place) for place in surface.places] == [("S1", "S2"), ("S3",), ("S4",), ("S5",)]
    assert surface.level_at(0, 0)[0] == pytest.approx(100.2)
    assert [f.place.ids for f in shot_findings(drawn(), levelled, surface)] == [("S1", "S2")]


def test_a_chain_of_near_shots_is_not_drawn_together() -> None:
    shots = levelled_shots(drawn(*(shot(0.09 * n, 0, 100 + n) for n in range(5))).shots, BookLevels())
    assert [len(place) for place in Surface(shots).places] == [2, 2, 1]


def test_levels_inside_a_building_are_guesses_and_its_wall_is_ground() -> None:
    _, surface = ground_of(lambda x, y: 100 + 0.01 * x, buildings=(house(-10, -10, 10, 10),))
    levels, guess = surface.levels_at(np.array([[0.0, 0.0], [10.0, 0.0], [10.1, 0.0]]))
    assert guess.tolist() == [True, False, False]
    np.testing.assert_allclose(levels, [100.0, 100.1, 100.101])


def test_triangles_that_reach_through_a_building_are_known() -> None:
    _, surface = ground_of(lambda x, y: 100.0, pitch=60.0, buildings=(house(-10, -10, 10, 10),))
    assert surface.spans_building(np.array([[12.0, 0.0], [-12.0, 0.0]])).all()
    _, surface = ground_of(lambda x, y: 100.0, pitch=5.0, buildings=(house(-10, -10, 10, 10),))
    assert not surface.spans_building(np.array([[12.0, 0.0], [-12.0, 0.0]])).any()
