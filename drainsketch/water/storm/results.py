"""A storm as it was played: what stands and runs at each moment, by today's ground and with the drains.

Arrays are (moments, things); flow in cfs, levels in ft above the job's datum, volumes in ft3, time in minutes from the first rain.
"""

import numpy as np
from msgspec import Struct

from drainsketch.ground.hollows import Hollow
from drainsketch.ground.results import Floats
from drainsketch.job.kinds import Point


class Sum(Struct, frozen=True):
    """Where the water of the storm was when the playing ended, ft3.

    ``comes`` ran off ground and roofs, ``held`` stood in pipe, basins and stone at the start. ``piped`` left by the outfalls, ``off`` ran off the ground that was shot, ``soaked``
    went into the soil of dry wells, ``back`` came in at outfalls from water that stands outside, ``stands`` still stands in low ground, ``inside`` in pipe, basins, stone and wells.
    """

    comes: float
    held: float
    piped: float
    off: float
    soaked: float
    stands: float
    inside: float
    back: float = 0.0

    @property
    def miss(self) -> float:
        """How much of the water that came is not accounted for, as a share of it."""
        left = self.comes + self.held + self.back - self.piped - self.off - self.soaked - self.stands - self.inside
        return abs(left) / self.comes if self.comes > 0 else abs(left)


class Played(Struct, frozen=True):
    """One playing of a storm. Columns of ``level_ft`` stand for ``structures``, of ``flow_cfs`` for ``runs``, and so on.

    ``stands_ft`` is the level of the water in each hollow, that of its lowest ground while it is dry. ``spills_cfs`` is what runs
    on over its pass, along ``Hollow.way``. Of an inlet, ``takes_cfs`` is what goes in at its grate (below 0 where water comes out),
    ``arrives_cfs`` what rain and roofs bring it, ``passes_cfs`` what runs past it along ``onward`` to the next place, ``over_ft`` how deep
    water stands over its rim on the ground. ``filled`` is the
    depth of water along a run as a share of its diameter, 1 where it is full from end to end. ``leaves_cfs`` is what flows out at each
    outfall.
    """

    minute: Floats  # (moments,)
    rain_in_h: Floats  # (moments,)
    hollows: tuple[Hollow, ...]
    stands_ft: Floats
    spills_cfs: Floats
    structures: tuple[str, ...]
    level_ft: Floats
    arrives_cfs: Floats
    takes_cfs: Floats
    passes_cfs: Floats
    over_ft: Floats
    onward: tuple[tuple[Point, ...], ...]  # by structure; () where nothing can run past
    runs: tuple[str, ...]
    flow_cfs: Floats
    filled: Floats
    outfalls: tuple[str, ...]
    leaves_cfs: Floats
    sum: Sum

    def moment(self, minute: float) -> int:
        """Return the row of the last moment at or before a time; the first or last row beyond the ends."""
        return max(0, int(np.searchsorted(self.minute, minute + 1e-9, side="right")) - 1)

    def depth_ft(self, row: int) -> Floats:
        """Return the greatest depth of water in each hollow at a moment, ft."""
        low = np.array([h.low_ft for h in self.hollows])
        return np.maximum(self.stands_ft[row] - low, 0.0) if len(low) else low

    def waters(self, row: int) -> list[tuple[tuple[int, ...], float]]:
        """Return the hollows whose water is one at a moment, by their numbers, and its level, ft: it stands over the saddle between them."""
        level = self.stands_ft[row].tolist()
        of = list(range(len(level)))
        for n, h in enumerate(self.hollows):
            if h.into >= 0 and h.spill_ft < h.brim_ft and min(level[n], level[h.into]) > h.spill_ft:
                of = [of[h.into] if at == of[n] else at for at in of]
        groups = {head: tuple(n for n, at in enumerate(of) if at == head) for head in dict.fromkeys(of)}
        return [(members, max(level[n] for n in members)) for members in groups.values()]

    def volumes_ft3(self) -> Floats:
        """Return how much water stands in all hollows at each moment, ft3."""
        every = (h.volumes_ft3(self.stands_ft[:, n]) for n, h in enumerate(self.hollows))
        return sum(every, np.zeros(len(self.minute)))

    def areas_ft2(self) -> Floats:
        """Return how much ground is under more than a quarter inch of water at each moment, ft2."""
        every = (h.areas_ft2(self.stands_ft[:, n]) for n, h in enumerate(self.hollows))
        return sum(every, np.zeros(len(self.minute)))


class Storm(Struct, frozen=True):
    """The storm of a job, played twice over the same moments. ``before`` is None where no shots say how the ground lies."""

    before: Played | None
    after: Played
