"""The cells of the yard as rain meets them: what covers them, how steep they are, which inlet they shed to."""

from itertools import pairwise
from math import dist

import numpy as np

from drainsketch.ground.ponding import cell_at
from drainsketch.ground.results import Bools, Floats, GroundStudy, Ints
from drainsketch.ground.seating import NONE, shared_water
from drainsketch.job.kinds import Point, SurfaceKind
from drainsketch.job.model import Downspout, Job
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
        self._shared = shared_water(ground, job.water.grate_ponding_in / 12)

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

    def takers(self, spout: Downspout) -> tuple[str, ...]:
        """Return the inlets that take the water of a downspout off the ground at its foot, in equal parts."""
        cell = self.cell_near(spout.point)
        number = int(self._reaches.ravel()[cell]) if cell is not None else 0
        if not number:
            return ()
        group = int(self._shared.group[cell])
        return self._named(self._shared.groups[group] if group != NONE else (number,))

    def together(self, inlet: str) -> tuple[str, ...]:
        """Return the inlets that take water of the same low ground in equal parts, this one among them; () where it is alone."""
        group = self._group(inlet)
        return self._named(self._shared.groups[group]) if group != NONE else ()

    def pooled_ft2(self, inlet: str) -> float:
        """Return how much ground sheds to an inlet and to others together, ft2."""
        group = self._group(inlet)
        return float((self._shared.group == group).sum()) * self.ground.grid.cell_ft**2 if group != NONE else 0.0

    def parts(self, inlet: str) -> tuple[Ints, Floats]:
        """Return the cells whose water comes to an inlet, flat numbers, and the part of each that does.

        What runs straight to its grate comes whole. What stands first in low ground comes to all inlets there (``seating.shared_water``)
        in equal parts: common practice, no source. So the parts of each cell over all inlets are 1.
        """
        number, group = self._number.get(inlet), self._group(inlet)
        if number is None:
            return np.empty(0, dtype=np.int64), np.empty(0)
        pooled: Bools = self._shared.group == group if group != NONE else np.zeros(self._reaches.size, dtype=bool)
        cells = np.flatnonzero(pooled | (self._reaches.ravel() == number) & (self._shared.group == NONE))
        return cells, np.where(pooled[cells], 1.0 / max(1, len(self.together(inlet))), 1.0)

    def _group(self, inlet: str) -> int:
        number = self._number.get(inlet, 0)
        return next((at for at, numbers in enumerate(self._shared.groups) if number in numbers), NONE)

    def _named(self, numbers: tuple[int, ...]) -> tuple[str, ...]:
        return tuple(self.ground.inlets[n - 1].id for n in sorted(numbers))

    def shares(self, job: Job, inlet: str) -> tuple[SurfaceShare, ...]:
        """Return the kinds of surface that shed to an inlet, in the order of the catalogue."""
        cells, parts = self.parts(inlet)
        if not len(cells):
            return ()
        return self._shares(job, np.zeros(len(cells), dtype=np.int64), cells, parts, 1)[0]

    def shares_by(self, job: Job, label: Ints, count: int) -> tuple[tuple[SurfaceShare, ...], ...]:
        """Return the kinds of surface of each part of the yard, in the order of the catalogue.

        Parameters
        ----------
        label : (rows, columns), the number of the part that each cell belongs to, below 0 for none
        count : how many parts there are
        """
        cells = np.flatnonzero(label.ravel() >= 0)
        return self._shares(job, label.ravel()[cells], cells, np.ones(len(cells)), count)

    def _shares(
        self, job: Job, label: Ints, cells: Ints, parts: Floats, count: int
    ) -> tuple[tuple[SurfaceShare, ...], ...]:
        """Return the kinds of surface by label of cells of which some may count in part."""
        kinds = len(SURFACE_KINDS)
        place = label * kinds + self.kinds.ravel()[cells]
        steep = self._slopes.ravel()[cells]
        known = ~np.isnan(steep)
        whole = np.bincount(place, weights=parts, minlength=count * kinds)
        rises = np.bincount(place[known], weights=(steep * parts)[known], minlength=count * kinds)
        sloping = np.bincount(place[known], weights=parts[known], minlength=count * kinds)
        slope = np.divide(rises, sloping, out=np.zeros(len(rises)), where=sloping > 0)
        cell_ft2 = self.ground.grid.cell_ft**2
        return tuple(
            tuple(
                share_of(job, kind, float(whole[at]) * cell_ft2, float(slope[at]))
                for at, kind in enumerate(SURFACE_KINDS, start=part * kinds)
                if whole[at] > 0
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
