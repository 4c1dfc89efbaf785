"""How water gets from one place to the next while a storm is played: pipe, grates, passes of the ground, soil.

Each kind holds arrays of one entry a link and tells the flows for levels at both its ends, cfs, from ``at`` to ``to``. Level
arrays may have a leading axis, (times, links), so that slopes come from the same call.
"""

from functools import cached_property

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats, Ints
from drainsketch.water.constants import GRAVITY_FT_S2, MANNING_K
from drainsketch.water.grates import GRATE_ORIFICE, WEIR

SMOOTH_FT = 1e-3  # under so little drop the root is drawn straight, or its slope would be endless
DROWNED, LEVEL = 0.385, 0.1
MOUTH_DEPTHS = 2.0  # from here on the mouth of a pipe is an orifice
WETTED_FT = 0.05  # the last half inch of a well is taken up ever more slowly: it is no plane


class Pipes(Struct, frozen=True, dict=True):
    """Runs. ``fall`` is the root of the flattest leg's slope over the mean; ``lost`` the velocity heads lost at the upper end;
    ``mouth_cfs`` (runs, knots) what gets into the upper end at depths of 0 to MOUTH_DEPTHS diameters; ``one_way`` where
    nothing comes back, from an outfall.
    """

    at: Ints
    to: Ints
    high_ft: Floats
    low_ft: Floats
    diameter_ft: Floats
    n: Floats
    length_ft: Floats
    fall: Floats
    lost: Floats
    mouth_cfs: Floats
    one_way: Floats  # 1 or 0

    def flows(self, up_ft: Floats, down_ft: Floats) -> Floats:
        """Return the flow of each run by the levels at its ends, cfs; below 0 where it runs back.

        By Manning's formula with the slope of the water between the ends and the depth where it comes from; so pipe that nothing holds
        back runs at the depth of steady flow, full pipe by the difference of level. Losses at the upper end count as
        velocity heads; no more gets in than the mouth of the pipe takes.

        Source: diffusion-wave form of the equations of flow, as in open-channel texts (from memory); TxDOT Hydraulic Design Manual
        ch. 6 sec. 3 for friction and losses. Check: tests/water/storm/test_links.py
        """
        both = [np.concatenate(pair, axis=-1) for pair in ((up_ft, down_ft), (down_ft, up_ft))]
        ahead, back = np.split(self._driven(*both), 2, axis=-1)
        return np.minimum(ahead, self._mouth(up_ft - self.high_ft)) - np.where(self.one_way > 0, 0.0, back)

    def _driven(self, from_ft: Floats, to_ft: Floats) -> Floats:
        """Return the flow from the first levels to the second, 0 or more; both ways in one row."""
        from_invert, to_invert, diameter, n, length, fall, lost = self._both
        depth = np.minimum(np.maximum(from_ft - from_invert, 0.0), diameter)
        angle = 4 * np.arcsin(np.sqrt(depth / diameter))
        area = diameter**2 / 8 * np.maximum(angle - np.sin(angle), 0.0)
        radius = area / np.maximum(diameter * angle / 2, 1e-12)
        # nothing holds the water back: it leaves as deep as it came in or, on pipe that does not fall, drawn down by a fifth
        there = np.minimum(depth, np.maximum(from_ft - to_invert, 0.0))
        free = np.minimum(depth, there * 0.8 + np.maximum(from_invert - to_invert, 0.0))
        drop = np.maximum(from_ft - np.maximum(to_ft, to_invert + free), 0.0)
        carries = MANNING_K / n * np.cbrt(radius * radius)  # velocity at a slope of 1
        resists = length + lost * carries * carries
        most = np.pi / 4 * diameter**2 * MANNING_K / n * np.cbrt(diameter / 4) ** 2  # no more short of full than full
        out: Floats = fall * np.minimum(area * carries, most) * drop / np.sqrt((drop + SMOOTH_FT) * resists)
        return out

    @cached_property
    def _both(self) -> tuple[Floats, ...]:
        """What the flow both ways hangs on; ``lost`` as length of pipe over velocity squared."""
        high, low = self.high_ft, self.low_ft
        rest = (self.diameter_ft, self.n, self.length_ft, self.fall, self.lost / (2 * GRAVITY_FT_S2))
        return np.concatenate([high, low]), np.concatenate([low, high]), *(np.tile(a, 2) for a in rest)

    def filled(self, up_ft: Floats, down_ft: Floats, flow_cfs: Floats) -> Floats:
        """Return how much of its diameter is under water along each run, 0 to 1: by the depth of steady flow for what runs, or, where both
        ends stand deeper, by the lesser of these. Arrays are (times, runs).
        """
        slope = np.maximum(self.high_ft - self.low_ft, 0.0) / self.length_ft * self.fall**2
        area, radius = np.pi / 4 * self.diameter_ft**2, self.diameter_ft / 4
        full = area * MANNING_K / self.n * np.cbrt(radius) ** 2 * np.sqrt(slope)
        steady = np.interp(np.abs(flow_cfs) / np.maximum(full, 1e-9), *_STEADY)
        ends = [np.clip(at / self.diameter_ft, 0.0, 1.0) for at in (up_ft - self.high_ft, down_ft - self.low_ft)]
        steady = np.where(slope > 0, steady, np.where(np.abs(flow_cfs) > 0, ends[0], 0.0))
        out: Floats = np.maximum(np.minimum(steady, np.maximum(*ends)), np.minimum(*ends))
        return out

    def _mouth(self, head_ft: Floats) -> Floats:
        knots = self.mouth_cfs.shape[1] - 1
        place = np.minimum(np.maximum(head_ft / (MOUTH_DEPTHS * self.diameter_ft), 0.0), 1.0) * knots
        under = np.minimum(place.astype(np.int64), knots - 1)
        rows = np.arange(self.mouth_cfs.shape[0])
        low, high = self.mouth_cfs[rows, under], self.mouth_cfs[rows, under + 1]
        short = low + (high - low) * (place - under)
        beyond = np.maximum(head_ft / self.diameter_ft - 0.5, 0.0) / (MOUTH_DEPTHS - 0.5)
        return np.where(beyond > 1.0, self.mouth_cfs[:, -1] * np.sqrt(beyond), short)


def _steady() -> tuple[Floats, Floats]:
    """Return shares of what the full pipe carries, rising, and the depths at which they run, as shares of the diameter."""
    depth = np.append(np.linspace(0.0, 0.81, 82), 1.0)
    angle = 4 * np.arcsin(np.sqrt(depth[1:]))
    carried = (angle - np.sin(angle)) ** (5 / 3) / (2 * np.pi * angle ** (2 / 3))
    return np.append(0.0, np.minimum(carried, 1.0)), depth


_STEADY = _steady()


class Grates(Struct, frozen=True):
    """Rims between the ground (``at``) and a box (``to``), with what of them is open; ``inward`` is 0 where no grate takes water in."""

    at: Ints
    to: Ints
    rim_ft: Floats
    open_ft2: Floats
    edge_ft: Floats
    inward: Floats

    def flows(self, ground_ft: Floats, box_ft: Floats) -> Floats:
        """Return what goes in at each grate, cfs; below 0 where water comes out. Weir or orifice, as ``grates.grate_flow_cfs``."""
        over = ground_ft - np.maximum(self.rim_ft, box_ft)
        out = box_ft - np.maximum(self.rim_ft, ground_ft)
        return self.inward * self._through(over) - self._through(out)

    def _through(self, head_ft: Floats) -> Floats:
        head = np.maximum(head_ft, 0.0)
        orifice = GRATE_ORIFICE * self.open_ft2 * np.sqrt(2 * GRAVITY_FT_S2 * head)
        return np.minimum(WEIR * self.edge_ft * head**1.5, orifice)


class Passes(Struct, frozen=True):
    """Low places of the ground that water runs over: as wide at their crest, their sides rise 1 in ``side``; ``to`` is -1 off the yard."""

    at: Ints
    to: Ints
    crest_ft: Floats
    width_ft: Floats
    side: Floats

    def flows(self, at_ft: Floats, to_ft: Floats) -> Floats:
        """Return what runs over each pass, cfs; below 0 where water stands higher beyond it.

        A broad weir, less where water stands on both sides.

        Source: weir of a trapezoid, C (b + 0.8 z h) h^1.5, and Villemonte 1947 for one that is drowned (from memory).
        Check: tests/water/storm/test_links.py
        """
        here, there = np.maximum(at_ft - self.crest_ft, 0.0), np.maximum(to_ft - self.crest_ft, 0.0)
        high, low = np.maximum(here, there), np.minimum(here, there)
        over = 1.0 - (low / np.maximum(high, 1e-9)) ** 1.5
        # near level it is drawn straight, or the slope would be endless
        drowned = np.where(over > LEVEL, np.maximum(over, LEVEL) ** DROWNED, LEVEL**DROWNED * over / LEVEL)
        free = WEIR * (self.width_ft + 0.8 * self.side * high) * high**1.5
        out: Floats = np.sign(here - there) * free * drowned
        return out


class Soaks(Struct, frozen=True):
    """Floors of wells through which the soil takes up ``most_cfs``, once they are under water."""

    at: Ints
    floor_ft: Floats
    most_cfs: Floats

    def flows(self, at_ft: Floats, to_ft: Floats) -> Floats:
        """Return what soaks away under each, cfs."""
        return self.most_cfs * np.clip((at_ft - self.floor_ft) / WETTED_FT, 0.0, 1.0)

    @property
    def to(self) -> Ints:
        """Nowhere: it is gone."""
        return np.full(len(self.at), -1, dtype=np.int64)
