"""What the window shows of how things stand: selection, hover, ground at the pointer, new stops, pins, words in full."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QColor, QHelpEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QToolTip
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.facts import kind_of
from drainsketch.desk.panes.fields import fields_of
from drainsketch.desk.panes.form import Choice
from drainsketch.desk.tools.catalogue import tool
from drainsketch.desk.view import View
from drainsketch.desk.window import Window
from drainsketch.files.saving import BACKUP, save_job
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job, Obstacle, Service
from drainsketch.look import SERVICE_COLORS
from drainsketch.review import analyse
from drainsketch.sheets.pathway import pathway
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.desk.hands import Hands, canvas_of, corner_lot

GAS = QColor(SERVICE_COLORS["gas"])


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    window.canvas.zoom_to_fit()
    return window, answers


def yellow_of(hands: Hands) -> int:
    """Return how many pixels are yellow along the middle of the service."""
    hands.settle()
    image = QImage(hands.canvas.size(), QImage.Format.Format_RGB32)
    hands.canvas.render(image)
    at = hands.px((40.0, 30.0))
    along = range(at.x() - 150, at.x() + 150)
    colors = [image.pixelColor(x, y) for x in along for y in range(at.y() - 2, at.y() + 3)]
    return sum(abs(c.hue() - GAS.hue()) < 8 and c.saturation() > 120 for c in colors)


def test_selected_service_keeps_its_locate_color(qtbot: QtBot) -> None:
    gas = Service(id="gas-1", kind="gas", points=((10, 30), (70, 30)), depth_top_ft=2.0)
    hands = Hands(canvas_of(Job(services=(gas,)), View(-10.0, 60.0, 10.0)))
    qtbot.addWidget(hands.canvas)
    before = yellow_of(hands)
    assert before > 50
    hands.click((40.0, 30.0))
    hands.move((5.0, 5.0))
    assert hands.session.selection == ("gas-1",)
    assert yellow_of(hands) == pytest.approx(before, rel=0.1)
    image = QImage(hands.canvas.size(), QImage.Format.Format_RGB32)
    hands.canvas.render(image)
    beside = QColor(image.pixel(hands.px((15.0, 30.0)) + QPoint(0, 4)))
    assert beside.red() > beside.green() + 40  # the casing


def test_hover_goes_when_the_pointer_leaves_the_plan(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    hands = Hands(window.canvas)
    hands.move((0.0, 0.0))
    assert window.canvas.driver.hovered == "B1"
    QApplication.sendEvent(window.canvas, QEvent(QEvent.Type.Leave))
    assert window.canvas.driver.hovered == ""
    window.session.apply(change(window.session.job, "O1", name="Street"), "Name it")
    window.session.select(("R1",))
    assert window.canvas.driver.hovered == ""
    hands.move((0.0, 0.0))
    assert window.canvas.driver.hovered == "B1"


def test_ground_at_the_pointer_is_that_after_the_shot(desk: tuple[Window, Answers]) -> None:
    """The ground at (40, 20) is 100 - 0.02 * 40 = 99.20 until a shot there says 97.50."""
    window, _ = desk
    hands = Hands(window.canvas)
    window.take_tool("shot")
    hands.click((40.0, 20.0))
    x, y = window.canvas.view.to_ft(hands.px((40.0, 20.0)).x(), hands.px((40.0, 20.0)).y())
    assert "99.2" in window.status.ground.text()
    hands.enter("97.5")
    assert window.session.job.shots[-1].point == (round(x, 2), round(y, 2))
    assert "97.5" in window.status.ground.text()


def test_new_stop_is_scrolled_to(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.open(corner_lot())
    QApplication.processEvents()
    view, model = window.findings.list, window.findings.model
    view.scrollToBottom()
    assert not view.viewport().rect().intersects(view.visualRect(model.index(0)))
    window.session.apply(change(window.session.job, "O1", invert_ft=120.0), "Pin it far too high")
    assert model.shown[0].level == "stop"
    assert view.viewport().rect().contains(view.visualRect(model.index(0)))


def test_pinned_invert_has_a_pin_on_the_strip() -> None:
    path = pathway(analyse(PLANE_YARD), ("R1",))
    assert path is not None
    assert {p.id: p.pinned for p in path.posts} == {"B1": True, "O1": True}
    free = change(PLANE_YARD, "B1", invert_ft=None)
    path = pathway(analyse(free), ("R1",))
    assert path is not None
    assert {p.id: p.pinned for p in path.posts} == {"B1": False, "O1": True}
    typed = change(free, "R1", start_invert_ft=97.9)
    path = pathway(analyse(typed), ("R1",))
    assert path is not None
    assert {p.id: p.pinned for p in path.posts} == {"B1": True, "O1": True}


def test_details_call_things_as_the_tools_do() -> None:
    for kind in ("building", "hardscape", "bed", "septic", "other", "fence"):
        shape = Obstacle(id="x", kind=kind, points=((0, 0), (9, 0), (9, 9)))
        label = tool(kind).label.lower()
        assert kind_of(shape) == label
        choices = dict(fields_of(shape, PLANE_YARD)[0].choices)
        assert choices[kind] == label


def test_backup_is_offered_only_when_there_is_one(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    path = tmp_path / "cut.drainjob"
    path.write_text('{"format": "drainsketch", "version": 1, "job": {')
    assert not window.documents.open(path)
    assert "cut.drainjob could not be opened." in answers.told[-1]
    assert ".bak" not in answers.told[-1]
    save_job(PLANE_YARD, tmp_path / f"cut.drainjob{BACKUP}")
    assert not window.documents.open(path)
    assert "the version before lies beside it as cut.drainjob.bak" in answers.told[-1]


def test_words_that_do_not_fit_are_cut_short_and_said_in_full_in_a_tooltip(qtbot: QtBot) -> None:
    combo = Choice()
    qtbot.addWidget(combo)
    combo.addItem("exposed and measured")
    combo.resize(110, 32)
    combo.show()
    assert combo._elided().endswith("…")
    center = combo.rect().center()
    QApplication.sendEvent(combo, QHelpEvent(QEvent.Type.ToolTip, center, combo.mapToGlobal(center)))
    assert QToolTip.text() == "exposed and measured"
    combo.resize(320, 32)
    assert combo._elided() == "exposed and measured"


def test_values_fit_their_fields_on_a_small_screen(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    job = change(PLANE_YARD, "O1", point=(106.844, 110.844))
    job = change(change(job, "R1", use="drain"), "gas-1", known_by="marked")
    window.session.apply(job, "Fill in")
    for chosen in ("O1", "R1", "gas-1"):
        window.session.select((chosen,))
        QTest.qWait(0)
        assert window.details.form is not None
        for row in window.details.form.rows:
            editor = row.editor
            if isinstance(editor, QComboBox):
                assert isinstance(editor, Choice)
                assert editor._elided() == editor.currentText()
            elif isinstance(editor, QLineEdit):
                assert editor.fontMetrics().horizontalAdvance(editor.text()) <= editor.width() - 18
    bar = window.details.verticalScrollBar()
    assert window.details.horizontalScrollBarPolicy() is Qt.ScrollBarPolicy.ScrollBarAlwaysOff
    body = window.details.widget()
    assert body is not None
    assert body.height() <= bar.maximum() + window.details.viewport().height()
