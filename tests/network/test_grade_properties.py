"""What holds of grades whatever the yard: limits, the datum, units, and what is remembered."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.edits.move import move
from drainsketch.job.model import Job
from drainsketch.job.units import parse_length_ft
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, outfall, run, service, shot

M_PER_FT = 0.3048
GRID = [(x, y) for x in (0, 40, 80, 120) for y in (-40, 0, 40)]


def yard(levels: list[float], kind: str = "daylight") -> Job:
    """Return a small tree over twelve shots, with a service across it and dear digging."""
    shots = [shot(x, y, z) for (x, y), z in zip(GRID, levels, strict=True)]
    job = drawn(
        *shots,
        basin(10, 5),
        basin(50, -5),
        fitting(80, 0),
        basin(70, 30),
        outfall(115, 0, kind),
        run("B1", "B2"),
        run("B2", "F1", diameter_in=6),
        run("B3", "F1"),
        run("F1", "O1", diameter_in=8),
        service("electric", (60, -40), (60, 40), depth_top_ft=2.5, size_in=1.0, depth_error_ft=0.2),
    )
    return change_criteria(job, min_slope=0.008, max_slope=0.2)


levels = st.lists(st.floats(-0.8, 0.8), min_size=12, max_size=12).map(
    lambda rough: [100 - 0.03 * x + r for (x, _), r in zip(GRID, rough, strict=True)]
)


@settings(max_examples=20, deadline=None)
@given(levels, st.integers(0, 11), st.floats(0.0, 3.0), st.sampled_from(["daylight", "dry well", "pop-up"]))
def test_raising_a_shot_never_makes_pipe_that_holds_its_limits_steeper_than_they_allow(
    z: list[float], which: int, by: float, kind: str
) -> None:
    z = [level + (by if i == which else 0.0) for i, level in enumerate(z)]
    review = analyse(yard(z, kind))
    assert review.placed is not None
    for part in review.placed.parts:
        for r in part.part.runs:
            g = review.grades[r.run.id]
            if not part.gave:
                assert 0.008 - 1e-7 <= g.least_slope <= g.greatest_slope <= 0.2 + 1e-7


@settings(max_examples=12, deadline=None)
@given(levels, st.floats(-300, 300))
def test_another_datum_moves_every_level_by_as_much_and_nothing_else(z: list[float], by: float) -> None:
    here, there = analyse(yard(z)), analyse(yard([level + by for level in z]))
    assert [(f.kind, f.place.ids) for f in here.findings] == [(f.kind, f.place.ids) for f in there.findings]
    for run_id, g in here.grades.items():
        assert there.grades[run_id].invert_up_ft == pytest.approx(g.invert_up_ft + by, abs=1e-5)
        assert there.grades[run_id].invert_down_ft == pytest.approx(g.invert_down_ft + by, abs=1e-5)


@settings(max_examples=8, deadline=None)
@given(levels)
def test_a_yard_typed_in_meters_gets_the_grades_of_the_same_yard_typed_in_feet(z: list[float]) -> None:
    # 0.3048 m is a foot exactly (international foot)
    metric = [parse_length_ft(f"{level * M_PER_FT:.9f} m") for level in z]
    feet, meters = analyse(yard(z)), analyse(yard(metric))
    assert [f.kind for f in feet.findings] == [f.kind for f in meters.findings]
    for run_id, g in feet.grades.items():
        assert meters.grades[run_id].invert_up_ft == pytest.approx(g.invert_up_ft, abs=1e-5)
        assert meters.grades[run_id].invert_down_ft == pytest.approx(g.invert_down_ft, abs=1e-5)


@settings(max_examples=8, deadline=None)
@given(levels, st.lists(st.tuples(st.sampled_from(["B1", "B3", "O1"]), st.floats(-3, 3)), min_size=1, max_size=4))
def test_grades_after_a_drag_are_those_of_the_job_by_itself(z: list[float], moves: list[tuple[str, float]]) -> None:
    job = yard(z)
    review = analyse(job)
    for name, by in moves:
        job = move(job, [name], by, -by / 2)
        review = analyse(job, review)
    assert review.grades == analyse(job).grades


def test_two_yards_are_graded_apart_and_the_one_not_touched_is_kept() -> None:
    levels = [100 - 0.03 * x for x, _ in GRID]
    job = drawn(basin(20, 35), outfall(60, 38), run("B4", "O2"), job=yard(levels))
    before = analyse(job)
    after = analyse(move(job, ["B4"], 1.0, 0.0), before)
    assert before.placed is not None and after.placed is not None
    kept = [p for p in after.placed.parts if any(p is q for q in before.placed.parts)]
    assert [sorted(r.run.id for r in p.part.runs) for p in kept] == [["R1", "R2", "R3", "R4"]]


def test_equal_digging_is_parted_by_even_slopes() -> None:
    """A dip holds the first pipe at its middle, so it may turn about it for nothing; the second is pinned to fall 4 %.

    Its trench ends at the basin's hole, 1 ft short, so that the dip at 20 ft is its middle. By hand: fallen 4 % as well, its slope
    differs from the next by nothing.
    """
    ground = [shot(x, y, 100 - (3 if x == 20 else 0)) for x in (-5, 19, 20, 21, 60, 90) for y in (-30, 30)]
    middle = 97 - 1 - 4.095 / 12
    job = drawn(
        *ground,
        fitting(0, 0),
        basin(41, 0),
        outfall(81, 0, "dry well"),
        run("F1", "B1"),
        run("B1", "O1", start_invert_ft=middle - 1.6, end_invert_ft=middle - 3.2),
    )
    g = analyse(change_criteria(job, min_slope=0.005, beyond_4_ft_times=1.0, beyond_5_ft_times=1.0)).grades["R1"]
    assert g.invert_at(21.0) == pytest.approx(middle, abs=1e-5)
    assert g.slope == pytest.approx(0.04, abs=1e-4)


def test_replaced_but_equal_things_keep_their_grades() -> None:
    job = yard([100 - 0.03 * x for x, _ in GRID])
    before = analyse(job)
    after = analyse(replace(job, structures=tuple(replace(s) for s in job.structures)), before)
    assert before.placed is not None and after.placed is not None
    assert np.array([a is b for a, b in zip(after.placed.parts, before.placed.parts, strict=True)]).all()
