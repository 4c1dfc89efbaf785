"""The profile strip, against a yard worked out by hand (see at_desk.py)."""

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.pathway import pathway
from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.panes.profile_paint import ProfileFrame
from drainsketch.desk.panes.scales import Axis, round_step, ticks
from drainsketch.desk.session import Session
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change_header
from drainsketch.job.model import Job, Run, Structure
from drainsketch.review import analyse
from tests.desk.at_desk import PLANE_YARD


def with_branch() -> Job:
    """B2 lies 30 ft north and 40 ft west of B1: 50 ft away (3-4-5 triangle), so its path is 100 ft long."""
    job = add(PLANE_YARD, Structure(id="B2", kind="basin", point=(-40.0, 30.0), size_in=12))
    return add(job, Run(id="R2", start="B2", end="B1"))


def test_path_runs_from_the_outfall_up_with_structures_at_their_stations() -> None:
    way = pathway(analyse(with_branch()), ("B2",))
    assert way is not None
    assert way.title == "B2 to O1"
    assert way.length_ft == pytest.approx(100.0, abs=1e-6)
    assert [(p.id, pytest.approx(p.at_ft, abs=1e-6)) for p in way.posts] == [("O1", 0.0), ("B1", 50.0), ("B2", 100.0)]
    # gas at x = 20 is 30 ft from the outfall at x = 50, water at x = 30 is 20 ft from it
    assert sorted((round(s, 6), c.other) for s, c, _ in way.crossings) == [(20.0, "water-1"), (30.0, "gas-1")]


def test_run_or_fitting_selected_shows_the_longest_path_through_it() -> None:
    review = analyse(with_branch())
    for chosen in ("R1", "O1", "R2"):
        way = pathway(review, (chosen,))
        assert way is not None
        assert way.title == "B2 to O1"
    of_inlet = pathway(review, ("B1",))
    assert of_inlet is not None
    assert of_inlet.title == "B1 to O1"


def test_without_shots_there_is_no_profile(qtbot: QtBot) -> None:
    job = Job(structures=PLANE_YARD.structures, runs=PLANE_YARD.runs)
    strip = ProfileStrip(Session(job))
    qtbot.addWidget(strip)
    strip.resize(600, 140)
    assert strip.path is None
    assert not strip.grab().isNull()


def test_pointer_reads_ground_and_invert_at_its_station(qtbot: QtBot) -> None:
    """At station 25 (x = 25) the plane is at 99.50 and the pipe, half way from 97.00 to 98.00, at 97.50."""
    session = Session(PLANE_YARD)
    strip = ProfileStrip(session)
    qtbot.addWidget(strip)
    session.apply(change_header(session.job, units="ft"), "Change units")
    said = strip.reading(25.0)
    assert "ground 99.50" in said
    assert "invert 97.50" in said
    assert "guess" not in said


def test_hovering_shows_the_reading(qtbot: QtBot) -> None:
    strip = ProfileStrip(Session(PLANE_YARD))
    qtbot.addWidget(strip)
    strip.resize(900, 140)
    with qtbot.waitExposed(strip):
        strip.show()
    before = strip.grab().toImage()
    qtbot.mouseMove(strip, strip.rect().center())
    qtbot.waitUntil(lambda: strip.grab().toImage() != before)


def test_click_on_the_profile_gives_the_place_on_the_plan(qtbot: QtBot) -> None:
    """Stations count from the outfall at x = 50 west along y = 0, so station 20 is at x = 30."""
    strip = ProfileStrip(Session(PLANE_YARD))
    qtbot.addWidget(strip)
    strip.resize(1000, 140)
    with qtbot.waitExposed(strip):
        strip.show()
    assert strip.path is not None
    x = round(strip._frame(strip.path).along.px(20.0))
    qtbot.mouseMove(strip, QPoint(x, 70))
    with qtbot.waitSignal(strip.place_chosen) as got:
        qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(x, 70))
    assert got.args[1] == pytest.approx((30.0, 0.0), abs=1.1)  # ground lines have a point every foot at least


def test_strip_is_painted_at_150_pixels_high_and_at_odd_sizes(qtbot: QtBot) -> None:
    strip = ProfileStrip(Session(with_branch()))
    qtbot.addWidget(strip)
    for width, height in ((960, 150), (300, 96), (3000, 320), (120, 96)):
        strip.resize(width, height)
        assert strip.grab().toImage().format() != QImage.Format.Format_Invalid


def test_frame_maps_levels_up_and_says_its_exaggeration() -> None:
    way = pathway(analyse(PLANE_YARD), ("B1",))
    assert way is not None
    frame = ProfileFrame.of(way, QRectF(60, 20, 900, 100), 1.0)
    low, high = frame.at(0.0, 97.0), frame.at(50.0, 100.0)
    assert low.y() > high.y()
    assert low.x() < high.x()
    # by definition: pixels per foot up over pixels per foot along
    up, along = (low.y() - high.y()) / 3.0, (high.x() - low.x()) / 50.0
    assert frame.exaggeration == pytest.approx(up / along)
    assert isinstance(low, QPointF)


@pytest.mark.parametrize(
    ("least", "step"), [(0.9, 1.0), (1.0, 1.0), (1.1, 2.0), (3.0, 5.0), (7.0, 10.0), (0.013, 0.02)]
)
def test_steps_are_round(least: float, step: float) -> None:
    assert round_step(least) == pytest.approx(step)


def test_ticks_in_meters_stand_at_meters() -> None:
    """10 m is 32.808 ft (0.3048 m to the foot, exact by definition)."""
    axis = Axis(0.0, 100.0, 0.0, 1000.0)
    places = {text: px for px, text in ticks(axis, 100, 1 / 0.3048)}
    assert places["10"] == pytest.approx(328.08, abs=0.01)
