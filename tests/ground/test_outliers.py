"""Shots out of line: slips of the key are told, the shapes of a yard are not."""

import numpy as np
import pytest

from drainsketch.ground.book import book_levels, levelled_shots
from drainsketch.ground.checks import shot_findings
from drainsketch.ground.outliers import out_of_line_ft
from drainsketch.ground.results import BookLevels
from drainsketch.ground.surface import Surface
from drainsketch.resources import sample_jobs
from drainsketch.wording import Words
from tests.test_review import SAMPLES, sample
from tests.yards import drawn, shot

GRID = np.array([(15.0 * x, 15.0 * y) for x in range(6) for y in range(6)])


@pytest.mark.parametrize(("read", "meant"), [(9955.0, 99.55), (909.0, 99.0), (89.3, 98.3), (9.83, 98.3)])
@pytest.mark.parametrize("which", [0, 3, 14])  # a corner, an edge, the middle
def test_a_slip_of_the_key_is_told_by_how_much_and_accuses_no_neighbor(read: float, meant: float, which: int) -> None:
    levels = np.full(len(GRID), meant)
    levels[which] = read
    assert out_of_line_ft(GRID, levels) == {which: pytest.approx(read - meant)}


def test_two_slips_side_by_side_are_both_told() -> None:
    levels = np.full(len(GRID), 98.3)
    levels[[14, 15]] = 89.3, 983.0
    assert out_of_line_ft(GRID, levels) == {14: pytest.approx(-9.0), 15: pytest.approx(884.7)}


def test_the_plane_of_the_neighbors_is_what_a_shot_is_held_against() -> None:
    # a slope of 14 %: at (30, 30) it has 100 - 4.2 = 95.8; a shot 9 ft above that
    levels = 100 - 0.14 * GRID[:, 0]
    levels[14] += 9.0
    assert GRID[14].tolist() == [30.0, 30.0]
    assert out_of_line_ft(GRID, levels) == {14: pytest.approx(9.0)}


@pytest.mark.parametrize(
    "ground",
    [
        lambda x, y: 100 - 0.14 * x,
        lambda x, y: 100 - 0.14 * abs(x - 37),  # a ridge
        lambda x, y: 100 - 0.02 * y + 2.0 * (x > 40),  # a curb, a bank
        lambda x, y: 100 - 0.02 * y + 3.0 * (x + 0.4 * y > 50),  # a wall across the yard
        lambda x, y: 100 + 3.0 * (x > 40) * (y > 40),  # a raised corner
        lambda x, y: 100 - 2.5 * np.exp(-(((x - 40) / 10) ** 2)),  # a swale
    ],
)
def test_slopes_banks_curbs_and_walls_are_left_alone(ground: object) -> None:
    rng = np.random.default_rng(5)
    for _ in range(20):
        places = GRID + rng.uniform(-4, 4, GRID.shape)
        assert out_of_line_ft(places, ground(places[:, 0], places[:, 1])) == {}  # type: ignore[operator]


@pytest.mark.parametrize("name", SAMPLES)
def test_sample_yards_have_no_shot_out_of_line_until_one_is_read_wrong(name: str) -> None:
    assert sample_jobs()
    job = sample(name)
    shots = levelled_shots(job.shots, book_levels(job.book))
    assert Surface(shots).out_of_line_ft() == {}
    places, levels = np.array([s.point for s in shots]), np.array([s.elevation_ft for s in shots])
    levels[4] *= 10
    assert set(out_of_line_ft(places, levels)) == {4}


def test_the_finding_names_the_shot_and_the_side() -> None:
    shots = [shot(x, y, 98.3) for x, y in GRID.tolist()]
    shots[7] = shot(*GRID[7].tolist(), 89.3)
    shots[20] = shot(*GRID[20].tolist(), 107.3)
    job = drawn(*shots)
    leveled = levelled_shots(job.shots, BookLevels())
    found = {f.place.ids: Words("en", "ft").sentence(f) for f in shot_findings(job, leveled, Surface(leveled))}
    assert found == {
        ("S8",): "S8 stands 9.00 ft below the ground its neighbors make: read it again.",
        ("S21",): "S21 stands 9.00 ft above the ground its neighbors make: read it again.",
    }


def test_a_slip_among_few_shots_is_told_and_accuses_no_neighbor() -> None:
    assert out_of_line_ft(GRID[:6], np.array([1.0, 2, 3, 4, 5, 900])) == {5: 895.0}
    assert out_of_line_ft(GRID[:3], np.array([99.0, 129.0, 98.5])) == {1: 30.0}
    assert out_of_line_ft(GRID[:2], np.array([99.0, 69.0])) == {0: 30.0, 1: -30.0}
    assert out_of_line_ft(GRID[:1], np.array([99.0])) == {}


def test_a_few_shots_on_a_bank_or_a_long_slope_are_left_alone() -> None:
    corners = np.array([(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0), (100.0, 100.0)])
    assert out_of_line_ft(corners, 100 - 0.1 * corners[:, 0] - 0.1 * corners[:, 1]) == {}
    assert out_of_line_ft(GRID[:4], np.array([100.0, 100.0, 103.0, 103.0])) == {}


def test_of_a_thousand_shots_just_the_bad_ones_are_found() -> None:
    places = np.random.default_rng(2).uniform(0, 500, (1000, 2))
    levels = 100 - 0.05 * places[:, 0]
    levels[::100] *= 10
    found = out_of_line_ft(places, levels)
    assert set(found) == set(range(0, 1000, 100))


def test_shots_in_one_line_are_held_against_their_line() -> None:
    row = np.array([(10.0 * i, 0.0) for i in range(12)])
    levels = 100 - 0.02 * row[:, 0]
    levels[5] += 30
    assert set(out_of_line_ft(row, levels)) == {5}
