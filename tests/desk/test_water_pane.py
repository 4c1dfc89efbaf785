"""The Water pane in the real window: rain pasted, storm chosen, figures read, sizes taken and undone, by mouse and keys."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from drainsketch.desk.legend import GROUPS
from drainsketch.desk.window import Window
from drainsketch.job.edits.change import change, change_header, change_rain, change_water
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.resources import table
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.desk.water_hands import (
    DEPTHS,
    cell,
    choose_storm,
    click,
    click_row,
    dry,
    paste,
    rain_on,
    settle,
    sizes,
    turn,
    type_into,
)


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    """Return the window on a yard without rain, its Water pane in front."""
    window, answers = open_window(qtbot, tmp_path, dry())
    window.actions_.by_name["to_water"].trigger()
    assert window.lower_tabs.currentWidget() is window.water
    settle(qtbot, window)
    return window, answers


def test_a_job_without_rain_says_so_and_the_way_out(desk: tuple[Window, Answers]) -> None:
    pane = desk[0].water
    assert pane.missing.isVisible()
    assert not pane.right.isVisible()
    assert pane.missing.text().startswith("No storm yet")
    assert "Paste or read the rain table" in pane.missing.text()
    assert not pane.form.buttons.clear.isEnabled()


def test_a_table_is_pasted_a_storm_chosen_and_a_figure_read(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    paste(qtbot, window, DEPTHS)
    assert window.session.job.rain.table is not None
    assert "Invented example" in window.session.job.rain.table.source
    assert window.water.missing.text().startswith("There is a rain table, but no storm is chosen")
    choose_storm(window, "10-year")
    assert window.session.job.rain.return_period_yr == 10
    settle(qtbot, window)
    pane = window.water
    assert pane.right.isVisible()
    # by hand: a roof of 600 ft2 with C 0.95 in 0.57 in of rain in 5 min, which is 6.84 in/h: 600 x 0.95 x 6.84 / 96.25 = 40.5 gpm
    assert [cell(pane, "D1", head) for head in ("C", "Time", "Rain", "Flow")] == [
        "0.95",
        "5.0 min",
        "6.84 in/h",
        "41 gpm",
    ]
    click_row(qtbot, pane, "D1")
    assert window.session.selection == ("D1",)
    assert "0.95 × 6.84 in/h × 600 ft² / 43,560 × 1.008" in pane.working.text().replace("\u00a0", " ")
    turn(qtbot, window, "pipe")
    assert cell(pane, "R3", "Verdict") == "✗ needs 6 in"
    assert cell(pane, "R1", "Verdict").startswith("✓")


def test_the_size_offered_is_laid_and_taken_back_in_one_step(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    turn(qtbot, window, "pipe")
    (offered,) = window.water.offers
    assert offered.text() == "Lay 6 in: R3, R4"  # R4 carries it, but pipe never narrows on the way down
    before = sizes(window.session.job)
    click(qtbot, offered)
    assert sizes(window.session.job) == before | {"R3": 6, "R4": 6}
    settle(qtbot, window)
    assert cell(window.water, "R3", "Verdict").startswith("✓")
    assert window.water.offers == []
    window.actions_.by_name["undo"].trigger()
    assert sizes(window.session.job) == before


def test_a_grate_too_small_is_offered_the_next_one(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    window.session.apply(change(window.session.job, "B2", size_in=9), "Smaller")
    type_into(window.water, "grate_ponding_in", "0.7")
    settle(qtbot, window)
    assert cell(window.water, "B2", "Verdict") == "✗ needs 12 in"
    offered = window.water.offers[0]
    assert offered.text() == "Set 12 in grate: B2"
    click(qtbot, offered)
    settle(qtbot, window)
    assert next(s for s in window.session.job.structures if s.id == "B2").size_in == 12
    assert not cell(window.water, "B2", "Verdict").startswith("✗ needs")


def test_an_intensity_is_typed_in_either_unit_and_stands_in_place_of_the_table(
    qtbot: QtBot, desk: tuple[Window, Answers]
) -> None:
    window, _ = desk
    type_into(window.water, "intensity_in_h", "4")
    settle(qtbot, window)
    assert window.session.job.rain.intensity_in_h == 4.0
    assert cell(window.water, "D1", "Flow") == "24 gpm"  # 600 x 0.95 x 4 / 96.25 = 23.7
    paste(qtbot, window, DEPTHS)
    assert window.session.job.rain.intensity_in_h is None
    window.session.apply(change_header(window.session.job, units="m"), "Meters")
    type_into(window.water, "intensity_in_h", "100 mm/h")
    assert window.session.job.rain.intensity_in_h == pytest.approx(100 / 25.4)
    assert window.water.form.storm.currentText() == "as typed below"
    settle(qtbot, window)
    assert cell(window.water, "D1", "Rain") == "100 mm/h"
    choose_storm(window, "2-year")
    assert (window.session.job.rain.intensity_in_h, window.session.job.rain.return_period_yr) == (None, 2)


@pytest.mark.parametrize("text", ["", "lorem ipsum", "duration, 10\n5 min, -3", "\x00\x01", "duration,10\n5 min,many"])
def test_what_cannot_be_read_is_said_and_changes_nothing(qtbot: QtBot, desk: tuple[Window, Answers], text: str) -> None:
    window, _ = desk
    before = window.session.job
    paste(qtbot, window, text)
    assert window.session.job is before
    assert window.water.fault.isVisible()
    assert window.water.fault.text().endswith("The rain of the job stays as it was.")
    paste(qtbot, window, DEPTHS)
    assert not window.water.fault.isVisible()


def test_what_the_reader_told_is_shown(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    paste(qtbot, window, "Depth (mm)\nduration,2,10\n5 min,10,15\n60 min,25,40")
    assert window.water.told.isVisible()
    assert "illimeters were turned into inches" in window.water.told.text()


def test_a_table_comes_from_a_file_or_an_example_and_is_cleared(
    qtbot: QtBot, desk: tuple[Window, Answers], tmp_path: Path
) -> None:
    window, answers = desk
    pane = window.water
    answers.read_path = tmp_path / "rain.csv"
    answers.read_path.write_text(DEPTHS, encoding="utf-8")
    click(qtbot, pane.form.buttons.file)
    assert window.session.job.rain.table is not None
    click(qtbot, pane.form.buttons.clear)
    assert window.session.job.rain == Rain()
    entries = pane.form.buttons.example.menu().actions()
    assert all("invented" in entry.text().lower() for entry in entries)
    entries[1].trigger()
    held = window.session.job.rain.table
    assert held is not None
    assert held.measure == "intensity"
    assert "Invented example" in held.source
    answers.read_path.write_text("nothing of the kind", encoding="utf-8")
    before = window.session.job
    click(qtbot, pane.form.buttons.file)
    assert window.session.job is before
    assert "could not be taken in" in answers.told[-1]


def test_the_source_is_the_users_to_fill_in(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    type_into(window.water, "source", "county table, invented")
    held = window.session.job.rain.table
    assert held is not None
    assert held.source == "county table, invented"
    type_into(window.water, "intensity_in_h", "3")
    type_into(window.water, "source", "the city's clerk")
    assert window.session.job.rain.source == "the city's clerk"


def test_what_it_is_reckoned_with_is_typed_and_has_its_source(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    pane = desk[0].water
    session = desk[0].session
    type_into(pane, "grate_clogged", "60")
    type_into(pane, "least_tc_min", "10 min")
    type_into(pane, "self_cleansing_ft_s", "0.9 m/s")
    water = session.job.water
    assert (water.grate_clogged, water.least_tc_min) == (0.6, 10)
    assert water.self_cleansing_ft_s == pytest.approx(0.9 / 0.3048)
    type_into(pane, "grate_clogged", "200%")
    assert session.job.water.grate_clogged == 0.6
    assert "0 to 95%" in pane.form.basis.row("grate_clogged").fault.text()
    for row in pane.form.basis.rows:
        said = table("catalogue/water.toml")[row.field.name]["source"]
        assert row.editor.toolTip().lower() == said.lower()


def test_plan_and_table_go_together(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    pane = window.water
    assert pane.view == "inlets"
    window.session.select(("R3",))
    assert pane.view == "pipe"
    assert pane.table.chosen == "R3"
    assert "Manning" in pane.working.text()
    window.session.select(("B2",))
    assert (pane.view, pane.table.chosen) == ("inlets", "B2")
    window.session.select(())
    assert pane.table.chosen == ""
    pane.table.setFocus()
    QTest.keyClick(pane.table, Qt.Key.Key_Down)
    assert window.session.selection == (pane.table.chosen,)


def test_keys_in_the_table_are_the_tables(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    pane = window.water
    window.canvas.setFocus()
    QTest.keyClick(window.canvas, Qt.Key.Key_9, Qt.KeyboardModifier.ControlModifier)
    focus = QApplication.focusWidget()
    assert focus is not None
    assert pane.isAncestorOf(focus)
    before = window.session.job
    pane.table.setFocus()
    for letter in "BRS":
        QTest.keyClicks(pane.table, letter)
    QTest.keyClick(pane.table, Qt.Key.Key_Delete)
    assert window.canvas.driver.spec.name == "select"
    assert window.session.job is before
    QTest.keyClick(pane.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text().startswith("Inlet\tVerdict\tArea")
    QGuiApplication.clipboard().setText(DEPTHS.replace("0.57", "0.58"))
    QTest.keyClick(pane.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert window.session.job is not before
    assert window.session.job.rain.return_period_yr == 10  # the table has it too


def test_old_figures_are_shown_as_old_until_the_study_is_there(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    pane = window.water
    flow = cell(pane, "D1", "Flow")
    choose_storm(window, "100-year")
    assert pane.table.water.old
    assert cell(pane, "D1", "Flow") == flow
    assert "from before the last change" in pane.summary.text()
    assert pane.offers == []
    settle(qtbot, window)
    assert not pane.table.water.old
    assert cell(pane, "D1", "Flow") != flow


def grade_styles(window: Window) -> set[str]:
    marks = window.profile.marks
    assert marks is not None
    return {m.style for m in marks.lines if m.style.startswith("grade line")}


def test_the_profile_shows_the_grade_line_of_a_storm_and_only_then(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("B2",))
    assert grade_styles(window) == set()
    rain_on(qtbot, window)
    # 10 years: 73 gpm in a run that carries 45 back up over the rim of B2, and stay below that of B3
    assert grade_styles(window) == {"grade line", "grade line.over"}
    study = window.session.study
    path = window.profile.path
    assert study is not None
    assert path is not None
    head = study.water.heads["B2"]
    assert path.water[-1] == (pytest.approx(path.length_ft), pytest.approx(head.level_ft), True)
    choose_storm(window, "1-year")
    assert grade_styles(window) == set()  # not known yet
    settle(qtbot, window)
    assert grade_styles(window) == {"grade line"}
    named = {key for _, rows in GROUPS for key, _ in rows}
    assert {"grade line", "grade line.over"} <= named


def test_details_show_flow_capacity_depth_and_freeboard(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk

    def said() -> str:
        return " ".join(label.text() for label in window.details.findChildren(QLabel) if label.isVisibleTo(window))

    rain_on(qtbot, window)
    window.session.select(("R1",))
    assert "Storm flow" in said()
    assert "Carries, full" in said()
    window.session.select(("B2",))
    assert "above the rim" in said()
    assert "Over grate" in said()


def test_findings_of_the_storm_fly_to_their_things(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    assert [f.kind for f in window.session.review.findings].count("no_rain") == 1
    rain_on(qtbot, window)
    kinds = [f.kind for f in window.session.review.findings]
    assert "no_rain" not in kinds
    for _ in range(1 + kinds.index("pipe_too_small")):
        window.actions_.by_name["next_finding"].trigger()
    assert window.session.selection == ("R3",)
    assert (window.water.view, window.water.table.chosen) == ("pipe", "R3")


def test_a_yard_without_pipe_and_one_without_areas_say_what_is_missing(
    qtbot: QtBot, desk: tuple[Window, Answers]
) -> None:
    window, _ = desk
    rain = change_rain(window.session.job, intensity_in_h=2.0).rain
    window.session.open(Job(rain=rain))
    assert window.water.missing.text().startswith("Nothing drains yet")
    window.session.open(replace(PLANE_YARD, rain=rain, shots=()))
    settle(qtbot, window)
    assert window.water.right.isVisible()
    assert cell(window.water, "B1", "Verdict") == "no area known"


def test_undo_gives_back_what_it_was_reckoned_with(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    before = window.session.job.water
    window.session.apply(change_water(window.session.job, lawn_soil="sandy"), "Sandy")
    combo = window.water.form.basis.row("lawn_soil").editor
    assert combo.property("currentText") == "sandy"
    window.actions_.by_name["undo"].trigger()
    assert window.session.job.water == before
    assert combo.property("currentText") == "heavy"


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1920, 1080)])
def test_verdicts_are_seen_whole_and_working_stands_beside_where_there_is_room(
    qtbot: QtBot, desk: tuple[Window, Answers], size: tuple[int, int]
) -> None:
    window, _ = desk
    window.resize(*size)
    rain_on(qtbot, window)
    turn(qtbot, window, "pipe")
    click_row(qtbot, window.water, "R3")
    QApplication.processEvents()
    shown = window.water.table
    wide = shown.fontMetrics().horizontalAdvance("✗ needs 6 in")
    assert shown.columnWidth(1) > wide
    assert shown.visualRect(shown.model().index(0, 1)).right() < shown.viewport().width()
    beside = window.water.split.orientation() is Qt.Orientation.Horizontal
    assert beside == (size[0] == 1920)
    row = shown.visualRect(shown.currentIndex())
    assert row.top() >= 0 and row.bottom() < shown.viewport().height()  # the chosen row is seen whole
    assert shown.height() >= 60
    assert window.water.explained.height() >= 50
