"""Painting of one moment of a storm on the plan: water in low ground, how full pipe is, and where water runs over the ground."""

from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, sin, sqrt

import numpy as np
from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from drainsketch import look
from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.painter import paint_sign, symbol_scale, transform_of
from drainsketch.desk.storm_scene import RUNS_CFS, Line, Scene
from drainsketch.desk.view import View
from drainsketch.ground.ponding import LEAST_DEPTH_FT
from drainsketch.ground.results import Floats
from drainsketch.job.kinds import Point
from drainsketch.sheets.marks import Sign
from drainsketch.wording import Words

FULL = 0.999
HARDLY = 0.02  # of the diameter: a film of water
APART_PX = 46.0  # between arrow heads along a way
SPEED_PX_S = 26.0  # of dashes and arrow heads
GAUGE_PX = 7.0
LEAST_PX_PER_FT = 1.5  # from farther off than this there are no words
WORDS_PT = 8.5
WATER = QColor(look.PLAYED["pipe"].stroke or look.INK)
FULL_INK = QColor(look.PLAYED["full"].stroke or look.INK)
OVER = look.PLAYED["over"]


class Moment(Struct, frozen=True):
    """What is to be painted: a moment of a storm, of today's ground or with the drains; ``gone_s`` moves the water on."""

    scene: Scene
    row: int
    drained: bool
    words: Words
    title: str
    gone_s: float = 0.0


def paint_low_ground(p: QPainter, moment: Moment, view: View) -> None:
    """Paint the water in each hollow; deeper is darker."""
    course = moment.scene.course(moment.drained)
    to_px = transform_of(view)
    p.save()
    p.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    for pool, level in zip(course.pools, course.played.stands_ft[moment.row].tolist(), strict=True):
        found = pool.picture(level)
        if found is not None:
            p.drawImage(to_px.mapRect(found.covers), found.image)
    p.restore()


def paint_water(p: QPainter, moment: Moment, view: View) -> None:
    """Paint water over passes and past inlets, in the pipe, over and out of grates, and at the outfalls."""
    scene, row = moment.scene, moment.row
    course = scene.course(moment.drained)
    played = course.played
    gauges = _paint_pipe(p, moment, view, played.flow_cfs[row], played.filled[row]) if played.runs else []
    _paint_ways(p, course.spills, played.spills_cfs[row], moment, view)  # over the pipe that they may follow
    _paint_ways(p, course.passes, played.passes_cfs[row], moment, view)
    scale = symbol_scale(view.px_per_ft)
    for at_px, part in gauges:
        paint_gauge(p, at_px, part, max(4.5, GAUGE_PX * scale))
    for name, over_ft, takes in zip(
        played.structures, played.over_ft[row].tolist(), played.takes_cfs[row].tolist(), strict=True
    ):
        at = scene.spots.get(name)
        if at is None:
            continue
        if over_ft > LEAST_DEPTH_FT and name in scene.grated:
            _paint_ring(p, view.to_px(at), over_ft, scale)
        if takes < -RUNS_CFS:
            x, y = view.to_px(at)
            paint_sign(p, Sign(at=at, symbol="comes out", owner=name), x, y, max(0.8, scale))
    for name, leaves in zip(played.outfalls, played.leaves_cfs[row].tolist(), strict=True):
        at = scene.spots.get(name)
        if at is not None and leaves > RUNS_CFS:
            _paint_outfall(p, view.to_px(at), leaves, moment.gone_s, scale)


def paint_flows(p: QPainter, moment: Moment, view: View) -> None:
    """Write how much comes out of grates and runs out at outfalls, over the words of the plan."""
    scene, row = moment.scene, moment.row
    played = scene.course(moment.drained).played
    if view.px_per_ft < LEAST_PX_PER_FT or not played.structures:
        return
    said = [
        (name, -takes, look.LEVEL_COLORS["stop"])
        for name, takes in zip(played.structures, played.takes_cfs[row].tolist(), strict=True)
    ]
    said += [
        (name, leaves, look.OVERLAND)
        for name, leaves in zip(played.outfalls, played.leaves_cfs[row].tolist(), strict=True)
    ]
    for name, flow, ink in said:
        if flow > RUNS_CFS and name in scene.spots:
            x, y = view.to_px(scene.spots[name])
            _say(p, (x, y + 13), moment.words.flow(flow), ink)


def _paint_pipe(
    p: QPainter, moment: Moment, view: View, flow_cfs: Floats, filled: Floats
) -> list[tuple[QPointF, float]]:
    """Paint runs with water in them, its width that of the filled part; return their middles, and how full they are."""
    to_px = transform_of(view)
    scale = symbol_scale(view.px_per_ft)
    gauges = []
    p.setBrush(Qt.BrushStyle.NoBrush)
    for line, flow, part in zip(moment.scene.runs, flow_cfs.tolist(), filled.tolist(), strict=True):
        if line is None or (abs(flow) < RUNS_CFS and part < HARDLY):
            continue
        full = part >= FULL
        style = look.PLAYED["full" if full else "pipe"]
        polygon = to_px.map(line.polygon)
        p.setPen(_wide(style.casing or look.INK, style.casing_pt * scale))
        p.drawPolyline(polygon)
        p.setPen(_wide(look.PAPER, style.width_pt * scale))
        p.drawPolyline(polygon)
        p.setPen(_wide(style.stroke or look.INK, max(1.2, style.width_pt * min(1.0, part)) * scale))
        p.drawPolyline(polygon)
        if abs(flow) >= RUNS_CFS:
            way = -1 if flow >= 0 else 1
            dashes = _wide(look.PAPER if full else look.INK, 1.0)
            dashes.setDashPattern([6.0, 9.0])
            dashes.setDashOffset(way * moment.gone_s * SPEED_PX_S)
            p.setPen(dashes)
            p.drawPolyline(polygon)
        gauges.append((to_px.map(QPointF(*line.middle)), part))
    return gauges


def paint_gauge(p: QPainter, at: QPointF, part: float, radius: float) -> None:
    """Paint a cut through a pipe with water in it up to a part of its diameter; a full one has a bar over it."""
    box = QRectF(at.x() - radius, at.y() - radius, 2 * radius, 2 * radius)
    full = part >= FULL
    p.setPen(QPen(QColor(look.INK), 1.4))
    p.setBrush(FULL_INK if full else QColor(look.PAPER))
    p.drawEllipse(box)
    if full:
        p.setPen(QPen(QColor(look.PAPER), 1.8))
        reach = radius * 0.55
        p.drawLine(QPointF(at.x() - reach, at.y() - reach), QPointF(at.x() + reach, at.y() + reach))
        p.drawLine(QPointF(at.x() - reach, at.y() + reach), QPointF(at.x() + reach, at.y() - reach))
        return
    half_deg = np.degrees(np.arccos(1.0 - 2.0 * min(1.0, max(0.0, part))))
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(WATER)
    inner = box.adjusted(1, 1, -1, -1)
    p.drawChord(inner, round((270.0 - half_deg) * 16), round(2 * half_deg * 16))


def _paint_ways(p: QPainter, ways: tuple[Line | None, ...], flows_cfs: Floats, moment: Moment, view: View) -> None:
    """Paint water that runs over the ground as dashes and arrow heads that move with it."""
    to_px = transform_of(view)
    for line, flow in zip(ways, flows_cfs.tolist(), strict=True):
        if line is None or flow <= RUNS_CFS:
            continue
        polygon = to_px.map(line.polygon)
        width = OVER.width_pt * min(1.8, 0.7 + sqrt(flow))
        under = QPen(QColor(look.PAPER), width + 2.4)
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.setPen(under)
        p.drawPolyline(polygon)
        dashes = QPen(QColor(OVER.stroke or look.INK), width)
        dashes.setCapStyle(Qt.PenCapStyle.FlatCap)
        dashes.setDashPattern([length / width for length in OVER.dash_pt])
        dashes.setDashOffset(-moment.gone_s * SPEED_PX_S / width)
        p.setPen(dashes)
        p.drawPolyline(polygon)
        _paint_heads(p, polygon, width, moment.gone_s)


def _paint_heads(p: QPainter, polygon: QPolygonF, width: float, gone_s: float) -> None:
    points = [(q.x(), q.y()) for q in map(polygon.at, range(polygon.size()))]
    legs = [(a, b, hypot(b[0] - a[0], b[1] - a[1])) for a, b in pairwise(points)]
    whole = sum(length for _, _, length in legs)
    count = max(1, ceil(whole / APART_PX))
    first = (gone_s * SPEED_PX_S / APART_PX) % 1.0 if count > 1 else 0.5
    stations = [(n + first) * whole / count for n in range(count)]
    size = 3.6 + width
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(QColor(OVER.stroke or look.INK))
    gone = 0.0
    for a, b, length in legs:
        for station in stations:
            if length > 0 and gone <= station < gone + length:
                part = (station - gone) / length
                tip = QPointF(a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part)
                turn = atan2(b[1] - a[1], b[0] - a[0])
                back = [turn + pi - 0.5, turn + pi + 0.5]
                p.drawPolygon(
                    QPolygonF([tip, *(tip + QPointF(size * 1.6 * cos(t), size * 1.6 * sin(t)) for t in back)])
                )
        gone += length


def _paint_ring(p: QPainter, at: Point, over_ft: float, scale: float) -> None:
    """Paint the water over a grate on a slope as a ring, larger the deeper it is."""
    radius = (9.0 + min(14.0, 60.0 * over_ft)) * scale
    fill = QColor(look.WATER_SHADES[1][1])
    fill.setAlpha(110)
    p.setPen(QPen(QColor(look.OVERLAND), 1.6))
    p.setBrush(fill)
    p.drawEllipse(QPointF(*at), radius, radius)


def _paint_outfall(p: QPainter, at: Point, leaves_cfs: float, gone_s: float, scale: float) -> None:
    """Paint ripples that go out from an outfall that runs."""
    p.setBrush(Qt.BrushStyle.NoBrush)
    reach = (12.0 + min(12.0, 8.0 * sqrt(leaves_cfs))) * scale
    for n in range(2):
        part = (gone_s * 0.7 + n / 2) % 1.0
        ink = QColor(OVER.stroke or look.INK)
        ink.setAlpha(round(235 * (1.0 - part * 0.7)))
        p.setPen(QPen(ink, 2.0))
        radius = 8.0 * scale + reach * (0.35 + 0.65 * part)
        p.drawEllipse(QPointF(*at), radius, radius)


def _wide(color: str, width: float) -> QPen:
    pen = QPen(QColor(color), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def _say(p: QPainter, at: Point, text: str, ink: str) -> None:
    """Write a flow under a place, on paper."""
    measure = plan_metrics(WORDS_PT, bold=True, condensed=True)
    wide, high = measure.horizontalAdvance(text) + 8, measure.height()
    box = QRectF(at[0] - wide / 2, at[1], wide, high)
    paper = QColor(look.PAPER)
    paper.setAlpha(225)
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(paper)
    p.drawRoundedRect(box, 3, 3)
    p.setFont(plan_font(WORDS_PT, bold=True, condensed=True))
    p.setPen(QColor(ink))
    p.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
