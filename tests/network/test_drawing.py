"""Slips of the pen."""

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change_criteria
from drainsketch.job.model import Job, Obstacle
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, outfall, plane, run, shot


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
