"""The cells of the yard as rain meets them: what covers them, how steep they are, which inlet they shed to."""

from itertools import pairwise
from math import dist

import numpy as np

from drainsketch.ground.ponding import cell_at
from drainsketch.ground.results import Floats, GroundStudy, Ints
from drainsketch.job.model import Downspout, Job, Point, SurfaceKind
from drainsketch.water.concentration import Stretch
from drainsketch.water.covers import Kinds, covers_of, slopes_of
from drainsketch.water.results import SurfaceShare
from drainsketch.water.surfaces import SURFACE_KINDS, coefficient, surface

STEP_FT = 2.0  # along the way, how often the surface is looked at
SPLASH_FT = 4.0  # common practice, no source: roof water of a loose downspout lands this near to it


class Field:
    """The cells of the yard with what covers them, how steep they are and which inlet they shed to."""

    def __init__(self, job: Job, ground: GroundStudy) -> None:
        assert ground.reaches is not None  # there are inlets
        self.ground = ground
        self.kinds: Kinds = covers_of(job, ground)
        self._slopes: Floats = slopes_of(ground)
        self._reaches = ground.reaches
        self._number = {inlet.id: n for n, inlet in enumerate(ground.inlets, start=1)}

    def cell_near(self, point: Point) -> int | None:
        """Return the flat number of the cell of known ground that roof water set down at a place lands on; None where there is none near."""
        grid = self.ground.grid
        row, column = cell_at(grid, point)
        reach = max(1, round(SPLASH_FT / grid.cell_ft))
        rows = slice(max(0, row - reach), max(0, row + reach + 1))
        columns = slice(max(0, column - reach), max(0, column + reach + 1))
        known = np.argwhere(~np.isnan(self.ground.ground_ft[rows, columns])) + np.array((rows.start, columns.start))
        if not len(known):
            return None
        at = known[np.hypot(*(known - np.array((row, column))).T).argmin()]
        return int(at[0] * grid.columns + at[1])

    def inlet_at(self, spout: Downspout) -> str:
        """Return the inlet that the ground at the foot of a downspout drains to, or ''."""
        cell = self.cell_near(spout.point)
        number = int(self._reaches.ravel()[cell]) if cell is not None else 0
        return self.ground.inlets[number - 1].id if number else ""

    def shares(self, job: Job, inlet: str) -> tuple[SurfaceShare, ...]:
        """Return the kinds of surface that shed to an inlet, in the order of the catalogue."""
        number = self._number.get(inlet)
        return self.shares_by(job, np.where(self._reaches == number, 0, -1), 1)[0] if number is not None else ()

    def shares_by(self, job: Job, label: Ints, count: int) -> tuple[tuple[SurfaceShare, ...], ...]:
        """Return the kinds of surface of each part of the yard, in the order of the catalogue.

        Parameters
        ----------
        label : (rows, columns), the number of the part that each cell belongs to, below 0 for none
        count : how many parts there are
        """
        kinds, mine = len(SURFACE_KINDS), label >= 0
        place = label[mine] * kinds + self.kinds[mine]
        steep = self._slopes[mine]
        known = ~np.isnan(steep)
        cells = np.bincount(place, minlength=count * kinds)
        rises = np.bincount(place[known], weights=steep[known], minlength=count * kinds)
        slope = rises / np.maximum(np.bincount(place[known], minlength=count * kinds), 1)
        cell_ft2 = self.ground.grid.cell_ft**2
        return tuple(
            tuple(
                share_of(job, kind, float(cells[at]) * cell_ft2, float(slope[at]))
                for at, kind in enumerate(SURFACE_KINDS, start=part * kinds)
                if cells[at]
            )
            for part in range(count)
        )

    def way(self, inlet: str) -> tuple[Stretch, ...]:
        """Return the longest way to an inlet in stretches of one surface each."""
        way = self.ground.ways.get(inlet)
        return self.stretches(way.points, way.levels_ft) if way is not None else ()

    def stretches(self, points: tuple[Point, ...], levels_ft: tuple[float, ...]) -> tuple[Stretch, ...]:
        """Return a way over the ground in stretches of one surface each."""
        pieces: list[tuple[SurfaceKind, float, float]] = []  # kind, length, fall
        for (a, za), (b, zb) in pairwise(zip(points, levels_ft, strict=True)):
            length = dist(a, b)
            count = max(1, round(length / STEP_FT))
            for i in range(count):
                t = (i + 0.5) / count
                kind = self._kind_at(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                part, fall = length / count, (za - zb) / count
                if pieces and pieces[-1][0] == kind:
                    part, fall = part + pieces[-1][1], fall + pieces[-1][2]
                    pieces.pop()
                pieces.append((kind, part, fall))
        return tuple(
            Stretch(length, fall / length, surface(kind).sheet_n, surface(kind).shallow_k)
            for kind, length, fall in pieces
            if length > 0
        )

    def _kind_at(self, x_ft: float, y_ft: float) -> SurfaceKind:
        """Return what covers the ground at a place."""
        row, column = cell_at(self.ground.grid, (x_ft, y_ft))
        row, column = min(max(row, 0), self.ground.grid.rows - 1), min(max(column, 0), self.ground.grid.columns - 1)
        return SURFACE_KINDS[int(self.kinds[row, column])]


def share_of(job: Job, kind: SurfaceKind, area_ft2: float, slope: float) -> SurfaceShare:
    """Return an area of a kind of surface with its coefficient: the job's own, or the catalogue's at this slope (ft/ft)."""
    for rule in job.water.coefficients:
        if rule.surface == kind:
            return SurfaceShare(kind, area_ft2, rule.c, "typed for this job")
    found = coefficient(kind, slope)
    return SurfaceShare(kind, area_ft2, found.used, found.source)
