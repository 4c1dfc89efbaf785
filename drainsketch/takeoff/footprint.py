"""The footprint: what trenches, holes and pits take up in plan, and as much more beside them as is asked."""

from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from shapely.ops import substring

from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.works import Works

SLACK_FT = 1e-6


class Footprint:
    """The strips of trenches that are open anywhere, the square holes of basins and the pits of dry wells.

    Trenches of one width that meet two by two are joined, so that their corner is square; holes lie along east and north.
    """

    def __init__(self, works: Works, earth: Earth) -> None:
        self.runs = [r for r in earth.runs if r.cut_ft2 > 0]
        self.holes = [h for h in earth.holes if h.depth_ft > 0]
        self.pits = list(earth.pits)
        self._at = {h.structure_id: works.structures[h.structure_id].point for h in self.holes}
        self._lines = _joined([(line, r.width_ft) for r in self.runs for line in open_lines(r)])
        self._wide: dict[float, Any] = {}

    def wide(self, beyond_ft: float) -> Any:
        """Return polygons that cover it and what lies so far beyond each side of it; they overlap where trenches meet."""
        if beyond_ft not in self._wide:
            lines, widths = [line for line, _ in self._lines], np.array([width for _, width in self._lines])
            strips = shapely.buffer(lines, widths / 2 + beyond_ft, cap_style="flat", join_style="mitre")
            squares = [(*self._at[h.structure_id], h.side_ft / 2 + beyond_ft) for h in self.holes]
            boxes = [shapely.box(x - half, y - half, x + half, y + half) for x, y, half in squares]
            pits = [shapely.buffer(p.pit.shape, beyond_ft, join_style="mitre") for p in self.pits]
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
        for h in self.holes:
            is_in = region is not None and bool(shapely.intersects_xy(region, *self._at[h.structure_id]))
            total += (h.size_in / 12) ** 2 if is_in == inside else 0.0
        return total

    def owners(self, region: Any, *, inside: bool) -> tuple[str, ...]:
        """Return the runs, basins and dry wells that lie in a region, or that lie outside it somewhere."""
        ask = (lambda shape: shapely.intersects(shape, region)) if inside else (lambda s: not shapely.covers(region, s))
        runs = [r.work.run.id for r in self.runs if region is None or ask(shapely.LineString(r.work.points))]
        holes = [n for n, at in self._at.items() if region is None or ask(shapely.Point(at))]
        pits = [p.structure_id for p in self.pits if region is None or ask(p.pit.shape)]
        return (*runs, *holes, *pits)


def open_lines(run: RunEarth) -> list[Any]:
    """Return the line of a run in plan from its downstream end, where its trench is open, ft.

    Source: similar triangles between stations. Check: tests/takeoff/test_surfaces.py
    """
    work = run.work
    line = shapely.LineString(work.points[::-1])
    if work.profile is None or work.grade is None or run.dug_ft <= 0:
        return []
    station = work.profile.station_ft
    cut = work.profile.ground_ft - work.grade.inverts_at(station) + work.grade.bottom_below_invert_ft
    if (cut > 0).all():
        return [line]
    passes = np.flatnonzero(cut[:-1] * cut[1:] < 0)
    share = cut[passes] / (cut[passes] - cut[passes + 1])
    ends = np.concatenate([[station[0]], station[passes] + share * np.diff(station)[passes], [station[-1]]])
    parts = [(a, b) for a, b in pairwise(ends.tolist()) if b - a > SLACK_FT]
    return [substring(line, a, b) for a, b in parts if np.interp((a + b) / 2, station, cut) > 0]


def _joined(lines: list[tuple[Any, float]]) -> list[tuple[Any, float]]:
    """Return lines with those of one width joined where just two of all lines meet."""
    at: dict[tuple[float, float], list[int]] = {}
    for number, (line, _) in enumerate(lines):
        for end in (line.coords[0], line.coords[-1]):
            at.setdefault(end, []).append(number)
    pairs = [ns for ns in at.values() if len(ns) == 2 and ns[0] != ns[1] and lines[ns[0]][1] == lines[ns[1]][1]]
    if not pairs:
        return lines
    head = list(range(len(lines)))

    def first(number: int) -> int:
        while head[number] != number:
            number = head[number]
        return number

    for a, b in pairs:
        head[max(first(a), first(b))] = min(first(a), first(b))
    chains: dict[int, list[int]] = {}
    for number in range(len(lines)):
        chains.setdefault(first(number), []).append(number)
    out = []
    for numbers in chains.values():
        width = lines[numbers[0]][1]
        if len(numbers) == 1:
            out.append(lines[numbers[0]])
        else:
            merged = shapely.line_merge(shapely.MultiLineString([lines[n][0] for n in numbers]))
            out += [(part, width) for part in shapely.get_parts(merged).tolist()]
    return out
