"""Grade that breaks at bends, of flexible pipe: against a closed form, and in all that reads it."""

from math import hypot

import numpy as np
import pytest

from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.job.pipes import pipe_size
from drainsketch.network.digging import trench_width_ft
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, kinds, outfall, run, shot

SIZE = pipe_size("corrugated", 4)
TOP_FT = (SIZE.inside_in + SIZE.wall_in) / 12
WALL_FT = SIZE.wall_in / 12


def broken(**fields: object) -> Job:
    """Return a run of 40 ft over ground that falls 10 %, then, round a bend, 40 ft that falls 1 %."""
    ground = [
        shot(x, y, z) for x, z in ((-10, 101.0), (0, 100.0), (40, 96.0), (80, 95.6), (90, 95.5)) for y in (-30, 30)
    ]
    pipe = {"pipe": "corrugated", "grade_breaks": True, **fields}
    return drawn(*ground, basin(0, 0), outfall(80, 0, "dry well"), run("B1", "O1", (40.0, 0.0), **pipe))


def item(review: Review, name: str) -> float:
    return next(line.quantity for line in review.takeoff if line.item == name)


def test_flexible_pipe_follows_the_ground_from_bend_to_bend() -> None:
    # by hand: cover of 1 ft all along, so the pipe lies parallel to the ground, 10 % and then 1 %
    review = analyse(broken())
    g = review.grades["R1"]
    assert g.invert_up_ft == pytest.approx(100 - 1 - TOP_FT, abs=1e-6)
    assert g.breaks == ((pytest.approx(40.0), pytest.approx(96 - 1 - TOP_FT, abs=1e-6)),)
    assert g.invert_down_ft == pytest.approx(95.6 - 1 - TOP_FT, abs=1e-6)
    assert (g.slope, g.least_slope, g.greatest_slope) == tuple(pytest.approx(v, abs=1e-6) for v in (0.055, 0.01, 0.1))
    assert (g.least_cover_ft, g.greatest_cover_ft) == (pytest.approx(1.0), pytest.approx(1.0))
    assert [g.invert_at(s) for s in (0, 20, 40, 60, 80)] == pytest.approx(
        [v - 1 - TOP_FT for v in (95.6, 95.8, 96.0, 98.0, 100.0)], abs=1e-6
    )
    assert g.inverts_at(np.array([20.0, 60.0])) == pytest.approx([94.8 - TOP_FT, 97.0 - TOP_FT], abs=1e-6)
    assert review.paths[0].slope_to_spare == pytest.approx(0.0, abs=1e-7)
    assert "run_flat" not in kinds(review)


def test_what_is_counted_follows_the_breaks() -> None:
    review = analyse(broken())
    assert item(review, "pipe_solid") == pytest.approx(40 * hypot(1, 0.1) + 40 * hypot(1, 0.01), abs=1e-4)
    # trench from the basin's hole (half of 24 in) on: everywhere 1 ft of cover, the pipe and its wall deep
    deep_ft = 1 + TOP_FT + WALL_FT
    width_ft = trench_width_ft(SIZE.outside_in, 12.0)
    assert item(review, "trench_solid") == pytest.approx((80 - 1) * deep_ft * width_ft / 27, rel=1e-5)


def test_without_breaks_the_same_run_is_straight_and_digs_more() -> None:
    straight, free = analyse(broken(grade_breaks=False)), analyse(broken())
    assert straight.grades["R1"].breaks == ()
    assert straight.placed is not None and free.placed is not None
    assert straight.placed.cost_ft3 > free.placed.cost_ft3 + 50


def test_breaks_asked_of_rigid_pipe_are_told_and_not_made() -> None:
    review = analyse(broken(pipe="sdr35"))
    assert review.grades["R1"].breaks == ()
    (found,) = [f for f in review.findings if f.kind == "grade_breaks_stiff"]
    assert (found.level, found.place.ids) == ("settle", ("R1",))
    assert "grade_breaks_stiff" not in kinds(analyse(broken()))


def test_each_leg_holds_the_least_slope_for_itself() -> None:
    pinned = analyse(change(broken(), "O1", invert_ft=96 - 1 - TOP_FT - 0.1))  # 0.25 % if the bend stayed where it was
    g = pinned.grades["R1"]
    assert g.least_slope == pytest.approx(0.01, abs=1e-6)
    assert pinned.placed is not None and pinned.placed.gave  # less cover at the bend
    assert "shallow_cover" in kinds(pinned)
