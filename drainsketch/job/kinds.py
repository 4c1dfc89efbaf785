"""The kinds of value that the words of a job are made of: numbers within their bounds, text, points and choices."""

from typing import Annotated, Literal

from msgspec import Meta

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
HeapKind = Literal["spoil heap", "fill area"]
Date = Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")]
Money = Annotated[float, Meta(ge=0, le=1_000_000)]  # dollars
Percent = Annotated[float, Meta(ge=0, le=100)]
