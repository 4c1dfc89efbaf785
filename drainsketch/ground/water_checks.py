"""What has to be settled about the water on the surface: where it stands, where the ground falls toward a building, and where what
outfalls let out comes back."""

from itertools import pairwise

import numpy as np
import shapely
from msgspec import Struct
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from drainsketch.findings import Finding, Place, finding
from drainsketch.ground.drops import follow_drop
from drainsketch.ground.grid import buildings, polygon
from drainsketch.ground.ponding import cell_at
from drainsketch.ground.remember import remembered
from drainsketch.ground.results import Bools, DropPath, Floats, GroundStudy, Pond
from drainsketch.ground.surface import Surface
from drainsketch.job.kinds import OutfallKind, Point
from drainsketch.job.model import Job, Obstacle

TOLD_FT = 0.08  # common practice, no source: an inch of water is a wet spot
TOLD_GAL = 20.0  # common practice, no source
AWAY_FT = 10.0  # IRC R401.3: the first 10 ft from a wall
AWAY_SLOPE = 0.05  # IRC R401.3: 6 in within 10 ft
EVERY_FT = 2.0  # along the wall
OFF_FT = 0.5  # a wall's foot, seen from the wall line
SHOT_WITHIN_FT = 6.0  # common practice, no source: a wall's foot is known where a shot stands this near
AT_WALL_FT = 1.0  # common practice, no source: a shot this near a wall is of its foot
STRETCH_FT = 6.0  # shorter stretches of wall are not told
TOWARD = -0.005  # flatter than half a percent is level
OPEN: tuple[OutfallKind, ...] = ("daylight", "pop-up")  # let water out on the ground


class WallFall(Struct, frozen=True):
    """How the ground falls away from a stretch of wall; toward it is less than 0."""

    point: Point
    slope: float
    out_ft: float  # from the wall to where the slope was taken
    length_ft: float  # of wall where it falls so
    missed_ft: float  # of wall where it falls away less than it should, the stretch with it


def water_findings(job: Job, surface: Surface | None, study: GroundStudy | None) -> list[Finding]:
    """Return findings about standing water, about ground that falls toward buildings, and about outfalls whose water comes back."""
    if surface is None or study is None:
        return []
    deep = _told(study)
    known = ~surface.spans_building(np.array([p.low_point for p in deep]).reshape(-1, 2))
    found = [_standing(p) for p, sure in zip(deep, known.tolist(), strict=True) if sure]
    others = buildings(job)
    for building in others:
        fall = wall_fall(building, surface, shapely.union_all([polygon(o) for o in others]))
        if fall is None or fall.slope >= AWAY_SLOPE:
            continue
        kind = "ground_falls_to_building" if fall.slope < TOWARD else "ground_flat_at_building"
        found.append(
            finding(
                kind,
                Place(ids=(building.id,), point=fall.point),
                value=abs(fall.slope),
                limit=AWAY_SLOPE,
                building=building.id,
                stretch=fall.length_ft,
                out=fall.out_ft,
                missed=fall.missed_ft,
            )
        )
    return found + _running_back(job, study)


def _told(study: GroundStudy) -> list[Pond]:
    """Return the ponds that are worth telling."""
    return [p for p in study.ponds if p.depth_ft >= TOLD_FT and p.volume_gal >= TOLD_GAL]


def _running_back(job: Job, study: GroundStudy) -> list[Finding]:
    """Return the outfalls onto the ground whose water runs to an inlet of the same yard, or into water that stands there.

    From a puddle that is not told, from a wall or from flat ground it runs on as the ground study has it.
    """
    found = []
    led_to = {end for r in job.runs for end in (r.start, r.end)}
    for s in job.structures:
        if s.kind != "outfall" or s.outfall not in OPEN or s.id not in led_to:
            continue
        path = _let_out(study, s.point)
        if path is None or path.ends == "edge":
            continue
        end = path.points[-1]
        deep_ft = _standing_ft(study, end) if path.ends == "pond" else None
        inlet = path.at if path.ends == "inlet" else "" if deep_ft is not None else _reached(study, end)
        if inlet:
            place = Place(ids=(s.id, inlet), point=s.point)
            found.append(finding("outfall_runs_back", place, structure=s.id, inlet=inlet))
        elif deep_ft is not None:
            place = Place(ids=(s.id,), point=s.point)
            found.append(finding("outfall_runs_to_pond", place, value=deep_ft, structure=s.id))
    return found


@remembered
def _let_out(study: GroundStudy, at: Point) -> DropPath | None:
    return follow_drop(study, at)


def _standing_ft(study: GroundStudy, at: Point) -> float | None:
    """Return how deep the told pond is that a place lies in; None where it lies in none."""
    here = shapely.Point(at)
    half = study.grid.cell_ft
    return next((p.said_depth_ft for p in _told(study) if _area(p).distance(here) <= half), None)


def _area(pond: Pond) -> BaseGeometry:
    return shapely.union_all([shapely.Polygon(ring).buffer(0) for ring in pond.outline])


def _reached(study: GroundStudy, at: Point) -> str:
    """Return the inlet that water at a place runs to at last, or ''."""
    row, column = cell_at(study.grid, at)
    number = int(study.reaches[row, column]) if study.reaches is not None else 0
    return study.inlets[number - 1].id if number else ""


def _standing(pond: Pond) -> Finding:
    """Return the finding of one pond: which inlets stand in it decides nothing here, since those that drain are counted in."""
    return finding(
        "standing_water",
        Place(ids=pond.inlets, point=pond.low_point),
        value=pond.said_depth_ft,
        limit=TOLD_FT,
        gallons=pond.volume_gal,
        area=pond.area_ft2,
        spills_at=pond.level_ft,
    )


def wall_fall(building: Obstacle, surface: Surface, solid: BaseGeometry) -> WallFall | None:
    """Return how the ground falls from the worst stretch of a building's wall over the first 10 ft; None where shots do not say.

    Every 2 ft along the wall the ground is walked straight out from the wall to 10 ft. Where any of it stands higher than the foot,
    water runs back to the wall from the highest of it, however low the ground lies beyond; elsewhere the fall is that from the foot
    to 10 ft out, where that lies inside the shots. A place counts where its foot is known: a shot stands within 6 ft, or two corners
    of the triangle there stand at the wall; where no building stands before it, and no triangle reaches through one. A stretch is
    worth telling from 6 ft of wall on, all corners counted together; its slope is the middle one of its places.

    Parameters
    ----------
    solid : all buildings

    Source: IRC R401.3, 6 in of fall within the first 10 ft. Check: tests/ground/test_water_checks.py.
    """
    wall, out, along_ft = _places(building)
    if not len(wall):
        return None
    off_ft = np.linspace(OFF_FT, AWAY_FT, round(AWAY_FT / OFF_FT))
    walk = wall[:, None, :] + off_ft[None, :, None] * out[:, None, :]
    foot, far = walk[:, 0], walk[:, -1]
    z, far_off = surface.levels_at(walk.reshape(-1, 2))
    guess = far_off.reshape(len(wall), -1)
    rise = z.reshape(len(wall), -1) - surface.bare_levels_at(wall)[0][:, None]
    known = ~guess[:, 0] & ~surface.spans_building(foot)
    known &= (surface.to_nearest_shot_ft(foot) <= SHOT_WITHIN_FT) | _edged(foot, polygon(building), surface)
    known &= ~shapely.intersects(shapely.linestrings(np.stack([foot, far], axis=1)), solid)
    top = np.where(guess, -np.inf, rise).argmax(axis=1)
    highest = np.take_along_axis(rise, top[:, None], axis=1)[:, 0]
    back = highest > -TOWARD * AWAY_FT
    at_ft = np.where(back, off_ft[top], AWAY_FT)
    told = known & (back | ~guess[:, -1] & ~surface.spans_building(far))
    slope = np.where(told, np.where(back, -highest, -rise[:, -1]) / at_ft, np.inf)
    missed_ft = float(along_ft[slope < AWAY_SLOPE].sum().round())  # to the foot: it is walked in steps of two
    for limit in (TOWARD, AWAY_SLOPE):
        bad = np.flatnonzero(slope < limit)
        length_ft = float(along_ft[bad].sum().round())
        if length_ft >= STRETCH_FT:
            middle = bad[np.argsort(slope[bad], kind="stable")[len(bad) // 2]]
            x, y = foot[middle].tolist()
            return WallFall((x, y), float(slope[middle]), float(at_ft[middle]), length_ft, missed_ft)
    return None


def _edged(foot: Floats, building: BaseGeometry, surface: Surface) -> Bools:
    """Return where (n,) two corners of the triangle at a wall's foot stand at the wall: the foot lies on a line between levels."""
    corners = surface.corners_at(foot)
    inside = ~np.isnan(corners[:, 0, 0])
    off = shapely.distance(shapely.boundary(building), shapely.points(np.nan_to_num(corners.reshape(-1, 2)))).reshape(
        -1, 3
    )
    edged: Bools = inside & ((off <= AT_WALL_FT).sum(axis=1) >= 2)
    return edged


def _places(building: Obstacle) -> tuple[Floats, Floats, Floats]:
    """Return places on the walls about every 2 ft (n, 2), which way is out there (n, 2), and the length each stands for, ft (n,)."""
    ring = orient(shapely.Polygon(building.points))
    corners = shapely.get_coordinates(ring.exterior)
    places, outs, lengths = [np.empty((0, 2))], [np.empty((0, 2))], [np.empty(0)]
    for a, b in pairwise(corners):
        leg = b - a
        length = float(np.hypot(*leg))
        count = int(length // EVERY_FT)
        if not count:
            continue
        share = (np.arange(count) + 0.5) / count
        places.append(a + share[:, None] * leg)
        outs.append(np.tile(np.array([leg[1], -leg[0]]) / length, (count, 1)))
        lengths.append(np.full(count, length / count))
    return np.concatenate(places), np.concatenate(outs), np.concatenate(lengths)
