"""What a first user stumbled over, by mouse and keys in the real window."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from drainsketch.desk.reading import keys_html
from drainsketch.desk.tools.catalogue import TOOLS
from drainsketch.desk.window import Window
from drainsketch.job.ask import thing
from drainsketch.job.model import Job, Obstacle, Service, Shot, Structure
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.desk.hands import Hands, canvas_of

KEY = Qt.Key


@pytest.fixture(autouse=True)
def double_click_interval(qapp: QApplication) -> Iterator[None]:
    before = qapp.doubleClickInterval()
    yield
    qapp.setDoubleClickInterval(before)


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    window.canvas.zoom_to_fit()
    window.canvas.setFocus()
    return window, answers


def keyboard() -> QWidget:
    """Return the widget that keys go to."""
    where = QApplication.focusWidget()
    assert where is not None
    return where


def pick_by_mouse(qtbot: QtBot, combo: QComboBox, words: str) -> None:
    """Open a drop-down with the mouse and click an entry."""
    QApplication.setDoubleClickInterval(0)  # else a release soon after opening counts as a slip of the hand
    QTest.mouseClick(combo, Qt.MouseButton.LeftButton, pos=QPoint(combo.width() - 8, combo.height() // 2))
    view = combo.view()
    qtbot.waitUntil(view.isVisible)
    spot = view.visualRect(combo.model().index(combo.findText(words), 0)).center()
    QTest.mouseMove(view.viewport(), spot)
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    qtbot.waitUntil(lambda: not view.isVisible())


def kind_of_gas(window: Window) -> QComboBox:
    assert window.details.form is not None
    combo = window.details.form.row("kind").editor
    assert isinstance(combo, QComboBox)
    return combo


def test_letters_after_a_pick_in_the_details_take_the_tool(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("gas-1",))
    pick_by_mouse(qtbot, kind_of_gas(window), "water")
    assert window.canvas.hasFocus()
    for key, tool in ((KEY.Key_E, "shot"), (KEY.Key_S, "select")):
        QTest.keyClick(keyboard(), key)
        assert window.canvas.driver.spec.name == tool
    changed = thing(window.session.job, "gas-1")
    assert getattr(changed, "kind", "") == "water"


def test_open_list_takes_letters_and_keeps_the_keyboard_in_the_details(
    qtbot: QtBot, desk: tuple[Window, Answers]
) -> None:
    window, _ = desk
    window.session.select(("gas-1",))
    combo = kind_of_gas(window)
    combo.setFocus()
    QTest.keyClick(combo, KEY.Key_Down, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(combo.view().isVisible)
    QTest.keyClick(combo.view(), KEY.Key_E)
    assert window.canvas.driver.spec.name == "select"
    QTest.keyClick(combo.view(), KEY.Key_Return)
    qtbot.waitUntil(lambda: not combo.view().isVisible())
    assert getattr(thing(window.session.job, "gas-1"), "kind", "") == "electric"
    assert kind_of_gas(window).hasFocus()
    QTest.keyClick(keyboard(), KEY.Key_W)
    assert getattr(thing(window.session.job, "gas-1"), "kind", "") == "electric"
    assert window.canvas.driver.spec.name == "well"


def test_closed_drop_down_takes_no_letter_and_no_wheel(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("gas-1",))
    combo = kind_of_gas(window)
    combo.setFocus()
    before = window.session.job
    QTest.keyClick(combo, KEY.Key_E)
    assert (combo.currentText(), window.canvas.driver.spec.name) == ("gas", "shot")
    combo.setFocus()
    at = QPointF(combo.rect().center())
    turned = QWheelEvent(
        at,
        QPointF(combo.mapToGlobal(at)),
        QPoint(),
        QPoint(0, -240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(combo, turned)
    QTest.keyClick(combo, KEY.Key_W)
    assert combo.currentText() == "gas"
    assert window.session.job is before


def test_letters_after_a_choice_of_the_tool_take_the_tool(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    for key, tool in ((KEY.Key_H, "building"), (KEY.Key_K, "septic"), (KEY.Key_L, "boundary")):
        QTest.keyClick(window.canvas, KEY.Key_G)
        pick_by_mouse(qtbot, window.choices.choice, "electric")
        assert window.canvas.hasFocus()
        assert window.canvas.driver.choice_of("service") == "electric"
        QTest.keyClick(keyboard(), key)
        assert window.canvas.driver.spec.name == tool


@pytest.fixture
def hands(qtbot: QtBot) -> Hands:
    """A basin on a shot, both on a gas line that crosses a paved area; 10 pixels to the foot."""
    job = Job(
        obstacles=(Obstacle(id="hardscape-1", kind="hardscape", points=((20, 20), (60, 20), (60, 50), (20, 50))),),
        services=(Service(id="gas-1", kind="gas", points=((10, 30), (70, 30))),),
        shots=(Shot(id="S3", point=(40.0, 30.0), elevation_ft=99.0),),
        structures=(Structure(id="B1", kind="basin", point=(40.0, 30.0), size_in=12),),
    )
    made = Hands(canvas_of(job))
    qtbot.addWidget(made.canvas)
    return made


def test_click_at_the_same_place_goes_on_to_what_lies_below(hands: Hands) -> None:
    told: list[str] = []
    hands.session.told.connect(told.append)
    seen = []
    for _ in range(5):
        hands.click((40.0, 30.0))
        seen.append(hands.session.selection)
    assert seen == [("B1",), ("S3",), ("gas-1",), ("hardscape-1",), ("B1",)]
    assert told[:2] == ["S3, below B1", "gas-1, below S3"]
    hands.click((50.0, 40.0))
    hands.click((40.0, 30.0))
    assert hands.session.selection == ("B1",)


def test_what_was_found_below_can_be_dragged_out(hands: Hands) -> None:
    hands.click((40.0, 30.0))
    hands.click((40.0, 30.0))
    hands.drag((40.0, 30.0), (45.0, 38.0))
    assert (hands.job.shots[0].point, hands.job.structures[0].point) == ((45.0, 38.0), (40.0, 30.0))


def test_small_drag_takes_a_basin_off_its_shot(hands: Hands) -> None:
    hands.drag((40.0, 30.0), (40.7, 30.3))  # 7 and 3 pixels; what draws the pointer reaches 9
    assert hands.job.structures[0].point == (40.7, 30.3)
    assert hands.job.shots[0].point == (40.0, 30.0)


def test_double_click_after_a_click_still_adds_a_corner_to_what_was_selected(hands: Hands) -> None:
    hands.click((30.0, 30.0))
    assert hands.session.selection == ("gas-1",)
    hands.double_click((30.0, 30.0))
    assert hands.session.selection == ("gas-1",)
    assert hands.job.services[0].points == ((10, 30), (30, 30), (70, 30))


def test_undo_and_redo_say_what_they_did(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("O1",))
    assert window.details.form is not None
    combo = window.details.form.row("outfall").editor
    assert isinstance(combo, QComboBox)
    combo.setFocus()
    QTest.keyClick(combo, KEY.Key_Down)
    label = window.session.history.undo_label
    assert label == "Change outfall of O1"
    QTest.keyClick(keyboard(), KEY.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.status.currentMessage() == "Undid: Change outfall of O1"
    QTest.keyClick(keyboard(), KEY.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert window.status.currentMessage() == "Did again: Change outfall of O1"


def test_every_drawing_tool_says_that_a_point_can_be_typed(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    for tool in TOOLS:
        window.take_tool(tool.name)
        if tool.name not in ("select", "follow-drop"):  # these draw nothing
            assert "type east, north" in window.status.hint.text()
    page = keys_html()
    for words in ("east, north", "Shift and click", "Tab", "Backspace", "Alt", "double click"):
        assert words in page
