"""Follow a drop and breaklines, with the mouse on the real canvas."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from drainsketch.desk.driver import Driver
from drainsketch.desk.following import end_word
from drainsketch.desk.panes.facts import facts
from drainsketch.desk.studying import Studying
from drainsketch.ground.results import DropPath
from drainsketch.job.model import Boundary, Breakline, Job, Obstacle, Run, Shot, Structure
from drainsketch.study import study
from drainsketch.wording import Words
from tests.desk.at_desk import open_window
from tests.desk.hands import Hands, canvas_of

HOUSE = Obstacle(id="building-1", kind="building", points=((20.0, 30.0), (40.0, 30.0), (40.0, 44.0), (20.0, 44.0)))
# the plane z = 100 - 0.05 y falls to the north, against the house; east of it water passes and leaves the shots
TILTED = Job(
    boundary=Boundary(id="boundary", points=((0.0, 0.0), (60.0, 0.0), (60.0, 50.0), (0.0, 50.0))),
    obstacles=(HOUSE,),
    shots=tuple(
        Shot(id=f"S{n}", point=(x, y), elevation_ft=100 - 0.05 * y)
        for n, (x, y) in enumerate(((0.0, 0.0), (60.0, 0.0), (60.0, 50.0), (0.0, 50.0)), 1)
    ),
    structures=(
        Structure(id="B1", kind="basin", point=(50.0, 40.0), size_in=12),
        Structure(id="O1", kind="outfall", point=(58.0, 48.0), outfall="tie-in", invert_ft=96.0),
    ),
    runs=(Run(id="R1", start="B1", end="O1"),),
)


@pytest.fixture
def hands(qtbot: QtBot) -> Hands:
    canvas = canvas_of(TILTED)
    qtbot.addWidget(canvas)
    canvas.session.take_study(study(canvas.session.plain_review))
    canvas.set_tool("follow-drop")
    return Hands(canvas)


def said(driver: Driver) -> list[str]:
    return [note.text for note in driver.preview.notes]


def test_a_drop_is_followed_live_under_the_pointer(hands: Hands) -> None:
    driver = hands.canvas.driver
    hands.move((30.0, 10.0))
    (text,) = said(driver)
    assert text.startswith("against the house")
    (way,) = driver.preview.traces
    assert way.points[0] == pytest.approx((30.0, 10.0), abs=0.6)
    assert way.points[-1][1] == pytest.approx(30.0, abs=1.0)
    before = hands.canvas.grab().toImage()
    hands.move((50.0, 10.0))
    assert said(driver)[0].startswith("to B1")
    hands.move((10.0, 10.0))
    assert said(driver)[0].startswith("leaves the ground that was shot")
    assert hands.canvas.grab().toImage() != before
    assert hands.job is TILTED


def test_a_click_keeps_a_way_and_backspace_and_escape_take_it_back(hands: Hands) -> None:
    driver = hands.canvas.driver
    hands.click((30.0, 10.0))
    hands.move((10.0, 10.0))
    assert [t.split("  ")[0] for t in said(driver)] == ["against the house", "leaves the ground that was shot"]
    hands.key(Qt.Key.Key_Backspace)
    assert len(said(driver)) == 1
    hands.click((30.0, 10.0))
    hands.move((10.0, 10.0))
    hands.key(Qt.Key.Key_Escape)
    assert driver.spec.name == "follow-drop"
    assert len(said(driver)) == 1
    hands.key(Qt.Key.Key_Escape)
    assert driver.spec.name == "select"
    assert hands.session.history.undo_label is None


def test_the_way_is_shown_anew_when_the_ground_was_studied_again(hands: Hands, qtbot: QtBot) -> None:
    watch = Studying(hands.session)
    hands.move((30.0, 10.0))
    assert said(hands.canvas.driver)[0].startswith("against the house")
    tipped = tuple(replace(s, elevation_ft=100 + 0.05 * s.point[1]) for s in TILTED.shots)
    hands.session.apply(replace(hands.job, shots=tipped), "Tip the ground over")
    qtbot.waitUntil(lambda: hands.session.study_is_current, timeout=20_000)
    assert said(hands.canvas.driver)[0].startswith("leaves the ground that was shot")
    watch.stop()


def test_before_any_study_the_tool_says_nothing(qtbot: QtBot) -> None:
    canvas = canvas_of(TILTED)
    qtbot.addWidget(canvas)
    canvas.set_tool("follow-drop")
    Hands(canvas).move((30.0, 10.0))
    assert canvas.driver.preview.traces == ()


@pytest.mark.parametrize(
    ("path", "word"),
    [
        (DropPath((), "inlet", "B1"), "to B1"),
        (DropPath((), "pond"), "stands here"),
        (DropPath((), "edge"), "leaves the ground that was shot"),
        (DropPath((), "flat"), "the ground is flat here"),
        (DropPath((), "wall", "building-1"), "against the house"),
        (DropPath((), "wall"), "against a wall"),
    ],
)
def test_what_becomes_of_a_drop_is_said_in_a_few_words(path: DropPath, word: str) -> None:
    assert end_word(path, TILTED) == word


def test_a_breakline_is_drawn_from_shot_to_shot_and_levels_follow_it(qtbot: QtBot) -> None:
    """Four corners at 100 and a swale at 99 through the middle: with the line, the ground halfway along it is 99."""
    corners = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    shots = [Shot(id=f"S{i}", point=p, elevation_ft=100.0) for i, p in enumerate(corners, 1)]
    shots += [Shot(id="S5", point=(0.0, 20.0), elevation_ft=99.0), Shot(id="S6", point=(40.0, 20.0), elevation_ft=99.0)]
    shots += [
        Shot(id="S7", point=(20.0, 26.0), elevation_ft=100.0),
        Shot(id="S8", point=(20.0, 14.0), elevation_ft=100.0),
    ]
    canvas = canvas_of(Job(shots=tuple(shots)))
    qtbot.addWidget(canvas)
    hands = Hands(canvas)
    surface = hands.session.review.surface
    assert surface is not None
    assert surface.level_at(20.0, 20.0)[0] == pytest.approx(100.0)
    canvas.set_tool("breakline")
    canvas.set_choice("breakline", "swale")
    hands.click((0.3, 20.2))  # the pointer is drawn to the shots
    hands.click((39.8, 19.8))
    hands.key(Qt.Key.Key_Return)
    (line,) = hands.job.breaklines
    assert line == Breakline(id="L1", kind="swale", points=((0.0, 20.0), (40.0, 20.0)))
    assert hands.session.selection == ("L1",)
    surface = hands.session.review.surface
    assert surface is not None
    assert surface.level_at(20.0, 20.0)[0] == pytest.approx(99.0)
    said = dict(facts(hands.session.review, line, Words()))
    assert said == {"Length": "40' 0\"", "Levels from": "S5 99.00, S6 99.00"}
    hands.session.undo()
    assert hands.job.breaklines == ()


def test_the_kinds_of_breakline_stand_beside_the_tool_and_a_line_off_every_shot_is_told(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window, _ = open_window(qtbot, tmp_path, TILTED)
    window.take_tool("breakline")
    choice = window.choices.choice
    assert [choice.itemText(i) for i in range(choice.count())] == ["wall foot", "curb", "swale", "ridge", "other"]
    told: list[str] = []
    window.session.told.connect(told.append)
    hands = Hands(window.canvas)
    window.canvas.zoom_to_fit()
    held = Qt.KeyboardModifier.AltModifier
    hands.click((5.0, 20.0), held)
    hands.click((15.0, 25.0), held)
    hands.key(Qt.Key.Key_Return)
    assert window.session.job.breaklines[0].kind == "wall foot"
    assert any("from the shots on it" in sentence for sentence in told)
