"""Hands for the Water pane: rain pasted, a storm chosen, rows and buttons clicked, as a person does."""

from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.water import WaterPane
from drainsketch.desk.panes.water_rows import HEADS, View
from drainsketch.desk.window import Window
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.resources import resource
from tests.test_review import sample

DEPTHS = resource("rainfall/invented-depth.csv").read_text(encoding="utf-8")
ENTER = Qt.Key.Key_Return


def dry(name: str = "long-flat-yard") -> Job:
    """Return a sample yard without rain."""
    return replace(sample(name), rain=Rain())


def settle(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)


def click(qtbot: QtBot, button: QPushButton) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(12, button.height() // 2))


def paste(qtbot: QtBot, window: Window, text: str) -> None:
    QGuiApplication.clipboard().setText(text)
    click(qtbot, window.water.form.buttons.paste)


def choose_storm(window: Window, name: str) -> None:
    """Go to a storm of the list by arrow keys."""
    combo = window.water.form.storm
    combo.setFocus()
    wanted = combo.findText(name)
    assert wanted > 0
    while combo.currentIndex() != wanted:
        QTest.keyClick(combo, Qt.Key.Key_Down if combo.currentIndex() < wanted else Qt.Key.Key_Up)
    assert combo.currentText() == name


def rain_on(qtbot: QtBot, window: Window, storm: str = "10-year") -> None:
    paste(qtbot, window, DEPTHS)
    choose_storm(window, storm)
    settle(qtbot, window)


def type_into(pane: WaterPane, name: str, text: str) -> None:
    form = pane.form.rain if name in ("intensity_in_h", "source") else pane.form.basis
    editor = form.row(name).editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, ENTER)


def turn(qtbot: QtBot, window: Window, view: View) -> None:
    click(qtbot, window.water.switch.views[view])


def cell(pane: WaterPane, its_id: str, head: str) -> str:
    row = next(r for r in pane.table.water.rows if r.id == its_id)
    return row.cells[HEADS[pane.view].index(head)]


def click_row(qtbot: QtBot, pane: WaterPane, its_id: str) -> None:
    at = next(n for n, row in enumerate(pane.table.water.rows) if row.id == its_id)
    index = pane.table.model().index(at, 0)
    pane.table.scrollTo(index)
    place = pane.table.visualRect(index).center()
    qtbot.mouseClick(pane.table.viewport(), Qt.MouseButton.LeftButton, pos=place)


def sizes(job: Job) -> dict[str, int]:
    return {r.id: r.diameter_in for r in job.runs}
