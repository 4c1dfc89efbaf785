"""What lies over the trenches: which stretch of a run goes under paving, and what is put back there instead of topsoil."""

from collections.abc import Iterable
from itertools import pairwise
from math import hypot
from typing import Any, Literal, get_args

import shapely
from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Obstacle
from drainsketch.job.sections import Sections
from drainsketch.network.shapes import shape_of

Paved = Literal["asphalt", "concrete", "brick", "gravel", "unknown"]
KINDS: tuple[Paved, ...] = get_args(Paved)
BROKEN_OUT: tuple[Paved, ...] = ("asphalt", "concrete")  # sawn, broken out and hauled off
LIFTED: tuple[Paved, ...] = ("brick",)  # lifted, set aside and laid again


class Layers(Struct, frozen=True):
    """What lies over the fill of a trench, ft: all of it, the surfacing of it, and how much of that is no earth to dig."""

    over_fill_ft: float
    surfacing_ft: float
    not_earth_ft: float

    @property
    def base_ft(self) -> float:
        """Return how thick the base course is, ft."""
        return self.over_fill_ft - self.surfacing_ft


class Stretch(Struct, frozen=True):
    """A stretch of a run under paving, stations from its downstream end, ft."""

    from_ft: float
    to_ft: float
    paved: Paved
    layers: Layers


def paved_of(obstacle: Obstacle) -> Paved:
    """Return what a piece of hardscape is made of; 'unknown' for a drive or walk of which nobody said it."""
    return "unknown" if obstacle.surface in (None, "drive-or-walk") else obstacle.surface  # type: ignore[return-value]


def layers_of(paved: Paved, sections: Sections) -> Layers:
    """Return the layers over a trench under paving; one of unknown make counts as thick as concrete, and is dug with the earth.

    Source: thicknesses of the job (``resources/catalogue/sections.toml``). Check: tests/outside/test_trench_sections.py
    """
    surfacing_in = {
        "asphalt": sections.asphalt_in,
        "concrete": sections.concrete_in,
        "brick": sections.paver_in + sections.paver_sand_in,
        "gravel": sections.gravel_in,
        "unknown": sections.concrete_in,
    }[paved]
    apart = paved in BROKEN_OUT or paved in LIFTED
    return Layers((sections.base_in + surfacing_in) / 12, surfacing_in / 12, surfacing_in / 12 if apart else 0.0)


class Paving:
    """The hardscape of a job in plan; where two pieces lie over each other the one drawn last is on top."""

    def __init__(self, obstacles: Iterable[Obstacle], sections: Sections) -> None:
        self._layers = {kind: layers_of(kind, sections) for kind in KINDS}
        hard = [o for o in obstacles if o.kind == "hardscape"]
        self.kinds: tuple[Paved, ...] = tuple(paved_of(o) for o in hard)
        self.ids: tuple[str, ...] = tuple(o.id for o in hard)
        self.shapes: list[Any] = []
        above = None
        for o in reversed(hard):
            shape = shape_of(o)
            self.shapes.insert(0, shape if above is None else shapely.difference(shape, above))
            above = shape if above is None else shapely.union(above, shape)
        self.whole = above
        self._tree = shapely.STRtree(self.shapes) if hard else None

    def at(self, point: Point) -> Paved | None:
        """Return what a place is paved with; None where it is not."""
        if self._tree is None:
            return None
        hit = self._tree.query(shapely.Point(point), predicate="intersects")
        return self.kinds[min(hit)] if len(hit) else None

    def stretches(self, points: tuple[Point, ...]) -> tuple[Stretch, ...]:
        """Return the stretches of a line that lie on paving, station rising; ``points`` begin at station 0.

        Limits: the middle of the trench counts. Source: plane geometry. Check: tests/outside/test_trench_sections.py
        """
        if self._tree is None or len(points) < 2:
            return ()
        near = self._tree.query(shapely.LineString(points), predicate="intersects").tolist()
        found, start = [], 0.0
        for a, b in pairwise(points) if near else ():
            leg = shapely.LineString((a, b))
            for number in near:
                for part in shapely.get_parts(shapely.intersection(leg, self.shapes[number])).tolist():
                    if part.geom_type == "LineString" and part.length > 1e-6:
                        ends = [start + hypot(x - a[0], y - a[1]) for x, y in (part.coords[0], part.coords[-1])]
                        kind = self.kinds[number]
                        found.append(Stretch(min(ends), max(ends), kind, self._layers[kind]))
            start += hypot(b[0] - a[0], b[1] - a[1])
        return _joined(sorted(found, key=lambda s: (s.from_ft, s.to_ft)))


def _joined(stretches: list[Stretch]) -> tuple[Stretch, ...]:
    """Return stretches with those joined that go on under the same paving; none lies over another."""
    out: list[Stretch] = []
    for s in stretches:
        start = max(s.from_ft, out[-1].to_ft) if out else s.from_ft
        if start >= s.to_ft:
            continue
        if out and out[-1].paved == s.paved and start - out[-1].to_ft < 1e-9:
            start = out.pop().from_ft
        out.append(Stretch(start, s.to_ft, s.paved, s.layers))
    return tuple(out)
