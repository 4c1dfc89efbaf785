"""Grades against closed forms and against a search over a fine grid."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.model import Job
from drainsketch.network.legs import lower_hull
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run, shot

# 4 in SDR 35 (ASTM D3034): inside 3.975 in, outside 4.215 in, so the outside top is 4.095 in over the invert
TOP_FT = 4.095 / 12
COVER_FT = 1.0


def test_on_ground_steeper_than_the_least_slope_pipe_lies_at_least_cover_all_along() -> None:
    job = drawn(*plane(lambda x, y: 100 - 0.03 * x), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1"))
    g = analyse(job).grades["R1"]
    assert g.slope == pytest.approx(0.03, abs=1e-7)
    assert g.invert_up_ft == pytest.approx(100 - COVER_FT - TOP_FT, abs=1e-6)
    assert g.invert_down_ft == pytest.approx(97.6 - COVER_FT - TOP_FT, abs=1e-6)
    assert (g.least_cover_ft, g.greatest_cover_ft) == (pytest.approx(1.0), pytest.approx(1.0))
    assert g.greatest_cut_ft == pytest.approx(COVER_FT + 4.215 / 12, abs=1e-6)


def test_on_flat_ground_pipe_starts_at_least_cover_and_falls_at_the_least_slope() -> None:
    job = drawn(*plane(lambda x, y: 100.0), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1"))
    g = analyse(job).grades["R1"]
    assert g.invert_up_ft == pytest.approx(100 - COVER_FT - TOP_FT, abs=1e-6)
    assert g.slope == pytest.approx(0.01, abs=1e-7)
    assert g.least_cover_station_ft == pytest.approx(80.0)


def test_a_drain_digs_its_stone_bed_too() -> None:
    solid = drawn(*plane(lambda x, y: 100.0), basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1"))
    dug = analyse(solid).grades["R1"].least_cut_ft
    bedded = analyse(change(solid, "R1", use="drain")).grades["R1"].least_cut_ft
    assert bedded - dug == pytest.approx(2 / 12)


def test_daylight_ends_at_the_ground_and_a_tie_in_at_its_measured_invert() -> None:
    ground = plane(lambda x, y: 100 - 0.04 * x)
    day = analyse(drawn(*ground, basin(0, 0), outfall(80, 0), run("B1", "O1")))
    assert day.grades["R1"].invert_down_ft == pytest.approx(96.8)
    tied = analyse(drawn(*ground, basin(0, 0), outfall(80, 0, "tie-in", invert_ft=94.31), run("B1", "O1")))
    assert tied.grades["R1"].invert_down_ft == 94.31


def test_pinned_inverts_stay_where_they_were_put() -> None:
    job = drawn(
        *plane(lambda x, y: 100.0),
        basin(0, 0),
        basin(40, 0, invert_ft=97.5),
        outfall(80, 0, "dry well"),
        run("B1", "B2"),
        run("O1", "B2", end_invert_ft=97.4),
    )
    review = analyse(job)
    assert review.grades["R2"].invert_up_ft == 97.4  # the end as drawn is the upstream one
    assert review.grades["R1"].invert_down_ft >= 97.5 - 1e-9


def test_water_drops_through_a_basin_but_not_through_a_fitting() -> None:
    # a ditch just below the basin: the pipe that leaves has to lie deeper than the pipe that arrives needs to
    shots = (
        shot(0, -50, 100),
        shot(0, 50, 100),
        shot(40, -50, 98),
        shot(40, 50, 98),
        shot(44, -50, 96.5),
        shot(44, 50, 96.5),
        shot(140, -50, 98),
        shot(140, 50, 98),
    )
    ends = (run("B1", "X"), run("X", "O1"))
    for kind, joined in (("basin", False), ("fitting", True)):
        middle = basin(40, 0) if kind == "basin" else fitting(40, 0)
        name = "B2" if kind == "basin" else "F1"
        job = drawn(
            *shots,
            basin(0, 0),
            middle,
            outfall(140, 0, "dry well"),
            *(run(*(name if e == "X" else e for e in (r.start, r.end))) for r in ends),
        )
        g = analyse(job).grades
        step = g["R1"].invert_down_ft - g["R2"].invert_up_ft
        assert (abs(step) < 1e-6) is joined
        assert step > -1e-6


def test_what_cannot_drain_is_a_stop_with_the_missing_fall() -> None:
    # by hand: outfall at 100.40, 60 ft at 1 % needs 101.00 at the inlet; ground 99.00 less pipe top allows 98.65875
    job = drawn(*plane(lambda x, y: 99.0), basin(0, 0), outfall(60, 0, "curb", invert_ft=100.4), run("B1", "O1"))
    review = analyse(job)
    (found,) = [f for f in review.findings if f.kind == "cannot_drain"]
    assert found.level == "stop"
    assert found.value == pytest.approx(101.0 - (99.0 - TOP_FT), abs=1e-6)
    assert dict(found.params)["needed"] == pytest.approx(101.0, abs=1e-6)
    assert dict(found.params)["highest"] == pytest.approx(99.0 - TOP_FT, abs=1e-6)


def test_cover_gives_before_fall_does() -> None:
    # 60 ft at 1 % from a tie-in 0.25 ft too high for full cover
    top = 100 - COVER_FT - TOP_FT
    job = drawn(
        *plane(lambda x, y: 100.0), basin(0, 0), outfall(60, 0, "tie-in", invert_ft=top - 0.35), run("B1", "O1")
    )
    review = analyse(job)
    (found,) = [f for f in review.findings if f.kind == "shallow_cover"]
    assert found.value == pytest.approx(0.75, abs=1e-6)
    assert review.grades["R1"].slope == pytest.approx(0.01, abs=1e-7)
    assert "cannot_drain" not in kinds(review)


@pytest.mark.parametrize(
    ("up", "down", "kind"),
    [(97.0, 97.2, "run_rises"), (97.0, 97.0, "run_level"), (97.3, 97.0, "run_flat"), (97.0, 50.0, "run_steep")],
)
def test_pinned_pipe_that_does_not_fall_as_asked_is_told(up: float, down: float, kind: str) -> None:
    job = drawn(
        *plane(lambda x, y: 100.0),
        basin(0, 0),
        outfall(60, 0, "tie-in"),
        run("B1", "O1", start_invert_ft=up, end_invert_ft=down),
    )
    found = [f for f in analyse(job).findings if f.kind == kind]
    assert [f.value for f in found] == [pytest.approx((up - down) / 60)]


def test_a_pipe_that_leaves_higher_than_one_arrives_is_a_stop() -> None:
    job = drawn(
        *plane(lambda x, y: 100.0),
        basin(0, 0),
        basin(40, 0),
        outfall(80, 0, "tie-in"),
        run("B1", "B2", end_invert_ft=96.0),
        run("B2", "O1", start_invert_ft=96.4),
    )
    (found,) = [f for f in analyse(job).findings if f.kind == "steps_up"]
    assert found.value == pytest.approx(0.4)
    assert found.level == "stop"


def dug_ft2(review: Review) -> float:
    """Return the area of all trench profiles between ground and invert, ft2."""
    total = 0.0
    for run_id, p in review.profiles.items():
        invert = review.grades[run_id].invert_down_ft + review.grades[run_id].slope * p.station_ft
        total += float(np.trapezoid(p.ground_ft - invert, p.station_ft))
    return total


def test_no_grade_on_a_fine_grid_digs_less() -> None:
    """An independent search: two runs over a hump, each end tried at every 0.05 ft."""
    shots = tuple(
        shot(x, y, z) for x, z in ((0, 99.4), (20, 100.1), (40, 98.8), (60, 99.3), (80, 98.0)) for y in (-30, 30)
    )
    job = drawn(*shots, basin(0, 0), basin(40, 0), outfall(80, 0, "dry well"), run("B1", "B2"), run("B2", "O1"))
    review = analyse(job)
    best = np.inf
    p1, p2 = review.profiles["R1"], review.profiles["R2"]
    levels = np.arange(95.0, 99.0, 0.05)
    allowed1, allowed2 = (p.ground_ft - COVER_FT - TOP_FT + 1e-9 for p in (p1, p2))

    def lines(p, allowed):  # every (up, down) that holds slope and cover, with what it digs
        for up, down in product(levels, levels):
            if 0.01 - 1e-9 <= (up - down) / 40 <= 0.5:
                invert = down + (up - down) / 40 * p.station_ft
                if (invert <= allowed).all():
                    yield up, down, float(np.trapezoid(p.ground_ft - invert, p.station_ft))

    second: dict[float, float] = {}
    for up, _, dug in lines(p2, allowed2):
        second[up] = min(dug, second.get(up, np.inf))
    hole = 4.0  # a 12 in basin's hole is 2 ft square, and counts by the invert that leaves it
    for up, down, dug in lines(p1, allowed1):
        below = [d + hole * (100 - u) for u, d in second.items() if u <= down + 1e-9]
        if below:
            best = min(best, dug + hole * (100 - up) + min(below))
    ours = dug_ft2(review) + hole * sum(100 - review.levels[b].invert_out_ft for b in ("B1", "B2"))
    assert ours <= best + 1e-6
    assert ours == pytest.approx(best, rel=0.05)  # the grid is coarse, so it comes near but not below


@given(
    st.lists(
        st.tuples(st.floats(0, 100), st.floats(-50, 50)), min_size=2, max_size=30, unique_by=lambda p: round(p[0], 3)
    )
)
def test_a_line_under_the_lower_hull_is_under_every_point(points: list[tuple[float, float]]) -> None:
    points.sort()
    x, y = (np.array(v) for v in zip(*points, strict=True))
    hull = lower_hull(x, y)
    assert hull[0] == points[0]
    assert hull[-1] == points[-1]
    under = np.interp(x, *(np.array(v) for v in zip(*hull, strict=True)))
    assert (under <= y + 1e-6 * (1 + np.abs(y))).all()


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.floats(-300, 300))
def test_moving_the_datum_moves_every_level_and_nothing_else(seed: int, shift: float) -> None:
    rng = np.random.default_rng(seed)

    def yard(by: float) -> Job:
        z = iter(rng_levels)
        shots = tuple(shot(x, y, float(100 + next(z) + by)) for x in (0, 40, 80, 120) for y in (-40, 0, 40))
        return drawn(
            *shots,
            basin(10, 5),
            basin(50, -5),
            fitting(80, 0),
            outfall(115, 0),
            run("B1", "B2"),
            run("B2", "F1"),
            run("F1", "O1"),
        )

    rng_levels = rng.normal(0, 0.5, 12) - np.repeat([0, 1, 2, 3], 3)
    here, there = analyse(yard(0.0)), analyse(yard(shift))
    assert [(f.kind, f.place.ids) for f in here.findings] == [(f.kind, f.place.ids) for f in there.findings]
    for run_id, g in here.grades.items():
        assert there.grades[run_id].invert_up_ft == pytest.approx(g.invert_up_ft + shift, abs=1e-5)
        assert there.grades[run_id].slope == pytest.approx(g.slope, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_placed_pipe_holds_slope_cover_and_order_wherever_nothing_is_told(seed: int) -> None:
    rng = np.random.default_rng(seed)
    shots = tuple(
        shot(x, y, float(100 - 0.02 * x + rng.normal(0, 0.4))) for x in range(0, 141, 35) for y in (-40, 0, 40)
    )
    job = drawn(
        *shots,
        basin(5, 20),
        basin(40, -10),
        fitting(75, 0),
        basin(70, 35),
        outfall(138, 0),
        run("B1", "B2"),
        run("F1", "B2"),
        run("B3", "F1"),
        run("O1", "F1"),
    )
    job = change_criteria(job, min_slope=0.012)
    review = analyse(job)
    told = {f.kind for f in review.findings}
    for flow in review.network.runs:
        g = review.grades[flow.id]
        if "run_flat" not in told and "run_rises" not in told:
            assert g.slope >= 0.012 - 1e-5
        if not told & {"shallow_cover", "out_of_ground", "cannot_drain"} and flow.length_ft > g.cover_from_station_ft:
            assert g.least_cover_ft >= 1.0 - 1e-4
        assert g.least_cover_ft <= g.greatest_cover_ft
