"""The pictures of the plan: painted in slices, moved and stretched between, the same as painted in one go."""

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QPinchGesture
from pytestqt.qtbot import QtBot
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from drainsketch import look
from drainsketch.desk import live
from drainsketch.desk.fonts import metrics
from drainsketch.desk.layers import Layer, Pictures
from drainsketch.desk.painter import paint_sign
from drainsketch.desk.steering import after_pinch
from drainsketch.desk.view import LEAST_PX_PER_FT, MOST_PX_PER_FT, View, centered, fitted
from drainsketch.resources import resource
from drainsketch.review import analyse
from drainsketch.sheets.boxes import boxes_meet
from drainsketch.sheets.marks import Sign
from tests.bench.bench_canvas import yard
from tests.desk.hands import Hands, canvas_of, corner_lot

SIZE = QSize(400, 300)


def stripes(view: View, width: float, height: float):  # type: ignore[no-untyped-def]
    for i in range(40):
        x = view.to_px((float(i), 0.0))[0]
        yield lambda p, x=x, i=i: p.fillRect(int(x), 0, 6, int(height), QColor(6 * i, 0, 200))


def picture(layer: Layer) -> QImage:
    assert layer.picture is not None
    return layer.picture.toImage()


def test_slices_and_one_go_give_the_same_picture(qtbot: QtBot) -> None:
    whole, sliced = Layer(stripes, paper=True), Layer(stripes, paper=True)
    at_once, in_slices = Pictures((whole,)), Pictures((sliced,))
    for pictures in (at_once, in_slices):
        pictures.resize(SIZE, 1.0)
    at_once.refresh(60.0)
    in_slices.refresh(0.0)
    count = 0
    while not in_slices.settled:
        in_slices._paint_until(0.0)  # one step each
        count += 1
    assert count > 30
    assert picture(whole) == picture(sliced)


def test_a_pan_within_the_margin_keeps_the_picture(qtbot: QtBot) -> None:
    layer = Layer(stripes, paper=True)
    pictures = Pictures((layer,))
    pictures.resize(SIZE, 1.0)
    pictures.refresh(60.0)
    before = layer.picture
    pictures.look_at(View().panned(40, 20))
    assert pictures.settled
    assert layer.picture is before


def test_a_zoom_keeps_the_picture_until_it_rests(qtbot: QtBot) -> None:
    layer = Layer(stripes, paper=True)
    pictures = Pictures((layer,))
    pictures.resize(SIZE, 1.0)
    pictures.refresh(60.0)
    before = layer.picture
    pictures.look_at(View(-10.0, 80.0, 8.0).zoomed(1.5, 10, 10))
    assert layer.picture is before
    pictures.rest_timer.timeout.emit()
    qtbot.waitUntil(lambda: pictures.settled)
    assert layer.picture is not before
    assert layer.view.px_per_ft == pytest.approx(12.0)


def test_the_picture_lies_where_the_plan_is_while_it_is_stretched(qtbot: QtBot) -> None:
    def dot(view: View, width: float, height: float):  # type: ignore[no-untyped-def]
        x, y = view.to_px((10.0, 60.0))
        yield lambda p: p.fillRect(int(x) - 4, int(y) - 4, 8, 8, QColor("red"))

    layer = Layer(dot, paper=True)
    pictures = Pictures((layer,))
    pictures.resize(SIZE, 1.0)
    pictures.refresh(60.0)
    now = View().zoomed(1.3, 50, 50).panned(17, 9)
    image = QImage(SIZE, QImage.Format.Format_RGB32)
    with QPainter(image) as p:
        layer.draw(p, now)
    x, y = now.to_px((10.0, 60.0))
    assert image.pixelColor(round(x), round(y)).name() == "#ff0000"


def test_no_word_of_a_large_yard_lies_on_another(qtbot: QtBot) -> None:
    canvas = canvas_of(yard(400))
    qtbot.addWidget(canvas)
    hands = Hands(canvas)
    canvas.zoom_to_fit()
    hands.settle()
    words = canvas.plan.layers.written(canvas.view, canvas.width(), canvas.height())
    assert words
    assert not [(a, b) for a, b in combinations(words, 2) if boxes_meet(a, b)]


def test_the_scale_keeps_within_its_limits() -> None:
    assert View().zoomed(1e-9, 0, 0).px_per_ft == LEAST_PX_PER_FT
    assert View().zoomed(1e9, 0, 0).px_per_ft == MOST_PX_PER_FT
    assert centered((5, 5), 2, 100, 100).to_px((5, 5)) == (50, 50)
    point = fitted((7, 7, 7, 7), 400, 300)  # a job that is one point
    assert point.to_px((7, 7)) == pytest.approx((200, 150))


def test_two_fingers_keep_hold_of_the_plan_under_their_middle(qtbot: QtBot) -> None:
    pinch = QPinchGesture()
    pinch.setLastCenterPoint(QPointF(100, 100))
    pinch.setCenterPoint(QPointF(140, 90))
    pinch.setScaleFactor(1.5)
    before = View(-10.0, 80.0, 8.0)
    after = after_pinch(before, pinch, None)
    assert after.px_per_ft == pytest.approx(12.0)
    assert after.to_px(before.to_ft(100, 100)) == pytest.approx((140, 90))


def test_screen_and_paper_measure_words_alike(qtbot: QtBot) -> None:
    # reportlab reads the same font files by itself; screen fonts are set in whole pixels, 9 pt is 12 of them
    words = "R12 · 4 in · 34' 6 1/2\" · 1.04%"
    pdfmetrics.registerFont(TTFont("narrow", str(resource("fonts/DejaVuSansCondensed.ttf"))))
    assert metrics("run").horizontalAdvance(words) == pytest.approx(
        pdfmetrics.stringWidth(words, "narrow", 12), rel=0.02
    )


def test_a_symbol_is_painted_at_its_place_in_its_ink(qtbot: QtBot) -> None:
    image = QImage(60, 60, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    with QPainter(image) as p:
        paint_sign(p, Sign(at=(0, 0), symbol="fitting"), 30, 30)
    assert image.pixelColor(30, 30).name() == look.SYMBOLS["fitting"].ink
    assert image.pixelColor(45, 30).name() == "#ffffff"


@pytest.mark.parametrize("name", sorted(look.SYMBOLS))
def test_every_symbol_of_the_look_can_be_painted(name: str, qtbot: QtBot) -> None:
    image = QImage(80, 80, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    blank = image.copy()
    with QPainter(image) as p:
        paint_sign(p, Sign(at=(0, 0), symbol=name, turn_deg=30.0, text="12"), 40, 40)
    assert image != blank


def test_words_of_what_is_on_screen_stay_on_screen_where_they_can(qtbot: QtBot) -> None:
    """At the first sight of a whole plan no label of a structure runs into the edge of the window."""
    canvas = canvas_of(corner_lot(), size=(620, 460))
    qtbot.addWidget(canvas)
    canvas.zoom_to_fit()
    Hands(canvas).settle()
    boxes = [box.hull() for box in canvas.plan.layers.written(canvas.view, 620, 460)]
    assert len(boxes) > 15
    assert [b for b in boxes if b[0] < 0 or b[1] < 0 or b[2] > 620 or b[3] > 460] == []


def test_another_job_is_not_painted_thing_by_thing(qtbot: QtBot) -> None:
    """Everything is new in it: placing all its words in one frame would take seconds."""
    canvas = canvas_of()
    qtbot.addWidget(canvas)
    canvas.session.open(yard(1_000))
    assert len(canvas.plan._carried.ground) + len(canvas.plan._carried.drains) + len(canvas.plan._carried.labels) == 0


def test_a_large_yard_with_services_is_dragged_without_a_review_of_each_move(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live, "REVIEWED_THINGS", 0)
    job = corner_lot()
    assert analyse(job).plan.by_hand
    canvas = canvas_of(job)
    qtbot.addWidget(canvas)
    hands = Hands(canvas)
    hands.settle()
    basin = next(s for s in job.structures if s.kind == "basin")
    x, y = basin.point
    hands.drag((x, y), (x + 3, y + 2), Qt.KeyboardModifier.AltModifier)
    hands.settle()
    moved = next(s for s in hands.session.job.structures if s.id == basin.id)
    assert moved.point == pytest.approx((x + 3, y + 2), abs=0.2)
