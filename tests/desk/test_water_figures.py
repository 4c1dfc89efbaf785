"""What the Water pane says in the real window: levels below the rims, wells, what no pipe does, where a table's unit is not known."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.theme import tones_of
from drainsketch.desk.window import Window
from drainsketch.job.edits.change import change, change_header, change_rain, change_water
from drainsketch.job.model import Job
from tests.desk.at_desk import Answers, open_window
from tests.desk.water_hands import cell, click, click_row, dry, paste, rain_on, settle, turn, type_into
from tests.test_review import sample

BARE = "duration,2,10\n5 min,10,15\n60 min,25,40"  # nothing says of what


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    """Return the window on a yard without rain, its Water pane in front."""
    return at_water(qtbot, tmp_path, dry())


def at_water(qtbot: QtBot, tmp_path: Path, job: Job) -> tuple[Window, Answers]:
    window, answers = open_window(qtbot, tmp_path, job)
    window.resize(1366, 768)
    window.actions_.by_name["to_water"].trigger()
    settle(qtbot, window)
    return window, answers


def dry_well(**pit: float) -> Job:
    job = change(sample("long-flat-yard"), "O1", outfall="dry well")
    return change(job, "O1", **pit) if pit else job


# ---- inlets


def test_a_box_says_how_far_below_its_rim_water_stands_and_where_it_comes_out(
    qtbot: QtBot, desk: tuple[Window, Answers]
) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    pane, study = window.water, window.session.study
    assert study is not None
    heads = study.water.heads
    assert cell(pane, "B2", "Below rim") == f"over by {heads['B2'].level_ft - heads['B2'].rim_ft:.2f} ft"
    assert cell(pane, "B2", "Over grate") == "comes out"
    assert cell(pane, "B3", "Below rim") == f"{heads['B3'].rim_ft - heads['B3'].level_ft:.2f} ft"
    assert cell(pane, "B3", "Over grate").endswith(" in")
    # D1 holds, since B1 and B2 spill at their rims below it: it is not said to stand over its rim
    assert heads["D1"].freeboard_ft < 0
    assert cell(pane, "D1", "Verdict") == "✓ takes it"
    assert not cell(pane, "D1", "Below rim").endswith("over")
    window.session.select(("B2",))
    said = " ".join(label.text() for label in window.details.findChildren(QLabel) if label.isVisibleTo(window))
    assert "comes out there; takes" in said


@pytest.mark.parametrize(("name", "inlet"), [("corner-lot", "B1"), ("long-flat-yard", "B2"), ("row-of-yards", "B1")])
def test_the_whole_working_of_an_inlet_is_seen(qtbot: QtBot, tmp_path: Path, name: str, inlet: str) -> None:
    window, _ = at_water(qtbot, tmp_path, sample(name))
    pane = window.water
    click_row(qtbot, pane, inlet)
    QApplication.processEvents()
    sources = QLabel(re.findall(r"<div style='color:[^']*margin-top.*", pane.working.text())[0])
    sources.setWordWrap(True)
    below = sources.heightForWidth(pane.explained.viewport().width() - 20)
    line = pane.working.fontMetrics().lineSpacing()
    assert (
        pane.explained.verticalScrollBar().maximum() <= below + 2 * line
    )  # sources, and what came out elsewhere, may be scrolled to
    row = pane.table.visualRect(pane.table.currentIndex())
    assert row.top() >= 0 and row.bottom() < pane.table.viewport().height()


def test_how_much_of_the_yard_runs_past_every_inlet_is_said(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    study = window.session.study
    assert study is not None and study.ground is not None
    lot = 260 * 60 - sum(c.area_ft2 for c in study.ground.catchments)  # the sample's lot, less what reaches inlets
    said = re.search(r"Runs past every inlet: (\d+) sq ft", window.water.summary.text())
    assert said is not None
    assert 0 < float(said[1]) < lot


def test_a_grate_over_which_no_water_is_put_up_with(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window, "1-year")
    type_into(window.water, "grate_ponding_in", "0")
    settle(qtbot, window)
    assert cell(window.water, "B3", "Verdict") == "✗ takes none"
    pane = window.findings
    found = [f for f in pane.model.shown if f.kind == "grate_takes_none"]
    said = [pane.model.words.sentence(f) + pane.model.words.remedy(f) for f in found]
    assert said and not any("0 of this size" in text for text in said)


# ---- pipe


def test_a_run_for_which_no_single_pipe_does_says_what_remains(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    type_into(window.water, "intensity_in_h", "60")
    settle(qtbot, window)
    turn(qtbot, window, "pipe")
    pane = window.water
    assert cell(pane, "R3", "Verdict") == "✗ no single pipe does"
    assert "no single pipe does for R3: a second line, or less area" in pane.summary.text()
    words = [made.text() for made in pane.offers]
    assert any("R3" in text and text.endswith("need more") for text in words)
    assert all("not enough for" in made.toolTip() for made in pane.offers)
    right = pane.mapTo(window, QPoint(pane.width(), 0)).x()
    assert all(made.mapTo(window, QPoint(made.width(), 0)).x() <= right for made in pane.offers)
    assert pane.summary.width() > 250  # offers leave it its room


def test_sizes_are_said_as_elsewhere_in_a_metric_job(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = at_water(qtbot, tmp_path, change_header(dry(), units="m"))
    rain_on(qtbot, window)
    turn(qtbot, window, "pipe")
    assert cell(window.water, "R3", "Verdict") == "✗ needs 152 mm"  # 6 in, as on the plan
    (offered,) = window.water.offers
    assert offered.text() == "Lay 152 mm: R3, R4"
    click(qtbot, offered)
    assert {r.id: r.diameter_in for r in window.session.job.runs}["R3"] == 6


# ---- wells


def test_wells_have_a_table_of_their_own_where_there_is_one(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    rain_on(qtbot, window)
    pane = window.water
    assert not pane.switch.views["wells"].isVisible()
    window.session.apply(
        change_water(
            change(
                change(window.session.job, "O1", outfall="dry well"),
                "O1",
                pit_length_ft=10.0,
                pit_width_ft=4.0,
                pit_depth_ft=4.0,
            ),
            infiltration_in_h=1.0,
        ),
        "A dry well",
    )
    settle(qtbot, window)
    turn(qtbot, window, "wells")
    # the pit alone: 10 x 4 x 4 ft x 0.40 of voids = 64 ft3, times 7.48 gal per ft3 = 479 gal
    assert cell(pane, "O1", "Room") == "480 gal"
    study = window.session.study
    assert study is not None
    well = study.water.wells["O1"]
    assert well.balance is not None and well.drawdown_h is not None
    assert cell(pane, "O1", "Empty after") == f"{well.drawdown_h:.0f} h"
    assert cell(pane, "O1", "Verdict").startswith("✗ needs a pit ")
    click_row(qtbot, pane, "O1")
    assert window.session.selection == ("O1",)
    assert "10 ft × 4 ft × 4 ft × 0.4 = 64 ft³" in pane.working.text().replace("\u00a0", " ")
    assert pane.offers == []
    window.session.select(("B2",))
    assert pane.view == "inlets"
    window.session.select(("O1",))
    assert pane.view == "wells"
    window.actions_.by_name["undo"].trigger()
    settle(qtbot, window)
    assert pane.view == "inlets"
    assert not pane.switch.views["wells"].isVisible()


@pytest.mark.parametrize(
    ("pit", "verdict"),
    [({}, "size not given"), ({"pit_length_ft": 9.0, "pit_width_ft": 4.0, "pit_depth_ft": 4.0}, "soil not measured")],
)
def test_a_well_of_which_something_is_not_known_says_what(
    qtbot: QtBot, tmp_path: Path, pit: dict[str, float], verdict: str
) -> None:
    job = dry_well(**pit)
    job = replace(job, runs=tuple(replace(r, use="solid") for r in job.runs))  # no stone of its own
    window, _ = at_water(qtbot, tmp_path, job)
    turn(qtbot, window, "wells")
    assert cell(window.water, "O1", "Verdict") == verdict


# ---- the rain table


def test_what_is_wrong_with_a_table_does_not_move_the_form(qtbot: QtBot, desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    button = window.water.form.buttons.paste

    def place() -> tuple[QPoint, int]:
        QApplication.processEvents()
        return button.mapTo(window, QPoint(0, 0)), button.height()

    before = place()
    paste(qtbot, window, "lorem ipsum")
    assert window.water.fault.isVisible()
    assert place() == before
    paste(qtbot, window, BARE)
    assert window.water.told.isVisible() and not window.water.fault.isVisible()
    assert place() == before


@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_a_table_without_a_unit_is_told_aloud_with_the_remedy(qtbot: QtBot, tmp_path: Path, units: str) -> None:
    window, _ = at_water(qtbot, tmp_path, change_header(dry(), units=units))
    pane = window.water
    paste(qtbot, window, BARE)
    assert "taken as inches" in pane.told.text()
    assert "write mm in the line above them" in pane.told.text()
    assert tones_of(pane).settle in pane.told.styleSheet() and "bold" in pane.told.styleSheet()
    paste(qtbot, window, f"{BARE}\nall figures in mm")
    table = window.session.job.rain.table
    assert table is not None
    assert table.rows[0].values[0] == pytest.approx(10 / 25.4, rel=1e-5)
    assert ("illimeters were turned into inches" in pane.told.text()) == (units != "m")  # a metric job has them in mm
    assert pane.told.styleSheet() == ""


# ---- on the way to the pane


def test_the_finding_that_asks_for_rain_leads_to_the_pane(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, dry())
    settle(qtbot, window)
    window.lower_tabs.setCurrentWidget(window.profile_page)
    shown = window.findings
    at = next(n for n, f in enumerate(shown.model.shown) if f.kind == "no_rain")
    index = shown.model.index(at)
    shown.list.scrollTo(index)
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.LeftButton, pos=shown.list.visualRect(index).center())
    assert window.lower_tabs.currentWidget() is window.water
    assert window.water.missing.isVisible()


@pytest.mark.parametrize(
    ("units", "name", "typed", "said"),
    [
        ("ft-in", "runoff_c", "1.4", "Runoff coefficient: from 0 to 1 can be typed here; the old value is kept."),
        ("ft-in", "tc_min", "0", "Time of concentration, min: more than 0 and at most 600 can be typed here"),
        ("m", "area_ft2", "200000", "Ground that reaches it: from 0.0 m² to 92903.0 m² can be typed here"),
        ("m", "rim_ft", "9500", "Rim: from -609.600 to 9144.000 can be typed here"),
        ("ft", "name", "x" * 300, "Name: 200 characters at most can be typed here; the old text is kept."),
    ],
)
def test_a_value_out_of_bounds_is_refused_in_the_words_and_units_of_the_form(
    qtbot: QtBot, tmp_path: Path, units: str, name: str, typed: str, said: str
) -> None:
    window, _ = open_window(qtbot, tmp_path, change_header(change_rain(sample("long-flat-yard")), units=units))
    window.session.select(("B2",))
    before = window.session.job
    form = window.details.form
    assert form is not None
    editor = form.row(name).editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, typed)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    assert form.row(name).fault.text().startswith(said)
    assert "B2." not in form.row(name).fault.text() and "_" not in form.row(name).fault.text()
    assert window.session.job is before
