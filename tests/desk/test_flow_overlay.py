"""The storm over the plan, in the real window: switched by its key, read in the words that are painted, seen in the pixels."""

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from drainsketch.desk import plan_layers
from drainsketch.desk.overlays import NO_FLOW, NO_RAIN, NO_SHOTS
from drainsketch.desk.view import View
from drainsketch.desk.window import Window
from drainsketch.job.edits.change import change, change_rain
from drainsketch.job.model import Job, Structure
from drainsketch.job.rain import Rain
from drainsketch.look import PAPER, STYLES
from drainsketch.sheets.labels import PlacedLabel
from tests.desk.at_desk import open_window
from tests.desk.hands import Hands
from tests.sheets.test_storm_tables import yard
from tests.water.test_escapes import line

FLOODED = line(20_000.0, 20_000.0)
Painted = list[str]


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Callable[[Job], Window]:
    """Opens the real window on a job, studied, with every overlay off."""

    def open_it(job: Job) -> Window:
        window, _ = open_window(qtbot, tmp_path, job)
        settle(qtbot, window)
        for name in [o for o in window.actions_.by_name if o.startswith("show_")]:
            if window.actions_.by_name[name].isChecked():
                window.actions_.by_name[name].trigger()
        window.canvas.plan.look_at(View(west_ft=-10.0, north_ft=35.0, px_per_ft=8.0))
        Hands(window.canvas).settle()
        return window

    return open_it


@pytest.fixture
def painted(monkeypatch: pytest.MonkeyPatch) -> Painted:
    """The words painted since it was last cleared."""
    said: Painted = []
    paint = plan_layers.paint_label

    def note(p: object, placed: PlacedLabel) -> None:
        said.append(placed.label.text)
        paint(p, placed)  # type: ignore[arg-type]

    monkeypatch.setattr(plan_layers, "paint_label", note)
    return said


def settle(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    Hands(window.canvas).settle()


def press(qtbot: QtBot, window: Window) -> None:
    window.canvas.setFocus()
    qtbot.keyClick(window.canvas, Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)
    Hands(window.canvas).settle()


def one_line(said: Painted) -> str:
    return " | ".join(said).replace("\n", " ").replace(" · ", " ")


def seen(window: Window) -> QImage:
    Hands(window.canvas).settle()
    return window.canvas.grab().toImage()


def beside(window: Window, image: QImage, at: tuple[float, float], off_px: int) -> str:
    """Return the color so many pixels above a place of the plan."""
    spot = Hands(window.canvas).px(at)
    return image.pixelColor(spot.x(), spot.y() - off_px).name()


def test_the_key_brings_flow_and_share_as_worked_by_hand(
    qtbot: QtBot, opened: Callable[[Job], Window], painted: Painted
) -> None:
    """As in ``test_storm_tables``: 1.00833 x 0.5 x 4 in/h x 2,000 / 43,560 = 0.0926 cfs = 41.6 gpm arrives at B1. Full at n 0.010, inside
    3.975 in (ASTM D3034): 2.433 s^0.5 cfs; at 3.7 % 0.469 cfs, of which 0.0926 is 20 %."""
    window = opened(yard())
    assert "arrives" not in one_line(painted)
    assert "3.7" in one_line(painted)  # the slope of R1
    painted.clear()
    press(qtbot, window)
    assert "R1 42 gpm 20%" in one_line(painted)
    assert "B1 42 gpm arrives" in one_line(painted)
    painted.clear()
    press(qtbot, window)
    assert "gpm" not in one_line(painted)
    assert "3.7" in one_line(painted)


def test_a_metric_job_says_liters_a_second(qtbot: QtBot, opened: Callable[[Job], Window], painted: Painted) -> None:
    """0.0926 cfs x 28.317 L/ft3 = 2.6 L/s."""
    job = yard()
    window = opened(replace(job, header=replace(job.header, units="m")))
    painted.clear()
    press(qtbot, window)
    assert "R1 2.6 L/s 20%" in one_line(painted)
    assert "B1 2.6 L/s arrives" in one_line(painted)


def test_more_rain_is_said_and_shown_at_once(qtbot: QtBot, opened: Callable[[Job], Window], painted: Painted) -> None:
    """Ten times the rain is ten times the flow, 416 gpm: twice what the pipe carries."""
    window = opened(yard())
    press(qtbot, window)
    dry = seen(window)
    assert beside(window, dry, (42.5, 0.0), 3) == STYLES["storm.carries"].stroke
    assert beside(window, dry, (42.5, 0.0), 6) == PAPER
    painted.clear()
    window.session.apply(change_rain(window.session.job, intensity_in_h=40.0), "More rain")
    settle(qtbot, window)
    assert "R1 416 gpm = 197%" in one_line(painted)
    wet = seen(window)
    assert beside(window, wet, (42.5, 0.0), 3) == STYLES["storm.too small"].stroke
    assert beside(window, wet, (42.5, 0.0), 6) == STYLES["storm.too small"].stroke  # wider, not only red
    assert beside(window, wet, (42.5, 0.0), 0) == STYLES["run.solid"].stroke  # the pipe keeps its ink


def test_slow_water_is_told_by_a_broken_line(qtbot: QtBot, opened: Callable[[Job], Window]) -> None:
    """A hundredth of the rain runs at less than 2 ft/s: see the small share in any chart of part-full pipe."""
    window = opened(yard(0.04))
    press(qtbot, window)
    image = seen(window)
    colors = {beside(window, image, (x / 8, 0.0), 3) for x in range(120, 420)}
    assert {STYLES["storm.slow"].stroke, PAPER} <= colors
    assert STYLES["storm.slow"].dash_pt and not STYLES["storm.carries"].dash_pt


def test_what_comes_out_is_said_and_its_way_is_drawn(
    qtbot: QtBot, opened: Callable[[Job], Window], painted: Painted
) -> None:
    window = opened(FLOODED)
    painted.clear()
    press(qtbot, window)
    said = one_line(painted)
    assert "gpm comes out runs to B2" in said
    assert "gpm comes out runs off the ground shot" in said
    marks = window.canvas.plan.layers.marks
    assert {m.owner for m in marks.flags if getattr(m, "symbol", "") == "comes out"} == {"B1", "B2"}
    # below B2 the way goes on past the outfall at 100 ft: there no pipe lies over it
    window.canvas.plan.look_at(View(west_ft=60.0, north_ft=20.0, px_per_ft=10.0))
    image = seen(window)
    row = {beside(window, image, (x / 10, 0.0), 0) for x in range(1030, 1170)}
    assert STYLES["overland"].stroke in row
    on = image
    press(qtbot, window)
    assert STYLES["overland"].stroke not in {
        beside(window, seen(window), (x / 10, 0.0), 0) for x in range(1030, 1170, 7)
    }
    assert seen(window) != on


def test_no_words_of_the_storm_lie_over_others(qtbot: QtBot, opened: Callable[[Job], Window]) -> None:
    window = opened(FLOODED)
    press(qtbot, window)
    boxes = window.canvas.plan.layers.written(window.canvas.view, window.canvas.width(), window.canvas.height())
    hulls = [b.hull() for b in boxes if not b.angle_deg]
    assert len(hulls) > 5
    for i, a in enumerate(hulls):
        for b in hulls[i + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_without_rain_it_says_where_to_put_it_in(qtbot: QtBot, opened: Callable[[Job], Window]) -> None:
    window = opened(replace(yard(), rain=Rain()))
    overlays = window.canvas.plan.overlays
    assert overlays.note == ""
    press(qtbot, window)
    assert overlays.note == NO_RAIN
    window.session.apply(change_rain(window.session.job, intensity_in_h=4.0), "Rain")
    settle(qtbot, window)
    assert overlays.note == ""
    assert window.canvas.plan.layers.marks.labels
    press(qtbot, window)
    assert overlays.note == ""


def test_where_nothing_arrives_it_says_what_is_missing(qtbot: QtBot, opened: Callable[[Job], Window]) -> None:
    lone = Job(rain=Rain(intensity_in_h=4.0), structures=(Structure(id="B1", kind="basin", point=(0.0, 0.0)),))
    window = opened(lone)
    press(qtbot, window)
    assert window.canvas.plan.overlays.note == NO_FLOW  # shots are not asked for: an area may be typed
    assert window.canvas.plan.overlays.note != NO_SHOTS


def test_panning_paints_nothing_anew_and_a_name_leaves_the_pictures_alone(
    qtbot: QtBot, opened: Callable[[Job], Window]
) -> None:
    window = opened(FLOODED)
    press(qtbot, window)
    layers = window.canvas.plan.layers
    pictures = [layer.picture for layer in layers.pictures.layers]
    window.canvas.plan.look_at(window.canvas.view.panned(9.0, 4.0))
    window.canvas.grab()
    assert all(layer.picture is before for layer, before in zip(layers.pictures.layers, pictures, strict=True))
    marks = layers.marks
    window.session.apply(change(window.session.job, "S1", name="Corner"), "Rename")
    settle(qtbot, window)
    assert layers.marks.drains is marks.drains  # the same storm on the same pipe


def test_a_run_in_the_hand_takes_its_tint_with_it(qtbot: QtBot, opened: Callable[[Job], Window]) -> None:
    window = opened(yard())
    press(qtbot, window)
    hands = Hands(window.canvas)
    hands.press((5.0, 0.0))
    hands.move((5.0, -8.0), down=True)
    hands.settle()
    image = window.canvas.grab().toImage()
    assert beside(window, image, (30.0, 0.0), 3) != STYLES["storm.carries"].stroke
    hands.release((5.0, -8.0))
    settle(qtbot, window)
    middle = (30.0, -4.0)
    assert QColor(beside(window, seen(window), middle, 0)).lightness() < 60
    assert beside(window, seen(window), middle, 4) == STYLES["storm.carries"].stroke
