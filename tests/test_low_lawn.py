"""The sample yard with a low back lawn: water stands there today, and with its drains it runs off."""

from functools import cache

import pytest

from drainsketch.review import analyse
from drainsketch.study import Study, play, study
from drainsketch.water.storm.facts import standing_of
from drainsketch.water.storm.results import Storm
from tests.test_review import sample


@cache
def closer() -> Study:
    return study(analyse(sample("low-lawn")))


@cache
def storm() -> Storm:
    played = play(closer())
    assert played is not None
    return played


def test_two_closed_low_spots_by_the_shots() -> None:
    """Every shot round a low spot is higher than the lowest in it, by what it holds at the least: read off the job, no surface between."""
    assert closer().ground is not None
    lawn, beside_the_patio = closer().ground.ponds_now
    shots = {s.point: s.elevation_ft for s in closer().review.job.shots}
    for pond, low, half, least_ft in ((lawn, (46.0, 88.0), 24.0, 0.4), (beside_the_patio, (13.0, 75.0), 9.0, 0.3)):
        near = [z for (x, y), z in shots.items() if z is not None and abs(x - low[0]) < half and abs(y - low[1]) < half]
        assert shots[low] == min(near)
        assert pond.low_point == pytest.approx(low, abs=1.0)
        assert pond.depth_ft > least_ft
    assert 0.4 < lawn.depth_ft < 0.7
    assert 400 < lawn.area_ft2 < 900


def test_nothing_stops_it_and_every_inlet_falls() -> None:
    review = closer().review
    assert not [f for f in closer().whole.findings if f.level == "stop"]
    assert not [f for f in closer().whole.findings if f.kind == "shallow_cover"]
    assert {p.inlet for p in review.paths} == {"B1", "B2", "B3", "D1", "C1"}
    assert all(p.outfall == "O1" and p.fall_ft > 0 for p in review.paths)


def test_today_the_lawn_stands_under_water_and_with_the_drains_it_runs_off() -> None:
    before, after = storm().before, storm().after
    assert before is not None
    today, then = standing_of(before), standing_of(after)
    assert today.still
    assert today.area_ft2 > 400
    assert not then.still
    assert then.area_ft2 < today.area_ft2 / 10
    # 2.56 in fall in two hours, by the table in the job; no more comes than falls on lot and roofs
    lot_ft2 = 80 * 110
    for p in (before, after):
        assert 0 < p.sum.comes < lot_ft2 * 2.56 / 12
        assert p.sum.miss < 1e-3
