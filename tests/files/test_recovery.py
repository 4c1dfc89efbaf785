"""Recovery copies on disk."""

import os
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.errors import JobFileError
from drainsketch.files import recovery
from drainsketch.files.jobfile import read_job
from drainsketch.job.model import Header, Job, Shot

WORK = Job(header=Header(title="Unsaved"), shots=(Shot(id="S1", point=(1.0, 2.0), elevation_ft=99.5),))


def test_copy_is_a_job_file_that_says_where_it_belongs(tmp_path: Path) -> None:
    mine = tmp_path / "with blank and é.drainjob"
    recovery.make_folder(tmp_path / "a" / "b")
    copy = recovery.new_copy(tmp_path / "a" / "b")
    recovery.keep(WORK, copy, mine)
    assert read_job(copy) == WORK
    assert recovery.original_of(copy) == mine
    assert not mine.exists()  # the user's file is not touched
    assert recovery.copies(copy.parent) == (copy,)


def test_copies_come_newest_first_and_names_never_meet(tmp_path: Path) -> None:
    one, two, three = (recovery.new_copy(tmp_path) for _ in range(3))
    assert len({one, two, three}) == 3
    for seconds, copy in ((100, one), (300, two), (200, three)):
        recovery.keep(WORK, copy, None)
        os.utime(copy, (seconds, seconds))
    assert recovery.copies(tmp_path) == (two, three, one)
    assert recovery.original_of(one) is None
    assert recovery.copies(tmp_path / "not there") == ()


def test_forgotten_copy_leaves_nothing(tmp_path: Path) -> None:
    copy = recovery.new_copy(tmp_path)
    recovery.keep(WORK, copy, tmp_path / "mine.drainjob")
    recovery.forget(copy)
    recovery.forget(copy)
    assert list(tmp_path.iterdir()) == []


def test_work_that_would_not_read_back_is_kept_all_the_same(tmp_path: Path) -> None:
    twice = replace(WORK, shots=(*WORK.shots, *WORK.shots))  # an id is there twice
    copy = recovery.new_copy(tmp_path)
    recovery.keep(twice, copy, None)
    with pytest.raises(JobFileError):
        read_job(copy)
    aside = recovery.set_aside(copy)
    assert '"S1"' in aside.read_text()
    assert recovery.copies(tmp_path) == ()


def test_copy_that_cannot_be_written_says_why(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    for try_it in (
        lambda: recovery.make_folder(tmp_path / "file"),
        lambda: recovery.keep(WORK, recovery.new_copy(tmp_path / "file"), None),
    ):
        with pytest.raises(JobFileError, match="no recovery copy could be written in"):
            try_it()
