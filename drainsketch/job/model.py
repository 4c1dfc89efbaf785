"""The words of the job: what the user said about a yard, as frozen structs.

Nothing here is computed. Plan coordinates are feet, x east and y north; elevations are feet above the job's own
datum (a benchmark the user names); pipe and basin sizes are inches. Ids are unique over the whole job. The bounds
stand here once: the file reader and the JSON Schema both take them from the annotations.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct

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


class Frozen(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A value: equal by content, never changed in place."""


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
    a tree or a well is one point. ``trunk_diameter_in`` belongs to trees only.
    """

    id: Id
    kind: ObstacleKind
    points: Places
    trunk_diameter_in: Annotated[float, Meta(gt=0, le=200)] | None = None
    name: Word = ""


class Downspout(Frozen, frozen=True):
    """Where roof water comes down, and the roof area (plan view) that feeds it."""

    id: Id
    point: Point
    roof_area_ft2: Annotated[float, Meta(ge=0, le=1_000_000)] = 0.0
    name: Word = ""


class Service(Frozen, frozen=True):
    """A buried service. ``depth_top_ft`` is from the ground to its top; None is 'nobody knows yet'."""

    id: Id
    kind: ServiceKind
    points: Line
    depth_top_ft: Annotated[float, Meta(ge=0, le=50)] | None = None
    size_in: SizeInches | None = None
    known_by: KnownBy = "assumed"
    name: Word = ""


class Shot(Frozen, frozen=True):
    """A ground point with an elevation."""

    id: Id
    point: Point
    elevation_ft: Elevation
    name: Word = ""


class Structure(Frozen, frozen=True):
    """A basin, fitting, cleanout, downspout inlet or outfall.

    ``rim_ft`` None means flush with the ground. ``invert_ft`` pins the invert of the pipe that leaves (at an outfall: that
    arrives); at a tie-in or a curb it is the measured level there. ``size_in`` belongs to basins, ``outfall`` to outfalls,
    ``downspout`` to downspout inlets.
    """

    id: Id
    kind: StructureKind
    point: Point
    outfall: OutfallKind | None = None
    size_in: BasinSize | None = None
    rim_ft: Elevation | None = None
    invert_ft: Elevation | None = None
    downspout: Id | None = None
    name: Word = ""


class Run(Frozen, frozen=True):
    """Pipe between two structures, drawn as a polyline; ``via`` holds its bends. Which way it was drawn does not matter.

    ``use`` 'drain' is perforated pipe in stone, 'solid' is pipe in backfill. ``start_invert_ft`` and ``end_invert_ft`` pin
    the inverts at the ends as drawn.
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
    name: Word = ""


class Criteria(Frozen, frozen=True):
    """The limits this job is held to. Defaults and their sources: ``resources/catalogue/criteria.toml``."""

    min_slope: LeastSlope = 0.01
    max_slope: Slope = 0.5
    min_cover_in: Inches = 12.0
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
    swell: Annotated[float, Meta(ge=1, le=3)] = 1.25
    stone_tons_per_yd3: Annotated[float, Meta(ge=0.5, le=3)] = 1.35


class Job(Frozen, frozen=True):
    """One yard, all that the user said about it."""

    header: Header = Header()
    boundary: Boundary | None = None
    obstacles: tuple[Obstacle, ...] = ()
    downspouts: tuple[Downspout, ...] = ()
    services: tuple[Service, ...] = ()
    shots: tuple[Shot, ...] = ()
    structures: tuple[Structure, ...] = ()
    runs: tuple[Run, ...] = ()
    criteria: Criteria = Criteria()


Thing = Boundary | Obstacle | Downspout | Service | Shot | Structure | Run
COLLECTIONS = ("obstacles", "downspouts", "services", "shots", "structures", "runs")
POINT_OBSTACLES = ("tree", "well")
LINE_OBSTACLES = ("fence",)
