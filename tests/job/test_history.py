"""Undo and redo."""

from msgspec.structs import replace

from drainsketch.job.history import History
from drainsketch.job.model import Header, Job

FIRST = Job()
SECOND = replace(FIRST, header=Header(title="second"))
THIRD = replace(FIRST, header=Header(title="third"))


def test_labels_say_what_undo_and_redo_would_do() -> None:
    history = History.of(FIRST).done(SECOND, "name the job")
    assert (history.undo_label, history.redo_label) == ("name the job", None)
    back = history.undone()
    assert (back.undo_label, back.redo_label) == (None, "name the job")
    assert back.redone().job is SECOND


def test_undo_stops_at_the_start_and_redo_at_the_end() -> None:
    history = History.of(FIRST).done(SECOND, "a")
    assert history.undone().undone().undone().job is FIRST
    assert history.redone().redone().job is SECOND


def test_a_new_edit_forgets_what_had_been_undone() -> None:
    history = History.of(FIRST).done(SECOND, "a").undone().done(THIRD, "b")
    assert history.jobs == (FIRST, THIRD)
    assert history.redo_label is None
    assert len(history.labels) == len(history.jobs)


def test_an_edit_that_changed_nothing_leaves_no_step() -> None:
    history = History.of(FIRST)
    assert history.done(FIRST, "nothing") is history


def test_an_amended_step_is_one_step_and_keeps_its_label() -> None:
    history = History.of(FIRST).done(SECOND, "nudge").amended(THIRD)
    assert (history.jobs, history.labels) == ((FIRST, THIRD), ("", "nudge"))
    assert history.undone().job is FIRST
    assert history.undone().redone().job is THIRD


def test_amending_forgets_what_had_been_undone_but_never_the_job_that_was_opened() -> None:
    history = History.of(FIRST).done(SECOND, "a").done(THIRD, "b").undone()
    assert history.amended(FIRST).jobs == (FIRST, FIRST)
    assert History.of(FIRST).amended(SECOND).jobs == (FIRST, SECOND)
    assert history.amended(SECOND) is history


def test_ten_thousand_steps_are_kept() -> None:
    history = History.of(FIRST)
    for i in range(10_000):
        history = history.done(replace(FIRST, header=Header(title=str(i))), str(i))
    for _ in range(10_000):
        history = history.undone()
    assert history.job is FIRST


def test_dropped_step_leaves_nothing_to_do_again() -> None:
    history = History.of(FIRST).done(SECOND, "one").done(THIRD, "two")
    assert history.dropped() == History.of(FIRST).done(SECOND, "one")
    assert history.undone().dropped().redo_label is None
    assert History.of(FIRST).dropped().job is FIRST
