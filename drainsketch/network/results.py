"""What the network stages return: frozen values, elevations and lengths in feet, slopes in ft/ft."""

from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.job.model import Point

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

    Least cover is that of the whole run. Asked cover is the least upstream of ``cover_from_station_ft``: below it lies the
    taper where pipe comes out into the open at an outfall and no cover can be asked (of the whole run, where all lies in it).
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

    def invert_at(self, station_ft: float) -> float:
        """Return the invert at a station, ft; straight grade between the ends."""
        return self.invert_down_ft + self.slope * station_ft


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
    """Levels at a structure; ``inverts_in`` pairs each arriving run with its invert."""

    id: str
    ground_ft: float
    guess: bool
    rim_ft: float
    invert_out_ft: float | None
    inverts_in: tuple[tuple[str, float], ...]


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
    known_by: str  # KnownBy of the service; '' for a run


class Network(Struct, frozen=True):
    """The oriented network. ``runs`` stand upstream to downstream; runs that reach no outfall are in ``adrift``."""

    runs: tuple[FlowRun, ...]
    inlets: tuple[str, ...]
    outfalls: tuple[str, ...]
    adrift: tuple[str, ...]
