"""A cure is pressed under the finding: the finding goes, the status line says what was done, one undo brings it back."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.remedies import Remedies
from drainsketch.desk.window import Window
from drainsketch.job.edits.change import change
from tests.desk.at_desk import open_window
from tests.test_review import sample


def stops(window: Window) -> list[str]:
    return [f.kind for f in window.session.review.findings if f.level == "stop"]


def at_courtyard(qtbot: QtBot, folder: Path) -> Window:
    window, _ = open_window(qtbot, folder, sample("courtyard"))
    window.findings.list.setCurrentIndex(window.findings.model.index(0))
    assert window.findings.remedies.reason.text() == "Working out cures…"
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    return window


def test_a_cure_pressed_by_mouse_takes_the_finding_away_and_undo_brings_it_back(qtbot: QtBot, tmp_path: Path) -> None:
    window = at_courtyard(qtbot, tmp_path)
    pane = window.findings.remedies
    assert stops(window) == ["cannot_drain", "cannot_drain"]
    assert "is missing" in pane.reason.text()
    assert len({b.text() for b in pane.buttons}) >= 2
    before, press = window.session.job, pane.buttons[0]
    told: list[str] = []
    window.session.told.connect(told.append)
    text = press.text()
    QTest.mouseClick(press, Qt.MouseButton.LeftButton)
    assert stops(window) == []
    assert text in told[-1]
    assert window.session.history.undo_label == text
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job == before
    assert stops(window) == ["cannot_drain", "cannot_drain"]


def test_a_cure_is_pressed_by_key(qtbot: QtBot, tmp_path: Path) -> None:
    window = at_courtyard(qtbot, tmp_path)
    last = window.findings.remedies.buttons[-1]
    last.setFocus()
    assert last.hasFocus()
    QTest.keyClick(last, Qt.Key.Key_Space)
    assert stops(window) == []


def test_a_cure_of_an_earlier_job_is_taken_off_at_once(qtbot: QtBot, tmp_path: Path) -> None:
    window = at_courtyard(qtbot, tmp_path)
    old = window.findings.remedies.buttons[0]
    window.session.apply(change(window.session.job, "B1", name="Low corner"), "Rename")
    assert old not in window.findings.remedies.buttons
    assert window.session.job.structures[0].name == "Low corner"


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_a_cure_out_of_view_is_named_and_brought_into_view(size: tuple[int, int], qtbot: QtBot, tmp_path: Path) -> None:
    window = at_courtyard(qtbot, tmp_path)
    window.resize(*size)
    QApplication.processEvents()
    pane = window.findings.remedies
    hidden = [b for b in pane.buttons if not in_full_view(pane, b)]
    assert pane.more.isVisible() is bool(hidden)
    if hidden:
        assert hidden[0].text() in pane.more.accessibleName()
        assert f"{len(hidden)} more" in pane.more.text()
        QTest.mouseClick(pane.more, Qt.MouseButton.LeftButton)
        assert in_full_view(pane, hidden[0])
    pane.verticalScrollBar().setValue(pane.verticalScrollBar().maximum())
    assert not pane.more.isVisible()


def in_full_view(pane: Remedies, button: QPushButton) -> bool:
    top = button.mapTo(pane.viewport(), QPoint(0, 0)).y()
    return top >= 0 and top + button.height() <= pane.viewport().height()
