"""What stands in a pit and in trenches of stone without an outlet, from empty to full, and how the soil drinks it."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from drainsketch.network.results import Floats
from drainsketch.water.stores import StoneTrench, floor_below_ft2, voids_below_ft3

LEVELS = 100


class Soakage(Struct, frozen=True):
    """How far the soil has to drink to empty a store of what it holds.

    ``drunk_ft`` is the depth of water that every foot of wetted floor has taken up by the time ``held_ft3`` is gone; both rise
    from 0, so over the rate of the soil it is the time to empty.
    """

    held_ft3: tuple[float, ...]
    drunk_ft: tuple[float, ...]

    @property
    def room_ft3(self) -> float:
        """Return what it holds when it is full, ft3."""
        return self.held_ft3[-1]

    def floor_ft2(self, held_ft3: float) -> float:
        """Return the floor that would empty it of this much in the same time if all of it drank all the while, ft2.

        Most of a sloping trench's floor is dry before the last of the water is gone: taken from the time to empty, the mean is
        on the safe side of a store that fills evenly, and of every one that fills early. 0 where there is no floor.
        """
        if self.room_ft3 <= 0:
            return 0.0
        little = 1e-9 * self.room_ft3
        held = min(max(held_ft3, little), self.room_ft3)
        drunk_ft = float(np.interp(held, self.held_ft3, self.drunk_ft))
        return held / drunk_ft if drunk_ft > 0 else 0.0  # a volume next to nothing over its floor is nothing


class StonePool(Struct, frozen=True):
    """Stone that fills to one level: its volume at rising levels, with the floor wetted between each and the next.

    ``wet_ft`` is how much trench stands in the water when it is full.
    """

    volumes_ft3: tuple[float, ...] = (0.0,)
    floors_ft2: tuple[float, ...] = ()
    wet_ft: float = 0.0


def stone_pool(trenches: Sequence[StoneTrench], level_ft: float, voids: float) -> StonePool:
    """Return the stone of trenches that pipe joins, filled up to a level.

    Parameters
    ----------
    level_ft : level at which water comes out, ft
    voids : share of the stone's room that is voids, 0 to 1

    Notes
    -----
    Source: a level pool, volumes exact at every level. Check: tests/outside/test_stone_storage.py
    """
    low = min((t.lowest_ft for t in trenches), default=level_ft)
    high = min(level_ft, max((t.highest_ft for t in trenches), default=level_ft))
    if high <= low:
        return StonePool()
    levels: Floats = np.linspace(low, high, LEVELS + 1)
    volumes = [sum(voids_below_ft3(t, z, voids) for t in trenches) for z in levels.tolist()]
    middles = ((levels[:-1] + levels[1:]) / 2).tolist()
    floors = [sum(floor_below_ft2(t, z) for t in trenches) for z in middles]
    wet_ft = sum(floor_below_ft2(t, high) / t.width_ft for t in trenches)
    return StonePool(tuple(volumes), tuple(floors), wet_ft)


def soakage(pit_ft3: float, pit_floor_ft2: float, pool: StonePool, times: float = 1.0) -> Soakage:
    """Return how a pit and stone above it empty: the stone first, over its own floor and the pit's, then the pit over its own.

    Parameters
    ----------
    pit_ft3, pit_floor_ft2 : what the voids of the pit hold, and its floor; 0 where there is none
    times : so much of the trench as there is

    Notes
    -----
    Source: each foot of floor drinks alike, walls nothing; conservation of mass. Check: tests/outside/test_stone_storage.py
    """
    held, drunk = [0.0], [0.0]
    if pit_ft3 > 0:
        held.append(pit_ft3)
        drunk.append(pit_ft3 / pit_floor_ft2)
    risen = times * np.diff(pool.volumes_ft3)
    floors = pit_floor_ft2 + times * np.array(pool.floors_ft2)
    some = (risen > 0) & (floors > 0)
    if some.any():
        held += (held[-1] + np.cumsum(risen[some])).tolist()
        drunk += (drunk[-1] + np.cumsum(risen[some] / floors[some])).tolist()
    return Soakage(tuple(held), tuple(drunk))
