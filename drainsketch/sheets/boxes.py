"""Boxes at any angle and where they collide: what label placing asks, as a grid that answers at once."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import cos, floor, hypot, radians, sin

from msgspec import Struct

Spot = tuple[float, float]
Rect = tuple[float, float, float, float]  # x0, y0, x1, y1


class Box(Struct, frozen=True):
    """A rectangle about its center; ``angle_deg`` as by atan2(dy, dx) in the device's own axes."""

    x: float
    y: float
    width: float
    height: float
    angle_deg: float = 0.0

    def corners(self) -> tuple[Spot, Spot, Spot, Spot]:
        """Return the four corners, going round."""
        c, s = cos(radians(self.angle_deg)), sin(radians(self.angle_deg))
        u, v = self.width / 2, self.height / 2
        a, b = (u * c - v * s, u * s + v * c), (u * c + v * s, u * s - v * c)
        return (
            (self.x + a[0], self.y + a[1]),
            (self.x + b[0], self.y + b[1]),
            (self.x - a[0], self.y - a[1]),
            (self.x - b[0], self.y - b[1]),
        )

    def hull(self) -> Rect:
        """Return the upright rectangle round the box."""
        if self.angle_deg == 0.0:
            u, v = self.width / 2, self.height / 2
            return self.x - u, self.y - v, self.x + u, self.y + v
        xs, ys = zip(*self.corners(), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    def grown(self, by: float) -> "Box":
        """Return the box with ``by`` more on every side."""
        return Box(self.x, self.y, self.width + 2 * by, self.height + 2 * by, self.angle_deg)

    def inside(self, bounds: Rect) -> bool:
        """Return whether the whole box lies within an upright rectangle."""
        x0, y0, x1, y1 = self.hull()
        return x0 >= bounds[0] and y0 >= bounds[1] and x1 <= bounds[2] and y1 <= bounds[3]

    def local(self, spot: Spot) -> Spot:
        """Return a spot in the box's own axes, from its center."""
        c, s = cos(radians(self.angle_deg)), sin(radians(self.angle_deg))
        dx, dy = spot[0] - self.x, spot[1] - self.y
        return dx * c + dy * s, dy * c - dx * s

    def nearest(self, spot: Spot) -> Spot:
        """Return the point of the box nearest to a spot."""
        u, v = self.local(spot)
        u = min(self.width / 2, max(-self.width / 2, u))
        v = min(self.height / 2, max(-self.height / 2, v))
        c, s = cos(radians(self.angle_deg)), sin(radians(self.angle_deg))
        return self.x + u * c - v * s, self.y + u * s + v * c


def rect_box(rect: Rect) -> Box:
    """Return an upright rectangle as a box."""
    x0, y0, x1, y1 = rect
    return Box((x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0)


def boxes_meet(a: Box, b: Box) -> bool:
    """Return whether two boxes overlap (touching is not overlapping), by the separating axis theorem."""
    if a.angle_deg == 0.0 == b.angle_deg:
        return abs(a.x - b.x) * 2 < a.width + b.width and abs(a.y - b.y) * 2 < a.height + b.height
    reach = hypot(a.width, a.height) + hypot(b.width, b.height)
    if hypot(a.x - b.x, a.y - b.y) * 2 >= reach:
        return False
    for one, other in ((a, b), (b, a)):
        us, vs = zip(*(one.local(p) for p in other.corners()), strict=True)
        w, h = one.width / 2, one.height / 2
        if min(us) >= w or max(us) <= -w or min(vs) >= h or max(vs) <= -h:
            return False
    return True


def line_meets(box: Box, a: Spot, b: Spot) -> bool:
    """Return whether a line segment enters a box (Liang-Barsky clipping in the box's own axes)."""
    (ax, ay), (bx, by) = box.local(a), box.local(b)
    low, high = 0.0, 1.0
    for start, step, half in ((ax, bx - ax, box.width / 2), (ay, by - ay, box.height / 2)):
        if step == 0.0:
            if abs(start) >= half:
                return False
            continue
        t0, t1 = sorted(((-half - start) / step, (half - start) / step))
        low, high = max(low, t0), min(high, t1)
        if low >= high:
            return False
    return True


class Taken:
    """What is taken already: boxes that nothing may cover and lines that are better not covered."""

    def __init__(self, cell: float = 40.0) -> None:
        self._cell = cell
        self._boxes: dict[tuple[int, int], list[Box]] = defaultdict(list)
        self._lines: dict[tuple[int, int], list[tuple[Spot, Spot, float]]] = defaultdict(list)

    def add(self, box: Box) -> None:
        """Take the place of a box."""
        for key in self._cells(box.hull()):
            self._boxes[key].append(box)

    def add_lines(self, lines: Iterable[tuple[Spot, Spot]], bounds: Rect, weight: float = 1.0) -> None:
        """Note line segments, cut into pieces of about a cell; what lies outside the bounds is left out.

        Parameters
        ----------
        weight : how bad it is to cover a piece
        """
        for a, b in lines:
            if not line_meets(rect_box(bounds), a, b):
                continue
            for one, two in _pieces(a, b, self._cell, bounds):
                for key in {self._key(one), self._key(two)}:
                    self._lines[key].append((one, two, weight))

    def free(self, box: Box) -> bool:
        """Return whether no taken box overlaps this one."""
        return not any(boxes_meet(box, other) for key in self._cells(box.hull()) for other in self._boxes.get(key, ()))

    def lines_under(self, box: Box) -> float:
        """Return how many noted pieces of line the box would cover, each counted by its weight."""
        return sum(
            weight
            for key in self._cells(box.hull())
            for a, b, weight in self._lines.get(key, ())
            if line_meets(box, a, b)
        )

    def boxes_crossed(self, a: Spot, b: Spot) -> int:
        """Return how many taken boxes a line would cross."""
        found: set[Box] = set()
        for one, two in _pieces(a, b, self._cell, None):
            for key in {self._key(one), self._key(two)}:
                found.update(box for box in self._boxes.get(key, ()) if line_meets(box, one, two))
        return len(found)

    def lines_crossed(self, a: Spot, b: Spot) -> int:
        """Return how many noted pieces of line a line would cross."""
        found: set[tuple[Spot, Spot, float]] = set()
        for one, two in _pieces(a, b, self._cell, None):
            for key in {self._key(one), self._key(two)}:
                found.update(other for other in self._lines.get(key, ()) if _cross(one, two, *other[:2]))
        return len(found)

    def _key(self, spot: Spot) -> tuple[int, int]:
        return floor(spot[0] / self._cell), floor(spot[1] / self._cell)

    def _cells(self, rect: Rect) -> Iterator[tuple[int, int]]:
        (x0, y0), (x1, y1) = self._key(rect[:2]), self._key(rect[2:])
        for i in range(x0, x1 + 1):
            for j in range(y0, y1 + 1):
                yield i, j


def _cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Return whether two segments cross."""

    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _pieces(a: Spot, b: Spot, cell: float, bounds: Rect | None) -> Iterator[tuple[Spot, Spot]]:
    """Yield the segment in pieces no longer than half a cell, only those near the bounds when bounds are given."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    low, high = 0.0, 1.0
    if bounds is not None and length > 0:
        for start, step, least, most in (
            (a[0], b[0] - a[0], bounds[0], bounds[2]),
            (a[1], b[1] - a[1], bounds[1], bounds[3]),
        ):
            if step != 0.0:
                t0, t1 = sorted(((least - start) / step, (most - start) / step))
                low, high = max(low, t0), min(high, t1)
    count = max(1, int(length * max(0.0, high - low) / (cell / 2)) + 1)
    points = [low + (high - low) * i / count for i in range(count + 1)]
    spots = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in points]
    yield from pairwise(spots)
