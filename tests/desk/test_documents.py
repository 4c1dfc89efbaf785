"""Job files of the window: nothing is lost or overwritten without asking."""

import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from drainsketch.desk.documents import Documents, sample_names
from drainsketch.desk.recovery import Recovery
from drainsketch.desk.rescue import Rescue
from drainsketch.desk.session import Session
from drainsketch.files.jobfile import read_job
from drainsketch.files.saving import save_job
from drainsketch.job.edits.change import change, change_header
from drainsketch.job.model import Job
from tests.desk.at_desk import PLANE_YARD, Answers, settings_in


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Session, Documents, Answers]:
    answers = Answers()
    session = Session()
    return session, Documents(session, answers, settings_in(tmp_path)), answers


def saved_yard(folder: Path, name: str = "yard.drainjob") -> Path:
    path = folder / name
    save_job(PLANE_YARD, path)
    return path


def edit(session: Session, title: str = "Changed") -> None:
    session.apply(change_header(session.job, title=title), "Change job")


def test_opened_job_is_the_saved_one_and_counts_as_saved(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    session, documents, _ = desk
    path = saved_yard(tmp_path)
    assert documents.open(path)
    assert session.job == PLANE_YARD
    assert not session.modified
    assert documents.recent.paths() == (path,)


def test_saving_writes_the_job_and_clears_the_mark(desk: tuple[Session, Documents, Answers], tmp_path: Path) -> None:
    session, documents, _ = desk
    path = saved_yard(tmp_path)
    documents.open(path)
    edit(session)
    assert session.modified
    assert documents.save()
    assert not session.modified
    assert read_job(path).header.title == "Changed"


def test_first_save_asks_for_a_name_and_adds_the_suffix(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    session, documents, answers = desk
    edit(session)
    assert not documents.save()  # no name given: not saved, not lost
    assert session.modified
    answers.save_path = tmp_path / "north side"
    assert documents.save()
    assert documents.path == tmp_path / "north side.drainjob"
    assert documents.path.is_file()


def test_changed_work_is_asked_about_before_another_job_takes_its_place(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    session, documents, answers = desk
    path = saved_yard(tmp_path)
    edit(session, "Precious")
    answers.leave = "cancel"
    documents.new()
    assert not documents.open(path)
    assert session.job.header.title == "Precious"
    assert answers.asked == ["leave Precious", "leave Precious"]
    answers.leave = "discard"
    assert documents.open(path)
    assert session.job == PLANE_YARD


def test_leaving_with_save_but_no_name_stays(desk: tuple[Session, Documents, Answers]) -> None:
    session, documents, answers = desk
    edit(session, "Precious")
    answers.leave, answers.save_path = "save", None
    documents.new()
    assert session.job.header.title == "Precious"


def test_second_window_on_the_same_file_is_told_and_cannot_overwrite_it(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    _, documents, _ = desk
    path = saved_yard(tmp_path)
    documents.open(path)
    answers = Answers()
    second = Session()
    other = Documents(second, answers, settings_in(tmp_path))
    assert other.open(path)
    assert answers.told[0].startswith("yard.drainjob is open in another drainsketch window.")
    assert other.read_only
    edit(second, "From the second window")
    assert not other.save()  # asks for another name, none is given
    answers.save_path = path
    assert not other.save()  # the same name is refused
    assert read_job(path) == PLANE_YARD
    answers.save_path = tmp_path / "copy.drainjob"
    assert other.save()
    assert not other.read_only
    other.close()
    documents.close()
    third = Documents(Session(), Answers(), settings_in(tmp_path))
    third.open(path)
    assert not third.read_only  # the first window let go of it
    third.close()


def test_file_changed_on_disk_is_not_overwritten_without_asking(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    session, documents, answers = desk
    path = saved_yard(tmp_path)
    documents.open(path)
    elsewhere = change(PLANE_YARD, "B1", rim_ft=99.25)
    save_job(elsewhere, path)
    edit(session)
    assert not documents.save()
    assert answers.asked == ["clash yard.drainjob"]
    assert read_job(path) == elsewhere
    answers.clash = "overwrite"
    assert documents.save()
    assert read_job(path) == session.job
    edit(session, "Again")
    assert documents.save()  # our own write is not taken for somebody else's
    assert answers.asked.count("clash yard.drainjob") == 2


def test_broken_file_is_told_in_a_sentence_and_the_job_on_the_desk_stays(
    desk: tuple[Session, Documents, Answers], tmp_path: Path
) -> None:
    session, documents, answers = desk
    documents.open(saved_yard(tmp_path))
    broken = tmp_path / "broken.drainjob"
    broken.write_text('{"format": "drainsketch-job", "ver')
    assert not documents.open(broken)
    assert answers.told[0].startswith("broken.drainjob could not be opened.")
    assert session.job == PLANE_YARD
    assert broken.read_text() == '{"format": "drainsketch-job", "ver'


def test_failed_save_keeps_the_work_and_says_so(desk: tuple[Session, Documents, Answers], tmp_path: Path) -> None:
    session, documents, answers = desk
    edit(session)
    answers.save_path = tmp_path / "no such folder" / "yard.drainjob"
    assert not documents.save()
    assert session.modified
    assert "could not be saved" in answers.told[0]


def test_recent_files_leave_out_what_is_gone(desk: tuple[Session, Documents, Answers], tmp_path: Path) -> None:
    _, documents, _ = desk
    first, second = saved_yard(tmp_path, "a.drainjob"), saved_yard(tmp_path, "b.drainjob")
    documents.open(first)
    documents.open(second)
    assert documents.recent.paths() == (second, first)
    first.unlink()
    assert documents.recent.paths() == (second,)


def test_every_sample_yard_opens_as_a_new_job(desk: tuple[Session, Documents, Answers]) -> None:
    session, documents, answers = desk
    for name in sample_names():
        documents.open_sample(name)
        assert documents.path is None
        assert session.job != Job()
    assert answers.told == []


def test_unforeseen_fault_leaves_a_rescue_copy_and_is_told_once(
    desk: tuple[Session, Documents, Answers], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session, documents, _ = desk
    session.open(PLANE_YARD)
    rescue = Rescue(Recovery(session, documents, tmp_path / "kept"))
    told: list[tuple[str, str]] = []
    rescue.told.connect(lambda sentence, more: told.append((sentence, more)))
    for _ in range(2):
        try:
            raise ZeroDivisionError("division by zero")
        except ZeroDivisionError:
            rescue.caught(*sys.exc_info())  # type: ignore[arg-type]
    copies = list((tmp_path / "kept").glob("*.drainjob"))
    assert len(copies) == 1
    assert read_job(copies[0]) == PLANE_YARD
    assert len(told) == 1
    assert str(copies[0]) in told[0][1]
    assert "Traceback" not in "".join(told[0])
