"""The window without a mouse: drawing, selecting, reshaping, reading and finding one's way by keys alone."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.corners import Corners
from drainsketch.desk.window import Window
from drainsketch.job.model import Run
from tests.desk.at_desk import PLANE_YARD, Answers, open_window

KEY = Qt.Key
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    window.canvas.zoom_to_fit()
    window.canvas.setFocus()
    return window, answers


def press(key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """Press a key wherever the keyboard is."""
    where = QApplication.focusWidget()
    assert where is not None
    QTest.keyClick(where, key, held)


def enter(text: str) -> None:
    where = QApplication.focusWidget()
    assert where is not None
    QTest.keyClicks(where, text)
    press(KEY.Key_Return)


def test_a_drain_is_drawn_by_keys_alone(qtbot: QtBot, tmp_path: Path) -> None:
    """Three shots, a basin, an outfall, and the pipe between them, typed as east, north."""
    window, _ = open_window(qtbot, tmp_path)
    window.canvas.setFocus()
    press(KEY.Key_E)
    for spot, level in (("0, 0", "100"), ("60, 0", "98"), ("0, 60", "100")):
        enter(spot)
        enter(level)
    press(KEY.Key_C)
    enter("10, 10")
    press(KEY.Key_X)
    enter("50, 5' 6\"")
    press(KEY.Key_R)
    enter("10, 10")
    enter("50, 5.5")
    job = window.session.job
    assert [(s.point, s.elevation_ft) for s in job.shots] == [((0, 0), 100), ((60, 0), 98), ((0, 60), 100)]
    assert [(s.id, s.point) for s in job.structures] == [("B1", (10, 10)), ("O1", (50, 5.5))]
    assert [(r.start, r.end, r.via) for r in job.runs] == [("B1", "O1", ())]


def test_f9_walks_through_everything_and_says_what_is_selected(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    seen = []
    for _ in range(11):
        press(KEY.Key_F9)
        seen.append(window.session.selection[0])
    assert seen == ["boundary", "building-1", "gas-1", "water-1", "S1", "S2", "S3", "S4", "B1", "O1", "R1"]
    assert "R1" in window.canvas.accessibleDescription()
    press(KEY.Key_F9, SHIFT)
    assert window.session.selection == ("O1",)
    press(KEY.Key_Escape)
    assert window.session.selection == ()
    press(KEY.Key_F9, SHIFT)
    assert window.session.selection == ("R1",)


def test_selected_thing_out_of_sight_is_brought_into_view(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    canvas = window.canvas
    before = canvas.view
    press(KEY.Key_Right, CONTROL)
    assert canvas.view.west_ft == pytest.approx(before.west_ft + 80 / before.px_per_ft)
    for _ in range(60):
        press(KEY.Key_Down, CONTROL)
    canvas.bring_into_view(("B1",))
    x, y = canvas.view.to_px((0.0, 0.0))
    assert (x, y) == (pytest.approx(canvas.width() / 2), pytest.approx(canvas.height() / 2))


def test_bends_and_corners_are_put_in_and_taken_out_in_the_table(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("R1",))
    corners = window.details.findChild(Corners)
    assert corners is not None
    assert not corners.table.isVisible()  # a straight run has no bend yet
    corners.add.setFocus()
    press(KEY.Key_Space)
    assert window.session.job.runs[0].via == ((25.0, 0.0),)  # midway from B1 at 0 to O1 at 50
    press(KEY.Key_Space)
    assert window.session.job.runs[0].via == ((25.0, 0.0), (37.5, 0.0))
    assert window.session.history.undo_label == "Add a corner to R1"
    corners.remove.setFocus()
    press(KEY.Key_Space)
    assert window.session.job.runs[0].via == ((25.0, 0.0),)
    window.session.select(("boundary",))
    corners = next(c for c in window.details.findChildren(Corners) if c.isVisible())
    corners.table.setCurrentCell(3, 0)
    corners.add.setFocus()
    press(KEY.Key_Space)  # the last corner goes on to the first: midway from (-20, 50) to (-20, -50)
    assert window.session.job.boundary is not None
    assert window.session.job.boundary.points[4] == (-20, 0)


def test_profile_is_read_with_the_arrows(desk: tuple[Window, Answers]) -> None:
    """R1 falls from 98.00 at station 50 to 97.00 at 0 (see at_desk.py), ground 100 - 0.02 x: at station 10 x is 40."""
    window, _ = desk
    press(KEY.Key_6, CONTROL)
    assert window.profile.hasFocus()
    press(KEY.Key_Right, SHIFT)
    said = window.profile.accessibleDescription()
    assert "ground 99.20" in said
    assert "invert 97.20" in said
    press(KEY.Key_End)
    assert "ground 100.00" in window.profile.accessibleDescription()
    press(KEY.Key_Return)
    x, _ = window.canvas.view.to_px((0.0, 0.0))
    assert x == pytest.approx(window.canvas.width() / 2)


def test_every_room_is_a_key_away_and_escape_leads_back(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("B1",))
    for key, inside in (
        (KEY.Key_3, window.details),
        (KEY.Key_4, window.findings.list),
        (KEY.Key_5, window.takeoff.table),
        (KEY.Key_6, window.profile),
    ):
        press(key, CONTROL)
        focus = QApplication.focusWidget()
        assert focus is not None
        assert focus is inside or inside.isAncestorOf(focus)
        press(KEY.Key_Escape)
        assert window.canvas.hasFocus()
    press(KEY.Key_G)
    press(KEY.Key_2, CONTROL)
    assert window.choices.choice.hasFocus()
    press(KEY.Key_Down)
    assert window.canvas.driver.choice_of("service") == window.choices.choice.currentData()
    press(KEY.Key_1, CONTROL)
    assert window.canvas.hasFocus()


def test_tab_reaches_every_control_that_is_shown(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("B1",))
    start = QApplication.focusWidget()
    assert start is not None
    assert start is window.canvas
    chain: list[QWidget] = []
    where = start
    for _ in range(2_000):
        where = where.nextInFocusChain()
        if where is start:
            break
        chain.append(where)
    assert where is start
    order = [w for w in chain if window.details.isAncestorOf(w)]
    assert chain.index(order[0]) < chain.index(window.findings.list)  # the fields follow their tabs
    wanted = [
        w
        for kind in (QLineEdit, QComboBox, QAbstractButton, QAbstractItemView)
        for w in window.findChildren(kind)
        if w.isVisible() and w.focusPolicy() & Qt.FocusPolicy.TabFocus and w.isEnabled()
    ]
    assert len(wanted) > 30
    assert [w for w in wanted if w not in chain] == []
    for control in wanted:  # and says its name
        words = control.accessibleName() or (control.text() if isinstance(control, QAbstractButton) else "")
        assert words, control


def test_run_with_many_bends_keeps_its_table_in_bounds(qtbot: QtBot, tmp_path: Path) -> None:
    run = Run(id="R1", start="B1", end="O1", via=tuple((float(x), 1.0) for x in range(1, 40)))
    window, _ = open_window(qtbot, tmp_path, replace(PLANE_YARD, runs=(run,)))
    window.session.select(("R1",))
    corners = window.details.findChild(Corners)
    assert corners is not None
    assert corners.table.rowCount() == 39
    corners.table.setCurrentCell(38, 0)
    corners.add.click()
    assert window.session.job.runs[0].via[39] == (44.5, 0.5)  # midway from (39, 1) to O1 at (50, 0)
