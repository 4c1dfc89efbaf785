"""Unsaved work outlives its window: a real program is killed, and the next window offers what it was doing."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot

from drainsketch.desk import app as desk_app
from drainsketch.desk import recovery as desk_recovery
from drainsketch.desk.documents import Documents
from drainsketch.desk.recovery import Recovery
from drainsketch.desk.rescue import Rescue
from drainsketch.desk.session import Session
from drainsketch.desk.window import Window
from drainsketch.files import recovery
from drainsketch.files.jobfile import read_job
from drainsketch.files.saving import save_job
from drainsketch.job.edits.change import change_header
from drainsketch.job.levelling import Benchmark, LevelBook, Setup, Sight
from drainsketch.job.model import Job
from tests.desk.at_desk import PLANE_YARD, Answers, open_window, settings_in

# The real program with unsaved work; it says when the copy is written and then waits to be killed.
PROGRAM = """
import sys
from pathlib import Path
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtWidgets import QApplication
from drainsketch.desk import app, recovery
from drainsketch.job.edits.change import change_header

job, title, folder = Path(sys.argv[1]) if sys.argv[1] else None, sys.argv[2], Path(sys.argv[3])
app.settings = lambda: QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)
recovery.recovery_folder = lambda: folder / "recovery"
recovery.REST_S = 0.05

def edit():
    window = next((w for w in QApplication.topLevelWidgets() if hasattr(w, "documents")), None)
    if window is None or window.documents.path != job:
        QTimer.singleShot(20, edit)  # the job is not open yet
        return
    window.session.apply(change_header(window.session.job, title=title), "Change job")
    look = QTimer(window)
    look.timeout.connect(lambda: list((folder / "recovery").glob("*.drainjob")) and (look.stop(), print("kept", flush=True)))
    look.start(10)

there = app.application()
QTimer.singleShot(0, edit)
app.run(job)
"""


def killed_with_work(folder: Path, job: Path | None, title: str) -> None:
    """Run the program until it has kept its unsaved work, then kill it without a warning (SIGKILL)."""
    with subprocess.Popen(
        [sys.executable, "-c", PROGRAM, str(job or ""), title, str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    ) as program:
        assert program.stdout is not None
        try:
            assert program.stdout.readline().strip() == "kept"
        finally:
            program.kill()
    assert program.returncode != 0


class Desk:
    """A session with its documents and its recovery copy, as a window has them."""

    def __init__(self, folder: Path) -> None:
        self.session, self.answers = Session(), Answers()
        self.documents = Documents(self.session, self.answers, settings_in(folder))
        self.recovery = Recovery(self.session, self.documents, folder / "recovery")
        self.recovery.rest_s = 0.0

    def edit(self, title: str) -> None:
        self.session.apply(change_header(self.session.job, title=title), "Change job")


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Desk]:
    made = Desk(tmp_path)
    yield made
    made.recovery.clear()


def kept(folder: Path) -> tuple[Path, ...]:
    return recovery.copies(folder / "recovery")


def test_killed_program_leaves_its_work_to_the_next_window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The whole way: kill -9, a new program, its real dialog, and Save As to the file the work came from."""
    mine = tmp_path / "yard.drainjob"
    save_job(PLANE_YARD, mine)
    before = mine.read_bytes()
    killed_with_work(tmp_path, mine, "Two hours of work")
    assert mine.read_bytes() == before
    monkeypatch.setattr(desk_app, "settings", lambda: settings_in(tmp_path))
    monkeypatch.setattr(desk_recovery, "recovery_folder", lambda: tmp_path / "recovery")
    seen: list[str] = []
    found: dict[str, object] = {}

    def press() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            QTimer.singleShot(20, press)
            return
        seen.append(f"{box.text()} {box.informativeText()}")
        behind = next(w for w in QApplication.topLevelWidgets() if isinstance(w, Window) and w.isVisible())
        found.update(card_behind=behind.welcome.isVisible(), notice=behind.canvas.plan.notice)
        QTimer.singleShot(0, look)
        next(b for b in box.buttons() if b.text() == "Open Recovered Work").click()

    def look() -> None:
        window = next(w for w in QApplication.topLevelWidgets() if isinstance(w, Window) and w.isVisible())
        window.dialogs = window.documents.dialogs = answers = Answers()
        answers.save_path, answers.leave = mine, "discard"
        job, documents = window.session.job, window.documents
        seen.append(window.windowTitle())
        found.update(title=job.header.title, modified=window.isWindowModified(), path=documents.path)
        found.update(card=window.welcome.isVisible(), notice_after=window.canvas.plan.notice)
        found.update(kept=len(kept(tmp_path)), saved=documents.save(), suggested=answers.suggested)
        found.update(kept_after=len(kept(tmp_path)))
        window.close()  # the last one: the program ends
        window.deleteLater()
        QTimer.singleShot(500, QApplication.quit)  # windows left by earlier tests would keep it going

    QTimer.singleShot(20, press)
    assert desk_app.run(None) == 0
    assert found == {
        "card_behind": False,  # where to begin is nothing to say while work waits
        "notice": "Looking for unsaved work",
        "card": False,
        "notice_after": "",
        "title": "Two hours of work",
        "modified": True,
        "path": None,
        "kept": 1,  # until it is saved
        "saved": True,
        "suggested": mine,
        "kept_after": 0,
    }
    assert "Two hours of work" in seen[0]
    assert str(mine) in seen[0]
    assert seen[1] == "yard.drainjob (recovered)[*] - drainsketch"
    assert read_job(mine).header.title == "Two hours of work"
    assert list((tmp_path / "recovery").iterdir()) == []


def test_discarded_work_is_gone_and_later_keeps_it(desk: Desk, tmp_path: Path) -> None:
    killed_with_work(tmp_path, None, "Never saved")
    desk.answers.found = "later"
    assert not desk.recovery.offer(desk.answers)
    assert len(kept(tmp_path)) == 1
    assert "It was never saved to a file." in desk.answers.asked[0]
    desk.answers.found = "discard"
    assert not desk.recovery.offer(desk.answers)
    assert list((tmp_path / "recovery").iterdir()) == []
    assert desk.session.job == Job()


def test_copy_waits_for_a_rest_but_not_for_ever(desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """4 s after the last edit, and 20 s after the first at the latest, by a clock that is set by hand."""
    now = [1000.0]
    monkeypatch.setattr(desk_recovery, "monotonic", lambda: now[0])
    desk.recovery.rest_s = desk_recovery.REST_S
    timer = desk.recovery._timer
    waits = []
    for gone in (0.0, 3.0, 14.0, 2.0):  # after 3, 17 and 19 s
        now[0] += gone
        desk.edit(f"at {now[0]}")
        waits.append(timer.interval())
    assert waits == [4_000, 4_000, 3_000, 1_000]
    assert kept(tmp_path) == ()
    desk.recovery.keep()
    assert not timer.isActive()
    desk.edit("later")
    assert timer.interval() == 4_000


def test_saving_and_going_back_to_what_is_saved_take_the_copy_away(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    desk.edit("Unsaved")
    qtbot.waitUntil(lambda: len(kept(tmp_path)) == 1)
    assert read_job(kept(tmp_path)[0]).header.title == "Unsaved"
    desk.session.undo()
    assert kept(tmp_path) == ()
    desk.session.redo()
    qtbot.waitUntil(lambda: len(kept(tmp_path)) == 1)
    desk.answers.save_path = tmp_path / "saved.drainjob"
    assert desk.documents.save()
    assert list((tmp_path / "recovery").iterdir()) == []


def test_giving_work_up_knowingly_takes_the_copy_away(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    desk.edit("Given up")
    qtbot.waitUntil(lambda: len(kept(tmp_path)) == 1)
    desk.answers.leave = "discard"
    desk.documents.new()
    assert kept(tmp_path) == ()


def test_two_windows_do_not_take_each_others_work(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    other = Desk(tmp_path)
    desk.edit("Mine")
    other.edit("Theirs")
    qtbot.waitUntil(lambda: len(kept(tmp_path)) == 2)
    third = Desk(tmp_path)
    third.answers.found = "open"
    assert not third.recovery.offer(third.answers)
    assert third.answers.asked == []
    other.recovery.clear()
    assert [read_job(c).header.title for c in kept(tmp_path)] == ["Mine"]


def test_recovered_work_is_taken_by_one_window_only_and_kept_on(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    killed_with_work(tmp_path, None, "Once")
    desk.answers.found = "open"
    assert desk.recovery.offer(desk.answers)
    other = Desk(tmp_path)
    other.answers.found = "open"
    assert not other.recovery.offer(other.answers)
    (copy,) = kept(tmp_path)
    desk.edit("Once and on")
    qtbot.waitUntil(lambda: read_job(copy).header.title == "Once and on")
    assert kept(tmp_path) == (copy,)


def test_damaged_copy_is_told_once_and_set_aside(desk: Desk, tmp_path: Path) -> None:
    recovery.make_folder(tmp_path / "recovery")
    copy = recovery.new_copy(tmp_path / "recovery")
    recovery.keep(PLANE_YARD, copy, None)
    copy.write_text(copy.read_text()[:300])
    assert not desk.recovery.offer(desk.answers)
    assert not desk.recovery.offer(desk.answers)
    assert len(desk.answers.told) == 1
    assert "could not be read" in desk.answers.told[0]
    assert len(list((tmp_path / "recovery").glob("*.damaged"))) == 1


def test_unforeseen_fault_keeps_the_work_at_once(
    desk: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    desk.recovery.rest_s = 30.0
    desk.edit("In the middle of it")
    rescue = Rescue(desk.recovery)
    told: list[tuple[str, str]] = []
    rescue.told.connect(lambda sentence, more: told.append((sentence, more)))
    try:
        raise ZeroDivisionError("division by zero")
    except ZeroDivisionError:
        rescue.caught(*sys.exc_info())  # type: ignore[arg-type]
    (copy,) = kept(tmp_path)
    assert read_job(copy).header.title == "In the middle of it"
    assert str(copy) in told[0][1]


def test_folder_that_cannot_be_written_is_told_once_and_work_goes_on(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "recovery").write_text("in the way")
    told: list[str] = []
    desk.session.told.connect(told.append)
    for title in ("one", "two"):
        desk.edit(title)
        assert desk.recovery.keep() is None
    assert len(told) == 1
    assert told[0].startswith("Save often: no recovery copy could be written")


def test_recovered_work_that_is_not_drawn_yet_is_no_new_job(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path)
    assert window.welcome.isVisible()
    sight = Sight(id="K1", kind="backsight", at="BM", reading_ft=4.25)
    book = LevelBook(
        benchmarks=(Benchmark(id="M1", name="BM", elevation_ft=100.0),),
        setups=(Setup(id="U1", name="By the gate", sights=(sight,)),),
    )
    window.documents.open_recovered(Job(book=book), None)
    assert not window.welcome.isVisible()
    window.documents.open_recovered(change_header(Job(), title="Two hours of work"), None)
    assert not window.welcome.isVisible()
    window.documents.new()
    assert window.welcome.isVisible()
