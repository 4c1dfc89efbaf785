"""The closer look off the window's thread: the last edit wins, a slow one never lands late, a broken one says one sentence."""

import threading
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QTimer
from pytestqt.qtbot import QtBot

from drainsketch.desk import studying
from drainsketch.desk.session import Session
from drainsketch.desk.studying import BROKE_OFF, Studying
from drainsketch.findings import Place, finding
from drainsketch.job.edits.change import change
from drainsketch.review import Review
from drainsketch.study import Study, study
from tests.desk.at_desk import PLANE_YARD, open_window


def named(session: Session, name: str) -> None:
    session.apply(change(session.job, "B1", name=name), "Rename")


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> "Gate":
    made = Gate()
    monkeypatch.setattr(studying, "study", made.study)
    return made


class Gate:
    """A study that waits until it is let through, and remembers which jobs it looked at."""

    def __init__(self) -> None:
        self.open, self.entered = threading.Event(), threading.Event()
        self.seen: list[str] = []
        self.threads: set[int] = set()

    def study(self, review: Review, before: Study | None = None) -> Study:
        self.seen.append(review.job.structures[0].name)
        self.threads.add(threading.get_ident())
        self.entered.set()
        assert self.open.wait(20)
        return study(review, before)


def test_of_many_edits_the_last_one_wins(qtbot: QtBot) -> None:
    session = Session(PLANE_YARD)
    made = Studying(session)
    landed: list[str] = []
    session.studied.connect(lambda: landed.append(session.study.review.job.structures[0].name if session.study else ""))
    for n in range(60):
        named(session, f"basin {n}")
        qtbot.wait(5) if n % 10 == 0 else None
    qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
    assert landed[-1] == "basin 59"
    assert landed == sorted(landed, key=lambda name: int(name.split()[1]))
    made.stop()


def test_a_slow_old_study_never_lands_after_a_newer_job(qtbot: QtBot, gate: Gate) -> None:
    session = Session(PLANE_YARD)
    made = Studying(session)
    taken: list[str] = []
    session.studied.connect(lambda: taken.append(session.study.review.job.structures[0].name if session.study else "-"))
    named(session, "old")
    qtbot.waitUntil(gate.entered.is_set)
    named(session, "new")
    assert not session.study_is_current
    gate.open.set()
    qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
    assert taken == ["new"]
    assert gate.seen == ["old", "new"]
    assert threading.get_ident() not in gate.threads
    made.stop()


def test_window_and_worker_share_the_job_and_nothing_that_was_worked_out(qtbot: QtBot) -> None:
    """Prepared shapes of GEOS crash when two threads ask one at once, so the worker keeps a review of its own."""
    session = Session(PLANE_YARD)
    made = Studying(session)
    for name in ("first", "second"):
        named(session, name)
        qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
        assert session.study is not None
        mine, its = session.review, session.study.review
        assert mine.job is its.job
        assert mine.surface is not its.surface and session.plain_review.surface is not its.surface
        assert mine.plan.shapes is not its.plan.shapes
    made.stop()


def test_undo_while_a_study_runs_is_studied_too(qtbot: QtBot, gate: Gate) -> None:
    session = Session(PLANE_YARD)
    made = Studying(session)
    named(session, "changed")
    qtbot.waitUntil(gate.entered.is_set)
    session.undo()
    gate.open.set()
    qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
    assert session.study is not None
    assert session.study.review.job is session.job
    made.stop()


def test_a_finding_of_an_old_study_is_gone_with_the_next_one(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """The study starts from the review by itself, so that what an earlier one found is not taken for found again."""
    found = finding("no_services", Place(ids=("B1",)))

    def with_finding(review: Review, before: Study | None = None) -> Study:
        more = (found,) if review.job.structures[0].name == "wet" else ()
        return replace(study(review, before), findings=more)

    monkeypatch.setattr(studying, "study", with_finding)
    session = Session(PLANE_YARD)
    made = Studying(session)
    named(session, "wet")
    qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
    assert found in session.review.findings
    named(session, "dry")
    assert found in session.review.findings  # it stays until it is known to be gone
    qtbot.waitUntil(lambda: session.study_is_current, timeout=20_000)
    assert found not in session.review.findings
    made.stop()


def test_a_study_that_breaks_off_says_one_quiet_sentence(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def broken(review: Review, before: Study | None = None) -> Study:
        raise RuntimeError("Traceback (most recent call last):\n  matrix is singular")

    monkeypatch.setattr(studying, "study", broken)
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    with qtbot.waitSignal(window.session.told, timeout=20_000) as told:
        pass
    assert told.args == [BROKE_OFF]
    assert answers.told == []  # no window in the way
    assert window.session.study_failed
    assert capfd.readouterr().err.count("Traceback") == 0
    monkeypatch.setattr(studying, "study", study)
    named(window.session, "again")
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    assert not window.session.study_failed


def test_closing_the_window_drops_the_study_that_runs(qtbot: QtBot, tmp_path: Path, gate: Gate) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    qtbot.waitUntil(gate.entered.is_set)
    threading.Timer(0.05, gate.open.set).start()
    window.close()
    named(window.session, "after the end")  # nothing is started any more
    qtbot.wait(2 * studying.REST_MS)
    assert window.session.study is None
    assert gate.seen == ["" if not gate.seen[0] else gate.seen[0]]


def test_a_watch_that_is_thrown_away_unstopped_ends_its_thread(
    qtbot: QtBot, gate: Gate, capfd: pytest.CaptureFixture[str]
) -> None:
    session = Session(PLANE_YARD)
    made = Studying(session)
    qtbot.waitUntil(gate.entered.is_set)
    worker = next(t for t in threading.enumerate() if t.name.startswith("study"))
    threading.Timer(0.05, gate.open.set).start()
    made.deleteLater()
    del made
    qtbot.waitUntil(lambda: not worker.is_alive(), timeout=20_000)
    assert "Traceback" not in capfd.readouterr().err


def test_the_window_goes_on_while_a_study_runs(qtbot: QtBot, tmp_path: Path, gate: Gate) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    ticks: list[int] = []
    timer = QTimer(window, interval=1)
    timer.timeout.connect(lambda: ticks.append(1))
    qtbot.waitUntil(gate.entered.is_set)
    timer.start()
    named(window.session, "typed meanwhile")
    qtbot.waitUntil(lambda: len(ticks) > 20)
    assert window.session.job.structures[0].name == "typed meanwhile"
    timer.stop()
    gate.open.set()
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
