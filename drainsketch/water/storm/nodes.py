"""Where water stands while a storm is played: boxes with the pipe about them, wells, hollows; how much each holds at a level."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from drainsketch.ground.hollows import Hollow
from drainsketch.ground.results import Floats

KNOTS = 24
LEAST_FT2 = 0.02  # of a riser the width of a hand: no level without some water
ABOVE_FT = 100.0  # to which a table goes on above its last knot

Table = tuple[Floats, Floats]  # levels, ft, rising; volumes, ft3


class Nodes(Struct, frozen=True):
    """Tables of all nodes, (nodes, knots): levels, volumes below them, and the surface between two."""

    level_ft: Floats
    volume_ft3: Floats
    area_ft2: Floats

    @property
    def bottom_ft(self) -> Floats:
        """Return the level at which each node is empty."""
        bottom: Floats = self.level_ft[:, 0]
        return bottom

    def held(self, level_ft: Floats) -> tuple[Floats, Floats]:
        """Return the volume of each node at its level, ft3, and its surface there, ft2; below 0 under its bottom."""
        rows = np.arange(len(level_ft))
        at = np.clip((self.level_ft <= level_ft[:, None]).sum(axis=1) - 1, 0, self.area_ft2.shape[1] - 1)
        area = self.area_ft2[rows, at]
        return self.volume_ft3[rows, at] + area * (level_ft - self.level_ft[rows, at]), area


def nodes_of(tables: Sequence[Table]) -> Nodes:
    """Return nodes by their tables; each gets as many knots as the longest, and goes on as it ends."""
    most = max((len(levels) for levels, _ in tables), default=0) + 1
    level, volume = np.empty((len(tables), most)), np.empty((len(tables), most))
    for row, (levels, volumes) in enumerate(tables):
        last = (volumes[-1] - volumes[-2]) / (levels[-1] - levels[-2])
        more = ABOVE_FT * np.arange(1, most - len(levels) + 1)
        level[row] = np.concatenate([levels, levels[-1] + more])
        volume[row] = np.concatenate([volumes, volumes[-1] + last * more])
    return Nodes(level, volume, np.diff(volume, axis=1) / np.diff(level, axis=1))


def table_of(levels_ft: Sequence[float], holds_ft3: Floats, start: int = 0) -> Table:
    """Return a table of rising levels with what is held at each, ft3, and at least the water of a riser more."""
    levels = np.asarray(levels_ft, dtype=np.float64)
    return levels[start:], (holds_ft3 + LEAST_FT2 * (levels - levels[0]))[start:]


def hollow_table(hollow: Hollow) -> Table:
    """Return how much a hollow holds by level: exact at the knots, which are dense near its bottom.

    Above its brim its surface stays the same.
    """
    low, full = hollow.low_ft, hollow.brim_ft
    share = np.linspace(0.0, 1.0, KNOTS) ** 1.5
    levels = low + share * max(full - low, 1e-3)
    under = np.searchsorted(hollow.ground_ft, levels)
    piled = np.concatenate([[0.0], np.cumsum(hollow.ground_ft - low)])
    held = ((levels - low) * under - piled[under]) * hollow.cell_ft2
    return table_of([*levels, full + 10.0], np.append(held, held[-1] + 10.0 * len(hollow.ground_ft) * hollow.cell_ft2))


def prism_ft3(levels_ft: Floats, area_ft2: float, low_ft: float, high_ft: float) -> Floats:
    """Return the volume below each level of a box with upright walls, ft3."""
    return area_ft2 * np.clip(levels_ft - low_ft, 0.0, max(high_ft - low_ft, 0.0))


def barrel_ft3(levels_ft: Floats, invert_ft: float, diameter_ft: float, length_ft: float) -> Floats:
    """Return the volume below each level of pipe that lies level, ft3."""
    depth = np.clip((levels_ft - invert_ft) / diameter_ft, 0.0, 1.0)
    angle = 4 * np.arcsin(np.sqrt(depth))
    out: Floats = diameter_ft**2 / 8 * (angle - np.sin(angle)) * length_ft
    return out


def barrel_knots(invert_ft: float, diameter_ft: float) -> list[float]:
    """Return levels between which the volume of a pipe is near enough straight."""
    return [invert_ft + diameter_ft * share for share in (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)]
