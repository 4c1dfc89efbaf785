"""The shape of the water that stands in low ground at a level."""

import numpy as np

from drainsketch.ground.outlines import outline_of
from drainsketch.ground.ponding import LEAST_DEPTH_FT, waterline
from drainsketch.ground.results import GroundStudy, Ints, Ring


def pool_rings(study: GroundStudy, cells: Ints, level_ft: float, over_ft: float = 0.0) -> tuple[Ring, ...]:
    """Return the rings round the ground of a pool that stands deeper than a depth; a ring within another is a hole.

    Parameters
    ----------
    cells : of a hollow of the ground of this study, or of several whose water is one, flat
    level_ft : of the water
    over_ft : the depth; a quarter inch at the least, as everywhere

    Check: tests/ground/test_pools.py
    """
    least, grid = max(over_ft, LEAST_DEPTH_FT), study.grid
    if level_ft - float(study.ground_ft.ravel()[cells].min()) <= least:
        return ()
    rows, columns = np.divmod(cells, grid.columns)
    south, west = max(0, int(rows.min()) - 1), max(0, int(columns.min()) - 1)
    z = study.ground_ft[south : int(rows.max()) + 2, west : int(columns.max()) + 2]
    mine = np.zeros(z.shape, dtype=np.bool_)
    mine[rows - south, columns - west] = True
    return outline_of(waterline(level_ft - z, mine), least, grid, (south, west))
