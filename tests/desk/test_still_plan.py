"""The plan stays still under the pointer: whatever page the strip below it shows, and while laid pipe is read in."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.cut_rows import AS_LAID
from drainsketch.desk.view import View
from drainsketch.desk.window import Window
from tests.desk.at_desk import PLANE_YARD, open_window


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    made, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    made.canvas.zoom_to_fit()
    return made


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_no_page_under_the_plan_moves_plan_or_tabs(window: Window, size: tuple[int, int]) -> None:
    window.resize(*size)
    QApplication.processEvents()
    before, height = window.canvas.view, window.canvas.height()
    for tab in ("to_book", "to_cut_sheet", "to_water", "to_storm", "to_profile"):
        window.actions_.by_name[tab].trigger()
        QApplication.processEvents()
        assert window.canvas.height() == height
        assert window.canvas.view == before
    assert window.lower_tabs.height() > 0.4 * window.rooms.height()


def walk_the_readings(window: Window) -> None:
    """Go to the first reading as laid, and on with the arrow."""
    table = window.cut_sheet.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(0, AS_LAID))
    QTest.keyClick(table, Qt.Key.Key_Down)
    QApplication.processEvents()


def test_reading_laid_pipe_leaves_the_plan_where_it_is_while_the_run_is_in_view(window: Window) -> None:
    window.actions_.by_name["to_cut_sheet"].trigger()
    QApplication.processEvents()
    window.canvas.plan.look_at(View(west_ft=-10.0, north_ft=20.0, px_per_ft=8.0))
    before = window.canvas.view
    walk_the_readings(window)
    assert window.canvas.view == before
    assert window.canvas.flash.state() is window.canvas.flash.State.Running


def test_a_station_out_of_view_is_flown_to(window: Window) -> None:
    window.actions_.by_name["to_cut_sheet"].trigger()
    QApplication.processEvents()
    window.canvas.plan.look_at(View(west_ft=500.0, north_ft=20.0, px_per_ft=8.0))
    walk_the_readings(window)
    x, y = window.canvas.view.to_px((50.0, 0.0))
    assert 0 <= x <= window.canvas.width() and 0 <= y <= window.canvas.height()
