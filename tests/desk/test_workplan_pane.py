"""The Work plan pane in the real window: days typed, weekdays ticked, tasks chosen by mouse and keys, hold points seen."""

from datetime import date
from pathlib import Path

import pdfplumber
import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QHelpEvent, QTextDocument
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.workplan import QUIET_MS
from drainsketch.desk.panes.workplan_list import WHAT
from drainsketch.desk.window import Window
from drainsketch.files.folders import own_folder
from drainsketch.files.prices import prices_in_use
from drainsketch.job.edits.change import change, change_part
from drainsketch.job.model import Job
from drainsketch.pricing import price_of
from drainsketch.takeoff.workplan.results import Task
from tests.desk.at_desk import open_window
from tests.test_review import sample


@pytest.fixture
def home() -> Path:
    """Return the user's folder for all jobs, not there yet."""
    return own_folder()


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> Window:
    """Return the window on a corner lot, its Work plan pane in front."""
    window, _ = open_window(qtbot, tmp_path, sample("corner-lot"))
    QTest.keyClick(window, Qt.Key.Key_F4)
    assert window.lower_tabs.currentWidget() is window.work_plan
    return window


def type_into(window: Window, name: str, text: str) -> None:
    """Type into a field of the form and press Enter."""
    pane = window.work_plan
    row = next(r for form in (pane.form.ticket, pane.form.work) for r in form.rows if r.field.name == name)
    assert isinstance(row.editor, QLineEdit)
    pane.left.ensureWidgetVisible(row.editor)
    QTest.mouseClick(row.editor, Qt.MouseButton.LeftButton)
    row.editor.selectAll()
    QTest.keyClicks(row.editor, text)
    QTest.keyClick(row.editor, Qt.Key.Key_Return)


def fault(window: Window, name: str) -> str:
    pane = window.work_plan
    row = next(r for form in (pane.form.ticket, pane.form.work) for r in form.rows if r.field.name == name)
    return row.fault.text()


def settle(qtbot: QtBot, window: Window) -> None:
    """Wait until the plan is that of the job as it stands."""
    timer = window.work_plan._timer
    qtbot.waitUntil(lambda: not timer.isActive())


def row_of(window: Window, kind: str, owner: str):  # type: ignore[no-untyped-def]
    tree = window.work_plan.list
    for i in range(tree.topLevelItemCount()):
        day = tree.topLevelItem(i)
        for j in range(day.childCount()):
            task = day.child(j).data(0, WHAT)
            if (task.kind, task.owner) == (kind, owner):
                return day.child(j)
    raise AssertionError(kind)


def test_days_and_tasks_are_listed_and_the_ticket_is_asked_for(desk: Window) -> None:
    tree = desk.work_plan.list
    assert tree.topLevelItemCount() == 2
    assert tree.topLevelItem(0).text(0) == "Day 1"
    hours = [float(tree.topLevelItem(i).text(2).removesuffix(" h")) for i in range(2)]
    priced = price_of(desk.session.review, prices_in_use())
    assert sum(hours) == pytest.approx(float(priced.crew_hours), abs=0.001)
    assert 0 < hours[0] <= 8
    assert tree.topLevelItem(0).child(0).text(0) == "Mark out, check the benchmark"
    said = desk.work_plan.words.text()
    for words in ("No locate ticket is asked for yet", "private lines located", "811", "invented production rates"):
        assert words in said


def test_a_first_day_is_typed_and_the_days_get_their_dates(qtbot: QtBot, desk: Window) -> None:
    type_into(desk, "start", "2026-05-01")
    settle(qtbot, desk)
    assert desk.session.job.work.start == "2026-05-01"
    assert desk.work_plan.list.topLevelItem(0).text(0) == "Day 1, Fri May 1"
    assert desk.work_plan.list.topLevelItem(1).text(0) == "Day 2, Mon May 4"
    assert desk.work_plan.list.topLevelItem(1).toolTip(0) == "Day 2, Mon May 4, 2026"
    type_into(desk, "days_off", "2026-05-04")
    settle(qtbot, desk)
    assert desk.work_plan.list.topLevelItem(1).text(0) == "Day 2, Tue May 5"
    QTest.keyClick(desk.canvas, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, desk)
    assert desk.session.job.work.days_off == ()


def test_a_ticket_is_typed_and_work_before_its_day_is_stopped(qtbot: QtBot, desk: Window) -> None:
    for name, text in (
        ("ticket_asked", "2026-04-29"),
        ("ticket_wait_days", "3"),
        ("ticket_good_days", "10"),
        ("ticket_number", "2604-118"),
        ("start", "2026-05-01"),
    ):
        type_into(desk, name, text)
    settle(qtbot, desk)
    plan = desk.work_plan.plan
    assert plan is not None
    assert plan.ticket.ready == date(2026, 5, 5)
    said = desk.work_plan.words.text()
    assert "Ticket 2604-118" in said
    assert "before digging may begin on Tue May 5, 2026" in said


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("start", "May 4", "is not a date"),
        ("start", "2026-02-30", "is not a day of the calendar"),
        ("days_off", "tomorrow", "is not a date"),
        ("days_off", "2026-02-30", "is not a day of the calendar"),
        ("ticket_wait_days", "2.5", "whole days"),
        ("ticket_wait_days", "900", "0 to 365"),
        ("lawn_spoil_days", "-1", "0 to 60"),
    ],
)
def test_what_is_no_day_is_refused_in_words(desk: Window, name: str, text: str, said: str) -> None:
    before = desk.session.job
    type_into(desk, name, text)
    assert said in fault(desk, name)
    assert desk.session.job is before


def test_weekdays_are_ticked_and_one_stays(qtbot: QtBot, desk: Window) -> None:
    boxes = desk.work_plan.form.days.boxes
    desk.work_plan.left.ensureWidgetVisible(boxes["Sat"])
    boxes["Sat"].click()
    assert desk.session.job.work.workdays == ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat")
    for day in ("Mon", "Tue", "Wed", "Thu", "Fri"):
        settle(qtbot, desk)
        boxes[day].click()
    settle(qtbot, desk)
    assert desk.session.job.work.workdays == ("Sat",)
    assert not boxes["Sat"].isEnabled()


def test_a_task_chosen_by_mouse_is_selected_on_the_plan_and_says_how_it_is_done(desk: Window) -> None:
    tree = desk.work_plan.list
    row = row_of(desk, "expose", "R6")
    tree.scrollToItem(row)
    QTest.mouseClick(tree.viewport(), Qt.MouseButton.LeftButton, pos=tree.visualItemRect(row).center())
    assert desk.session.selection == ("R6", "water-1", "gas-1")
    assert "crossings 1, 2" in desk.work_plan.words.text()
    assert "common practice, no source" in desk.work_plan.words.text()


def test_tasks_are_walked_by_keys_and_hold_points_stand_out(desk: Window) -> None:
    tree = desk.work_plan.list
    hold = row_of(desk, "check", "R8")
    assert hold.font(0).bold()
    assert hold.text(0).startswith("HOLD")
    tree.setFocus()
    tree.setCurrentItem(tree.topLevelItem(0))
    for _ in range(20):
        QTest.keyClick(tree, Qt.Key.Key_Down)
        chosen = tree.chosen
        if isinstance(chosen, Task) and chosen.is_hold:
            break
    assert tree.chosen is not None
    assert tree.chosen.owner == "R8"
    assert desk.session.selection == ("R8",)
    assert "within 1/4 in. No stone and no earth" in desk.work_plan.words.text()


def test_an_edit_plans_anew_and_keeps_the_chosen_task(qtbot: QtBot, desk: Window) -> None:
    tree = desk.work_plan.list
    tree.setCurrentItem(row_of(desk, "lay", "R5"))
    desk.session.apply(change(desk.session.job, "R8", use="drain"), "Make it a drain")
    settle(qtbot, desk)
    assert row_of(desk, "stone", "R8") is not None
    assert tree.chosen is not None
    assert (tree.chosen.kind, tree.chosen.owner) == ("lay", "R5")


def test_work_before_the_ticket_is_marked_on_the_tab_from_anywhere(qtbot: QtBot, desk: Window) -> None:
    """Asked on Friday, November 27, with two workdays to wait: Monday and Tuesday are waited, digging may begin on Wednesday."""
    tabs = desk.lower_tabs
    at = tabs.indexOf(desk.work_plan)
    settled = int(tabs.tabText(at).removeprefix("Work plan (").removesuffix(")"))
    tabs.setCurrentWidget(desk.profile_page)
    early = {"ticket_asked": "2026-11-27", "ticket_wait_days": 2, "ticket_good_days": 10, "start": "2026-12-01"}
    desk.session.apply(change_part(desk.session.job, "work", **early), "Type the ticket")
    qtbot.waitUntil(lambda: tabs.tabText(at) == f"Work plan ({settled - 2})")  # three unsaid things less, one stop more
    stop = tabs.tabIcon(at).pixmap(16).toImage()
    desk.session.apply(change_part(desk.session.job, "work", start="2026-12-02"), "Begin a day later")
    qtbot.waitUntil(lambda: tabs.tabText(at) == f"Work plan ({settled - 3})")
    assert tabs.tabIcon(at).pixmap(16).toImage() != stop
    desk.session.open(Job())
    qtbot.waitUntil(lambda: tabs.tabText(at) == "Work plan")
    assert tabs.tabIcon(at).isNull()


def test_a_stop_is_seen_whole_in_a_small_window(qtbot: QtBot, desk: Window) -> None:
    desk.resize(1280, 720)
    early = {"ticket_asked": "2026-11-27", "ticket_wait_days": 2, "ticket_good_days": 10, "start": "2026-12-01"}
    desk.session.apply(change_part(desk.session.job, "work", **early), "Type the ticket")
    settle(qtbot, desk)
    desk.work_plan.list.setCurrentItem(row_of(desk, "lay", "R5"))  # its words stand after it
    said = desk.work_plan.words.text()
    assert said.index("Stop:") < said.index("Lay pipe")
    paper = QTextDocument()
    paper.setDefaultFont(desk.work_plan.words.font())
    paper.setTextWidth(desk.work_plan.words.contentsRect().width())
    paper.setHtml(said[: said.index("</p>") + 4])
    assert paper.size().height() < desk.work_plan.right.viewport().height()


def test_the_rule_of_the_wait_is_said_at_its_field(desk: Window) -> None:
    editor = desk.work_plan.form.ticket.row("ticket_wait_days").editor
    at = editor.rect().center()
    QApplication.sendEvent(editor, QHelpEvent(QEvent.Type.ToolTip, at, editor.mapToGlobal(at)))
    assert "full days after the day of the request" in editor.toolTip()
    assert "full days after the day of the request" in desk.work_plan.words.text()


def test_a_day_says_its_holds_first(desk: Window) -> None:
    assert desk.work_plan.list.topLevelItem(0).text(1).split(", ")[0].endswith("holds")


def test_nothing_is_planned_while_the_pane_is_away(desk: Window) -> None:
    desk.lower_tabs.setCurrentWidget(desk.profile_page)
    before = desk.work_plan.plan
    desk.session.apply(change(desk.session.job, "R8", use="drain"), "Make it a drain")
    assert desk.work_plan._timer.interval() == QUIET_MS
    assert desk.work_plan.plan is before
    desk.lower_tabs.setCurrentWidget(desk.work_plan)
    assert desk.work_plan.plan is not before


def test_an_empty_job_says_what_is_missing(desk: Window) -> None:
    desk.session.open(Job())
    desk.work_plan.refresh()
    assert desk.work_plan.list.topLevelItemCount() == 0
    assert "Nothing to plan yet" in desk.work_plan.words.text()


def test_prices_that_cannot_be_read_are_told(desk: Window, home: Path) -> None:
    home.mkdir(parents=True)
    (home / "prices.csv").write_text("no price book")
    (home / "price-terms.toml").write_text("crew = 'many'")
    desk.lower_tabs.setCurrentWidget(desk.profile_page)
    desk.lower_tabs.setCurrentWidget(desk.work_plan)
    assert desk.work_plan.plan is None
    assert "prices.csv" in desk.work_plan.words.text()


def test_user_text_stays_text(qtbot: QtBot, desk: Window) -> None:
    desk.session.apply(change(desk.session.job, "R8", name="<b>low</b>"), "Name it")
    type_into(desk, "ticket_number", "<img src=x>")
    settle(qtbot, desk)
    desk.work_plan.list.setCurrentItem(row_of(desk, "lay", "R8"))
    assert "<img" not in desk.work_plan.words.text()
    assert "&lt;b&gt;low" in desk.work_plan.words.text()


def test_the_sheets_of_the_window_have_the_plan_of_the_days_typed(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, sample("corner-lot"))
    QTest.keyClick(window, Qt.Key.Key_F4)
    type_into(window, "start", "2026-05-04")
    answers.save_path = tmp_path / "sheets.pdf"
    window.actions_.by_name["export_pdf"].trigger()
    with pdfplumber.open(answers.save_path) as pdf:
        said = " ".join(page.extract_text() for page in pdf.pages)
    assert "Day 1, Mon May 4, 2026" in said
