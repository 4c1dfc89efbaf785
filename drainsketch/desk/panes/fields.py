"""What can be changed about each kind of thing: its fields, in the order they are shown."""

from typing import Literal, get_args

from msgspec import Struct

from drainsketch.job import kinds, model
from drainsketch.job.model import Breakline, Downspout, Heap, Job, Obstacle, Run, Service, Shot, Structure, Thing

Quantity = Literal[
    "text",
    "notes",
    "date",
    "choice",
    "flag",
    "length",
    "level",
    "inches",
    "slope",
    "area",
    "number",
    "rain",
    "velocity",
    "share",
    "minutes",
    "duration",
]


class Field(Struct, frozen=True):
    """One field: its name in the model (``point.x`` for a part), what it is called and how it is written.

    ``blank`` says what an empty field means; '' when it may not be empty. ``choices`` pair a value with its words.
    ``beside`` puts the field on the line of the one before, under this common label. ``tip`` says more when pointed at.
    """

    name: str
    label: str
    quantity: Quantity
    blank: str = ""
    choices: tuple[tuple[str | int, str], ...] = ()
    beside: str = ""
    tip: str = ""


def _words(literal: object, **said: str) -> tuple[tuple[str | int, str], ...]:
    return tuple(
        (value, said.get(str(value).replace("-", "_").replace(" ", "_"), str(value))) for value in get_args(literal)
    )


OBSTACLE_WORDS = {  # as the tools are called
    "building": "house or shed",
    "hardscape": "paving",
    "fence": "fence or wall",
    "bed": "planting bed",
    "septic": "septic area",
    "other": "other obstacle",
}
NAME = Field("name", "Name", "text", blank="no name")
POINT = (Field("point.x", "East", "length"), Field("point.y", "North", "length", beside="East, north"))
PIPE_WORDS = _words(
    kinds.PipeKind, corrugated="corrugated", smooth_lined="smooth-lined", sdr35="SDR 35", sch40="Schedule 40"
)
UNITS_WORDS = _words(kinds.Units, ft_in="feet and inches", ft="feet, decimal", m="meters")
KNOWN_WORDS = _words(
    kinds.KnownBy,
    assumed="assumed",
    owner="owner says",
    records="from records",
    marked="marked on the ground",
    exposed="exposed, place not said",
)
PAVING_WORDS = _words(kinds.Paving, drive_or_walk="any drive or walk")
USE_WORDS = _words(kinds.RunUse, drain="perforated, in stone", solid="solid, in backfill")

HEADER = (
    Field("title", "Job", "text", blank="untitled"),
    Field("client", "Client", "text", blank="not given"),
    Field("site", "Site", "text", blank="not given"),
    Field(
        "contractor",
        "Contractor",
        "text",
        blank="your business",
        tip="Left empty, your business stands on the sheets. Another name stands there alone, without your license, address, logo, "
        "insurance and terms.",
    ),
    Field("date", "Date", "date", blank="year-month-day"),
    Field("units", "Units", "choice", choices=UNITS_WORDS),
    Field("benchmark", "Benchmark", "text", blank="what it is and its level"),
    Field("notes", "Notes", "notes", blank="notes for the crew"),
)
OFFER = (
    Field(
        "excluded",
        "Not included, a line each",
        "notes",
        blank="Left empty, the usual is printed: permits, lines nobody marked, rock, unsuitable soil, plants, new grass, leaks",
    ),
    Field("note", "A word to the owner", "notes", blank="printed with the offer"),
    Field("show_lines", "Show the price in parts", "flag"),
)
CRITERIA = (
    Field("min_slope", "Least slope", "slope"),
    Field("max_slope", "Greatest slope", "slope"),
    Field("min_cover_in", "Least cover over pipe", "inches"),
    Field("min_cover_drive_in", "Least cover under drives", "inches"),
    Field("clearance_in", "Clearance to services", "inches"),
    Field("hand_dig_each_side_in", "Hand-dig width, each side", "inches"),
    Field("outfall_taper_ft", "Cover may taper near outfall", "length"),
    Field("building_setback_ft", "Setback, building", "length"),
    Field("septic_setback_ft", "Setback, septic", "length"),
    Field("well_setback_ft", "Setback, well", "length"),
    Field("root_zone_ft_per_in", "Root zone, ft per in of trunk", "number"),
    Field("trench_width_in", "Trench width", "inches"),
    Field("stone_bed_in", "Stone bed under pipe", "inches"),
    Field("topsoil_cap_in", "Topsoil cap", "inches"),
    Field("basin_sump_in", "Basin sump", "inches"),
    Field("basin_bed_in", "Bed under basin", "inches"),
    Field("basin_drop_in", "Drop through a basin", "inches"),
    Field("footing_depth_in", "Footing depth, where unknown", "inches"),
    Field("beyond_4_ft_times", "Digging beyond 4 ft, times", "number"),
    Field("beyond_5_ft_times", "Digging beyond 5 ft, times", "number"),
    Field("reading_error_in", "Reading error, plus or minus", "inches"),
    Field("contour_interval_ft", "Contour interval", "length"),
    Field("swell", "Swell, loose to bank", "number"),
    Field("stone_tons_per_yd3", "Stone, tons per cubic yard", "number"),
)

_PLAIN: dict[type, tuple[Field, ...]] = {
    Service: (
        Field("kind", "Service", "choice", choices=_words(kinds.ServiceKind)),
        NAME,
        Field("depth_top_ft", "Depth to top", "length", blank="unknown"),
        Field("size_in", "Size", "inches", blank="unknown"),
        Field("known_by", "Known by", "choice", choices=KNOWN_WORDS),
        Field("depth_error_ft", "Depth may be off by", "length", blank="usual for how it is known"),
    ),
    Breakline: (Field("kind", "Kind", "choice", choices=_words(kinds.BreaklineKind)), NAME),
    Shot: (Field("elevation_ft", "Level", "level", blank="from the level book"), NAME, *POINT),
    Downspout: (NAME, Field("roof_area_ft2", "Roof area", "area"), *POINT),
}


def fields_of(thing: Thing, job: Job) -> tuple[Field, ...]:
    """Return the fields of a thing that mean something for its kind."""
    if isinstance(thing, Structure):
        return _of_structure(thing, job)
    if isinstance(thing, Run):
        return _of_run(job)
    if isinstance(thing, Obstacle):
        return _of_obstacle(thing)
    if isinstance(thing, Heap):
        return _of_heap(thing)
    return _PLAIN.get(type(thing), ())


def _of_structure(thing: Structure, job: Job) -> tuple[Field, ...]:
    out: list[Field] = [Field("kind", "Kind", "choice", choices=_words(kinds.StructureKind)), NAME]
    if thing.kind == "outfall":
        out.append(Field("outfall", "Outfall", "choice", blank="not chosen", choices=_words(kinds.OutfallKind)))
    if thing.kind == "basin":
        sizes = tuple((size, f"{size} in") for size in get_args(kinds.BasinSize))
        out.append(Field("size_in", "Basin size", "choice", blank="not chosen", choices=sizes))
    if thing.kind == "downspout inlet":
        spouts = tuple((d.id, f"{d.id} {d.name}".strip()) for d in job.downspouts)
        out.append(Field("downspout", "Downspout", "choice", blank="not joined", choices=spouts))
    out.append(Field("rim_ft", "Rim", "level", blank="flush with the ground"))
    out.append(Field("invert_ft", "Invert", "level", blank="placed by the program"))
    out += POINT
    if thing.kind == "basin":
        out.append(Field("area_ft2", "Ground that reaches it", "area", blank="as the shots fall"))
        out.append(Field("runoff_c", "Runoff coefficient", "number", blank="by its surfaces"))
        out.append(Field("tc_min", "Time of concentration, min", "number", blank="by its longest way"))
    if thing.kind == "outfall" and (thing.outfall != "dry well" or thing.tailwater_ft is not None):
        out.append(Field("tailwater_ft", "Water stands outside at", "level", blank="runs off freely"))
    if thing.outfall == "dry well":
        out.append(Field("pit_length_ft", "Pit, length", "length", blank="not given"))
        out.append(Field("pit_width_ft", "Pit, width", "length", blank="not given"))
        out.append(Field("pit_depth_ft", "Pit, depth under the invert", "length", blank="not given"))
    return tuple(out)


def _of_run(job: Job) -> tuple[Field, ...]:
    ends = tuple((s.id, f"{s.id} {s.name}".strip()) for s in job.structures)
    sizes = tuple((size, f"{size} in") for size in get_args(kinds.PipeDiameter))
    return (
        NAME,
        Field("use", "Use", "choice", choices=USE_WORDS),
        Field("pipe", "Pipe", "choice", choices=PIPE_WORDS),
        Field("diameter_in", "Diameter", "choice", choices=sizes),
        Field("sock", "Filter sock", "flag"),
        Field("start", "From", "choice", choices=ends),
        Field("end", "To", "choice", choices=ends),
        Field("start_invert_ft", "Invert at start", "level", blank="placed by the program"),
        Field("end_invert_ft", "Invert at end", "level", blank="placed by the program"),
        Field("min_slope", "Least slope", "slope", blank="as in the limits"),
        Field("min_cover_in", "Least cover", "inches", blank="as in the limits"),
        Field("grade_breaks", "Slope may change at bends", "flag"),
    )


def _of_heap(thing: Heap) -> tuple[Field, ...]:
    depth = Field("fill_in", "Depth in place, settled", "inches", blank="not said yet")
    kind = Field("kind", "Kind", "choice", choices=_words(kinds.HeapKind))
    return (kind, NAME, depth) if thing.kind == "fill area" else (kind, NAME)


def _of_obstacle(thing: Obstacle) -> tuple[Field, ...]:
    called = _words(kinds.ObstacleKind, **OBSTACLE_WORDS)
    points, lines = model.POINT_OBSTACLES, model.LINE_OBSTACLES
    alike = points if thing.kind in points else lines if thing.kind in lines else ()
    # a point cannot become an outline, so only kinds with the same shape are offered
    choices = tuple(c for c in called if (c[0] in alike if alike else c[0] not in (*points, *lines)))
    out = [Field("kind", "Kind", "choice", choices=choices), NAME]
    if thing.kind == "tree":
        out.append(Field("trunk_diameter_in", "Trunk diameter", "inches", blank="not measured"))
    if thing.kind == "hardscape":
        out.append(Field("drive", "Vehicles drive on it", "flag"))
        out.append(Field("surface", "Surface", "choice", blank="drive or walk", choices=PAVING_WORDS))
    if thing.kind == "building":
        out.append(Field("footing_depth_ft", "Ground to bottom of footing", "length", blank="unknown"))
    return (*out, *POINT) if thing.kind in points else tuple(out)
