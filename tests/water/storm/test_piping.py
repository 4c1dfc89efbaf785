"""What the pipe of a job holds while a storm is played, and how wells fill and are drunk."""

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.study import play
from drainsketch.water.storm.piping import Piping, piping_of
from tests.test_review import sample
from tests.water.test_trench_wells import FALL, PIT, yard
from tests.water.wet_yards import ROOT, looked_at

STORM = Rain(table=ROOT, return_period_yr=10.0, storm_min=60.0)


def piping(job: Job) -> Piping:
    seen = looked_at(job)
    r = seen.review
    return piping_of(job, r.network, r.workable, r.levels, seen.water)


def holds_ft3(piped: Piping) -> float:
    """Return what all places hold to the brim: a foot below the last knot of each, which is 10 ft above the one before."""
    return sum(float(held[-2]) for _, held in piped.tables)


def test_all_that_is_stored_below_ground_has_a_place() -> None:
    """Pipe, stone and pit of a line to a well, as ``water.stores`` counts them one by one; risers add a little water of their own."""
    for job in (yard(), yard(FALL["sloping"]), yard(**PIT), yard(use="solid", **PIT)):
        seen = looked_at(job)
        stored = sum(s.pipe_ft3 + s.stone_ft3 for s in seen.water.stores.values())
        levels = seen.review.levels["B1"]
        assert levels.invert_out_ft is not None
        box = 1.0 * (levels.rim_ft - levels.invert_out_ft)  # 12 in by 12 in
        assert holds_ft3(piping(job)) == pytest.approx(stored + box, rel=0.01)


def test_stone_under_the_invert_of_a_drain_that_runs_off_holds_nothing_more() -> None:
    """It is full for good: of the stone of the sample's drains only that beside and above the pipe counts."""
    job = replace(sample("corner-lot"), rain=STORM)
    seen = looked_at(job)
    drains = {r.id for r in job.runs if r.use == "drain"} & set(seen.water.stores)
    assert drains
    pipe = sum(s.pipe_ft3 for s in seen.water.stores.values())
    stone = sum(seen.water.stores[r].stone_ft3 for r in drains)
    boxes = sum(s.basin_ft3 for s in seen.water.stores.values())
    held = holds_ft3(piping(job))
    assert pipe + boxes < held < pipe + boxes + stone + 5.0


def test_a_well_whose_soil_was_never_tested_keeps_what_comes() -> None:
    made = play(looked_at(replace(yard(rate=None, **PIT), rain=STORM)))
    assert made is not None
    account = made.after.sum
    assert account.soaked == 0.0 == account.piped
    assert account.inside > 0 and account.miss < 1e-3


def test_soil_drinks_a_well_empty_at_its_rate() -> None:
    """8 in/h over the floor of 24 ft2 and of the trench: until the pit alone is wet at least 24 x 8 / 12 / 3,600 cfs soak away."""
    job = replace(yard(rate=8.0, use="solid", **PIT), rain=replace(STORM, storm_min=15.0))
    made = play(looked_at(job))
    assert made is not None
    p = made.after
    at = p.structures.index("O1")
    low = p.level_ft[0, at]
    later = [n for n in range(len(p.minute)) if p.minute[n] > 40 and low + 0.3 < p.level_ft[n, at] < low + 3.9]
    (falls, _), off = np.polyfit(p.minute[later], p.level_ft[later, at], 1, full=True)[:2]
    assert falls == pytest.approx(-8 / 12 / 60 / 0.4, rel=0.01)  # ft a minute, in voids of 0.4
    assert float(off[0]) < 1e-4
    assert p.sum.soaked > 0 and p.sum.miss < 1e-3


def test_what_a_full_well_does_not_hold_comes_out_on_the_ground_by_it() -> None:
    made = play(
        looked_at(
            replace(yard(rate=None, pit_length_ft=2.0, pit_width_ft=2.0, pit_depth_ft=1.0, use="solid"), rain=STORM)
        )
    )
    assert made is not None
    p = made.after
    well = p.structures.index("O1")
    assert p.takes_cfs[:, well].min() < -0.01
    assert p.level_ft[:, well].max() < 100.5  # and stands hardly over the ground there
    assert p.sum.off > 0.5 * p.sum.comes
