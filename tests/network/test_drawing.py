"""Slips of the pen."""

import pytest

from drainsketch.errors import EditError, JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.findings import Finding
from drainsketch.job.edits.change import change_criteria
from drainsketch.job.model import Job, Obstacle
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.yards import basin, drawn, fitting, outfall, plane, run, service, shot


def of(job: Job, kind: str) -> list[Finding]:
    return [f for f in analyse(job).findings if f.kind == kind]


def test_structures_on_one_spot_are_told_once() -> None:
    job = drawn(basin(0, 0), fitting(0.02, 0), outfall(50, 0), run("F1", "O1"))
    (f,) = of(job, "one_spot")
    assert f.place.ids == ("B1", "F1")
    assert not of(drawn(basin(0, 0), fitting(0.2, 0)), "one_spot")


def test_a_run_drawn_through_a_structure_without_joining_it_is_told() -> None:
    job = drawn(basin(0, 0), basin(30, 0.4), outfall(60, 0), run("B1", "O1"))
    assert [f.place.ids for f in of(job, "passes_structure")] == [("R1", "B2")]
    assert not of(drawn(basin(0, 0), basin(30, 0.6), outfall(60, 0), run("B1", "O1")), "passes_structure")


def test_a_run_that_crosses_itself_is_told() -> None:
    assert of(drawn(basin(0, 0), outfall(60, 0), run("B1", "O1", (40, 0), (40, 9), (20, -9))), "run_crosses_itself")
    assert not of(drawn(basin(0, 0), outfall(60, 0), run("B1", "O1", (40, 5))), "run_crosses_itself")


def test_a_run_through_something_else_is_told_with_its_length() -> None:
    pool = Obstacle(id="", kind="other", points=((20, -5), (32, -5), (32, 5), (20, 5)))
    (f,) = of(drawn(pool, basin(0, 0), outfall(60, 0), run("B1", "O1")), "through_obstacle")
    assert f.value == 12


def test_level_pipe_is_told_even_where_the_least_slope_is_nothing() -> None:
    job = drawn(
        *plane(lambda x, y: 100.0),
        basin(0, 0),
        outfall(60, 0, "tie-in"),
        run("B1", "O1", start_invert_ft=97.0, end_invert_ft=97.0),
    )
    assert of(change_criteria(job, min_slope=0.0), "run_level")


def test_pipe_hanging_over_a_swale_just_before_its_outfall_is_a_stop() -> None:
    # curb at 100 and a basin pinned at 100.3: over a swale at 97 the pipe hangs some 3 ft up, though no cover is asked there
    swale = tuple(shot(x, y, z) for x, z in ((-20, 102), (8, 101), (14, 97), (18, 97), (25, 100)) for y in (-20, 20))
    out = outfall(25, 0, "curb", invert_ft=100.0)
    (f,) = of(drawn(*swale, basin(7, 0), out, run("B1", "O1", start_invert_ft=100.3)), "hangs")
    assert f.level == "stop"
    # at the swale's edge by the outfall, station 7: invert 100 + 0.3 x 7 / 18; at station 11 it is 0.067 ft higher
    assert f.value is not None
    assert abs(f.value - (100 + 0.3 * 11 / 18 - 97)) < 0.01


@pytest.mark.parametrize(
    ("kind", "depth_ft", "limit"),
    [("electric", 30.0, 8.0), ("gas", 8.0, None), ("gas", 8.1, 8.0), ("sewer", 15.0, None), ("sewer", 16.0, 15.0)],
)
def test_a_service_deeper_than_any_yard_has_it_is_told(kind: str, depth_ft: float, limit: float | None) -> None:
    job = drawn(service(kind, (0, 0), (50, 0), depth_top_ft=depth_ft))
    found = of(job, "depth_unlikely")
    assert [(f.level, f.place.ids, f.value, f.limit) for f in found] == (
        [("settle", (f"{kind}-1",), depth_ft, limit)] if limit else []
    )
    if kind == "electric":
        assert Words("en", "ft").sentence(found[0]) == (
            "electric-1 is entered as 30.00 ft deep: inches may have been typed as feet."
        )


def test_a_least_slope_typed_in_percent_is_refused_with_its_place() -> None:
    """1.0 for 1 % is one foot in one."""
    job = change_criteria(Job(), min_slope=0.25)
    with pytest.raises(EditError, match="min_slope"):
        change_criteria(job, min_slope=1.0)
    text = job_text(job)
    assert parse_job(text.encode()) == job
    with pytest.raises(JobFileError, match="min_slope"):
        parse_job(text.replace('"min_slope": 0.25', '"min_slope": 1.0').encode())
