"""Where a buried service lies at a place: its top and bottom, and how far those may be off.

Common practice, no source, all of it on the careful side:

- a depth said for a service holds along all of it, as far off as is usual for how it is known (``resources/catalogue/services.toml``)
  or as was entered;
- a top measured as a depth moves with the ground at its exposure, one measured as a level does not;
- a measured top is good to 0.1 ft where it was uncovered; its error grows evenly, and 10 ft away it is that of the
  service where nobody dug. Within 2 ft of it, about the width of the hole, the service counts as seen, unless it would lie
  above the ground or deeper than services do: then the level was misread or mistyped;
- pressure pipe and cable follow the ground at the measured depths, straight between them and level beyond them;
- a sewer or drain line lies straight between measured tops. Beyond them it is taken to keep its grade, and may run anywhere from
  level to twice that; with one measured top its grade is not known at all.
"""

from functools import cache, lru_cache
from typing import Any, Literal

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Service
from drainsketch.network.results import Floats
from drainsketch.network.shapes import line_of
from drainsketch.resources import table

Flow = Literal["gravity", "pressure", "cable"]

MEASURED_FT = 0.1  # how far a measured top may be off
FADES_FT = 10.0  # from an exposure to where it says no more than was known without it
SEEN_FT = 2.0  # from an exposure: the service was seen here
DEEPEST_FT, DEEPEST_SEWER_FT = 8.0, 15.0  # measured deeper than this, level and depth may have been mixed up
ONE_PLACE_FT = 1.0  # exposures nearer to each other along the service are one
LEAST_GRADE = 0.02  # ft/ft: how far the grade of a sewer may be off where it goes on past what was measured
UNKNOWN_GRADE = 0.04  # ft/ft: how steep a sewer may lie, either way, where its grade is not known
MAIN_OVER_IN = 2.0  # water pipe of more than this may be a main


class Buried(Struct, frozen=True):
    """Top and bottom of a service at a place, ft, and how far they may be off either way, ft.

    ``seen``: it was uncovered here. ``grade_known`` is False for a sewer or drain line whose own grade nobody measured: what is
    said of it here is a guess from one place.
    """

    top_ft: float
    bottom_ft: float
    error_ft: float
    seen: bool = False
    grade_known: bool = True


class Lie(Struct, frozen=True):
    """Top of a service at n places: arrays of shape (n,), ft; nan where it is not known. ``seen``: uncovered there."""

    top_ft: Floats
    error_ft: Floats
    seen: Any
    grade_known: bool


class Rule(Struct, frozen=True):
    """How a kind of service lies and what a drain keeps from it; see ``resources/catalogue/services.toml``."""

    flow: Flow
    over_in: float
    under_in: float
    beside_ft: float
    source: str
    error_ft: dict[str, float]
    name: str = ""


@cache
def _rule(name: str) -> Rule:
    return Rule(name=name, **table("catalogue/services.toml")[name])


def rule_of(service: Service) -> Rule:
    """Return the rule of a service by its kind; water of more than 2 in, or of a size nobody entered, goes by that of mains."""
    is_main = service.kind == "water" and (service.size_in is None or service.size_in > MAIN_OVER_IN)
    return _rule("water_main" if is_main else service.kind)


def usual_error_ft(service: Service) -> float:
    """Return how far the depth of a service may be off where it was not uncovered, ft: as entered, or what is usual."""
    return rule_of(service).error_ft[service.known_by] if service.depth_error_ft is None else service.depth_error_ft


def buried_at(
    service: Service,
    size_in: float,
    point: Point,
    ground_ft: float | None,
    exposed_ground_ft: tuple[float | None, ...] = (),
) -> Buried | None:
    """Return where the service lies at a plan point of it; None where that is not known.

    Parameters
    ----------
    size_in : outside size of the service, in
    ground_ft : level of the ground there, ft; None where it is not known
    exposed_ground_ft : level of the ground at each place where the service was exposed, in order, ft. Without it a pressure pipe
        or cable is known from its exposures only where it was seen

    Source: common practice, no source; see the head of this file. Check: tests/network/test_buried.py.
    """
    ground = np.array([np.nan if ground_ft is None else ground_ft])
    known = np.array([np.nan if z is None else z for z in exposed_ground_ft], dtype=float)
    lie = lie_of(service, np.array([point], dtype=float), ground, known)
    top = float(lie.top_ft[0])
    if np.isnan(top):
        return None
    return Buried(
        top_ft=top,
        bottom_ft=top - size_in / 12,
        error_ft=float(lie.error_ft[0]),
        seen=bool(lie.seen[0]),
        grade_known=lie.grade_known,
    )


def lie_of(service: Service, at: Floats, ground_ft: Floats, exposed_ground_ft: Floats) -> Lie:
    """Return how a service lies at many places of it at once: what `buried_at` says of each.

    Parameters
    ----------
    at : plan points, ft, shape (n, 2)
    ground_ft : ground there, ft, shape (n,); nan where it is not known
    exposed_ground_ft : ground at the exposures of the service, ft, shape (m,), or (0,) where nobody knows it
    """
    is_gravity = rule_of(service).flow == "gravity"
    usual = usual_error_ft(service)
    depth = np.nan if service.depth_top_ft is None else service.depth_top_ft
    said = Lie(ground_ft - depth, np.full(len(at), usual), np.zeros(len(at), dtype=bool), not is_gravity)
    course = _course(service, tuple(_tops(service, exposed_ground_ft).tolist()))
    if course is None:
        return said
    station, off = _along(course, at)
    nearest = off.min(axis=1)
    error = MEASURED_FT + (max(usual, MEASURED_FT) - MEASURED_FT) * np.minimum(1.0, nearest / FADES_FT)
    seen = nearest <= SEEN_FT
    if is_gravity:
        top, more = _on_grade(course, station)
        seen &= ~unlikely(service, ground_ft - top)
        return Lie(top, error + more + course.spread_ft, seen, len(course.stations) > 1)
    top = _with_ground(
        course, station, ground_ft, exposed_ground_ft[list(course.of)] if len(exposed_ground_ft) else exposed_ground_ft
    )
    # without ground a measured level holds only where it was measured
    top = np.where(np.isnan(top) & seen, course.tops[off.argmin(axis=1)], top)
    lost = np.isnan(top)
    seen &= ~unlikely(service, ground_ft - top)
    return Lie(
        np.where(lost, said.top_ft, top), np.where(lost, said.error_ft, error + course.spread_ft), seen & ~lost, True
    )


def unlikely(service: Service, depth_ft: Any) -> Any:
    """Return whether a measured depth to the top cannot well be: out of the ground, or deeper than services of a yard lie."""
    deepest = DEEPEST_SEWER_FT if service.kind == "sewer" else DEEPEST_FT
    return (depth_ft < -MEASURED_FT) | (depth_ft > deepest)


def _tops(service: Service, exposed_ground_ft: Floats) -> Floats:
    """Return the top at each exposure of a service, ft: the level measured, or the ground less the depth; nan where that is not known."""
    given = len(exposed_ground_ft) == len(service.exposed)
    ground = exposed_ground_ft if given else np.full(len(service.exposed), np.nan)
    return np.array(
        [
            e.top_ft if e.top_ft is not None else z - (e.depth_ft or 0.0)
            for e, z in zip(service.exposed, ground.tolist(), strict=True)
        ],
        dtype=float,
    )


class _Course(Struct, frozen=True):
    """The exposures of a service: as measured, and those at one station put together, in order along it.

    ``of`` are the numbers of those whose top is known, among all of the service.
    """

    of: tuple[int, ...]
    line: Any
    points: Floats  # as measured, (m, 2)
    along: Floats  # their stations, (m,)
    tops: Floats
    groups: tuple[tuple[int, ...], ...]  # of exposures at one station
    stations: Floats  # of the groups, (k,)
    levels: Floats
    spread_ft: float  # how far exposures at one station disagree, half


@lru_cache(maxsize=512)
def _course(service: Service, all_tops: tuple[float, ...]) -> _Course | None:
    of = tuple(i for i, top in enumerate(all_tops) if not np.isnan(top))
    if not of:
        return None
    line = line_of(service.points)
    points = np.array([service.exposed[i].point for i in of], dtype=float)
    tops = np.array([all_tops[i] for i in of], dtype=float)
    along = _stations(line, points)
    groups: list[list[int]] = []
    for i in np.argsort(along, kind="stable").tolist():
        if groups and along[i] - along[groups[-1][0]] < ONE_PLACE_FT:
            groups[-1].append(i)
        else:
            groups.append([i])
    return _Course(
        of=of,
        line=line,
        points=points,
        along=along,
        tops=tops,
        groups=tuple(tuple(g) for g in groups),
        stations=np.array([along[g].mean() for g in groups]),
        levels=np.array([tops[g].mean() for g in groups]),
        spread_ft=max(float(np.ptp(tops[g])) / 2 for g in groups),
    )


def _stations(line: Any, at: Floats) -> Floats:
    """Return the stations along a line of the places on it nearest to points; 0 on a service drawn on one spot."""
    if line.geom_type != "LineString":
        return np.zeros(len(at))
    return np.asarray(shapely.line_locate_point(line, shapely.points(at)), dtype=float)


def _along(course: _Course, at: Floats) -> tuple[Floats, Floats]:
    """Return the stations of places along a service, and how far each is from every exposure: in plan or along, the farther."""
    station = _stations(course.line, at)
    straight = np.hypot(at[:, None, 0] - course.points[None, :, 0], at[:, None, 1] - course.points[None, :, 1])
    return station, np.maximum(straight, np.abs(station[:, None] - course.along[None, :]))


def _on_grade(course: _Course, station: Floats) -> tuple[Floats, Floats]:
    """Return the top of a sewer at stations, and what its grade adds to the error, ft."""
    s, z = course.stations, course.levels
    if len(s) == 1:
        return np.full(len(station), z[0]), UNKNOWN_GRADE * np.abs(station - s[0])
    top = np.interp(station, s, z)
    more = np.zeros(len(station))
    for (end, z_end), (other, z_other) in (((s[0], z[0]), (s[1], z[1])), ((s[-1], z[-1]), (s[-2], z[-2]))):
        beyond = np.maximum(0.0, (end - station) * np.sign(other - end))
        grade = (z_end - z_other) / abs(end - other)  # rise away from the exposures
        top = top + grade * beyond
        more = more + (max(abs(grade), LEAST_GRADE) + 2 * MEASURED_FT / abs(end - other)) * beyond
    return top, more


def _with_ground(course: _Course, station: Floats, ground_ft: Floats, exposed_ground_ft: Floats) -> Floats:
    """Return the top of pipe or cable that follows the ground, ft; nan where no ground is known."""
    if len(exposed_ground_ft) != len(course.tops):
        return np.full(len(station), np.nan)
    depths = exposed_ground_ft - course.tops
    by_group = np.array([depths[list(g)].mean() for g in course.groups])
    lies: Floats = ground_ft - np.interp(station, course.stations, by_group)
    return lies
