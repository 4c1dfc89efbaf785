"""What the ground stages return: frozen values; plan feet, elevations in feet above the job's datum."""

from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.job.kinds import Point, SightKind

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Ring = tuple[Point, ...]  # closed; the first point is not repeated


class LevelledShot(Struct, frozen=True):
    """A shot whose level is known, typed or from the level book."""

    id: str
    point: Point
    elevation_ft: float
    name: str = ""


class LevelledSight(Struct, frozen=True):
    """One sight of the book worked out: height of instrument (or of the string) it was read under, and the point's level."""

    id: str
    setup: str
    kind: SightKind
    at: str
    height_ft: float | None  # adjusted as the point it hangs on is; None where the setup hangs on no known point
    elevation_ft: float | None
    correction_ft: float = 0.0  # already in elevation_ft


CLOSED_FT = 1e-6  # beyond the allowance by no more than this is within it; below any reading


class Closure(Struct, frozen=True):
    """A line of levels that came back to a known point: measured minus known, ft, against the allowance of the book."""

    start: str
    end: str
    setups: tuple[str, ...]
    misclosure_ft: float
    allowance_ft: float

    @property
    def holds(self) -> bool:
        """Whether the misclosure is within the allowance; a line beyond it is never adjusted."""
        return abs(self.misclosure_ft) <= self.allowance_ft + CLOSED_FT


class BookLevels(Struct, frozen=True):
    """The level book worked out. ``heights_ft`` holds the height of instrument, or of the string, by setup; ``by_shot`` the
    level of every shot bound to a sight, ``by_point`` of every named point, by ``point_key`` of its name.
    """

    sights: tuple[LevelledSight, ...] = ()
    heights_ft: dict[str, float] = {}
    by_point: dict[str, float] = {}
    by_shot: dict[str, float] = {}
    closures: tuple[Closure, ...] = ()


class Grid(Struct, frozen=True):
    """Square cells over the yard. Row 0 is the south row, column 0 the west one; levels stand at cell centers."""

    west_ft: float
    south_ft: float
    cell_ft: float
    rows: int
    columns: int


class Pond(Struct, frozen=True):
    """Standing water when it has stopped raining: what fills before it spills.

    ``inlets`` are the basins that stand in it or at its edge. One that drains lets it fill to the grate and no higher.
    """

    outline: tuple[Ring, ...]
    level_ft: float  # the level it spills at
    depth_ft: float  # greatest
    area_ft2: float
    volume_gal: float
    low_point: Point
    spill_point: Point
    inlets: tuple[str, ...] = ()

    @property
    def said_depth_ft(self) -> float:
        """Greatest depth as it is said everywhere, to half an inch, ft: more would be feigned."""
        return round(24 * self.depth_ft) / 24


class Contour(Struct, frozen=True):
    """All lines of one level; each line is (n, 2) plan points."""

    level_ft: float
    lines: tuple[Floats, ...]


class Inlet(Struct, frozen=True):
    """A basin that takes in what reaches its grate: within ``reach_ft`` of its middle, once it stands at ``rim_ft``."""

    id: str
    point: Point
    reach_ft: float
    rim_ft: float


class FallArrow(Struct, frozen=True):
    """Which way the ground falls at a point: unit vector downhill, and slope ft/ft."""

    at: Point
    toward: Point
    slope: float


class Catchment(Struct, frozen=True):
    """The ground whose water reaches an inlet over the surface; roofs are left out, they go to their downspouts."""

    inlet: str
    area_ft2: float
    outline: tuple[Ring, ...]


class Way(Struct, frozen=True):
    """The longest way of water over the ground to an inlet: plan points from the far end, and ground there, ft."""

    inlet: str
    points: tuple[Point, ...]
    levels_ft: tuple[float, ...]


class DropPath(Struct, frozen=True):
    """The way of a drop over the ground from a point to where it stops; ``at`` is the inlet or obstacle it stops at, or ''."""

    points: tuple[Point, ...]
    ends: Literal["inlet", "pond", "edge", "wall", "flat"]
    at: str = ""


class Routing(Struct, frozen=True):
    """What water does on cells; flat cell numbers, basins by number: 0 outside, 1..inlets, then pits."""

    filled_ft: Floats  # (rows, columns): ground, or the level it fills to
    basin: Ints  # (rows, columns) of every cell; -1 where there is no ground
    level_ft: Floats  # that each basin fills to; -inf for drains
    parent: Ints  # the basin it spills into
    spill: Ints  # the cell it spills over, -1 for drains
    ends: Ints  # the drain that the water of each basin reaches at last
    sheds: Ints  # (rows * columns,) the cell that each sheds to: itself where water stops, -1 to the outside


class GroundStudy(Struct, frozen=True, eq=False, weakref=True):
    """What water does on the surface. Arrays are (rows, columns) of the grid; NaN where there is no ground (buildings, outside).

    Water runs into ``inlets``, the basins with pipe to an outfall; ``ponds_now`` is where it stands as long as there are none.
    ``walls`` are the buildings by id. ``reaches`` is the number of the inlet (from 1 on, in the order of ``inlets``) that the water
    of each cell reaches at last, 0 none, and ``ways`` the longest way to each, by inlet. ``bare`` is how water runs without inlets, ``drained`` with
    them.
    """

    grid: Grid
    ground_ft: Floats
    depth_ft: Floats  # of standing water, 0 where it does not stand
    contours: tuple[Contour, ...]
    arrows: tuple[FallArrow, ...]
    ponds: tuple[Pond, ...]  # deepest first
    catchments: tuple[Catchment, ...]
    ponds_now: tuple[Pond, ...] = ()  # deepest first
    inlets: tuple[Inlet, ...] = ()
    walls: tuple[tuple[str, Ring], ...] = ()
    reaches: Ints | None = None
    ways: dict[str, Way] = {}
    bare: Routing | None = None
    drained: Routing | None = None
