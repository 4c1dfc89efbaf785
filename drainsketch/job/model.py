"""The words of the job: what the user said about a yard, as frozen structs.

Nothing here is computed. Plan coordinates are feet, x east and y north; elevations are feet above the job's own
datum (a benchmark the user names); pipe and basin sizes are inches. Ids are unique over the whole job. The bounds
stand here once: the file reader and the JSON Schema both take them from the annotations.
"""

from typing import Annotated

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import (
    BasinSize,
    BreaklineKind,
    Date,
    Elevation,
    HeapKind,
    Id,
    Inches,
    KnownBy,
    LeastSlope,
    Line,
    ObstacleKind,
    OutfallKind,
    Paving,
    PipeDiameter,
    PipeKind,
    PitFeet,
    Places,
    Point,
    Ring,
    RunUse,
    ServiceKind,
    Share,
    SizeInches,
    StructureKind,
    Text,
    Units,
    Word,
)
from drainsketch.job.levelling import Laying, LevelBook
from drainsketch.job.limits import BasinBody, Criteria, WaterBasis
from drainsketch.job.pricing import Offer, Pricing
from drainsketch.job.rain import Rain
from drainsketch.job.sections import Sections, WasteRule
from drainsketch.job.work import WorkPlan


class Header(Frozen, frozen=True):
    """Whose job it is and how its numbers are shown."""

    title: Word = ""
    client: Word = ""
    site: Word = ""
    contractor: Word = ""
    date: Date = ""
    units: Units = "ft-in"
    benchmark: Word = ""
    notes: Text = ""


class Boundary(Frozen, frozen=True):
    """The lot line: where the owner may dig."""

    id: Id
    points: Ring


class Obstacle(Frozen, frozen=True):
    """Something on or in the ground that a trench has to respect.

    A building, hardscape, bed, septic or other obstacle is a closed outline (three points or more); a fence is a line;
    a tree or a well is one point. ``trunk_diameter_in`` belongs to trees only, ``drive`` (vehicles roll over it) to
    hardscape, ``footing_depth_ft`` (ground to the bottom of the footing; None is unknown) to buildings. ``surface`` is what
    hardscape is made of, for the rain it sheds; None is any drive or walk.
    """

    id: Id
    kind: ObstacleKind
    points: Places
    trunk_diameter_in: Annotated[float, Meta(gt=0, le=200)] | None = None
    drive: bool = False
    footing_depth_ft: Annotated[float, Meta(ge=0, le=50)] | None = None
    surface: Paving | None = None
    name: Word = ""


class Downspout(Frozen, frozen=True):
    """Where roof water comes down, and the roof area (plan view) that feeds it."""

    id: Id
    point: Point
    roof_area_ft2: Annotated[float, Meta(ge=0, le=1_000_000)] = 0.0
    name: Word = ""


class Exposure(Frozen, frozen=True):
    """A place where a buried service was uncovered, and its top there as measured: a level, or a depth below the ground."""

    point: Point
    top_ft: Elevation | None = None
    depth_ft: Annotated[float, Meta(ge=0, le=50)] | None = None


class Service(Frozen, frozen=True):
    """A buried service. ``depth_top_ft`` is from the ground to its top; None is 'nobody knows yet'.

    ``depth_error_ft`` is how far that depth may be off, up or down; None takes what is usual for how it is known. Where the
    service was ``exposed``, measured levels stand in place of the depth.
    """

    id: Id
    kind: ServiceKind
    points: Line
    depth_top_ft: Annotated[float, Meta(ge=0, le=50)] | None = None
    size_in: SizeInches | None = None
    known_by: KnownBy = "assumed"
    depth_error_ft: Annotated[float, Meta(ge=0, le=50)] | None = None
    exposed: Annotated[tuple[Exposure, ...], Meta(max_length=200)] = ()
    name: Word = ""


class Breakline(Frozen, frozen=True):
    """A line along which the ground breaks; no triangle of the surface crosses it. It takes its levels from the shots on it."""

    id: Id
    kind: BreaklineKind
    points: Line
    name: Word = ""


class Heap(Frozen, frozen=True):
    """Where spoil is put on the yard: a heap while the work lasts, or an area that it is spread over for good.

    ``fill_in`` is how deep a fill area takes it, in place and settled; None is not said yet. A spoil heap has none.
    """

    id: Id
    kind: HeapKind
    points: Ring
    fill_in: Inches | None = None
    name: Word = ""


class Shot(Frozen, frozen=True):
    """A ground point. ``elevation_ft`` None: its level comes from the level book, from the sight bound to it."""

    id: Id
    point: Point
    elevation_ft: Elevation | None = None
    name: Word = ""


class Structure(Frozen, frozen=True):
    """A basin, fitting, cleanout, downspout inlet or outfall.

    ``rim_ft`` None means flush with the ground. ``invert_ft`` pins the invert of the pipe that leaves (at an outfall: that
    arrives); at a tie-in or a curb it is the measured level there. ``size_in`` belongs to basins, ``outfall`` to outfalls,
    ``downspout`` to downspout inlets.

    ``area_ft2`` is ground that sheds its water to it, with the runoff coefficient ``runoff_c`` and ``tc_min`` minutes from its far
    end; None takes each from the shots. At an outfall ``tailwater_ft`` is the level of the water it runs into (None: free), and
    ``pit_length_ft`` by width by depth below the invert the hole full of stone of a dry well.
    """

    id: Id
    kind: StructureKind
    point: Point
    outfall: OutfallKind | None = None
    size_in: BasinSize | None = None
    rim_ft: Elevation | None = None
    invert_ft: Elevation | None = None
    downspout: Id | None = None
    area_ft2: Annotated[float, Meta(ge=0, le=1_000_000)] | None = None
    runoff_c: Share | None = None
    tc_min: Annotated[float, Meta(gt=0, le=600)] | None = None
    tailwater_ft: Elevation | None = None
    pit_length_ft: PitFeet | None = None
    pit_width_ft: PitFeet | None = None
    pit_depth_ft: PitFeet | None = None
    name: Word = ""


class Run(Frozen, frozen=True):
    """Pipe between two structures, drawn as a polyline; ``via`` holds its bends. Which way it was drawn does not matter.

    ``use`` 'drain' is perforated pipe in stone, 'solid' is pipe in backfill. ``start_invert_ft`` and ``end_invert_ft`` pin
    the inverts at the ends as drawn. ``min_slope`` and ``min_cover_in`` stand in place of the job's for this run alone.
    ``grade_breaks`` lets flexible pipe change slope at its bends.
    """

    id: Id
    start: Id
    end: Id
    via: Annotated[tuple[Point, ...], Meta(max_length=500)] = ()
    use: RunUse = "solid"
    pipe: PipeKind = "sdr35"
    diameter_in: PipeDiameter = 4
    sock: bool = False
    start_invert_ft: Elevation | None = None
    end_invert_ft: Elevation | None = None
    min_slope: LeastSlope | None = None
    min_cover_in: Inches | None = None
    grade_breaks: bool = False
    name: Word = ""


class Option(Frozen, frozen=True):
    """A variant of the drains that is set aside while another one is drawn. Ids within it are unique with those of the yard."""

    name: Word
    note: Text = ""
    structures: tuple[Structure, ...] = ()
    runs: tuple[Run, ...] = ()
    laying: Laying = Laying()


class BackdropLine(Frozen, frozen=True):
    """A line of a drawing that came from elsewhere."""

    points: Line
    closed: bool = False
    layer: Word = ""


class Backdrop(Frozen, frozen=True):
    """A drawing from elsewhere that lies under the plan, to draw by. It is counted and checked nowhere."""

    source: Word = ""
    shown: bool = True
    lines: Annotated[tuple[BackdropLine, ...], Meta(max_length=20_000)] = ()


class Job(Frozen, frozen=True):
    """One yard, all that the user said about it.

    ``structures``, ``runs`` and ``laying`` are the option that is drawn: ``option`` is its name, ``option_at`` its place among those
    ``aside``.
    """

    header: Header = Header()
    boundary: Boundary | None = None
    obstacles: tuple[Obstacle, ...] = ()
    downspouts: tuple[Downspout, ...] = ()
    services: tuple[Service, ...] = ()
    breaklines: tuple[Breakline, ...] = ()
    heaps: tuple[Heap, ...] = ()
    shots: tuple[Shot, ...] = ()
    structures: tuple[Structure, ...] = ()
    runs: tuple[Run, ...] = ()
    book: LevelBook = LevelBook()
    laying: Laying = Laying()
    stock: Annotated[tuple[BasinBody, ...], Meta(max_length=4)] = ()  # sizes that differ from the shipped catalogue
    rain: Rain = Rain()
    water: WaterBasis = WaterBasis()
    criteria: Criteria = Criteria()
    sections: Sections = Sections()
    waste: Annotated[tuple[WasteRule, ...], Meta(max_length=40)] = ()
    pricing: Pricing = Pricing()
    offer: Offer = Offer()
    work: WorkPlan = WorkPlan()
    option: Word = ""
    option_note: Text = ""
    option_at: Annotated[int, Meta(ge=0, le=2)] = 0
    aside: Annotated[tuple[Option, ...], Meta(max_length=2)] = ()
    backdrop: Backdrop | None = None


Thing = Boundary | Obstacle | Downspout | Service | Breakline | Heap | Shot | Structure | Run
COLLECTIONS = ("obstacles", "downspouts", "services", "breaklines", "heaps", "shots", "structures", "runs")
Lined = Boundary | Obstacle | Service | Breakline | Heap  # things with ``points`` of their own
POINT_OBSTACLES = ("tree", "well")
LINE_OBSTACLES = ("fence",)
