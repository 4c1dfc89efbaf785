"""What the storm brings to each place at each moment: rain on its areas, spread over the time their water takes to get there."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats
from drainsketch.job.rain import Rain
from drainsketch.water.hyetograph import alternating_block, even_rain
from drainsketch.water.rain import played_min

BLOCK_MIN = 1.0
IN_PER_FT = 12.0


class Shed(Struct, frozen=True):
    """Ground or roof that sheds to a node (-1: off the yard): area times coefficient, ft2, and the time its last water takes, min.

    ``inlet`` is the inlet that it counts for; '' for none.
    """

    node: int
    ca_ft2: float
    minutes: float
    inlet: str = ""


class Fall(Struct, frozen=True):
    """The rain as it falls: ends of blocks, min, from 0 on; what fell by then, in; and the sum of that over time, in min."""

    end_min: Floats
    fallen_in: Floats
    piled_in_min: Floats

    def rate_in_h(self, minute: float) -> float:
        """Return how hard it rains at a moment, in/h; of the block that begins then."""
        at = int(np.searchsorted(self.end_min, minute, side="right"))
        if not 0 < at < len(self.end_min):
            return 0.0
        return float(np.diff(self.fallen_in)[at - 1] / np.diff(self.end_min)[at - 1]) * 60

    def most_in_h(self, from_min: float, to_min: float) -> float:
        """Return the hardest it rains at any moment of a spell, in/h."""
        first, last = np.searchsorted(self.end_min, (from_min, to_min), side="right")
        spell = slice(max(0, int(first) - 1), max(1, int(last)))
        rates = np.diff(self.fallen_in) / np.diff(self.end_min)
        return float(rates[spell].max(initial=0.0)) * 60

    def piled(self, minute: Floats) -> Floats:
        """Return the integral of what has fallen up to each time, in min."""
        at = np.clip(np.searchsorted(self.end_min, minute, side="right") - 1, 0, len(self.end_min) - 1)
        rate = np.append(np.diff(self.fallen_in) / np.diff(self.end_min), 0.0)
        gone = np.maximum(minute - self.end_min[at], 0.0)
        out: Floats = self.piled_in_min[at] + self.fallen_in[at] * gone + rate[at] * gone**2 / 2
        return np.where(minute > 0, out, 0.0)


def fall_of(rain: Rain) -> Fall:
    """Return the storm of a job: from its table the hardest minutes in the middle, or even rain of the intensity typed.

    Beyond the last row of a table nothing is made up: the storm ends with it (``rain.played_min``).

    Raises
    ------
    ValueError : the rain lacks something (``rain.lacking``)
    """
    lasts = played_min(rain)
    if rain.intensity_in_h is not None:
        blocks = even_rain(rain.intensity_in_h, lasts, BLOCK_MIN)
    else:
        blocks = alternating_block(rain, lasts, BLOCK_MIN)
    ends = np.append(np.arange(len(blocks)) * BLOCK_MIN, lasts)
    fallen = np.concatenate([[0.0], np.cumsum(blocks)])
    steps = np.diff(ends) * (fallen[1:] + fallen[:-1]) / 2
    return Fall(ends, fallen, np.concatenate([[0.0], np.cumsum(steps)]))


class Coming(Struct, frozen=True):
    """All sheds in arrays, to be asked at once."""

    fall: Fall
    ca_ft2: Floats
    minutes: Floats

    def volume_ft3(self, minute: float) -> Floats:
        """Return what has come from each shed up to a moment, ft3.

        The area is spread evenly over the time it takes: at any moment what arrives is the mean of the rain over that time before
        it, times C A. So even rain brings C i A once that time is over, and a storm with the table's rain for every duration
        brings its peak.

        Source: time-area method with an even time-area curve (from memory). Check: tests/water/storm/test_sheds.py
        """
        here = self.fall.piled(np.full(len(self.minutes), minute))
        out: Floats = self.ca_ft2 / IN_PER_FT * (here - self.fall.piled(minute - self.minutes)) / self.minutes
        return out


def coming_of(fall: Fall, sheds: Sequence[Shed]) -> Coming:
    """Return sheds as arrays."""
    return Coming(fall, np.array([s.ca_ft2 for s in sheds]), np.array([s.minutes for s in sheds]))
