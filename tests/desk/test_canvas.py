"""The real plan widget with mouse and keys. Expected points are worked out by hand."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QImage, QKeyEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.job.model import Boundary, Header, Job, Obstacle, Run, Shot, Structure
from tests.desk.hands import Hands, canvas_of

KEY = Qt.Key
ALT, SHIFT, CONTROL = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
)


@pytest.fixture
def hands(qtbot: QtBot) -> Iterator[Hands]:
    """Hands on an empty yard; 10 pixels are a foot."""
    canvas = canvas_of()
    qtbot.addWidget(canvas)
    yield Hands(canvas)
    canvas.flash.stop()


def on(qtbot: QtBot, job: Job) -> Hands:
    canvas = canvas_of(job)
    qtbot.addWidget(canvas)
    return Hands(canvas)


def test_a_lot_is_drawn_with_typed_lengths_to_the_last_digit(hands: Hands) -> None:
    hands.key(KEY.Key_L)
    hands.click((0, 0))
    hands.move((20, 0.2))
    hands.enter("80' 6")  # due east, as the pointer is
    hands.move((80.5, 20))
    hands.enter("50")
    hands.type("80' 6 1/2\"")
    hands.key(KEY.Key_Tab)
    hands.type("W")
    hands.key(KEY.Key_Return)
    hands.key(KEY.Key_Return)
    lot = hands.job.boundary
    assert lot is not None
    assert lot.points == ((0, 0), (80.5, 0), (80.5, 50), (pytest.approx(80.5 - 80 - 6.5 / 12, abs=1e-6), 50))
    assert hands.session.history.labels == ("", "Draw the lot line")


def test_letters_belong_to_the_entry_while_it_is_open(hands: Hands) -> None:
    hands.canvas.set_tool("fence")
    hands.click((0, 0))
    hands.move((10, 0))
    hands.type("12 ft")
    assert hands.canvas.driver.spec.name == "fence"
    assert hands.canvas.driver.entry is not None
    hands.key(KEY.Key_Backspace)
    assert hands.canvas.driver.entry.length == "12 f"
    hands.type("t")
    hands.type("@")
    hands.type("N45E")
    hands.key(KEY.Key_Return)
    hands.key(KEY.Key_Return)
    assert hands.job.obstacles[0].points[1] == pytest.approx((12 / 2**0.5, 12 / 2**0.5), abs=1e-6)


def test_a_length_that_cannot_be_read_is_told_and_kept(hands: Hands, qtbot: QtBot) -> None:
    hands.canvas.set_tool("fence")
    hands.click((0, 0))
    hands.move((10, 0))
    with qtbot.waitSignal(hands.canvas.hint_changed) as told:
        hands.enter("12x")
    assert "12x" in told.args[0]
    assert hands.canvas.driver.entry is not None
    hands.key(KEY.Key_Backspace)
    hands.key(KEY.Key_Return)
    hands.key(KEY.Key_Return)
    assert hands.job.obstacles[0].points == ((0, 0), (12, 0))


def test_escape_closes_the_entry_then_the_gesture_then_the_tool(hands: Hands) -> None:
    hands.canvas.set_tool("building")
    hands.click((0, 0))
    hands.type("1")
    driver = hands.canvas.driver
    hands.key(KEY.Key_Escape)
    assert (driver.entry, driver.begun) == (None, True)
    hands.key(KEY.Key_Escape)
    assert (driver.begun, driver.spec.name) == (False, "building")
    hands.key(KEY.Key_Escape)
    assert driver.spec.name == "select"
    assert len(hands.session.history.jobs) == 1


def test_a_bare_number_is_meters_in_a_metric_job(qtbot: QtBot) -> None:
    hands = on(qtbot, Job(header=Header(units="m")))
    hands.canvas.set_tool("fence")
    hands.click((0, 0))
    hands.move((10, 0))
    hands.enter("3.048")
    hands.key(KEY.Key_Return)
    assert hands.job.obstacles[0].points[1] == pytest.approx((10, 0), abs=1e-9)  # 1 ft = 0.3048 m exactly


def test_the_first_point_can_be_typed(hands: Hands) -> None:
    hands.canvas.set_tool("basin")
    hands.enter("12' 6, 30")
    assert hands.job.structures[0].point == (12.5, 30)


def test_a_real_double_click_ends_a_line_without_an_extra_point(hands: Hands) -> None:
    hands.canvas.set_tool("service")
    hands.click((0, 0))
    hands.double_click((40, 10))
    assert hands.job.services[0].points == ((0, 0), (40, 10))
    assert hands.job.services[0].kind == "gas"


def test_the_choice_of_a_line_that_is_begun_can_be_changed(hands: Hands) -> None:
    hands.canvas.set_tool("service")
    hands.click((0, 0))
    hands.canvas.set_choice("service", "water")
    hands.double_click((40, 10))
    assert [(s.kind, s.points) for s in hands.job.services] == [("water", ((0, 0), (40, 10)))]


def test_a_ring_closes_on_its_first_corner(hands: Hands) -> None:
    hands.canvas.set_tool("building")
    for corner in ((0, 0), (30, 0), (30, 20), (0, 20)):
        hands.click(corner)
    hands.click((0.3, 0.2))
    assert hands.job.obstacles[0].points == ((0, 0), (30, 0), (30, 20), (0, 20))


def test_the_last_corner_of_a_house_is_found_square(hands: Hands) -> None:
    hands.canvas.set_tool("building")
    for corner in ((0, 0), (30, 10), (20, 40)):
        hands.click(corner)
    hands.click((-9.7, 30.2))  # the fourth corner of the rectangle is (-10, 30)
    hands.key(KEY.Key_Return)
    assert hands.job.obstacles[0].points[3] == pytest.approx((-10, 30), abs=1e-5)


def test_a_point_snaps_square_to_an_edge_and_alt_sets_it_free(qtbot: QtBot) -> None:
    house = Obstacle(id="building-1", kind="building", points=((0, 0), (30, 10), (20, 40), (-10, 30)))
    hands = on(qtbot, Job(obstacles=(house,)))
    hands.canvas.set_tool("measure")
    hands.click((18, -14), ALT)  # 5 sqrt(10) ... the foot on (0,0)-(30,10) is at t = (18*30 - 14*10) / 1000 = 0.4
    hands.move((12.3, 4.3))
    snap = hands.canvas.driver.snap
    assert snap is not None
    assert (snap.kind, snap.word) == ("square", "square to the edge")
    assert snap.point == pytest.approx((12, 4))
    hands.move((12.3, 4.3), ALT)
    assert hands.canvas.driver.snap is None
    assert hands.canvas.driver.at == (12.3, 4.3)


def test_a_shot_is_clicked_and_its_level_typed(hands: Hands) -> None:
    hands.key(KEY.Key_E)
    hands.click((5, 6))
    hands.enter("99.42")
    hands.click((15, 6))
    hands.enter("-1' 6")
    assert hands.job.shots == (
        Shot(id="S1", point=(5, 6), elevation_ft=99.42),
        Shot(id="S2", point=(15, 6), elevation_ft=-1.5),
    )


def test_a_whole_run_is_one_step_of_the_history(hands: Hands) -> None:
    hands.canvas.set_tool("basin")
    hands.click((0, 0))
    hands.canvas.set_tool("outfall")
    hands.click((50, 0))
    steps = len(hands.session.history.jobs)
    hands.canvas.set_tool("solid-run")
    for spot in ((0.3, 0.3), (20, 10)):
        hands.click(spot)
    hands.click((49.8, 0.1))
    assert hands.job.runs == (Run(id="R1", start="B1", end="O1", via=((20, 10),)),)
    hands.click((10.1, 5.1))  # on the run: a fitting is set into it
    hands.click((10, 30))
    hands.key(KEY.Key_Return)
    assert [(r.start, r.end) for r in hands.job.runs] == [("B1", "F1"), ("F1", "O1"), ("F1", "F2")]
    assert len(hands.session.history.jobs) == steps + 2
    hands.session.undo()
    assert [r.id for r in hands.job.runs] == ["R1"]


def test_undo_in_the_middle_of_a_gesture_drops_it(hands: Hands) -> None:
    hands.canvas.set_tool("basin")
    hands.click((0, 0))
    hands.canvas.set_tool("building")
    hands.click((10, 0))
    hands.session.undo()
    assert not hands.canvas.driver.begun
    assert hands.job == Job()


YARD = Job(
    boundary=Boundary(id="boundary", points=((-5, -5), (70, -5), (70, 50), (-5, 50))),
    obstacles=(Obstacle(id="building-1", kind="building", points=((0, 20), (30, 20), (30, 40), (0, 40))),),
    structures=(
        Structure(id="B1", kind="basin", point=(10, 5), size_in=12),
        Structure(id="B2", kind="basin", point=(30, 5), size_in=12),
        Structure(id="O1", kind="outfall", point=(60, 0), outfall="daylight"),
    ),
    runs=(Run(id="R1", start="B1", end="B2"), Run(id="R2", start="B2", end="O1", via=((50, 5),))),
)


def test_things_are_dragged_and_undone(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.drag((30, 5), (33, 9), ALT)
    assert hands.job.structures[1].point == (33, 9)
    assert hands.session.selection == ("B2",)
    hands.session.undo()
    assert hands.job is YARD


def test_a_dragged_basin_snaps_to_an_edge(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.drag((10, 5), (12, 19.7))
    assert hands.job.structures[0].point[1] == 20


def test_a_corner_is_dragged_and_an_edge_gets_one(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.click((15, 30))
    assert hands.session.selection == ("building-1",)
    hands.drag((30, 40), (34, 43), ALT)
    assert hands.job.obstacles[0].points[2] == (34, 43)
    hands.double_click((15, 20))
    assert hands.job.obstacles[0].points == ((0, 20), (15, 20), (30, 20), (34, 43), (0, 40))
    hands.key(KEY.Key_Delete)
    assert hands.job.obstacles[0].points == ((0, 20), (30, 20), (34, 43), (0, 40))
    hands.key(KEY.Key_Delete)
    assert hands.job.obstacles == ()


def test_nudges_in_a_row_are_one_step_until_something_else_is_done(qtbot: QtBot) -> None:
    shed = Obstacle(id="building-1", kind="building", points=((0, 0), (8, 0), (8, 6), (0, 6)))
    job = Job(obstacles=(shed, Obstacle(id="well-1", kind="well", points=((20, 20),))))
    hands = on(qtbot, job)
    session = hands.session
    session.select(("building-1",))
    for key in (KEY.Key_Right, KEY.Key_Right, KEY.Key_Up):
        hands.key(key)
    assert session.job.obstacles[0].points[0] == pytest.approx((0.2, 0.1))
    assert session.history.labels == ("", "Nudge")
    session.select(("well-1",))  # another thing: another step
    hands.key(KEY.Key_Left, SHIFT)
    hands.key(KEY.Key_Left, SHIFT)
    assert session.job.obstacles[1].points[0] == pytest.approx((18, 20))
    session.select(("building-1",))
    hands.key(KEY.Key_Down)
    assert session.history.labels == ("", "Nudge", "Nudge", "Nudge")
    session.mark_saved()  # what is saved stays a step to go back to
    hands.key(KEY.Key_Down)
    assert session.history.labels == ("", "Nudge", "Nudge", "Nudge", "Nudge")
    session.undo()
    assert not session.modified
    hands.key(KEY.Key_Down)  # after undo too
    hands.key(KEY.Key_Down)
    assert len(session.history.jobs) == 5
    for _ in range(4):
        session.undo()
    assert session.job is job


def test_nudges_of_two_corners_are_two_steps(qtbot: QtBot) -> None:
    shed = Obstacle(id="building-1", kind="building", points=((0, 0), (8, 0), (8, 6), (0, 6)))
    hands = on(qtbot, Job(obstacles=(shed,)))
    hands.session.select(("building-1",))
    for corner in ((0, 0), (8, 6)):
        hands.click(corner)
        hands.key(KEY.Key_Up)
        hands.key(KEY.Key_Up)
    assert hands.job.obstacles[0].points == ((0, pytest.approx(0.2)), (8, 0), (8, pytest.approx(6.2)), (0, 6))
    assert hands.session.history.labels == ("", "Nudge a corner", "Nudge a corner")


def test_box_shift_nudge_and_delete(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.drag((5, 1), (35, 9))
    assert hands.session.selection == ("B1", "B2", "R1")
    hands.click((60, 0), SHIFT)
    assert hands.session.selection == ("B1", "B2", "R1", "O1")
    hands.key(KEY.Key_Up, SHIFT)
    assert [s.point for s in hands.job.structures] == [(10, 6), (30, 6), (60, 1)]
    told: list[str] = []
    hands.session.told.connect(told.append)
    hands.key(KEY.Key_Delete)
    assert hands.job.structures == ()
    assert told == ["Deleted 4 things and run R2 that ended there."]
    hands.key(KEY.Key_A, CONTROL)
    assert hands.session.selection == ("boundary", "building-1")


def _color(image: QImage, hands: Hands, at: tuple[float, float]) -> str:
    ratio = image.devicePixelRatio()
    spot = hands.px(at)
    return image.pixelColor(int(spot.x() * ratio), int(spot.y() * ratio)).name()


def test_what_is_drawn_is_seen_at_once_and_gone_after_undo(hands: Hands) -> None:
    hands.canvas.set_tool("building")
    for corner in ((0, 0), (30, 0), (30, 20), (0, 20)):
        hands.click(corner)
    hands.key(KEY.Key_Return)
    hands.settle()
    assert _color(hands.canvas.grab().toImage(), hands, (4, 4)) == "#d9dde2"
    hands.session.undo()
    hands.settle()
    assert _color(hands.canvas.grab().toImage(), hands, (4, 4)) == "#ffffff"


def test_a_dragged_house_is_not_left_behind_in_the_picture(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.settle()
    hands.press((3, 23))
    hands.move((10, 23), down=True)
    hands.move((43, 23), down=True)
    hands.settle()
    image = hands.canvas.grab().toImage()
    assert _color(image, hands, (3, 38)) == "#ffffff"
    assert _color(image, hands, (43, 38)) == "#d9dde2"
    hands.release((43, 23))
    hands.settle()
    assert _color(hands.canvas.grab().toImage(), hands, (43, 38)) == "#d9dde2"


def test_an_edit_repaints_only_the_layers_it_touched(qtbot: QtBot) -> None:
    hands = on(qtbot, YARD)
    hands.settle()
    layers = hands.canvas.plan.layers
    ground, works = layers.ground.picture, layers.works.picture
    hands.drag((10, 5), (12, 8), ALT)
    hands.settle()
    assert layers.ground.picture is ground
    assert layers.works.picture is not works


def test_everything_selected_is_shown_even_when_it_is_much(qtbot: QtBot) -> None:
    shots = tuple(Shot(id=f"S{i}", point=(i % 30 * 2.0, i // 30 * 2.0), elevation_ft=100.0) for i in range(600))
    hands = on(qtbot, Job(shots=shots))
    hands.key(KEY.Key_A, CONTROL)
    hands.settle()
    assert len(hands.session.selection) == 600
    image = hands.canvas.grab().toImage()
    assert any(image.pixelColor(x, 400).saturation() > 60 for x in range(image.width()))


def test_a_key_without_a_code_is_let_pass(hands: Hands) -> None:
    event = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, "")
    QApplication.sendEvent(hands.canvas, event)
    assert hands.canvas.driver.spec.name == "select"


def test_backspace_takes_a_corner_back_and_a_typed_one_goes_on_from_there(hands: Hands) -> None:
    hands.canvas.set_tool("fence")
    hands.click((0, 0))
    hands.click((9, 9))
    hands.key(KEY.Key_Backspace)
    hands.enter("10@S")
    hands.key(KEY.Key_Return)
    assert hands.job.obstacles[0].points == ((0, 0), (0, -10))


def test_the_hint_follows_the_steps(hands: Hands) -> None:
    told: list[str] = []
    hands.canvas.hint_changed.connect(told.append)
    hands.canvas.set_tool("building")
    hands.click((0, 0))
    hands.click((10, 0))
    hands.click((10, 10))
    assert told[0].startswith("Click the first corner")
    assert "closes it" in told[-1]


def test_a_second_session_job_is_taken_over(hands: Hands) -> None:
    hands.canvas.set_tool("building")
    hands.click((0, 0))
    hands.session.open(YARD)
    assert not hands.canvas.driver.begun
    hands.canvas.set_tool("select")
    hands.click((10, 5))
    assert hands.session.selection == ("B1",)
