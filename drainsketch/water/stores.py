"""What the stone round perforated pipe holds: its voids up to a level, and the floor that is wetted by then."""

import numpy as np
from msgspec import Struct

from drainsketch.network.prisms import cut_area_ft2, dug_ft, pipe_in_layer_ft3
from drainsketch.network.results import Floats


class StoneTrench(Struct, frozen=True):
    """The stone of a drain run, station by station from its downstream end; levels and lengths in feet.

    ``bottom_ft`` is under the bed, ``top_ft`` under the cap of topsoil, and never below the bottom: where there is no room for
    stone the two are one. ``outside_ft`` is the outside diameter of the pipe, whose bottom lies ``wall_ft`` below the invert.
    All run straight from station to station.
    """

    run_id: str
    station_ft: tuple[float, ...]
    invert_ft: tuple[float, ...]
    bottom_ft: tuple[float, ...]
    top_ft: tuple[float, ...]
    width_ft: float
    outside_ft: float
    wall_ft: float = 0.0

    @property
    def highest_ft(self) -> float:
        """The level above which it holds no more."""
        return max(self.top_ft)

    @property
    def lowest_ft(self) -> float:
        """The level of its lowest bottom."""
        return min(self.bottom_ft)


def voids_below_ft3(trench: StoneTrench, level_ft: float, voids: float) -> float:
    """Return how much still water at a level fills of the voids of a trench: of the stone, less the outside of the pipe in it.

    Parameters
    ----------
    level_ft : level of the water, ft; at the highest of the trench or above it is all that it holds
    voids : share of the stone's room that is voids, 0 to 1

    Returns
    -------
    volume, ft3; water in the pipe itself is not in it

    Notes
    -----
    Limits: all straight from station to station, the pipe round, on a slope longer by its length along it; exact.
    Source: plane geometry. Check: tests/outside/test_stone_storage.py

    Examples
    --------
    10 ft of trench, 1 ft wide and 2 ft deep, half full; the pipe is too thin to count:

    >>> trench = StoneTrench("R1", (0.0, 10.0), (90.2, 90.2), (90.0, 90.0), (92.0, 92.0), 1.0, 1e-9)
    >>> round(voids_below_ft3(trench, 91.0, 0.4), 6)
    4.0
    """
    station, invert, bottom, water = _filled(trench, level_ft)
    length = np.diff(station)
    stone = trench.width_ft * cut_area_ft2(length, (water - bottom)[:-1], (water - bottom)[1:])
    over_pipe = water - (invert - trench.wall_ft)
    along = np.hypot(length, np.diff(invert))  # the pipe is as long as that
    pipe = pipe_in_layer_ft3(along, over_pipe[:-1], over_pipe[1:], np.full(len(length), trench.outside_ft))
    return voids * max(0.0, float(stone.sum() - pipe.sum()))


def floor_below_ft2(trench: StoneTrench, level_ft: float) -> float:
    """Return the floor of a trench under still water at a level, in plan, ft2; where there is no stone there is no floor.

    Limits and source as ``voids_below_ft3``. Check: tests/outside/test_stone_storage.py
    """
    station, _, bottom, water = _filled(trench, level_ft)
    return trench.width_ft * float(dug_ft(np.diff(station), (water - bottom)[:-1], (water - bottom)[1:]).sum())


def _filled(trench: StoneTrench, level_ft: float) -> tuple[Floats, Floats, Floats, Floats]:
    """Return station, invert, bottom and top of what is full of water, with a station added wherever the water meets the top."""
    station, invert, bottom, top = (
        np.array(a) for a in (trench.station_ft, trench.invert_ft, trench.bottom_ft, trench.top_ft)
    )
    under = top - level_ft
    meets = np.flatnonzero(under[:-1] * under[1:] < 0)
    if len(meets):
        share = under[meets] / (under[meets] - under[meets + 1])
        columns = (station, invert, bottom, top)
        station, invert, bottom, top = (
            np.insert(a, meets + 1, a[meets] + share * (a[meets + 1] - a[meets])) for a in columns
        )
    return station, invert, bottom, np.minimum(top, level_ft)
