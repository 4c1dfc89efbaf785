"""The storm as it is played: how much falls in each step of time."""

from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray

from drainsketch.job.rain import Rain
from drainsketch.water.rain import Floats, intensities_in_h


def alternating_block(rain: Rain, storm_min: float, step_min: float) -> Floats:
    """Return the depth of each step of a storm, (n,) in, with the hardest step in the middle.

    The depths of 1, 2, 3 ... steps come from the table; what each adds to the one before is set by size, the greatest in the
    middle, then in turn after and before it. Where a table rounded to few digits has less for a longer time, nothing more falls
    meanwhile, so that no step brings less than none. So every spell about the peak brings at least what the table has for its length,
    and the storm just what it has for ``storm_min``. From one typed intensity it is an even rain.

    Where the storm is not a whole number of steps, one step has only what was left. Beyond the table its end rows are held:
    ask ``depth_in`` for the storm and for the step whether that is so.

    Parameters
    ----------
    storm_min : how long it rains, more than 0
    step_min : length of a step, more than 0

    Raises
    ------
    ValueError : storm or step is not above 0, or the rain is lacking something

    Source: Chow, Maidment & Mays, Applied Hydrology (1988), section 14.4 (from memory). Check: tests/outside/test_rainfall.py
    """
    end_min = _ends(storm_min, step_min)
    depth = np.maximum.accumulate(intensities_in_h(rain, end_min) * end_min / 60)
    added = np.sort(np.diff(depth, prepend=0.0))[::-1]
    out = np.empty_like(added)
    out[_middle_out(len(added))] = added
    return out


def even_rain(intensity_in_h: float, storm_min: float, step_min: float) -> Floats:
    """Return the depth of each step of a rain that does not change, (n,) in; a last part of a step has its part.

    Raises
    ------
    ValueError : storm or step is not above 0
    """
    return np.diff(_ends(storm_min, step_min), prepend=0.0) * (intensity_in_h / 60)


def _ends(storm_min: float, step_min: float) -> Floats:
    """Return when each step ends, min; the last with the storm."""
    if not (isfinite(storm_min) and isfinite(step_min) and storm_min > 0 and step_min > 0):
        raise ValueError("storm and step have to be above 0 min")
    count = max(1, ceil(storm_min / step_min - 1e-9))
    ends: Floats = np.arange(1, count + 1, dtype=np.float64) * step_min
    ends[-1] = storm_min
    return ends


def _middle_out(count: int) -> NDArray[np.int64]:
    """Return places from the middle out: the middle, one after it, one before it, two after it ..."""
    away = np.arange(1, count + 1) // 2
    return (count - 1) // 2 + np.where(np.arange(count) % 2, away, -away)
