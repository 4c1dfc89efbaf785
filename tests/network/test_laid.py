"""Readings on laid pipe: levels, verdicts, back-falls, and water that would stand in the pipe."""

from collections.abc import Iterable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.kinds import RodOn
from drainsketch.job.model import Job
from drainsketch.network.laid import laid_points, path_verdict
from drainsketch.review import Review, analyse
from tests.desk.at_desk import PLANE_YARD
from tests.desk.hands import corner_lot
from tests.yards import basin, drawn, kinds, outfall, plane, run

HI = 105.0


def as_laid(job: Job, run_id: str, inverts: Iterable[tuple[float, float]]) -> Review:
    """Return the review of a job whose pipe was read to lie at (station, invert)."""
    if job.laying.height_ft is None:
        job = change_laying(job, height_ft=HI)
    for station, invert in inverts:
        job = read_laid(job, run_id, station, HI - invert)
    return analyse(job)


def two_runs() -> Job:
    """Return B1 through B2 to O1: R1 falls from 98.0 to 97.5 in 50 ft, R2 from 97.5 to 97.0."""
    ground = plane(lambda x, y: 100.0)
    structures = (basin(0, 0, invert_ft=98.0), basin(50, 0, invert_ft=97.5), outfall(100, 0, "tie-in", invert_ft=97.0))
    return drawn(*ground, *structures, run("B1", "B2"), run("B2", "O1"))


PLAN = tuple((float(s), 97.0 + 0.02 * s) for s in range(0, 51, 10))


def test_pipe_that_lies_on_plan_holds() -> None:
    review = as_laid(PLANE_YARD, "R1", PLAN)
    laid = review.laid["R1"]
    assert laid.verdict == "holds"
    assert (laid.lacking, laid.back_falls, laid.bellies) == ((), (), ())
    assert not [k for k in kinds(review) if k.startswith("laid_")]
    station, invert, ok = laid_points(review.laid, "R1")[1]
    assert (station, ok) == (10.0, True)
    assert invert == pytest.approx(97.2)


def test_pipe_three_quarters_of_an_inch_low_is_to_be_dug_again_where_it_is_low() -> None:
    inverts = [(s, z - (0.75 / 12 if s == 40 else 0.0)) for s, z in PLAN]
    review = as_laid(PLANE_YARD, "R1", inverts)
    found = next(f for f in review.findings if f.kind == "laid_off_plan")
    assert (found.level, found.place.station_ft, dict(found.params)["side"]) == ("settle", 40.0, "below")
    assert found.value == pytest.approx(0.75)
    assert review.laid["R1"].verdict == "lay again"
    assert review.laid["R1"].bellies == ()  # 0.2 ft of fall to the reading below it: low, but it drains


def test_a_tolerance_is_kept_to_the_last_digit() -> None:
    for off_in, ok in ((0.25, True), (-0.25, True), (0.26, False)):
        review = as_laid(PLANE_YARD, "R1", [(30.0, 97.6 + off_in / 12)])
        assert review.laid["R1"].points[0].ok is ok


def test_the_stations_still_to_be_shot_are_named() -> None:
    review = as_laid(PLANE_YARD, "R1", PLAN[:3])
    laid = review.laid["R1"]
    assert laid.verdict == "holds so far"
    assert [station for station, _ in laid.lacking] == pytest.approx([30, 40, 50])
    assert laid.lacking[-1][1][0].name == "B1"
    note = next(f for f in review.findings if f.kind == "laid_not_shot")
    assert dict(note.params)["count"] == 3
    assert analyse(PLANE_YARD).laid == {}


def test_a_reading_taken_again_stands_in_place_of_the_first() -> None:
    job = as_laid(PLANE_YARD, "R1", [*PLAN, (20.0, 97.0)]).job
    assert analyse(job).laid["R1"].verdict == "lay again"
    again = analyse(read_laid(job, "R1", 20.0, HI - 97.4))
    assert again.laid["R1"].verdict == "holds"
    assert len(again.job.laying.readings) == len(PLAN)


def test_readings_keep_the_height_and_the_rod_they_were_taken_with() -> None:
    job = read_laid(change_laying(PLANE_YARD, height_ft=HI), "R1", 0.0, HI - 97.0)
    job = change_laying(job, height_ft=101.0, rod_on="top of pipe")
    top = analyse(job).grades["R1"].top_above_invert_ft
    job = read_laid(job, "R1", 10.0, 101.0 - 97.2 - top)
    assert [p.invert_ft for p in analyse(job).laid["R1"].points] == pytest.approx([97.0, 97.2])


def test_water_stands_in_a_v_to_its_lower_lip() -> None:
    """A V: lips at 97.10 (downstream) and 98.00, bottom at 96.90, 20 ft up from the outfall.

    Closed form: the water is 97.10 - 96.90 = 0.20 ft deep. Going down it reaches the lip at station 0; going up the pipe
    rises 1.1 ft in 30 ft, so it comes out of the water 0.2 / 1.1 x 30 = 5.4545 ft above the bottom.
    """
    review = as_laid(PLANE_YARD, "R1", [(0.0, 97.10), (20.0, 96.90), (50.0, 98.00)])
    (belly,) = review.laid["R1"].bellies
    assert belly.depth_ft == pytest.approx(0.20)
    assert (belly.from_ft, belly.low_ft) == (0.0, 20.0)
    assert belly.to_ft == pytest.approx(20 + 0.2 / 1.1 * 30)
    assert belly.level_ft == pytest.approx(97.10)
    assert (belly.lip, belly.lip_station_ft) == ("R1", 0.0)
    (back,) = review.laid["R1"].back_falls
    assert (back.up_ft, back.down_ft) == (20.0, 0.0)
    assert back.rise_ft == pytest.approx(0.20)
    stop = next(f for f in review.findings if f.kind == "laid_holds_water")
    assert stop.level == "stop"
    assert stop.value == pytest.approx(2.4)  # inches


@given(depth_in=st.floats(min_value=0.5, max_value=6), at=st.integers(1, 4), rise_ft=st.floats(0.55, 2))
def test_a_v_of_any_depth_is_as_deep_and_as_long_as_geometry_says(depth_in: float, at: int, rise_ft: float) -> None:
    bottom = 97.0 - depth_in / 12
    low = 10.0 * at
    review = as_laid(PLANE_YARD, "R1", [(0.0, 97.0), (low, bottom), (50.0, bottom + rise_ft)])
    (belly,) = review.laid["R1"].bellies
    assert belly.depth_ft * 12 == pytest.approx(depth_in)
    assert belly.length_ft == pytest.approx(low + (50 - low) * min(1.0, depth_in / 12 / rise_ft))


def test_a_dip_within_the_tolerance_is_a_note_only() -> None:
    review = as_laid(PLANE_YARD, "R1", [(0.0, 97.01), (1.0, 97.005), *PLAN[1:]])
    assert "laid_holds_water" not in kinds(review)
    assert next(f for f in review.findings if f.kind == "laid_shallow_belly").level == "note"
    assert review.laid["R1"].verdict == "holds"


def test_a_lip_in_the_next_run_holds_water_back_in_the_one_above_it() -> None:
    """R2 begins 1.2 in above the end of R1: each run falls, the whole does not."""
    down = [(float(s), 97.1 + 0.01 * s) for s in range(0, 51, 10)]
    up = [(float(s), 97.5 + 0.01 * s) for s in range(0, 51, 10)]
    job = as_laid(two_runs(), "R2", down).job
    review = as_laid(job, "R1", up)
    assert review.laid["R1"].back_falls == ()
    (belly,) = review.laid["R1"].bellies
    assert belly.depth_ft == pytest.approx(0.1)
    assert (belly.from_ft, belly.lip, belly.lip_station_ft) == (0.0, "R2", 50.0)
    assert belly.to_ft == pytest.approx(10.0)
    assert review.laid["R1"].verdict == "lay again"
    path = next(p for p in review.paths if p.inlet == "B1")
    assert path_verdict(path, review.laid) == "lay again"


def test_pipe_below_the_drain_it_joins_holds_water() -> None:
    low = [(float(s), 96.9 + 0.01 * s) for s in range(0, 51, 10)]
    (belly,) = as_laid(two_runs(), "R2", low).laid["R2"].bellies
    assert belly.lip == "O1"
    assert belly.depth_ft == pytest.approx(0.1)


def test_a_path_holds_only_when_all_its_runs_do() -> None:
    job = two_runs()
    on_plan = {"R1": 97.5, "R2": 97.0}
    path = next(p for p in analyse(job).paths if p.inlet == "B1")
    assert path_verdict(path, analyse(job).laid) == "not shot"
    for run_id, said in (("R2", "holds so far"), ("R1", "holds")):
        review = as_laid(job, run_id, [(float(s), on_plan[run_id] + 0.01 * s) for s in range(0, 51, 10)])
        job = review.job
        assert path_verdict(path, review.laid) == said


def test_a_reading_past_the_end_of_a_run_is_a_finding_and_judges_nothing() -> None:
    review = as_laid(PLANE_YARD, "R1", [*PLAN, (60.0, 98.2)])
    assert "laid_past_end" in kinds(review)
    assert [r.station_ft for r in review.laid["R1"].beyond] == [60.0]
    assert review.laid["R1"].verdict == "holds"


def test_readings_on_a_run_without_a_grade_are_a_finding() -> None:
    job = as_laid(PLANE_YARD, "R1", PLAN).job
    assert "laid_not_judged" in kinds(analyse(replace(job, shots=())))


@settings(max_examples=40)
@given(
    rod_on=st.sampled_from(["invert", "top of pipe"]),
    height_ft=st.floats(min_value=101, max_value=120),
    interval_ft=st.floats(min_value=4, max_value=40),
    rounded=st.booleans(),
)
def test_readings_taken_exactly_on_plan_hold_everywhere(
    rod_on: RodOn, height_ft: float, interval_ft: float, rounded: bool
) -> None:
    """Also when they are read to the nearest 1/8 in, which is within the tolerance of 1/4 in."""
    job = change_laying(corner_lot(), rod_on=rod_on, height_ft=height_ft, interval_ft=interval_ft)
    review = analyse(job)
    for flow in review.network.runs:
        grade = review.grades[flow.id]
        top = grade.top_above_invert_ft if rod_on == "top of pipe" else 0.0
        stations = {0.0, flow.length_ft, *(i * interval_ft for i in range(int(flow.length_ft / interval_ft) + 1))}
        for station in stations:
            reading = height_ft - grade.invert_at(station) - top
            job = read_laid(job, flow.id, station, round(reading * 96) / 96 if rounded else reading)
    laid = analyse(job).laid
    assert {run.verdict for run in laid.values()} == {"holds"}
    assert not [k for k in kinds(analyse(job)) if k.startswith("laid_") and k != "laid_shallow_belly"]
