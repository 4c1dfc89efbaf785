"""Pits: the holes full of stone of dry wells, where they lie in plan and how deep they are dug."""

from itertools import pairwise
from math import hypot
from typing import Any

import shapely
from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.ask import run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Structure
from drainsketch.network.digging import LADDER_FT, SHORING_FT
from drainsketch.network.results import StructureLevels

SLACK_FT = 1e-4  # less than any level can be shot or dug to
EAST: Point = (1.0, 0.0)


class Pit(Struct, frozen=True):
    """The pit of a dry well: its middle at the outfall, its length along the line that comes in, its depth below the lowest invert.

    ``along`` is the unit direction of its length. Levels are None until there are shots, the invert until a pipe or a pin gives it.
    """

    structure_id: str
    point: Point
    along: Point
    length_ft: float
    width_ft: float
    depth_ft: float
    invert_ft: float | None = None
    ground_ft: float | None = None
    guess: bool = False

    @property
    def area_ft2(self) -> float:
        """Return its plan area, ft2."""
        return self.length_ft * self.width_ft

    @property
    def floor_ft(self) -> float | None:
        """Return the level to dig to, ft; None while the invert is not known."""
        return None if self.invert_ft is None else self.invert_ft - self.depth_ft

    @property
    def dug_ft(self) -> float | None:
        """Return how deep it is dug, from the ground at the well down to the floor, ft; None while a level is not known."""
        if self.floor_ft is None or self.ground_ft is None:
            return None
        return max(0.0, self.ground_ft - self.floor_ft)

    @property
    def outline(self) -> tuple[Point, ...]:
        """Return its corners in plan, ft."""
        (x, y), (east, north) = self.point, self.along
        corners = ((1, 1), (-1, 1), (-1, -1), (1, -1))
        halves = [(i * self.length_ft / 2, j * self.width_ft / 2) for i, j in corners]
        return tuple((x + u * east - v * north, y + u * north + v * east) for u, v in halves)

    @property
    def shape(self) -> Any:
        """Return its outline as a shapely polygon."""
        return shapely.Polygon(self.outline)

    def inside_ft(self, points: tuple[Point, ...]) -> float:
        """Return how far a line that begins at its middle runs before it leaves the pit, ft; all of it where it never does.

        Limits: the middle of the line counts; a trench that comes in askew leaves a small wedge. Source: plane geometry.
        Check: tests/network/test_pits.py
        """
        (x, y), (east, north) = self.point, self.along
        local = [((px - x) * east + (py - y) * north, (py - y) * east - (px - x) * north) for px, py in points]
        gone = 0.0
        for a, b in pairwise(local):
            leg_ft = hypot(b[0] - a[0], b[1] - a[1])
            shares = [
                ((half if d > 0 else -half) - at) / d
                for at, d, half in (
                    (a[0], b[0] - a[0], self.length_ft / 2),
                    (a[1], b[1] - a[1], self.width_ft / 2),
                )
                if d
            ]
            share = min(shares, default=1.0)
            if share < 1.0:
                return gone + max(0.0, share) * leg_ft
            gone += leg_ft
        return gone


def pit_of(s: Structure) -> tuple[float, float, float] | None:
    """Return length, width and depth of the pit of a dry well, ft; None where there is no pit, or one of them is not given."""
    if s.outfall != "dry well" or s.pit_length_ft is None or s.pit_width_ft is None or s.pit_depth_ft is None:
        return None
    return s.pit_length_ft, s.pit_width_ft, s.pit_depth_ft


def pits_of(job: Job, levels: dict[str, StructureLevels] | None = None) -> dict[str, Pit]:
    """Return the pits of a job whose size is given, by the id of their outfall.

    Parameters
    ----------
    levels : by structure id; without them the pits have a place in plan only
    """
    sized = {s.id: (s, size) for s in job.structures if (size := pit_of(s)) is not None}
    if not sized:
        return {}
    ways = _ways(job, set(sized))
    found = {}
    for name, (s, (length_ft, width_ft, depth_ft)) in sized.items():
        at = (levels or {}).get(name)
        arriving = min((invert for _, invert in at.inverts_in), default=None) if at is not None else None
        found[name] = Pit(
            structure_id=name,
            point=s.point,
            along=ways.get(name, EAST),
            length_ft=length_ft,
            width_ft=width_ft,
            depth_ft=depth_ft,
            invert_ft=s.invert_ft if arriving is None else arriving,
            ground_ft=at.ground_ft if at is not None else None,
            guess=at.guess if at is not None else False,
        )
    return found


def _ways(job: Job, wells: set[str]) -> dict[str, Point]:
    """Return the direction in which the first run that is drawn to each well leaves it."""
    by_id = structures_by_id(job)
    found: dict[str, Point] = {}
    for run in job.runs:
        for end in {run.start, run.end} & wells - set(found):
            points = run_points(run, by_id)
            points = points if run.start == end else points[::-1]
            x, y = points[0]
            away = next(((px - x, py - y) for px, py in points[1:] if (px, py) != (x, y)), None)
            if away is not None:
                off_ft = hypot(*away)
                found[end] = (away[0] / off_ft, away[1] / off_ft)
    return found


def pit_findings(pits: dict[str, Pit]) -> list[Finding]:
    """Return the pits that are dug so deep that the excavation rules ask for a way out, or for protection against cave-in.

    While its levels are not known a pit counts as deep as it goes below the invert: it is no shallower than that.
    Source: 29 CFR 1926.651(c)(2), 652(a)(1). Check: tests/network/test_pits.py
    """
    found = []
    for name, pit in pits.items():
        depth_ft = pit.depth_ft if pit.dug_ft is None else pit.dug_ft
        if depth_ft < LADDER_FT - SLACK_FT:
            continue
        is_to_shore = depth_ft >= SHORING_FT - SLACK_FT
        kind, limit = ("hole_to_shore", SHORING_FT) if is_to_shore else ("hole_needs_ladder", LADDER_FT)
        found.append(finding(kind, Place(ids=(name,), point=pit.point), value=depth_ft, limit=limit, structure=name))
    return found
