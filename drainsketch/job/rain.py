"""The rain a job is held to: the user's own table for the place, or one typed intensity. Nothing is filled in for them."""

from typing import Annotated, Literal

from msgspec import Meta

from drainsketch.job.frozen import Frozen

Minutes = Annotated[float, Meta(gt=0, le=100_000)]
Years = Annotated[float, Meta(gt=0, le=10_000)]
Fall = Annotated[float, Meta(gt=0, le=200)]  # in, or in/h
RainMeasure = Literal["depth", "intensity"]


class RainRow(Frozen, frozen=True):
    """One duration of a table: a value for each of its return periods in their order, None where the table has a gap."""

    duration_min: Minutes
    values: Annotated[tuple[Fall | None, ...], Meta(min_length=1, max_length=20)]


class RainTable(Frozen, frozen=True):
    """How much falls in how long, how often: depths in inches or intensities in inches per hour, for one place.

    Rows stand in order of duration; ``source`` is what the user says of where the figures come from.
    """

    measure: RainMeasure
    return_periods_yr: Annotated[tuple[Years, ...], Meta(min_length=1, max_length=20)]
    rows: Annotated[tuple[RainRow, ...], Meta(min_length=1, max_length=60)]
    source: Annotated[str, Meta(max_length=200)] = ""


class Rain(Frozen, frozen=True):
    """The storm the job is held to.

    A typed ``intensity_in_h`` stands in place of the table, ``source`` is where that came from. ``return_period_yr`` is a
    column of the table. ``storm_min`` is how long the storm lasts when it is played.
    """

    table: RainTable | None = None
    return_period_yr: Years | None = None
    intensity_in_h: Fall | None = None
    source: Annotated[str, Meta(max_length=200)] = ""
    storm_min: Annotated[float, Meta(ge=5, le=2_880)] = 60.0

    @property
    def is_named(self) -> bool:
        """Whether the user named a storm: an intensity, or a return period of a table."""
        return self.intensity_in_h is not None or (self.table is not None and self.return_period_yr is not None)
