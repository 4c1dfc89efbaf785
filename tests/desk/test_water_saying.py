"""What the Water pane says where something is not known or cannot drain, of another job, and of figures that are arithmetic."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.water_words import NOTHING, missing, standing
from drainsketch.job.edits.change import change, change_header, change_rain
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.job.rates import format_minutes
from drainsketch.review import analyse
from drainsketch.study import study
from drainsketch.wording import Words
from tests.desk.at_desk import open_window
from tests.desk.water_hands import dry, paste, rain_on, settle, turn
from tests.test_review import sample
from tests.yards import basin, drawn, outfall, run, shot

SOFT = change_rain(sample("corner-lot"), table=None, return_period_yr=None, intensity_in_h=0.5)


def headline(job: Job) -> tuple[str, bool]:
    seen = study(analyse(job))
    return standing(job, seen.review, seen.water, Words.of(job), old=False, failed=False)


def test_what_is_not_known_of_an_inlet_takes_the_check_mark_off() -> None:
    assert headline(SOFT)[0].startswith("✓")
    spouts = tuple(replace(d, roof_area_ft2=0.0) for d in SOFT.downspouts)
    said, worry = headline(replace(SOFT, downspouts=spouts))
    assert "✓" not in said and "not known for D1, D2" in said
    assert worry


def test_an_inlet_that_cannot_drain_is_named_as_the_reason() -> None:
    """The outfall lies 5 ft above the basin: no pipe can fall to it."""
    job = drawn(
        *(shot(x, y, 100 + 0.1 * x) for x in (-5, 25, 55) for y in (-15, 0, 15)),
        basin(0, 0),
        outfall(50, 0),
        run("B1", "O1"),
        job=Job(rain=Rain(intensity_in_h=4.0)),
    )
    seen = study(analyse(job))
    said = missing(job, seen.review, seen.water, failed=False)
    assert said.startswith("B1 cannot drain, so nothing reaches pipe")
    assert said != NOTHING


def test_a_note_on_a_table_is_of_the_job_it_was_read_for(qtbot: QtBot, tmp_path: Path) -> None:
    millimeters = "depth, mm\nduration,2,10\n5 min,10,15\n60 min,25,40"
    for units, told in (("ft-in", True), ("m", False)):
        window, _ = open_window(qtbot, tmp_path, change_header(dry(), units=units))
        window.actions_.by_name["to_water"].trigger()
        paste(qtbot, window, millimeters)
        assert window.water.told.isVisible() is told
        assert ("illimeters were turned" in window.water.told.text()) is told
        paste(qtbot, window, "lorem ipsum")
        assert window.water.fault.isVisible()
        window.session.mark_saved()
        window.documents.open_sample("low-lawn.drainjob")
        assert not window.water.told.isVisible() and not window.water.fault.isVisible()
        window.session.mark_saved()
        window.close()


def test_larger_pipe_is_offered_with_the_inlets_where_water_comes_out(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, dry())
    window.actions_.by_name["to_water"].trigger()
    rain_on(qtbot, window)
    study_ = window.session.study
    assert study_ is not None and study_.water.over
    assert "Lay 6 in: R3, R4" in [b.text() for b in window.water.offers]
    turn(qtbot, window, "pipe")
    assert [b.text() for b in window.water.offers] == ["Lay 6 in: R3, R4"]
    settle(qtbot, window)
    labels = [x.text() for x in window.water.form.findChildren(QLabel)]
    assert "A dry well is empty after, h" in labels


def test_long_times_are_read_in_hours() -> None:
    assert [format_minutes(m) for m in (5.0, 65.25, 1440.0, 2880.0)] == ["5.0 min", "65.2 min", "24 h", "48 h"]


@pytest.mark.parametrize(("lang", "far"), [("en", "far over its rim"), ("es", "muy por encima de su borde")])
def test_a_head_beyond_a_foot_is_no_figure(lang: str, far: str) -> None:
    words = Words(lang)
    assert words.over_rim(0.5).startswith("0' 6\"")
    assert words.over_rim(38.0) == far
    rain = Rain(intensity_in_h=12.0)
    job = change(replace(dry(), rain=rain), "R3", diameter_in=3)
    seen = study(analyse(job))
    found = [f for f in seen.whole.findings if f.kind.startswith("comes_out") and (f.value or 0.0) > 1.0]
    assert found
    for f in found:
        assert far in words.sentence(f)
        assert words.number_against_limit(f) == ""
