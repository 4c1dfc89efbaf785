"""Outlines of patches of cells, as rings on the plan."""

from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from drainsketch.ground.results import Floats, Grid, Ring

SMOOTH_CELLS = 0.7  # steps of single cells are drawn straight


def outline_of(
    field: Floats, least: float, grid: Grid, at: tuple[int, int] = (0, 0), smooth: float = 0.0
) -> tuple[Ring, ...]:
    """Return the rings round where a field at cell centers is more than ``least``, linear between the centers.

    Parameters
    ----------
    field : (rows, columns), finite, a window of the grid whose first cell is ``at`` (row, column)
    smooth : feet that the rings may be drawn straighter by
    """
    from contourpy import FillType, contour_generator

    rows, columns = field.shape
    bounded = np.full((rows + 2, columns + 2), min(float(field.min()), least) - 1e-9)
    bounded[1:-1, 1:-1] = field
    x = grid.west_ft + (np.arange(-1, columns + 1) + at[1] + 0.5) * grid.cell_ft
    y = grid.south_ft + (np.arange(-1, rows + 1) + at[0] + 0.5) * grid.cell_ft
    found: Any = contour_generator(x, y, bounded, fill_type=FillType.OuterOffset).filled(least, np.inf)
    rings: list[Ring] = []
    for of, starts in zip(*found, strict=True):
        loops = [of[a:b] for a, b in pairwise(starts.tolist()) if b - a > 3]
        if not loops:
            continue
        shape = shapely.simplify(shapely.Polygon(loops[0], loops[1:]), smooth)
        for part in shapely.get_parts(shape):
            for ring in (part.exterior, *part.interiors):
                rings.append(tuple((px, py) for px, py in shapely.get_coordinates(ring)[:-1].tolist()))
    return tuple(rings)


def outline_of_cells(cells: NDArray[np.bool_], grid: Grid) -> tuple[Ring, ...]:
    """Return the rings round marked cells (rows, columns), steps of single cells drawn straight."""
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    if not len(rows):
        return ()
    window = cells[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return outline_of(window.astype(float), 0.5, grid, (int(rows[0]), int(columns[0])), SMOOTH_CELLS * grid.cell_ft)
