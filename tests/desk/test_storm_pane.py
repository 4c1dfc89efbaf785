"""The Storm pane in the real window: the storm is played, stepped through, read and changed, by mouse and keys."""

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk import playback, playing
from drainsketch.desk.panes.storm_words import FAILED, NO_BEFORE, NO_GROUND_NOR_PIPE, NO_RAIN, NO_STORM, NO_WATER
from drainsketch.desk.window import Window
from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.edits.change import change, change_header, change_rain
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.job.rates import format_clock
from drainsketch.study import Study
from drainsketch.water.storm.facts import standing_of
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.storm_hands import (
    KEY,
    PIT,
    at_minute,
    played,
    press_key,
    to_storm,
    type_length,
)
from tests.desk.water_hands import click
from tests.test_review import sample

LEFT = Qt.MouseButton.LeftButton
LAWN = ((24.0, 74.0), (66.0, 104.0))  # about the low back lawn of the sample yard


# -- what is missing


def test_a_job_without_rain_says_so_and_leads_to_the_water_pane(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, replace(PLANE_YARD, rain=Rain()))
    window.actions_.by_name["to_storm"].trigger()
    pane = window.storm
    assert pane.why.text() == NO_RAIN
    assert not pane.left.isVisible()
    assert not pane.controls.isVisible()
    click(qtbot, pane.to_water)
    assert window.lower_tabs.currentWidget() is window.water


def test_a_table_without_a_storm_says_which_choice_is_missing(qtbot: QtBot, tmp_path: Path, lawn: Job) -> None:
    window, _ = open_window(qtbot, tmp_path, change_rain(lawn, return_period_yr=None, intensity_in_h=None))
    window.actions_.by_name["to_storm"].trigger()
    assert window.storm.why.text() == NO_STORM
    assert window.storm.to_water.isVisible()


def test_without_ground_or_pipe_it_says_what_is_missing(qtbot: QtBot, tmp_path: Path) -> None:
    rain = Rain(intensity_in_h=2.0)
    bare = Job(boundary=PIT.boundary, rain=rain)
    unknown = replace(PLANE_YARD, shots=(), rain=rain)
    for job, said in ((bare, NO_GROUND_NOR_PIPE), (unknown, NO_WATER)):
        window, _ = open_window(qtbot, tmp_path, job)
        window.actions_.by_name["to_storm"].trigger()
        qtbot.waitUntil(lambda w=window, s=said: w.storm.why.text() == s, timeout=20_000)  # type: ignore[misc]
        assert not window.storm.to_water.isVisible()
        window.close()


def test_a_playing_that_breaks_off_is_one_sentence(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: Study) -> Storm | None:
        raise ZeroDivisionError

    monkeypatch.setattr(playing, "play", broken)
    window, _ = open_window(qtbot, tmp_path, PIT)
    window.actions_.by_name["to_storm"].trigger()
    qtbot.waitUntil(lambda: window.storm.why.text() == FAILED, timeout=20_000)
    assert window.canvas.plan.moment is None


def test_without_shots_only_the_yard_with_its_drains_is_played(qtbot: QtBot, tmp_path: Path) -> None:
    job = change(replace(PLANE_YARD, shots=(), rain=Rain(intensity_in_h=2.0)), "B1", area_ft2=900.0, rim_ft=100.0)
    job = change(job, "O1", rim_ft=99.0)
    window, _ = open_window(qtbot, tmp_path, job)
    pane = to_storm(qtbot, window)
    assert not pane.controls.now.isEnabled()
    assert pane.controls.now.toolTip() == NO_BEFORE
    assert NO_BEFORE in pane.note.text()
    assert pane.table.value("Runoff")[0] == "–"


# -- the moment


def test_the_storm_plays_by_space_and_stops_at_its_end(
    qtbot: QtBot, storm_desk: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(playback, "WHOLE_S", 1.0)
    pane = storm_desk.storm
    assert pane.controls.slider.hasFocus()
    press_key(KEY.Key_Space)
    assert pane.controls.play.text() == "Pause"
    seen: set[int] = set()
    storm_desk.playback.moved.connect(lambda: seen.add(pane.controls.slider.value()))
    qtbot.waitUntil(lambda: not storm_desk.playback.runs, timeout=10_000)
    assert len(seen) > 4
    assert pane.controls.slider.value() == pane.controls.slider.maximum() == storm_desk.playback.moments - 1
    assert pane.controls.play.text() == "Play"
    press_key(KEY.Key_Space)  # once more, from the start
    assert storm_desk.playback.row == 0
    assert storm_desk.playback.runs


def test_the_button_pauses_and_leaving_the_tab_stops(qtbot: QtBot, storm_desk: Window) -> None:
    click(qtbot, storm_desk.storm.controls.play)
    assert storm_desk.playback.runs
    click(qtbot, storm_desk.storm.controls.play)
    assert not storm_desk.playback.runs
    click(qtbot, storm_desk.storm.controls.play)
    storm_desk.lower_tabs.setCurrentWidget(storm_desk.profile_page)
    assert not storm_desk.playback.runs
    assert storm_desk.canvas.plan.moment is None


def test_keys_step_through_the_moments(storm_desk: Window, storm: Storm) -> None:
    minutes = storm.after.minute
    last = len(minutes) - 1
    for key, row in (
        (KEY.Key_End, last),
        (KEY.Key_Left, last - 1),
        (KEY.Key_Home, 0),
        (KEY.Key_Right, 1),
        (KEY.Key_Right, 2),
    ):
        press_key(key)
        assert storm_desk.playback.row == storm_desk.storm.controls.slider.value() == row
        assert storm_desk.storm.controls.time.text() == f"{format_clock(minutes[row])} after the first rain"
    storm_desk.storm.graph.setFocus()  # the same keys in the chart
    press_key(KEY.Key_Right)
    assert storm_desk.playback.row == 3
    press_key(KEY.Key_End)
    assert storm_desk.playback.row == last


def test_click_and_drag_in_the_chart_and_on_the_slider_move_the_moment(qtbot: QtBot, storm_desk: Window) -> None:
    graph = storm_desk.storm.graph
    qtbot.mouseClick(graph, LEFT, pos=at_minute(storm_desk.storm, 40.0))
    assert storm_desk.playback.minute == pytest.approx(40.0, abs=1.0)
    qtbot.mousePress(graph, LEFT, pos=at_minute(storm_desk.storm, 50.0))
    qtbot.mouseMove(graph, at_minute(storm_desk.storm, 90.0))
    qtbot.mouseRelease(graph, LEFT, pos=at_minute(storm_desk.storm, 90.0))
    slider = storm_desk.storm.controls.slider
    qtbot.mouseClick(slider, LEFT, pos=QPoint(slider.width() // 2, slider.height() // 2))
    assert storm_desk.playback.row == pytest.approx((storm_desk.playback.moments - 1) / 2, abs=2)


# -- what it says


def test_the_table_says_what_the_storm_comes_to_before_and_with_the_drains(storm_desk: Window, storm: Storm) -> None:
    assert storm.before is not None
    words, table = Words(), storm_desk.storm.table
    sides = storm.before, storm.after
    now, then = (standing_of(p) for p in sides)
    assert table.value("Area") == tuple(words.area(float(f"{s.area_ft2:.2g}")) for s in (now, then))
    # to half an inch, as on the owner's sheet
    assert table.value("Deepest") == tuple(words.inches(round(24 * s.depth_ft) / 2) for s in (now, then))
    assert table.value("Water") == (words.volume(now.gallons), words.volume(then.gallons))
    assert table.value("Stood for")[0].startswith("over 2 h")
    assert storm_desk.storm.note.text().startswith("Today, water still stands when the playing ends (3:00)")
    runoff, piped, off, left = (
        table.value(name) for name in ("Runoff", "Left by pipe", "Ran off the yard", "Still on the ground")
    )
    for told, name in ((runoff, "comes"), (piped, "piped"), (off, "off"), (left, "stands")):
        for text, side in zip(told, sides, strict=True):
            gallons = getattr(side.sum, name) * GALLONS_PER_FT3
            assert text == (words.volume(gallons) if gallons >= 0.5 else "none")
    assert piped[0] == "none"


def test_what_has_to_be_known_of_the_figures_is_noted(qtbot: QtBot, tmp_path: Path, lawn: Job) -> None:
    window, _ = open_window(qtbot, tmp_path, change(lawn, "B1", area_ft2=900.0))
    note = to_storm(qtbot, window).note
    assert "B1: an area was typed in place of the ground. Today's ground does not know of it" in note.text()
    qtbot.waitUntil(lambda: note.isVisible() and note.height() >= note.heightForWidth(note.width()))
    table = sample("corner-lot").rain.table
    assert table is not None
    flat = change_rain(sample("long-flat-yard"), table=table, return_period_yr=max(table.return_periods_yr))
    window, _ = open_window(qtbot, tmp_path, flat)
    said = to_storm(qtbot, window).note.text()
    assert "The review of the peak has water come out at " in said
    assert "holds nothing back" in said
    assert "not played" not in said


def test_the_hydrograph_tells_the_values_of_the_moment(qtbot: QtBot, storm_desk: Window, storm: Storm) -> None:
    after, words, graph = storm.after, Words(), storm_desk.storm.graph
    assert storm_desk.storm.graph.graph is not None
    assert storm_desk.storm.graph.graph.note.startswith("Choose a basin or run on the plan")
    qtbot.mouseClick(graph, LEFT, pos=at_minute(storm_desk.storm, 62.0))
    row = storm_desk.playback.row
    assert f"outfall O1 {words.flow(after.leaves_cfs[row].sum())}" in graph.reading
    assert storm.before is not None
    assert f"stands today {words.volume(storm.before.volumes_ft3()[row] * GALLONS_PER_FT3)}" in graph.reading
    storm_desk.session.select(("B1",))
    n = after.structures.index("B1")
    rim = storm_desk.session.review.levels["B1"].rim_ft
    assert graph.reading.startswith("B1, with the drains, 1:0")
    for said in (
        f"arrives {words.flow(after.arrives_cfs[row, n])}",
        f"goes in at the grate {words.flow(after.takes_cfs[row, n])}",
        f"water level {words.level(after.level_ft[row, n])}, {words.length(rim - after.level_ft[row, n])} below the rim",
        f"rim {words.level(rim)}",
    ):
        assert said in graph.reading
    storm_desk.session.select(("R6",))
    n = after.runs.index("R6")
    assert f"flow {words.flow(after.flow_cfs[row, n])}; filled {after.filled[row, n]:.0%}" in graph.reading
    storm_desk.session.select(("O1",))
    assert f"runs out {words.flow(after.leaves_cfs[row, 0])}" in graph.reading
    storm_desk.session.select(("building-1",))  # has no part in it: the whole yard
    assert graph.reading.startswith("Whole yard")


def test_how_long_it_rains_is_typed_refused_and_undone(qtbot: QtBot, storm_desk: Window) -> None:
    pane, before = storm_desk.storm, storm_desk.session.job.rain.storm_min
    assert pane.choice.currentText() == "10-year"
    assert pane.storm.text() == "2.56 in of rain in"  # of the table, as it stands there
    click(qtbot, pane.controls.play)
    type_length(pane, "1 h 30 min")
    assert storm_desk.session.job.rain.storm_min == 90.0
    assert not storm_desk.playback.runs
    assert storm_desk.canvas.plan.moment is None
    assert pane.table.value("Area") == ("…", "…")
    played(qtbot, storm_desk)
    assert storm_desk.playback.shown is not None
    rain = storm_desk.playback.shown.after.played
    assert rain.minute[np.flatnonzero(rain.rain_in_h)[-1]] == pytest.approx(90.0, abs=1.5)
    type_length(pane, "3 days")
    assert storm_desk.session.job.rain.storm_min == 90.0
    assert "from 5 min to 48 h" in pane.lasts.row("storm_min").fault.text()
    type_length(pane, "often")
    assert "is not a time" in pane.lasts.row("storm_min").fault.text()
    for text, minutes in (("2:30", 150.0), ("2 days", 2880.0), ("0.5h", 30.0), ("45", 45.0), ("50 minutes", 50.0)):
        type_length(pane, text)
        assert storm_desk.session.job.rain.storm_min == minutes
    for _ in range(6):
        storm_desk.session.undo()
    assert storm_desk.session.job.rain.storm_min == before
    editor = pane.lasts.row("storm_min").editor
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "2 h"


def test_a_metric_job_is_told_in_its_units(qtbot: QtBot, tmp_path: Path, lawn: Job, storm: Storm) -> None:
    window, _ = open_window(qtbot, tmp_path, change_header(lawn, units="m"))
    pane = to_storm(qtbot, window)
    assert storm.before is not None
    now = standing_of(storm.before)
    area, _ = pane.table.value("Area")
    assert float(area.removesuffix(" m²")) == pytest.approx(now.area_ft2 * 0.3048**2, rel=0.05)
    assert pane.table.value("Water")[0].endswith(" L")
    # 2.56 in of rain are 65.0 mm
    assert "65 mm of rain" in pane.storm.text()
    press_key(KEY.Key_End)
    assert pane.graph.graph is not None
    assert (pane.graph.graph.left, pane.graph.graph.right) == ("L/s", "standing, L")
    liters = storm.before.volumes_ft3()[-1] * 28.316846592  # 0.3048^3 m3
    assert f"stands today {float(f'{liters:.2g}'):,.0f} L" in pane.graph.reading
    window.session.select(("B1",))
    assert pane.graph.graph.right == "level, m"


# -- on the plan


def test_an_edit_drops_the_storm_and_the_next_one_is_shown_at_the_same_time(qtbot: QtBot, storm_desk: Window) -> None:
    storm_desk.playback.go_to_minute(62.0)
    first, minute = storm_desk.playback.shown, storm_desk.playback.minute
    storm_desk.session.apply(change(storm_desk.session.job, "R6", diameter_in=4), "Change the pipe")
    assert storm_desk.playback.shown is None
    assert storm_desk.storm.why.text() == "The storm is being played…"
    played(qtbot, storm_desk)
    assert storm_desk.playback.shown is not first
    assert storm_desk.playback.minute == minute
    assert storm_desk.storm.graph.isVisible()


def test_the_pane_asks_no_more_width_than_a_small_screen_has(qtbot: QtBot, storm_desk: Window) -> None:
    assert storm_desk.minimumSizeHint().width() <= 1024
    storm_desk.resize(1024, 640)
    qtbot.waitUntil(lambda: storm_desk.width() == 1024)

    def heads() -> list[str]:
        labels = storm_desk.storm.table.findChildren(QLabel)
        return [x.text() for x in labels if x.text() in ("Today", "With drains") and x.isVisible()]

    qtbot.waitUntil(lambda: heads() == ["With drains"])
    click(qtbot, storm_desk.storm.controls.now)
    assert heads() == ["Today"]
