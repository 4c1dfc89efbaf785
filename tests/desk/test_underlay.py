"""A drawing taken in through the menu of the real window: under the plan, or as its lot line."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from drainsketch.desk.drawing_form import DrawingForm
from drainsketch.desk.window import Window
from drainsketch.files.drawing_read import read_drawing
from drainsketch.job.model import Job
from tests.desk.at_desk import PLANE_YARD, Answers, open_window
from tests.desk.hands import Hands
from tests.files.drawings import LOT, dxf, geojson, lot_dxf, polygon


@pytest.fixture
def desk(qtbot: QtBot, tmp_path: Path) -> tuple[Window, Answers]:
    return open_window(qtbot, tmp_path, PLANE_YARD)


def imported(desk: tuple[Window, Answers], path: Path) -> Job:
    window, answers = desk
    answers.read_path = path
    window.actions_.by_name["import_drawing"].trigger()
    return window.session.job


def test_it_lies_under_the_plan_in_one_step_and_goes_again(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    job = imported(desk, lot_dxf(tmp_path / "site.dxf"))
    assert job.backdrop is not None and job.backdrop.source == "site.dxf"
    assert job.backdrop.lines[0].points == tuple(LOT)
    assert job.boundary == PLANE_YARD.boundary
    assert answers.asked[-2:] == ["Import a drawing", "drawing site.dxf"]
    drop = window.actions_.by_name["drop_drawing"]
    assert drop.isEnabled()
    drop.trigger()
    assert window.session.job.backdrop is None and not drop.isEnabled()
    window.session.undo()
    assert window.session.job is job
    window.session.undo()
    assert window.session.job is PLANE_YARD


def test_it_is_seen_and_hidden_from_the_view_menu(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, _ = desk
    imported(desk, dxf(tmp_path / "l.dxf", lambda space, _: space.add_line((-18, -43.7), (78, -43.7))))
    hands, canvas = Hands(window.canvas), window.canvas
    show = window.actions_.by_name["show_drawing"]

    def gray() -> bool:
        hands.settle()
        picture, spot = canvas.grab().toImage(), hands.px((33.3, -43.7))
        return any(QColor(picture.pixel(spot.x(), spot.y() + d)).red() < 244 for d in (-1, 0, 1))

    assert show.isChecked() and gray()
    show.trigger()
    assert window.session.job.backdrop is not None and not window.session.job.backdrop.shown
    assert not gray()
    window.session.undo()
    assert show.isChecked() and gray()


def test_what_is_drawn_snaps_to_it_while_it_is_shown(
    desk: tuple[Window, Answers], tmp_path: Path, qtbot: QtBot
) -> None:
    window, _ = desk
    imported(desk, dxf(tmp_path / "l.dxf", lambda space, _: space.add_line((33.37, -21.11), (70, -21.11))))
    hands = Hands(window.canvas)
    qtbot.keyClicks(window.canvas, "w")
    hands.click((33.6, -21.4))
    assert window.session.job.obstacles[-1].points == ((33.37, -21.11),)
    window.session.undo()
    window.actions_.by_name["show_drawing"].trigger()
    qtbot.keyClicks(window.canvas, "w")
    hands.click((33.6, -21.4))
    assert window.session.job.obstacles[-1].points != ((33.37, -21.11),)


def test_the_lot_line_comes_from_its_largest_closed_line(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    answers.drawing = ("keep", "lot-line")
    job = imported(desk, geojson(tmp_path / "lot.geojson", polygon((1, 1), (5, 1), (5, 5)), polygon(*LOT)))
    assert job.boundary is not None and job.boundary.points == tuple(LOT)
    assert job.backdrop is None
    assert window.session.selection == ("boundary",)
    window.session.undo()
    assert window.session.job is PLANE_YARD


def test_a_bad_file_changes_nothing_and_is_told(desk: tuple[Window, Answers], tmp_path: Path) -> None:
    window, answers = desk
    bad = tmp_path / "bad.dxf"
    bad.write_text("no drawing")
    assert imported(desk, bad) is PLANE_YARD
    assert "bad.dxf could not be taken in." in answers.told[-1]
    answers.drawing = None
    assert imported(desk, lot_dxf(tmp_path / "site.dxf")) is PLANE_YARD
    assert len(window.session.history.jobs) == 1


def test_on_an_empty_plan_the_hint_makes_room_and_all_of_it_is_shown(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path)
    answers.read_path = lot_dxf(tmp_path / "site.dxf", off=(4_000.0, 900.0))
    window.actions_.by_name["import_drawing"].trigger()
    assert not window.welcome.isVisible()
    west, south, east, north = window.canvas.view.extent(window.canvas.width(), window.canvas.height())
    assert west < 4_000 and east > 4_110 and south < 900 and north > 984
    assert window.canvas.view.px_per_ft > 2


def test_the_form_shows_the_size_before_anything_is_taken(qtbot: QtBot, tmp_path: Path) -> None:
    form = DrawingForm(read_drawing(lot_dxf(tmp_path / "site.dxf", 0)), PLANE_YARD)
    qtbot.addWidget(form)
    assert "2 lines, 110' 0\" wide and 84' 0\" high" in form.told.text()
    assert "does not say its units" in form.told.text() and "1 TEXT" in form.told.text()
    choose(form.unit, "meters")
    assert "360' 10 3/4\" wide" in form.told.text()
    choose(form.unit, "millimeters")
    assert "0' 4 3/8\" wide" in form.told.text()
    choose(form.unit, "feet")
    choose(form.taken_as, "the lot line: its largest closed line")
    assert "4 corners and hold 8910 sq ft; it takes the place of the one that is drawn" in form.told.text()
    assert form.taken is not None and form.taken.taken_as == "lot-line"


def test_coordinates_of_a_whole_state_are_put_at_the_corner(qtbot: QtBot, tmp_path: Path) -> None:
    form = DrawingForm(read_drawing(lot_dxf(tmp_path / "far.dxf", off=(2_000_000.0, 600_000.0))), Job())
    qtbot.addWidget(form)
    assert form.place.currentData() == "origin"
    assert form.taken is not None and form.taken.lines[0].points == tuple(LOT)
    choose(form.place, "keep its coordinates")
    assert form.taken is None and not form.take.isEnabled()
    assert "reach 2,000,110 ft" in form.told.text()


def test_longitude_and_latitude_have_no_units_to_choose(qtbot: QtBot, tmp_path: Path) -> None:
    ring = [(-89.0, 40.0), (-88.9997, 40.0), (-88.9997, 40.0004)]
    form = DrawingForm(read_drawing(geojson(tmp_path / "lot.geojson", polygon(*ring))), PLANE_YARD)
    qtbot.addWidget(form)
    assert not form.unit.isEnabled() and form.take.isEnabled()


def choose(box: Any, words: str) -> None:
    box.setCurrentIndex(box.findText(words, Qt.MatchFlag.MatchStartsWith))
    box.activated.emit(box.currentIndex())
