"""Hatches of drawn sections, told apart in black and white: stone, earth, topsoil and paving, by drafting practice.

Stone is small ovals, native earth groups of slashes, topsoil short blades, concrete dots and small triangles, asphalt a dense tone of
lines, pavers bricks, base course ovals close together, sand dots (drafting practice, from memory; the patterns are our own).
"""

from collections.abc import Callable, Iterator
from math import ceil, floor
from typing import Any

import shapely
from shapely import LineString, Point, Polygon, box

from drainsketch.look import INK, Style
from drainsketch.sheets.drafting import SOLID, Piece
from drainsketch.sheets.profile_picture import Drawn, Oval

PEN = Style(stroke=INK, width_pt=0.45)
EDGE_PT = 0.4

Region = Any  # shapely polygon


def hatched(material: str, region: Region) -> list[Piece]:
    """Return the hatch of a material within a region, pt; nothing where it has none."""
    pattern = PATTERNS.get(material)
    if pattern is None or region.is_empty:
        return []
    shapely.prepare(region)
    return list(pattern(region))


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


def _ovals(step: float, size: float) -> Callable[[Region], Iterator[Piece]]:
    def pattern(region: Region) -> Iterator[Piece]:
        for x, y, n in _spots(region, step, step * 0.8):
            half = size * (0.75 + 0.12 * n) / 2
            if region.contains(box(x - half, y - 0.7 * half, x + half, y + 0.7 * half)):
                yield Oval((x, y), half, 0.7 * half, PEN)

    return pattern


def _lines(region: Region, a: tuple[float, float], b: tuple[float, float]) -> Iterator[Piece]:
    for part in shapely.get_parts(region.intersection(LineString([a, b]))):
        if isinstance(part, LineString) and part.length > 0.8:
            yield Drawn(tuple((x, y) for x, y in part.coords), PEN)


def _earth(region: Region) -> Iterator[Piece]:
    """Yield groups of three slashes, with a gap between the groups."""
    for x, y, _ in _spots(region, 15.0, 8.0):
        for k in (0.0, 2.6, 5.2):
            yield from _lines(region, (x + k, y - 2.8), (x + k + 5.0, y + 2.8))


def _backfill(region: Region) -> Iterator[Piece]:
    """Yield single slashes, wide apart: earth that was dug and put back."""
    for x, y, _ in _spots(region, 9.0, 8.0):
        yield from _lines(region, (x, y - 2.4), (x + 4.0, y + 2.4))


def _topsoil(region: Region) -> Iterator[Piece]:
    """Yield short blades."""
    for x, y, n in _spots(region, 5.0, 4.5):
        yield from _lines(region, (x, y - 1.2), (x + 0.5 * (n - 2), y + 1.6))


def _sand(region: Region) -> Iterator[Piece]:
    for x, y, _ in _spots(region, 3.0, 2.2):
        if region.contains(Point(x, y).buffer(0.5)):
            yield Oval((x, y), 0.35, 0.35, SOLID)


def _concrete(region: Region) -> Iterator[Piece]:
    for x, y, n in _spots(region, 7.0, 5.0):
        if n in (0, 3):
            corners = ((x - 1.5, y - 1.1), (x + 1.5, y - 1.1), (x, y + 1.5))
            if region.contains(Polygon(corners)):
                yield Drawn(corners, PEN, closed=True)
        elif region.contains(Point(x, y).buffer(0.5)):
            yield Oval((x, y), 0.4, 0.4, SOLID)


def _asphalt(region: Region) -> Iterator[Piece]:
    x0, y0, x1, y1 = region.bounds
    high = y1 - y0
    x = x0 - high
    while x < x1:
        yield from _lines(region, (x, y0), (x + high, y1))
        yield from _lines(region, (x + high, y0), (x, y1))
        x += 2.6


def _pavers(region: Region) -> Iterator[Piece]:
    x0, y0, x1, y1 = region.bounds
    for i in range(1, ceil((x1 - x0) / 12.0)):
        yield from _lines(region, (x0 + i * 12.0, y0), (x0 + i * 12.0, y1))


PATTERNS: dict[str, Callable[[Region], Iterator[Piece]]] = {
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
}
