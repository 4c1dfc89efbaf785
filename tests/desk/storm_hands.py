"""Hands for the Storm pane: the tab by its key, moments by slider, keys and chart, and a yard worked out by hand."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.storm import StormPane
from drainsketch.desk.window import Window
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Header, Job, Shot
from drainsketch.job.rain import Rain
from tests.desk.hands import Hands

KEY = Qt.Key

# A pit in the shape of a pyramid upside down: 40 ft square at 100.00, its lowest point 98.00 in the middle. At h ft over that
# it holds (20 h)^2 h / 3 ft3 under (20 h)^2 ft2: a pyramid, base times height over three.
PIT = Job(
    header=Header(title="Pit"),
    boundary=Boundary(id="boundary", points=((0, 0), (40, 0), (40, 40), (0, 40))),
    shots=(
        *(
            Shot(id=f"S{n}", point=(float(x), float(y)), elevation_ft=100.0)
            for n, (x, y) in enumerate(((0, 0), (40, 0), (40, 40), (0, 40)), 1)
        ),
        Shot(id="S5", point=(20.0, 20.0), elevation_ft=98.0),
    ),
    rain=Rain(intensity_in_h=2.0, storm_min=60.0),
)


def press_key(key: Qt.Key) -> None:
    """Press a key wherever the keyboard is."""
    where = QApplication.focusWidget()
    assert where is not None
    QTest.keyClick(where, key)


def to_storm(qtbot: QtBot, window: Window) -> StormPane:
    """Go to the Storm pane by its key, and wait until the storm was played."""
    window.activateWindow()
    window.canvas.setFocus()
    press_key(KEY.Key_F5)
    assert window.lower_tabs.currentWidget() is window.storm
    played(qtbot, window)
    return window.storm


def played(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.playback.shown is not None, timeout=20_000)


def type_length(pane: StormPane, text: str) -> None:
    editor = pane.lasts.row("storm_min").editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, KEY.Key_Return)


def at_minute(pane: StormPane, minute: float) -> QPoint:
    """Return where in the chart a time is."""
    frame = pane.graph.frame
    assert frame is not None
    return QPoint(round(frame.along.px(minute)), round(frame.room.center().y()))


def plan_picture(window: Window) -> QImage:
    """Return the plan as it is painted, all its pictures ready."""
    Hands(window.canvas).settle()
    return window.canvas.grab().toImage()


def changed_ft2(window: Window, a: QImage, b: QImage, low: Point, high: Point) -> float:
    """Return how much ground looks different in two pictures, between two corners of the plan, ft2."""
    left, bottom = window.canvas.view.to_px(low)
    right, top = window.canvas.view.to_px(high)
    other = sum(
        a.pixel(x, y) != b.pixel(x, y)
        for y in range(round(top), round(bottom))
        for x in range(round(left), round(right))
    )
    return other / window.canvas.view.px_per_ft**2
