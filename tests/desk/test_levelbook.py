"""The level book in the real window: typed by keys, placed by clicks, edited, pasted, undone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes import book_rows as b
from drainsketch.desk.panes.facts import facts
from drainsketch.desk.points_form import PointsForm
from drainsketch.desk.window import Window
from drainsketch.job.levelling import Benchmark, LevelBook
from drainsketch.job.model import Header, Shot
from drainsketch.wording import Words
from tests.desk.at_desk import Answers
from tests.desk.book_hands import (
    BARE,
    CTRL,
    LOOP,
    K,
    at_the_book,
    cells,
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
from tests.desk.hands import Hands
from tests.ground.books import book, bs, inter, known, setup

PLACES = ((10.0, 10.0), (5.0, -20.0), (40.0, 35.0), (60.0, -30.0))


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    window = at_the_book(qtbot, tmp_path)
    yield window
    window.studying.stop()


def test_a_book_typed_by_keys_placed_by_clicks_and_edited_moves_its_levels_and_is_undone(desk: Window) -> None:
    start_book(desk)
    line("BM1", "4.37")
    line("1", "", "5' 2 1/2\"")
    line("2", "", "1.6 m")
    line("3", "", '52 3/8"')
    line("TP1", "", "", "6.21", "40", "curb")
    line("TP1", "3.5")
    line("4", "", "4.11")
    line("bm 1", "", "", "1.65")
    assert readings(desk) == [
        [
            ("backsight", "BM1", 4.37),
            ("intermediate", "1", 5.2083),
            ("intermediate", "2", 5.2493),
            ("intermediate", "3", 4.3646),
            ("foresight", "TP1", 6.21),
        ],
        [("backsight", "TP1", 3.5), ("intermediate", "4", 4.11), ("foresight", "bm 1", 1.65)],
    ]
    assert desk.session.job.book.setups[0].sights[4].distance_ft == 40.0
    assert desk.session.job.book.setups[0].sights[4].note == "curb"
    assert "misclosure +0.010, within" in desk.book.foot.text()
    assert "BS 7.87 less FS 7.86" in desk.book.foot.text()

    desk.book.table.go_to(1)
    press(K.Key_Return, CTRL)
    assert desk.canvas.driver.spec.name == "place-sight"
    hands = Hands(desk.canvas)
    for at in PLACES:
        hands.click(at)
    assert [s.name for s in desk.session.job.shots] == ["1", "2", "3", "TP1"]
    # by hand: HI 104.37; 104.37 - 5.2083, - 5.2493, - 4.3646, - 6.21
    assert levels(desk) == {"1": 99.162, "2": 99.121, "3": 100.005, "TP1": 98.16}
    assert cells(desk, b.PLAN) == ["", "S1", "S2", "S3", "S4", "", "not yet", "", ""]
    before = desk.session.review.profiles["R1"].ground_ft.copy()

    desk.book.table.setFocus()
    desk.book.table.go_to(0, b.BS)
    write("4.87")
    press(K.Key_Return)
    assert levels(desk) == {"1": 99.662, "2": 99.621, "3": 100.505, "TP1": 98.66}
    assert desk.session.review.profiles["R1"].ground_ft == pytest.approx(before + 0.5)
    assert "levels_misclose" in [f.kind for f in desk.session.review.findings]
    assert "misclosure +0.510, beyond" in desk.book.foot.text()

    while desk.session.history.undo_label is not None:
        desk.session.undo()
    assert desk.session.job == BARE
    assert desk.book.table.model().rowCount() == 1


def test_letters_typed_into_the_book_are_no_tools(desk: Window) -> None:
    line("SRBG", "4")
    assert readings(desk) == [[("backsight", "SRBG", 4.0)]]
    assert desk.canvas.driver.spec.name == "select"


def test_a_slip_is_said_in_the_pane_and_typing_goes_on_from_what_stands_there(desk: Window) -> None:
    with_loop(desk)
    desk.book.table.setFocus()
    desk.book.table.go_to(6)
    line("c", "", "4' 13\"")
    assert desk.session.job.book == LOOP
    assert "after feet the inches stay under 12" in desk.book.foot.text()
    assert typed_text() == "4' 13\""
    desk.book.table.go_to(1)  # somewhere else: what was typed waits in its cell
    assert cells(desk, b.IS)[-1] == "4' 13\""
    assert cells(desk, b.POINT)[-1] == "c"
    desk.book.table.go_to(6, b.IS)
    write("4.5")
    press(K.Key_Return)
    assert readings(desk)[1][-1] == ("intermediate", "c", 4.5)
    assert "misclosure" in desk.book.foot.text()
    desk.book.table.go_to(1, b.IS)
    write("x")
    press(K.Key_Return)
    assert "x: that is not a length" in desk.book.foot.text()
    assert typed_text() == "x"
    press(K.Key_Escape)
    assert cells(desk, b.IS)[1] == "5.00"
    assert "misclosure" in desk.book.foot.text()


def test_a_backsight_typed_beside_a_foresight_turns_on_that_point(desk: Window) -> None:
    start_book(desk)
    line("BM1", "4")
    line("TP1", "", "", "6")
    desk.book.table.go_to(1, b.BS)
    write("3")
    press(K.Key_Return)
    assert readings(desk) == [[("backsight", "BM1", 4.0), ("foresight", "TP1", 6.0)], [("backsight", "TP1", 3.0)]]
    assert cells(desk, b.HI) == ["104.00", "", "101.00", ""]
    assert cells(desk, b.SETUP) == ["1", "", "2", ""]


def test_a_reading_moved_to_another_column_changes_the_kind_of_sight(desk: Window) -> None:
    with_loop(desk)
    desk.book.table.setFocus()
    desk.book.table.go_to(1, b.FS)
    write("5.5")
    press(K.Key_Return)
    assert readings(desk)[0][1] == ("foresight", "a", 5.5)
    assert desk.session.history.undo_label == "Change a reading"


def test_a_string_line_is_started_and_its_rows_go_on_in_it(desk: Window) -> None:
    start_book(desk)
    menu_entry(desk.book.bar.setup_menu, "New string-line setup").trigger()
    line("BM1", "1.00")
    line("x", "", "2.50")
    (strung,) = desk.session.job.book.setups
    assert strung.instrument == "string line"
    assert cells(desk, b.SETUP)[0] == "1 string"
    assert cells(desk, b.ELEVATION)[:2] == ["100.00", "98.50"]


def test_rows_and_setups_are_put_in_moved_and_taken_out(desk: Window) -> None:
    with_loop(desk)
    table, bar = desk.book.table, desk.book.bar
    table.go_to(1)
    menu_entry(bar.row_menu, "Insert row above").trigger()
    line("new", "", "4.44")
    assert [at for _, at, _ in readings(desk)[0]] == ["BM1", "new", "a", "TP1"]
    table.go_to(1)
    menu_entry(bar.row_menu, "Move row down").trigger()
    assert [at for _, at, _ in readings(desk)[0]] == ["BM1", "a", "new", "TP1"]
    table.go_to(2)
    press(K.Key_Delete, CTRL)
    assert [at for _, at, _ in readings(desk)[0]] == ["BM1", "a", "TP1"]
    menu_entry(bar.setup_menu, "Move setup down").trigger()
    assert [one[0][1] for one in readings(desk)] == ["TP1", "BM1"]
    assert levels(desk) == {}
    menu_entry(bar.setup_menu, "Delete setup").trigger()
    assert len(readings(desk)) == 1


def test_a_sight_taken_off_its_shot_leaves_it_the_level(desk: Window) -> None:
    shots = (Shot(id="S1", point=(0, 0), name="a"),)
    placed = book(setup(bs("BM1", 4.0), inter("a", 5.0, "S1")), marks=(known("BM1", 100.0),))
    desk.session.open(replace(BARE, shots=shots, book=placed))
    desk.book.table.go_to(1)
    assert desk.session.selection == ("S1",)
    menu_entry(desk.book.bar.row_menu, "Take off the plan").trigger()
    assert desk.session.job.shots[0].elevation_ft == 99.0
    menu_entry(desk.book.bar.row_menu, "Take off the plan").trigger()
    assert desk.book.foot.text() == "This row is not on the plan."


def test_rows_are_pasted_whole_or_not_at_all(desk: Window) -> None:
    start_book(desk)
    QGuiApplication.clipboard().setText("Point\tBS\tIS\tFS\nBM1\t4\na\t\t5\nTP1\t3\t\tsix\n")
    press(K.Key_V, CTRL)
    assert desk.session.job.book.setups == ()
    assert desk.book.foot.text().startswith("row 4, column FS: six: that is not a length")
    QGuiApplication.clipboard().setText("Point\tBS\tIS\tFS\nBM1\t4\na\t\t5\nTP1\t3\t\t6\nb\t\t4\n")
    press(K.Key_V, CTRL)
    assert readings(desk) == [
        [("backsight", "BM1", 4.0), ("intermediate", "a", 5.0), ("foresight", "TP1", 6.0)],
        [("backsight", "TP1", 3.0), ("intermediate", "b", 4.0)],
    ]
    assert desk.session.history.undo_label == "Paste sights"
    QGuiApplication.clipboard().setText("c,,4.5\nTP2,2,,5\n")
    desk.book.bar.paste.click()
    assert [[at for _, at, _ in one] for one in readings(desk)] == [
        ["BM1", "a", "TP1"],
        ["TP1", "b", "c", "TP2"],
        ["TP2"],
    ]


def test_adjustment_and_allowance_are_set_and_the_corrections_are_shown(desk: Window) -> None:
    with_loop(desk)
    assert desk.book.table.isColumnHidden(b.CORRECTION)
    desk.book.bar.adjust.click()
    assert not desk.book.table.isColumnHidden(b.CORRECTION)
    # the loop comes back 3 hundredths low, and two are allowed: all stays as read
    assert cells(desk, b.CORRECTION)[:6] == ["+0.000"] * 6
    assert desk.book.foot.text().startswith(
        "Loop on BM1 comes back 0.03 ft below, allowed 0.02: not adjusted, level it again."
    )
    assert "levels_not_adjusted" in [f.kind for f in desk.session.review.findings]
    desk.book.bar.allowance.setFocus()
    desk.book.bar.allowance.selectAll()
    write("0.05")
    press(K.Key_Return)
    assert desk.session.job.book.allowance_ft == 0.05
    assert "within the allowance of 0.05" in desk.book.foot.text()
    # half of it is added at each setup; b is read down from the height over the adjusted TP1
    assert cells(desk, b.CORRECTION)[:6] == ["+0.000", "+0.000", "+0.015", "+0.015", "+0.015", "+0.030"]
    desk.book.bar.allowance.selectAll()
    write("much")
    press(K.Key_Return)
    assert "much: that is not a length" in desk.book.foot.text()
    assert desk.book.bar.allowance.text() == "0.05"


def test_benchmarks_are_changed_renamed_and_deleted(desk: Window) -> None:
    with_loop(desk)
    marks = desk.book.marks
    marks.setFocus()
    marks.setCurrentCell(0, 1)
    write("200")
    press(K.Key_Return)
    assert cells(desk, b.ELEVATION)[1] == "199.00"
    marks.setCurrentCell(0, 0)
    write("Nail")
    press(K.Key_Return)
    assert cells(desk, b.ELEVATION)[1] == "no level"
    marks.setCurrentCell(0, 1)
    write("deep")
    press(K.Key_Return)
    assert "deep: that is not a length" in desk.book.foot.text()
    assert typed_text() == "deep"
    press(K.Key_Escape)
    marks.setCurrentCell(0, 0)
    press(K.Key_Delete)
    assert [m.name for m in desk.session.job.book.benchmarks] == ["Nail"]
    assert "Ctrl+Delete" in desk.book.foot.text()
    press(K.Key_Delete, CTRL)
    assert desk.session.job.book.benchmarks == ()
    assert "Deleted benchmark Nail" in desk.status.currentMessage()


def test_the_two_peg_check_is_typed_and_tells_how_far_the_level_is_off(desk: Window) -> None:
    desk.book.bar.peg.click()
    for entry, text in zip(desk.book.pegs.entries.values(), ("4.31", "5.01", "4.50", "5.22"), strict=True):
        entry.setFocus()
        write(text)
        press(K.Key_Tab)
    assert desk.book.pegs.result.text() == "Reads 0.02 ft high from A to B, allowed 0.016 ft: have the level adjusted."
    assert "two_peg_off" in [f.kind for f in desk.session.review.findings]
    desk.book.pegs.entries["near_b_ft"].setFocus()
    desk.book.pegs.entries["near_b_ft"].selectAll()
    write("wide")
    press(K.Key_Return)
    assert "wide: that is not a length" in desk.book.foot.text()
    for entry in desk.book.pegs.entries.values():
        entry.setFocus()
        entry.selectAll()
        press(K.Key_Delete)
        press(K.Key_Tab)
    assert desk.session.job.book.two_peg is None


def test_a_click_on_a_shot_without_a_level_gives_it_that_of_the_sight(desk: Window) -> None:
    desk.session.open(replace(BARE, shots=(Shot(id="S1", point=(40.0, 35.0)),), book=LOOP))
    desk.book.table.go_to(1)
    desk.book.bar.place.click()
    assert "Click where the rod stood at a." in desk.status.hint.text()
    Hands(desk.canvas).click((40.0, 35.0))
    assert [(s.id, s.elevation_ft) for s in desk.session.review.shots] == [("S1", 99.0)]
    assert facts(desk.session.review, desk.session.job.shots[0], Words()) == (
        ("Level", "99.00, by a of the level book"),
    )
    assert "at TP1." in desk.status.hint.text()
    Hands(desk.canvas).click((40.0, 35.0))
    assert "S1: it takes its level from another sight" in desk.status.hint.text()
    assert len(desk.session.job.shots) == 1


def test_placing_goes_on_until_every_sight_has_its_place(desk: Window) -> None:
    with_loop(desk)
    desk.book.table.go_to(0)
    desk.book.bar.place.click()
    for at in PLACES:
        Hands(desk.canvas).click(at)
    assert [s.name for s in desk.session.job.shots] == ["a", "TP1", "b"]
    assert desk.status.hint.text().startswith("Every sight of the level book has its place")
    desk.book.bar.place.click()
    assert desk.book.foot.text() == "Every sight stands on the plan already."


def test_a_shot_deleted_on_the_plan_leaves_its_sight_to_be_placed_again(desk: Window) -> None:
    with_loop(desk)
    desk.book.table.go_to(1)
    desk.book.bar.place.click()
    Hands(desk.canvas).click(PLACES[0])
    assert cells(desk, b.PLAN)[1] == "S1"
    desk.session.select(("S1",))
    desk.actions_.by_name["delete"].trigger()
    assert desk.session.job.shots == ()
    assert cells(desk, b.PLAN)[1] == "not yet"


def test_the_book_stays_as_it_is_while_something_else_changes(desk: Window) -> None:
    with_loop(desk)
    resets: list[object] = []
    desk.book.table.model().dataChanged.connect(lambda *_: resets.append(1))
    desk.session.apply(replace(desk.session.job, structures=desk.session.job.structures[:1], runs=()), "x")
    assert resets == []


def test_a_metric_job_shows_and_takes_meters(desk: Window) -> None:
    desk.session.open(
        replace(
            BARE,
            header=Header(units="m"),
            book=LevelBook(benchmarks=(Benchmark(id="b1", name="BM1", elevation_ft=100 / 0.3048),)),
        )
    )
    desk.book.table.setFocus()
    desk.book.table.go_to(0)
    line("BM1", "1.332")
    line("a", "", "1.5")
    assert cells(desk, b.BS)[0] == "1.332"
    assert cells(desk, b.ELEVATION)[:2] == ["100.000", "99.832"]


def test_points_of_a_file_come_in_as_shots_after_a_look_at_them(qtbot: QtBot, tmp_path: Path, desk: Window) -> None:
    form = PointsForm("7,20,10,99.5,curb\n8,30,12,98.5,\n9,x,1,2,\n", "yard.csv", "ft")
    qtbot.addWidget(form)
    assert [form.table.item(row, 0).text() for row in range(form.table.rowCount())] == ["7", "8"]  # type: ignore[union-attr]
    assert "2 points come in" in form.told.text()
    assert "line 3: x is no northing" in form.told.text()
    assert not form.take.isEnabled()
    form.leave_out.click()
    assert form.take.isEnabled()
    form.columns["north"].setCurrentIndex(2)
    form.columns["north"].activated.emit(2)
    assert "chosen twice" in form.told.text()
    assert not form.take.isEnabled()

    answers = desk.dialogs
    assert isinstance(answers, Answers)
    answers.read_path = tmp_path / "yard.csv"
    answers.read_path.write_text("P,N,E,Z,D\n7,20,10,99.5,curb\n8,30,12,98.5,\n")
    desk.book.bar.points.click()
    assert [(s.point, s.elevation_ft, s.name) for s in desk.session.job.shots] == [
        ((10.0, 20.0), 99.5, "7 curb"),
        ((12.0, 30.0), 98.5, "8"),
    ]
    assert desk.session.history.undo_label == "Import points"
    answers.read_path = tmp_path / "gone.csv"
    desk.book.bar.points.click()
    assert "gone.csv could not be taken in" in answers.told[-1]
