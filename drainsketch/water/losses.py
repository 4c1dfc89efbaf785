"""Head lost where water enters a pipe, leaves it or turns in a structure, as a share k of a velocity head."""

from bisect import bisect_left
from typing import Literal

from drainsketch.water.constants import GRAVITY_FT_S2

Box = Literal["inlet", "junction"]
Edge = Literal["square", "socket", "projecting"]

# The way the water is turned, degrees from straight through, and k of the outgoing pipe's velocity head.
# Source: HEC-22 (3rd ed.) Table 7-5a, preliminary estimates (from memory).
TURNED: dict[Box, tuple[tuple[float, float], ...]] = {
    "inlet": ((0.0, 0.50), (22.5, 0.70), (45.0, 1.10), (60.0, 1.25), (90.0, 1.50)),
    "junction": ((0.0, 0.15), (22.5, 0.45), (45.0, 0.75), (60.0, 0.85), (90.0, 1.00)),
}
# Source: FHWA HDS-5 Table 12.
ENTRY: dict[Edge, float] = {"square": 0.5, "socket": 0.2, "projecting": 0.9}


def velocity_head_ft(velocity_ft_s: float) -> float:
    """Return V^2/2g, ft."""
    return velocity_ft_s**2 / (2 * GRAVITY_FT_S2)


def turn_k(turn_deg: float, box: Box) -> float:
    """Return k of a structure by how far it turns the water, degrees from straight through, either way.

    It is to be taken with the velocity head of the pipe that leaves. 'inlet' is a box with a grate (basin, downspout inlet) or
    the top of a line, 'junction' any other (fitting, cleanout). Between the printed angles it is interpolated; past 90
    degrees, where the table ends, the last rise goes on to 180 degrees (common practice, no source).

    Notes
    -----
    Source: HEC-22 (3rd ed.) Table 7-5a (from memory). Check: tests/outside/test_grade_line.py

    Examples
    --------
    >>> turn_k(90, "junction"), round(turn_k(-33.75, "inlet"), 3)
    (1.0, 0.9)
    """
    turn = min(abs(turn_deg), 180.0)
    rows = TURNED[box]
    after = min(max(bisect_left(rows, (turn, 0.0)), 1), len(rows) - 1)
    (turn0, k0), (turn1, k1) = rows[after - 1], rows[after]
    return k0 + (k1 - k0) * (turn - turn0) / (turn1 - turn0)


def entry_k(edge: Edge) -> float:
    """Return k of a pipe mouth that takes water out of a box or pond, to be taken with the velocity head of the pipe.

    'square' is a pipe cut flush with the wall, 'socket' one whose bell faces the water, 'projecting' thin-walled pipe that
    stands into the water.

    Notes
    -----
    Source: FHWA HDS-5 Table 12. Check: tests/outside/test_grade_line.py
    """
    return ENTRY[edge]
