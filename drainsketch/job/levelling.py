"""The level book and the laying of pipe: readings as taken, from which levels are worked out."""

from typing import Annotated

from msgspec import Meta

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import Elevation, Feet, Id, Instrument, Reading, RodOn, SightKind, Word


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
