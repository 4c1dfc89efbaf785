"""The words of the job: what the user said about a yard, as frozen structs.

Nothing here is computed. Plan coordinates are feet, x east and y north; elevations are feet above the job's own
datum (a benchmark the user names); pipe and basin sizes are inches. Ids are unique over the whole job. The bounds
stand here once: the file reader and the JSON Schema both take them from the annotations.
"""

from typing import Annotated, Literal

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.rain import Rain

Coordinate = Annotated[float, Meta(ge=-50_000, le=50_000)]
Elevation = Annotated[float, Meta(ge=-2_000, le=30_000)]
Point = tuple[Coordinate, Coordinate]
Line = Annotated[tuple[Point, ...], Meta(min_length=2, max_length=5_000)]
Ring = Annotated[tuple[Point, ...], Meta(min_length=3, max_length=5_000)]
Places = Annotated[tuple[Point, ...], Meta(min_length=1, max_length=5_000)]
Id = Annotated[str, Meta(min_length=1, max_length=40, pattern=r"^[A-Za-z][A-Za-z0-9-]*$")]
Word = Annotated[str, Meta(max_length=200)]
Text = Annotated[str, Meta(max_length=4_000)]
Slope = Annotated[float, Meta(ge=0, le=2)]
LeastSlope = Annotated[float, Meta(ge=0, le=0.25)]  # ft/ft; more is a percentage typed as a ratio
Inches = Annotated[float, Meta(ge=0, le=240)]
SizeInches = Annotated[float, Meta(gt=0, le=240)]
Feet = Annotated[float, Meta(ge=0, le=5_000)]

Units = Literal["ft-in", "ft", "m"]
ObstacleKind = Literal["building", "hardscape", "tree", "fence", "bed", "septic", "well", "other"]
ServiceKind = Literal["electric", "gas", "communication", "water", "irrigation", "sewer", "drain line", "unidentified"]
KnownBy = Literal["assumed", "owner", "records", "marked", "exposed"]
StructureKind = Literal["basin", "fitting", "cleanout", "downspout inlet", "outfall"]
OutfallKind = Literal["daylight", "pop-up", "tie-in", "curb", "dry well"]
PipeKind = Literal["corrugated", "smooth-lined", "sdr35", "sch40"]
RunUse = Literal["drain", "solid"]
PipeDiameter = Literal[3, 4, 6, 8, 10, 12]
BasinSize = Literal[9, 12, 18, 24]
BreaklineKind = Literal["wall foot", "curb", "swale", "ridge", "other"]
Instrument = Literal["level", "string line"]
SightKind = Literal["backsight", "foresight", "intermediate"]
RodOn = Literal["invert", "top of pipe"]
Paving = Literal["asphalt", "concrete", "brick", "drive-or-walk", "gravel"]
SurfaceKind = Literal[
    "roof", "asphalt", "concrete", "brick", "drive-or-walk", "gravel", "lawn-sandy", "lawn-heavy", "planting-bed"
]
PitFeet = Annotated[float, Meta(gt=0, le=500)]
Share = Annotated[float, Meta(ge=0, le=1)]
Reading = Annotated[float, Meta(ge=-200, le=200)]  # feet; what cannot be read on a rod is a finding, not a refusal


class Header(Frozen, frozen=True):
    """Whose job it is and how its numbers are shown."""

    title: Word = ""
    client: Word = ""
    site: Word = ""
    contractor: Word = ""
    date: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
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


class Shot(Frozen, frozen=True):
    """A ground point. ``elevation_ft`` None: its level comes from the level book, from the sight bound to it."""

    id: Id
    point: Point
    elevation_ft: Elevation | None = None
    name: Word = ""


class Benchmark(Frozen, frozen=True):
    """A point of known elevation, called ``name`` in the level book."""

    id: Id
    name: Word
    elevation_ft: Elevation


class Sight(Frozen, frozen=True):
    """One reading of the level book: on the rod, or measured down from a level string.

    ``at`` is the point it was taken on: a benchmark or turning point goes by the same name wherever it is sighted again.
    ``reading_ft`` None: struck out, and not read again yet.
    ``shot`` is the shot on the plan that takes its level from it; None while it is not placed.
    """

    id: Id
    kind: SightKind
    at: Word
    reading_ft: Reading | None = None
    distance_ft: Annotated[float, Meta(ge=0, le=5_000)] | None = None
    note: Word = ""
    shot: Id | None = None


class Setup(Frozen, frozen=True):
    """One standing of the level, or one stretch of string, with its sights in the order taken."""

    id: Id
    instrument: Instrument = "level"
    sights: Annotated[tuple[Sight, ...], Meta(max_length=5_000)] = ()
    name: Word = ""


class TwoPeg(Frozen, frozen=True):
    """A two-peg check of the level: readings on pegs A and B with the level midway, then with it close to A."""

    middle_a_ft: Reading
    middle_b_ft: Reading
    near_a_ft: Reading
    near_b_ft: Reading


class LevelBook(Frozen, frozen=True):
    """Readings as taken. Levels are worked out from them, never stored. ``allowance_ft`` is the misclosure put up with."""

    benchmarks: Annotated[tuple[Benchmark, ...], Meta(max_length=200)] = ()
    setups: Annotated[tuple[Setup, ...], Meta(max_length=1_000)] = ()
    allowance_ft: Annotated[float, Meta(ge=0, le=10)] = 0.02
    adjust: bool = False
    two_peg: TwoPeg | None = None


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


class BasinBody(Frozen, frozen=True):
    """A size of basin as it is stocked, with the risers and the grate that go on it.

    ``height_in`` is from floor to top of the body, ``grate_in`` what the grate adds to it. Pipes enter at openings whose sill
    stands ``opening_in`` above the floor or higher. ``risers_in`` are the heights of risers that fit. ``grate_open_in2`` is
    the open area of the clean grate and ``grate_edge_in`` the edge that water comes over; None takes those shipped for the size.
    """

    size_in: BasinSize
    height_in: SizeInches
    grate_in: Inches = 0.0
    opening_in: Inches = 0.0
    openings: Annotated[int, Meta(ge=1, le=24)] = 4
    largest_pipe_in: PipeDiameter = 6
    risers_in: Annotated[tuple[SizeInches, ...], Meta(min_length=1, max_length=12)] = (6.0,)
    grate_open_in2: Annotated[float, Meta(gt=0, le=10_000)] | None = None
    grate_edge_in: SizeInches | None = None
    source: Word = ""


class SlopeRule(Frozen, frozen=True):
    """Slope limits of one pipe kind, or of one size of it; ``diameter_in`` None is every size."""

    pipe: PipeKind
    diameter_in: PipeDiameter | None = None
    min_slope: LeastSlope = 0.01
    max_slope: Slope = 0.5


class LaidReading(Frozen, frozen=True):
    """A reading on laid pipe: at which station of which run, below the height of a ``setup`` of the book or a typed one."""

    id: Id
    run: Id
    station_ft: Feet
    reading_ft: Reading
    height_ft: Elevation | None = None
    setup: Id | None = None
    rod_on: RodOn = "invert"


class Laying(Frozen, frozen=True):
    """How the crew sets pipe to grade, and what was read on the laid pipe.

    The cut sheet is reckoned from the height of a ``setup`` of the book, whose instrument it then is, or from a typed
    ``height_ft``; neither is not set up yet.
    """

    instrument: Instrument = "level"
    height_ft: Elevation | None = None
    setup: Id | None = None
    rod_on: RodOn = "invert"
    interval_ft: Annotated[float, Meta(ge=1, le=500)] = 10.0
    tolerance_in: Annotated[float, Meta(ge=0, le=12)] = 0.25
    readings: Annotated[tuple[LaidReading, ...], Meta(max_length=20_000)] = ()


class SurfaceRule(Frozen, frozen=True):
    """The runoff coefficient of a kind of surface in this job, in place of the shipped one."""

    surface: SurfaceKind
    c: Share


class RoughnessRule(Frozen, frozen=True):
    """Manning's n of a kind of pipe in this job, in place of the shipped one."""

    pipe: PipeKind
    use: RunUse
    n: Annotated[float, Meta(ge=0.005, le=0.1)]


class WaterBasis(Frozen, frozen=True):
    """What the flow of water is reckoned with. Defaults and their sources: ``resources/catalogue/water.toml``.

    ``infiltration_in_h`` is what the soil of a dry well was measured to take up; None is not measured.
    """

    lawn_soil: Literal["sandy", "heavy"] = "heavy"
    coefficients: Annotated[tuple[SurfaceRule, ...], Meta(max_length=20)] = ()
    roughness: Annotated[tuple[RoughnessRule, ...], Meta(max_length=20)] = ()
    least_tc_min: Annotated[float, Meta(ge=1, le=60)] = 5.0
    grate_clogged: Annotated[float, Meta(ge=0, le=0.95)] = 0.5
    grate_ponding_in: Inches = 3.0
    self_cleansing_ft_s: Annotated[float, Meta(ge=0, le=20)] = 2.0
    stone_voids: Annotated[float, Meta(ge=0, le=0.6)] = 0.4
    infiltration_in_h: Annotated[float, Meta(gt=0, le=100)] | None = None
    drawdown_h: Annotated[float, Meta(gt=0, le=500)] = 48.0


class Criteria(Frozen, frozen=True):
    """The limits this job is held to. Defaults and their sources: ``resources/catalogue/criteria.toml``."""

    min_slope: LeastSlope = 0.01
    max_slope: Slope = 0.5
    slope_rules: Annotated[tuple[SlopeRule, ...], Meta(max_length=100)] = ()
    min_cover_in: Inches = 12.0
    min_cover_drive_in: Inches = 18.0
    clearance_in: Inches = 12.0
    hand_dig_each_side_in: Annotated[float, Meta(ge=18, le=240)] = 18.0
    outfall_taper_ft: Annotated[float, Meta(ge=0, le=200)] = 20.0
    building_setback_ft: Feet = 5.0
    septic_setback_ft: Feet = 10.0
    well_setback_ft: Feet = 50.0
    root_zone_ft_per_in: Annotated[float, Meta(ge=0, le=5)] = 1.25
    trench_width_in: Annotated[float, Meta(ge=3, le=120)] = 12.0
    stone_bed_in: Inches = 2.0
    topsoil_cap_in: Inches = 4.0
    basin_sump_in: Inches = 4.0
    basin_bed_in: Inches = 2.0
    basin_drop_in: Inches = 0.0
    footing_depth_in: Inches = 12.0
    beyond_4_ft_times: Annotated[float, Meta(ge=1, le=20)] = 1.5
    beyond_5_ft_times: Annotated[float, Meta(ge=1, le=20)] = 3.0
    reading_error_in: Annotated[float, Meta(ge=0, le=12)] = 0.125
    contour_interval_ft: Annotated[float, Meta(ge=0.01, le=100)] = 0.5
    swell: Annotated[float, Meta(ge=1, le=3)] = 1.25
    stone_tons_per_yd3: Annotated[float, Meta(ge=0.5, le=3)] = 1.35


class Job(Frozen, frozen=True):
    """One yard, all that the user said about it."""

    header: Header = Header()
    boundary: Boundary | None = None
    obstacles: tuple[Obstacle, ...] = ()
    downspouts: tuple[Downspout, ...] = ()
    services: tuple[Service, ...] = ()
    breaklines: tuple[Breakline, ...] = ()
    shots: tuple[Shot, ...] = ()
    structures: tuple[Structure, ...] = ()
    runs: tuple[Run, ...] = ()
    book: LevelBook = LevelBook()
    laying: Laying = Laying()
    stock: Annotated[tuple[BasinBody, ...], Meta(max_length=4)] = ()  # sizes that differ from the shipped catalogue
    rain: Rain = Rain()
    water: WaterBasis = WaterBasis()
    criteria: Criteria = Criteria()


Thing = Boundary | Obstacle | Downspout | Service | Breakline | Shot | Structure | Run
COLLECTIONS = ("obstacles", "downspouts", "services", "breaklines", "shots", "structures", "runs")
Lined = Boundary | Obstacle | Service | Breakline  # things with ``points`` of their own
POINT_OBSTACLES = ("tree", "well")
LINE_OBSTACLES = ("fence",)
