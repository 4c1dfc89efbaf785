"""Structures against the ground, their rims, their pins and their holes, worked by hand."""

import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.model import Job
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run

FLAT = plane(lambda x, y: 100.0)
TOP_FT = 4.095 / 12  # 4 in SDR 35, outside top over the invert (ASTM D3034)


def only(job: Job, kind: str) -> Finding:
    (found,) = [f for f in analyse(job).findings if f.kind == kind]
    return found


@pytest.mark.parametrize(
    ("rim", "kind"), [(100.05, None), (100.4, "rim_high"), (99.6, None), (99.2, "rim_low"), (None, None)]
)
def test_a_grate_off_the_ground_is_told(rim: float | None, kind: str | None) -> None:
    job = drawn(*FLAT, basin(0, 0, rim_ft=rim), outfall(60, 0, "tie-in", invert_ft=96.0), run("B1", "O1"))
    found = [f for f in analyse(job).findings if f.kind in ("rim_high", "rim_low")]
    assert [f.kind for f in found] == ([kind] if kind else [])
    assert [f.value for f in found] == ([pytest.approx(abs(rim - 100))] if kind and rim else [])


def test_pipe_above_the_grate_it_serves_is_a_stop_though_it_lies_in_the_ground() -> None:
    job = drawn(
        *FLAT, basin(0, 0, rim_ft=98.0), outfall(60, 0, "tie-in", invert_ft=96.0), run("B1", "O1", start_invert_ft=98.2)
    )
    found = only(job, "pipe_over_rim")
    assert found.level == "stop"
    assert found.value == pytest.approx(98.2 + TOP_FT - 98.0)
    assert "pipe_over_rim" not in kinds(analyse(change(job, "R1", start_invert_ft=97.6)))


def test_pipe_arriving_above_the_grate_is_a_stop_too() -> None:
    job = drawn(
        *FLAT,
        basin(0, 0),
        basin(40, 0, rim_ft=98.0),
        outfall(80, 0, "tie-in", invert_ft=95.0),
        *(run("B1", "B2", end_invert_ft=98.5), run("B2", "O1")),
    )
    assert only(job, "pipe_over_rim").place.ids == ("B2", "R1")
    assert only(job, "pipe_over_rim").value == pytest.approx(98.5 + TOP_FT - 98.0)


def test_two_levels_for_one_pipe_end_are_told() -> None:
    job = drawn(
        *FLAT,
        basin(0, 0, invert_ft=97.5),
        outfall(60, 0, "tie-in", invert_ft=95.0),
        run("O1", "B1", end_invert_ft=97.2),
    )
    assert only(job, "pins_disagree").value == pytest.approx(0.3)
    assert "pins_disagree" not in kinds(analyse(change(job, "B1", invert_ft=97.2)))


def test_a_drop_at_a_fitting_is_told_and_at_a_basin_is_not() -> None:
    pipe = (run("B1", "F1", end_invert_ft=97.5), run("F1", "O1", start_invert_ft=97.0))
    out = outfall(80, 0, "tie-in", invert_ft=95.0)
    assert only(drawn(*FLAT, basin(0, 0), fitting(40, 0), out, *pipe), "drops_at_fitting").value == pytest.approx(0.5)
    pipe = (run("B1", "B2", end_invert_ft=97.5), run("B2", "O1", start_invert_ft=97.0))
    assert "drops_at_fitting" not in kinds(analyse(drawn(*FLAT, basin(0, 0), basin(40, 0), out, *pipe)))


def test_the_pipe_that_leaves_goes_down_to_a_pinned_one_that_arrives() -> None:
    """Free pipe follows the pins of its neighbors rather than leave water standing."""
    job = drawn(
        *FLAT,
        basin(0, 0),
        basin(40, 0),
        outfall(80, 0, "tie-in", invert_ft=95.0),
        *(run("B1", "B2", end_invert_ft=96.0), run("B2", "O1")),
    )
    review = analyse(job)
    assert review.grades["R2"].invert_up_ft == pytest.approx(96.0)
    assert "steps_up" not in kinds(review)
    raised = change(change(job, "R1", end_invert_ft=None), "R2", start_invert_ft=98.2)
    assert analyse(raised).grades["R1"].invert_down_ft >= 98.2 - 1e-6


@pytest.mark.parametrize(
    ("cut_ft", "kind"),
    [(3.99, None), (4.0, "trench_needs_ladder"), (4.99, "trench_needs_ladder"), (5.0, "trench_to_shore")],
)
def test_trenches_of_exactly_four_and_five_feet(cut_ft: float, kind: str | None) -> None:
    """29 CFR 1926.651(c)(2): 4 ft or more; 652(a)(1): protection unless less than 5 ft. Wall of the pipe 0.120 in."""
    invert = 100 - cut_ft + 0.12 / 12
    job = drawn(
        *FLAT,
        basin(0, 0),
        outfall(60, 0, "tie-in"),
        run("B1", "O1", start_invert_ft=invert + 0.6, end_invert_ft=invert),
    )
    found = [f for f in analyse(job).findings if f.kind.startswith("trench")]
    assert [f.kind for f in found] == ([kind] if kind else [])
    assert [(f.value, f.place.station_ft) for f in found] == ([(pytest.approx(cut_ft), 0.0)] if kind else [])


def test_a_hole_that_has_to_be_shored_beside_shallower_trenches_is_told() -> None:
    # pipe leaves at 95.2: trench 4.81 ft; sump 4 in and bed 2 in below the invert make the hole 5.30 ft
    job = drawn(*FLAT, basin(0, 0), outfall(10, 0, "tie-in", invert_ft=95.1), run("B1", "O1", start_invert_ft=95.2))
    assert only(job, "hole_to_shore").value == pytest.approx(4.8 + 6 / 12)
    assert "hole_to_shore" not in kinds(analyse(change_criteria(job, basin_sump_in=0.0, basin_bed_in=0.0)))


def test_slope_limits_that_leave_no_slope_are_told() -> None:
    job = change_criteria(drawn(*FLAT), min_slope=0.02, max_slope=0.01)
    assert only(job, "slope_limits_cross").value == 0.02
