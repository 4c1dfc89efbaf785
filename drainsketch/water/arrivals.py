"""What arrives at each inlet: the areas that shed to it, by kind of surface, and how long their water takes."""

from drainsketch.ground.results import GroundStudy
from drainsketch.job.model import Job, Structure
from drainsketch.water.concentration import Concentration, concentration
from drainsketch.water.covers import lawn_of
from drainsketch.water.field import Field, share_of
from drainsketch.water.rain import intensity_in_h
from drainsketch.water.results import Arrival, SurfaceShare
from drainsketch.water.runoff import peak_cfs
from drainsketch.water.surfaces import composite_c, storm_c

TYPED = "typed"


def arrivals_of(job: Job, ground: GroundStudy | None, served: tuple[str, ...]) -> dict[str, Arrival]:
    """Return what arrives at each inlet that anything is known to shed to, by inlet.

    Ground goes to basins as it falls, roofs to the inlet that their downspout is joined to; a loose downspout sheds to the inlet
    that the ground at its foot drains to. Inlets in the same low ground part what stands there (``Field.parts``), and have the longest
    time of all of them. An area, a coefficient or a time that was typed stands in place of what was found.

    Parameters
    ----------
    ground : what water does on the surface; None where no shots say
    served : the inlets with pipe to an outfall

    Raises
    ------
    ValueError : the rain of the job lacks something (``rain.lacking``)

    Source: rational method, HEC-22 section 3.2 (from memory). Check: tests/water/test_arrivals.py
    """
    field = Field(job, ground) if ground is not None and ground.inlets else None
    joined = {s.downspout: s.id for s in job.structures if s.downspout is not None}
    loose: dict[str, list[tuple[float, int]]] = {}  # area of each roof, and how many inlets take it in
    for spout in job.downspouts:
        if spout.id not in joined and spout.roof_area_ft2 > 0 and field is not None:
            takers = field.takers(spout)
            for name in takers:
                loose.setdefault(name, []).append((spout.roof_area_ft2, len(takers)))
    out = {}
    for s in job.structures:
        if s.id not in served:
            continue
        own = [(d.roof_area_ft2, 1) for d in job.downspouts if joined.get(d.id) == s.id]
        found = _arrival(job, s, field, [*own, *loose.get(s.id, [])])
        if found is not None:
            out[s.id] = found
    return out


def _arrival(job: Job, s: Structure, field: Field | None, roofs_ft2: list[tuple[float, int]]) -> Arrival | None:
    ground = field.shares(job, s.id) if field is not None else ()
    together = field.together(s.id) if field is not None else ()
    pooled = sum(area for area, takers in roofs_ft2 if takers > 1)
    if s.area_ft2 is not None:
        mean = composite_c((share.area_ft2, share.c) for share in ground) if ground else None
        c = s.runoff_c if s.runoff_c is not None else mean
        source = "typed for this inlet" if s.runoff_c is not None else "mean of what the shots say sheds to it"
        if c is None:
            lawn = share_of(job, lawn_of(job), s.area_ft2, 0.0)
            c, source = lawn.c, lawn.source
        ground = (SurfaceShare(TYPED, s.area_ft2, c, source),)
    elif field is not None:
        pooled += field.pooled_ft2(s.id)
        if s.runoff_c is not None:
            ground = tuple(SurfaceShare(x.surface, x.area_ft2, s.runoff_c, "typed for this inlet") for x in ground)
    roofs = sum(area / takers for area, takers in roofs_ft2)
    shares = (*ground, *((share_of(job, "roof", roofs, 0.0),) if roofs else ()))
    area = sum(share.area_ft2 for share in shares)
    if area <= 0:
        return None
    time: Concentration | None = None
    minutes = s.tc_min
    if minutes is None:
        names = [] if field is None or s.area_ft2 is not None else list(together if pooled else [s.id])
        ways = [field.way(name) for name in names] if field is not None else []
        least = job.water.least_tc_min
        times = [concentration(way, rain=job.rain, minimum_min=least) for way in ways or [()]]
        time = max(times, key=lambda t: t.sum_min)  # the last water of low ground gets to all inlets there
        minutes = time.minutes
    c = composite_c((share.area_ft2, share.c) for share in shares)
    rarer = storm_c(c, job.rain.return_period_yr if job.rain.intensity_in_h is None else None)
    rain = intensity_in_h(job.rain, minutes)
    others = tuple(name for name in together if name != s.id) if pooled else ()
    flow = peak_cfs(rarer, rain.value, area)
    return Arrival(s.id, shares, area, c, rarer, time, minutes, rain, flow, others, pooled)
