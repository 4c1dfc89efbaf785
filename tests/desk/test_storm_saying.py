"""What the storm says in the real window of a well that does not hold, where its clock stands, and which storm is chosen there."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.fields import fields_of
from drainsketch.desk.panes.storm_words import OUT
from drainsketch.desk.storm_clock import clock_box
from drainsketch.desk.window import Window
from drainsketch.job.ask import extent
from drainsketch.job.edits.change import change, change_header, change_rain
from drainsketch.job.rates import LITERS_PER_GALLON
from drainsketch.look import TRACES
from drainsketch.water.storm.facts import came_out_of
from drainsketch.wording import Words
from tests.desk.at_desk import open_window
from tests.desk.hands import Hands
from tests.desk.storm_hands import played, to_storm
from tests.test_review import sample


@pytest.fixture
def welled(qtbot: QtBot, tmp_path: Path) -> Window:
    """Return the window on the low lawn with a dry well of unknown size in place of its outfall, the storm played."""
    window, _ = open_window(qtbot, tmp_path, change(sample("low-lawn"), "O1", outfall="dry well"))
    window.resize(1366, 768)
    to_storm(qtbot, window)
    window.canvas.zoom_to_fit()
    return window


def test_what_comes_out_of_a_well_stands_in_the_table_and_in_its_hydrograph(welled: Window) -> None:
    shown, words = welled.playback.shown, Words.of(welled.session.job)
    assert shown is not None
    after = shown.after.played
    assert welled.storm.table.value(OUT) == ("none", words.volume(came_out_of(after)["O1"]))
    welled.session.select(("O1",))
    n = after.structures.index("O1")
    welled.playback.go_to(int(after.takes_cfs[:, n].argmin()))
    said = welled.storm.graph.reading
    assert f"comes up at the well {words.flow(-float(after.takes_cfs[welled.playback.row, n]))}" in said
    assert "runs into the well" in said
    assert "grate" not in said and "arrives" not in said
    assert TRACES["takes"].dash_pt != TRACES["leaves"].dash_pt


def test_a_dry_well_has_no_water_outside(welled: Window) -> None:
    def names(job_id: str) -> set[str]:
        job = welled.session.job
        return {f.name for f in fields_of(next(s for s in job.structures if s.id == job_id), job)}

    assert "tailwater_ft" not in names("O1")
    welled.session.apply(change(welled.session.job, "O1", outfall="daylight"), "Daylight")
    assert "tailwater_ft" in names("O1")


def test_clock_and_legend_leave_the_yard_and_its_words_free(welled: Window) -> None:
    canvas = welled.canvas
    Hands(canvas).settle()
    moment, size = canvas.plan.moment, (float(canvas.width()), float(canvas.height()))
    assert moment is not None
    taken = [box.hull() for box in canvas.plan.layers.written(canvas.view, *size)]
    assert taken
    paper = clock_box(moment, canvas.view, size, taken).paper
    whole = extent(welled.session.job)
    assert whole is not None
    (left, top), (right, bottom) = canvas.view.to_px((whole[0], whole[3])), canvas.view.to_px((whole[2], whole[1]))
    for a, b, c, d in ((left, top, right, bottom), *taken):
        assert c <= paper.left() or a >= paper.right() or d <= paper.top() or b >= paper.bottom()
    assert paper.left() >= 0 and paper.right() <= size[0] and paper.top() >= 0 and paper.bottom() <= size[1]


def test_what_the_storm_stands_in_place_of_rests_and_says_when_it_shows_again(welled: Window) -> None:
    flow = welled.actions_.by_name["show_flow"]
    assert not flow.isEnabled()
    assert "shows again when that tab is left" in flow.toolTip()
    welled.lower_tabs.setCurrentWidget(welled.profile_page)
    assert flow.isEnabled()
    assert "again" not in flow.toolTip()


@pytest.mark.parametrize("size", [(1366, 768), (1280, 720)])
def test_table_and_caution_are_seen_whole(qtbot: QtBot, welled: Window, size: tuple[int, int]) -> None:
    welled.resize(*size)
    qtbot.waitUntil(lambda: welled.width() == size[0])
    pane = welled.storm
    for part in (pane.table, pane.caution):
        qtbot.waitUntil(lambda p=part: p.mapTo(pane, p.rect().bottomLeft()).y() <= pane.height())  # type: ignore[misc]
    assert pane.caution.height() >= pane.caution.heightForWidth(pane.caution.width())
    assert pane.left.horizontalScrollBar().maximum() == 0


def test_a_rarer_storm_is_chosen_in_the_pane_itself(qtbot: QtBot, welled: Window) -> None:
    choice = welled.storm.choice
    assert choice.currentText() == "10-year"
    offered = [choice.itemText(n) for n in range(choice.count())]
    welled.lower_tabs.setCurrentWidget(welled.water)
    other = welled.water.form.storm
    assert [other.itemText(n) for n in range(other.count())] == offered
    to_storm(qtbot, welled)
    choice.setFocus()
    QTest.keyClick(choice, Qt.Key.Key_Down)
    assert choice.currentText() == offered[offered.index("10-year") + 1]
    assert welled.session.job.rain.return_period_yr == choice.currentData()
    welled.session.apply(change_rain(welled.session.job, intensity_in_h=3.0), "Type")
    assert choice.currentText() == "typed"


def test_another_job_begins_at_the_first_rain_and_an_edited_one_stays(qtbot: QtBot, welled: Window) -> None:
    welled.playback.go_to_minute(62.0)
    welled.session.apply(change(welled.session.job, "R6", diameter_in=4), "Change the pipe")
    played(qtbot, welled)
    assert welled.playback.minute > 60.0
    welled.session.mark_saved()
    welled.documents.open_sample("low-lawn.drainjob")
    played(qtbot, welled)
    assert welled.playback.minute == 0.0
    assert welled.storm.controls.slider.value() == 0


def test_no_more_water_stands_at_the_end_than_at_the_worst(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, change_header(sample("low-lawn"), units="m"))
    table = to_storm(qtbot, window).table
    for worst, end in zip(table.value("Water"), table.value("Still on the ground"), strict=True):
        liters = [0.0 if x == "none" else float(x.removesuffix(" L").replace(",", "")) for x in (worst, end)]
        assert liters[1] <= liters[0]
    shown = window.playback.shown
    assert shown is not None and shown.before is not None
    assert float(table.value("Water")[0].removesuffix(" L").replace(",", "")) == pytest.approx(
        shown.before.standing.gallons * LITERS_PER_GALLON, rel=0.05
    )
