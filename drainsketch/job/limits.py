"""The limits a job is held to, what its water is reckoned with, and its basin stock."""

from typing import Annotated, Literal

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import (
    BasinSize,
    Feet,
    Inches,
    LeastSlope,
    PipeDiameter,
    PipeKind,
    RunUse,
    Share,
    SizeInches,
    Slope,
    SurfaceKind,
    Word,
)


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
