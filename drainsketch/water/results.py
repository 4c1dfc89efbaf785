"""What the water stages return: frozen values; flow in cfs, levels and lengths in feet, time in minutes, rain in inches per hour."""

from typing import Literal

from msgspec import Struct

from drainsketch.job.model import BasinSize, PipeDiameter
from drainsketch.water.backwater import GradeLine
from drainsketch.water.concentration import Concentration
from drainsketch.water.rain import Amount, Lack

NEAR = 1.01  # of what full pipe carries; n is known no better


class SurfaceShare(Struct, frozen=True):
    """Part of what sheds to an inlet: its kind of surface ('typed' where the user gave the area), its area and coefficient."""

    surface: str
    area_ft2: float
    c: float
    source: str


class Arrival(Struct, frozen=True):
    """What the storm brings to one inlet over the ground and off roofs.

    ``c`` is the mean coefficient, ``storm_c`` that for the storm asked. ``time`` holds every term of the time of concentration;
    None where that was typed. ``flow_cfs`` is the peak of this inlet alone.
    """

    inlet: str
    shares: tuple[SurfaceShare, ...]
    area_ft2: float
    c: float
    storm_c: float
    time: Concentration | None
    minutes: float
    rain: Amount
    flow_cfs: float


class PipeFlow(Struct, frozen=True):
    """What a run has to carry and what it can.

    ``area_ft2`` and ``ca_ft2`` are all that drains to it; ``minutes`` is the time for which rain was taken. Where a part of the area
    with a shorter time gives more, ``part`` holds the inlets of that part. ``depth_ft`` is that of steady flow; None where the
    full pipe does not carry the flow. ``needs_in`` is the smallest stocked size that does, no smaller than what comes in; None
    where the size laid will do, 0 where no stocked size does. All but the flow is None where the run has no grade.
    """

    run_id: str
    area_ft2: float
    ca_ft2: float
    minutes: float
    rain: Amount
    flow_cfs: float
    part: tuple[str, ...]
    diameter_ft: float
    n: float
    n_source: str
    slope: float | None
    full_cfs: float | None
    depth_ft: float | None
    velocity_ft_s: float | None
    needs_in: PipeDiameter | Literal[0] | None

    @property
    def carries(self) -> bool:
        """Whether the pipe carries its flow without pressure, to within 1 %: n is not known any better."""
        return self.full_cfs is not None and self.flow_cfs <= NEAR * self.full_cfs


class GrateFlow(Struct, frozen=True):
    """How deep water stands over a grate at the peak, and what the grate takes with no more over it than is put up with.

    ``needs_size_in`` is the smallest stocked grate that would do; ``needs_count`` how many of the size set would.
    """

    inlet: str
    flow_cfs: float
    depth_ft: float
    governs: Literal["weir", "orifice"]
    allowed_ft: float
    takes_cfs: float
    needs_size_in: BasinSize | None
    needs_count: int


class Head(Struct, frozen=True):
    """How high water stands in a structure at the peak, and how far below the rim that is.

    In a fitting or cleanout, through which water passes without coming to rest, it is the level of its energy.
    """

    structure: str
    level_ft: float
    k: float
    rim_ft: float

    @property
    def freeboard_ft(self) -> float:
        """Return how far the level stays below the rim, ft; less than 0 where water comes out of the grate."""
        return self.rim_ft - self.level_ft


class Balance(Struct, frozen=True):
    """The storm that fills a well most: how long it lasts, what comes in, what soaks away meanwhile, and what has to be held; ft3.

    ``at_end``: it is the longest the table knows, and a longer one may ask more.
    """

    duration_min: float
    comes_ft3: float
    soaks_ft3: float
    holds_ft3: float
    at_end: bool = False


class Well(Struct, frozen=True):
    """A dry well at the end of a line. ``balance`` and ``drawdown_h`` are None while nobody measured what the soil takes up.

    ``room_ft3`` is what its voids hold; None while its size is not given. ``needs_length_ft`` is the length that would hold
    the storm at the width and depth given; None where it does, or where no length does within 500 ft.
    """

    outfall: str
    ca_ft2: float
    room_ft3: float | None
    balance: Balance | None
    drawdown_h: float | None
    needs_length_ft: float | None


Ends = Literal["inlet", "edge", "stands", "unknown"]


class Escape(Struct, frozen=True):
    """Water that comes out of a structure at the peak, and where it runs: to the inlet ``at``, off the ground that was shot, or it stands."""

    structure: str
    flow_cfs: float
    ends: Ends
    at: str = ""


class Water(Struct, frozen=True):
    """The water review of a job at the peak of its storm. Without rain it holds nothing but what is ``lacking``."""

    lacking: Lack
    arrivals: dict[str, Arrival]  # by inlet
    pipes: dict[str, PipeFlow]  # by run id
    grates: dict[str, GrateFlow]  # by basin id
    lines: dict[str, GradeLine]  # by run id
    heads: dict[str, Head]  # by structure id
    escapes: dict[str, Escape] = {}  # by structure id
    over: tuple[str, ...] = ()  # structures where water comes out, what comes out lower down taken into account
    wells: dict[str, Well] = {}  # by id of the outfall
    unmeasured: tuple[str, ...] = ()  # inlets to which no area is known to shed
