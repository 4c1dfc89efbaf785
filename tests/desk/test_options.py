"""Options in the window: the strip over the plan, its keys and menu, the pane that compares them, the others shown faintly."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox

from drainsketch.desk.option_form import OptionForm
from drainsketch.desk.panes.options import WORKING
from drainsketch.desk.recovery import Recovery
from drainsketch.files.jobfile import job_text, read_job
from drainsketch.files.recovery import copies
from drainsketch.job.edits.add import add
from drainsketch.job.edits.move import move
from drainsketch.job.edits.options import add_option
from drainsketch.job.model import Structure
from drainsketch.job.options import option_names
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.hands import Hands

CTRL, SHIFT, ALT = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)
LEFT = Qt.MouseButton.LeftButton
TWO = add(add_option(PLANE_YARD, "Two <b>basins</b> & more"), Structure(id="", kind="basin", point=(10.0, 5.0)))
AGES_MS = 30_000


@pytest.fixture
def desk(qtbot, tmp_path):
    window, answers = open_window(qtbot, tmp_path, TWO)
    return window, answers


def press(window, key, held):
    QTest.keyClick(window.canvas, key, held)


def compare(qtbot, window):
    press(window, Qt.Key.Key_F12, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: window.options.comparing.is_current, timeout=AGES_MS)


def column(window, at):
    table = window.options.table
    return [table.topLevelItem(i).text(at) for i in range(table.topLevelItemCount())]


def test_one_option_shows_no_strip_and_a_key_makes_another(qtbot, tmp_path):
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    assert not window.option_bar.isVisible()
    answers.option = ("Solid main", "No stone.")
    press(window, Qt.Key.Key_N, CTRL | SHIFT)
    assert answers.asked[-1] == "New option"
    assert option_names(window.session.job) == ("Option 1", "Solid main")
    assert window.session.job.option_note == "No stone."
    assert window.option_bar.isVisible()
    assert [b.text() for b in window.option_bar.buttons if b.isVisible()] == ["Option 1", "Solid main"]
    assert window.option_bar.buttons[1].isChecked()
    press(window, Qt.Key.Key_Z, CTRL)
    assert window.session.job == PLANE_YARD
    assert not window.option_bar.isVisible()
    answers.option = ("option 1", "")  # like the name that is made up for what is drawn: that one gets another
    window.actions_.by_name["new_option"].trigger()
    assert option_names(window.session.job) == ("Option 2", "option 1")


def test_what_is_drawn_in_one_option_is_not_in_the_other(desk):
    window, _ = desk
    hands = Hands(window.canvas)
    press(window, Qt.Key.Key_1, ALT)
    assert (window.session.job.option_at, len(window.session.job.structures)) == (0, 2)
    hands.key(Qt.Key.Key_C)  # the basin tool
    hands.click((20.0, 10.0))
    hands.key(Qt.Key.Key_Escape)
    assert [s.id for s in window.session.job.structures] == ["B1", "O1", "B3"]  # B2 is taken in the other option
    press(window, Qt.Key.Key_2, ALT)
    assert [s.id for s in window.session.job.structures] == ["B1", "O1", "B2"]
    press(window, Qt.Key.Key_3, ALT)  # there is none
    assert window.session.job.option_at == 1
    for _ in range(3):
        press(window, Qt.Key.Key_Z, CTRL)
    assert window.session.job == TWO


def test_a_click_on_the_strip_draws_that_option_and_the_keyboard_stays_on_the_plan(desk):
    window, _ = desk
    first, second, third = window.option_bar.buttons
    assert third.isHidden()
    assert second.text() == "Two <b>basins</b> && more"
    assert "&lt;b&gt;" in second.toolTip()
    QTest.mouseClick(first, LEFT)
    assert window.session.job.option == "Option 1"
    assert (first.isChecked(), second.isChecked()) == (True, False)
    assert window.canvas.hasFocus()
    assert window.session.history.undo_label == "Draw option Option 1"
    QTest.mouseClick(first, LEFT)  # drawn already: no step
    assert len(window.session.history.jobs) == 2
    assert first.isChecked()


def test_naming_and_deleting_are_undone(desk):
    window, answers = desk
    answers.option = ("One basin", "Cheap.")
    window.actions_.by_name["name_option"].trigger()
    assert (window.session.job.option, window.session.job.option_note) == ("One basin", "Cheap.")
    answers.option = ("OPTION 1", "")
    window.actions_.by_name["name_option"].trigger()
    assert answers.option_fault == "There is an option OPTION 1 already; choose another name"
    assert window.session.job.option == "One basin"
    window.actions_.by_name["delete_option"].trigger()
    assert option_names(window.session.job) == ("Option 1",)
    assert not window.option_bar.isVisible()
    assert not window.actions_.by_name["delete_option"].isEnabled()
    press(window, Qt.Key.Key_Z, CTRL)
    press(window, Qt.Key.Key_Z, CTRL)
    assert window.session.job == TWO


def test_the_form_refuses_a_name_that_is_taken_while_it_is_typed(qtbot):
    def fault(name: str, note: str) -> str:
        return "There is an option a already; choose another name" if name == "a" else ""

    form = OptionForm("New option", "Option 2", "", fault)
    qtbot.addWidget(form)
    form.show()
    ok = form.buttons.button(QDialogButtonBox.StandardButton.Ok)
    QTest.keyClicks(form.name, "a")  # the suggestion is selected, so typing replaces it
    assert not ok.isEnabled()
    assert "choose another" in form.refusal.text()
    QTest.keyClicks(form.name, "b")
    assert ok.isEnabled()
    QTest.keyClick(form.name, Qt.Key.Key_Tab)
    QTest.keyClicks(form.note, "less stone")
    QTest.keyClick(form.note, Qt.Key.Key_Tab)
    QTest.keyClick(ok, Qt.Key.Key_Return)
    assert form.result() == 1
    assert form.answer() == ("ab", "less stone")


def test_three_options_are_the_most(qtbot, tmp_path):
    window, _ = open_window(qtbot, tmp_path, add_option(TWO, "Third"))
    told = []
    window.session.told.connect(told.append)
    press(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert told == ["A job holds 3 options; delete one of Option 1, Two <b>basins</b> & more, Third first"]
    assert [b.isVisible() for b in window.option_bar.buttons] == [True] * 3
    press(window, Qt.Key.Key_3, ALT)
    assert window.session.job.option == "Third"


def test_the_pane_compares_them_and_ages_until_the_figures_are_new(qtbot, desk):
    window, _ = desk
    compare(qtbot, window)
    pane = window.options
    assert pane.table.isVisible()
    head = [pane.table.headerItem().text(i) for i in range(3)]
    assert head == ["", "Option 1", "Two <b>basins</b> & more"]
    rows = dict(zip(column(window, 0), zip(column(window, 1), column(window, 2), strict=True), strict=True))
    assert rows["Catch basins"] == ("1", "2  (+1)")
    assert rows["Every inlet drains"][1] == "no: B2"
    assert rows["Price"][0].startswith("$")
    assert "EXAMPLE PRICES" in pane.said.text()
    shown = pane.comparing.shown
    window.session.apply(move(window.session.job, ["B1"], 1.0, 0.0), "Move")
    assert not pane.comparing.is_current
    assert pane.table.isVisible()
    assert pane.comparing.shown is shown  # the older figures stay to be seen until the new ones are there
    qtbot.waitUntil(lambda: pane.comparing.is_current, timeout=AGES_MS)
    assert pane.table.isEnabled()
    solid = dict(zip(column(window, 0), zip(column(window, 1), column(window, 2), strict=True), strict=True))[
        "Solid pipe"
    ]
    assert solid[1] == "49 ft  (−1)" or solid[1].startswith("49.0")


def test_another_job_shows_none_of_the_figures_of_the_one_before(qtbot, desk, tmp_path):
    window, _ = desk
    compare(qtbot, window)
    other = TWO.__class__(**{f: getattr(TWO, f) for f in TWO.__struct_fields__} | {"runs": ()})
    (tmp_path / "other.drainjob").write_text(job_text(other))
    assert window.documents.open(tmp_path / "other.drainjob")
    pane = window.options
    assert not pane.table.isVisible()
    assert not pane.remarks.isVisible()
    assert pane.note.text() == WORKING
    qtbot.waitUntil(lambda: pane.comparing.is_current, timeout=AGES_MS)
    assert pane.table.isVisible()


def test_figures_of_an_earlier_drawing_are_grayed_with_their_remarks(qtbot, desk):
    window, _ = desk
    compare(qtbot, window)
    pane = window.options
    pane.comparing._patience.setInterval(0)
    window.session.apply(move(window.session.job, ["B1"], 1.0, 0.0), "Move")
    qtbot.waitUntil(lambda: not pane.table.isEnabled(), timeout=AGES_MS)
    assert not pane.remarks.isEnabled()
    qtbot.waitUntil(lambda: pane.comparing.is_current, timeout=AGES_MS)
    assert pane.remarks.isEnabled()


def test_a_click_on_the_head_of_a_column_draws_that_option(qtbot, desk):
    window, _ = desk
    compare(qtbot, window)
    header = window.options.table.header()
    at = header.sectionViewportPosition(1) + 20
    QTest.mouseClick(header.viewport(), LEFT, pos=QPoint(at, header.height() // 2))
    assert window.session.job.option == "Option 1"


def test_the_pane_of_one_option_offers_another(qtbot, tmp_path):
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    press(window, Qt.Key.Key_F12, Qt.KeyboardModifier.ShiftModifier)
    assert "There is one option" in window.options.note.text()
    assert not window.options.table.isVisible()
    answers.option = ("Second", "")
    QTest.mouseClick(window.options.new, LEFT)
    assert option_names(window.session.job) == ("Option 1", "Second")
    qtbot.waitUntil(window.options.table.isVisible, timeout=AGES_MS)
    assert window.options.note.isHidden()


def test_others_are_shown_faintly_and_not_painted_anew_by_a_drag(qtbot, desk):
    window, _ = desk
    window.session.apply(move(window.session.job, ["B1"], 0.0, -8.0), "Move")  # the pipe of option 1 lies elsewhere
    window.canvas.zoom_to_fit()
    hands = Hands(window.canvas)
    hands.settle()
    before = window.canvas.grab().toImage()
    press(window, Qt.Key.Key_F7, SHIFT)
    hands.settle()
    with_others = window.canvas.grab().toImage()
    assert before != with_others
    layer = window.canvas.plan.layers.others
    assert layer.shown
    picture = layer.picture
    hands.press((10.0, 5.0))
    for step in range(5):
        hands.move((10.0 + step, 6.0), down=True)
        assert not layer.stale
    hands.release((14.0, 6.0))
    hands.settle()
    assert layer.picture is picture
    press(window, Qt.Key.Key_F7, SHIFT)
    assert not layer.shown
    press(window, Qt.Key.Key_F7, SHIFT)
    press(window, Qt.Key.Key_1, ALT)
    hands.settle()
    assert layer.picture is not picture


def test_saving_opening_and_recovering_keep_every_option(qtbot, tmp_path, desk):
    window, answers = desk
    answers.save_path = tmp_path / "two.drainjob"
    window.documents.save_as()
    assert read_job(answers.save_path) == TWO
    press(window, Qt.Key.Key_1, ALT)
    assert window.isWindowModified()
    copy = Recovery(window.session, window.documents, tmp_path / "recovery")
    copy.keep()
    (kept,) = copies(tmp_path / "recovery")
    assert read_job(kept) == window.session.job
    copy.clear()
    window.documents.save()
    again = read_job(answers.save_path)
    assert again == window.session.job
    assert (again.option_at, option_names(again)) == (0, option_names(TWO))
    window.documents.open(answers.save_path)
    assert window.option_bar.buttons[0].isChecked()


def test_what_the_closer_look_found_in_one_option_is_not_told_of_another(qtbot, desk):
    window, _ = desk
    session = window.session
    qtbot.waitUntil(lambda: session.study_is_current, timeout=AGES_MS)
    assert {f.kind for f in session.study.findings}
    press(window, Qt.Key.Key_1, ALT)
    assert session.review is session.plain_review  # until the study of this option is there
    qtbot.waitUntil(lambda: session.study_is_current, timeout=AGES_MS)
    assert len(session.review.findings) > len(session.plain_review.findings)


def test_drawing_another_option_tells_of_no_crossing_that_turned_over(qtbot, desk):
    window, _ = desk
    told = []
    window.session.told.connect(told.append)
    press(window, Qt.Key.Key_1, ALT)
    qtbot.wait(20)
    assert told == ["Drawn now: Option 1"]
