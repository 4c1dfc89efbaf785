"""Exposing a service in the window: a depth typed at its crossing settles it at once, and undo opens it again."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.exposures import DEPTH, LEVEL, Exposures, exposed_places
from drainsketch.desk.window import Window
from drainsketch.job.model import Exposure, Service
from drainsketch.review import analyse
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.desk.hands import Hands

# PLANE_YARD: ground 100 - 0.02 x, so 99.40 where water-1 crosses at x = 30; R1 falls from 98.00 at x = 0 to 97.00 at 50,
# its invert there 97.40, its bottom 97.39


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    return open_window(qtbot, tmp_path, PLANE_YARD)


def pane(window: Window) -> Exposures:
    return next(e for e in window.details.findChildren(Exposures) if e.isVisible())


def type_in(shown: Exposures, row: int, column: int, text: str) -> None:
    """Type into a cell as one does: onto it, and Return."""
    shown.table.setCurrentCell(row, column)
    item = shown.table.item(row, column)
    assert item is not None
    shown.table.editItem(item)
    editor = shown.table.findChildren(QLineEdit)[-1]  # the newest: one before may not be gone yet
    editor.selectAll()
    QTest.keyClicks(editor, text) if text else QTest.keyClick(editor, Qt.Key.Key_Delete)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # the table takes what was typed once the key has been dealt with


def water(window: Window) -> Service:
    return next(s for s in window.session.job.services if s.id == "water-1")


def said(window: Window) -> list[str]:
    numbers = [c.number for c in window.session.review.crossings if c.other == "water-1"]
    return [f.kind for f in window.session.review.findings if dict(f.params).get("number") in numbers]


def test_a_depth_typed_at_a_crossing_settles_it_and_undo_opens_it_again(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    assert said(window) == ["depth_unknown"]
    window.session.select(("water-1",))
    shown = pane(window)
    assert shown.table.rowCount() == 1
    first = shown.table.item(0, 0)
    assert first is not None and first.text().startswith("Crossing ")
    type_in(shown, 0, DEPTH, "4")
    (exposed,) = water(window).exposed
    assert exposed.point == pytest.approx((30, 0))
    assert (exposed.depth_ft, exposed.top_ft) == (4.0, None)  # as it was measured
    assert said(window) == ["hand_dig"]  # 1.99 ft below the pipe, 1.5 ft are asked of water
    level = shown.table.item(0, LEVEL)
    assert level is not None and level.text() == "95.40"
    assert window.session.history.undo_label == "Expose water-1"
    window.session.undo()
    assert water(window).exposed == ()
    assert said(window) == ["depth_unknown"]


def test_a_level_typed_is_taken_as_it_is_and_a_blank_takes_the_exposure_back(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("water-1",))
    type_in(pane(window), 0, LEVEL, "97.2")
    assert [e.top_ft for e in water(window).exposed] == [97.2]
    assert "close_to_service" in said(window)
    type_in(pane(window), 0, LEVEL, "")
    assert water(window).exposed == ()


def test_a_finding_of_a_crossing_leads_to_where_the_depth_is_typed(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    found = next(f for f in window.session.review.findings if f.kind == "depth_unknown")
    window.session.select(found.place.ids)
    type_in(pane(window), 0, DEPTH, "4")
    assert said(window) == ["hand_dig"]


def test_what_cannot_be_read_changes_nothing_and_is_told(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("water-1",))
    shown = pane(window)
    for text in ("deep", "-3"):
        type_in(shown, 0, DEPTH, text)
        assert shown.fault.isVisible()
        assert shown.fault.text()
    assert water(window).exposed == ()


def test_a_further_place_is_added_by_its_distance_along_the_service(desk: tuple[Window, Answers]) -> None:
    window, _ = desk
    window.session.select(("water-1",))
    shown = pane(window)
    QTest.keyClicks(shown.how_far, "10")
    QTest.keyClicks(shown.how_deep, "3' 6\"")
    QTest.keyClick(shown.how_deep, Qt.Key.Key_Return)
    assert water(window).exposed == (Exposure(point=(30, -30), depth_ft=3.5),)
    assert [shown.table.item(row, 0).text() for row in range(2)][1].endswith("along it")  # type: ignore[union-attr]
    assert "hand_dig" not in said(window)  # 30 ft from the crossing


def test_without_shots_a_depth_is_kept_as_measured_and_a_level_is_taken(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, replace(PLANE_YARD, shots=()))
    window.session.select(("water-1",))
    type_in(pane(window), 0, DEPTH, "4")
    assert water(window).exposed == (Exposure(point=(30, 0), depth_ft=4.0),)
    assert pane(window).table.item(0, LEVEL).text() == ""  # type: ignore[union-attr]
    type_in(pane(window), 0, LEVEL, "95.4")
    assert [(e.top_ft, e.depth_ft) for e in water(window).exposed] == [(95.4, None)]


def test_a_depth_typed_stays_a_depth_when_the_ground_is_levelled_again(desk: tuple[Window, Answers]) -> None:
    """Ground 0.5 ft higher puts the top of the water pipe 0.5 ft higher: nobody measured it any deeper."""
    window, _ = desk
    window.session.select(("water-1",))
    type_in(pane(window), 0, DEPTH, "4")
    job = window.session.job
    raised = tuple(replace(s, elevation_ft=(s.elevation_ft or 0.0) + 0.5) for s in job.shots)
    window.session.apply(replace(job, shots=raised), "Level again")
    table = pane(window).table
    assert table.item(0, DEPTH).text() == "4' 0\""  # type: ignore[union-attr]
    assert table.item(0, LEVEL).text() == "95.90"  # type: ignore[union-attr]
    (met,) = (c for c in window.session.review.crossings if c.other == "water-1")
    assert (met.service_depth_ft, met.service_top_ft) == (pytest.approx(4.0), pytest.approx(95.9))


def test_places_are_the_crossings_first_then_the_other_exposures_along_the_service() -> None:
    service = replace(PLANE_YARD.services[1], exposed=(Exposure(point=(30, -30), top_ft=95.0),))
    job = replace(PLANE_YARD, services=(PLANE_YARD.services[0], service))
    at_crossing, other = exposed_places(analyse(job), service)
    assert (at_crossing.top_ft, at_crossing.ground_ft) == (None, pytest.approx(99.4))
    assert (other.top_ft, other.depth_ft) == (95.0, pytest.approx(4.4))


def test_what_was_told_of_a_service_is_of_exposing_and_goes_with_the_tool(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    hands = Hands(window.canvas)
    window.take_tool("service")
    hands.click((60.0, -30.0))
    hands.click((60.0, 30.0))
    hands.key(Qt.Key.Key_Return)
    told = window.status.currentMessage()
    assert "once it is exposed" in told and "marked" not in told
    window.take_tool("basin")
    assert window.status.currentMessage() == ""
