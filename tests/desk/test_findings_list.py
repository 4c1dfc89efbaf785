"""The list of findings as it is read: what is new and grave comes into sight, what is open leaves it room, and signs keep their color."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.theme import DARK, dress
from drainsketch.desk.window import Window
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change
from drainsketch.job.model import Structure
from drainsketch.look import LEVEL_COLORS
from tests.desk.at_desk import open_window
from tests.desk.hands import corner_lot
from tests.test_review import sample


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    """The real window on a yard with a long list; the last finding is chosen, so that the top is out of view."""
    job = corner_lot()
    made, _ = open_window(qtbot, tmp_path, job)
    last = made.findings.model.rowCount() - 1
    made.findings.list.setCurrentIndex(made.findings.model.index(last))
    made.findings.list.scrollToBottom()
    QApplication.processEvents()
    assert made.findings.list.verticalScrollBar().value() > 0
    return made


def a_loose_basin(window: Window) -> None:
    """Set a basin without pipe: a stop."""
    window.session.apply(add(window.session.job, Structure(id="", kind="basin", point=(90.0, 70.0))), "Set a basin")


def test_a_new_stop_brings_the_list_to_its_top_and_keeps_it_there(window: Window, qtbot: QtBot) -> None:
    window.canvas.setFocus()
    chosen = window.findings.chosen()
    a_loose_basin(window)
    bar = window.findings.list.verticalScrollBar()
    assert window.findings.model.shown[0].level == "stop"
    assert bar.value() == 0
    assert window.findings.chosen() == chosen
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    QApplication.processEvents()
    assert bar.value() == 0  # the closer look took nothing out of sight again


def test_the_list_is_not_moved_under_the_keys_that_walk_it(window: Window) -> None:
    window.findings.list.setFocus()
    bar = window.findings.list.verticalScrollBar()
    a_loose_basin(window)
    assert bar.value() > 0


def test_what_brings_no_new_stop_leaves_the_list_where_it_is(window: Window) -> None:
    window.canvas.setFocus()
    bar = window.findings.list.verticalScrollBar()
    before = bar.value()
    window.session.apply(change(window.session.job, "B1", name="By the patio"), "Rename")
    assert bar.value() == pytest.approx(before, abs=40)  # a name may wrap a sentence


def test_an_open_finding_leaves_the_list_room_for_two_and_its_buttons_apart(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, sample("courtyard"))
    window.findings.list.setCurrentIndex(window.findings.model.index(0))
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    QApplication.processEvents()
    pane = window.findings
    assert pane.remedies.buttons
    shown = pane.list.visualRect(pane.model.index(0))
    assert pane.list.viewport().height() >= shown.height() + 36
    bottom = pane.remedies.mapTo(pane, QPoint(0, pane.remedies.height())).y()
    assert pane.why.mapTo(pane, QPoint(0, 0)).y() >= bottom + 4


def test_a_stop_has_the_red_of_the_plan_in_the_dark_too(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, replace(sample("courtyard")))
    style, palette, sheet = qapp.style().name(), qapp.palette(), qapp.styleSheet()
    try:
        dress(qapp, True)
        QApplication.processEvents()
        image = window.findings.list.viewport().grab().toImage()
        seen = {image.pixelColor(x, y).name() for x in range(8, 34) for y in range(4, 40)}
    finally:
        qapp.setStyle(style)
        qapp.setPalette(palette)
        qapp.setStyleSheet(sheet)
    assert QColor(LEVEL_COLORS["stop"]).name() in seen
    assert DARK.stop not in seen
