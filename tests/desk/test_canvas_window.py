"""The plan inside the window: keys of the window and letters of an entry do not get into each other's way."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from drainsketch.desk.view import View
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.hands import Hands

KEY = Qt.Key


def test_tool_keys_of_the_window_rest_while_something_is_typed(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path)
    canvas = window.canvas
    canvas.setFocus()
    canvas.plan.look_at(View(west_ft=-10, north_ft=30, px_per_ft=10))
    hands = Hands(canvas)
    hands.key(KEY.Key_F)
    assert canvas.driver.spec.name == "fence"
    hands.click((0, 0))
    hands.move((10, 0))
    hands.type("12 ft")
    hands.key(KEY.Key_Tab)
    hands.type("N45E")
    assert canvas.driver.spec.name == "fence"
    assert canvas.hasFocus()
    hands.key(KEY.Key_Return)
    hands.key(KEY.Key_Return)
    assert len(window.session.job.obstacles) == 1
    hands.key(KEY.Key_S)
    assert canvas.driver.spec.name == "select"


def test_delete_takes_what_is_selected_whatever_tool_is_in_hand(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    answers.yes = True
    window.canvas.setFocus()
    window.canvas.set_tool("basin")
    window.session.select(("R1",))
    QTest.keyClick(window.canvas, KEY.Key_Delete)
    assert window.session.job.runs == ()
    window.session.undo()
    window.canvas.set_tool("select")
    window.session.select(("B1",))
    QTest.keyClick(window.canvas, KEY.Key_Delete)
    assert [s.id for s in window.session.job.structures] == ["O1"]
    assert window.session.job.runs == ()


def test_escape_in_the_window_drops_the_gesture(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    canvas = window.canvas
    canvas.setFocus()
    canvas.set_tool("building")
    Hands(canvas).click((0, 0))
    QTest.keyClick(canvas, KEY.Key_Escape)
    assert not canvas.driver.begun
    QTest.keyClick(canvas, KEY.Key_Escape)
    assert canvas.driver.spec.name == "select"
