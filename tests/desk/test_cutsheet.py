"""The cut sheet pane in the real window: heights and as-laid readings typed by keys, verdicts seen at once, undone."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.cut_rows import AS_LAID, COLUMNS, ON_PIPE, VERDICT
from drainsketch.desk.panes.cutsheet import CutSheetPane
from drainsketch.desk.theme import tones_of
from drainsketch.desk.window import Window
from drainsketch.job.edits.laying import change_laying
from drainsketch.job.kinds import Units
from drainsketch.job.levelling import Benchmark, LevelBook, Setup, Sight
from drainsketch.job.model import Job
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
    assert cells(pane, ON_PIPE) == ["6' 0\"", "5' 9 5/8\"", "5' 7 1/4\"", "5' 4 3/4\"", "5' 2 3/8\"", "5' 0\""]
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
    assert cells(pane, VERDICT)[4] == "✗ low 3/4 in"
    assert pane.verdict.text().startswith("R1: ✗ Lift and bed it again at station 40' 0\": low 3/4 in.")
    assert "laid_off_plan" in [f.kind for f in window.session.review.findings]
    window.session.undo()
    assert cells(pane, VERDICT)[4] == ""


def test_water_that_would_stand_is_told(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane)
    for text in ("6.00", "6.10"):
        read(text)
    assert cells(pane, VERDICT)[1] == "✗ low 3 5/8 in"
    assert "water stands 1 1/4 in deep" in pane.table.cuts.rows[1].tip
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


def test_delete_takes_a_reading_off_and_letters_are_no_tools(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    start_reading(pane)
    read("6")
    pane.table.go_to(0)
    press(Qt.Key.Key_Delete)
    assert window.session.job.laying.readings == ()
    assert window.session.job.runs  # nothing of the plan went
    press("m")
    assert window.canvas.driver.spec.name == "select"
    assert pane.table.hasFocus()


def test_the_pane_follows_the_selection_and_a_row_shows_its_place(window: Window, qtbot: QtBot) -> None:
    pane = window.cut_sheet
    window.session.select(("B1",))
    assert pane.run == "R1"
    start_reading(pane)
    with qtbot.waitSignal(pane.place_chosen) as shown:
        press(Qt.Key.Key_Down)
    assert shown.args == [(), (40.0, 0.0)]
    assert (
        window.canvas.flash.state() == window.canvas.flash.State.Running
    )  # the place is in view: it is pointed out, and the plan stays


def test_rod_on_top_interval_and_string_change_what_is_to_be_read(window: Window) -> None:
    pane = window.cut_sheet
    type_into(pane, "height_ft", "103")
    type_into(pane, "interval_ft", "25")
    assert cells(pane, 0) == ["0' 0\"", "20' 0\"", "25' 0\"", "30' 0\"", "50' 0\""]  # and both crossings
    on_invert = cells(pane, ON_PIPE)
    combo = pane.form.rows["rod_on"].editor
    combo.setFocus()
    press(Qt.Key.Key_Down)
    assert window.session.job.laying.rod_on == "top of pipe"
    assert all(a != b for a, b in zip(on_invert, cells(pane, ON_PIPE), strict=True))
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
    assert (window.session.job.laying.setup, window.session.job.laying.height_ft) == ("U1", None)
    assert pane.form.rows["height_ft"].editor.text() == "104.25"
    assert pane.form.setup.currentIndex() == 1
    press(Qt.Key.Key_Up)  # typed again: the height stays as a number
    assert (window.session.job.laying.setup, window.session.job.laying.height_ft) == (None, 104.25)
    press(Qt.Key.Key_Down)
    type_into(pane, "height_ft", "104")
    assert pane.form.setup.currentIndex() == 0


def test_a_height_the_pipe_cannot_be_read_from_says_set_up_again(window: Window) -> None:
    type_into(window.cut_sheet, "height_ft", "97.5")
    assert "Set up again for station 30' 0\": the pipe is above the line of sight." in window.cut_sheet.verdict.text()


def test_the_cut_says_to_where_it_goes_in_a_wrapped_head(window: Window) -> None:
    table = window.cut_sheet.table
    heads = [table.model().headerData(c, Qt.Orientation.Horizontal) for c in range(table.model().columnCount())]
    assert "Cut to\ntrench\nbottom" in heads
    assert "Cut" not in heads
    assert heads.index("As\nlaid") + 1 == heads.index("Off\nplan")  # the verdict stands beside what was typed


@pytest.mark.parametrize("units", ["ft", "ft-in", "m"])
@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_nothing_needed_is_clipped_on_a_small_screen(window: Window, size: tuple[int, int], units: Units) -> None:
    pane, table = window.cut_sheet, window.cut_sheet.table
    window.resize(*size)
    job = change_laying(PLANE_YARD, height_ft=103.0)
    window.session.open(replace(job, header=replace(job.header, units=units)))
    start_reading(pane)
    for text in ("6' 0 7/16\"", "5' 9\"", "5' 7 1/4\""):
        read(text)
    QApplication.processEvents()
    assert window.size().toTuple() == size
    assert not table.horizontalScrollBar().isVisible()
    assert sum(table.columnWidth(c) for c in range(len(COLUMNS))) <= table.viewport().width()
    for row in pane.table.cuts.rows:
        for column, text in enumerate(row.cells):
            font = table.model().data(table.model().index(0, column), Qt.ItemDataRole.FontRole) or table.font()
            assert QFontMetrics(font).horizontalAdvance(text) + 6 <= table.columnWidth(column), (text, column)
    assert table.viewport().height() >= 4 * table.rowHeight(0)
    for row in pane.form.rows.values():
        text = row.editor.text() if isinstance(row.editor, QLineEdit) else ""
        assert row.editor.fontMetrics().horizontalAdvance(text) + 16 <= row.editor.width(), text


def test_the_as_laid_cells_are_framed_boxes_and_those_beside_are_not(window: Window) -> None:
    table = window.cut_sheet.table
    table.setCurrentIndex(table.model().index(0, 0))
    QApplication.processEvents()
    seen = table.viewport().grab().toImage()
    quiet = QColor(tones_of(table).quiet)

    def framed(row: int, column: int) -> bool:
        rect = table.visualRect(table.model().index(row, column))
        sides = [(rect.center().x(), rect.top() + 2), (rect.center().x(), rect.bottom() - 2)]
        sides += [(rect.left() + 2, rect.center().y()), (rect.right() - 2, rect.center().y())]
        return all(seen.pixelColor(x, y) == quiet for x, y in sides)

    assert all(framed(row, AS_LAID) for row in (1, 2, 3))
    assert not any(framed(row, column) for row in (1, 2, 3) for column in (ON_PIPE, VERDICT))


@pytest.mark.parametrize(
    ("units", "typed", "cell", "both"),
    [
        ("ft", "4' 4 7/16\"", "4' 4 7/16\"", "4' 4 7/16\" is 4.37 ft"),  # 4 + 4.4375 / 12 = 4.3698
        ("ft-in", "4.37", "4.37 ft", "4.37 ft is 4' 4 1/2\""),  # 0.37 x 12 = 4.44 in
        ("m", '52 7/16"', "4' 4 7/16\"", "4' 4 7/16\" is 1.332 m"),  # 52.4375 x 25.4 = 1331.9 mm
    ],
)
def test_a_reading_stands_as_it_was_typed_and_both_notations_are_told(
    window: Window, units: Units, typed: str, cell: str, both: str
) -> None:
    pane = window.cut_sheet
    window.session.open(replace(PLANE_YARD, header=replace(PLANE_YARD.header, units=units)))
    type_into(pane, "height_ft", "103 ft")
    start_reading(pane, 1)
    read(typed)
    assert cells(pane, AS_LAID)[1] == cell
    assert both in pane.table.cuts.rows[1].tip
    assert window.statusBar().currentMessage().endswith(f"{both}.")


def test_without_a_run_the_pane_says_what_it_waits_for(window: Window) -> None:
    window.session.open(Job())
    assert window.cut_sheet.empty.isVisible()
    assert not window.cut_sheet.table.isVisible()
