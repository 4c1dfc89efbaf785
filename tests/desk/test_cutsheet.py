"""The cut sheet pane in the real window: heights and as-laid readings typed by keys, verdicts seen at once, undone."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.cut_rows import AS_LAID, VERDICT
from drainsketch.desk.panes.cutsheet import CutSheetPane
from drainsketch.desk.window import Window
from drainsketch.job.edits.laying import change_laying
from drainsketch.job.model import Benchmark, Job, LevelBook, Setup, Sight
from tests.desk.at_desk import PLANE_YARD, open_window

ENTER = Qt.Key.Key_Return


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    """Return the window on the yard of at_desk, its cut sheet in front; R1 falls 2 % from 98.00 to 97.00 in 50 ft."""
    made, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    made.actions_.by_name["to_cut_sheet"].trigger()
    assert made.lower_tabs.currentWidget() is made.cut_sheet
    return made


def type_into(pane: CutSheetPane, name: str, text: str) -> None:
    editor = pane.form.rows[name].editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, ENTER)


def press(*keys: str | Qt.Key) -> None:
    """Press keys where the keyboard is."""
    for key in keys:
        at = QApplication.focusWidget()
        assert at is not None
        if isinstance(key, str):
            QTest.keyClicks(at, key)
        else:
            QTest.keyClick(at, key)
    QApplication.processEvents()


def read(text: str) -> None:
    press(*text, ENTER)


def cells(pane: CutSheetPane, column: int) -> list[str]:
    return [row.cells[column] for row in pane.table.cuts.rows]


def start_reading(pane: CutSheetPane, row: int = 0) -> None:
    pane.table.setFocus()
    pane.table.go_to(row)


def test_height_and_six_readings_typed_with_enter_between_give_a_verdict(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103.00")
    assert window.session.job.laying.height_ft == 103.0
    assert cells(pane, 5) == ["6' 0\"", "5' 9 5/8\"", "5' 7 1/4\"", "5' 4 3/4\"", "5' 2 3/8\"", "5' 0\""]
    start_reading(pane)
    for text in ("6", "5' 9 5/8\"", "5.60", "1.646 m", '62 3/8"', "5"):
        read(text)
    assert window.session.review.laid["R1"].verdict == "holds"
    assert pane.verdict.text() == "R1: ✓ Holds."
    assert all(said.startswith("✓") for said in cells(pane, VERDICT))
    assert len(window.session.job.laying.readings) == 6
    window.session.undo()
    assert cells(pane, AS_LAID)[-1] == ""
    assert pane.verdict.text() == "R1: ✓ Holds so far. Not shot yet: B1."


def test_a_low_place_is_told_beside_its_reading_and_in_the_verdict(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane, 4)
    read("5' 3 1/8\"")
    assert cells(pane, VERDICT)[4] == "✗ 3/4 in low"
    assert pane.verdict.text().startswith("R1: ✗ Dig again at station 40' 0\": 3/4 in low.")
    assert "laid_off_plan" in [f.kind for f in window.session.review.findings]
    window.session.undo()
    assert cells(pane, VERDICT)[4] == ""


def test_water_that_would_stand_is_told(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane)
    for text in ("6.00", "6.10"):
        read(text)
    assert cells(pane, VERDICT)[1] == "✗ 3 5/8 in low; water stands 1 1/4 in"
    assert "water would stand 1 1/4 in deep" in pane.verdict.text()


def test_what_cannot_be_read_is_told_in_the_pane_and_the_row_stays(window: Window) -> None:
    pane = window.cut_sheet
    start_reading(pane, 2)
    read("5.60")
    assert pane.fault.isVisible()
    assert "type the height of the instrument first" in pane.fault.text()
    type_into(pane, "height_ft", "103")
    start_reading(pane, 2)
    read("5x")
    assert pane.fault.text().startswith("R1 at 20' 0\": 5x: that is not a length")
    assert window.session.job.laying.readings == ()
    assert pane.table.currentIndex().row() == 2
    read("5.60")
    assert not pane.fault.isVisible()
    assert pane.table.currentIndex().row() == 3


def test_delete_takes_a_reading_off_and_letters_stay_with_the_tools(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane)
    read("6")
    pane.table.go_to(0)
    press(Qt.Key.Key_Delete)
    assert window.session.job.laying.readings == ()
    assert window.session.job.runs  # nothing of the plan went
    press("m")
    assert window.canvas.driver.spec.name == "measure"


def test_the_pane_follows_the_selection_and_a_row_shows_its_place(window: Window, qtbot: QtBot) -> None:
    pane = window.cut_sheet
    window.session.select(("B1",))
    assert pane.run == "R1"
    start_reading(pane)
    with qtbot.waitSignal(pane.place_chosen) as shown:
        press(Qt.Key.Key_Down)
    assert shown.args == [(), (40.0, 0.0)]
    middle = window.canvas.width() / 2, window.canvas.height() / 2
    assert window.canvas.view.to_px((40.0, 0.0)) == pytest.approx(middle, abs=1)


def test_rod_on_top_interval_and_string_change_what_is_to_be_read(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    type_into(pane, "interval_ft", "25")
    assert cells(pane, 0) == ["0' 0\"", "20' 0\"", "25' 0\"", "30' 0\"", "50' 0\""]  # and both crossings
    on_invert = cells(pane, 5)
    combo = pane.form.rows["rod_on"].editor
    combo.setFocus()
    press(Qt.Key.Key_Down)
    assert window.session.job.laying.rod_on == "top of pipe"
    assert all(a != b for a, b in zip(on_invert, cells(pane, 5), strict=True))
    pane.form.rows["instrument"].editor.setFocus()
    press(Qt.Key.Key_Down)
    assert pane.form.rows["height_ft"].label.text() == "String"
    type_into(pane, "tolerance_in", "soon")
    assert pane.form.rows["tolerance_in"].fault.isVisible()
    assert window.session.job.laying.tolerance_in == 0.25


def with_book() -> Job:
    sight = Sight(id="K1", kind="backsight", at="BM", reading_ft=4.25)
    book = LevelBook(
        benchmarks=(Benchmark(id="M1", name="BM", elevation_ft=100.0),),
        setups=(Setup(id="U1", name="By the gate", sights=(sight,)),),
    )
    return replace(PLANE_YARD, book=book)


def test_the_height_can_be_taken_from_a_setup_of_the_level_book(window: Window) -> None:
    pane = window.cut_sheet
    assert not pane.form.setup.isEnabled()
    window.session.open(with_book())
    assert pane.form.setup.itemText(1) == "By the gate: 104.25"
    pane.form.setup.setFocus()
    press(Qt.Key.Key_Down)
    assert window.session.job.laying.height_ft == 104.25
    assert pane.form.setup.currentIndex() == 1
    type_into(pane, "height_ft", "104")
    assert pane.form.setup.currentIndex() == 0


def test_a_height_the_pipe_cannot_be_read_from_says_set_up_again(window: Window) -> None:
    type_into(window.cut_sheet, "height_ft", "97.5")
    assert "Set up again for station 30' 0\": the pipe is above the line of sight." in window.cut_sheet.verdict.text()


def test_everything_is_in_view_on_a_small_screen(window: Window) -> None:
    window.session.open(change_laying(PLANE_YARD, height_ft=103.0))
    QApplication.processEvents()
    table = window.cut_sheet.table
    assert window.size().toTuple() == (1366, 768)
    assert not table.horizontalScrollBar().isVisible()
    widths = [table.columnWidth(c) for c in range(table.model().columnCount())]
    assert sum(widths) <= table.viewport().width()
    assert widths[VERDICT] >= table.fontMetrics().horizontalAdvance("✗ 3/4 in low")
    assert table.viewport().height() >= 4 * table.rowHeight(0)
    form = window.cut_sheet.form
    assert all(form.rows[n].editor.width() > 50 for n in form.rows)


def test_without_a_run_the_pane_says_what_it_waits_for(window: Window) -> None:
    window.session.open(Job())
    assert window.cut_sheet.empty.isVisible()
    assert not window.cut_sheet.table.isVisible()
