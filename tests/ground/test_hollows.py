"""Low ground as it fills, on yards whose hollows are known by hand."""

from itertools import pairwise

import numpy as np
import pytest

from drainsketch.ground.hollows import NOWHERE, OFF, Hollows, followed, hollows_of
from drainsketch.ground.results import GroundStudy
from drainsketch.ground.study import ground_study
from drainsketch.job.model import Job, Obstacle
from drainsketch.review import analyse
from tests.water.wet_yards import funnel
from tests.yards import drawn, plane, shot


def looked_at(job: Job) -> tuple[GroundStudy, Hollows]:
    ground = ground_study(job, analyse(job).surface, ())
    assert ground is not None
    return ground, hollows_of(ground)


def valley(*bowls: tuple[float, float], high: float = 101.0, step: float = 0.2) -> Job:
    """Bowls in a row from west to east, each 20 ft wide at its brim: (level of the low point, level of the pass after it)."""
    things = []
    for y in (-30, 30):
        things += [shot(20 * n, y, high + 2.0) for n in range(len(bowls) + 1)]
    things.append(shot(0, 0, high))
    for n, (low, after) in enumerate(bowls):
        things += [shot(20 * n + 10, 0, low), shot(20 * n + 20, 0, after)]
    return drawn(*things)


def test_a_funnel_holds_a_pyramid() -> None:
    """A third of base by height; its brim is 60 ft square and 0.9 ft over the middle: the cells at the edge are a quarter foot inside."""
    _, found = looked_at(funnel())
    (hollow,) = found.hollows
    assert hollow.spill_ft == pytest.approx(100.9, abs=0.01)
    assert hollow.low_ft == pytest.approx(100.0, abs=0.02)
    for level in (100.3, 100.6, 100.88):
        deep = level - 100.0
        side = 2 * deep / 0.03
        assert hollow.volumes_ft3(np.array([level])) == pytest.approx([side**2 * deep / 3], rel=0.02)
    assert hollow.areas_ft2(np.array([100.62])) == pytest.approx(
        [40.0**2], rel=0.02
    )  # 0.6 ft of water and more than 0.02 ft
    assert hollow.volumes_ft3(np.array([99.0])) == [0.0] == hollow.areas_ft2(np.array([99.0]))


def test_all_of_a_funnel_sheds_to_its_hollow() -> None:
    ground, found = looked_at(funnel())
    assert set(np.unique(found.first[~np.isnan(ground.ground_ft)]).tolist()) <= {0, OFF}
    assert (found.first == 0).mean() > 0.95
    points, levels = found.longest[0]
    far = np.hypot(*points[0])
    assert far == pytest.approx(30 * 2**0.5, rel=0.05)  # from a corner
    assert all(a >= b for a, b in pairwise(levels))


def test_a_slope_has_no_hollow() -> None:
    ground, found = looked_at(drawn(*plane(lambda x, y: 100 - 0.02 * x + 0.01 * y, 40.0)))
    assert found.hollows == ()
    assert set(np.unique(found.first).tolist()) <= {OFF, NOWHERE}
    start = int(np.flatnonzero(~np.isnan(ground.ground_ft.ravel()))[0])
    assert next(iter(followed(ground, found, start))) == start


def test_bowls_spill_into_one_another_down_the_valley() -> None:
    """Passes at 100.0 and 99.0: the first bowl spills into the second, that off the yard at the east."""
    _, found = looked_at(valley((99.4, 100.0), (98.2, 99.0), high=101.5))
    by_low = sorted(range(len(found.hollows)), key=lambda n: -found.hollows[n].low_ft)
    upper, lower = (found.hollows[n] for n in by_low)
    assert upper.spill_ft == pytest.approx(100.0, abs=0.03)
    assert lower.spill_ft == pytest.approx(99.0, abs=0.03)
    assert (upper.into, lower.into) == (by_low[1], OFF)
    assert found.first.ravel()[upper.beyond] == by_low[1]
    assert upper.way[0][0] == pytest.approx(20.0, abs=1.0)  # over the pass
    assert upper.way[-1][0] == pytest.approx(30.0, abs=2.0)  # to the low point beyond


def test_a_court_between_walls_fills_to_its_brim() -> None:
    """A yard that a building closes in has no pass; it fills until all of it is under water."""
    job = drawn(*plane(lambda x, y: 100 + 0.01 * x, 20.0))
    for n, ring in enumerate(
        (((-30, 15), (30, 15), (30, 30), (-30, 30)), ((-30, -30), (30, -30), (30, -15), (-30, -15)))
    ):
        job = drawn(Obstacle(id=f"W{n}", kind="building", points=ring), job=job)
    _, found = looked_at(job)
    assert all(h.volumes_ft3(np.array([h.spill_ft]))[0] > 0 for h in found.hollows)
