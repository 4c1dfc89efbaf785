"""Flow in a round pipe: its wetted section, Manning's formula full and part full, normal and critical depth.

Every section follows from one angle: that at the center between the two edges of the water, 0 (dry) to 2 pi (full).
Diameters are inside and greater than zero, n is greater than zero, flows are zero or more; slopes are ft/ft and may be anything.
"""

from collections.abc import Callable
from math import asin, cos, exp, inf, log, pi, sin, sqrt

from msgspec import Struct

from drainsketch.water.constants import GRAVITY_FT_S2, MANNING_K

FULL_ANGLE = 2 * pi
ROUNDS = 60  # a safe iteration takes three to six


class Section(Struct, frozen=True):
    """Water in a pipe: its depth above the invert, area, wetted perimeter and width at the top; ft and ft2."""

    depth_ft: float
    area_ft2: float
    wetted_ft: float
    top_ft: float

    @property
    def radius_ft(self) -> float:
        """Return the hydraulic radius, area over wetted perimeter, ft; 0 in a dry pipe."""
        return self.area_ft2 / self.wetted_ft if self.wetted_ft else 0.0


def segment(angle: float) -> float:
    """Return angle - sin(angle), which is 8 A / D^2; by its series where the difference would lose its digits."""
    if angle < 0.05:
        square = angle * angle
        return angle * square / 6 * (1 - square / 20 * (1 - square / 42))
    return angle - sin(angle)


def angle_at(depth_ft: float, diameter_ft: float) -> float:
    """Return the angle of a depth; a depth outside the pipe is taken as dry or as full."""
    share = min(max(depth_ft / diameter_ft, 0.0), 1.0)
    return 4 * asin(sqrt(share))


def depth_at(angle: float, diameter_ft: float) -> float:
    """Return the depth of an angle, ft."""
    return diameter_ft * sin(angle / 4) ** 2


def section(diameter_ft: float, depth_ft: float) -> Section:
    """Return the wetted section at a depth; above the crown the pipe is full.

    Notes
    -----
    Circle geometry. Check: tests/outside/test_pipe_flow.py

    Examples
    --------
    >>> round(section(1.0, 0.5).radius_ft, 4)  # half full and full have the hydraulic radius D/4
    0.25
    """
    angle = angle_at(depth_ft, diameter_ft)
    return Section(
        depth_ft=depth_at(angle, diameter_ft),
        area_ft2=diameter_ft**2 / 8 * segment(angle),
        wetted_ft=diameter_ft * angle / 2,
        top_ft=diameter_ft * sin(angle / 2) if angle < FULL_ANGLE else 0.0,
    )


def flow_cfs(diameter_ft: float, depth_ft: float, slope: float, n: float) -> float:
    """Return the steady flow at a depth by Manning's formula, ft3/s; 0 without a fall.

    n is taken as the same at every depth.

    Notes
    -----
    Q = 1.486/n A R^(2/3) S^(1/2). The greatest flow, 1.076 of the full pipe, runs at 0.938 of the diameter.
    Check: tests/outside/test_pipe_flow.py
    """
    if slope <= 0:
        return 0.0
    wet = section(diameter_ft, depth_ft)
    return float(MANNING_K / n * wet.area_ft2 * wet.radius_ft ** (2 / 3) * sqrt(slope))


def full_flow_cfs(diameter_ft: float, slope: float, n: float) -> float:
    """Return what the full pipe carries without pressure, ft3/s; 0 without a fall.

    Notes
    -----
    Manning's formula with A = pi/4 D^2 and R = D/4. Check: tests/outside/test_pipe_flow.py
    """
    if slope <= 0:
        return 0.0
    return float(MANNING_K / n * pi / 4 * diameter_ft**2 * (diameter_ft / 4) ** (2 / 3) * sqrt(slope))


def velocity_ft_s(flow_cfs: float, diameter_ft: float, depth_ft: float) -> float:
    """Return the mean velocity of a flow at a depth, ft/s; 0 in a dry pipe, where no flow has a place."""
    area = section(diameter_ft, depth_ft).area_ft2
    return flow_cfs / area if area > 0 else 0.0


def slope_for_velocity(velocity_ft_s: float, diameter_ft: float, n: float) -> float:
    """Return the slope at which the full (or half-full) pipe runs with a velocity, ft/ft.

    Notes
    -----
    s = [V n / (1.486 (D/4)^(2/3))]^2. Check: tests/outside/test_pipe_flow.py
    """
    return float((velocity_ft_s * n / (MANNING_K * (diameter_ft / 4) ** (2 / 3))) ** 2)


def friction_slope(flow_cfs: float, diameter_ft: float, n: float, depth_ft: float = inf) -> float:
    """Return the head a flow loses to friction, ft per ft of pipe, at a depth; without one, in the full pipe.

    Infinite for a flow in a dry section, 0 for no flow.

    Notes
    -----
    Sf = [Q n / (1.486 A R^(2/3))]^2. Source: TxDOT Hydraulic Design Manual ch. 6 sec. 3, eq. 6-26 (which has 1.49).
    Check: tests/outside/test_pipe_flow.py
    """
    if flow_cfs <= 0:
        return 0.0
    wet = section(diameter_ft, depth_ft)
    carries = MANNING_K / n * wet.area_ft2 * wet.radius_ft ** (2 / 3)  # at a slope of 1
    root = flow_cfs / carries if carries > 0 else inf
    return float(root * root)


def normal_depth_ft(flow_cfs: float, diameter_ft: float, slope: float, n: float) -> float | None:
    """Return the depth at which a steady flow runs down a slope, ft; None where it is more than the full pipe carries.

    The lower of the two depths counts, so what the full pipe carries runs at 0.82 of the diameter. On paper a pipe carries up
    to 1.076 of that short of full; water that near to the crown does not run steadily, so None, a full pipe under pressure, is
    the answer there too. No flow has the depth 0, whatever the slope; a flow without a fall has none.

    Notes
    -----
    Manning's formula, with the same n at every depth. Solved in logarithms, where flow over angle is concave, from below:
    Newton's steps then never pass the answer. Check: tests/outside/test_pipe_flow.py
    """
    if flow_cfs <= 0:
        return 0.0
    full = full_flow_cfs(diameter_ft, slope, n)
    if flow_cfs > full:
        return None
    return depth_at(_normal_angle(log(flow_cfs) - log(full)), diameter_ft)


def _normal_angle(log_share: float) -> float:
    """Return the angle at which a share of the full flow runs, by its logarithm: (a - sin a)^(5/3) / (2 pi a^(2/3)) = share."""
    wanted = log(FULL_ANGLE) + log_share
    angle = exp(3 / 13 * (wanted + 5 / 3 * log(6)))  # a - sin a < a^3/6: below the answer
    for _ in range(ROUNDS):
        part = segment(angle)
        lack = wanted - 5 / 3 * log(part) + 2 / 3 * log(angle)
        step = lack / (10 / 3 * angle * sin(angle / 2) ** 2 / part - 2 / 3)  # in log(angle)
        angle *= exp(step)
        if step < 1e-12:
            break
    return angle


def critical_depth_ft(flow_cfs: float, diameter_ft: float) -> float:
    """Return the critical depth of a flow, ft: that of least energy; 0 without flow, always less than the diameter or equal.

    Notes
    -----
    Q^2 T / (g A^3) = 1. Check: tests/outside/test_pipe_flow.py
    """
    if flow_cfs <= 0:
        return 0.0
    # (a - sin a)^3 / sin(a/2) = 512 Q^2 / (g D^5), in logarithms
    wanted = log(512) + 2 * log(flow_cfs) - log(GRAVITY_FT_S2) - 5 * log(diameter_ft)
    if wanted > 24:  # within 1e-10 of the crown and past it in rounding
        return diameter_ft

    def miss(angle: float) -> tuple[float, float]:
        part, half = segment(angle), angle / 2
        return 3 * log(part) - log(sin(half)) - wanted, 6 * sin(half) ** 2 / part - cos(half) / (2 * sin(half))

    shallow = exp((wanted + log(108)) / 8)  # a^8 / 108: a little below the answer in a shallow pipe
    near_crown = FULL_ANGLE - 2 * FULL_ANGLE**3 / exp(wanted) if wanted > 6 else pi
    guess = shallow * (1 + 0.01 * shallow**2) if wanted < 5 else near_crown
    return depth_at(between(miss, shallow / 2 if wanted < 5 else 3.0, FULL_ANGLE, guess), diameter_ft)


def between(miss: Callable[[float], tuple[float, float]], low: float, high: float, guess: float) -> float:
    """Return where a rising function is zero between two bounds, which close in as Newton's steps go.

    ``miss`` returns the function and its slope. A step that would leave the bounds halves them instead. Where the zero lies
    outside, the nearer bound is returned.
    """
    x = guess
    for _ in range(ROUNDS):
        value, slope = miss(x)
        if value > 0:
            high = x
        else:
            low = x
        ahead = x - value / slope if slope > 0 else low
        if not low <= ahead <= high:
            ahead = (low + high) / 2
        if abs(ahead - x) <= 1e-12 * x:
            return ahead
        x = ahead
    return x
