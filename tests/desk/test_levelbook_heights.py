"""Heights of instrument in the level book, in the real window: adjusted, handed to the cut sheet, kept when a setup goes."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.window import Window
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.model import Header
from tests.desk.at_desk import PLANE_YARD
from tests.desk.book_hands import (
    BARE,
    CTRL,
    K,
    at_the_book,
    cells,
    line,
    menu_entry,
    press,
    readings,
    start_book,
    write,
)
from tests.ground.books import book, bs, fs, inter, known, setup

BM = known("BM1", 100.0)


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    window = at_the_book(qtbot, tmp_path)
    yield window
    window.studying.stop()


def test_the_height_shown_is_the_adjusted_turning_point_plus_its_backsight(desk: Window) -> None:
    # by hand: TP1 99.70 as read, 0.02 high at the end: 99.69, HI 99.69 + 4.10 = 103.79, step 103.79 - 2.00 = 101.79
    loop = book(
        setup(bs("BM1", 4.0), fs("TP1", 4.3)), setup(bs("TP1", 4.1), inter("step", 2.0), fs("BM1", 3.78)), marks=(BM,)
    )
    desk.session.open(replace(BARE, book=loop))
    assert (cells(desk, b.HI)[2], cells(desk, b.ELEVATION)[2:4]) == ("103.80", ["99.70", "101.80"])
    desk.book.bar.adjust.click()
    assert (cells(desk, b.HI)[2], cells(desk, b.ELEVATION)[2:4]) == ("103.79", ["99.69", "101.79"])
    assert desk.session.review.book.heights_ft["setup-2"] == pytest.approx(103.79)


def test_a_foot_misread_is_not_spread(desk: Window) -> None:
    slip = book(setup(bs("BM1", 5.0), fs("TP1", 4.0)), setup(bs("TP1", 5.0), fs("BM1", 6.98)), marks=(BM,))
    desk.session.open(replace(BARE, header=Header(units="ft-in"), book=slip))
    before = cells(desk, b.ELEVATION)
    desk.book.bar.adjust.click()
    assert cells(desk, b.ELEVATION) == before
    said = desk.book.foot.text()
    assert said.startswith("Loop on BM1 comes back 0' 11 3/4\" below, allowed 0.02: not adjusted, level it again.")
    assert desk.session.review.findings[0].kind == "levels_not_adjusted"


def test_enter_after_the_backsight_beside_a_foresight_goes_below_the_row_it_made(desk: Window) -> None:
    start_book(desk)
    line("BM1", "4.00")
    line("TP1", "", "", "6.00")
    desk.book.table.go_to(1, b.BS)
    write("3.00")
    press(K.Key_Return)
    line("fence", "", "2.00")
    assert readings(desk) == [
        [("backsight", "BM1", 4.0), ("foresight", "TP1", 6.0)],
        [("backsight", "TP1", 3.0), ("intermediate", "fence", 2.0)],
    ]


def test_a_setup_that_goes_leaves_its_height_to_what_was_read_from_it(desk: Window) -> None:
    levels = book(setup(bs("BM1", 5.0), fs("TP1", 6.0)), setup(bs("TP1", 4.0)), marks=(BM,))
    job = change_laying(replace(PLANE_YARD, book=levels), setup="setup-2")
    for station in (0.0, 10.0):
        job = read_laid(job, "R1", station, 6.0)
    desk.session.open(job)
    desk.book.table.go_to(2)
    menu_entry(desk.book.bar.setup_menu, "Delete setup").trigger()
    assert desk.status.currentMessage() == (
        "Deleted setup 2, with its one row. 2 as-laid readings keep its height, 103.00. Ctrl+Z brings it back."
    )
    assert [r.height_ft for r in desk.session.job.laying.readings] == [103.0, 103.0]
    desk.session.undo()
    assert desk.session.job == job
    desk.book.marks.setFocus()
    desk.book.marks.setCurrentCell(0, 0)
    press(K.Key_Delete, CTRL)  # no benchmark, no height
    desk.book.table.go_to(2)
    menu_entry(desk.book.bar.setup_menu, "Delete setup").trigger()
    assert "no height to keep them by" in desk.book.foot.text()
    assert len(desk.session.job.book.setups) == 2


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
def test_the_two_peg_verdict_stands_in_the_pane_in_the_units_of_the_job(desk: Window, size: tuple[int, int]) -> None:
    # B less A is 0.70 ft midway, and 0.72, 0.71 and 0.70 close to A: 0.02 ft is 0.24 in and 6.1 mm, 5 mm is 0.197 in
    desk.resize(*size)
    for units, near_b, said in (
        ("ft", "5.22", "Reads 0.02 ft high from A to B, allowed 0.016 ft: have the level adjusted."),
        ("ft-in", "5.22 ft", "Reads 0' 0 1/4\" high from A to B, allowed 0' 0 3/16\": have the level adjusted."),
        ("ft", "5.21", "Good enough: reads 0.01 ft high from A to B, allowed 0.016 ft."),
        ("ft", "5.20", "The level reads true from A to B (allowed 0.016 ft)."),
        ("m", "5.22 ft", "Reads 0.0061 m high from A to B, allowed 0.005 m: have the level adjusted."),
    ):
        desk.session.open(replace(BARE, header=Header(units=units)))
        desk.book.bar.peg.setChecked(True)
        texts = ("4.31 ft", "5.01 ft", "4.50 ft", near_b)
        for entry, text in zip(desk.book.pegs.entries.values(), texts, strict=True):
            entry.setFocus()
            entry.selectAll()
            write(text)
            press(K.Key_Return)
        result = desk.book.pegs.result
        assert result.text() == said
        QApplication.processEvents()
        assert result.height() >= result.heightForWidth(result.width())


def test_undo_with_the_keyboard_still_in_a_field_takes_the_last_typing_back(desk: Window) -> None:
    allowance = desk.book.bar.allowance
    start_book(desk)
    allowance.setFocus()
    allowance.selectAll()
    write("0.05")
    press(K.Key_Return)
    press(K.Key_Z, CTRL)
    assert desk.session.job.book.allowance_ft == 0.02
    write("7")
    press(K.Key_Z, CTRL)  # half typed: the field's own
    assert desk.session.job.book.benchmarks
