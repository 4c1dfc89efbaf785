"""The footprint: what trenches, holes and pits take up in plan, and as much more beside them as is asked."""

from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from msgspec import Struct
from shapely.ops import substring

from drainsketch.job.kinds import Point
from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.works import Works

SLACK_FT = 1e-6
Line = tuple[Point, ...]


class Strip(Struct, frozen=True):
    """A trench in plan: its whole line, where it is open, and its width."""

    run_id: str
    points: Line
    open_lines: tuple[Line, ...]
    width_ft: float


class Square(Struct, frozen=True):
    """The hole of a basin in plan."""

    structure_id: str
    at: Point
    side_ft: float
    size_in: int


class Cut(Struct, frozen=True):
    """All that is dug, in plan."""

    strips: tuple[Strip, ...]
    squares: tuple[Square, ...]
    pits: tuple[tuple[str, Line], ...]


def cut_of(works: Works, earth: Earth) -> Cut:
    """Return what is dug in plan: trenches that are open anywhere, holes of basins, pits of dry wells."""
    runs = [r for r in earth.runs if r.cut_ft2 > 0]
    return Cut(
        tuple(Strip(r.work.run.id, r.work.points, open_lines(r), r.width_ft) for r in runs),
        tuple(
            Square(h.structure_id, works.structures[h.structure_id].point, h.side_ft, h.size_in)
            for h in earth.holes
            if h.depth_ft > 0
        ),
        tuple((p.structure_id, p.pit.outline) for p in earth.pits),
    )


class Footprint:
    """What is dug in plan as shapes.

    Trenches of one width that meet two by two are joined, so that their corner is square; holes lie along east and north.
    """

    def __init__(self, cut: Cut) -> None:
        self.cut = cut
        lines = _joined([(points, s.width_ft) for s in cut.strips for points in s.open_lines])
        self._lines = _lines([points for points, _ in lines])
        self._widths = np.array([width for _, width in lines])
        self._wide: dict[float, Any] = {}

    def wide(self, beyond_ft: float) -> Any:
        """Return polygons that cover it and what lies so far beyond each side of it; they overlap where trenches meet."""
        if beyond_ft not in self._wide:
            strips = shapely.buffer(self._lines, self._widths / 2 + beyond_ft, cap_style="flat", join_style="mitre")
            at = np.array([h.at for h in self.cut.squares]).reshape(-1, 2)
            half = np.array([h.side_ft / 2 + beyond_ft for h in self.cut.squares]).reshape(-1, 1)
            boxes = shapely.box(*(at - half).T, *(at + half).T)
            pits = [shapely.buffer(shapely.Polygon(at), beyond_ft, join_style="mitre") for _, at in self.cut.pits]
            self._wide[beyond_ft] = np.array([*strips, *boxes, *pits], dtype=object)
        return self._wide[beyond_ft]

    def within(self, region: Any, beyond_ft: float) -> Any:
        """Return what of it, and so far beyond it, lies in a region, as one shape."""
        strips = self.wide(beyond_ft)
        if region is None or not len(strips):
            return shapely.Polygon()
        near = shapely.STRtree(strips).query(region, predicate="intersects")
        return shapely.intersection(shapely.union_all(strips[np.sort(near)]), region)

    def bodies_ft2(self, region: Any, *, inside: bool) -> float:
        """Return the area of the basins whose middle lies in a region, or outside it, ft2: there is a grate, not turf."""
        total = 0.0
        for h in self.cut.squares:
            is_in = region is not None and bool(shapely.intersects_xy(region, *h.at))
            total += (h.size_in / 12) ** 2 if is_in == inside else 0.0
        return total

    def owners(self, region: Any, *, inside: bool) -> tuple[str, ...]:
        """Return the runs, basins and dry wells that lie in a region, or that lie outside it somewhere."""
        ask = (lambda shape: shapely.intersects(shape, region)) if inside else (lambda s: not shapely.covers(region, s))
        shapes: list[tuple[str, Any]] = [(s.run_id, shapely.LineString(s.points)) for s in self.cut.strips]
        shapes += [(h.structure_id, shapely.Point(h.at)) for h in self.cut.squares]
        shapes += [(name, shapely.Polygon(at)) for name, at in self.cut.pits]
        return tuple(name for name, shape in shapes if region is None or ask(shape))


def open_lines(run: RunEarth) -> tuple[Line, ...]:
    """Return where a run's trench is open, as lines in plan from its downstream end.

    Source: similar triangles between stations. Check: tests/takeoff/test_surfaces.py
    """
    work = run.work
    points = work.points[::-1]
    if run.dug_ft >= run.extent_ft - SLACK_FT:
        return (points,)
    assert work.profile is not None
    assert work.grade is not None  # or nothing would be dug
    station = work.profile.station_ft
    cut = work.profile.ground_ft - work.grade.inverts_at(station) + work.grade.bottom_below_invert_ft
    passes = np.flatnonzero(cut[:-1] * cut[1:] < 0)
    share = cut[passes] / (cut[passes] - cut[passes + 1])
    ends = np.concatenate([[station[0]], station[passes] + share * np.diff(station)[passes], [station[-1]]])
    parts = [(a, b) for a, b in pairwise(ends.tolist()) if b - a > SLACK_FT]
    line = shapely.LineString(points)
    return tuple(_points(substring(line, a, b)) for a, b in parts if np.interp((a + b) / 2, station, cut) > 0)


def _points(line: Any) -> Line:
    return tuple((x, y) for x, y in line.coords)


def _lines(lines: list[Line]) -> Any:
    """Return shapely lines through points, made in one go."""
    points = np.array([p for line in lines for p in line]).reshape(-1, 2)
    return shapely.linestrings(points, indices=np.repeat(np.arange(len(lines)), [len(line) for line in lines]))


def _joined(lines: list[tuple[Line, float]]) -> list[tuple[Line, float]]:
    """Return lines with those of one width joined where just two of all lines meet."""
    at: dict[Point, list[int]] = {}
    for number, (points, _) in enumerate(lines):
        for end in (points[0], points[-1]):
            at.setdefault(end, []).append(number)
    out = list(lines)
    goes = list(range(len(lines)))  # where a line went that was joined to another
    for end, numbers in at.items():
        if len(numbers) != 2:
            continue
        one, other = (_found(goes, n) for n in numbers)
        if one == other or out[one][1] != out[other][1]:
            continue
        a, b = out[one][0], out[other][0]
        a = a if a[-1] == end else a[::-1]
        b = b if b[0] == end else b[::-1]
        out[one] = ((*a, *b[1:]), out[one][1])
        goes[other] = one
    return [line for number, line in enumerate(out) if goes[number] == number]


def _found(goes: list[int], number: int) -> int:
    while goes[number] != number:
        number = goes[number]
    return number
