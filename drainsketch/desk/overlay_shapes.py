"""The ground study made ready for painting, once: paths in plan feet, and a picture of how deep water stands."""

from collections.abc import Iterable

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainterPath, QPolygonF

from drainsketch import look
from drainsketch.desk.view import Extent
from drainsketch.ground.results import Catchment, Contour, GroundStudy, Pond, Ring
from drainsketch.sheets.water_marks import contour_style, interval_of

SHADE_ALPHA = 153  # lines of the yard shine through


class Area(Struct, frozen=True):
    """A shape on the ground with its bounds, ft."""

    path: QPainterPath
    bounds: Extent


class Shaded(Struct, frozen=True):
    """Standing water: its shape, and its part of the picture of depths with the ground that part covers."""

    pond: Pond
    area: Area
    image: QImage
    covers: QRectF  # plan feet, y north


class Line(Struct, frozen=True):
    """All lines of one contour."""

    contour: Contour
    area: Area
    style: str


class Ready(Struct, frozen=True):
    """A ground study made ready."""

    study: GroundStudy
    ponds: tuple[Shaded, ...]
    dried: tuple[Area, ...]  # where water stands now, and no longer once the plan is built
    contours: tuple[Line, ...]
    areas: tuple[tuple[Catchment, Area], ...]


def made_ready(study: GroundStudy) -> Ready:
    """Return a ground study made ready for painting."""
    shades = depth_shades(study.depth_ft)
    interval_ft = interval_of(study.contours)
    standing = {pond.outline for pond in study.ponds}
    lines = []
    for contour in study.contours:
        path = QPainterPath()
        for line in contour.lines:
            path.addPolygon(QPolygonF([QPointF(x, y) for x, y in line.tolist()]))
        lines.append(Line(contour, _area(path), contour_style(contour.level_ft, interval_ft)))
    return Ready(
        study=study,
        ponds=tuple(_shaded(study, pond, shades) for pond in study.ponds),
        dried=tuple(_rings(p.outline) for p in study.ponds_now if p.outline not in standing),
        contours=tuple(lines),
        areas=tuple((area, _rings(area.outline)) for area in study.catchments),
    )


def depth_shades(depth_ft: NDArray[np.float64]) -> NDArray[np.uint32]:
    """Return a picture of depths, one ARGB word a cell, the north row first; the palest where no water stands."""
    depth = np.nan_to_num(depth_ft, nan=0.0)[::-1]
    deep = [at for at, _ in look.WATER_SHADES]
    colors = [QColor(color) for _, color in look.WATER_SHADES]
    words = np.full(depth.shape, SHADE_ALPHA << 24, dtype=np.uint32)
    for shift, part in ((16, QColor.red), (8, QColor.green), (0, QColor.blue)):
        words |= np.interp(depth, deep, [part(color) for color in colors]).astype(np.uint32) << shift
    return np.ascontiguousarray(words)


def _shaded(study: GroundStudy, pond: Pond, shades: NDArray[np.uint32]) -> Shaded:
    """Return standing water with its part of the picture."""
    area, grid = _rings(pond.outline), study.grid
    west, south, east, north = area.bounds
    first = max(0, int((west - grid.west_ft) / grid.cell_ft))
    last = min(grid.columns, int((east - grid.west_ft) / grid.cell_ft) + 1)
    low = max(0, int((south - grid.south_ft) / grid.cell_ft))
    high = min(grid.rows, int((north - grid.south_ft) / grid.cell_ft) + 1)
    part = np.ascontiguousarray(shades[grid.rows - high : grid.rows - low, first:last])
    rows, columns = part.shape
    image = QImage(part.tobytes(), columns, rows, 4 * columns, QImage.Format.Format_ARGB32).copy()
    covers = QRectF(
        grid.west_ft + first * grid.cell_ft,
        grid.south_ft + low * grid.cell_ft,
        columns * grid.cell_ft,
        rows * grid.cell_ft,
    )
    return Shaded(pond, area, image, covers)


def _rings(outline: Iterable[Ring]) -> Area:
    """Return the area that rings enclose; a ring within another is a hole."""
    path = QPainterPath()
    for ring in outline:
        path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ring]))
        path.closeSubpath()
    return _area(path)


def _area(path: QPainterPath) -> Area:
    box = path.boundingRect()
    return Area(path, (box.left(), box.top(), box.right(), box.bottom()))
