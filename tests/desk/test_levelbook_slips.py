"""Slips in the level book, in the real window: cells cleared, rows deleted, readings in the wrong column, text that is no reading."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.window import Window
from drainsketch.job.model import Shot
from tests.desk.book_hands import (
    BARE,
    CTRL,
    LOOP,
    K,
    at_the_book,
    cells,
    keyboard,
    levels,
    line,
    menu_entry,
    press,
    readings,
    start_book,
    typed_text,
    with_loop,
    write,
)
from tests.ground.books import book, bs, inter, known, setup


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    window = at_the_book(qtbot, tmp_path)
    yield window
    window.studying.stop()


@pytest.fixture
def loop(desk: Window) -> Window:
    """The window with two setups and a turning point: BM1 BS 4, a IS 5, TP1 FS 6; TP1 BS 3, b IS 4, BM1 FS 1.03."""
    with_loop(desk)
    desk.book.table.setFocus()
    return desk


def click(window: Window, row: int, column: int) -> None:
    """Click on a cell of the book."""
    table = window.book.table
    table.scrollTo(table.model().index(row, column))
    spot = table.visualRect(table.model().index(row, column)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QApplication.processEvents()


def readings_kept(window: Window) -> list[str]:
    return [s.id for one in window.session.job.book.setups for s in one.sights]


def levels_of_book(window: Window) -> list[str]:
    return cells(window, b.ELEVATION)[:5]


def told(window: Window) -> str:
    return window.status.currentMessage()


# -- cleared and deleted


def test_delete_clears_the_cell_and_the_row_stays(loop: Window) -> None:
    click(loop, 1, b.IS)
    press(K.Key_Delete)
    assert cells(loop, b.POINT) == ["BM1", "a", "TP1", "TP1", "b", "BM1", ""]
    assert cells(loop, b.IS)[1] == ""
    # a has no level; the others keep theirs, by hand: HI 104, TP1 98; HI 101, b 97
    assert levels_of_book(loop) == ["100.00", "no level", "98.00", "98.00", "97.00"]
    assert told(loop) == "Cleared IS 5.00 on a. Ctrl+Z brings it back."
    assert loop.book.foot.text() == "a has no reading: type it, or delete the row (Ctrl+Delete)."
    press(K.Key_Z, CTRL)
    assert loop.session.job.book == LOOP
    assert cells(loop, b.IS)[1] == "5.00"


def test_a_backsight_cleared_by_delete_says_what_hangs_on_it_and_is_read_again(loop: Window) -> None:
    click(loop, 0, b.BS)
    press(K.Key_Delete)
    assert len(readings_kept(loop)) == 6
    assert told(loop) == "Cleared BS 4.00 on BM1: setup 1 has no height until it is read again. Ctrl+Z brings it back."
    assert "Setup 1 has no backsight" in loop.book.foot.text()
    write("4.5")
    press(K.Key_Return)
    assert cells(loop, b.HI)[0] == "104.50"
    assert cells(loop, b.ELEVATION)[1] == "99.50"
    press(K.Key_Z, CTRL)
    press(K.Key_Z, CTRL)
    assert loop.session.job.book == LOOP


def test_backspace_clears_note_distance_and_point(loop: Window) -> None:
    for column, text in ((b.NOTE, "curb"), (b.DISTANCE, "40")):
        click(loop, 2, column)
        write(text)
        press(K.Key_Return)
        click(loop, 2, column)
        press(K.Key_Backspace)
        assert cells(loop, column)[2] == ""
    assert loop.session.job.book == LOOP
    click(loop, 1, b.POINT)
    press(K.Key_Delete)
    assert cells(loop, b.POINT)[1] == ""
    assert cells(loop, b.IS)[1] == "5.00"


def test_many_cells_are_cleared_in_one_step(loop: Window) -> None:
    click(loop, 0, b.BS)
    press(K.Key_A, CTRL)
    press(K.Key_Delete)
    assert len(readings_kept(loop)) == 6
    assert set(cells(loop, b.FS)) == {""}
    assert told(loop) == "Cleared 12 cells. Ctrl+Z brings them back."  # six points, six readings
    press(K.Key_Z, CTRL)
    assert loop.session.job.book == LOOP


@pytest.mark.parametrize("by", ["keys", "menu"])
def test_a_row_goes_by_ctrl_delete_or_the_menu_and_the_status_line_says_which(loop: Window, by: str) -> None:
    click(loop, 2, b.FS)
    if by == "keys":
        press(K.Key_Delete, CTRL)
    else:
        menu_entry(loop.book.bar.row_menu, "Delete row").trigger()
    assert [at for _, at, _ in readings(loop)[0]] == ["BM1", "a"]
    assert told(loop) == "Deleted the row FS 6.00 on TP1. Ctrl+Z brings it back."
    assert loop.book.table.currentIndex().row() == 2
    loop.session.undo()
    assert loop.session.job.book == LOOP


def test_a_backsight_row_that_goes_takes_the_height_and_says_so(loop: Window) -> None:
    click(loop, 3, b.BS)
    press(K.Key_Delete, CTRL)
    assert told(loop) == "Deleted the row BS 3.00 on TP1: setup 2 has no height now. Ctrl+Z brings it back."
    menu_entry(loop.book.bar.setup_menu, "Delete setup").trigger()
    assert told(loop) == "Deleted setup 2, with its 2 rows. Ctrl+Z brings it back."


def test_several_rows_go_in_one_step_and_a_blank_one_says_there_is_nothing(loop: Window) -> None:
    click(loop, 1, b.POINT)
    press(K.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    press(K.Key_Delete, CTRL)
    assert [at for _, at, _ in readings(loop)[0]] == ["BM1"]
    assert told(loop) == "Deleted 2 rows. Ctrl+Z brings them back."
    loop.session.undo()
    assert loop.session.job.book == LOOP
    click(loop, 6, b.POINT)
    press(K.Key_Delete, CTRL)
    assert "nothing to delete" in loop.book.foot.text()
    write("late")
    press(K.Key_Return)
    click(loop, 6, b.POINT)
    press(K.Key_Delete, CTRL)
    assert cells(loop, b.POINT)[-1] == ""
    assert loop.session.job.book == LOOP


def test_a_shot_keeps_its_sight_while_its_reading_is_struck_out(desk: Window) -> None:
    placed = book(setup(bs("BM1", 4.0), inter("a", 5.0, "S1")), marks=(known("BM1", 100.0),))
    desk.session.open(replace(BARE, shots=(Shot(id="S1", point=(0, 0), name="a"),), book=placed))
    click(desk, 1, b.IS)
    press(K.Key_Delete)
    assert levels(desk) == {}
    assert "shot_without_level" in [f.kind for f in desk.session.review.findings]
    write("5.25")
    press(K.Key_Return)
    assert levels(desk) == {"a": 98.75}


# -- readings in the wrong column, and beyond the rod


@pytest.mark.parametrize("column", [b.FS, b.IS])
def test_a_forward_reading_in_a_backsight_row_is_refused_and_says_where_it_goes(loop: Window, column: int) -> None:
    for row, name, number in ((0, "BM1", 1), (3, "TP1", 2)):
        click(loop, row, column)
        write("5.5")
        press(K.Key_Return)
        said = loop.book.foot.text()
        assert said.startswith(f"{name} is the backsight of setup {number} and carries its levels")
        assert "in a row of its own below" in said
        assert typed_text() == "5.5"
        press(K.Key_Escape)
    assert loop.session.job.book == LOOP
    assert levels_of_book(loop) == ["100.00", "99.00", "98.00", "98.00", "97.00"]


def test_a_backsight_on_a_point_looked_back_to_already_is_refused(loop: Window) -> None:
    click(loop, 2, b.BS)
    write("3.3")
    press(K.Key_Return)
    assert loop.book.foot.text() == "TP1 is looked back to in setup 2 already: its BS goes in the row there."
    press(K.Key_Escape)
    assert loop.session.job.book == LOOP


def test_a_turning_point_written_in_one_row_makes_both_its_sights(desk: Window) -> None:
    """As books have it: TP1 with its BS and its FS side by side. By hand: HI 104, TP1 98, HI 101."""
    start_book(desk)
    line("BM1", "4")
    line("TP1", "3", "", "6")
    assert readings(desk) == [[("backsight", "BM1", 4.0), ("foresight", "TP1", 6.0)], [("backsight", "TP1", 3.0)]]
    assert cells(desk, b.HI) == ["104.00", "", "101.00", ""]
    assert told(desk) == "Added the FS on TP1 to setup 1, in a row of its own."


def test_a_first_reading_in_the_wrong_column_is_moved_to_the_right_one(desk: Window) -> None:
    start_book(desk)
    line("BM1", "", "", "4")
    assert "Setup 1 has no backsight" in desk.book.foot.text()
    click(desk, 0, b.BS)
    write("4")
    press(K.Key_Return)
    assert readings(desk) == [[("backsight", "BM1", 4.0)]]


def test_a_cleared_backsight_row_may_become_another(loop: Window) -> None:
    click(loop, 3, b.BS)
    press(K.Key_Delete)
    click(loop, 3, b.FS)
    write("6.02")
    press(K.Key_Return)
    assert readings(loop)[1][0] == ("foresight", "TP1", 6.02)


def test_a_reading_no_rod_shows_is_told_in_the_pane_at_once(desk: Window) -> None:
    """25 ft: common practice, no source; the longest rods reach it."""
    start_book(desk)
    line("BM1", "4")
    line("a", "", "25")
    assert "rod" not in desk.book.foot.text()
    line("c", "", "43.7")
    assert desk.book.foot.text().startswith("Setup 1, c: a reading of 43.7")
    assert "longer than any rod" in desk.book.foot.text()
    red = desk.book.table.model().index(2, b.IS).data(Qt.ItemDataRole.ForegroundRole)
    assert red.name().lower() == desk.book._model.tones.stop.lower()
    click(desk, 2, b.IS)
    write("4.37")
    press(K.Key_Return)
    assert "rod" not in desk.book.foot.text()


# -- text that cannot be read


@pytest.mark.parametrize("end", [K.Key_Return, K.Key_Tab])
def test_unreadable_text_stays_open_in_its_cell(loop: Window, end: Qt.Key) -> None:
    click(loop, 1, b.IS)
    write("4,37 abc")
    press(end)
    assert typed_text() == "4,37 abc"
    assert "write it like" in loop.book.foot.text()
    assert loop.canvas.driver.spec.name == "select"
    assert loop.session.job.book == LOOP
    write("4.37")  # the text was chosen, so typing goes over it
    press(K.Key_Return)
    assert readings(loop)[0][1] == ("intermediate", "a", 4.37)
    assert "misclosure" in loop.book.foot.text()


def test_unreadable_text_that_is_left_waits_in_red_and_the_old_reading_counts(loop: Window) -> None:
    click(loop, 1, b.IS)
    write("five")
    click(loop, 4, b.POINT)
    assert cells(loop, b.IS)[1] == "five"
    assert "five: that is not a length" in loop.book.foot.text()
    assert loop.session.job.book == LOOP
    click(loop, 1, b.IS)
    press(K.Key_Delete)  # what was typed goes, what stood there comes back
    assert cells(loop, b.IS)[1] == "5.00"
    assert loop.session.job.book == LOOP


def test_an_unreadable_distance_is_not_dropped_when_the_row_gets_its_reading(loop: Window) -> None:
    click(loop, 6, b.DISTANCE)
    write("far")
    click(loop, 6, b.IS)
    write("4.4")
    press(K.Key_Return)
    assert readings(loop)[1][-1] == ("intermediate", "", 4.4)
    assert cells(loop, b.DISTANCE)[6] == "far"


def test_unreadable_benchmark_level_stays_open(desk: Window) -> None:
    marks = desk.book.marks
    marks.setFocus()
    marks.setCurrentCell(0, 0)
    write("BM1")
    press(K.Key_Tab)
    write("a hundred")
    press(K.Key_Return)
    assert typed_text() == "a hundred"
    assert "a hundred: that is not a length; write it like" in desk.book.foot.text()
    write("100")
    press(K.Key_Return)
    assert [(m.name, m.elevation_ft) for m in desk.session.job.book.benchmarks] == [("BM1", 100.0)]


def test_letters_typed_on_what_is_worked_out_say_so_and_rename_nothing(loop: Window) -> None:
    for column in (b.HI, b.ELEVATION, b.PLAN):
        click(loop, 1, column)
        write("99.5")
        assert loop.book.foot.text() == b.WORKED_OUT[column]
        assert not isinstance(keyboard(), QLineEdit)
    assert loop.session.job.book == LOOP


# -- setups


def test_a_setup_is_named_in_its_cell_or_by_the_menu(loop: Window) -> None:
    click(loop, 3, b.SETUP)
    write("By the gate")
    press(K.Key_Return)
    assert [s.name for s in loop.session.job.book.setups] == ["", "By the gate"]
    assert loop.session.history.undo_label == "Name a setup"
    assert cells(loop, b.SETUP)[3] == "By the gate"
    click(loop, 5, b.FS)
    menu_entry(loop.book.bar.setup_menu, "Name setup").trigger()
    assert typed_text() == "By the gate"
    write("Gate")
    press(K.Key_Return)
    assert cells(loop, b.SETUP)[3] == "Gate"
    click(loop, 4, b.SETUP)
    write("x")
    assert loop.book.foot.text() == "A setup is named in its first row."
    click(loop, 3, b.SETUP)
    write("n" * 300)
    press(K.Key_Return)
    assert typed_text() == "n" * 300
    assert loop.book.foot.text() != ""
    press(K.Key_Escape)
    click(loop, 3, b.SETUP)
    press(K.Key_Delete)
    assert cells(loop, b.SETUP)[3] == "2"
    assert told(loop) == "Cleared the setup name. Ctrl+Z brings it back."


def test_the_first_setup_is_named_before_its_first_reading(desk: Window) -> None:
    click(desk, 0, b.SETUP)
    write("Front")
    press(K.Key_Tab)
    line("BM1", "4")
    assert [s.name for s in desk.session.job.book.setups] == ["Front"]


def test_one_value_is_pasted_into_the_cell_and_all_is_copied_with_headings(loop: Window) -> None:
    QGuiApplication.clipboard().setText("5' 6\"\n")
    click(loop, 1, b.IS)
    press(K.Key_V, CTRL)
    assert readings(loop)[0][1] == ("intermediate", "a", 5.5)
    press(K.Key_A, CTRL)
    press(K.Key_C, CTRL)
    copied = QGuiApplication.clipboard().text()
    assert copied.splitlines()[0].split("\t")[:3] == ["Setup", "Point", "BS"]
    before = readings(loop)
    loop.session.open(replace(BARE, book=replace(LOOP, setups=())))
    loop.book.table.go_to(0)
    QGuiApplication.clipboard().setText(copied)
    press(K.Key_V, CTRL)
    assert readings(loop) == before


def test_a_click_on_a_command_leaves_the_keyboard_in_the_book(loop: Window) -> None:
    click(loop, 1, b.IS)
    bar = loop.book.bar
    for part in (bar.peg, bar.adjust):
        QTest.mouseClick(part, Qt.MouseButton.LeftButton, pos=QPoint(8, part.height() // 2))
        assert loop.book.table.hasFocus()
    assert loop.session.job.book.adjust
    write("5.5")
    press(K.Key_Return)
    assert readings(loop)[0][1] == ("intermediate", "a", 5.5)
