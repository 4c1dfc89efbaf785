"""What arrives at each inlet: the areas that shed to it, by kind of surface, and how long their water takes."""

from itertools import pairwise
from math import dist

import numpy as np

from drainsketch.ground.ponding import cell_at
from drainsketch.ground.results import Floats, GroundStudy, Way
from drainsketch.job.model import Downspout, Job, Structure, SurfaceKind
from drainsketch.water.concentration import Concentration, Stretch, concentration
from drainsketch.water.covers import Kinds, covers_of, lawn_of, slopes_of
from drainsketch.water.rain import intensity_in_h
from drainsketch.water.results import Arrival, SurfaceShare
from drainsketch.water.runoff import peak_cfs
from drainsketch.water.surfaces import SURFACE_KINDS, coefficient, composite_c, storm_c, surface

STEP_FT = 2.0  # along the way, how often the surface is looked at
SPLASH_FT = 4.0  # common practice, no source: roof water of a loose downspout lands this near to it
TYPED = "typed"


def arrivals_of(job: Job, ground: GroundStudy | None, served: tuple[str, ...]) -> dict[str, Arrival]:
    """Return what arrives at each inlet that anything is known to shed to, by inlet.

    Ground goes to basins as it falls, roofs to the inlet that their downspout is joined to; a loose downspout sheds to the inlet
    that the ground at its foot drains to. An area, a coefficient or a time that was typed stands in place of what was found.

    Parameters
    ----------
    ground : what water does on the surface; None where no shots say
    served : the inlets with pipe to an outfall

    Raises
    ------
    ValueError : the rain of the job lacks something (``rain.lacking``)

    Source: rational method, HEC-22 section 3.2 (from memory). Check: tests/water/test_arrivals.py
    """
    field = _Field(job, ground) if ground is not None and ground.inlets else None
    joined = {s.downspout: s.id for s in job.structures if s.downspout is not None}
    loose: dict[str, list[Downspout]] = {}
    for spout in job.downspouts:
        if spout.id not in joined and spout.roof_area_ft2 > 0 and field is not None:
            loose.setdefault(field.inlet_at(spout), []).append(spout)
    out = {}
    for s in job.structures:
        if s.id not in served:
            continue
        own = [d for d in job.downspouts if joined.get(d.id) == s.id]
        found = _arrival(job, s, field, [*own, *loose.get(s.id, [])])
        if found is not None:
            out[s.id] = found
    return out


class _Field:
    """The cells of the yard with what covers them, how steep they are and which inlet they shed to."""

    def __init__(self, job: Job, ground: GroundStudy) -> None:
        assert ground.reaches is not None  # there are inlets
        self.ground = ground
        self.kinds: Kinds = covers_of(job, ground)
        self._slopes: Floats = slopes_of(ground)
        self._reaches = ground.reaches
        self._number = {inlet.id: n for n, inlet in enumerate(ground.inlets, start=1)}

    def inlet_at(self, spout: Downspout) -> str:
        """Return the inlet that the ground at the foot of a downspout drains to, or ''."""
        row, column = cell_at(self.ground.grid, spout.point)
        reach = max(1, round(SPLASH_FT / self.ground.grid.cell_ft))
        rows = slice(max(0, row - reach), max(0, row + reach + 1))
        columns = slice(max(0, column - reach), max(0, column + reach + 1))
        z = self.ground.ground_ft[rows, columns]
        known = np.argwhere(~np.isnan(z))
        if not len(known):
            return ""
        off = np.hypot(known[:, 0] + rows.start - row, known[:, 1] + columns.start - column)
        at = known[off.argmin()]
        number = int(self._reaches[rows, columns][tuple(at)])
        return self.ground.inlets[number - 1].id if number else ""

    def shares(self, job: Job, inlet: str) -> tuple[SurfaceShare, ...]:
        """Return the kinds of surface that shed to an inlet, in the order of the catalogue."""
        number = self._number.get(inlet)
        if number is None:
            return ()
        mine = self._reaches == number
        out = []
        for place in np.unique(self.kinds[mine]).tolist():
            kind: SurfaceKind = SURFACE_KINDS[place]
            cells = mine & (self.kinds == place)
            steep = self._slopes[cells]
            known = steep[~np.isnan(steep)]
            slope = float(known.mean()) if len(known) else 0.0
            out.append(share_of(job, kind, float(cells.sum()) * self.ground.grid.cell_ft**2, slope))
        return tuple(out)

    def way(self, inlet: str) -> tuple[Stretch, ...]:
        """Return the longest way to an inlet in stretches of one surface each."""
        way = self.ground.ways.get(inlet)
        return _stretches(way, self) if way is not None else ()

    def kind_at(self, x_ft: float, y_ft: float) -> SurfaceKind:
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


def _arrival(job: Job, s: Structure, field: _Field | None, spouts: list[Downspout]) -> Arrival | None:
    ground = field.shares(job, s.id) if field is not None else ()
    if s.area_ft2 is not None:
        mean = composite_c((share.area_ft2, share.c) for share in ground) if ground else None
        c = s.runoff_c if s.runoff_c is not None else mean
        source = "typed for this inlet" if s.runoff_c is not None else "mean of what the shots say sheds to it"
        if c is None:
            lawn = share_of(job, lawn_of(job), s.area_ft2, 0.0)
            c, source = lawn.c, lawn.source
        ground = (SurfaceShare(TYPED, s.area_ft2, c, source),)
    elif s.runoff_c is not None:
        ground = tuple(SurfaceShare(x.surface, x.area_ft2, s.runoff_c, "typed for this inlet") for x in ground)
    roofs = sum(d.roof_area_ft2 for d in spouts)
    shares = (*ground, *((share_of(job, "roof", roofs, 0.0),) if roofs else ()))
    area = sum(share.area_ft2 for share in shares)
    if area <= 0:
        return None
    time: Concentration | None = None
    minutes = s.tc_min
    if minutes is None:
        way = field.way(s.id) if field is not None and s.area_ft2 is None else ()
        time = concentration(way, rain=job.rain, minimum_min=job.water.least_tc_min)
        minutes = time.minutes
    c = composite_c((share.area_ft2, share.c) for share in shares)
    rarer = storm_c(c, job.rain.return_period_yr if job.rain.intensity_in_h is None else None)
    rain = intensity_in_h(job.rain, minutes)
    return Arrival(s.id, shares, area, c, rarer, time, minutes, rain, peak_cfs(rarer, rain.value, area))


def _stretches(way: Way, field: _Field) -> tuple[Stretch, ...]:
    pieces: list[tuple[SurfaceKind, float, float]] = []  # kind, length, fall
    for (a, za), (b, zb) in pairwise(zip(way.points, way.levels_ft, strict=True)):
        length = dist(a, b)
        count = max(1, round(length / STEP_FT))
        for i in range(count):
            t = (i + 0.5) / count
            kind = field.kind_at(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
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
