"""Catchments: the ground whose water reaches each inlet over the surface."""

import numpy as np
from numpy.typing import NDArray

from drainsketch.ground.outlines import outline_of_cells
from drainsketch.ground.results import Catchment, Grid, Inlet
from drainsketch.ground.routing import Routing


def reaches_of(routing: Routing, inlets: tuple[Inlet, ...]) -> NDArray[np.int64]:
    """Return the number of the inlet that the water of each cell reaches at last, over full ponds too; 0 none."""
    ends = np.where(routing.basin >= 0, routing.ends[routing.basin], 0)
    return np.where(ends <= len(inlets), ends, 0)


def catchments_of(grid: Grid, reaches: NDArray[np.int64], inlets: tuple[Inlet, ...]) -> tuple[Catchment, ...]:
    """Return the catchment of each inlet, in their order: all cells whose water ends there.

    Buildings have no ground, so roofs are left out. Check: tests/outside/test_ponding.py.
    """
    found = []
    for number, inlet in enumerate(inlets, start=1):
        mine = reaches == number
        area_ft2 = float(mine.sum()) * grid.cell_ft**2
        found.append(Catchment(inlet.id, area_ft2, outline_of_cells(mine, grid)))
    return tuple(found)
