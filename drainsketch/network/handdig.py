"""Hand digging: which stretches of a trench lie in the hand-dig zone of a service."""

from collections.abc import Iterable
from itertools import pairwise
from math import hypot
from typing import Any

import shapely

from drainsketch.job.kinds import Point

JOINED_FT = 1e-6
Stretch = tuple[float, float]  # distances from the upstream end of the run, ft


def hand_stretches(points: tuple[Point, ...], zone: Any, trench_ft: float) -> list[Stretch]:
    """Return the stretches of a run, ft from its first point, where any part of the trench's width lies in a zone.

    A cut square across the trench, half its width to each side of the run, touches the zone there. Square across a service
    that is the width of the zone whatever the trench; at an angle a it is (zone + trench x cos a) / sin a; past a bend each
    leg counts by its own angle, and what a bend leaves out between two stretches, half a trench width at most, counts too.
    Nothing is dug beyond the ends of a run.

    Parameters
    ----------
    points : plan points of the run, ft
    zone : shapely shape of the hand-dig zone: the service's width and the strip on both sides, round its ends too
    trench_ft : width of the trench

    Limits: trench sides are square to each leg; the wedge of trench outside a bend is left out. Source: plane geometry.
    Check: tests/network/test_crossings.py.
    """
    found: list[Stretch] = []
    start = 0.0
    for a, b in pairwise(points):
        leg_ft = hypot(b[0] - a[0], b[1] - a[1])
        if leg_ft:
            found += [(start + low, start + high) for low, high in _on_leg(a, b, leg_ft, zone, trench_ft)]
            start += leg_ft
    return _joined(found, trench_ft / 2 + JOINED_FT)


def _on_leg(a: Point, b: Point, leg_ft: float, zone: Any, trench_ft: float) -> list[Stretch]:
    east, north = (b[0] - a[0]) / leg_ft, (b[1] - a[1]) / leg_ft
    side_x, side_y = -north * trench_ft / 2, east * trench_ft / 2
    corners = [(p[0] + k * side_x, p[1] + k * side_y) for p, k in ((a, 1), (b, 1), (b, -1), (a, -1))]
    trench = shapely.Polygon(corners)
    if not zone.intersects(trench):
        return []
    found = []
    for part in shapely.get_parts(zone.intersection(trench)):
        along = (shapely.get_coordinates(part) - a) @ (east, north)
        found.append((max(0.0, float(along.min())), min(leg_ft, float(along.max()))))
    return found


def stations_by_hand(stretches: Iterable[Stretch], length_ft: float) -> tuple[Stretch, ...]:
    """Return stretches of a run from its upstream end as stations from its downstream end, in order, none over another.

    Examples
    --------
    >>> stations_by_hand([(70.0, 80.0), (10.0, 30.0), (20.0, 40.0)], 100.0)
    ((20.0, 30.0), (60.0, 90.0))
    """
    return tuple(_joined([(length_ft - high, length_ft - low) for low, high in stretches if high > low], JOINED_FT))


def _joined(stretches: list[Stretch], gap_ft: float) -> list[Stretch]:
    """Return stretches in order, those with no more than a gap between them as one."""
    found: list[Stretch] = []
    for low, high in sorted(stretches):
        if found and low <= found[-1][1] + gap_ft:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return found


def stretch_at(stretches: list[Stretch], at_ft: float) -> Stretch:
    """Return the stretch that holds a place on the run, or is nearest to it; one without a length where there is none."""
    if not stretches:
        return at_ft, at_ft
    return min(stretches, key=lambda s: max(s[0] - at_ft, at_ft - s[1], 0.0))
