"""The hydraulic grade line of one run, from the level at its downstream end up.

Two passes, of which the higher water counts:

- *up* from the outlet, for what lower water holds back: under pressure where the level is above the crown, else drawn down
  from critical depth, or up a pool to the depth of steady flow;
- *down* from the top of steep pipe, where water enters at critical depth and runs out to the depth of steady flow.

So that more flow or a higher outlet never shows less water, three things are reckoned on the safe side: a pipe carries no more
short of full than full; where depth falls on the way up, no velocity head is won back, so a pool reaches as far as it does
where steep water tumbles into it; and flow that the full pipe cannot carry leaves at critical depth however steep the pipe.
"""

from bisect import bisect_right
from functools import lru_cache
from itertools import accumulate

from msgspec import Struct

from drainsketch.water.circular import normal_depth_ft
from drainsketch.water.curves import Curve, Stream, downward, stream, upward

STILL_CFS = 1e-9  # a drop in half an hour: water that stands

Legs = tuple[tuple[float, float], ...]
Knot = tuple[float, float, float, float]


class GradeLine(Struct, frozen=True):
    """Water in a run, at stations from its downstream end up and straight between them; ft.

    ``hgl_ft`` is the water level or, where the pipe is full, the level water would rise to; ``egl_ft`` is a velocity head above.
    Two values at one station are a step, the first belongs to the pipe below.
    """

    station_ft: tuple[float, ...]
    invert_ft: tuple[float, ...]
    hgl_ft: tuple[float, ...]
    egl_ft: tuple[float, ...]

    def hgl_at(self, station_ft: float) -> float:
        """Return the hydraulic grade line at a station, ft; past an end, that of the end."""
        return _between(self.station_ft, self.hgl_ft, station_ft)

    def egl_at(self, station_ft: float) -> float:
        """Return the energy grade line at a station, ft; past an end, that of the end."""
        return _between(self.station_ft, self.egl_ft, station_ft)


@lru_cache(maxsize=8_192)  # an edit, or a little less flow in one line, leaves most runs as they were
def grade_line(
    flow_cfs: float, level_ft: float, invert_ft: float, legs: Legs, diameter_ft: float, n: float
) -> GradeLine:
    """Return the grade lines of a run of one pipe.

    Parameters
    ----------
    flow_cfs : steady flow, ft3/s, 0 or more
    level_ft : level at the downstream end, in the structure there or outside the outfall; any level below the water that
        leaves the pipe, its invert say, is a free outlet
    invert_ft : invert at the downstream end
    legs : (length in plan in ft, slope in ft/ft) of each stretch of straight grade, from the downstream end up; a slope may be
        zero or run backward
    diameter_ft, n : inside diameter and Manning's n, both more than 0

    Notes
    -----
    Full: Sf = [Q n / (1.486 A R^(2/3))]^2. Part full: dE/dx = Sf - S by the direct step method. A free outlet stands at
    critical depth, or at the depth of steady flow in steep pipe. Source: TxDOT Hydraulic Design Manual ch. 6 sec. 3 (start and
    friction); direct step: V. T. Chow, Open-Channel Hydraulics, ch. 10 (from memory). Friction counts by length in plan, which
    is 0.5 % short at a slope of 10 %. Check: tests/outside/test_grade_line.py

    Examples
    --------
    100 ft of 6 in pipe under pressure lose 1.522 ft:

    >>> line = grade_line(0.75, 99.00, 97.00, ((100.0, 0.01),), 0.5, 0.012)
    >>> [round(level, 3) for level in line.hgl_ft]
    [99.0, 100.522]
    """
    legs = tuple((length, slope) for length, slope in legs if length > 0)
    if flow_cfs < STILL_CFS:
        return _line(_still(level_ft, invert_ft, legs))
    water = stream(flow_cfs, diameter_ft, n)
    normals = [normal_depth_ft(flow_cfs, diameter_ft, slope, n) for _, slope in legs]
    falling = _run_out(water, legs, normals)
    knots: list[Knot] = []
    at, low, level = 0.0, invert_ft, level_ft
    for (length, slope), normal, fast in zip(legs, normals, falling, strict=True):
        least = water.critical_ft if normal is None else min(normal, water.critical_ft)
        held = upward(water, max(level - low, least), length, slope, normal)
        for x, depth in _higher(held, fast) if fast else held:
            invert = low + slope * x
            knots.append((at + x, invert, invert + depth, invert + depth + water.velocity_head_ft(depth)))
        at, low = at + length, low + slope * length
        level = low + held[-1][1]
    if not legs:
        depth = max(level_ft - invert_ft, water.critical_ft)
        knots.append((0.0, invert_ft, invert_ft + depth, invert_ft + depth + water.velocity_head_ft(depth)))
    return _line(knots)


def _run_out(water: Stream, legs: Legs, normals: list[float | None]) -> list[Curve]:
    """Return, for each leg from the downstream end up, the surface of fast water from its foot up; empty in mild pipe."""
    curves: list[Curve] = []
    depth = water.critical_ft
    for (length, slope), normal in zip(reversed(legs), reversed(normals), strict=True):
        if normal is None or normal >= water.critical_ft:
            curves.append([])
            depth = water.critical_ft
        else:
            down = downward(water, depth, length, slope, normal)
            curves.append([(length - x, deep) for x, deep in reversed(down)])
            depth = down[-1][1]
    return curves[::-1]


def _higher(one: Curve, other: Curve) -> Curve:
    """Return the greater depth of two curves over the same leg, at the places of both."""
    if max(depth for _, depth in one) <= min(depth for _, depth in other):
        return other
    places = sorted({x for x, _ in one} | {x for x, _ in other})
    x1, y1 = zip(*one, strict=True)
    x2, y2 = zip(*other, strict=True)
    return [(x, max(_between(x1, y1, x), _between(x2, y2, x))) for x in places]


def _still(level_ft: float, invert_ft: float, legs: Legs) -> list[Knot]:
    """Return water that stands: level as far as it reaches, then the dry invert; behind a hump it stands level with it."""
    level = max(level_ft, invert_ft)
    knots = [(0.0, invert_ft, level, level)]
    at, low = 0.0, invert_ft
    for length, slope in legs:
        high = low + slope * length
        if low < level < high:
            knots.append((at + (level - low) / slope, level, level, level))
        at, low, level = at + length, high, max(level, high)
        knots.append((at, low, level, level))
    return knots


def _line(knots: list[Knot]) -> GradeLine:
    """Return knots as a grade line, each once."""
    station, invert, hgl, egl = zip(*dict.fromkeys(knots), strict=True)
    return GradeLine(tuple(accumulate(station, max)), invert, hgl, egl)  # the last digit may have run backward


def _between(xs: tuple[float, ...], ys: tuple[float, ...], x: float) -> float:
    """Return the value at x on the line through the points; at a step, that of its upper side."""
    after = bisect_right(xs, x)
    if after == 0:
        return ys[0]
    if after == len(xs) or xs[after - 1] == x:
        return ys[after - 1]
    share = (x - xs[after - 1]) / (xs[after] - xs[after - 1])
    return ys[after - 1] + share * (ys[after] - ys[after - 1])
