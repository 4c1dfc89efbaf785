"""What stands at the edge of the plan while a storm is shown: which yard, what time it is, and what the signs mean."""

from collections.abc import Sequence
from math import ceil

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from drainsketch import look
from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.furniture import corners_taken
from drainsketch.desk.painter import paint_sign
from drainsketch.desk.storm_paint import OVER, Moment, paint_gauge
from drainsketch.desk.storm_scene import RUNS_CFS
from drainsketch.desk.view import View
from drainsketch.job.ask import extent
from drainsketch.sheets.marks import Sign

EDGE_PX, PAD_PX, GAP_PX, SIGN_PX = 12.0, 6.0, 14.0, 18.0
STEP_PX = 60.0  # in which the title grows
YARD, WORDS, CORNER = (
    1.0,
    2.0,
    10.0,
)  # how dear it is to cover a pixel of the yard, of words, of scale bar and north arrow
PLACE_PX = 12.0  # between the places tried
MANY = 9  # each part on a line of its own
PARTS = "  ·  "  # between the parts of the title
Rect = tuple[float, float, float, float]  # left, top, right, bottom
TITLE_PT, KEY_PT = 10.0, 8.0
KEYS = (
    ("stands", "stands on the ground"),
    ("over", "runs over it"),
    ("part", "pipe, how full"),
    ("full", "pipe full"),
    ("out", "comes out of grate or well"),
)


class Box(Struct, frozen=True):
    """Where clock and legend stand: the paper, and of each part of the title and each key the left end and the middle of its line."""

    paper: QRectF
    title: tuple[tuple[str, QPointF], ...]
    keys: tuple[tuple[str, str, QPointF], ...]


def paint_clock(p: QPainter, moment: Moment, view: View, size: tuple[float, float], taken: Sequence[Rect]) -> None:
    """Paint the clock and the legend of the storm where they cover least.

    Parameters
    ----------
    taken : the words of the plan, pixels
    """
    box = clock_box(moment, view, size, taken)
    keys = plan_metrics(KEY_PT, condensed=True)
    paper = QColor(look.PAPER)
    paper.setAlpha(230)
    p.setPen(QPen(QColor(look.GRID).darker(112), 1.0))
    p.setBrush(paper)
    p.drawRoundedRect(box.paper, 4, 4)
    p.setFont(plan_font(TITLE_PT, bold=True))
    p.setPen(QColor(look.INK))
    for text, at in box.title:
        p.drawText(at + QPointF(0, plan_metrics(TITLE_PT, bold=True).ascent() / 2 - 2), text)
    for sign, text, at in box.keys:
        _paint_key(p, sign, at + QPointF(SIGN_PX / 2, 0))
        p.setFont(plan_font(KEY_PT, condensed=True))
        p.setPen(QColor(look.QUIET))
        p.drawText(at + QPointF(SIGN_PX + 5, keys.ascent() / 2 - 1), text)


def clock_box(moment: Moment, view: View, size: tuple[float, float], taken: Sequence[Rect]) -> Box:
    """Return where clock and legend stand: on one line, two or more in a corner of the plan, off the yard where there is room."""
    job = moment.scene.shown.study.review.job
    whole = extent(job) or (0.0, 0.0, 0.0, 0.0)
    yard = (*view.to_px((whole[0], whole[3])), *view.to_px((whole[2], whole[1])))
    kept = ((YARD, (yard,)), (WORDS, taken), (CORNER, corners_taken(view, (0, 0, *size), job.header.units)))
    laid = [_laid(moment, lines) for lines in (1, 2, MANY)]
    laid = [box for box in laid if box.paper.width() <= size[0] - 2 * EDGE_PX] or laid[-1:]
    tried = [(box, to) for box in laid for to in _places(box.paper, size)]
    cost = sum(weight * _shared([box.paper.translated(to) for box, to in tried], rects) for weight, rects in kept)
    box, to = tried[int(np.argmin(cost))]
    return Box(
        box.paper.translated(to),
        tuple((text, at + to) for text, at in box.title),
        tuple((sign, text, at + to) for sign, text, at in box.keys),
    )


def _places(paper: QRectF, size: tuple[float, float]) -> list[QPointF]:
    """Return where it may stand: along the right side from the foot up, then along the left; as far in as there is room."""
    right, low = max(0.0, size[0] - EDGE_PX - paper.width()), max(0.0, size[1] - EDGE_PX - paper.height())
    down = np.arange(low, min(EDGE_PX, low) - 1e-6, -PLACE_PX).tolist()
    return [QPointF(x, y) for x in (right, min(EDGE_PX, right)) for y in down]


def _shared(papers: Sequence[QRectF], rects: Sequence[Rect]) -> NDArray[np.float64]:
    """Return how much of some rectangles each paper covers, square pixels."""
    ours = np.array([(r.left(), r.top(), r.right(), r.bottom()) for r in papers])[:, None]
    theirs = np.array(rects, dtype=np.float64).reshape(-1, 4)[None]
    both = np.minimum(ours[..., 2:], theirs[..., 2:]) - np.maximum(ours[..., :2], theirs[..., :2])
    covered: NDArray[np.float64] = np.maximum(both, 0.0).prod(axis=-1).sum(axis=-1)
    return covered


def _laid(moment: Moment, lines: int) -> Box:
    """Return clock and legend on one line, on two, or each part on its own, at the origin."""
    title, keys = plan_metrics(TITLE_PT, bold=True), plan_metrics(KEY_PT, condensed=True)
    said = tuple(moment.title.split(PARTS)) if lines == MANY else (moment.title,)
    shown = [key for key in KEYS if key[0] in _signs(moment)]
    wide = [SIGN_PX + 5 + keys.horizontalAdvance(text) for _, text in shown]
    # in steps, or the box would jump as time goes on
    clock = STEP_PX * ceil(max(map(title.horizontalAdvance, said)) / STEP_PX)
    row, rows = max(title.height(), keys.height()), {1: 1, 2: 2}.get(lines, len(said) + len(shown))
    in_row = max(wide) if lines == MANY else sum(wide) + GAP_PX * (len(wide) - 1)
    width = clock + GAP_PX + in_row if lines == 1 else max(clock, in_row)
    first = QPointF(PAD_PX, PAD_PX + row / 2)
    at = first + (QPointF(clock + GAP_PX, 0) if lines == 1 else QPointF(0, row * len(said)))
    placed = []
    for (sign, text), room in zip(shown, wide, strict=True):
        placed.append((sign, text, at))
        at = at + (QPointF(0, row) if lines == MANY else QPointF(room + GAP_PX, 0))
    told = tuple((text, first + QPointF(0, n * row)) for n, text in enumerate(said))
    return Box(QRectF(0, 0, width + 2 * PAD_PX, rows * row + 2 * PAD_PX), told, tuple(placed))


def _signs(moment: Moment) -> tuple[str, ...]:
    """Return which signs are told of: water that comes out only where some does in this storm."""
    if not moment.drained:
        return "stands", "over"
    takes = moment.scene.after.played.takes_cfs
    return "stands", "over", "part", "full", *(("out",) if float(takes.min(initial=0.0)) < -RUNS_CFS else ())


def _paint_key(p: QPainter, sign: str, at: QPointF) -> None:
    if sign in ("part", "full"):
        paint_gauge(p, at, 1.0 if sign == "full" else 0.45, 6.0)
        return
    half = SIGN_PX / 2
    if sign == "out":
        paint_sign(p, Sign(at=(0.0, 0.0), symbol="comes out", owner=""), at.x(), at.y(), 0.6)
        return
    if sign == "stands":
        for n, (_, shade) in enumerate(look.WATER_SHADES[1:]):
            p.fillRect(QRectF(at.x() - half + n * SIGN_PX / 3, at.y() - 5, SIGN_PX / 3, 10), QColor(shade))
        return
    pen = QPen(QColor(OVER.stroke or look.INK), OVER.width_pt)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([length / OVER.width_pt for length in (5, 3)])
    p.setPen(pen)
    p.drawLine(QPointF(at.x() - half, at.y()), QPointF(at.x() + half, at.y()))
