"""Whole valid jobs and edits for property tests.

``jobs()`` gives any job the file can hold, from the empty one up; its ids, references and point counts are right, its
coordinates within a yard unless ``wide``. ``edited(job)`` gives one edit of it.
"""

from typing import Any, get_args

from hypothesis import strategies as st

from drainsketch.job.ask import is_closed, things
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change, change_criteria, change_header
from drainsketch.job.edits.join import split_run
from drainsketch.job.edits.move import bends, insert_vertex, move, move_vertex, remove_vertex
from drainsketch.job.edits.remove import remove
from drainsketch.job.kinds import (
    BasinSize,
    Instrument,
    KnownBy,
    ObstacleKind,
    OutfallKind,
    Paving,
    PipeDiameter,
    PipeKind,
    RunUse,
    ServiceKind,
    SightKind,
    StructureKind,
    Units,
)
from drainsketch.job.levelling import Benchmark, LevelBook, Setup, Sight, TwoPeg
from drainsketch.job.limits import Criteria, RoughnessRule, SurfaceRule, WaterBasis
from drainsketch.job.model import Boundary, Downspout, Header, Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.job.rain import Rain, RainMeasure, RainRow, RainTable
from tests.part_strategies import heaps, parts
from tests.strategies_of import kinds, maybe, numbers, points, words

MINUTES = (5.0, 15.0, 60.0)  # of a rain table
levels = numbers(-2_000, 30_000) | st.integers(9_000, 10_500).map(lambda hundredths: hundredths / 100)


def headers() -> st.SearchStrategy[Header]:
    """Headers with any words."""
    dates = st.just("") | st.dates().map(lambda day: f"{day.year:04d}-{day.month:02d}-{day.day:02d}")
    texts = dict.fromkeys(("title", "client", "site", "contractor", "benchmark", "notes"), words)
    return st.builds(Header, date=dates, units=kinds(Units), **texts)


def limits() -> st.SearchStrategy[Criteria]:
    """Criteria away from their defaults."""
    return st.builds(
        Criteria,
        min_slope=numbers(0, 0.25),
        max_slope=numbers(0, 2),
        min_cover_in=numbers(0, 240),
        hand_dig_each_side_in=numbers(18, 240),
        trench_width_in=numbers(3, 120),
        swell=numbers(1, 3),
    )


@st.composite
def rains(draw: st.DrawFn) -> Rain:
    """No rain, a typed intensity, or a table with gaps and a storm chosen from it."""
    if draw(st.booleans()):
        return Rain(intensity_in_h=draw(maybe(numbers(0.01, 20))), source=draw(words))
    years = (2.0, 10.0, 25.0)[: draw(st.integers(1, 3))]
    measure = draw(kinds(RainMeasure))
    hard = draw(numbers(0.1, 5))
    whole = [[hard * (1 + i) * m ** (0.5 if measure == "depth" else -0.5) for i in range(len(years))] for m in MINUTES]
    gap = draw(maybe(st.integers(1, 2)))
    rows = tuple(
        RainRow(duration_min=m, values=(*row[:-1], None if i == gap else row[-1]))
        for i, (m, row) in enumerate(zip(MINUTES, whole, strict=True))
    )
    table = RainTable(measure=measure, return_periods_yr=years, rows=rows, source=draw(words))
    return Rain(table=table, return_period_yr=draw(maybe(st.sampled_from(years))), storm_min=draw(numbers(5, 2_880)))


def waters() -> st.SearchStrategy[WaterBasis]:
    """What water is reckoned with, away from the defaults."""
    return st.builds(
        WaterBasis,
        lawn_soil=st.sampled_from(["sandy", "heavy"]),
        coefficients=maybe(numbers(0, 1)).map(lambda c: () if c is None else (SurfaceRule(surface="roof", c=c),)),
        roughness=maybe(numbers(0.005, 0.1)).map(
            lambda n: () if n is None else (RoughnessRule(pipe="sdr35", use="solid", n=n),)
        ),
        infiltration_in_h=maybe(numbers(0.01, 100)),
        grate_clogged=numbers(0, 0.95),
    )


@st.composite
def obstacles(draw: st.DrawFn, thing_id: str, wide: bool = False) -> Obstacle:
    """An obstacle whose point count fits its kind."""
    kind = draw(kinds(ObstacleKind))
    fewest, most = {"tree": (1, 1), "well": (1, 1), "fence": (2, 6)}.get(kind, (3, 6))
    place = tuple(draw(st.lists(points(wide), min_size=fewest, max_size=most)))
    trunk = draw(maybe(numbers(0.5, 200))) if kind == "tree" else None
    paved = draw(maybe(kinds(Paving))) if kind == "hardscape" else None
    return Obstacle(id=thing_id, kind=kind, points=place, trunk_diameter_in=trunk, surface=paved, name=draw(words))


@st.composite
def services(draw: st.DrawFn, thing_id: str, wide: bool = False) -> Service:
    """A buried service of known or unknown depth."""
    return Service(
        id=thing_id,
        kind=draw(kinds(ServiceKind)),
        points=tuple(draw(st.lists(points(wide), min_size=2, max_size=5))),
        depth_top_ft=draw(maybe(numbers(0, 50))),
        size_in=draw(maybe(numbers(0.25, 240))),
        known_by=draw(kinds(KnownBy)),
    )


@st.composite
def structures(draw: st.DrawFn, thing_id: str, downspouts: tuple[str, ...] = (), wide: bool = False) -> Structure:
    """A structure that carries only the fields of its kind."""
    kind = draw(kinds(StructureKind))
    return Structure(
        id=thing_id,
        kind=kind,
        point=draw(points(wide)),
        outfall=draw(maybe(kinds(OutfallKind))) if kind == "outfall" else None,
        size_in=draw(maybe(kinds(BasinSize))) if kind == "basin" else None,
        rim_ft=draw(maybe(levels)),
        invert_ft=draw(maybe(levels)),
        downspout=draw(maybe(st.sampled_from(downspouts))) if kind == "downspout inlet" and downspouts else None,
        area_ft2=draw(maybe(numbers(0, 1e6))) if kind == "basin" else None,
        tailwater_ft=draw(maybe(levels)) if kind == "outfall" else None,
        pit_length_ft=draw(maybe(numbers(0.5, 500))) if kind == "outfall" else None,
        name=draw(words),
    )


@st.composite
def runs(draw: st.DrawFn, thing_id: str, ends: tuple[str, ...], wide: bool = False) -> Run:
    """A run between two different structures."""
    start, end = draw(st.lists(st.sampled_from(ends), min_size=2, max_size=2, unique=True))
    return Run(
        id=thing_id,
        start=start,
        end=end,
        via=tuple(draw(st.lists(points(wide), max_size=4))),
        use=draw(kinds(RunUse)),
        pipe=draw(kinds(PipeKind)),
        diameter_in=draw(kinds(PipeDiameter)),
        sock=draw(st.booleans()),
        start_invert_ft=draw(maybe(levels)),
        end_invert_ft=draw(maybe(levels)),
    )


@st.composite
def books(draw: st.DrawFn, shots: tuple[str, ...] = ()) -> LevelBook:
    """A level book whose points are few, so that setups hang on each other, close, circle and hang on nothing."""
    names = st.sampled_from(["BM1", "bm 1", "BM2", "T1", "t 1", "T2", "a", ""])
    ids = iter(range(1, 1_000))
    free = list(shots)

    def sight() -> Sight:
        bound = draw(st.booleans()) if free else False
        return Sight(
            id=f"sight-{next(ids)}",
            kind=draw(kinds(SightKind)),
            at=draw(names),
            reading_ft=draw(maybe(st.integers(-200, 2_600).map(lambda n: n / 100))),
            distance_ft=draw(maybe(st.integers(0, 300).map(float))),
            note=draw(words),
            shot=free.pop() if bound else None,
        )

    marks = draw(st.lists(st.tuples(names, st.integers(9_000, 11_000).map(lambda n: n / 100)), max_size=3))
    return LevelBook(
        benchmarks=tuple(Benchmark(id=f"benchmark-{i}", name=n, elevation_ft=z) for i, (n, z) in enumerate(marks, 1)),
        setups=tuple(
            Setup(
                id=f"setup-{i}",
                instrument=draw(kinds(Instrument)),
                sights=tuple(sight() for _ in range(draw(st.integers(0, 5)))),
                name=draw(words),
            )
            for i in range(1, 1 + draw(st.integers(0, 5)))
        ),
        allowance_ft=draw(numbers(0, 10)),
        adjust=draw(st.booleans()),
        two_peg=draw(maybe(st.builds(TwoPeg, **dict.fromkeys(TwoPeg.__struct_fields__, numbers(-200, 200))))),
    )


@st.composite
def jobs(draw: st.DrawFn, wide: bool = False) -> Job:
    """Any whole job. ``wide`` lets coordinates reach as far as the file allows."""

    def some(most: int) -> range:
        return range(1, 1 + draw(st.integers(0, most)))

    place = points(wide)
    ring = st.lists(place, min_size=3, max_size=6).map(tuple)
    downspouts = tuple(
        Downspout(id=f"downspout-{i}", point=draw(place), roof_area_ft2=draw(numbers(0, 1e6)), name=draw(words))
        for i in some(3)
    )
    spout_ids = tuple(d.id for d in downspouts)
    built = tuple(draw(structures(f"B{i}", spout_ids, wide)) for i in some(6))
    ends = tuple(s.id for s in built)
    shots = tuple(
        Shot(id=f"S{i}", point=draw(place), elevation_ft=draw(maybe(levels)), name=draw(words)) for i in some(5)
    )
    book = draw(books(tuple(s.id for s in shots if s.elevation_ft is None)))
    return Job(
        header=draw(headers()),
        boundary=draw(maybe(st.builds(Boundary, id=st.just("boundary"), points=ring))),
        obstacles=tuple(draw(obstacles(f"o-{i}", wide)) for i in some(3)),
        downspouts=downspouts,
        services=tuple(draw(services(f"s-{i}", wide)) for i in some(3)),
        shots=shots,
        structures=built,
        runs=tuple(draw(runs(f"R{i}", ends, wide)) for i in some(5)) if len(ends) > 1 else (),
        book=book,
        rain=draw(rains()),
        water=draw(waters()),
        criteria=draw(limits()),
        **draw(parts(wide, spout_ids, tuple(s.id for s in book.setups))),
    )


@st.composite
def edited(draw: st.DrawFn, job: Job) -> Job:  # noqa: PLR0911
    """The job after one edit, of a kind drawn at random among those it allows."""
    there = tuple(things(job))
    choices = ["add", "header", "criteria"]
    choices += ["move", "move vertex", "insert vertex", "remove vertex", "remove", "change"] if there else []
    choices += ["split"] if job.runs else []
    match draw(st.sampled_from(choices)):
        case "add":
            return add(job, draw(_new_things(job)))
        case "header":
            return change_header(job, title=draw(words), units=draw(kinds(Units)))
        case "criteria":
            return change_criteria(job, min_slope=draw(numbers(0, 0.25)))
        case "split":
            run = draw(st.sampled_from(job.runs))
            return split_run(job, run.id, draw(points()), Structure(id="", kind="fitting", point=(0.0, 0.0)))[0]
        case "move":
            ids = draw(st.lists(st.sampled_from([t.id for t in there]), min_size=1, max_size=3))
            return move(job, ids, draw(numbers(-99, 99)), draw(numbers(-99, 99)))
        case "remove":
            return remove(job, draw(st.lists(st.sampled_from([t.id for t in there]), min_size=1, max_size=3)))
        case "change":
            return draw(_changed(job))
        case vertex:
            return draw(_reshaped(job, vertex))


@st.composite
def _new_things(draw: st.DrawFn, job: Job) -> Any:
    ends = tuple(s.id for s in job.structures)
    spouts = tuple(d.id for d in job.downspouts)
    made: list[st.SearchStrategy[Any]] = [
        obstacles(""),
        services(""),
        structures("", spouts),
        st.builds(Shot, id=st.just(""), point=points(), elevation_ft=levels),
        st.builds(Downspout, id=st.just(""), point=points()),
        heaps(""),
        st.builds(Boundary, id=st.just("boundary"), points=st.lists(points(), min_size=3, max_size=5).map(tuple)),
    ]
    return draw(st.one_of(made + ([runs("", ends)] if len(ends) > 1 else [])))


@st.composite
def _changed(draw: st.DrawFn, job: Job) -> Job:
    thing = draw(st.sampled_from(tuple(things(job))))
    if isinstance(thing, Structure):
        fields = draw(st.sampled_from([{"kind": kind} for kind in get_args(StructureKind)] + [{"rim_ft": 99.5}]))
    elif isinstance(thing, Obstacle) and is_closed(thing):
        fields = {"kind": draw(st.sampled_from(["building", "hardscape", "bed", "septic", "other", "fence"]))}
    elif isinstance(thing, Run):
        fields = {"diameter_in": draw(kinds(PipeDiameter)), "use": draw(kinds(RunUse))}
    elif isinstance(thing, Boundary):
        fields = {"points": tuple(draw(st.lists(points(), min_size=3, max_size=5)))}
    else:
        fields = {"name": draw(words)}
    return change(job, thing.id, **fields)


@st.composite
def _reshaped(draw: st.DrawFn, job: Job, how: str) -> Job:
    thing = draw(st.sampled_from(tuple(things(job))))
    corners = bends(thing)
    if how == "insert vertex":
        return insert_vertex(job, thing.id, draw(st.integers(0, len(corners))), draw(points()))
    if not corners:
        return job
    index = draw(st.integers(0, len(corners) - 1))
    return (
        move_vertex(job, thing.id, index, draw(points()))
        if how == "move vertex"
        else remove_vertex(job, thing.id, index)
    )
