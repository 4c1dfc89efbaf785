"""Legs of typed length: which way they go, what cannot be read, and that all of it stays in sight."""

from math import hypot

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from drainsketch import look
from drainsketch.desk import sketching
from drainsketch.desk.view import View
from drainsketch.job.model import Boundary, Header, Job
from tests.desk.hands import Hands, canvas_of

KEY = Qt.Key
# a lot line that runs close beside due east, 0.46 degrees off
CROOKED = Job(
    header=Header(units="ft-in"), boundary=Boundary(id="boundary", points=((0, 0.3), (100, 1.1), (100, 60), (0, 60)))
)


def hands_on(qtbot: QtBot, job: Job, view: View | None = None) -> Hands:
    hands = Hands(canvas_of(job, view))
    qtbot.addWidget(hands.canvas)
    return hands


def test_typed_length_goes_due_east_though_an_edge_lies_nearer(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, CROOKED)
    driver = hands.canvas.driver
    hands.canvas.set_tool("fence")
    hands.click((10.0, 10.0), held=Qt.KeyboardModifier.AltModifier)
    hands.enter("9' @S")
    hands.move((60.0, 0.78))  # on the lot line, a tenth of a degree or two from due east of (10, 1)
    assert driver.snap is not None
    assert driver.snap.kind == "edge"
    hands.type("32")
    assert sketching.direction_text((10.0, 1.0), driver.toward) == "E"
    hands.enter("' 6")
    hands.key(KEY.Key_Return)
    points = hands.job.obstacles[-1].points
    assert points[-1] == (42.5, 1.0)


def test_typed_length_goes_along_an_edge_that_the_last_point_lies_on(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, CROOKED)
    hands.canvas.set_tool("fence")
    hands.click((0.0, 0.3))
    hands.move((50.0, 0.7))
    hands.enter("25")
    hands.key(KEY.Key_Return)
    x, y = hands.job.obstacles[-1].points[-1]
    assert hypot(x, y - 0.3) == pytest.approx(25.0)
    assert (y - 0.3) / x == pytest.approx(0.8 / 100, rel=1e-5)  # the rise of the lot line


def test_typed_length_goes_square_to_the_leg_before(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, Job())
    hands.canvas.set_tool("fence")
    for spot in ((10.0, 10.0), (40.0, 25.0)):
        hands.click(spot, held=Qt.KeyboardModifier.AltModifier)
    hands.move((30.5, 45.6))  # 27.1 degrees west of north; square is 26.57: (-15, 30) from (40, 25)
    hands.enter("20")
    hands.key(KEY.Key_Return)
    x, y = hands.job.obstacles[-1].points[-1]
    assert (x - 40) * 30 + (y - 25) * 15 == pytest.approx(0.0, abs=1e-3)


def test_length_that_cannot_be_read_turns_the_box_red_and_draws_no_leg(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, Job())
    canvas, driver = hands.canvas, hands.canvas.driver
    canvas.set_tool("fence")
    hands.click((10.0, 10.0))
    hands.move((40.0, 10.0))
    hands.type("32")
    assert driver.fault == ""
    assert driver.preview.traces[0].points[-1] == (42.0, 10.0)
    hands.type(" 6")
    assert "32 6" in driver.fault
    assert driver.preview.traces[0].points[-1] == (10.0, 10.0)
    image = QImage(canvas.size(), QImage.Format.Format_RGB32)
    canvas.render(image)
    red = QColor(look.LEVEL_COLORS["stop"]).rgb()
    corner = canvas.mapped((40.0, 10.0))
    near = [
        image.pixel(x, y)
        for x in range(round(corner.x()), min(image.width(), round(corner.x()) + 320))
        for y in range(round(corner.y()), min(image.height(), round(corner.y()) + 120))
    ]
    assert near.count(red) > 50
    hands.key(KEY.Key_Backspace)
    assert driver.fault == ""
    hands.key(KEY.Key_Escape)
    assert driver.entry is None


def test_entry_stays_in_sight_when_the_leg_ends_beyond_the_edge() -> None:
    size = (800.0, 500.0)
    for x, y in ((5000.0, 250.0), (-5000.0, 250.0), (400.0, 9000.0), (400.0, -9000.0), (790.0, 490.0)):
        at = sketching._corner(x, y, 170.0, 44.0, size)
        assert isinstance(at, QPointF)
        assert 4 <= at.x() <= 800 - 4 - 170
        assert 4 <= at.y() <= 500 - 4 - 44


def test_view_widens_when_a_typed_corner_lies_outside(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, Job(), View(0.0, 60.0, 10.0))
    canvas = hands.canvas
    canvas.set_tool("boundary")
    hands.click((10.0, 10.0))
    hands.move((40.0, 10.0))
    before = canvas.view
    hands.enter("30")
    assert canvas.view == before
    hands.move((70.0, 10.0))
    hands.enter("150")
    x, y = canvas.view.to_px((190.0, 10.0))
    assert 0 <= x <= canvas.width()
    assert 0 <= y <= canvas.height()
    x, y = canvas.view.to_px((10.0, 10.0))
    assert 0 <= x <= canvas.width()


def test_an_empty_job_opens_wide_enough_for_a_lot(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, Job())
    hands.canvas.zoom_to_fit()
    west, south, east, north = hands.canvas.view.extent(hands.canvas.width(), hands.canvas.height())
    assert east - west > 200
    assert west < 0 < east - 150
    assert south < 0 < north - 100
    assert 96 / hands.canvas.view.px_per_ft == pytest.approx(30.0)


def test_typed_length_still_goes_to_a_corner_that_draws_the_pointer(qtbot: QtBot) -> None:
    hands = hands_on(qtbot, replace(CROOKED))
    hands.canvas.set_tool("fence")
    hands.click((10.0, 10.0), held=Qt.KeyboardModifier.AltModifier)
    hands.move((0.2, 59.8))  # the corner at (0, 60)
    hands.enter("10")
    hands.key(KEY.Key_Return)
    x, y = hands.job.obstacles[-1].points[-1]
    assert (x - 10) * 50 + (y - 10) * 10 == pytest.approx(0.0, abs=1e-3)  # in line with (-10, 50)
