"""Dear digging: what deep cuts cost over their plain volume, as convex costs of the levels of a part."""

import numpy as np

from drainsketch.network.digging import dear_kinks
from drainsketch.network.parts import Part, Table
from drainsketch.network.program import Dear
from drainsketch.network.results import Floats


def holes_below_ft(part: Part) -> list[float]:
    """Return how far the bottom of each structure's hole lies below the invert that leaves it, ft: sump and bed, or a trench."""
    floor_ft = (part.criteria.basin_sump_in + part.criteria.basin_bed_in) / 12
    deepest: dict[str, float] = {}
    for r in part.runs:
        deepest[r.flow.upstream] = max(r.below_ft, deepest.get(r.flow.upstream, floor_ft))
    return [deepest.get(s.structure.id, floor_ft) for s in part.structures]


class DearDigging:
    """What digging costs over the plain volume: deep cuts, and pipe so high that nothing is dug."""

    def __init__(self, table: Table) -> None:
        legs = table.legs
        part = table.part
        sizes = [len(leg.share) for leg in legs]
        self._starts = np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.intp)
        self._leg = np.repeat(np.arange(len(legs)), sizes)
        self._share = np.concatenate([leg.share for leg in legs])
        self._bottom = np.concatenate([leg.bottom_ft for leg in legs]) - table.base_ft
        self._weight = np.concatenate([leg.weight_ft2 for leg in legs])
        self._low, self._high = table.low, table.high
        self._holes = np.arange(len(part.structures), dtype=np.int32)
        self._hole_bottom = (
            np.array([s.ground_ft for s in part.structures]) + np.array(holes_below_ft(part)) - table.base_ft
        )
        self._hole_area = np.array([s.hole_side_ft**2 for s in part.structures])
        self._kinks = dear_kinks(part.criteria)

    def __call__(self, x: Floats) -> Dear:
        low, high = x[self._low], x[self._high]
        cut = self._bottom - low[self._leg] - self._share * (high - low)[self._leg]
        cost, slope = self._over(cut)
        cost, slope = cost * self._weight, slope * self._weight
        of_leg = np.add.reduceat(np.stack([cost, slope * (1 - self._share), slope * self._share]), self._starts, axis=1)
        hole_cost, hole_slope = self._over(self._hole_bottom - x[self._holes])
        none = np.zeros(len(self._holes))
        return Dear(
            cost=np.concatenate([of_leg[0], hole_cost * self._hole_area]),
            column=np.column_stack([np.append(self._low, self._holes), np.append(self._high, self._holes)]),
            factor=-np.column_stack([np.append(of_leg[1], hole_slope * self._hole_area), np.append(of_leg[2], none)]),
        )

    def _over(self, cut: Floats) -> tuple[Floats, Floats]:
        """Return what cuts cost over their depth, and how that changes with a foot of depth."""
        cost, slope = np.maximum(-cut, 0.0), np.where(cut < 0, -1.0, 0.0)
        for at, more in self._kinks:
            cost = cost + more * np.maximum(cut - at, 0.0)
            slope = slope + np.where(cut > at, more, 0.0)
        return cost, slope
