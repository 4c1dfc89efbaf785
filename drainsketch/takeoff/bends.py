"""Bends: which stock bends make up a turn."""

from itertools import combinations_with_replacement
from math import atan2, degrees

from drainsketch.job.kinds import Point
from drainsketch.resources import table


def turn_deg(arriving: Point, leaving: Point) -> float:
    """Return the turn between two plan directions, degrees: 0 straight on, 180 back again.

    angle = atan2(|a x b|, a . b)

    Parameters
    ----------
    arriving : direction of flow before the turn, (x, y), any length
    leaving : direction of flow after it, (x, y), any length

    Returns
    -------
    turn, degrees, 0 to 180; 0 where a direction has no length

    Raises
    ------
    nothing

    Notes
    -----
    Limits: plan only; the small turn down the slope is left to the joints. Source: definition of the angle between vectors.
    Check: tests/takeoff/test_bends.py

    Examples
    --------
    From east to northeast:

    >>> round(turn_deg((1.0, 0.0), (1.0, 1.0)), 9)
    45.0
    """
    cross = arriving[0] * leaving[1] - arriving[1] * leaving[0]
    dot = arriving[0] * leaving[0] + arriving[1] * leaving[1]
    return degrees(atan2(abs(cross), dot + 0.0))  # + 0.0: a dot of -0.0 would read as straight back


def bends_for(turn: float) -> tuple[float, ...]:
    """Return the stock bends that make up a turn, degrees each, largest first.

    The fewest bends whose sum comes within 6 degrees of the turn; failing that, the nearest sum of up to three (the fewer
    bends, then the smaller sum, where two are equally near). A turn under 5 degrees is taken up in the joints.

    Parameters
    ----------
    turn : turn in plan, degrees, 0 to 180

    Returns
    -------
    angles of the bends, degrees; empty where none is needed

    Raises
    ------
    ValueError : the turn is outside 0 to 180 degrees

    Notes
    -----
    Limits: bends laid flat, in plan. Source: stock bends from memory; tolerances common practice, no source
    (``resources/catalogue/stock.toml``). Check: tests/takeoff/test_bends.py

    Examples
    --------
    Two stock bends add up to 67.5 degrees:

    >>> bends_for(68.0)
    (45.0, 22.5)
    """
    if not 0 <= turn <= 180.000001:
        raise ValueError(f"turn must be 0 to 180 degrees, not {turn}")
    stock = table("catalogue/stock.toml")["bends"]
    if turn < stock["joint_takes_deg"]:
        return ()
    best: tuple[float, ...] = ()
    best_off = float("inf")
    for count in range(1, stock["most_together"] + 1):
        for some in combinations_with_replacement(stock["angles_deg"], count):
            off = abs(sum(some) - turn)
            if off < best_off - 1e-9:
                best, best_off = some, off
        if best_off <= stock["near_enough_deg"] + 1e-9:
            break
    return best[::-1]
