"""Edits of the laying, and what they keep whole."""

import pytest

from drainsketch.errors import EditError, JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.edits.join import split_run
from drainsketch.job.edits.laying import change_laying, read_laid, readings_told, unread_laid
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Job
from drainsketch.job.rules import job_faults
from tests.desk.at_desk import PLANE_YARD
from tests.yards import fitting


def shot_yard() -> Job:
    job = change_laying(PLANE_YARD, height_ft=103.0)
    for station in (0.0, 10.0, 20.0):
        job = read_laid(job, "R1", station, 6.0 - 0.02 * station)
    return job


def test_readings_get_fresh_ids_and_the_job_stays_whole() -> None:
    job = shot_yard()
    assert [r.id for r in job.laying.readings] == ["laid-1", "laid-2", "laid-3"]
    assert list(job_faults(job)) == []


def test_a_reading_needs_a_height_a_run_and_sane_figures() -> None:
    with pytest.raises(EditError, match="height of the instrument first"):
        read_laid(PLANE_YARD, "R1", 0.0, 5.0)
    job = change_laying(PLANE_YARD, height_ft=103.0, instrument="string line")
    for run, station, reading in (("R9", 0.0, 5.0), ("R1", -1.0, 5.0), ("R1", 0.0, 500.0)):
        with pytest.raises(EditError):
            read_laid(job, run, station, reading)


def test_a_reading_is_replaced_and_taken_off_at_its_station() -> None:
    job = read_laid(shot_yard(), "R1", 10.0, 5.0)
    assert sorted(r.reading_ft for r in job.laying.readings) == pytest.approx([5.0, 5.6, 6.0])
    assert read_laid(job, "R1", 10.0, 5.0) is job
    assert len(unread_laid(job, "R1", 10.0).laying.readings) == 2
    assert unread_laid(job, "R1", 33.0) is job


def test_readings_go_with_their_run_and_it_is_told() -> None:
    job = shot_yard()
    assert readings_told(job, ("R1",)) == "3 as-laid readings go with it; undo brings them back."
    assert readings_told(job, ("B1",)) == ""
    assert remove(job, ["B1"]).laying.readings == ()
    assert list(job_faults(remove(job, ["B1"]))) == []


def test_a_run_that_is_shot_is_not_split() -> None:
    with pytest.raises(EditError, match="as-laid readings"):
        split_run(shot_yard(), "R1", (25.0, 0.0), fitting(25.0, 0.0))


def test_a_file_keeps_a_reading_a_line_and_refuses_one_on_no_run() -> None:
    text = job_text(shot_yard())
    assert parse_job(text.encode()) == shot_yard()
    assert sum('"laid-' in line for line in text.splitlines()) == 3
    for wrong, place in (
        (text.replace('"run": "R1", "station_ft": 10.0', '"run": "R7", "station_ft": 10.0'), "laying.readings[1].run"),
        (text.replace('"laid-2"', '"laid-1"'), "laying.readings[1].id"),
        (text.replace('"station_ft": 10.0', '"station_ft": -1.0'), "laying.readings[1].station_ft"),
    ):
        with pytest.raises(JobFileError) as caught:
            parse_job(wrong.encode())
        assert caught.value.complaints[0].startswith(place)
