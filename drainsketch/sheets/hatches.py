"""Hatches of drawn sections, told apart in black and white: stone, earth, topsoil and paving, by drafting practice.

Stone is small ovals, native earth groups of slashes, topsoil short blades, concrete dots and small triangles, asphalt a dense tone of
lines, pavers bricks, base course ovals close together, sand dots (drafting practice, from memory; the patterns are our own).
"""

from collections.abc import Callable, Iterator
from math import ceil, floor
from typing import Any

import numpy as np
import shapely
from shapely import Polygon, box

from drainsketch.look import INK, Style
from drainsketch.sheets.boxes import Spot
from drainsketch.sheets.drafting import SOLID, Piece
from drainsketch.sheets.profile_picture import Drawn, Oval

PEN = Style(stroke=INK, width_pt=0.45)
LEAST_PT = 0.8  # a shorter line is left out

Region = Any  # shapely polygon
Segment = tuple[Spot, Spot]


def hatched(material: str, region: Region) -> list[Piece]:
    """Return the hatch of a material within a region, pt; nothing where it has none."""
    pattern = PATTERNS.get(material)
    if pattern is None or region.is_empty:
        return []
    shapely.prepare(region)
    return pattern(region)


def region_of(x0: float, y0: float, x1: float, y1: float, *holes: Region) -> Region:
    """Return an upright rectangle without the holes."""
    found: Region = box(x0, y0, x1, y1)
    for hole in holes:
        found = found.difference(hole)
    return found


def _spots(region: Region, step_x: float, step_y: float) -> Iterator[tuple[float, float, int]]:
    """Yield spots of a staggered grid within the bounds of a region, each with a number that varies."""
    x0, y0, x1, y1 = region.bounds
    for j in range(floor(y0 / step_y), ceil(y1 / step_y) + 1):
        for i in range(floor(x0 / step_x), ceil(x1 / step_x) + 1):
            jitter = (i * 7 + j * 13) % 5
            yield (i + (0.5 if j % 2 else 0.0)) * step_x + 0.25 * (jitter - 2), j * step_y + 0.2 * (jitter - 2), jitter


def _ovals(step: float, size: float) -> Callable[[Region], list[Piece]]:
    def pattern(region: Region) -> list[Piece]:
        found = [(x, y, size * (0.75 + 0.12 * n) / 2) for x, y, n in _spots(region, step, step * 0.8)]
        if not found:
            return []
        x, y, half = np.array(found).T
        inside = shapely.contains(region, shapely.box(x - half, y - 0.7 * half, x + half, y + 0.7 * half))
        return [Oval((u, v), h, 0.7 * h, PEN) for (u, v, h), kept in zip(found, inside.tolist(), strict=True) if kept]

    return pattern


def _cut(region: Region, lines: list[Segment]) -> list[Piece]:
    """Return the parts of lines within a region; the region is asked once for them all."""
    if not lines:
        return []
    parts = shapely.get_parts(shapely.intersection(shapely.linestrings(np.array(lines)), region))
    kept = [part for part in parts.tolist() if part.geom_type == "LineString" and part.length > LEAST_PT]
    return [Drawn(tuple((x, y) for x, y in part.coords), PEN) for part in kept]


def _earth(region: Region) -> list[Piece]:
    """Return groups of three slashes, with a gap between the groups."""
    spots = _spots(region, 15.0, 8.0)
    return _cut(region, [((x + k, y - 2.8), (x + k + 5.0, y + 2.8)) for x, y, _ in spots for k in (0.0, 2.6, 5.2)])


def _backfill(region: Region) -> list[Piece]:
    """Return single slashes, wide apart: earth that was dug and put back."""
    return _cut(region, [((x, y - 2.4), (x + 4.0, y + 2.4)) for x, y, _ in _spots(region, 9.0, 8.0)])


def _topsoil(region: Region) -> list[Piece]:
    """Return short blades."""
    return _cut(region, [((x, y - 1.2), (x + 0.5 * (n - 2), y + 1.6)) for x, y, n in _spots(region, 5.0, 4.5)])


def _dots(region: Region, spots: list[Spot], radius: float) -> list[Piece]:
    if not spots:
        return []
    x, y = np.array(spots).T
    inside = shapely.contains(region, shapely.box(x - radius, y - radius, x + radius, y + radius))
    return [Oval(spot, radius, radius, SOLID) for spot, kept in zip(spots, inside.tolist(), strict=True) if kept]


def _sand(region: Region) -> list[Piece]:
    return _dots(region, [(x, y) for x, y, _ in _spots(region, 3.0, 2.2)], 0.35)


def _concrete(region: Region) -> list[Piece]:
    """Return dots, and small triangles between them."""
    spots = list(_spots(region, 7.0, 5.0))
    corners = [((x - 1.5, y - 1.1), (x + 1.5, y - 1.1), (x, y + 1.5)) for x, y, n in spots if n in (0, 3)]
    triangles: list[Piece] = [Drawn(c, PEN, closed=True) for c in corners if region.contains(Polygon(c))]
    return triangles + _dots(region, [(x, y) for x, y, n in spots if n not in (0, 3)], 0.4)


def _asphalt(region: Region) -> list[Piece]:
    """Return lines that cross, close together."""
    x0, y0, x1, y1 = region.bounds
    high = y1 - y0
    starts = [x0 - high + 2.6 * i for i in range(ceil((x1 - x0 + high) / 2.6))]
    return _cut(region, [s for x in starts for s in (((x, y0), (x + high, y1)), ((x + high, y0), (x, y1)))])


def _pavers(region: Region) -> list[Piece]:
    x0, y0, x1, y1 = region.bounds
    return _cut(region, [((x0 + i * 12.0, y0), (x0 + i * 12.0, y1)) for i in range(1, ceil((x1 - x0) / 12.0))])


def _paving(region: Region) -> list[Piece]:
    """Return upright lines: paving nobody said the kind of."""
    x0, y0, x1, y1 = region.bounds
    return _cut(region, [((x0 + i * 4.0, y0), (x0 + i * 4.0, y1)) for i in range(1, ceil((x1 - x0) / 4.0))])


def _by_hand(region: Region) -> list[Piece]:
    """Return lines that all lean the same way, far enough apart that what lies under them is seen."""
    x0, y0, x1, y1 = region.bounds
    high = y1 - y0
    return _cut(region, [((x, y0), (x + high, y1)) for x in np.arange(x0 - high, x1, 4.2).tolist()])


PATTERNS: dict[str, Callable[[Region], list[Piece]]] = {
    "by hand": _by_hand,
    "earth": _earth,
    "backfill": _backfill,
    "stone": _ovals(6.4, 5.2),
    "base": _ovals(3.9, 3.2),
    "gravel": _ovals(4.8, 3.9),
    "topsoil": _topsoil,
    "sand": _sand,
    "concrete": _concrete,
    "asphalt": _asphalt,
    "pavers": _pavers,
    "paving": _paving,
}
