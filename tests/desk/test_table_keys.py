"""Keys in the tables of the window: they belong to the table that has the keyboard, and Escape leads back to the plan."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTableView
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.corners import Corners
from drainsketch.desk.panes.exposures import DEPTH, Exposures
from drainsketch.desk.window import Window
from drainsketch.job.model import Job
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.book_hands import CTRL, LOOP, K, keyboard, press, typed_text, write

YARD = replace(PLANE_YARD, book=LOOP)


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    window, _ = open_window(qtbot, tmp_path, YARD)
    window.canvas.zoom_to_fit()
    yield window
    window.studying.stop()


def the_book(window: Window) -> QTableView:
    window.lower_tabs.setCurrentWidget(window.book)
    return window.book.table


def benchmarks(window: Window) -> QTableView:
    window.lower_tabs.setCurrentWidget(window.book)
    return window.book.marks


def cut_sheet(window: Window) -> QTableView:
    window.lower_tabs.setCurrentWidget(window.cut_sheet)
    return window.cut_sheet.table


def corners(window: Window) -> QTableView:
    window.session.select(("boundary",))
    return next(c for c in window.details.findChildren(Corners) if c.isVisible()).table


def exposures(window: Window) -> QTableView:
    window.session.select(("water-1",))
    return next(e for e in window.details.findChildren(Exposures) if e.isVisible()).table


TABLES = (the_book, benchmarks, cut_sheet, corners, exposures)


def click(table: QTableView, row: int, column: int) -> None:
    """Click on a cell: the keyboard goes to its table."""
    spot = table.visualRect(table.model().index(row, column)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QApplication.processEvents()


def last_column(table: QTableView) -> int:
    return next(c for c in range(table.model().columnCount()) if c and not table.isColumnHidden(c))


@pytest.mark.parametrize("at", TABLES)
def test_control_a_never_selects_the_plan(desk: Window, at: Callable[[Window], QTableView]) -> None:
    table = at(desk)
    click(table, 0, last_column(table))
    chosen = desk.session.selection
    press(K.Key_A, CTRL)
    assert desk.session.selection == chosen
    assert table.hasFocus()
    if at is not cut_sheet:  # where one row is read after the other
        model = table.model()
        assert len(table.selectedIndexes()) >= model.rowCount() * (model.columnCount() - 1) - 1


@pytest.mark.parametrize("at", TABLES)
@pytest.mark.parametrize("text", ["abc", "srbg", "LM"])
def test_letters_on_a_table_take_no_tool_and_write_nothing_on_the_plan(
    desk: Window, at: Callable[[Window], QTableView], text: str
) -> None:
    desk.take_tool("shot")  # it takes typed numbers
    table = at(desk)
    click(table, 0, last_column(table))
    hint = desk.status.hint.text()
    write(text)
    assert desk.canvas.driver.spec.name == "shot"
    assert desk.canvas.driver.entry is None
    assert desk.status.hint.text() == hint
    assert table is keyboard() or table.isAncestorOf(keyboard())


@pytest.mark.parametrize("at", TABLES)
def test_delete_in_a_table_takes_nothing_off_the_plan(desk: Window, at: Callable[[Window], QTableView]) -> None:
    table = at(desk)
    click(table, 0, last_column(table))
    press(K.Key_Delete)
    assert off_book(desk.session.job) == off_book(YARD)


def off_book(job: Job) -> Job:
    return replace(job, book=LOOP)


@pytest.mark.parametrize("at", TABLES)
def test_escape_leads_from_the_cell_to_the_table_and_from_there_to_the_plan(
    desk: Window, at: Callable[[Window], QTableView]
) -> None:
    table = at(desk)
    column = {cut_sheet: 3, the_book: 2}.get(at, 1)
    click(table, 0, column)
    write("1")
    assert typed_text() == "1"
    press(K.Key_Escape)
    assert table.hasFocus()
    assert desk.session.job == YARD
    press(K.Key_Escape)
    assert desk.canvas.hasFocus()


def test_letters_of_any_alphabet_are_for_the_table(desk: Window) -> None:
    table = the_book(desk)
    click(table, 1, 1)
    for letter in "жщ":
        for kind in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress):
            event = QKeyEvent(kind, ord(letter.upper()), Qt.KeyboardModifier.NoModifier, letter)
            QApplication.sendEvent(keyboard(), event)
            assert event.isAccepted() or kind is QEvent.Type.KeyPress
    assert typed_text() == "жщ"


def test_undo_works_from_a_table(desk: Window) -> None:
    table = the_book(desk)
    click(table, 1, 4)
    press(K.Key_Delete)
    assert desk.session.job.book != LOOP
    press(K.Key_Z, CTRL)
    assert desk.session.job.book == LOOP
    assert table.hasFocus()


def test_a_corner_that_cannot_be_read_stays_open_with_a_sentence_under_the_table(desk: Window) -> None:
    table = corners(desk)
    pane = next(c for c in desk.details.findChildren(Corners) if c.isVisible())
    click(table, 1, 0)
    write("8O")
    press(K.Key_Return)
    assert typed_text() == "8O"
    assert pane.fault.isVisible()
    assert "8O: that is not a length; write it like" in pane.fault.text()
    write("81")
    press(K.Key_Return)
    assert desk.session.job.boundary is not None
    assert desk.session.job.boundary.points[1] == (81.0, -50.0)
    assert not pane.fault.isVisible()
    click(table, 1, 0)
    press(K.Key_Delete)
    assert "keeps both its figures" in pane.fault.text()


def test_an_exposure_is_taken_back_by_delete_and_a_slip_stays_open(desk: Window) -> None:
    table = exposures(desk)
    pane = next(e for e in desk.details.findChildren(Exposures) if e.isVisible())
    click(table, 0, DEPTH)
    write("deep")
    press(K.Key_Return)
    assert typed_text() == "deep"
    assert "deep: that is not a length" in pane.fault.text()
    write("3")
    press(K.Key_Return)
    assert [len(s.exposed) for s in desk.session.job.services] == [0, 1]
    click(table, 0, DEPTH)
    press(K.Key_Delete)
    assert [len(s.exposed) for s in desk.session.job.services] == [0, 0]
    assert "Ctrl+Z brings it back" in desk.status.currentMessage()
    assert desk.session.job.services == YARD.services


def test_an_as_laid_reading_that_cannot_be_read_stays_open(desk: Window) -> None:
    table = cut_sheet(desk)
    desk.session.apply(replace(desk.session.job, laying=replace(desk.session.job.laying, height_ft=103.0)), "HI")
    click(table, 0, 3)
    write("5x")
    press(K.Key_Return)
    assert typed_text() == "5x"
    assert "5x: that is not a length" in desk.cut_sheet.fault.text()
    press(K.Key_Escape)
    assert not desk.cut_sheet.fault.isVisible()
    assert desk.session.job.laying.readings == ()
