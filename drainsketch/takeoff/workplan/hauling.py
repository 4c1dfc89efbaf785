"""Spoil through the days: what is dug for good each day, which loads leave, and how long the oldest of it lies."""

from collections.abc import Sequence

from msgspec import Struct

SLACK = 1e-9


class Hauled(Struct, frozen=True):
    """Loads that leave at the end of each day, and by the day it was dug the day on which the last of its spoil leaves, from 0."""

    loads: tuple[int, ...]
    gone: tuple[int, ...]


def hauled(loose_yd3: Sequence[float], load_yd3: float) -> Hauled:
    """Return how spoil leaves when a truck goes as soon as it is full, and the last one at the end of the work.

    Parameters
    ----------
    loose_yd3 : spoil of each day, loose, yd3 (0 or more)
    load_yd3 : what a truck takes of it, loose, yd3 (above 0)

    Returns
    -------
    loads by day, and when the spoil of each day is gone; the oldest leaves first

    Raises
    ------
    ValueError : an argument is out of range

    Notes
    -----
    Source: counting, first in first out. Check: tests/takeoff/workplan/test_hauling.py

    Examples
    --------
    Four yards a day on a truck of five: nothing is full on the first day, one load on the second.

    >>> hauled([4.0, 4.0, 0.0], 5.0)
    Hauled(loads=(0, 1, 1), gone=(1, 2, 2))
    """
    if not load_yd3 > 0 or any(not 0 <= v < float("inf") for v in loose_yd3):
        raise ValueError(f"spoil must be 0 or more and a load above 0, not {loose_yd3}, {load_yd3}")
    last = len(loose_yd3) - 1
    lying, loads, gone = [0.0] * len(loose_yd3), [], list(range(len(loose_yd3)))
    oldest = 0
    for day, dug in enumerate(loose_yd3):
        lying[day] = dug
        heap = sum(lying[oldest : day + 1])
        full = int((heap + SLACK) / load_yd3)
        if day == last and heap - full * load_yd3 > SLACK:
            full += 1
        loads.append(full)
        room = full * load_yd3
        while oldest <= day and (room > 0 or lying[oldest] <= SLACK):
            took = min(lying[oldest], room)
            lying[oldest] -= took
            room -= took
            gone[oldest] = day if took > 0 else gone[oldest]
            if lying[oldest] > SLACK:
                break
            oldest += 1
    return Hauled(tuple(loads), tuple(gone))
