"""Painting of a hydrograph: rain hanging from the top, flows on the left scale, levels or volumes on the right one, the moment shown."""

from itertools import pairwise

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.painter import paint_foot_tick, pen
from drainsketch.desk.panes.hydrograph_lines import Curve, Graph
from drainsketch.job.rates import format_clock
from drainsketch.look import INK, PAPER, PLAYED, QUIET, TRACES, Style
from drainsketch.sheets.axes import Axis, ticks

AXIS_PT, KEY_PT = 8.5, 9.0
RAIN_PART, FLOW_PART = 0.25, 0.78  # of the height: the rain from the top, the curves from the foot
SWATCH_PX, GAP_PX = 22.0, 14.0
STEPS_MIN = (1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)
TICK_PX = 62.0


class GraphFrame(Struct, frozen=True):
    """Where on the pane what is painted; the axes are in the units of the graph, time in minutes."""

    room: QRectF
    along: Axis
    left: Axis
    right: Axis
    rain: Axis


class Key(Struct, frozen=True):
    """A line of the key: its curve, what it says, and where."""

    curve: Curve
    text: str
    at: QPointF


def frame_of(graph: Graph, area: QRectF, head_px: float) -> GraphFrame:
    """Return where a graph is painted in an area below its key."""
    measure = plan_metrics(AXIS_PT, condensed=True)
    side = measure.horizontalAdvance("10,000") + 10
    room = area.adjusted(side, head_px + 2, -(side if graph.right else 14.0), -measure.height() - 6)
    along = Axis(graph.minutes[0], max(graph.minutes[-1], graph.minutes[0] + 1.0), room.left(), room.right())
    top = room.bottom() - FLOW_PART * max(1.0, room.height())
    rain_max = max([*graph.rain, 1e-9])
    return GraphFrame(
        room=room,
        along=along,
        left=Axis(*_span(graph, "left", 0.0), room.bottom(), top),
        right=Axis(*_span(graph, "right", graph.least_right), room.bottom(), top),
        rain=Axis(0.0, rain_max, room.top(), room.top() + RAIN_PART * room.height()),
    )


def _span(graph: Graph, scale: str, least: float) -> tuple[float, float]:
    """Return the least and greatest of what a scale has to show; flows and volumes stand on zero."""
    values = [v for c in graph.curves if c.scale == scale for v in (min(c.values), max(c.values))]
    if not values:
        return 0.0, 1.0
    low, high = min(values), max(values)
    if not graph.right.startswith("level") or scale == "left":
        low = min(0.0, low)
    span = max(high - low, least, 1e-6 if scale == "right" else 0.5)
    return low, low + span * 1.04


def paint_graph(p: QPainter, graph: Graph, frame: GraphFrame, rain_unit: str) -> None:
    """Paint what does not move: rain, axes and curves."""
    room = frame.room
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(QColor(PLAYED["rain"].fill or QUIET))
    for (a, b), rate in zip(pairwise(graph.minutes), graph.rain, strict=False):
        if rate > 0:
            x, y = frame.along.px(a), frame.rain.px(rate)
            p.drawRect(QRectF(x, room.top(), max(1.0, frame.along.px(b) - x - 0.6), y - room.top()))
    _paint_axes(p, graph, frame, rain_unit)
    p.save()
    p.setClipRect(room.adjusted(0, -2, 0, 2))
    p.setBrush(Qt.BrushStyle.NoBrush)
    for curve in sorted(graph.curves, key=lambda c: c.scale, reverse=True):
        axis = frame.left if curve.scale == "left" else frame.right
        p.setPen(_pen(TRACES[curve.style]))
        line = [QPointF(frame.along.px(m), axis.px(v)) for m, v in zip(graph.minutes, curve.values, strict=True)]
        p.drawPolyline(QPolygonF(line))
    p.restore()


def _paint_axes(p: QPainter, graph: Graph, frame: GraphFrame, rain_unit: str) -> None:
    room, measure = frame.room, plan_metrics(AXIS_PT, condensed=True)
    p.setFont(plan_font(AXIS_PT, condensed=True))
    scales: list[tuple[Axis, str, bool]] = [(frame.left, graph.left, True)] if _has(graph, "left") else []
    if graph.right:
        scales.append((frame.right, graph.right, False))
    for axis, unit, at_left in scales:
        for y, text in ticks(axis, measure.height() + 5, 1.0):
            if at_left:
                p.setPen(pen("hair"))
                p.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
            p.setPen(QColor(QUIET))
            x = room.left() - measure.horizontalAdvance(text) - 5 if at_left else room.right() + 5
            p.drawText(QPointF(x, y + measure.ascent() / 2 - 1), text)
        p.setPen(QColor(INK))
        x = room.left() + 4 if at_left else room.right() - measure.horizontalAdvance(unit) - 4
        p.drawText(QPointF(x, axis.to_px - 3), unit)
    step = next((s for s in STEPS_MIN if s * frame.along.px_per_ft >= TICK_PX), STEPS_MIN[-1])
    for n in range(int(graph.minutes[-1] // step) + 1):
        x, text = frame.along.px(n * step), format_clock(n * step)
        paint_foot_tick(p, room, x, text, measure)
    p.setPen(pen("frame"))
    p.drawLine(room.bottomLeft(), room.bottomRight())
    p.drawLine(room.bottomLeft(), room.topLeft())
    if graph.right:
        p.drawLine(room.bottomRight(), room.topRight())
    if max(graph.rain) > 0:
        said = f"rain up to {rain_unit}"
        p.setPen(QColor(QUIET))
        beside = measure.horizontalAdvance(graph.right) + 12 if graph.right else 0.0  # its unit may stand as high
        left = room.right() - beside - measure.horizontalAdvance(said) - 5
        p.drawText(QPointF(left, room.top() + measure.ascent() + 1), said)


def paint_moment(p: QPainter, frame: GraphFrame, graph: Graph, row: int) -> None:
    """Paint the moment shown: a line across all, and a dot on each curve."""
    x = frame.along.px(graph.minutes[row])
    p.setPen(QPen(QColor(PLAYED["moment"].stroke or INK), PLAYED["moment"].width_pt))
    p.drawLine(QPointF(x, frame.room.top()), QPointF(x, frame.room.bottom()))
    for curve in graph.curves:
        if curve.style == "rim":
            continue
        axis = frame.left if curve.scale == "left" else frame.right
        p.setPen(QPen(QColor(PAPER), 1.2))
        p.setBrush(QColor(TRACES[curve.style].stroke or INK))
        p.drawEllipse(QPointF(x, axis.px(curve.values[row])), 3.6, 3.6)


def key_widths(graph: Graph) -> tuple[float, ...]:
    """Return how wide what each curve says can be, so that nothing jumps while the storm plays."""
    measure = plan_metrics(KEY_PT, condensed=True)
    rows = range(0, len(graph.minutes), max(1, len(graph.minutes) // 40))
    said = ((c.told(row) for row in rows) for c in graph.curves)
    return tuple(max(map(measure.horizontalAdvance, texts)) for texts in said)


def laid_keys(
    graph: Graph, widths: tuple[float, ...], row: int, left: float, top: float, width: float
) -> tuple[list[Key], float]:
    """Return where what each curve says at a moment stands, and how high all of it is; ``widths`` are ``key_widths``."""
    measure = plan_metrics(KEY_PT, condensed=True)
    high = measure.height() + 1
    title = plan_metrics(KEY_PT, bold=True).horizontalAdvance(graph.title)
    x, y = left + title + GAP_PX, top
    keys = []
    for curve, words_px in zip(graph.curves, widths, strict=True):
        wide = SWATCH_PX + 4 + words_px
        if x + wide > left + width and x > left:
            x, y = left, y + high
        keys.append(Key(curve, curve.told(row), QPointF(x, y)))
        x += wide + GAP_PX
    return keys, y + high - top


def paint_keys(p: QPainter, graph: Graph, keys: list[Key], left: float, top: float) -> None:
    """Paint the title and the key with the values at the moment shown."""
    measure = plan_metrics(KEY_PT, condensed=True)
    p.setFont(plan_font(KEY_PT, bold=True))
    p.setPen(QColor(INK))
    p.drawText(QPointF(left, top + measure.ascent()), graph.title)
    for key in keys:
        middle = key.at.y() + measure.height() / 2
        p.setPen(_pen(TRACES[key.curve.style]))
        p.drawLine(QPointF(key.at.x(), middle), QPointF(key.at.x() + SWATCH_PX, middle))
        p.setFont(plan_font(KEY_PT, condensed=True))
        p.setPen(QColor(INK))
        p.drawText(QPointF(key.at.x() + SWATCH_PX + 4, key.at.y() + measure.ascent()), key.text)


def _has(graph: Graph, scale: str) -> bool:
    return any(c.scale == scale for c in graph.curves)


def _pen(style: Style) -> QPen:
    made = QPen(QColor(style.stroke or INK), style.width_pt)
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    if style.dash_pt:
        made.setDashPattern([length / style.width_pt for length in style.dash_pt])
    return made
