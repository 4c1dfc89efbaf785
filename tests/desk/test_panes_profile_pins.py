"""Inverts taken in hand in the profile of the real window: dragged, nudged, typed, released, undone; and the shared cursor."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.profile_pins import handles, limits
from drainsketch.desk.window import Window
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change
from drainsketch.job.model import Header, Job, Run, Structure
from drainsketch.review import analyse
from drainsketch.sheets.pathway import pathway
from tests.desk.at_desk import PLANE_YARD, open_window
from tests.desk.hands import Hands
from tests.desk.test_panes_profile import Mouse

# Ground is the plane z = 100 - 0.02 x. O1 (x = 50) is held at 97.00. B1 lies 50 ft up at x = 0, B2 another 50 ft up at
# (-40, 30), where the ground is at 100.80. 4 in SDR 35: outside top 0.341 ft above the invert (ASTM D3034). With 12 in of
# cover the invert lies at most 1.341 ft under the ground: 98.659 at B1, 99.459 at B2.
TOP_FT = (4.215 - 0.120) / 12


def chain() -> Job:
    """Return the yard with nothing pinned but the outfall."""
    job = change(replace(PLANE_YARD, services=(), header=Header(units="ft")), "B1", invert_ft=None)
    job = add(job, Structure(id="B2", kind="basin", point=(-40.0, 30.0), size_in=12))
    return add(job, Run(id="R2", start="B2", end="B1"))


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    made, _ = open_window(qtbot, tmp_path, chain())
    made.profile.setFocus()
    return made


def level(window: Window, run: str, structure: str) -> float:
    """Return an invert as the profile has it."""
    return next(h.level_ft for h in window.profile.hand.handles if h.key == (run, structure))


def grip(window: Window, run: str, structure: str) -> QPointF:
    """Return where an invert is taken hold of: on the side of its structure on which its pipe lies."""
    assert window.profile.frame is not None
    handle = next(h for h in window.profile.hand.handles if h.key == (run, structure))
    return window.profile.frame.at(handle.at_ft, handle.level_ft) + QPointF(7 * handle.side, 0)


def drag(window: Window, run: str, structure: str, to_ft: float, *, release: bool = True) -> None:
    """Drag an invert to a level, in several moves."""
    mouse, start = Mouse(window.profile), grip(window, run, structure)
    mouse.move(start)
    frame = window.profile.frame
    assert frame is not None
    down = frame.up.px(to_ft) - frame.up.px(level(window, run, structure))
    mouse.press(start)
    for part in (0.3, 0.6, 1.0):
        mouse.move(start + QPointF(0, down * part), down=True)
    if release:
        mouse.release(start + QPointF(0, down))


def structure(job: Job, name: str) -> Structure:
    return next(s for s in job.structures if s.id == name)


def test_dragged_invert_is_pinned_and_the_rest_follows_in_one_step_of_undo(window: Window) -> None:
    session = window.session
    before, steps = session.job, session.history.at
    assert level(window, "R1", "B1") == pytest.approx(98.659, abs=2e-3)
    drag(window, "R1", "B1", 98.0)
    pinned = structure(session.job, "B1").invert_ft
    assert pinned is not None
    assert pinned == pytest.approx(98.0, abs=0.03)  # a pixel is worth about that
    assert round(pinned * 100) == pytest.approx(pinned * 100, abs=1e-6)  # on the hundredth
    assert session.review.grades["R1"].invert_up_ft == pytest.approx(pinned)
    assert session.review.grades["R1"].slope == pytest.approx((pinned - 97.0) / 50)
    # R2 stays as high as its cover allows: 99.459 at B2; it may come into the basin above the pipe that leaves
    assert session.review.grades["R2"].invert_up_ft == pytest.approx(99.459, abs=2e-3)
    assert session.history.at == steps + 1
    session.undo()
    assert session.job is before


def test_pipe_that_arrives_at_a_basin_is_pinned_by_itself(window: Window) -> None:
    drag(window, "R2", "B1", 98.9)
    run = next(r for r in window.session.job.runs if r.id == "R2")
    assert run.start_invert_ft is None
    assert run.end_invert_ft == pytest.approx(98.9, abs=0.03)  # drawn from B2 to B1
    assert structure(window.session.job, "B1").invert_ft is None


def test_two_drags_are_two_steps(window: Window) -> None:
    steps = window.session.history.at
    drag(window, "R1", "B1", 98.3)
    drag(window, "R1", "B1", 98.0)
    assert window.session.history.at == steps + 2


def test_escape_during_a_drag_gives_it_up_and_leaves_nothing_behind(window: Window) -> None:
    before, steps = window.session.job, len(window.session.history.jobs)
    drag(window, "R1", "B1", 98.0, release=False)
    assert window.session.job is not before
    QTest.keyClick(window.profile, Qt.Key.Key_Escape)
    assert window.session.job is before
    assert len(window.session.history.jobs) == steps
    assert window.session.history.redo_label is None
    assert not window.profile.hand.dragging


def test_double_click_and_delete_release_the_invert_and_leave_the_basin_alone(window: Window) -> None:
    before = window.session.job
    window.session.select(("B1",))
    for way in ("double click", "delete", "button"):
        drag(window, "R1", "B1", 98.0)
        assert structure(window.session.job, "B1").invert_ft is not None
        if way == "double click":
            mouse, at = Mouse(window.profile), grip(window, "R1", "B1")
            mouse.press(at)
            mouse.release(at)
            mouse.send(QEvent.Type.MouseButtonDblClick, at, down=True)
            mouse.release(at)
        elif way == "delete":
            QTest.keyClick(window.profile, Qt.Key.Key_Delete)
        else:
            window.profile_controls.release.click()
        assert window.session.job == before
    assert not window.profile_controls.release.isEnabled()
    QTest.keyClick(window.profile, Qt.Key.Key_Delete)  # not pinned: nothing to do, and no basin is deleted
    assert window.session.job == before


def test_arrow_keys_nudge_the_chosen_invert_by_hundredths_and_tenths(window: Window) -> None:
    """The ends of the path from the outfall up: O1, B1 (R1), B1 (R2), B2; 98.659 is rounded to the hundredth first."""
    steps = window.session.history.at
    for _ in range(2):
        QTest.keyClick(window.profile, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    chosen = window.profile.hand.chosen
    assert chosen is not None
    assert chosen.key == ("R1", "B1")
    QTest.keyClick(window.profile, Qt.Key.Key_Down)
    assert structure(window.session.job, "B1").invert_ft == pytest.approx(98.65)
    QTest.keyClick(window.profile, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(window.profile, Qt.Key.Key_Up)
    assert structure(window.session.job, "B1").invert_ft == pytest.approx(98.56)
    assert window.session.history.at == steps + 1


def test_level_is_typed(window: Window) -> None:
    for _ in range(2):
        QTest.keyClick(window.profile, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(window.profile, Qt.Key.Key_9)
    field = window.profile_controls.level
    assert field.hasFocus()
    QTest.keyClicks(field, "8.125")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert structure(window.session.job, "B1").invert_ft == 98.125
    assert window.profile.hasFocus()
    QTest.keyClick(window.profile, Qt.Key.Key_Return)
    QTest.keyClicks(field, "nonsense")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert structure(window.session.job, "B1").invert_ft == 98.125
    assert field.hasFocus()


def test_measured_level_of_an_existing_drain_has_no_handle() -> None:
    job = change(chain(), "O1", outfall="tie-in")
    way = pathway(analyse(job), ("B2",))
    assert way is not None
    assert [h.structure for h in handles(way, job)] == ["B1", "B1", "B2"]


def test_limits_by_hand() -> None:
    """Lowest at B1: 97.00 and the least fall of 1% over 50 ft. Highest: 98.659, under 12 in of cover. See the head of this file."""
    job = chain()
    review = analyse(job)
    way = pathway(review, ("B2",))
    assert way is not None
    of = {h.key: limits(way, review, h) for h in handles(way, job)}
    assert of["R1", "B1"].low_ft == pytest.approx(97.5)
    assert of["R1", "B1"].high_ft == pytest.approx(100.0 - 1.0 - TOP_FT)
    assert of["R2", "B2"].low_ft == pytest.approx(98.0)
    assert of["R2", "B2"].high_ft == pytest.approx(100.8 - 1.0 - TOP_FT)


def test_within_its_limits_a_pin_breaks_nothing_and_beyond_it_something_is_said() -> None:
    job = chain()
    review = analyse(job)
    way = pathway(review, ("B2",))
    assert way is not None
    free = {f.kind for f in review.findings}
    handle = next(h for h in handles(way, job) if h.key == ("R1", "B1"))
    found = limits(way, review, handle)
    for at, worse in (
        (found.low_ft + 0.01, 0),
        (found.high_ft - 0.01, 0),
        (found.low_ft - 0.05, 1),
        (found.high_ft + 0.05, 1),
    ):
        said = {f.kind for f in analyse(change(job, "B1", invert_ft=at)).findings} - free
        assert bool(said) is bool(worse), (at, said)


def test_pointer_on_the_plan_shows_the_station_in_the_profile_and_the_other_way(window: Window) -> None:
    """Station 20 of the path lies at x = 30 on the plan."""
    hands = Hands(window.canvas)
    window.canvas.zoom_to_fit()
    before = window.profile.grab().toImage()
    hands.move((30.0, 0.0))
    assert window.profile.hover_ft == pytest.approx(20.0, abs=0.5)
    assert window.profile.grab().toImage() != before
    hands.move((30.0, 45.0))
    assert window.profile.hover_ft is None
    hands.move((30.0, 0.0))
    QApplication.sendEvent(window.canvas, QEvent(QEvent.Type.Leave))
    assert window.profile.hover_ft is None
    plan = window.canvas.grab().toImage()
    mouse = Mouse(window.profile)
    mouse.move(mouse.px(20.0, 98.5))
    assert window.canvas.plan.station == pytest.approx((30.0, 0.0), abs=0.5)
    assert window.canvas.grab().toImage() != plan
    QApplication.sendEvent(window.profile, QEvent(QEvent.Type.Leave))
    assert window.canvas.plan.station is None


def test_path_is_chosen_and_the_exaggeration_set_over_the_profile(window: Window, qtbot: QtBot) -> None:
    controls, profile = window.profile_controls, window.profile
    listed = {controls.paths.itemText(i) for i in range(1, controls.paths.count())}
    assert listed == {"B1 to O1", "B2 to O1"}
    at = controls.paths.findData("B1")
    controls.paths.setCurrentIndex(at)
    controls.paths.activated.emit(at)
    assert profile.path is not None
    assert profile.path.title == "B1 to O1"
    window.session.select(("B2",))
    assert profile.path.title == "B1 to O1"
    controls.paths.activated.emit(0)
    assert profile.path.title == "B2 to O1"
    controls.times.activated.emit(3)
    assert profile.frame is not None
    assert profile.frame.exaggeration == pytest.approx(5.0)
    assert controls.times.currentText() == "vertical × 5"
    window.lower_tabs.setCurrentWidget(window.book)
    assert not controls.isVisible()


def test_path_stays_while_its_structures_are_edited_and_follows_what_is_selected(window: Window) -> None:
    window.session.select(("B1",))
    assert window.profile.path is not None
    assert window.profile.path.title == "B1 to O1"
    window.session.select(())
    assert window.profile.path.title == "B1 to O1"
    drag(window, "R1", "B1", 98.2)
    assert window.profile.path.title == "B1 to O1"
