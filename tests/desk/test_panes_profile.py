"""The profile strip, against a yard worked out by hand (see at_desk.py)."""

from dataclasses import dataclass

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.profile import ProfileStrip
from drainsketch.desk.panes.profile_frame import ProfileFrame, ProfileView
from drainsketch.desk.panes.profile_words import described
from drainsketch.desk.session import Session
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change_header
from drainsketch.job.model import Job, Run, Structure
from drainsketch.review import analyse
from drainsketch.sheets.axes import Axis, round_step, ticks
from drainsketch.sheets.pathway import pathway
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD


def with_branch() -> Job:
    """B2 lies 30 ft north and 40 ft west of B1: 50 ft away (3-4-5 triangle), so its path is 100 ft long."""
    job = add(PLANE_YARD, Structure(id="B2", kind="basin", point=(-40.0, 30.0), size_in=12))
    return add(job, Run(id="R2", start="B2", end="B1"))


def shown(qtbot: QtBot, job: Job, width: int = 1000, height: int = 200) -> ProfileStrip:
    """Return a profile on screen."""
    strip = ProfileStrip(Session(job))
    qtbot.addWidget(strip)
    strip.resize(width, height)
    with qtbot.waitExposed(strip):
        strip.show()
    return strip


@dataclass
class Mouse:
    """A mouse that thinks in stations and levels."""

    strip: ProfileStrip

    def px(self, station_ft: float, level_ft: float) -> QPointF:
        assert self.strip.frame is not None
        return self.strip.frame.at(station_ft, level_ft)

    def send(self, kind: QEvent.Type, at: QPointF, *, down: bool) -> None:
        none, left = Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton
        button = none if kind is QEvent.Type.MouseMove else left
        place = QPointF(self.strip.mapToGlobal(at))
        held = Qt.KeyboardModifier.NoModifier
        QApplication.sendEvent(self.strip, QMouseEvent(kind, at, place, button, left if down else none, held))

    def move(self, at: QPointF, *, down: bool = False) -> None:
        self.send(QEvent.Type.MouseMove, at, down=down)

    def press(self, at: QPointF) -> None:
        self.send(QEvent.Type.MouseButtonPress, at, down=True)

    def release(self, at: QPointF) -> None:
        self.send(QEvent.Type.MouseButtonRelease, at, down=False)

    def wheel(self, at: QPointF, turn: int, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        none, phase = Qt.MouseButton.NoButton, Qt.ScrollPhase.NoScrollPhase
        event = QWheelEvent(at, at, QPoint(), QPoint(0, turn), none, held, phase, False)
        QApplication.sendEvent(self.strip, event)


def test_path_runs_from_the_outfall_up_with_structures_at_their_stations() -> None:
    way = pathway(analyse(with_branch()), ("B2",))
    assert way is not None
    assert way.title == "B2 to O1"
    assert way.length_ft == pytest.approx(100.0, abs=1e-6)
    assert [(p.id, round(p.at_ft, 6)) for p in way.posts] == [("O1", 0.0), ("B1", 50.0), ("B2", 100.0)]
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
    chosen_path = pathway(review, ("R2",), inlet="B1")
    assert chosen_path is not None
    assert chosen_path.title == "B1 to O1"


def test_station_and_plan_point_lead_to_each_other() -> None:
    """Station 80 is 30 ft up R2 from B1: 0.8 x 30 = 24 ft west and 0.6 x 30 = 18 ft north of it."""
    way = pathway(analyse(with_branch()), ("B2",))
    assert way is not None
    assert way.place_at(80.0) == pytest.approx((-24.0, 18.0), abs=1e-6)
    assert way.station_of((-24.0, 18.0), 1.0) == pytest.approx(80.0, abs=1e-6)
    assert way.station_of((-24.0, 28.0), 1.0) is None


def test_without_shots_there_is_no_profile(qtbot: QtBot) -> None:
    strip = shown(qtbot, Job(structures=PLANE_YARD.structures, runs=PLANE_YARD.runs))
    assert strip.path is None
    assert not strip.grab().isNull()
    mouse = Mouse(strip)
    mouse.press(QPointF(50, 50))
    mouse.release(QPointF(50, 50))
    mouse.wheel(QPointF(50, 50), 120)
    QTest.keyClick(strip, Qt.Key.Key_Right)


def test_pointer_reads_ground_invert_cover_cut_and_slope_at_its_station(qtbot: QtBot) -> None:
    """At station 25 (x = 25) the plane is at 99.50 and the pipe, half way from 97.00 to 98.00, at 97.50.

    4 in SDR 35 is 4.215 in outside with walls of 0.120 in (ASTM D3034): its top is (4.215 - 0.120) / 12 = 0.341 ft above the
    invert, so the cover is 2.00 - 0.341 = 1.66 ft; the bare trench reaches to the underside of the pipe, 0.01 ft below the
    invert: 2.01 ft.
    """
    strip = ProfileStrip(Session(PLANE_YARD))
    qtbot.addWidget(strip)
    session = strip._session
    session.apply(change_header(session.job, units="ft"), "Change units")
    said = strip.reading(25.0)
    for part in (
        "station 25.00 ft",
        "ground 99.50",
        "invert 97.50",
        "cover 1.66 ft",
        "cut to trench bottom 2.01 ft",
        "slope 2.00%",
    ):
        assert part in said
    assert "guess" not in said


def test_hovering_shows_the_reading_and_the_place_on_the_plan(qtbot: QtBot) -> None:
    strip = shown(qtbot, PLANE_YARD)
    before = strip.grab().toImage()
    with qtbot.waitSignal(strip.place_shown) as got:
        Mouse(strip).move(Mouse(strip).px(20.0, 99.0))
    assert got.args[0] == pytest.approx((30.0, 0.0), abs=0.1)
    assert strip.grab().toImage() != before


def test_click_on_the_profile_gives_the_place_on_the_plan(qtbot: QtBot) -> None:
    """Stations count from the outfall at x = 50 west along y = 0, so station 20 is at x = 30."""
    strip = shown(qtbot, PLANE_YARD)
    mouse = Mouse(strip)
    at = mouse.px(20.0, 99.0)
    mouse.move(at)
    with qtbot.waitSignal(strip.place_chosen) as got:
        mouse.press(at)
        mouse.release(at)
    assert got.args[1] == pytest.approx((30.0, 0.0), abs=0.1)


def test_strip_is_painted_at_150_pixels_high_and_at_odd_sizes(qtbot: QtBot) -> None:
    strip = ProfileStrip(Session(with_branch()))
    qtbot.addWidget(strip)
    for width, height in ((960, 150), (300, 96), (3000, 320), (120, 96), (1030, 600)):
        strip.resize(width, height)
        assert strip.grab().toImage().format() != QImage.Format.Format_Invalid


@pytest.mark.parametrize("times", [1.0, 2.0, 5.0, 10.0])
def test_asked_for_exaggeration_is_what_is_shown(times: float) -> None:
    """By definition: pixels per foot up over pixels per foot along; and all of the path is in view."""
    way = pathway(analyse(PLANE_YARD), ("B1",))
    assert way is not None
    room = QRectF(60, 20, 900, 140)
    frame = ProfileFrame.of(way, room, 1.0, ProfileView(times=times))
    low, high = frame.at(0.0, 97.0), frame.at(50.0, 100.0)
    assert ((low.y() - high.y()) / 3.0) / ((high.x() - low.x()) / 50.0) == pytest.approx(times)
    assert frame.exaggeration == pytest.approx(times)
    assert all(room.contains(p) for p in (low, high, frame.at(50.0, 97.0)))


def test_exaggeration_that_fills_the_strip_shows_all_levels() -> None:
    way = pathway(analyse(PLANE_YARD), ("B1",))
    assert way is not None
    room = QRectF(60, 20, 900, 100)
    frame = ProfileFrame.of(way, room, 1.0)
    low, high = frame.at(0.0, 97.0), frame.at(50.0, 100.0)
    assert low.y() > high.y()
    assert low.x() < high.x()
    assert room.contains(low)
    assert room.contains(high)


def test_wheel_comes_closer_and_leaves_the_station_under_the_pointer(qtbot: QtBot) -> None:
    strip = shown(qtbot, with_branch())
    mouse = Mouse(strip)
    at = mouse.px(70.0, 99.0)
    before = strip.frame
    mouse.wheel(at, 240)
    after = strip.frame
    assert before is not None
    assert after is not None
    assert after.along.px_per_ft > 1.5 * before.along.px_per_ft
    assert after.along.ft(at.x()) == pytest.approx(70.0, abs=0.05)
    middle = after.along.ft(500.0)
    mouse.wheel(at, -120, Qt.KeyboardModifier.ShiftModifier)
    assert strip.frame is not None
    assert strip.frame.along.ft(500.0) > middle
    strip.fit()
    assert strip.frame == before


def test_profile_is_dragged_along_when_close(qtbot: QtBot) -> None:
    strip = shown(qtbot, with_branch())
    mouse = Mouse(strip)
    mouse.wheel(QPointF(500, 100), 480)
    assert strip.frame is not None
    start = QPointF(500, 60)
    here = strip.frame.along.ft(start.x())
    mouse.press(start)
    mouse.move(start + QPointF(-50, 0), down=True)
    mouse.move(start + QPointF(-120, 0), down=True)
    mouse.release(start + QPointF(-120, 0))
    assert strip.frame.along.ft(380.0) == pytest.approx(here, abs=0.02)


def test_path_in_words_names_structures_crossings_and_pins() -> None:
    way = pathway(analyse(PLANE_YARD), ("B1",))
    assert way is not None
    said = described(way, Words(units="ft"))
    for part in (
        "B1 to O1",
        "50.00 ft long",
        "falls 1.00 ft",
        "O1: ground 99.00, invert 97.00, pinned",
        "gas-1",
        "water-1",
    ):
        assert part in said


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


def test_metric_job_reads_in_meters(qtbot: QtBot) -> None:
    """97.50 ft is 29.718 m."""
    strip = shown(qtbot, replace(PLANE_YARD, header=replace(PLANE_YARD.header, units="m")))
    assert "invert 29.718" in strip.reading(25.0)
    assert not strip.grab().isNull()
