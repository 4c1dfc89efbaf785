"""Overlap in plan: what strips share, so that it is counted once."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from drainsketch.network.results import Floats


def overlaps_ft2(shapes: Any, numbers: Sequence[int], before: Sequence[Sequence[int]]) -> Floats:
    """Return how much of each shape lies in the union of others.

    Parameters
    ----------
    shapes : polygons (n,)
    numbers : which of them are asked for (m,)
    before : for each of those the others, one at least (m)

    Returns
    -------
    areas, ft2 (m,)

    Source: definition, by the geometry library. Check: tests/takeoff/test_corners.py
    """
    if not len(numbers):
        return np.zeros(0)
    regions = shapes[[others[0] for others in before]]
    for deep in range(1, max(len(others) for others in before)):
        more = [i for i, others in enumerate(before) if len(others) > deep]
        regions[more] = shapely.union(regions[more], shapes[[before[i][deep] for i in more]])
    areas: Floats = shapely.area(shapely.intersection(shapes[list(numbers)], regions))
    return areas


def union_area_ft2(shapes: Any) -> float:
    """Return the area of all polygons (n,) together, ft2, what several of them share counted once.

    Each counts less what lies in those before it: no union of all has to be made.
    Source: definition. Check: tests/takeoff/test_surfaces.py
    """
    if not len(shapes):
        return 0.0
    own, other = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    before: dict[int, list[int]] = {}
    for i, k in zip(own.tolist(), other.tolist(), strict=True):
        if k < i:
            before.setdefault(i, []).append(k)
    shared = overlaps_ft2(shapes, list(before), list(before.values()))
    return float(shapely.area(shapes).sum() - shared.sum())
