"""The storm over the plan in the real window: water in low ground, how full pipe is, what comes out, by the pixels."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from drainsketch.desk.window import Window
from drainsketch.job.edits.change import change_rain
from drainsketch.look import LEVEL_COLORS
from drainsketch.water.storm.results import Storm
from drainsketch.wording import Words
from tests.desk.at_desk import open_window
from tests.desk.storm_hands import (
    KEY,
    PIT,
    changed_ft2,
    plan_picture,
    played,
    press_key,
    to_storm,
)
from tests.desk.water_hands import click
from tests.test_review import sample

LEFT = Qt.MouseButton.LeftButton
LAWN = ((24.0, 74.0), (66.0, 104.0))  # about the low back lawn of the sample yard


def test_water_on_the_plan_grows_today_and_goes_with_the_drains(qtbot: QtBot, storm_desk: Window, storm: Storm) -> None:
    click(qtbot, storm_desk.storm.controls.now)
    assert storm_desk.canvas.plan.moment is not None
    assert not storm_desk.canvas.plan.moment.drained
    press_key(KEY.Key_Home)
    storm_desk.playback.gone_s = 0.0
    dry = plan_picture(storm_desk)
    assert storm.before is not None
    wet = []
    for minute in (50.0, 62.0, 120.0):
        storm_desk.playback.go_to_minute(minute)
        wet.append(changed_ft2(storm_desk, dry, plan_picture(storm_desk), *LAWN))
        area = storm.before.areas_ft2()[storm_desk.playback.row]
        assert 0.5 * area < wet[-1] < area + 60  # the smaller hollow by the patio lies outside, signs within
    assert wet == sorted(wet)
    assert wet[-1] > 300
    click(qtbot, storm_desk.storm.controls.drained)
    press_key(KEY.Key_Home)
    dry = plan_picture(storm_desk)
    press_key(KEY.Key_End)
    assert storm_desk.canvas.plan.moment.drained
    assert changed_ft2(storm_desk, dry, plan_picture(storm_desk), *LAWN) < 20


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


def test_standing_water_stays_off_while_the_storm_is_shown(qtbot: QtBot, storm_desk: Window) -> None:
    overlays = storm_desk.canvas.plan.overlays
    assert not overlays.is_on("water")
    assert overlays.is_chosen("water")
    storm_desk.session.apply(change_rain(storm_desk.session.job, storm_min=60.0), "Change how long it rains")
    assert not overlays.is_on("water")  # another storm is on its way
    played(qtbot, storm_desk)
    storm_desk.close()
    assert storm_desk.settings.value("overlays/water", type=bool)
    storm_desk.lower_tabs.setCurrentWidget(storm_desk.book)
    assert overlays.is_on("water")


def test_a_full_run_and_a_running_outfall_look_other_than_dry_ones(
    qtbot: QtBot, storm_desk: Window, storm: Storm
) -> None:
    press_key(KEY.Key_Home)
    dry = plan_picture(storm_desk)
    storm_desk.playback.go_to(int(storm.after.leaves_cfs[:, 0].argmax()))
    wet = plan_picture(storm_desk)
    moment = storm_desk.canvas.plan.moment
    assert moment is not None
    for line in moment.scene.runs:
        assert line is not None
        n = storm.after.runs.index(line.id)
        x, y = line.middle
        other = changed_ft2(storm_desk, dry, wet, (x - 1.5, y - 1.5), (x + 1.5, y + 1.5))
        assert (other > 1.0) == (storm.after.filled[storm_desk.playback.row, n] > 0.02)
    x, y = moment.scene.spots["O1"]
    assert changed_ft2(storm_desk, dry, wet, (x - 4, y - 4), (x + 4, y + 4)) > 4


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
