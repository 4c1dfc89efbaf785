"""The chance that a run still falls, against scipy's normal distribution and readings drawn at random."""

import numpy as np
import pytest
from scipy.stats import norm

from drainsketch.job.edits.change import change_criteria
from drainsketch.network.odds import odds_of_fall
from drainsketch.review import analyse
from drainsketch.study import study
from tests.yards import basin, drawn, outfall, plane, run


@pytest.mark.parametrize("fall_ft", [-0.02, 0.0, 0.002, 0.01, 0.05])
@pytest.mark.parametrize("error_in", [0.0625, 0.125, 0.5])
def test_odds_are_those_of_the_difference_of_two_normal_readings(fall_ft: float, error_in: float) -> None:
    sigma_ft = error_in / 12 / 2  # two standard deviations are the error
    assert odds_of_fall(fall_ft, error_in) == pytest.approx(norm.cdf(fall_ft, scale=np.hypot(sigma_ft, sigma_ft)))


def test_odds_agree_with_readings_drawn_at_random() -> None:
    rng, fall_ft, error_in = np.random.default_rng(7), 0.01, 0.125
    up, down = rng.normal(0, error_in / 24, (2, 400_000))
    assert odds_of_fall(fall_ft, error_in) == pytest.approx(float((fall_ft + up - down > 0).mean()), abs=0.003)


def test_readings_without_error_leave_no_doubt() -> None:
    assert [odds_of_fall(f, 0.0) for f in (0.001, 0.0, -0.001)] == [1.0, 0.0, 0.0]


def test_a_run_that_hardly_falls_is_told_and_one_with_fall_is_not() -> None:
    ends = basin(0, 0), basin(-100, 0), outfall(2, 0, "tie-in", invert_ft=95.0)
    job = drawn(*plane(lambda x, y: 100.0), *ends, run("B1", "O1"), run("B2", "B1"))
    job = change_criteria(job, min_slope=0.0025, max_slope=0.0025, reading_error_in=0.25)
    closer = study(analyse(job))
    # 2 ft at 0.25 % fall 0.005 ft, 100 ft fall 0.25 ft; sigma of a fall is sqrt 2 x 1/8 in
    scale_ft = np.sqrt(2) * 0.125 / 12
    assert closer.odds["R1"] == pytest.approx(norm.cdf(0.005, scale=scale_ft), abs=1e-4)
    assert closer.odds["R2"] == pytest.approx(norm.cdf(0.25, scale=scale_ft), abs=1e-4)
    assert {f.place.ids for f in closer.findings if f.kind == "fall_unsure"} == {("R1",)}
