"""The rows of a cut sheet: where they stand, what they carry, and what they warn of."""

from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.edits.laying import change_laying
from drainsketch.job.model import Job
from drainsketch.network.cutsheet import CutMark, CutSheet, cut_sheet, to_shoot
from drainsketch.review import Review, analyse
from tests.desk.at_desk import PLANE_YARD
from tests.yards import basin, drawn, outfall, plane, run


def sheet_of(job: Job, run_id: str = "R1", units: str = "ft-in") -> CutSheet:
    review = analyse(job)
    return of_review(review, run_id, units)


def of_review(review: Review, run_id: str, units: str = "ft-in") -> CutSheet:
    flow = next(f for f in review.network.runs if f.id == run_id)
    grade, profile = review.grades[run_id], review.profiles[run_id]
    return cut_sheet(review.job.laying, units, flow, profile, grade, review.crossings)


def test_there_is_a_row_at_every_interval_structure_and_crossing() -> None:
    sheet = sheet_of(PLANE_YARD)
    assert [row.station_ft for row in sheet.rows] == pytest.approx([0, 10, 20, 30, 40, 50])
    assert sheet.rows[0].marks == (CutMark("structure", "O1"),)
    assert sheet.rows[-1].marks == (CutMark("structure", "B1"),)
    # the water line at x = 30 and the gas line at x = 20 are 20 and 30 ft up from the outfall at x = 50
    assert {m.kind for row in sheet.rows[2:4] for m in row.marks} == {"crossing"}
    assert sheet.rows[1].marks == (CutMark("station"),)


def test_bends_stand_at_their_own_station_with_their_number_counted_downstream() -> None:
    job = drawn(*plane(lambda x, y: 100 - 0.02 * x), basin(0, 0), outfall(60, 25), run("B1", "O1", (30, 0), (60, 0)))
    marks = {row.station_ft: row.marks for row in sheet_of(job).rows if row.marks[0].kind == "bend"}
    assert marks == {55.0: (CutMark("bend", "1"),), 25.0: (CutMark("bend", "2"),)}


def test_grade_breaks_have_a_row_and_every_invert_is_on_the_broken_grade() -> None:
    review = analyse(PLANE_YARD)
    grade = replace(review.grades["R1"], breaks=((25.0, 97.8),))
    flow = review.network.runs[0]
    sheet = cut_sheet(PLANE_YARD.laying, "ft", flow, review.profiles["R1"], grade)
    at = {row.station_ft: row for row in sheet.rows}
    assert CutMark("grade break") in at[25.0].marks
    assert at[25.0].invert_ft == pytest.approx(97.8)
    assert at[10.0].invert_ft == pytest.approx(97.0 + 0.8 * 10 / 25)
    assert at[40.0].invert_ft == pytest.approx(97.8 + 0.2 * 15 / 25)


def test_cut_is_ground_minus_trench_bottom_and_readings_are_height_minus_level() -> None:
    job = change_laying(PLANE_YARD, height_ft=103.0)
    grade = analyse(job).grades["R1"]
    for row in sheet_of(job).rows:
        x = 50.0 - row.station_ft
        assert row.ground_ft == pytest.approx(100 - 0.02 * x)
        assert row.invert_ft == pytest.approx(97 + 0.02 * row.station_ft)
        assert row.cut_ft == pytest.approx(2.0 + grade.bottom_below_invert_ft)
        assert row.reading_ft == pytest.approx(103 - row.invert_ft)
        assert row.bottom_reading_ft == pytest.approx(103 - row.bottom_ft)


def test_with_the_rod_on_top_of_the_pipe_the_reading_is_less_by_inside_height_and_wall() -> None:
    job = change_laying(PLANE_YARD, height_ft=103.0)
    grade = analyse(job).grades["R1"]
    on_top = sheet_of(change_laying(job, rod_on="top of pipe"))
    for a, b in zip(sheet_of(job).rows, on_top.rows, strict=True):
        assert a.reading_ft is not None
        assert b.reading_ft == pytest.approx(a.reading_ft - grade.top_above_invert_ft)
        assert b.bottom_reading_ft == pytest.approx(a.bottom_reading_ft)


@pytest.mark.parametrize(("height_ft", "trouble"), [(97.5, "above the line"), (130.0, "beyond the rod"), (103.0, "")])
def test_a_setup_from_which_nothing_can_be_read_is_told(height_ft: float, trouble: str) -> None:
    rows = sheet_of(change_laying(PLANE_YARD, height_ft=height_ft)).rows
    assert rows[-1].trouble == trouble


def test_a_fall_smaller_than_a_reading_is_rounded_to_is_told() -> None:
    close = sheet_of(change_laying(PLANE_YARD, interval_ft=1.0), units="m")  # 2 % of 1 ft is 6 mm
    assert not any(row.is_close for row in close.rows)
    flat = replace(PLANE_YARD, structures=(replace(PLANE_YARD.structures[0], invert_ft=97.4), PLANE_YARD.structures[1]))
    rows = sheet_of(change_laying(flat, interval_ft=1.0)).rows  # 0.8 % of 1 ft is less than 1/8 in
    assert all(row.is_close for row in rows[1:])
    assert not rows[0].is_close


@example(1.0, 0.95)  # a round station just past the end is none
@given(st.floats(min_value=1, max_value=500), st.floats(min_value=0.5, max_value=190))
def test_rows_rise_along_the_run_and_no_station_is_missed(interval_ft: float, length_ft: float) -> None:
    job = drawn(*plane(lambda x, y: 100 - 0.02 * x), basin(0, 0), outfall(length_ft, 0), run("B1", "O1"))
    sheet = sheet_of(change_laying(job, interval_ft=interval_ft))
    stations = [row.station_ft for row in sheet.rows]
    assert stations == sorted(set(stations))
    assert (stations[0], stations[-1]) == pytest.approx((0.0, length_ft), abs=1e-6)
    assert max(b - a for a, b in pairwise(stations)) <= interval_ft + 0.051
    assert len(stations) <= 600


@pytest.mark.parametrize(
    ("asked_ft", "interval_m"),
    [
        (10.0, 3.0),
        (5.0, 1.5),
        (25.0, 7.5),
        (1.0, 0.5),
        (4 / 0.3048, 4.0),
        (50.0, 15.0),
    ],  # 10 ft is 3.048 m, 25 ft 7.62 m
)
def test_stations_of_a_metric_job_are_round(asked_ft: float, interval_m: float) -> None:
    job = change_laying(PLANE_YARD, interval_ft=asked_ft)
    sheet = sheet_of(job, units="m")
    assert sheet.interval_ft * 0.3048 == pytest.approx(interval_m)
    length_ft = analyse(job).network.runs[0].length_ft
    plain = [row.station_ft * 0.3048 for row in sheet.rows if row.marks[0].kind == "station"]
    assert plain == pytest.approx([i * interval_m for i in range(1, int(length_ft * 0.3048 / interval_m) + 1)])
    assert sheet_of(job).interval_ft == asked_ft  # in feet it is what was asked


def test_laid_pipe_of_a_metric_job_is_shot_where_its_cut_sheet_has_a_row() -> None:
    job = replace(PLANE_YARD, header=replace(PLANE_YARD.header, units="m"))
    review = analyse(job)
    flow, grade = review.network.runs[0], review.grades["R1"]
    rows = {row.station_ft for row in sheet_of(job, units="m").rows}
    assert {s for s, _ in to_shoot(job.laying, "m", flow, grade)} <= rows
