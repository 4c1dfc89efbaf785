"""Corners: the ground that several trenches share where they meet, which is dug once."""

from typing import Any

import numpy as np
import shapely

from drainsketch.network.digging import trench_width_ft
from drainsketch.takeoff.joints import joint_of
from drainsketch.takeoff.overlap import overlaps_ft2
from drainsketch.takeoff.works import PipeEnd, Works

SHARP_DEG = 90.0  # beyond it two trenches lie side by side for a while and leave no corner outside to be squared
LEVEL_FT = 1e-6


def corners_ft(works: Works, holes: set[str]) -> dict[tuple[str, str], float]:
    """Return how far each trench begins from the middle of a joint, ft, by run and structure; no entry where it is 0.

    Where trenches meet, the deepest one has the ground they share, and of equal ones the one that runs through; every other one
    begins where that ends: overlap of the strips in plan / its own width. Between the two that run through nothing is taken off:
    what their strips share inside the bend is what they lack outside of it until the corner is square.

    Parameters
    ----------
    holes : structures whose hole ends the trenches in any case

    Notes
    -----
    Limits: a trench keeps the depth it has at the joint as far as the corner goes (under a foot); exact in plan where the two
    that run through are straight, nearly so where they bend and others come in. Source: area of overlap, plane geometry.
    Check: tests/takeoff/test_corners.py
    """
    strips: list[Any] = []
    turns: list[tuple[int, list[int], tuple[str, str], float]] = []  # strip, strips before it, whose it is, its width
    for name, ends in works.ends.items():
        arms = [e for e in ends if e.work.grade is not None and e.work.profile is not None and len(e.work.points) > 1]
        if name in holes or len(arms) < 2:
            continue
        joint = joint_of(tuple(arms))
        straight = joint.through.turn <= SHARP_DEG
        if straight and len(arms) == 2:
            continue
        order = sorted([joint.out, *(a.end for a in joint.arms)], key=lambda e: round(_bottom_ft(e) / LEVEL_FT))
        first = len(strips)
        for place, end in enumerate(order):
            width_ft = _width_ft(works, end)
            strips.append(_strip(end, works.structures[name].point, width_ft))
            pair = (joint.out, joint.through.end) if straight else ()
            before = [first + k for k, other in enumerate(order[:place]) if not (end in pair and other in pair)]
            if before:
                turns.append((first + place, before, (end.work.run.id, name), width_ft))
    if not turns:
        return {}
    shapes = shapely.polygons(np.array(strips))
    areas = overlaps_ft2(shapes, [number for number, *_ in turns], [before for _, before, _, _ in turns]).tolist()
    return {whose: area / width for (_, _, whose, width), area in zip(turns, areas, strict=True) if area > 1e-9}


def _bottom_ft(end: PipeEnd) -> float:
    grade = end.work.grade
    assert grade is not None  # or it is no arm
    return (grade.invert_up_ft if end.leaving else grade.invert_down_ft) - grade.bottom_below_invert_ft


def _width_ft(works: Works, end: PipeEnd) -> float:
    assert end.work.grade is not None
    return trench_width_ft(end.work.grade.outside_in, works.job.criteria.trench_width_in)


def _strip(end: PipeEnd, at: tuple[float, float], width_ft: float) -> list[tuple[float, float]]:
    """Return the corners of a trench from the middle of the joint to the end of its first leg."""
    points = end.work.points if end.leaving else end.work.points[::-1]
    (x, y), (east, north) = at, end.away
    leg_ft = float(np.hypot(points[1][0] - points[0][0], points[1][1] - points[0][1]))
    half = width_ft / 2
    return [(x + u * leg_ft * east - v * half * north, y + u * leg_ft * north + v * half * east) for u, v in _BOX]


_BOX = ((0, 1), (1, 1), (1, -1), (0, -1))
