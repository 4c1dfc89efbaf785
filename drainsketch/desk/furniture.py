"""What stands on the plan besides the yard: grid, scale bar, north arrow, the first hint, the flash on a place."""

from collections.abc import Iterator
from math import ceil, floor, log10

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from drainsketch import look
from drainsketch.desk.fonts import plan_font
from drainsketch.desk.painter import paint_symbol
from drainsketch.desk.view import View
from drainsketch.job.kinds import Point, Units
from drainsketch.job.units import METER_PER_FOOT
from drainsketch.sheets.boxes import Rect

FIRST_HINT = (
    "Start with the lot line, or with the house.",
    "Press L and click the corners; type a length such as 23' 6 and Enter while you draw.",
    "Then put in the services that are marked, a few levels, basins, an outfall, and the pipe between them.",
)
BOOK_HINT = "Nothing is drawn yet; the level book holds readings."
GRID_PX = 44.0  # no grid line nearer to the next
BAR_PX = 110.0  # the scale bar is about this long
BAR_PT = 8.0  # its figures
EDGE_PX = 18.0


def unit_ft(units: Units) -> tuple[float, str]:
    """Return the unit of grid and scale bar in feet, and its sign."""
    return (1 / float(METER_PER_FOOT), "m") if units == "m" else (1.0, "ft")


def round_step(at_least: float) -> float:
    """Return the least of 1, 2 and 5 times a power of ten that is not below a number above zero.

    Examples
    --------
    >>> round_step(3.2), round_step(0.7), round_step(51)
    (5.0, 1.0, 100.0)
    """
    power = 10.0 ** floor(log10(at_least))
    return float(next(m * power for m in (1, 2, 5, 10) if m * power >= at_least * (1 - 1e-9)))


def paint_grid(p: QPainter, view: View, width: float, height: float, units: Units) -> None:
    """Paint a light grid with every fifth line a little stronger."""
    one, _ = unit_ft(units)
    step = round_step(GRID_PX / view.px_per_ft / one) * one
    west, south, east, north = view.extent(width, height)
    p.save()
    p.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    light, strong = QColor(look.GRID), QColor(look.GRID).darker(107)
    for i in range(ceil(west / step), floor(east / step) + 1):
        p.setPen(QPen(strong if i % 5 == 0 else light, 1))
        x = round(view.to_px((i * step, 0.0))[0])
        p.drawLine(x, 0, x, ceil(height))
    for i in range(ceil(south / step), floor(north / step) + 1):
        p.setPen(QPen(strong if i % 5 == 0 else light, 1))
        y = round(view.to_px((0.0, i * step))[1])
        p.drawLine(0, y, ceil(width), y)
    p.restore()


def scale_bar(view: View, units: Units) -> tuple[float, float, str]:
    """Return the length of the scale bar in its unit, in pixels, and the unit's sign."""
    one, sign = unit_ft(units)
    length = round_step(BAR_PX * 0.6 / view.px_per_ft / one)
    return length, length * one * view.px_per_ft, sign


def corners_taken(view: View, shown: Rect, units: Units) -> list[Rect]:
    """Return the rectangles of scale bar and north arrow in a picture of which this part is shown, pixels."""
    left, top, right, bottom = shown
    bar = _bar_box(view, bottom - top, units).translated(left, top)
    north = QRectF(right - EDGE_PX - 36, top + EDGE_PX - 10, 40, 68)
    return [(box.left(), box.top(), box.right(), box.bottom()) for box in (bar, north)]


def _bar_box(view: View, height: float, units: Units) -> QRectF:
    """Return the paper on which the scale bar stands."""
    length, pixels, sign = scale_bar(view, units)
    measure = QFontMetricsF(plan_font(BAR_PT))
    wide = pixels + measure.horizontalAdvance(f"{length:g} {sign}") / 2 + 16
    return QRectF(EDGE_PX - 8, height - EDGE_PX - 13 - measure.height(), wide, measure.height() + 20)


def paint_scale_bar(p: QPainter, view: View, height: float, units: Units) -> None:
    """Paint the scale bar in the lower left corner: four fields, light and dark."""
    length, pixels, sign = scale_bar(view, units)
    left, top = EDGE_PX, height - EDGE_PX - 7
    font = plan_font(BAR_PT)
    measure = QFontMetricsF(font)
    tags = [(part, f"{length * part:g}") for part in (0.0, 0.5, 1.0)]
    tags[2] = (1.0, f"{length:g} {sign}")
    paper = QColor(look.PAPER)
    paper.setAlpha(215)
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(paper)
    p.drawRoundedRect(_bar_box(view, height, units), 4, 4)
    p.setPen(QPen(QColor(look.INK), 1.0))
    for i in range(4):
        p.setBrush(QColor(look.INK if i % 2 == 0 else look.PAPER))
        p.drawRect(QRectF(left + pixels * i / 4, top, pixels / 4, 6))
    p.setFont(font)
    for part, text in tags:
        x = left + pixels * part - (measure.horizontalAdvance(text) / 2 if part else 0)
        p.drawText(QPointF(x, top - 5), text)


def paint_note(p: QPainter, size: tuple[float, float], note: str) -> None:
    """Write how things stand with what is shown, quietly, at the foot of the plan."""
    if not note:
        return
    font = plan_font(8.5)
    measure = QFontMetricsF(font)
    wide, high = measure.horizontalAdvance(note) + 16, measure.height() + 8
    box = QRectF(size[0] - EDGE_PX - wide, size[1] - EDGE_PX - high, wide, high)
    paper = QColor(look.PAPER)
    paper.setAlpha(225)
    p.setPen(QPen(QColor(look.GRID).darker(112), 1.0))
    p.setBrush(paper)
    p.drawRoundedRect(box, 4.0, 4.0)
    p.setFont(font)
    p.setPen(QColor(look.QUIET))
    p.drawText(box, Qt.AlignmentFlag.AlignCenter, note)


def paint_north(p: QPainter, width: float) -> None:
    """Paint the north arrow in the upper right corner."""
    p.save()
    p.translate(width - EDGE_PX - 16, EDGE_PX + 34)
    paint_symbol(p, look.SYMBOLS["north"])
    p.setFont(plan_font(10.0, bold=True))
    p.setPen(QColor(look.INK))
    p.drawText(QRectF(-20, -44, 40, 20), Qt.AlignmentFlag.AlignCenter, "N")
    p.restore()


def paint_first_hint(p: QPainter, width: float, height: float, notice: str = "") -> None:
    """Write where to begin in the middle of an empty plan, or a notice instead."""
    first, *others = (notice,) if notice else FIRST_HINT
    top = height * 0.42
    p.setPen(QColor(look.INK))
    p.setFont(plan_font(15.0, bold=True))
    p.drawText(QRectF(20, top - 34, width - 40, 30), Qt.AlignmentFlag.AlignCenter, first)
    p.setFont(plan_font(10.5))
    p.setPen(QColor(look.QUIET))
    flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
    p.drawText(QRectF(20, top + 6, width - 40, 120), flags, "\n".join(others))


def paint_flash(p: QPainter, at: Point, view: View, gone: float) -> None:
    """Paint rings that close in on a place; ``gone`` runs from 0 to 1."""
    x, y = view.to_px(at)
    for ring in _rings(gone):
        color = QColor(look.SELECTED)
        color.setAlpha(int(200 * (1.0 - gone)))
        p.setPen(QPen(color, 3.0))
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.drawEllipse(QPointF(x, y), ring, ring)


def paint_station(p: QPainter, at: Point, view: View) -> None:
    """Paint a ring with a cross hair on the place that the pointer reads in the profile."""
    x, y = view.to_px(at)
    for color, width in ((look.PAPER, 4.5), (look.SNAP, 2.0)):
        p.setPen(QPen(QColor(color), width))
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.drawEllipse(QPointF(x, y), 7.0, 7.0)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            p.drawLine(QPointF(x + 7 * dx, y + 7 * dy), QPointF(x + 13 * dx, y + 13 * dy))


def _rings(gone: float) -> Iterator[float]:
    yield 14.0 + 46.0 * (1.0 - gone)
    yield 14.0
