"""Pipe read from a setup of the level book: heights move with the book, and a string reads down by itself."""

import json

import pytest
from msgspec.structs import replace

from drainsketch.errors import EditError, JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.edits.book import change_benchmark, change_setup, remove_setup
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.model import Job
from drainsketch.job.rules import job_faults
from drainsketch.review import Review, analyse, cut_sheet_of
from tests.desk.at_desk import PLANE_YARD
from tests.ground.books import book, bs, fs, known, setup
from tests.yards import kinds

# R1 falls from 98.00 to 97.00 in 50 ft; heights by hand: 100 + 5 = 105, TP1 99.00, 99 + 4 = 103
LEVELS = book(
    setup(bs("BM1", 5.0), fs("TP1", 6.0)), setup(bs("TP1", 4.0), instrument="string line"), marks=(known("BM1", 100.0),)
)
YARD = replace(PLANE_YARD, book=LEVELS)


def on_pipe(review: Review) -> list[float | None]:
    sheet = cut_sheet_of(review, "R1")
    assert sheet is not None
    return [row.reading_ft for row in sheet.rows]


def shot_from(setup_id: str, reading_ft: float) -> Job:
    return read_laid(change_laying(YARD, setup=setup_id), "R1", 0.0, reading_ft)


def test_a_cut_sheet_on_a_setup_moves_with_the_benchmark() -> None:
    job = change_laying(YARD, setup="setup-1")
    assert on_pipe(analyse(job))[0] == pytest.approx(8.0)
    raised = analyse(change_benchmark(job, "benchmark-1", elevation_ft=101.0))
    assert on_pipe(raised)[0] == pytest.approx(9.0)
    assert (raised.laying.height_ft, raised.job.laying.height_ft) == (106.0, None)


def test_what_was_read_from_a_setup_moves_with_it_and_what_was_read_from_a_typed_height_does_not() -> None:
    job = read_laid(change_laying(shot_from("setup-1", 8.0), height_ft=104.0), "R1", 10.0, 6.8)
    assert [(r.setup, r.height_ft) for r in job.laying.readings] == [("setup-1", None), (None, 104.0)]
    raised = change_benchmark(job, "benchmark-1", elevation_ft=101.0)
    assert [p.invert_ft for p in analyse(job).laid["R1"].points] == pytest.approx([97.0, 97.2])
    assert [p.invert_ft for p in analyse(raised).laid["R1"].points] == pytest.approx([98.0, 97.2])


def test_a_setup_brings_its_instrument_and_turns_with_it() -> None:
    job = change_laying(YARD, setup="setup-2")
    assert (job.laying.instrument, analyse(job).laying.height_ft) == ("string line", 103.0)
    turned = change_setup(job, "setup-2", instrument="level")
    assert analyse(turned).laying.instrument == "level"
    typed = change_laying(job, height_ft=102.0)
    assert (typed.laying.setup, typed.laying.instrument) == (None, "string line")


def test_a_setup_that_goes_leaves_its_height_in_the_cut_sheet_and_in_the_readings() -> None:
    job = shot_from("setup-2", 6.0)
    before = analyse(job)
    gone = remove_setup(job, "setup-2", {}, before.book.heights_ft["setup-2"])
    assert (gone.laying.setup, gone.laying.height_ft, gone.laying.instrument) == (None, 103.0, "string line")
    assert [(r.setup, r.height_ft) for r in gone.laying.readings] == [(None, 103.0)]
    assert list(job_faults(gone)) == []
    assert analyse(gone).laid == before.laid


def test_a_setup_without_a_height_is_not_deleted_from_under_its_readings() -> None:
    with pytest.raises(EditError, match="no height to keep them by"):
        remove_setup(shot_from("setup-2", 6.0), "setup-2", {})
    assert change_laying(YARD, setup="setup-2").laying.setup == "setup-2"
    free = remove_setup(change_laying(YARD, setup="setup-2"), "setup-2", {})
    assert (free.laying.setup, free.laying.height_ft) == (None, None)
    with pytest.raises(EditError, match="no setup"):
        change_laying(YARD, setup="setup-9")


def test_readings_whose_setup_lost_its_height_are_told_and_not_judged() -> None:
    job = shot_from("setup-1", 8.0)
    adrift = analyse(replace(job, book=replace(LEVELS, benchmarks=())))
    assert "laid_without_height" in kinds(adrift)
    run = adrift.laid["R1"]
    assert (run.points, [r.reading_ft for r in run.adrift], run.verdict) == ((), [8.0], "not shot")
    assert on_pipe(adrift)[0] is None


def test_the_file_keeps_the_setup_and_refuses_one_that_is_not_there_and_two_heights() -> None:
    job = shot_from("setup-1", 8.0)
    assert parse_job(job_text(job).encode()) == job
    raw = json.loads(job_text(job))
    raw["laying"] |= {"height_ft": 100.0}
    raw["laying"]["readings"][0] |= {"height_ft": 100.0, "setup": "setup-7"}
    with pytest.raises(JobFileError) as caught:
        parse_job(json.dumps(raw).encode())
    assert caught.value.complaints == (
        "laying: give either the height or the setup it is read from, not both",
        "laying.readings[0]: give either the height or the setup it was read from",
        "laying.readings[0].setup: the level book has no setup setup-7",
    )
