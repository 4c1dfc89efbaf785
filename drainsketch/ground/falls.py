"""Fall arrows: which way the ground falls, on a lattice that can be read."""

from math import hypot

from drainsketch.ground.results import FallArrow, Floats, Grid

SPACING_FT = 8.0
ACROSS = 30  # most arrows along the longer side of the yard
LEAST_SLOPE = 0.001  # flatter ground has no way to fall


def arrows_of(grid: Grid, ground_ft: Floats, depth_ft: Floats) -> tuple[FallArrow, ...]:
    """Return arrows every 8 ft, farther apart in large yards; none on level ground and under standing water.

    The gradient is the central difference over two cells. Check: tests/ground/test_study.py.
    """
    wide, high = grid.columns * grid.cell_ft, grid.rows * grid.cell_ft
    every = max(1, round(max(SPACING_FT, max(wide, high) / ACROSS) / grid.cell_ft))
    found = []
    for row in range(max(1, every // 2), grid.rows - 1, every):
        for column in range(max(1, every // 2), grid.columns - 1, every):
            east = ground_ft[row, column + 1] - ground_ft[row, column - 1]
            north = ground_ft[row + 1, column] - ground_ft[row - 1, column]
            slope = hypot(east, north) / (2 * grid.cell_ft)
            if not slope > LEAST_SLOPE or depth_ft[row, column] > 0:  # also where there is no ground
                continue
            size = hypot(east, north)
            at = (grid.west_ft + (column + 0.5) * grid.cell_ft, grid.south_ft + (row + 0.5) * grid.cell_ft)
            found.append(FallArrow(at, (float(-east / size), float(-north / size)), float(slope)))
    return tuple(found)
