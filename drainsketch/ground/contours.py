"""Contours of the ground."""

from math import ceil, floor
from typing import Any

import numpy as np
import shapely

from drainsketch.ground.grid import centers
from drainsketch.ground.results import Contour, Floats, Grid

MOST_LEVELS = 60
COARSER = (1.0, 2.0, 4.0)  # times the interval asked for, then ten times those, and so on
STRAIGHT_CELLS = 0.05
SHORTEST_CELLS = 3  # shorter lines are single specks


def contours_of(grid: Grid, ground_ft: Floats, interval_ft: float) -> tuple[Contour, ...]:
    """Return the contours at multiples of an interval, lowest first; a coarser interval where more than 60 would come.

    Lines are linear between cell centers. Check: tests/ground/test_study.py.
    """
    if np.isnan(ground_ft).all() or min(ground_ft.shape) < 2:
        return ()
    from contourpy import contour_generator

    low, high = float(np.nanmin(ground_ft)), float(np.nanmax(ground_ft))
    step = coarsened(interval_ft, high - low)
    x, y = centers(grid)
    lines_at = contour_generator(x, y, np.ma.masked_invalid(ground_ft))
    found = []
    for number in range(ceil(low / step), floor(high / step) + 1):
        level = number * step
        lines: Any = lines_at.lines(level)
        kept = tuple(
            shapely.get_coordinates(shapely.simplify(shapely.LineString(line), STRAIGHT_CELLS * grid.cell_ft))
            for line in lines
            if len(line) > SHORTEST_CELLS
        )
        if kept:
            found.append(Contour(level, kept))
    return tuple(found)


def coarsened(interval_ft: float, relief_ft: float) -> float:
    """Return the least of the interval and its coarser ones that makes 60 levels or fewer over a relief, ft.

    Examples
    --------
    >>> coarsened(0.5, 8.0), coarsened(0.1, 40.0)
    (0.5, 1.0)
    """
    tens = 1.0
    while True:
        for times in COARSER:
            if relief_ft <= MOST_LEVELS * interval_ft * times * tens:
                return interval_ft * times * tens
        tens *= 10
