"""Spoil heaps and fill areas in the real window: drawn with the mouse, taken back, changed in the form."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.window import Window
from drainsketch.job.model import Heap
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.hands import Hands

CORNERS = ((40.0, 10.0), (60.0, 10.0), (60.0, 30.0), (40.0, 30.0))


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    made, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    made.canvas.zoom_to_fit()
    return made


def draw(window: Window, key: str, qtbot: QtBot) -> Heap:
    hands = Hands(window.canvas)
    window.canvas.setFocus()
    qtbot.keyClicks(window.canvas, key)
    for corner in CORNERS:
        hands.click(corner)
    hands.key(Qt.Key.Key_Return)
    return window.session.job.heaps[-1]


@pytest.mark.parametrize(
    ("key", "kind", "name"), [("q", "spoil heap", "spoil-heap-1"), ("z", "fill area", "fill-area-1")]
)
def test_it_is_drawn_with_the_mouse_and_taken_back(
    window: Window, qtbot: QtBot, key: str, kind: str, name: str
) -> None:
    heap = draw(window, key, qtbot)
    assert (heap.kind, heap.id, len(heap.points)) == (kind, name, 4)
    assert window.session.selection == (name,)
    assert all(abs(x - a) < 0.5 and abs(y - b) < 0.5 for (x, y), (a, b) in zip(heap.points, CORNERS, strict=True))
    assert window.actions_.by_name["undo"].text() == f"Undo: Draw a {kind}"
    qtbot.keyClick(window.canvas, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job.heaps == ()


def test_the_depth_of_a_fill_area_is_typed_right_after_it_is_drawn(window: Window, qtbot: QtBot) -> None:
    window.form_tabs.setCurrentWidget(window.header)
    draw(window, "z", qtbot)
    assert "in Details" in window.status.currentMessage()
    assert window.form_tabs.currentWidget() is window.details
    assert window.details.form is not None
    editor = window.details.form.row("fill_in").editor
    assert editor.hasFocus()
    qtbot.keyClicks(QApplication.focusWidget(), "6")
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert window.session.job.heaps[0].fill_in == 6.0


def test_its_depth_is_typed_in_the_form_and_counted(window: Window, qtbot: QtBot) -> None:
    fill = draw(window, "z", qtbot)
    assert "fill_without_depth" in {f.kind for f in window.session.review.findings}
    assert window.details.form is not None
    editor = window.details.form.row("fill_in").editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    qtbot.keyClicks(editor, "4 1/2")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert window.session.job.heaps[0].fill_in == 4.5
    assert "fill_without_depth" not in {f.kind for f in window.session.review.findings}
    assert "spoil_spread" in {line.item for line in window.session.review.takeoff}
    kind = window.details.form.row("kind").editor
    assert isinstance(kind, QComboBox)
    kind.setCurrentText("spoil heap")
    kind.activated.emit(kind.currentIndex())
    changed = window.session.job.heaps[0]
    assert (changed.id, changed.kind, changed.fill_in) == (fill.id, "spoil heap", None)


def test_it_is_picked_dragged_and_reshaped(window: Window, qtbot: QtBot) -> None:
    heap = draw(window, "q", qtbot)
    hands = Hands(window.canvas)
    window.take_tool("select")
    window.session.select(())
    hands.click((50.0, 20.0))
    assert window.session.selection == (heap.id,)
    hands.drag((50.0, 20.0), (52.0, 24.0), Qt.KeyboardModifier.AltModifier)
    moved = window.session.job.heaps[0].points
    assert moved[0] == pytest.approx((heap.points[0][0] + 2, heap.points[0][1] + 4), abs=0.3)
    hands.drag(moved[2], (70.0, 40.0), Qt.KeyboardModifier.AltModifier)
    reshaped = window.session.job.heaps[0].points
    assert reshaped[2] == pytest.approx((70.0, 40.0), abs=0.3)
    assert reshaped[:2] == moved[:2]
