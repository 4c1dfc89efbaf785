"""Edits: whatever is done in whatever order, the job stays one that can be written and read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import EditError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.ask import length_ft, run_points, runs_at, structures_by_id, thing, things
from drainsketch.job.edits.join import split_run
from drainsketch.job.edits.move import move
from drainsketch.job.edits.remove import remove, with_dependents
from drainsketch.job.history import History
from drainsketch.job.model import COLLECTIONS, Job, Structure
from tests.strategies import edited, jobs
from tests.strategies_of import points


def one_edit(data: st.DataObject, job: Job) -> Job:
    """Return the job after an edit, or as it is when the edit is refused."""
    try:
        return data.draw(edited(job))
    except EditError:
        return job


@given(jobs(), st.data())
def test_any_edits_leave_a_job_that_reads_back_equal(start: Job, data: st.DataObject) -> None:
    job = start
    for _ in range(data.draw(st.integers(1, 8))):
        job = one_edit(data, job)
    assert parse_job(job_text(job).encode()) == job


@given(jobs(), st.data())
def test_an_edit_shares_every_list_it_did_not_touch(job: Job, data: st.DataObject) -> None:
    after = one_edit(data, job)
    for name in COLLECTIONS:
        if getattr(after, name) == getattr(job, name):
            assert getattr(after, name) is getattr(job, name)


@given(jobs(), st.data())
def test_undo_returns_the_very_same_jobs_and_redo_writes_the_same_bytes(start: Job, data: st.DataObject) -> None:
    history = History.of(start)
    steps = [start]
    for i in range(data.draw(st.integers(1, 8))):
        job = one_edit(data, history.job)
        history = history.done(job, f"step {i}")
        if job is not steps[-1]:
            steps.append(job)
    texts = [job_text(job) for job in steps]
    for job, text in zip(reversed(steps), reversed(texts), strict=True):
        assert history.job is job
        assert job_text(history.job) == text
        history = history.undone()
    assert history.job is start
    assert history.undo_label is None
    for job, text in zip(steps, texts, strict=True):
        assert history.job is job
        assert job_text(history.job) == text
        history = history.redone()
    assert history.redo_label is None


@given(jobs(), st.data())
def test_removing_takes_the_runs_of_a_structure_along_and_nothing_else(job: Job, data: st.DataObject) -> None:
    ids = [t.id for t in things(job)]
    if not ids:
        return
    gone = data.draw(st.lists(st.sampled_from(ids), min_size=1, max_size=4))
    after = remove(job, gone)
    expected = set(gone) | {run.id for i in gone for run in runs_at(job, i)}
    assert set(ids) - {t.id for t in things(after)} == expected == set(with_dependents(job, iter(gone)))
    assert all(s.downspout is None or thing(after, s.downspout) for s in after.structures)


@given(jobs(), points(), st.data())
def test_splitting_a_run_keeps_its_plan_length(job: Job, at: tuple[float, float], data: st.DataObject) -> None:
    if not job.runs:
        return
    run = data.draw(st.sampled_from(job.runs))
    try:
        after, new_id = split_run(job, run.id, at, Structure(id="", kind="fitting", point=(0.0, 0.0)))
    except EditError:
        return
    before_ft = length_ft(run_points(run, structures_by_id(job)))
    halves = runs_at(after, new_id)
    assert len(halves) == 2
    both_ft = sum(length_ft(run_points(r, structures_by_id(after))) for r in halves)
    assert both_ft == pytest.approx(before_ft, abs=1e-5)
    first, second = halves
    assert (first.start, first.start_invert_ft, first.end_invert_ft) == (run.start, run.start_invert_ft, None)
    assert (second.end, second.start_invert_ft, second.end_invert_ft) == (run.end, None, run.end_invert_ft)


@given(jobs(), st.integers(-64, 64), st.integers(-64, 64))
def test_moving_everything_there_and_back_moves_nothing_far(job: Job, east: int, north: int) -> None:
    ids = [t.id for t in things(job)]
    again = move(move(job, ids, east, north), ids, -east, -north)
    for old, new in zip(things(job), things(again), strict=True):
        assert old.id == new.id
    assert parse_job(job_text(again).encode()) == again
