"""Whatever a job holds, the review answers: no error, no number that is none, a sentence for each finding, and a remembered
review equal to a fresh one.

The yards are drawn to be awkward: structures on one spot, runs without length, bends that double back, shots in one line, on
one spot, on a grid or ten thousand feet off, pins that contradict each other, services along runs, outlines that cross
themselves, criteria at their bounds.
"""

from math import isfinite
from random import Random
from typing import Any, get_args

import msgspec
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drainsketch.errors import EditError
from drainsketch.job.edits.move import move
from drainsketch.job.kinds import (
    KnownBy,
    ObstacleKind,
    OutfallKind,
    PipeDiameter,
    PipeKind,
    Point,
    ServiceKind,
    StructureKind,
)
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Boundary, Job, Obstacle, Run, Service, Shot, Structure
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.rules import job_faults
from drainsketch.review import Review, analyse
from drainsketch.wording import Words
from tests.strategies import jobs
from tests.test_review import same
from tests.yards import basin, drawn, kinds, outfall, plane, run, service, shot

WORDS = tuple(Words("en", units) for units in ("ft-in", "ft", "m"))  # type: ignore[arg-type]
BOUNDS = {  # of the criteria: both ends, and the usual
    "min_slope": (0.0, 0.01, 0.25),
    "max_slope": (0.0, 0.5, 2.0),
    "min_cover_in": (0.0, 12.0, 240.0),
    "clearance_in": (0.0, 12.0, 240.0),
    "hand_dig_each_side_in": (18.0, 240.0),
    "outfall_taper_ft": (0.0, 20.0, 200.0),
    "building_setback_ft": (0.0, 5.0, 5000.0),
    "septic_setback_ft": (0.0, 10.0, 5000.0),
    "well_setback_ft": (0.0, 50.0, 5000.0),
    "root_zone_ft_per_in": (0.0, 1.25, 5.0),
    "trench_width_in": (3.0, 12.0, 120.0),
    "stone_bed_in": (0.0, 2.0, 240.0),
    "topsoil_cap_in": (0.0, 4.0, 240.0),
    "basin_sump_in": (0.0, 4.0, 240.0),
    "basin_bed_in": (0.0, 2.0, 240.0),
    "swell": (1.0, 3.0),
    "stone_tons_per_yd3": (0.5, 3.0),
}


class Yard:
    """Draws one awkward yard by a source of chance."""

    def __init__(self, r: Random) -> None:
        self.r = r
        self.scale_ft = r.choice([1e-3, 1.0, 10.0, 100.0, 100.0, 100.0, 1e4])
        self.grid_ft = r.choice([0, 0, 1, 5, 20])
        self.levels = r.choice(["mild", "mild", "wild", "bounds"])
        self.pool = [self.fresh() for _ in range(r.randint(1, 12))]

    def fresh(self) -> Point:
        x, y = (self.r.uniform(0, 1) * self.scale_ft for _ in "xy")
        g = self.grid_ft
        return (round(x / g) * g * 1.0, round(y / g) * g * 1.0) if g else (x, y)

    def point(self) -> Point:
        """A point, more often than not one that is taken."""
        return self.r.choice(self.pool) if self.r.random() < 0.6 else self.fresh()

    def level(self) -> float:
        if self.levels == "mild":
            return 100 + self.r.uniform(-2, 2)
        return self.r.choice([-2000.0, 30000.0, 100.0]) if self.levels == "bounds" else self.r.uniform(-2000, 30000)

    def pin(self) -> float | None:
        return None if self.r.random() < 0.7 else self.level()

    def shots(self) -> tuple[Shot, ...]:
        r, n, (x, y), (u, v) = self.r, self.r.randint(1, 20), self.point(), self.point()
        shares = [r.random() for _ in range(n)]
        side = r.randint(2, 12)
        places = {
            "none": [],
            "one": [(x, y)],
            "line": [(x + t * (u - x), y + t * (v - y)) for t in shares],
            "spot": [(x + 1e-3 * t, y - 1e-3 * t * t) for t in shares],
            "grid": [(i * self.scale_ft / side, j * self.scale_ft / side) for i in range(side) for j in range(side)],
            "far": [(x + 1e4 * t, y + r.choice([0, 1e4])) for t in shares],
            "pairs": [(a + d, b) for a, b in (self.point() for _ in range(n)) for d in (0, 1e-3)],
            "any": [self.point() for _ in range(n)],
        }
        chosen = places[r.choice(["none", "one", "line", "spot", "grid", "far", "pairs", "any", "any", "any"])]
        return tuple(Shot(id=f"S{i}", point=p, elevation_ft=self.level()) for i, p in enumerate(chosen))

    def structure(self, number: int) -> Structure:
        kind = self.r.choice(get_args(StructureKind))
        return Structure(
            id=f"{self.r.choice('BZ')}{number}",
            kind=kind,
            point=self.point(),
            outfall=self.r.choice([None, *get_args(OutfallKind)]) if kind == "outfall" else None,
            size_in=self.r.choice([None, 9, 12, 18, 24]) if kind == "basin" else None,
            rim_ft=self.pin(),
            invert_ft=self.pin(),
        )

    def runs(self, built: tuple[Structure, ...]) -> tuple[Run, ...]:
        if len(built) < 2:
            return ()
        r = self.r
        if r.random() < 0.6:
            pairs = [(built[i], built[r.randint(0, i - 1)]) for i in range(1, len(built))]
        else:
            pairs = [tuple(r.sample(built, 2)) for _ in range(r.randint(1, 8))]
        return tuple(self.run(i, a, b) if r.random() < 0.5 else self.run(i, b, a) for i, (a, b) in enumerate(pairs))

    def run(self, number: int, a: Structure, b: Structure) -> Run:
        r, v = self.r, self.point()
        via = r.choice([(), (), (v,), (v, self.point(), self.fresh()), (a.point, v, v, b.point), (b.point, a.point)])
        return Run(
            id=f"R{number}",
            start=a.id,
            end=b.id,
            via=via,
            use=r.choice(["drain", "solid"]),
            pipe=r.choice(get_args(PipeKind)),
            diameter_in=r.choice(get_args(PipeDiameter)),
            start_invert_ft=self.pin(),
            end_invert_ft=self.pin(),
        )

    def service(self, number: int, runs: tuple[Run, ...], built: tuple[Structure, ...]) -> Service:
        r, p = self.r, self.point()
        lines = [(p, self.point()), (p, p, self.point()), (p, p), (p, self.point(), self.fresh(), p)]
        if runs:
            along, at = r.choice(runs), {s.id: s.point for s in built}
            lines.append((at[along.start], *along.via, at[along.end]))
        return Service(
            id=f"s-{number}",
            kind=r.choice(get_args(ServiceKind)),
            points=r.choice(lines),
            depth_top_ft=r.choice([None, 0.0, 1.5, 3.0, 50.0]),
            size_in=r.choice([None, 0.25, 2.0, 240.0]),
            known_by=r.choice(get_args(KnownBy)),
        )

    def obstacle(self, number: int) -> Obstacle:
        kind = self.r.choice(get_args(ObstacleKind))
        corners = {"tree": 1, "well": 1}.get(kind) or self.r.randint(3, 6)
        trunk = self.r.choice([None, 0.5, 200.0]) if kind == "tree" else None
        place = tuple(self.point() for _ in range(corners))
        return Obstacle(id=f"o-{number}", kind=kind, points=place, trunk_diameter_in=trunk)

    def job(self) -> Job:
        r = self.r
        built = tuple(self.structure(i) for i in range(r.randint(0, 9)))
        runs = self.runs(built)
        ring = tuple(self.point() for _ in range(r.randint(3, 6)))
        criteria = {name: r.choice(values) for name, values in BOUNDS.items()} if r.random() < 0.5 else {}
        return Job(
            boundary=Boundary(id="boundary", points=ring) if r.random() < 0.5 else None,
            obstacles=tuple(self.obstacle(i) for i in range(r.randint(0, 4))),
            services=tuple(self.service(i, runs, built) for i in range(r.randint(0, 4))),
            shots=self.shots(),
            structures=built,
            runs=runs,
            criteria=Criteria(**criteria),
        )


def not_numbers(value: Any, path: str = "") -> list[str]:
    """Return the paths at which a value holds a number that is not finite."""
    if isinstance(value, float):
        return [] if isfinite(value) else [path]
    if isinstance(value, np.ndarray):
        return [] if np.isfinite(value).all() else [path]
    if isinstance(value, msgspec.Struct):
        value = {name: getattr(value, name) for name in value.__struct_fields__}
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, tuple | list) else ()
    return [found for key, part in parts for found in not_numbers(part, f"{path}.{key}")]


def hold(job: Job) -> Review:
    """Hold a review to what every review owes its reader; return it."""
    review = analyse(job)
    for name in ("findings", "grades", "levels", "profiles", "paths", "crossings", "shortfalls", "takeoff"):
        assert not_numbers(getattr(review, name), name) == []
    book = job.book  # names are the user's: they may hold anything
    points = [s.at for setup in book.setups for s in setup.sights] + [b.name for b in book.benchmarks]
    typed = [plain(name, LABEL_LENGTH) for name in (*points, *(s.name for s in book.setups))]
    for words in WORDS:
        for f in review.findings:
            said = words.sentence(f) + words.remedy(f)
            for name in typed:
                said = said.replace(name, "")
            assert "?" not in said, said
            assert "None" not in said, said
            words.number_against_limit(f)
        for line in review.takeoff:
            words.item(line), words.rule(line), words.measured(line)
    return review


QUICK = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


@QUICK
@given(st.randoms(use_true_random=False))
def test_an_awkward_yard_is_answered_and_remembered_right(chance: Random) -> None:
    job = Yard(chance).job()
    assert list(job_faults(job)) == []
    review = hold(job)
    if job.structures:
        moved = move(job, [chance.choice(job.structures).id], 1.5, -0.5)
        after = hold(moved)
        same(analyse(moved, review), after)
        same(analyse(job, after), review)


@pytest.mark.parametrize("seed", range(0, 120, 8))
def test_awkward_yards_that_are_the_same_every_time(seed: int) -> None:
    for n in range(seed, seed + 8):
        hold(Yard(Random(n)).job())


@QUICK
@given(jobs())
def test_any_job_a_file_can_hold_is_answered(job: Job) -> None:
    try:
        other = move(job, [s.id for s in job.structures[:2]], 0.7, 0.3)
    except EditError:
        other = job
    same(analyse(other, hold(job)), analyse(other))


# each of these broke the review once


def test_a_run_without_length_is_told_and_still_leads_to_its_outfall() -> None:
    ground = plane(lambda x, y: 100 - 0.03 * x)
    job = drawn(*ground, basin(0, 0), basin(60, 0), outfall(60, 0), run("B1", "B2"), run("O1", "B2"))
    review = hold(job)
    assert [(f.upstream, f.downstream) for f in review.network.runs] == [("B1", "B2"), ("B2", "O1")]
    assert {p.inlet: p.outfall for p in review.paths} == {"B1": "O1", "B2": "O1"}
    assert "run_without_length" in kinds(review)
    assert "run_level" not in kinds(review)


def test_a_run_without_length_over_a_service_or_outside_the_lot_breaks_nothing() -> None:
    lot = Boundary(id="boundary", points=((0, 0), (50, 0), (50, 50)))
    gas = service("gas", (90, -9), (90, 9), depth_top_ft=1.0)
    job = drawn(*plane(lambda x, y: 100.0), lot, gas, basin(90, 0), outfall(90, 0), run("B1", "O1", (90, 0), (90, 0)))
    assert {"run_without_length", "structure_outside_lot", "structure_by_service"} <= set(kinds(hold(job)))


def test_a_service_on_one_spot_is_met_like_any_other() -> None:
    job = drawn(basin(0, 0), outfall(60, 0), run("B1", "O1"), service("electric", (30, 0), (30, 0)))
    assert [c.other for c in hold(job).crossings] == ["electric-1"]


def test_a_dry_well_whose_pipe_is_pinned_has_an_answer() -> None:
    job = drawn(
        *plane(lambda x, y: 100.0), basin(0, 0), outfall(60, 0, "dry well"), run("B1", "O1", end_invert_ft=97.0)
    )
    assert hold(job).grades["R1"].invert_down_ft == 97.0


def test_a_fitting_that_cannot_drain_is_said_with_its_outfall() -> None:
    job = drawn(
        *plane(lambda x, y: 99.0),
        *(shot(30, y, 97.0) for y in (-0.5, 0, 0.5)),
        *(basin(0, 0), Structure(id="", kind="fitting", point=(30, 0)), outfall(60, 0, "curb", invert_ft=98.5)),
        *(run("B1", "F1"), run("F1", "O1")),
    )
    said = [WORDS[0].sentence(f) for f in hold(job).findings if f.kind == "cannot_drain" and f.place.ids == ("F1",)]
    assert said
    assert "F1 cannot drain to O1" in said[0]


def test_a_very_long_run_is_stationed_within_bounds() -> None:
    far = ((-40_000.0, 0.0), (40_000.0, 10.0)) * 20
    job = drawn(shot(0, 0, 100), shot(9, 0, 100), shot(0, 9, 99), basin(0, 0), outfall(9, 0), run("B1", "O1", *far))
    assert len(hold(job).profiles["R1"].station_ft) < 21_000


def test_what_gives_does_not_hang_on_rounding() -> None:
    """Points in line on the ground's hull, kept or not by the last digit, must not change the grade where cover gives."""
    rng = np.random.default_rng(6170)
    levels = (100 + rng.normal(0, 0.5, 12) - np.repeat([0, 1, 2, 3], 3)).tolist()
    places = [(x, y) for x in (0, 40, 80, 120) for y in (-40, 0, 40)]
    pipe = (run("B1", "B2"), run("B2", "F1"), run("F1", "O1"))
    ends = (basin(10, 5), basin(50, -5), Structure(id="", kind="fitting", point=(80, 0)), outfall(115, 0))
    here, there = (
        hold(drawn(*(shot(x, y, z + by) for (x, y), z in zip(places, levels, strict=True)), *ends, *pipe))
        for by in (0.0, 1.0)
    )
    for run_id, g in here.grades.items():
        assert there.grades[run_id].invert_up_ft - 1 == pytest.approx(g.invert_up_ft, abs=1e-6)
