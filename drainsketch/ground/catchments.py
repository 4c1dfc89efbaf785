"""Catchments: the ground whose water reaches each inlet over the surface."""

import numpy as np

from drainsketch.ground.outlines import outline_of_cells
from drainsketch.ground.results import Catchment, Grid, Inlet
from drainsketch.ground.routing import Routing


def catchments_of(grid: Grid, routing: Routing, inlets: tuple[Inlet, ...]) -> tuple[Catchment, ...]:
    """Return the catchment of each inlet, in their order: all cells whose water ends there, over full ponds too.

    Buildings have no ground, so roofs are left out. Check: tests/outside/test_ponding.py.
    """
    ends = np.where(routing.basin >= 0, routing.ends[routing.basin], -1)
    found = []
    for number, inlet in enumerate(inlets, start=1):
        mine = ends == number
        area_ft2 = float(mine.sum()) * grid.cell_ft**2
        found.append(Catchment(inlet.id, area_ft2, outline_of_cells(mine, grid)))
    return tuple(found)
