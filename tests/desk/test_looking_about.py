"""Looking about on the plan: wheel, pinch, pan, fit, fly; the mouse thinks in plan feet. Expected points are worked out by hand."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.canvas import Canvas
from drainsketch.desk.view import View
from drainsketch.job.model import Job
from tests.desk.hands import Hands, canvas_of, corner_lot

KEY = Qt.Key
ALT, SHIFT, CONTROL = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
)


@pytest.fixture
def hands(qtbot: QtBot) -> Iterator[Hands]:
    """Hands on an empty yard; 10 pixels are a foot."""
    canvas = canvas_of()
    qtbot.addWidget(canvas)
    yield Hands(canvas)
    canvas.flash.stop()


def on(qtbot: QtBot, job: Job) -> Hands:
    canvas = canvas_of(job)
    qtbot.addWidget(canvas)
    return Hands(canvas)


def test_view_tells_its_scale_when_it_changes(hands: Hands) -> None:
    told: list[float] = []
    hands.canvas.view_changed.connect(told.append)
    hands.canvas.zoom_by(2.0)
    hands.canvas.plan.look_at(hands.canvas.view)  # the same one
    hands.canvas.zoom_by(0.5)
    assert told == [pytest.approx(20.0), pytest.approx(10.0)]


def test_the_wheel_zooms_about_the_pointer_and_stops_at_its_limits(hands: Hands) -> None:
    canvas = hands.canvas
    spot = QPointF(700, 200)
    before = canvas.view.to_ft(700, 200)
    for turn in (120, -360, *([-1200] * 12), *([1200] * 30)):
        _wheel(canvas, spot, QPoint(0, turn))
        assert canvas.view.to_ft(700, 200) == pytest.approx(before)
    assert canvas.view.px_per_ft == 400.0


def test_two_fingers_pan(hands: Hands) -> None:
    _wheel(hands.canvas, QPointF(10, 10), QPoint(0, 8), QPoint(30, -20))
    assert (hands.canvas.view.west_ft, hands.canvas.view.north_ft) == (-13.0, 58.0)


def _wheel(canvas: Canvas, at: QPointF, angle: QPoint, pixels: QPoint | None = None) -> None:
    phase = Qt.ScrollPhase.ScrollUpdate if pixels is not None else Qt.ScrollPhase.NoScrollPhase
    event = QWheelEvent(
        at, at, pixels or QPoint(), angle, Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, phase, False
    )
    QApplication.sendEvent(canvas, event)


def test_a_pinch_zooms_about_its_middle(hands: Hands) -> None:
    at = QPointF(300, 300)
    before = hands.canvas.view.to_ft(300, 300)
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture, QPointingDevice.primaryPointingDevice(), 2, at, at, at, 0.25, QPointF()
    )
    QApplication.sendEvent(hands.canvas, event)
    assert hands.canvas.view.px_per_ft == pytest.approx(12.5)
    assert hands.canvas.view.to_ft(300, 300) == pytest.approx(before)


def test_the_middle_button_and_the_space_bar_drag_the_plan(hands: Hands, qtbot: QtBot) -> None:
    canvas = hands.canvas
    qtbot.mousePress(canvas, Qt.MouseButton.MiddleButton, pos=QPoint(100, 100))
    qtbot.mouseMove(canvas, QPoint(150, 80))
    qtbot.mouseRelease(canvas, Qt.MouseButton.MiddleButton, pos=QPoint(150, 80))
    assert (canvas.view.west_ft, canvas.view.north_ft) == (-15.0, 58.0)
    qtbot.keyPress(canvas, KEY.Key_Space)
    qtbot.mousePress(canvas, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    qtbot.mouseMove(canvas, QPoint(150, 100))
    qtbot.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=QPoint(150, 100))
    qtbot.keyRelease(canvas, KEY.Key_Space)
    assert canvas.view.west_ft == -20.0
    assert hands.session.selection == ()


def test_the_whole_plan_fits_with_room_round_it(qtbot: QtBot) -> None:
    hands = on(qtbot, corner_lot())
    hands.canvas.zoom_to_fit()
    for x, y in ((0, 0), (110, 84)):
        px, py = hands.canvas.view.to_px((x, y))
        assert 20 <= px <= hands.canvas.width() - 20
        assert 20 <= py <= hands.canvas.height() - 20


def test_flying_to_a_thing_brings_it_to_the_middle(qtbot: QtBot) -> None:
    hands = on(qtbot, corner_lot())
    hands.canvas.fly_to(("B1",), None)
    assert hands.canvas.view.to_px((50, 26)) == pytest.approx((500, 350))
    hands.canvas.fly_to(("R2",), (37, 30))
    assert hands.canvas.view.to_px((37, 30)) == pytest.approx((500, 350))
    hands.canvas.flash.stop()


def test_an_unknown_place_leaves_the_view_alone(hands: Hands) -> None:
    before = hands.canvas.view
    hands.canvas.fly_to(("nothing",), None)
    assert hands.canvas.view is before


def test_a_resize_keeps_the_middle_in_the_middle(hands: Hands) -> None:
    middle = hands.canvas.view.to_ft(500, 350)
    hands.canvas.resize(1200, 600)
    assert hands.canvas.view.to_ft(600, 300) == pytest.approx(middle)


def test_view_turns_north_up() -> None:
    view = View(west_ft=0, north_ft=100, px_per_ft=2)
    assert view.to_px((10, 90)) == (20, 20)
    assert view.to_ft(20, 20) == (10, 90)
