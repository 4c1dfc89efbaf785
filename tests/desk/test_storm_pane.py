"""The Storm pane in the real window: the storm is played, stepped through, read and changed, by mouse and keys."""

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
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
from drainsketch.look import LEVEL_COLORS
from drainsketch.review import analyse
from drainsketch.study import Study, play, study
from drainsketch.water.storm.facts import standing_of
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.storm_hands import (
    KEY,
    PIT,
    at_minute,
    changed_ft2,
    plan_picture,
    played,
    press_key,
    to_storm,
    type_length,
)
from tests.desk.water_hands import click
from tests.test_review import sample

LEFT = Qt.MouseButton.LeftButton
LAWN = ((24.0, 74.0), (66.0, 104.0))  # about the low back lawn of the sample yard


@pytest.fixture(scope="module")
def lawn() -> Job:
    return sample("low-lawn")


@pytest.fixture(scope="module")
def storm(lawn: Job) -> Storm:
    """Return the storm of the lawn, played by the engine alone."""
    found = play(study(analyse(lawn)))
    assert found is not None
    return found


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path, lawn: Job) -> Window:
    """Return the window on the low lawn, the Storm pane in front and the storm played."""
    window, _ = open_window(qtbot, tmp_path, lawn)
    to_storm(qtbot, window)
    window.canvas.zoom_to_fit()
    return window


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
    qtbot: QtBot, desk: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(playback, "WHOLE_S", 1.0)
    pane = desk.storm
    assert pane.controls.slider.hasFocus()
    press_key(KEY.Key_Space)
    assert pane.controls.play.text() == "Pause"
    seen: set[int] = set()
    desk.playback.moved.connect(lambda: seen.add(pane.controls.slider.value()))
    qtbot.waitUntil(lambda: not desk.playback.runs, timeout=10_000)
    assert len(seen) > 4
    assert pane.controls.slider.value() == pane.controls.slider.maximum() == desk.playback.moments - 1
    assert pane.controls.play.text() == "Play"
    press_key(KEY.Key_Space)  # once more, from the start
    assert desk.playback.row == 0
    assert desk.playback.runs


def test_the_button_pauses_and_leaving_the_tab_stops(qtbot: QtBot, desk: Window) -> None:
    click(qtbot, desk.storm.controls.play)
    assert desk.playback.runs
    click(qtbot, desk.storm.controls.play)
    assert not desk.playback.runs
    click(qtbot, desk.storm.controls.play)
    desk.lower_tabs.setCurrentWidget(desk.profile)
    assert not desk.playback.runs
    assert desk.canvas.plan.moment is None


def test_keys_step_through_the_moments(desk: Window, storm: Storm) -> None:
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
        assert desk.playback.row == desk.storm.controls.slider.value() == row
        assert desk.storm.controls.time.text() == f"{format_clock(minutes[row])} after the first rain"
    desk.storm.graph.setFocus()  # the same keys in the chart
    press_key(KEY.Key_Right)
    assert desk.playback.row == 3
    press_key(KEY.Key_End)
    assert desk.playback.row == last


def test_click_and_drag_in_the_chart_and_on_the_slider_move_the_moment(qtbot: QtBot, desk: Window) -> None:
    graph = desk.storm.graph
    qtbot.mouseClick(graph, LEFT, pos=at_minute(desk.storm, 40.0))
    assert desk.playback.minute == pytest.approx(40.0, abs=1.0)
    qtbot.mousePress(graph, LEFT, pos=at_minute(desk.storm, 50.0))
    qtbot.mouseMove(graph, at_minute(desk.storm, 90.0))
    qtbot.mouseRelease(graph, LEFT, pos=at_minute(desk.storm, 90.0))
    slider = desk.storm.controls.slider
    qtbot.mouseClick(slider, LEFT, pos=QPoint(slider.width() // 2, slider.height() // 2))
    assert desk.playback.row == pytest.approx((desk.playback.moments - 1) / 2, abs=2)


# -- what it says


def test_the_table_says_what_the_storm_comes_to_before_and_with_the_drains(desk: Window, storm: Storm) -> None:
    assert storm.before is not None
    words, table = Words(), desk.storm.table
    sides = storm.before, storm.after
    now, then = (standing_of(p) for p in sides)
    assert table.value("Area") == tuple(words.area(float(f"{s.area_ft2:.2g}")) for s in (now, then))
    # to half an inch, as on the owner's sheet
    assert table.value("Deepest") == tuple(words.inches(round(24 * s.depth_ft) / 2) for s in (now, then))
    assert table.value("Water") == (words.volume(now.gallons), words.volume(then.gallons))
    assert table.value("Stood for")[0].startswith("over 2 h")
    assert desk.storm.note.text().startswith("Today, water still stands when the playing ends (3:00)")
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


def test_the_hydrograph_tells_the_values_of_the_moment(qtbot: QtBot, desk: Window, storm: Storm) -> None:
    after, words, graph = storm.after, Words(), desk.storm.graph
    assert desk.storm.graph.graph is not None
    assert desk.storm.graph.graph.note.startswith("Choose a basin or run on the plan")
    qtbot.mouseClick(graph, LEFT, pos=at_minute(desk.storm, 62.0))
    row = desk.playback.row
    assert f"outfall O1 {words.flow(after.leaves_cfs[row].sum())}" in graph.reading
    assert storm.before is not None
    assert f"stands today {words.volume(storm.before.volumes_ft3()[row] * GALLONS_PER_FT3)}" in graph.reading
    desk.session.select(("B1",))
    n = after.structures.index("B1")
    rim = desk.session.review.levels["B1"].rim_ft
    assert graph.reading.startswith("B1, with the drains, 1:0")
    for said in (
        f"arrives {words.flow(after.arrives_cfs[row, n])}",
        f"goes in at the grate {words.flow(after.takes_cfs[row, n])}",
        f"water level {words.level(after.level_ft[row, n])}, {words.length(rim - after.level_ft[row, n])} below the rim",
        f"rim {words.level(rim)}",
    ):
        assert said in graph.reading
    desk.session.select(("R6",))
    n = after.runs.index("R6")
    assert f"flow {words.flow(after.flow_cfs[row, n])}; filled {after.filled[row, n]:.0%}" in graph.reading
    desk.session.select(("O1",))
    assert f"runs out {words.flow(after.leaves_cfs[row, 0])}" in graph.reading
    desk.session.select(("building-1",))  # has no part in it: the whole yard
    assert graph.reading.startswith("Whole yard")


def test_how_long_it_rains_is_typed_refused_and_undone(qtbot: QtBot, desk: Window) -> None:
    pane, before = desk.storm, desk.session.job.rain.storm_min
    assert pane.choice.currentText() == "10-year"
    assert pane.storm.text() == "2.56 in of rain in"  # of the table, as it stands there
    click(qtbot, pane.controls.play)
    type_length(pane, "1 h 30 min")
    assert desk.session.job.rain.storm_min == 90.0
    assert not desk.playback.runs
    assert desk.canvas.plan.moment is None
    assert pane.table.value("Area") == ("…", "…")
    played(qtbot, desk)
    assert desk.playback.shown is not None
    rain = desk.playback.shown.after.played
    assert rain.minute[np.flatnonzero(rain.rain_in_h)[-1]] == pytest.approx(90.0, abs=1.5)
    type_length(pane, "3 days")
    assert desk.session.job.rain.storm_min == 90.0
    assert "from 5 min to 48 h" in pane.lasts.row("storm_min").fault.text()
    type_length(pane, "often")
    assert "is not a time" in pane.lasts.row("storm_min").fault.text()
    for text, minutes in (("2:30", 150.0), ("2 days", 2880.0), ("0.5h", 30.0), ("45", 45.0), ("50 minutes", 50.0)):
        type_length(pane, text)
        assert desk.session.job.rain.storm_min == minutes
    for _ in range(6):
        desk.session.undo()
    assert desk.session.job.rain.storm_min == before
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


def test_water_on_the_plan_grows_today_and_goes_with_the_drains(qtbot: QtBot, desk: Window, storm: Storm) -> None:
    click(qtbot, desk.storm.controls.now)
    assert desk.canvas.plan.moment is not None
    assert not desk.canvas.plan.moment.drained
    press_key(KEY.Key_Home)
    desk.playback.gone_s = 0.0
    dry = plan_picture(desk)
    assert storm.before is not None
    wet = []
    for minute in (50.0, 62.0, 120.0):
        desk.playback.go_to_minute(minute)
        wet.append(changed_ft2(desk, dry, plan_picture(desk), *LAWN))
        area = storm.before.areas_ft2()[desk.playback.row]
        assert 0.5 * area < wet[-1] < area + 60  # the smaller hollow by the patio lies outside, signs within
    assert wet == sorted(wet)
    assert wet[-1] > 300
    click(qtbot, desk.storm.controls.drained)
    press_key(KEY.Key_Home)
    dry = plan_picture(desk)
    press_key(KEY.Key_End)
    assert desk.canvas.plan.moment.drained
    assert changed_ft2(desk, dry, plan_picture(desk), *LAWN) < 20


def test_water_in_a_pit_is_as_large_and_deep_as_geometry_has_it(qtbot: QtBot, tmp_path: Path) -> None:
    """The pit is a pyramid: h = (3 V / 400)^(1/3) for V ft3, and the water is 20 h ft wide."""
    window, _ = open_window(qtbot, tmp_path, PIT)
    pane = to_storm(qtbot, window)
    window.canvas.zoom_to_fit()
    click(qtbot, pane.controls.now)
    press_key(KEY.Key_Home)
    dry = plan_picture(window)
    press_key(KEY.Key_End)
    shown = window.playback.shown
    assert shown is not None
    assert shown.before is not None
    volume = shown.before.played.sum.stands
    assert volume == pytest.approx(shown.before.played.sum.comes, rel=1e-3)  # nothing leaves a pit
    h = (3 * volume / 400) ** (1 / 3)
    assert 0.5 < h < 1.5
    wide = 20 * (h - 0.02)  # where it is deeper than a quarter inch
    looks = changed_ft2(window, dry, plan_picture(window), (2.0, 2.0), (38.0, 38.0))
    assert looks == pytest.approx(wide**2, rel=0.1)
    assert shown.before.standing.depth_ft == pytest.approx(h, abs=0.03)
    assert pane.table.value("Ran off the yard") == ("none", "none")


def test_standing_water_stays_off_while_the_storm_is_shown(qtbot: QtBot, desk: Window) -> None:
    overlays = desk.canvas.plan.overlays
    assert not overlays.is_on("water")
    assert overlays.is_chosen("water")
    desk.session.apply(change_rain(desk.session.job, storm_min=60.0), "Change how long it rains")
    assert not overlays.is_on("water")  # another storm is on its way
    played(qtbot, desk)
    desk.close()
    assert desk.settings.value("overlays/water", type=bool)
    desk.lower_tabs.setCurrentWidget(desk.book)
    assert overlays.is_on("water")


def test_a_full_run_and_a_running_outfall_look_other_than_dry_ones(qtbot: QtBot, desk: Window, storm: Storm) -> None:
    press_key(KEY.Key_Home)
    dry = plan_picture(desk)
    desk.playback.go_to(int(storm.after.leaves_cfs[:, 0].argmax()))
    wet = plan_picture(desk)
    moment = desk.canvas.plan.moment
    assert moment is not None
    for line in moment.scene.runs:
        assert line is not None
        n = storm.after.runs.index(line.id)
        x, y = line.middle
        other = changed_ft2(desk, dry, wet, (x - 1.5, y - 1.5), (x + 1.5, y + 1.5))
        assert (other > 1.0) == (storm.after.filled[desk.playback.row, n] > 0.02)
    x, y = moment.scene.spots["O1"]
    assert changed_ft2(desk, dry, wet, (x - 4, y - 4), (x + 4, y + 4)) > 4


def test_water_that_comes_out_of_a_grate_is_told_and_signed(qtbot: QtBot, tmp_path: Path) -> None:
    job = sample("long-flat-yard")
    rain = sample("corner-lot").rain
    assert rain.table is not None
    job = change_rain(job, table=rain.table, return_period_yr=max(rain.table.return_periods_yr), storm_min=60.0)
    window, _ = open_window(qtbot, tmp_path, job)
    pane = to_storm(qtbot, window)
    window.canvas.zoom_to_fit()
    shown = window.playback.shown
    assert shown is not None
    after = shown.after.played
    n = after.structures.index("D1")
    row = int(after.takes_cfs[:, n].argmin())
    out = -float(after.takes_cfs[row, n])
    assert out > 0.01
    stop = QColor(LEVEL_COLORS["stop"]).rgb()
    x, y = (
        round(v) for v in window.canvas.view.to_px(job.structures[[s.id for s in job.structures].index("D1")].point)
    )

    def red() -> int:
        picture = plan_picture(window)
        return sum(picture.pixel(x + i, y + j) == stop for i in range(-9, 10) for j in range(-9, 10))

    press_key(KEY.Key_Home)
    assert red() == 0
    window.playback.go_to(row)
    assert red() > 5
    window.session.select(("D1",))
    assert f"comes out of the grate {Words.of(job).flow(out)}" in pane.graph.reading


def test_an_edit_drops_the_storm_and_the_next_one_is_shown_at_the_same_time(qtbot: QtBot, desk: Window) -> None:
    desk.playback.go_to_minute(62.0)
    first, minute = desk.playback.shown, desk.playback.minute
    desk.session.apply(change(desk.session.job, "R6", diameter_in=4), "Change the pipe")
    assert desk.playback.shown is None
    assert desk.storm.why.text() == "The storm is being played…"
    played(qtbot, desk)
    assert desk.playback.shown is not first
    assert desk.playback.minute == minute
    assert desk.storm.graph.isVisible()


def test_the_pane_asks_no_more_width_than_a_small_screen_has(qtbot: QtBot, desk: Window) -> None:
    assert desk.minimumSizeHint().width() <= 1024
    desk.resize(1024, 640)
    qtbot.waitUntil(lambda: desk.width() == 1024)

    def heads() -> list[str]:
        labels = desk.storm.table.findChildren(QLabel)
        return [x.text() for x in labels if x.text() in ("Today", "With drains") and x.isVisible()]

    qtbot.waitUntil(lambda: heads() == ["With drains"])
    click(qtbot, desk.storm.controls.now)
    assert heads() == ["Today"]
