"""The cut sheet read from setups of the level book, in the real window: it moves with the book, and rows say what they were read from."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.cut_rows import AS_LAID, COLUMNS, ON_PIPE, VERDICT, WHAT
from drainsketch.desk.window import Window
from drainsketch.job.edits.book import change_benchmark
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.kinds import Units
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.book_hands import CTRL
from tests.desk.test_cutsheet import cells, press, read, start_reading, type_into
from tests.ground.books import book, bs, fs, known, setup

# by hand: 100 + 5 = 105, TP1 99.00, the string 99 + 3 = 102; R1 falls from 98.00 to 97.00 in 50 ft
LEVELS = book(
    setup(bs("BM1", 5.0), fs("TP1", 6.0)), setup(bs("TP1", 3.0), instrument="string line"), marks=(known("BM1", 100.0),)
)
YARD = replace(PLANE_YARD, header=replace(PLANE_YARD.header, units="ft"), book=LEVELS)


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    made, _ = open_window(qtbot, tmp_path, YARD)
    made.actions_.by_name["to_cut_sheet"].trigger()
    return made


def choose_setup(window: Window, index: int) -> None:
    combo = window.cut_sheet.form.setup
    combo.setFocus()
    while combo.currentIndex() != index:
        press(Qt.Key.Key_Down if combo.currentIndex() < index else Qt.Key.Key_Up)


def test_the_list_says_which_setup_is_a_string_and_the_cut_sheet_reads_down_from_it(window: Window) -> None:
    form = window.cut_sheet.form
    assert [form.setup.itemText(i) for i in range(3)] == ["typed", "setup 1: 105.00", "setup 2, string: 102.00"]
    choose_setup(window, 2)
    assert form.rows["height_ft"].label.text() == "String"
    assert not form.rows["instrument"].editor.isEnabled()
    assert cells(window.cut_sheet, ON_PIPE)[0] == "5.00 ft"
    choose_setup(window, 1)
    assert form.rows["height_ft"].label.text() == "HI"


def test_the_height_moves_with_the_benchmark_and_stays_chosen(window: Window) -> None:
    pane = window.cut_sheet
    choose_setup(window, 1)
    start_reading(pane)
    read("8.00")
    assert cells(pane, VERDICT)[0] == "✓ on plan"
    window.session.apply(change_benchmark(window.session.job, "benchmark-1", elevation_ft=101.0), "Change a benchmark")
    assert pane.form.setup.currentText() == "setup 1: 106.00"
    assert pane.form.rows["height_ft"].editor.text() == "106.00"
    assert cells(pane, ON_PIPE)[0] == "9.00 ft"
    assert cells(pane, VERDICT)[0] == "✗ high 1.00 ft"  # what was read on the pipe moves too
    assert pane.verdict.text().startswith("R1: ✗ Dig deeper at station 0.00 ft: high 1.00 ft.")


def test_a_reading_from_another_height_says_so_in_its_row(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "102.00")
    start_reading(pane)
    read("5.00")
    choose_setup(window, 1)
    assert (cells(pane, VERDICT)[0], cells(pane, WHAT)[0]) == ("✓ on plan", "O1, read from 102.00")
    read_at = cells(pane, AS_LAID)[0]
    assert (read_at, cells(pane, ON_PIPE)[0]) == ("5.00 ft", "8.00 ft")


def test_low_pipe_is_lifted_and_bedded_and_high_pipe_dug_deeper(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane)
    for text in ("6.00", "5.90", "5.50"):  # on plan; 0.10 low; 0.10 high
        read(text)
    said = pane.verdict.text()
    assert "Lift and bed it again at station 10.00 ft: low 0.10 ft" in said
    assert "Dig deeper at station 20.00 ft: high 0.10 ft" in said


def test_readings_of_a_setup_that_lost_its_height_stay_in_their_rows_and_say_so(window: Window) -> None:
    job = read_laid(change_laying(YARD, setup="setup-1"), "R1", 7.0, 7.86)
    window.session.open(replace(job, book=replace(LEVELS, benchmarks=())))
    pane = window.cut_sheet
    at = cells(pane, AS_LAID).index("7.86 ft")
    assert cells(pane, VERDICT)[at] == "✗ no height"
    assert "Without a height: 1." in pane.verdict.text()
    assert pane.form.setup.currentText() == "setup 1: no height"
    assert pane.verdict.text().startswith("R1: The setup has no height now: read its backsight in the level book")
    start_reading(pane)
    read("8.00")
    assert "The setup has no height now" in pane.fault.text()
    assert len(window.session.job.laying.readings) == 1


def test_undo_right_after_the_height_takes_it_back_while_the_field_keeps_the_keyboard(window: Window) -> None:
    pane = window.cut_sheet
    editor = pane.form.rows["height_ft"].editor
    assert isinstance(editor, QLineEdit)
    type_into(pane, "height_ft", "103")
    assert editor.hasFocus()
    QTest.keyClick(editor, Qt.Key.Key_Z, CTRL)
    assert window.session.job.laying.height_ft is None
    assert editor.text() == ""
    QTest.keyClicks(editor, "99")
    QTest.keyClick(editor, Qt.Key.Key_Z, CTRL)  # not taken yet: the field's own undo
    assert editor.text() == ""


@pytest.mark.parametrize("units", ["ft", "ft-in", "m"])
@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
def test_setups_and_heights_have_room(window: Window, size: tuple[int, int], units: Units) -> None:
    window.resize(*size)
    job = read_laid(change_laying(YARD, height_ft=102.0), "R1", 20.0, 4.6 + 0.15)
    window.session.open(replace(job, header=replace(job.header, units=units)))
    choose_setup(window, 2)
    QApplication.processEvents()
    form, table = window.cut_sheet.form, window.cut_sheet.table
    for combo in (form.setup, form.run):
        assert combo._elided() == combo.currentText()
    hi = form.rows["height_ft"].editor
    assert isinstance(hi, QLineEdit)
    assert hi.fontMetrics().horizontalAdvance(hi.placeholderText()) + 18 <= hi.width()
    choose_setup(window, 1)  # the reading was not taken from there
    QApplication.processEvents()
    assert (
        next(said for said in cells(window.cut_sheet, WHAT) if "read" in said)
        == f"◇ 1, read from {'31.090' if units == 'm' else '102.00'}"
    )
    assert not table.horizontalScrollBar().isVisible()
    for row in table.cuts.rows:
        for column, text in enumerate(row.cells):
            font = table.model().data(table.model().index(0, column), Qt.ItemDataRole.FontRole) or table.font()
            assert QFontMetrics(font).horizontalAdvance(text) + 6 <= table.columnWidth(column), (text, column)
    assert sum(table.columnWidth(c) for c in range(len(COLUMNS))) <= table.viewport().width()
