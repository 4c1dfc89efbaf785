"""What the network stages return: frozen values, elevations and lengths in feet, slopes in ft/ft."""

from itertools import pairwise
from math import hypot
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.job.kinds import Point

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


class FlowRun(Struct, frozen=True):
    """A run with its flow direction settled; ``points`` go from upstream to downstream."""

    id: str
    upstream: str
    downstream: str
    points: tuple[Point, ...]
    length_ft: float
    drawn_downhill: bool  # True when drawn from upstream to downstream


class Profile(Struct, frozen=True):
    """Ground along a run. Arrays share one shape (n,), station 0 (the downstream end) first; read-only.

    ``low`` are the (station, ground) points of its lower convex hull: pipe under them is under all of it.
    """

    run_id: str
    station_ft: Floats
    x_ft: Floats
    y_ft: Floats
    ground_ft: Floats
    guess: Bools  # True where the ground lies outside the shots
    low: tuple[tuple[float, float], ...] = ()  # empty only where no grade is placed on it


class Grade(Struct, frozen=True):
    """The placed pipe of one run: inverts at its ends, and what it makes of cover and cut along the way.

    Grade is straight from end to end, or from break to break where flexible pipe changes slope at its bends: ``breaks`` are
    the (station, invert) between the ends, station rising. ``slope`` is the mean; a run without breaks has no other.
    Least cover is that of the whole run. Asked cover is the least upstream of ``cover_from_station_ft``: below it lies the
    taper where pipe comes out into the open at an outfall and no cover can be asked (of the whole run, where all lies in it);
    where more is asked under a drive it is that at the place that comes nearest to what is asked there, ``cover_need_ft``.
    """

    run_id: str
    length_ft: float
    slope: float
    invert_up_ft: float
    invert_down_ft: float
    inside_in: float
    outside_in: float
    top_above_invert_ft: float  # outside top of pipe above the invert
    bottom_below_invert_ft: float  # trench bottom below the invert: wall and stone bed
    least_cover_ft: float
    least_cover_station_ft: float
    greatest_cover_ft: float
    least_cut_ft: float
    greatest_cut_ft: float
    greatest_cut_station_ft: float
    cover_from_station_ft: float = 0.0
    asked_cover_ft: float = 0.0
    asked_cover_station_ft: float = 0.0
    cover_need_ft: float = 0.0
    breaks: tuple[tuple[float, float], ...] = ()

    @property
    def knots(self) -> tuple[tuple[float, float], ...]:
        """Return the (station, invert) of both ends and of every break, from the downstream end up, ft."""
        return ((0.0, self.invert_down_ft), *self.breaks, (self.length_ft, self.invert_up_ft))

    @property
    def legs(self) -> tuple[tuple[float, float], ...]:
        """Return (length in plan in ft, slope in ft/ft) of each stretch of straight grade, from the downstream end up."""
        if not self.breaks:
            return ((self.length_ft, self.slope),)
        return tuple((s1 - s0, (z1 - z0) / (s1 - s0)) for (s0, z0), (s1, z1) in pairwise(self.knots))

    @property
    def least_slope(self) -> float:
        """Return the slope of the flattest leg, ft/ft."""
        return min(slope for _, slope in self.legs)

    @property
    def greatest_slope(self) -> float:
        """Return the slope of the steepest leg, ft/ft."""
        return max(slope for _, slope in self.legs)

    @property
    def laid_ft(self) -> float:
        """Return the length of the pipe along its slope, ft."""
        return sum(length * hypot(1.0, slope) for length, slope in self.legs)

    def invert_at(self, station_ft: float) -> float:
        """Return the invert at a station, ft; past an end the leg there goes on."""
        if not self.breaks:
            return self.invert_down_ft + self.slope * station_ft
        return float(self.inverts_at(np.array([station_ft]))[0])

    def inverts_at(self, station_ft: Floats) -> Floats:
        """Return the inverts at stations (n,), ft; past an end the leg there goes on."""
        slope, level = self.lines_at(station_ft)
        return level + slope * station_ft

    def lines_at(self, station_ft: Floats) -> tuple[Floats, Floats]:
        """Return the straight line of grade at each station (n,): its slope, ft/ft, and the level it has at station 0, ft.

        At a break it is that of the leg upstream of it.
        """
        if not self.breaks:
            return np.full(len(station_ft), self.slope), np.full(len(station_ft), self.invert_down_ft)
        slope = np.array([slope for _, slope in self.legs])
        start, level = np.array(self.knots[:-1]).T
        leg = np.searchsorted(start[1:], station_ft, side="right")
        return slope[leg], (level - slope * start)[leg]


class Shortfall(Struct, frozen=True):
    """A structure whose water cannot leave: the invert it needs is above the highest its ground allows, ft."""

    structure: str
    needed_ft: float
    highest_ft: float

    @property
    def short_ft(self) -> float:
        """How much fall is missing, ft."""
        return self.needed_ft - self.highest_ft


class StructureLevels(Struct, frozen=True):
    """Levels at a structure; ``inverts_in`` pairs each arriving run with its invert.

    ``no_invert``: nobody pinned it, and its water cannot leave by the pipe as placed, so there is no grade for it to be dug to.
    The inverts are then only the nearest to one; they are for reckoning, not to be read by anyone.
    """

    id: str
    ground_ft: float
    guess: bool
    rim_ft: float
    invert_out_ft: float | None
    inverts_in: tuple[tuple[str, float], ...]
    no_invert: bool = False


class InletPath(Struct, frozen=True):
    """The way of the water from one inlet to its outfall.

    ``fall_ft`` is from the invert leaving the inlet to the invert at the outfall. The tightest run is the one with the least
    slope to spare over its minimum.
    """

    inlet: str
    outfall: str
    run_ids: tuple[str, ...]
    length_ft: float
    fall_ft: float | None
    tightest_run: str | None
    slope_to_spare: float | None


class Crossing(Struct, frozen=True):
    """Where a run meets a buried service, or another run, in plan.

    ``number`` is the flag on plan and schedule. ``other`` is the id of the service or run. Elevations are None where the
    ground or the service depth is unknown. ``clearance_ft`` is the vertical gap between outsides, negative when they meet.
    ``position``: the run passes 'over' or 'under' the other.
    """

    number: int
    run_id: str
    other: str
    other_kind: str  # a ServiceKind, or 'run'
    point: Point
    station_ft: float
    angle_deg: float
    ground_ft: float | None
    pipe_top_ft: float | None
    pipe_bottom_ft: float | None
    pipe_depth_ft: float | None  # ground to top of pipe
    service_depth_ft: float | None  # ground to top of service
    service_top_ft: float | None
    service_bottom_ft: float | None
    clearance_ft: float | None
    position: Literal["over", "under", "meets", "unknown"]
    hand_dig_ft: float  # along the trench
    known_by: str  # KnownBy of the service; 'exposed' only where it was, else 'exposed elsewhere'; '' for a run
    seen: bool = False  # the service was uncovered here and its top measured
    flow: str = ""  # 'gravity', 'pressure' or 'cable'
    grade_known: bool = True  # False for a sewer or drain line whose own grade nobody measured
    service_error_ft: float | None = None  # how far its depth may be off here, up or down
    least_clearance_ft: float | None = None  # with that error counted against us
    need_over_ft: float = 0.0  # what is kept between them, passing over
    need_under_ft: float = 0.0
    rule: str = ""  # which asks for it: a name of the catalogue of services, or 'job'
    works_deeper_ft: float | None = None  # the pipe clears a service whose top is deeper than this
    works_shallower_ft: float | None = None  # or shallower than this; None where it would have hardly any cover
    hand_dig_from_ft: float = 0.0  # the stretch dug by hand, stations
    hand_dig_to_ft: float = 0.0

    @property
    def need_ft(self) -> float:
        """Return what is kept between the two, as the pipe passes, ft."""
        needs = {"over": self.need_over_ft, "under": self.need_under_ft}
        return needs.get(self.position, max(self.need_over_ft, self.need_under_ft))


class Network(Struct, frozen=True):
    """The oriented network. ``runs`` stand upstream to downstream; runs that reach no outfall are in ``adrift``."""

    runs: tuple[FlowRun, ...]
    inlets: tuple[str, ...]
    outfalls: tuple[str, ...]
    adrift: tuple[str, ...]
