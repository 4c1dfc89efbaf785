"""Painting of the ground study, in steps short enough that the window never waits; and the words that go with it."""

from collections.abc import Iterator
from functools import partial
from math import atan2, cos, floor, hypot, log2, sin

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QTransform

from drainsketch import look
from drainsketch.desk.fonts import metrics
from drainsketch.desk.layers import Step
from drainsketch.desk.overlay_shapes import Area, Line, Ready, Shaded
from drainsketch.desk.overlays import Overlays
from drainsketch.desk.painter import pen, transform_of
from drainsketch.desk.view import Extent, View
from drainsketch.ground.results import FallArrow, GroundStudy
from drainsketch.sheets.marks import Label
from drainsketch.sheets.water_marks import area_label, contour_labels, pond_label
from drainsketch.wording import Words

TINT_ALPHA = 64  # lines of the yard shine through
HATCHES = (Qt.BrushStyle.BDiagPattern, Qt.BrushStyle.FDiagPattern, Qt.BrushStyle.Dense7Pattern)
HATCH_ALPHA = 70
ARROW_PX = 46.0  # no two arrows nearer to each other
SHORT_PX, LONG_PX = 9.0, 24.0  # of an arrow: on ground of 1 in 200 and less, and of 1 in 10 and more
FLAT, STEEP = 0.005, 0.1
HEAD_PX = 4.5
ARROWS_AT_ONCE = 60
FLAT_ENOUGH = 0.001  # ft/ft; water stands rather than runs


def overlay_steps(ready: Ready, overlays: Overlays, view: View, width: float, height: float) -> Iterator[Step]:
    """Yield the steps that paint what is switched on."""
    extent, to_px = view.extent(width, height), transform_of(view)

    def seen(area: Area) -> bool:
        return meet(area.bounds, extent)

    if overlays.is_on("areas"):
        areas = enumerate(area for _, area in ready.areas)
        yield from (partial(_paint_area, area=a, number=i, to_px=to_px) for i, a in areas if seen(a))
    if overlays.is_on("water"):
        yield from (partial(_paint_dried, area=a, to_px=to_px) for a in ready.dried if seen(a))
        yield from (partial(_paint_water, shaded=s, to_px=to_px) for s in ready.ponds if seen(s.area))
    if overlays.is_on("contours"):
        yield from (partial(_paint_contour, line=one, to_px=to_px) for one in ready.contours if seen(one.area))
    if overlays.is_on("falls"):
        shown = spread(ready.study.arrows, view, extent)
        for i in range(0, len(shown), ARROWS_AT_ONCE):
            yield partial(_paint_arrows, arrows=shown[i : i + ARROWS_AT_ONCE], view=view)


def overlay_labels(study: GroundStudy, overlays: Overlays, words: Words, view: View, extent: Extent) -> Iterator[Label]:
    """Yield the words of what is switched on, for the scale of a view; levels of contours within an extent only."""
    if overlays.is_on("water"):
        yield from filter(None, (pond_label(pond, study, words) for pond in study.ponds))
    if overlays.is_on("areas"):
        yield from filter(None, (area_label(area, words) for area in study.catchments))
    if overlays.is_on("contours"):
        wide: dict[int, float] = {}
        for contour in study.contours:
            text = words.level(contour.level_ft)
            width_px = wide.setdefault(len(text), metrics("contour").horizontalAdvance(text))
            for label in contour_labels(contour, words, width_px / view.px_per_ft):
                if extent[0] <= label.at[0] <= extent[2] and extent[1] <= label.at[1] <= extent[3]:
                    yield label


def meet(a: Extent, b: Extent) -> bool:
    """Return whether two extents of the plan touch."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def spread(arrows: tuple[FallArrow, ...], view: View, extent: Extent) -> list[FallArrow]:
    """Return arrows of a part of the plan so far apart that each can be read; the same ones wherever the plan is slid to."""
    cell_ft = 2.0 ** (floor(log2(ARROW_PX / view.px_per_ft)) + 1)
    kept: dict[tuple[int, int], tuple[float, FallArrow]] = {}
    for arrow in arrows:
        x, y = arrow.at
        if extent[0] <= x <= extent[2] and extent[1] <= y <= extent[3]:
            cell = floor(x / cell_ft), floor(y / cell_ft)
            off = hypot(x / cell_ft - cell[0] - 0.5, y / cell_ft - cell[1] - 0.5)
            if cell not in kept or off < kept[cell][0]:
                kept[cell] = off, arrow
    return [arrow for _, arrow in kept.values()]


def _paint_area(p: QPainter, area: Area, number: int, to_px: QTransform) -> None:
    """Paint the ground that reaches one inlet: a tint, a hatch that differs from its neighbor's, an outline."""
    tint = QColor(look.AREA_TINTS[number % len(look.AREA_TINTS)])
    shape = to_px.map(area.path)
    line = QColor(tint.darker(150))
    line.setAlpha(HATCH_ALPHA)
    tint.setAlpha(TINT_ALPHA)
    p.setPen(Qt.PenStyle.NoPen)
    for brush in (QBrush(tint), QBrush(line, HATCHES[number % len(HATCHES)])):
        p.setBrush(brush)
        p.drawPath(shape)
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(pen("inlet area"))
    p.drawPath(shape)


def _paint_water(p: QPainter, shaded: Shaded, to_px: QTransform) -> None:
    """Paint standing water: deeper is darker."""
    shape, covers = to_px.map(shaded.area.path), shaded.covers
    p.save()
    p.setClipPath(shape)
    p.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    place = to_px.mapRect(covers)
    p.drawImage(QRectF(place), shaded.image)
    p.restore()
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(pen("standing water"))
    p.drawPath(shape)


def _paint_dried(p: QPainter, area: Area, to_px: QTransform) -> None:
    """Paint the outline alone of water that stands now, and no longer once the plan is built."""
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(pen("standing water"))
    p.drawPath(to_px.map(area.path))


def _paint_contour(p: QPainter, line: Line, to_px: QTransform) -> None:
    p.setBrush(Qt.BrushStyle.NoBrush)
    p.setPen(pen(line.style))
    p.drawPath(to_px.map(line.area.path))


def _paint_arrows(p: QPainter, arrows: list[FallArrow], view: View) -> None:
    p.setPen(pen("fall arrow"))
    p.setBrush(Qt.BrushStyle.NoBrush)
    for arrow in arrows:
        x, y = view.to_px(arrow.at)
        if arrow.slope < FLAT_ENOUGH or hypot(*arrow.toward) == 0.0:
            p.drawEllipse(QPointF(x, y), 1.6, 1.6)
            continue
        p.drawLines(arrow_lines(x, y, atan2(-arrow.toward[1], arrow.toward[0]), arrow_px(arrow.slope)))


def arrow_px(slope: float) -> float:
    """Return how long an arrow is drawn: longer where the ground is steeper, by the logarithm of the slope."""
    part = log2(min(STEEP, max(FLAT, slope)) / FLAT) / log2(STEEP / FLAT)
    return SHORT_PX + part * (LONG_PX - SHORT_PX)


def arrow_lines(x: float, y: float, turn: float, length: float) -> list[QLineF]:
    """Return the shaft and head of an arrow about a pixel, pointing at an angle (radians, clockwise from east)."""
    dx, dy = cos(turn) * length / 2, sin(turn) * length / 2
    tip = QPointF(x + dx, y + dy)
    heads = [QPointF(tip.x() - HEAD_PX * cos(turn + s), tip.y() - HEAD_PX * sin(turn + s)) for s in (0.5, -0.5)]
    return [QLineF(QPointF(x - dx, y - dy), tip), *(QLineF(tip, head) for head in heads)]
