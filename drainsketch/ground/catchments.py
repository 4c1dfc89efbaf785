"""Catchments: the ground whose water reaches each inlet over the surface."""

import numpy as np
from numpy.typing import NDArray

from drainsketch.ground.outlines import outline_of_cells
from drainsketch.ground.results import Catchment, Grid, Inlet


def catchments_of(grid: Grid, reaches: NDArray[np.int64], inlets: tuple[Inlet, ...]) -> tuple[Catchment, ...]:
    """Return the catchment of each inlet, in their order: all cells whose water ends there.

    Buildings have no ground, so roofs are left out. Check: tests/outside/test_catchment_areas.py.
    """
    found = []
    for number, inlet in enumerate(inlets, start=1):
        mine = reaches == number
        area_ft2 = float(mine.sum()) * grid.cell_ft**2
        found.append(Catchment(inlet.id, area_ft2, outline_of_cells(mine, grid)))
    return tuple(found)
