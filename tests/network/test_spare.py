"""Spare, by hand and by shifting the level itself: just under it a grade exists, just over it none does.

A second program written from the definition says what exists (tests/network/test_independent_grades.py). 4 in pipe of ASTM D3034
has its top 0.34125 ft over its invert.
"""

import pytest

from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.model import Job
from drainsketch.network.remedies import Spare
from drainsketch.network.spare import MOST_RUNS, spare_of
from drainsketch.review import analyse
from tests.network.random_yards import yard
from tests.network.test_independent_grades import SEEDS, Second
from tests.yards import basin, drawn, outfall, plane, run

TOP_FT = 4.095 / 12
HAIR_FT = 0.005


def spare(job: Job) -> dict[str, Spare]:
    bounds = analyse(job).bounds
    assert bounds is not None
    return spare_of(bounds)


def flat(tie_in_ft: float = 97.0) -> Job:
    ends = basin(0, 0, size_in=12), outfall(100, 0, "tie-in", invert_ft=tie_in_ft)
    job = drawn(*plane(lambda x, y: 100.0), *ends, run("B1", "O1"))
    return change_criteria(job, min_slope=0.01, min_cover_in=12.0)


def test_spare_by_hand() -> None:
    # the pipe leaves B1 at 97 + 1.0 or higher; 12 in of cover and the pipe below 100 leave 98.65875
    found = spare(flat())
    assert found["B1"].keeps == found["O1"].keeps == "limits"
    assert found["B1"].lower_ft == pytest.approx(100 - 1 - TOP_FT - 98, abs=1e-6)
    assert found["O1"].higher_ft == pytest.approx(100 - 1 - TOP_FT - 98, abs=1e-6)


def test_where_cover_is_broken_already_spare_is_that_of_fall() -> None:
    found = spare(flat(tie_in_ft=98.0))  # 99 at B1: with less than 12 in, but in the ground
    assert found["B1"] == Spare("B1", lower_ft=pytest.approx(100 - TOP_FT - 99, abs=1e-6), keeps="fall")


def test_what_does_not_drain_has_no_spare() -> None:
    assert spare(flat(tie_in_ft=99.5)) == {}


def test_an_inlet_lowered_by_less_than_its_spare_keeps_its_limits_and_by_more_breaks_one() -> None:
    job = flat()
    room = spare(job)["B1"].lower_ft
    assert room is not None
    for by, holds in ((room - HAIR_FT, True), (room + HAIR_FT, False)):
        lower = change(job, "S5", elevation_ft=100 - by)  # the shot at B1
        assert (Second(lower).best() is not None) is holds
        assert ("shallow_cover" not in {f.kind for f in analyse(lower).findings}) is holds


def test_an_outfall_raised_by_less_than_its_spare_leaves_a_grade_and_by_more_none() -> None:
    held = 0
    for seed in SEEDS[:150]:
        job = yard(seed)
        out = next(s for s in job.structures if s.id == "O1")
        if seed % 20 == 19 or job.services or out.invert_ft is None or out.outfall not in ("tie-in", "curb"):
            continue
        found = spare(job).get("O1")
        if found is None or found.keeps != "limits" or found.higher_ft is None:
            continue
        for by, holds in ((found.higher_ft - HAIR_FT, True), (found.higher_ft + HAIR_FT, False)):
            raised = change(job, "O1", invert_ft=out.invert_ft + by)
            assert (Second(raised).best() is not None) is holds, (seed, found.higher_ft)
        held += 1
    assert held >= 8


def test_a_very_large_job_is_left_out() -> None:
    count = MOST_RUNS + 1
    things = [basin(5.0 * i, 0) for i in range(count)]
    job = drawn(*plane(lambda x, y: 100 - 0.02 * x, 900.0), *things, outfall(5.0 * count, 0))
    job = drawn(*(run(f"B{i}", f"B{i + 1}") for i in range(1, count)), run(f"B{count}", "O1"), job=job)
    assert spare(job) == {}
