"""What the water stages return: frozen values; flow in cfs, levels and lengths in feet, time in minutes, rain in inches per hour."""

from typing import Literal

from msgspec import Struct

from drainsketch.job.kinds import BasinSize, PipeDiameter, Point
from drainsketch.water.backwater import GradeLine
from drainsketch.water.concentration import Concentration
from drainsketch.water.rain import Amount, Lack
from drainsketch.water.stores import StoneTrench

State = Literal["carries", "slow", "too small"]

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
    None where that was typed. ``flow_cfs`` is the peak of this inlet alone. ``shared_with`` are the inlets that take water in
    equal parts with it; what they take together, their own parts and that of this one, runs off ``pooled_ft2``.
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
    shared_with: tuple[str, ...] = ()
    pooled_ft2: float = 0.0


class PipeFlow(Struct, frozen=True):
    """What a run has to carry and what it can.

    ``area_ft2`` and ``ca_ft2`` are all that drains to it; ``minutes`` is the time for which rain was taken. Where a part of the area
    with a shorter time gives more, ``part`` holds the inlets of that part. ``depth_ft`` is that of steady flow; None where the
    full pipe does not carry the flow. ``needs_in`` is the smallest stocked size that does, no smaller than what comes in; None
    where the size laid will do, 0 where no stocked size does: then ``most_cfs`` is what the largest carries full. All but the
    flow is None where the run has no grade.
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
    most_cfs: float | None = None

    @property
    def carries(self) -> bool:
        """Whether the pipe carries its flow without pressure, to within 1 %: n is not known any better."""
        return self.full_cfs is not None and self.flow_cfs <= NEAR * self.full_cfs

    def state(self, self_cleansing_ft_s: float) -> State | None:
        """Return how the run does at the peak; None where it has no grade.

        Parameters
        ----------
        self_cleansing_ft_s : water that runs slower leaves soil behind
        """
        if self.full_cfs is None or self.velocity_ft_s is None:
            return None
        if not self.carries:
            return "too small"
        return "slow" if 0 < self.velocity_ft_s < self_cleansing_ft_s else "carries"


class GrateFlow(Struct, frozen=True):
    """How deep water stands over a grate at the peak, and what the grate takes with no more over it than is put up with.

    ``needs_size_in`` is the smallest stocked grate that would do; ``needs_count`` how many of the size set would. ``run_on_cfs`` came
    out of other inlets and runs to it over the ground: it adds to the depth, and to nothing else here.
    """

    inlet: str
    flow_cfs: float
    depth_ft: float
    governs: Literal["weir", "orifice"]
    allowed_ft: float
    takes_cfs: float
    needs_size_in: BasinSize | None
    needs_count: int
    run_on_cfs: float = 0.0


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
    """A dry well at the end of a line: its pit, and the stone of the drain that ends in it up to where water would come out.

    ``room_ft3`` is what the voids of both hold; None while there is neither. ``pit_ft3`` is the part of the pit, and
    ``floor_ft2`` the floor that drinks on the mean (``soaking.Soakage.floor_ft2``). ``stone`` are the runs whose stone counts,
    ``spill_ft`` the level at which water comes out and ``wet_ft`` the length of trench below it: where a well has stone and no pit it
    is a trench without an outlet. ``balance`` and ``drawdown_h`` are None while nobody measured what the soil takes up.

    ``needs_length_ft`` is the length of the pit that would hold the storm at the width and depth given, ``needs_trench_ft`` the
    trench that would, without a pit, in feet more at the section it has; both None where it holds, or where no length does within 500 ft.
    """

    outfall: str
    ca_ft2: float
    room_ft3: float | None
    balance: Balance | None
    drawdown_h: float | None
    needs_length_ft: float | None
    needs_trench_ft: float | None = None
    pit_ft3: float = 0.0
    floor_ft2: float = 0.0
    stone: tuple[str, ...] = ()
    spill_ft: float | None = None
    wet_ft: float = 0.0

    @property
    def is_short(self) -> bool:
        """Whether the storm brings more than it holds."""
        return self.balance is not None and self.room_ft3 is not None and self.balance.holds_ft3 > self.room_ft3

    @property
    def is_proved(self) -> bool:
        """Whether its size and its soil are known, so that it can be said whether it holds the storm."""
        return self.balance is not None and self.room_ft3 is not None


class Store(Struct, frozen=True):
    """How much water a run, a basin or the pit of a dry well holds below the ground, ft3: inside the pipe, in voids of stone, in a basin.

    ``trench`` is the stone of a drain run.
    """

    id: str
    pipe_ft3: float = 0.0
    stone_ft3: float = 0.0
    basin_ft3: float = 0.0
    trench: StoneTrench | None = None

    @property
    def holds_ft3(self) -> float:
        """Return all of it, ft3."""
        return self.pipe_ft3 + self.stone_ft3 + self.basin_ft3


class Tailwater(Struct, frozen=True):
    """A tailwater that stands high: its level, and the level it is held against, ft: the ground there, or the highest rim."""

    outfall: str
    level_ft: float
    over: Literal["ground", "rims"]
    against_ft: float
    rim_of: str = ""

    @property
    def by_ft(self) -> float:
        """How far it stands above what it is held against, ft."""
        return self.level_ft - self.against_ft


Ends = Literal["inlet", "edge", "stands", "unknown"]


class Escape(Struct, frozen=True):
    """Water that comes out of a structure at the peak, and where it runs: to the inlet ``at``, off the ground that was shot, or it stands.

    ``runs_on_cfs`` is all that runs on from there: ``flow_cfs``, and what came out of others, ran there and does not get in. ``path`` is the way there over the ground, plan feet; () where the ground is not known.
    """

    structure: str
    flow_cfs: float
    ends: Ends
    at: str = ""
    path: tuple[Point, ...] = ()
    runs_on_cfs: float = 0.0


class Water(Struct, frozen=True):
    """The water review of a job at the peak of its storm. Without rain it holds nothing but what is ``lacking``.

    ``heads`` are as if nothing came out of any grate; ``relieved`` with what comes out taken off, where anything does.
    """

    lacking: Lack
    arrivals: dict[str, Arrival]  # by inlet
    pipes: dict[str, PipeFlow]  # by run id
    grates: dict[str, GrateFlow]  # by basin id
    lines: dict[str, GradeLine]  # by run id
    heads: dict[str, Head]  # by structure id
    escapes: dict[str, Escape] = {}  # by structure id
    over: tuple[str, ...] = ()  # structures where water comes out, what comes out lower down taken into account
    wells: dict[str, Well] = {}  # by id of the outfall
    stores: dict[str, Store] = {}  # by id of run or structure
    unmeasured: tuple[str, ...] = ()  # inlets to which no area is known to shed
    relieved: dict[str, Head] = {}  # by structure id
    tailwaters: tuple[Tailwater, ...] = ()  # those that stand high
    past_ft2: float | None = None  # ground whose water runs past every inlet; None where no shots say

    def stands(self, structure: str) -> Head | None:
        """Return how high water stands in a structure: over the rim only where it comes out, not where it spills lower down.

        What comes out may run on to an inlet further down, so it is taken off only where the line would stand over a rim.
        """
        head = self.heads.get(structure)
        held = head is None or head.freeboard_ft >= 0 or structure in self.over
        return head if held else self.relieved.get(structure, head)
