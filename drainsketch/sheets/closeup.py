"""A window of the plan cut out square and drawn larger: lines and areas end at its edge, and nothing leaves it."""

from collections.abc import Iterable, Iterator
from typing import Any

import shapely
from msgspec import Struct
from shapely import LineString, Polygon, box

from drainsketch.job.kinds import Point
from drainsketch.look import STYLES, Style
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.marks import Band, Disc, Mark, Sign, Stroke
from drainsketch.sheets.profile_picture import Drawn
from drainsketch.sheets.scale import Scale


class Window(Struct, frozen=True):
    """A window of the plan: its middle and size on the ground, and the scale it is drawn at; its lower left corner is (0, 0)."""

    center: Point
    wide_ft: float
    high_ft: float
    scale: Scale

    @property
    def size(self) -> Spot:
        """Return its width and height on paper, pt."""
        return self.wide_ft * self.scale.pt_per_ft, self.high_ft * self.scale.pt_per_ft

    @property
    def rect(self) -> Rect:
        """Return west, south, east, north, ft."""
        (x, y), u, v = self.center, self.wide_ft / 2, self.high_ft / 2
        return x - u, y - v, x + u, y + v

    def to_paper(self, point: Point) -> Spot:
        """Return where a plan point lies, pt."""
        west, south, _, _ = self.rect
        return (point[0] - west) * self.scale.pt_per_ft, (point[1] - south) * self.scale.pt_per_ft

    def holds(self, point: Point, inset_ft: float = 0.0) -> bool:
        """Return whether a plan point lies in it, so far from its edge."""
        west, south, east, north = self.rect
        return west + inset_ft <= point[0] <= east - inset_ft and south + inset_ft <= point[1] <= north - inset_ft


def cut_out(marks: Iterable[Mark], window: Window) -> list[Drawn]:
    """Return the lines and areas of marks within a window, in points; signs and labels are left to the caller."""
    frame = box(*window.rect)
    found: list[Drawn] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            found += _stroke(mark, frame, window)
        elif isinstance(mark, Band):
            strip = LineString(mark.points).buffer(mark.width_ft / 2, cap_style="flat", join_style="mitre")
            found += _area(strip, STYLES[mark.style], frame, window)
        elif isinstance(mark, Disc):
            found += _area(shapely.Point(mark.center).buffer(mark.radius_ft), STYLES[mark.style], frame, window)
    return found


def signs_in(marks: Iterable[Mark], window: Window, inset_pt: float) -> list[Sign]:
    """Return the signs that stand wholly in a window."""
    inset_ft = inset_pt / window.scale.pt_per_ft
    return [m for m in marks if isinstance(m, Sign) and window.holds(m.at, inset_ft)]


def _stroke(mark: Stroke, frame: Polygon, window: Window) -> list[Drawn]:
    style = STYLES[mark.style]
    if mark.closed and len(mark.points) > 2:
        shape = Polygon(mark.points, [h for h in mark.holes if len(h) > 2])
        return _area(shape if shape.is_valid else shapely.make_valid(shape), style, frame, window)
    if len(mark.points) < 2:
        return []
    return list(_lines(LineString(mark.points), style, frame, window))


def _area(shape: Any, style: Style, frame: Polygon, window: Window) -> list[Drawn]:
    """Return the part of an area within the window as its fill, and of its outline as lines."""
    if not shape.intersects(frame):
        return []
    found = []
    if style.fill:
        fill = Style(fill=style.fill, opacity=style.opacity)
        for part in shapely.get_parts(shape.intersection(frame)):
            if isinstance(part, Polygon) and part.area > 1e-9:
                found.append(Drawn(_on_paper(part.exterior.coords, window), fill, closed=True))
    if style.stroke:
        pen = Style(stroke=style.stroke, width_pt=style.width_pt, dash_pt=style.dash_pt)
        found += list(_lines(shape.boundary, pen, frame, window))
    return found


def _lines(shape: Any, style: Style, frame: Polygon, window: Window) -> Iterator[Drawn]:
    for part in shapely.get_parts(shape.intersection(frame)):
        if part.geom_type in ("LineString", "LinearRing") and part.length > 1e-6:
            yield Drawn(_on_paper(part.coords, window), style)


def _on_paper(coords: Iterable[Any], window: Window) -> tuple[Spot, ...]:
    return tuple(window.to_paper((float(x), float(y))) for x, y, *_ in coords)
