"""The ground study over the plan, in the real window: each overlay switched by its command, and seen in the pixels."""

from pathlib import Path

import ezdxf
import pdfplumber
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from drainsketch.desk.overlays import FAILED, NO_INLETS, NO_SHOTS, OVERLAYS, WORKING
from drainsketch.desk.sheet_maker import SheetChoice
from drainsketch.desk.view import View
from drainsketch.desk.window import Window
from drainsketch.findings import Place, finding
from drainsketch.job.edits.change import change
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Boundary, Job, Shot, Structure
from drainsketch.look import SERVICE_COLORS, STYLES
from tests.desk.at_desk import PLANE_YARD, open_window, settings_in
from tests.desk.hands import Hands
from tests.ponds import POND_FT, bowl_study, studied

CENTER = (55.0, -20.0)
VIEW = View(west_ft=-20.0, north_ft=30.0, px_per_ft=8.0)


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    """The real window on a yard with a study made by hand; every overlay is off."""
    made, _ = open_window(qtbot, tmp_path, PLANE_YARD)
    made.studying.stop()
    made.session.take_study(studied(made.session, bowl_study(CENTER)))
    made.resize(1280, 960)
    qtbot.wait(50)  # the strip under the plan takes its room once it is laid out
    made.canvas.plan.look_at(VIEW)
    for overlay in OVERLAYS:
        switch(made, overlay.name, False)
    return made


def switch(window: Window, name: str, on: bool) -> None:
    action = window.actions_.by_name[f"show_{name}"]
    if action.isChecked() is not on:
        action.trigger()
    Hands(window.canvas).settle()


def seen(window: Window) -> QImage:
    Hands(window.canvas).settle()
    return window.canvas.grab().toImage()


def at(window: Window, image: QImage, x: float, y: float) -> QColor:
    spot: QPoint = Hands(window.canvas).px((x, y))
    return image.pixelColor(spot)


def changed(before: QImage, after: QImage) -> int:
    """Return how many pixels differ, of every third in both directions."""
    return sum(
        before.pixel(x, y) != after.pixel(x, y)
        for x in range(0, before.width(), 3)
        for y in range(0, before.height(), 3)
    )


@pytest.mark.parametrize("name", [o.name for o in OVERLAYS])
def test_each_overlay_comes_and_goes_with_its_command(window: Window, name: str) -> None:
    before = seen(window)
    switch(window, name, True)
    assert changed(before, seen(window)) > 100
    switch(window, name, False)
    assert seen(window) == before


def test_keys_and_buttons_switch_the_overlays(window: Window, qtbot: QtBot) -> None:
    window.canvas.setFocus()
    keys = (Qt.Key.Key_F2, Qt.Key.Key_F3, Qt.Key.Key_F4, Qt.Key.Key_F5, Qt.Key.Key_F6)
    for overlay, key in zip(OVERLAYS, keys, strict=True):
        qtbot.keyClick(window.canvas, key, Qt.KeyboardModifier.ShiftModifier)
        assert window.canvas.plan.overlays.is_on(overlay.name)
        assert window.actions_.by_name[f"show_{overlay.name}"].isChecked()


def test_standing_water_is_gray_blue_and_darker_where_deeper(window: Window) -> None:
    dry = seen(window)
    switch(window, "water", True)
    wet = seen(window)
    middle, near_edge = at(window, wet, CENTER[0], CENTER[1] - 3), at(window, wet, CENTER[0], CENTER[1] - POND_FT + 1)
    outside = CENTER[0], CENTER[1] - POND_FT - 2
    assert middle.lightness() < near_edge.lightness() < at(window, dry, CENTER[0], CENTER[1] - 3).lightness()
    assert at(window, wet, *outside) == at(window, dry, *outside)
    # far from the blue of the water service: hardly any color in it
    assert middle.hslSaturation() < 80 < QColor(SERVICE_COLORS["water"]).hslSaturation()


def test_the_drawing_stays_visible_over_every_overlay(window: Window) -> None:
    """The pond lies over the outfall end of R1: pipe and service keep their ink in the middle of it."""
    window.session.take_study(studied(window.session, bowl_study((25.0, 0.0), inlets=("B1",))))
    for overlay in OVERLAYS:
        switch(window, overlay.name, True)
    image = seen(window)
    assert at(window, image, 24.0, 0.0) == QColor(STYLES["run.solid"].stroke or "")
    gas = [at(window, image, 20.0, y / 4) for y in range(-40, -8)]
    hue = QColor(SERVICE_COLORS["gas"]).hslHue()
    assert sum(abs(c.hslHue() - hue) < 4 and c.hslSaturation() > 230 for c in gas) > 8


def test_levels_of_contours_and_words_of_ponds_keep_clear_of_those_of_the_drawing(window: Window) -> None:
    window.session.take_study(studied(window.session, bowl_study((10.0, -5.0))))
    for overlay in OVERLAYS:
        switch(window, overlay.name, True)
    boxes = window.canvas.plan.layers.written(window.canvas.view, window.canvas.width(), window.canvas.height())
    assert len(boxes) > 15
    hulls = [b.hull() for b in boxes if not b.angle_deg]
    for i, a in enumerate(hulls):
        for b in hulls[i + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_what_is_switched_on_is_remembered(window: Window, qtbot: QtBot, tmp_path: Path) -> None:
    switch(window, "areas", True)
    window.close()
    again = Window(settings_in(tmp_path), window.dialogs)
    qtbot.addWidget(again)
    on = [o.name for o in OVERLAYS if again.canvas.plan.overlays.is_on(o.name)]
    assert on == ["areas"]
    assert again.actions_.by_name["show_areas"].isChecked()
    again.session.mark_saved()


def test_an_old_study_stays_faded_until_the_new_one_is_there(window: Window, qtbot: QtBot) -> None:
    switch(window, "water", True)
    fresh = seen(window)
    overlays = window.canvas.plan.overlays
    assert overlays.note == ""
    window.session.apply(change(window.session.job, "gas-1", name="Gas to the shop"), "Rename")
    assert overlays.note == ""  # not at once: most studies are there before anybody looks
    qtbot.waitUntil(lambda: overlays.note == WORKING)
    faded = seen(window)
    spot = (CENTER[0], CENTER[1] - 3)
    assert at(window, fresh, *spot).lightness() < at(window, faded, *spot).lightness() < 255
    window.session.take_study(studied(window.session, bowl_study(CENTER)))
    assert overlays.note == ""
    assert at(window, seen(window), *spot) == at(window, fresh, *spot)


def test_a_study_that_broke_off_is_said_to_be_old(window: Window) -> None:
    switch(window, "water", True)
    window.session.miss_study()
    assert window.canvas.plan.overlays.note == FAILED
    assert window.canvas.plan.overlays.old
    window.session.apply(change(window.session.job, "gas-1", name="Gas"), "Rename")
    assert not window.session.study_failed


def test_without_shots_the_plan_says_what_is_missing(window: Window) -> None:
    switch(window, "contours", True)
    window.session.open(Job(structures=(Structure(id="B1", kind="basin", point=(0.0, 0.0)),)))
    assert window.canvas.plan.overlays.note == NO_SHOTS
    assert window.canvas.plan.overlays.ground is None
    switch(window, "contours", False)
    assert window.canvas.plan.overlays.note == ""


def test_panning_paints_no_overlay_anew(window: Window) -> None:
    for overlay in OVERLAYS:
        switch(window, overlay.name, True)
    layer = window.canvas.plan.layers.study
    picture = layer.picture
    window.canvas.plan.look_at(window.canvas.view.panned(9.0, 4.0))
    window.canvas.grab()
    assert layer.picture is picture


def test_f8_flies_to_a_pond_that_has_a_place_and_no_thing(window: Window, qtbot: QtBot) -> None:
    pond = finding("no_services", Place(point=(CENTER[0], CENTER[1] + 31.0)))
    window.session.take_study(replace(studied(window.session, bowl_study(CENTER)), findings=(pond,)))
    window.canvas.setFocus()
    middles = []
    for _ in window.session.review.findings:
        qtbot.keyClick(window.canvas, Qt.Key.Key_F8)
        middles.append(window.canvas.view.to_ft(window.canvas.width() / 2, window.canvas.height() / 2))
    assert any(middle == pytest.approx(pond.place.point, abs=0.2) for middle in middles)


def test_without_its_last_shot_nothing_of_the_old_ground_is_left(window: Window) -> None:
    before = seen(window)
    switch(window, "water", True)
    assert changed(before, seen(window)) > 100
    window.session.apply(remove(window.session.job, [s.id for s in window.session.job.shots]), "Delete the shots")
    Hands(window.canvas).settle()
    assert not window.canvas.plan.layers.study.shown


def test_a_study_that_left_the_ground_alone_paints_nothing_anew(window: Window) -> None:
    switch(window, "water", True)
    layer = window.canvas.plan.layers.study
    picture, ground = layer.picture, window.session.study.ground if window.session.study else None
    window.session.apply(change(window.session.job, "gas-1", name="Gas to the shop"), "Rename")
    window.session.take_study(studied(window.session, ground))
    Hands(window.canvas).settle()
    assert layer.picture is picture


HOLLOW = Job(
    boundary=Boundary(id="boundary", points=((0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0))),
    shots=(
        *(
            Shot(id=f"S{n}", point=p, elevation_ft=100.0)
            for n, p in enumerate(((0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0)), 1)
        ),
        Shot(id="S5", point=(30.0, 30.0), elevation_ft=99.0),
    ),
)


def test_water_in_a_hollow_is_worked_out_shown_and_gone_when_the_hollow_is_filled(qtbot: QtBot, tmp_path: Path) -> None:
    """A pyramid on its tip, 60 ft square and 1 ft deep: it holds 60 * 60 * 1 / 3 = 1200 ft3, 8976 gal (7.4805 gal a ft3)."""
    window, _ = open_window(qtbot, tmp_path, HOLLOW)
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    window.canvas.plan.look_at(View(west_ft=-20.0, north_ft=70.0, px_per_ft=7.0))
    assert window.canvas.plan.overlays.is_on("water")  # from the first
    wet = seen(window)
    switch(window, "water", False)
    dry = seen(window)
    assert at(window, wet, 26.0, 26.0).lightness() < at(window, dry, 26.0, 26.0).lightness() - 40
    switch(window, "water", True)
    ground = window.canvas.plan.overlays.ground
    assert ground is not None
    (pond,) = ground.ponds
    assert pond.volume_gal == pytest.approx(8976, rel=0.04)  # it spills at the middle of the outermost half-foot cells
    window.session.apply(change(window.session.job, "S5", elevation_ft=100.5), "Fill the hollow")
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    assert at(window, seen(window), 26.0, 26.0) == at(window, dry, 26.0, 26.0)


def test_a_pond_in_the_list_of_findings_is_flown_to(qtbot: QtBot, tmp_path: Path) -> None:
    window, _ = open_window(qtbot, tmp_path, HOLLOW)
    qtbot.waitUntil(lambda: window.session.study_is_current, timeout=20_000)
    (found,) = (f for f in window.session.review.findings if f.kind == "standing_water")
    window.canvas.setFocus()
    for _ in range(window.session.review.findings.index(found) + 1):
        qtbot.keyClick(window.canvas, Qt.Key.Key_F8)
    middle = window.canvas.view.to_ft(window.canvas.width() / 2, window.canvas.height() / 2)
    assert middle == pytest.approx((30.0, 30.0), abs=0.7)


def test_sheets_and_drawing_written_before_the_study_is_there_show_the_ground_all_the_same(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window, answers = open_window(qtbot, tmp_path, HOLLOW)
    window.studying.stop()
    assert not window.session.study_is_current
    answers.sheet = SheetChoice(contours=True)
    answers.save_path = tmp_path / "plan.pdf"
    window.actions_.by_name["export_pdf"].trigger()
    with pdfplumber.open(tmp_path / "plan.pdf") as pdf:
        text = pdf.pages[0].extract_text()
    assert "standing water" in text
    assert "99.50" in text  # the level of a contour
    answers.save_path = tmp_path / "plan.dxf"
    window.actions_.by_name["export_dxf"].trigger()
    layers = {line.dxf.layer for line in ezdxf.readfile(tmp_path / "plan.dxf").modelspace()}
    assert {"contour", "standing water"} <= layers
    assert answers.told == []


def test_areas_say_why_there_are_none(window: Window) -> None:
    dry = replace(bowl_study(CENTER), inlets=(), catchments=())
    window.session.take_study(studied(window.session, dry))
    switch(window, "areas", True)
    assert window.canvas.plan.overlays.note == NO_INLETS  # no basin of this study takes water
    switch(window, "areas", False)
    assert window.canvas.plan.overlays.note == ""
