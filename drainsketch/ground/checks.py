"""What has to be settled about the shots before levels can be trusted."""

import numpy as np
import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.breaklines import SNAP_FT
from drainsketch.ground.grid import buildings, polygon
from drainsketch.ground.outliers import OFF_FT
from drainsketch.ground.results import LevelledShot
from drainsketch.ground.surface import Surface
from drainsketch.job.model import Job

NEAR_FT = 25.0  # common practice, no source: shots of a yard lie some 10 to 25 ft apart
AGREE_FT = 0.02  # a careful second shot comes this near
STEEPEST = 1.0  # ft/ft; common practice, no source: soil does not stand steeper for long
MOST_STEEP = 3  # pairs told, the worst


def shot_findings(job: Job, shots: tuple[LevelledShot, ...], surface: Surface | None) -> list[Finding]:
    """Return findings about missing, too few and contradicting shots."""
    if surface is None:
        return [finding("no_shots", Place())] if job.structures else []
    found = []
    if surface.is_guess_only:
        found.append(finding("few_shots", Place(ids=tuple(s.id for s in shots), point=shots[0].point)))
    found += _far_from_shots(job, surface)
    for same in surface.places:
        levels = [s.elevation_ft for s in same]
        if max(levels) - min(levels) > AGREE_FT:
            ids = tuple(s.id for s in same)
            found.append(
                finding(
                    "shots_disagree",
                    Place(ids=ids, point=same[0].point),
                    value=max(levels) - min(levels),
                    limit=AGREE_FT,
                    shots=ids,
                )
            )
    return found + _out_of_line(surface) + _steep(job, surface) + _breaklines(surface)


def _out_of_line(surface: Surface) -> list[Finding]:
    """One finding for each shot far from the ground that its neighbors make."""
    found = []
    for i, over_ft in surface.out_of_line_ft().items():
        shot = surface.places[i][0]
        place = Place(ids=tuple(s.id for s in surface.places[i]), point=shot.point)
        side = "above" if over_ft > 0 else "below"
        found.append(finding("shot_out_of_line", place, value=abs(over_ft), limit=OFF_FT, shot=shot.id, side=side))
    return found


def _steep(job: Job, surface: Surface) -> list[Finding]:
    """The worst few pairs of neighboring shots with a steeper fall between them than soil stands at, and nothing that holds it.

    A shot that is out of line is told as such; a wall, a fence or a breakline at one of the two or between them holds the ground.
    """
    pairs, off_ft, rise_ft = surface.steps()
    suspect = np.flatnonzero(rise_ft > STEEPEST * off_ft + 1e-6)
    if not len(suspect):
        return []
    lines = [shapely.LineString(b.points) for b in job.breaklines]
    lines += [shapely.LineString(o.points) for o in job.obstacles if o.kind == "fence"]
    walls = shapely.union_all([*lines, *(polygon(o) for o in buildings(job))])
    told = surface.out_of_line_ft()
    found = []
    for i in suspect[np.argsort(-rise_ft[suspect] / off_ft[suspect], kind="stable")].tolist():
        one, other = (surface.places[k][0] for k in pairs[i].tolist())
        between = shapely.LineString([one.point, other.point])
        if told.keys() & set(pairs[i].tolist()) or shapely.dwithin(walls, between, SNAP_FT):
            continue
        ids, (ax, ay), (bx, by) = (one.id, other.id), one.point, other.point
        place = Place(ids=ids, point=((ax + bx) / 2, (ay + by) / 2))
        off, rise = float(off_ft[i]), float(rise_ft[i])
        found.append(finding("ground_steep", place, value=rise / off, limit=STEEPEST, shots=ids, rise=rise, off=off))
        if len(found) == MOST_STEEP:
            break
    return found


def _far_from_shots(job: Job, surface: Surface) -> list[Finding]:
    """One finding for all inlets and outfalls that no shot stands near."""
    ends = [s for s in job.structures if s.kind in ("basin", "downspout inlet", "outfall")]
    if not ends:
        return []
    off = surface.to_nearest_shot_ft(np.array([s.point for s in ends])).tolist()
    far = [(s, feet) for s, feet in zip(ends, off, strict=True) if feet > NEAR_FT]
    if not far:
        return []
    ids = tuple(s.id for s, _ in far)
    place = Place(ids=ids, point=far[0][0].point)
    return [finding("no_shot_near", place, value=max(feet for _, feet in far), limit=NEAR_FT, structures=ids)]


def _breaklines(surface: Surface) -> list[Finding]:
    """Breaklines that take no part for want of levels, and those that cross at different levels."""
    found = [
        finding("breakline_unlevelled", Place(ids=(line,)), limit=SNAP_FT, breakline=line)
        for line in surface.unlevelled
    ]
    for m in surface.meetings:
        if m.apart_ft > AGREE_FT:
            place = Place(ids=m.ids, point=m.point)
            one, other = m.ids
            found.append(finding("breaklines_disagree", place, value=m.apart_ft, limit=AGREE_FT, one=one, other=other))
    return found
