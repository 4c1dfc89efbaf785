"""The drawing under the plan, ready to be snapped to: its corners and legs in search trees, feet."""

from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Backdrop, BackdropLine


class UnderIndex(Struct, frozen=True):
    """The index of the lines it was made from; legs are (n, 2, 2), spots (n, 2)."""

    lines: tuple[BackdropLine, ...]
    legs: Any
    spots: Any
    leg_tree: shapely.STRtree
    spot_tree: shapely.STRtree

    def legs_near(self, at: Point, reach_ft: float) -> list[tuple[Point, Point]]:
        """Return the legs whose bounds touch a square of ``reach_ft`` on either side."""
        found = self.leg_tree.query(_square(at, reach_ft))
        return [((a[0], a[1]), (b[0], b[1])) for a, b in self.legs[found].tolist()]

    def spots_near(self, at: Point, reach_ft: float) -> list[Point]:
        """Return the corners and ends within a square of ``reach_ft`` on either side."""
        return [(x, y) for x, y in self.spots[self.spot_tree.query(_square(at, reach_ft))].tolist()]


def under_index_of(backdrop: Backdrop | None, before: UnderIndex | None = None) -> UnderIndex | None:
    """Return the index of a drawing that is shown, None of any other; that of before where it is of the very same lines."""
    if backdrop is None or not backdrop.shown or not backdrop.lines:
        return None
    if before is not None and before.lines is backdrop.lines:
        return before
    rings = [np.array((*x.points, x.points[0]) if x.closed else x.points, dtype=float) for x in backdrop.lines]
    legs = np.concatenate([np.stack([r[:-1], r[1:]], axis=1) for r in rings])
    legs = legs[(legs[:, 0] != legs[:, 1]).any(axis=1)]
    spots = np.concatenate(rings)
    places: Any = shapely.points(spots)
    return UnderIndex(
        lines=backdrop.lines,
        legs=legs,
        spots=spots,
        leg_tree=shapely.STRtree(shapely.linestrings(legs)),
        spot_tree=shapely.STRtree(places),
    )


def _square(at: Point, reach_ft: float) -> Any:
    return shapely.box(at[0] - reach_ft, at[1] - reach_ft, at[0] + reach_ft, at[1] + reach_ft)
