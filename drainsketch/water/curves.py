"""The water surface along one leg of straight grade: level pool, drawdown, steady flow, full pipe under pressure.

A curve goes from depth to depth, and the distance between two depths follows from the head between them (the direct step
method), so that it needs no trial and meets the depth of steady flow, which it comes near to without end, in its last step.
"""

from functools import lru_cache
from math import exp, expm1, inf, log, pi, sin

from msgspec import Struct

from drainsketch.water.circular import FULL_ANGLE, angle_at, critical_depth_ft, friction_slope, segment
from drainsketch.water.constants import GRAVITY_FT_S2


def _shares(steps: int) -> tuple[float, ...]:
    return tuple((i / steps) ** 2 * (3 - 2 * i / steps) for i in range(1, steps + 1))


# Where the depths of a curve stand between its first and its last: closer towards both, where it bends. So many of them keep
# it within 1/16 in of the exact curve in yard pipe; to the crown it is the longer way.
TO_STEADY, TO_CROWN = _shares(8), _shares(16)
SAME_FT = 1e-7

Curve = list[tuple[float, float]]  # (distance from where it starts, depth above the invert there), ft


class Stream(Struct, frozen=True):
    """A flow in a pipe of one size, with what every leg of it shares. Above the crown depth is pressure head."""

    diameter_ft: float
    critical_ft: float
    full_friction: float  # ft/ft, in the full pipe
    head_full_ft: float  # velocity head in the full pipe

    def velocity_head_ft(self, depth_ft: float) -> float:
        """Return the velocity head at a depth, ft; infinite in a dry pipe."""
        share = segment(angle_at(depth_ft, self.diameter_ft)) / FULL_ANGLE
        return self.head_full_ft / share**2 if share > 0 else inf

    def depth_of_energy_ft(self, energy_ft: float) -> float:
        """Return the depth above critical at which depth and velocity head make an energy above the invert, ft.

        Above the crown it is the pressure head; 0 where the energy is less than this flow can have, so that nothing is held up.
        """
        pressed = energy_ft - self.head_full_ft
        if pressed >= self.diameter_ft:
            return pressed
        low, high = self.critical_ft, self.diameter_ft
        if low + self.velocity_head_ft(low) > energy_ft:
            return 0.0
        while high - low > SAME_FT:
            middle = (low + high) / 2
            low, high = (middle, high) if middle + self.velocity_head_ft(middle) < energy_ft else (low, middle)
        return low


@lru_cache(maxsize=8_192)
def stream(flow_cfs: float, diameter_ft: float, n: float) -> Stream:
    """Return a flow (ft3/s, more than 0) in a pipe of an inside diameter (ft) and Manning's n."""
    velocity = flow_cfs / (pi / 4 * diameter_ft**2)
    return Stream(
        diameter_ft=diameter_ft,
        critical_ft=critical_depth_ft(flow_cfs, diameter_ft),
        full_friction=friction_slope(flow_cfs, diameter_ft, n),
        head_full_ft=velocity**2 / (2 * GRAVITY_FT_S2),
    )


def upward(water: Stream, depth_ft: float, length_ft: float, slope: float, normal_ft: float | None) -> Curve:
    """Return the surface from a depth at the foot of a leg up to its head, as what stands below holds it.

    ``normal_ft`` is the depth of steady flow, None where the full pipe cannot carry it. The depth at the foot is at least the
    lesser of that and critical depth. On the way up depth comes near to steady flow: from below with all its energy, from above
    without the velocity head it would win back (see ``backwater``). No depth carries more than the full pipe.
    """
    crown, curve = water.diameter_ft, [(0.0, depth_ft)]
    if normal_ft is None:
        if depth_ft < crown:
            curve += _trace(water, depth_ft, crown, length_ft, slope, energy=True)
        at, depth = curve[-1]
        if at < length_ft:
            curve.append((length_ft, depth + (water.full_friction - slope) * (length_ft - at)))
        return curve
    if depth_ft > crown:
        fall = slope - water.full_friction
        if (depth_ft - crown) >= fall * length_ft:
            return [*curve, (length_ft, depth_ft - fall * length_ft)]
        curve.append(((depth_ft - crown) / fall, crown))
    at, depth = curve[-1]
    if abs(depth - normal_ft) <= SAME_FT:
        return [*curve, (length_ft, normal_ft)]
    rest = _trace(water, depth, normal_ft, length_ft - at, slope, energy=depth < normal_ft)
    return [*curve, *((at + further, deep) for further, deep in rest)]


def downward(water: Stream, depth_ft: float, length_ft: float, slope: float, normal_ft: float) -> Curve:
    """Return the surface from a depth at the head of a steep leg down to its foot, distances from the head.

    Steep is where steady flow is shallower than critical depth. A depth at the head that is less than that of steady flow is
    taken as steady flow, one above critical depth as critical.
    """
    depth = min(depth_ft, water.critical_ft)
    if depth <= normal_ft + SAME_FT:
        return [(0.0, normal_ft), (length_ft, normal_ft)]
    return [(0.0, depth), *_trace(water, depth, normal_ft, length_ft, slope, energy=True)]


def _trace(water: Stream, first_ft: float, last_ft: float, length_ft: float, slope: float, *, energy: bool) -> Curve:
    """Return the curve between two depths, without the first, as far as the leg is long.

    The last is the crown or the depth of steady flow, where the gap between friction and slope closes. Within a step the gap is
    linear in the head, so the head goes as an exponential of the distance.
    """
    first, last = angle_at(first_ft, water.diameter_ft), angle_at(last_ft, water.diameter_ft)
    closes = last < FULL_ANGLE
    curve: Curve = []
    at = 0.0
    depth0, head0, gap0 = _state(water, first, slope, energy=energy)
    for share in TO_STEADY if closes else TO_CROWN:
        depth, head, gap = _state(water, first * (last / first) ** share, slope, energy=energy)
        apart = abs(head - head0)
        if closes and share == 1:
            gap = 0.0
            if gap0 > 0 and at + 3 * apart / gap0 < length_ft:  # of a long tail, where 1/e^3 of it is left
                curve.append((at + 3 * apart / gap0, depth + (depth0 - depth) * exp(-3)))
        if apart > 0:
            step = _distance(apart, gap0, gap)
            if at + step >= length_ft:
                done = _share_done(apart, gap0, gap, length_ft - at)
                curve.append((length_ft, depth0 + (depth - depth0) * done))
                return curve
            at += step
            curve.append((at, depth))
        depth0, head0, gap0 = depth, head, gap
    return curve


def _state(water: Stream, angle: float, slope: float, *, energy: bool) -> tuple[float, float, float]:
    """Return depth, head and the gap between friction and slope at an angle; friction is at least that of the full pipe."""
    share = segment(angle) / FULL_ANGLE
    carries = (share**5 * (FULL_ANGLE / angle) ** 2) ** (2 / 3)  # the square of flow over full flow at this depth
    depth = water.diameter_ft * sin(angle / 4) ** 2
    head = depth + water.head_full_ft / share**2 if energy else depth
    return depth, head, abs(water.full_friction / min(carries, 1.0) - slope)


def _distance(apart_ft: float, gap0: float, gap: float) -> float:
    """Return how far it is between two heads: infinitely far where the gap closes."""
    if gap0 <= 0 or gap <= 0:
        return inf
    if abs(gap - gap0) < 1e-6 * gap0:
        return 2 * apart_ft / (gap + gap0)
    return apart_ft * log(gap / gap0) / (gap - gap0)


def _share_done(apart_ft: float, gap0: float, gap: float, distance_ft: float) -> float:
    """Return the share of the way between two heads that is done at a distance within it."""
    if gap0 <= 0:
        return 0.0
    if abs(gap - gap0) < 1e-6 * gap0:
        return min(distance_ft * gap0 / apart_ft, 1.0)
    return min(gap0 * expm1((gap - gap0) / apart_ft * distance_ft) / (gap - gap0), 1.0)
