"""Dry wells whose line ends in a drain: the stone counts up to where water would come out, and a trench without a pit is judged as one."""

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.job.edits.change import change
from drainsketch.job.limits import Criteria, WaterBasis
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.review import analyse
from drainsketch.study import Study, study
from drainsketch.water.rain import intensity_in_h
from drainsketch.water.results import Well
from drainsketch.water.stores import floor_below_ft2, voids_below_ft3
from drainsketch.water.wells import balance_of
from tests.outside.test_dry_wells import square_root_rain
from tests.water.wet_yards import looked_at, with_structure, with_water
from tests.yards import basin, drawn, fitting, outfall, run, shot

PIT = {"pit_length_ft": 6.0, "pit_width_ft": 4.0, "pit_depth_ft": 4.0}
FALL = {"level": 0.0, "sloping": 0.02}


def yard(fall: float = 0.0, use: str = "drain", rate: float | None = 8.0, width_in: float = 12.0, **pit: float) -> Job:
    """Ground that falls so much to a dry well; 60 ft of 4 in pipe in stone from a basin with 900 ft2 of CA."""
    ground = [shot(x, y, 100 + fall * x) for x in (-10, 0, 30, 60, 80) for y in (-15, 0, 15)]
    job = drawn(
        *ground,
        basin(60, 0, area_ft2=2_000.0, runoff_c=0.45, tc_min=10.0),
        outfall(0, 0, "dry well", **pit),
        run("B1", "O1", use=use, pipe="corrugated"),
    )
    water, criteria = WaterBasis(infiltration_in_h=rate), Criteria(trench_width_in=width_in)
    return replace(job, rain=square_root_rain(1.0), water=water, criteria=criteria)


def well_of(job: Job) -> Well:
    return looked_at(job).water.wells["O1"]


def kinds(seen: Study) -> set[str]:
    return {f.kind for f in seen.whole.findings if f.place.ids == ("O1",)}


def test_a_level_trench_without_a_pit_holds_what_its_stone_does() -> None:
    """By hand: trench from the well to the basin's hole, 59 ft by 1 ft, from under the bed to under the cap of 4 in, less 4.6 in of pipe;
    the mean of its depth is that at its middle, since it falls evenly."""
    seen = looked_at(yard())
    well, laid = seen.water.wells["O1"], seen.review.grades["R1"]
    bottom = laid.invert_at(29.5) - laid.bottom_below_invert_ft
    room = 0.4 * (59 * (100 - 4 / 12 - bottom) - 3.14159 / 4 * (laid.outside_in / 12) ** 2 * 59)
    assert well.room_ft3 == pytest.approx(room, rel=1e-3)
    assert (well.stone, well.pit_ft3, well.spill_ft) == (("R1",), 0.0, pytest.approx(100.0))
    assert well.wet_ft == pytest.approx(59.0)
    assert "dry_well_unproved" not in kinds(seen)
    assert "trench_too_short" in kinds(seen)


def test_only_what_lies_below_the_ground_at_the_well_holds_where_the_ground_rises() -> None:
    """Ground and trench fall 2 %: water comes out at the well, whose ground is 100, and stands no higher anywhere."""
    seen = looked_at(yard(FALL["sloping"]))
    well, trench = seen.water.wells["O1"], seen.water.stores["R1"].trench
    assert trench is not None
    assert well.spill_ft == pytest.approx(100.0)
    assert well.room_ft3 == pytest.approx(voids_below_ft3(trench, 100.0, 0.4), rel=1e-3)
    assert well.room_ft3 < seen.water.stores["R1"].stone_ft3 - 1.0


def test_the_lowest_rim_that_hangs_on_it_is_where_water_comes_out() -> None:
    """A basin whose grate is set 6 in below the ground takes the half foot over it from the store."""
    deep, sunk = well_of(yard()), well_of(with_structure(yard(), "B1", rim_ft=99.5))
    assert sunk.spill_ft == pytest.approx(99.5)
    assert sunk.room_ft3 is not None and deep.room_ft3 is not None
    assert sunk.room_ft3 < deep.room_ft3


def test_stone_behind_solid_pipe_is_not_counted() -> None:
    """The drain from B1 ends at a fitting; solid pipe goes on to the well."""
    job = yard(0.01, rate=1.0, **PIT)
    job = drawn(fitting(20, 0), job=replace(job, runs=()))
    job = drawn(run("B1", "F1", use="drain", pipe="corrugated"), run("F1", "O1", pipe="corrugated"), job=job)
    well = well_of(job)
    assert (well.stone, well.spill_ft) == ((), None)
    assert well.room_ft3 == pytest.approx(38.4)
    whole = well_of(change(job, job.runs[1].id, use="drain"))
    assert set(whole.stone) == {r.id for r in job.runs}


def test_pit_and_stone_hold_together() -> None:
    """The pit, 6 ft long, takes the last 3 ft of the trench: 1 ft wide, from under the bed to under the cap of 4 in, less 4.6 in of pipe."""
    seen, both = looked_at(yard(rate=1.0)), well_of(yard(rate=1.0, **PIT))
    alone, laid = seen.water.wells["O1"], seen.review.grades["R1"]
    bottom = laid.invert_at(1.5) - laid.bottom_below_invert_ft
    lost = 0.4 * 3 * ((100 - 4 / 12 - bottom) - 3.14159 / 4 * (laid.outside_in / 12) ** 2)
    assert alone.room_ft3 is not None
    assert both.room_ft3 == pytest.approx(alone.room_ft3 - lost + 0.4 * 6 * 4 * 4, rel=1e-4)
    assert both.needs_trench_ft is None and both.needs_length_ft is not None
    assert alone.needs_length_ft is None and alone.needs_trench_ft is not None


@pytest.mark.parametrize("fall", FALL.values())
def test_so_many_feet_more_hold_it_and_one_less_does_not(fall: float) -> None:
    """More trench of the same section holds and drinks in proportion: the balance at that floor, worked again."""
    job = yard(fall)
    well = well_of(job)
    assert well.needs_trench_ft is not None and well.room_ft3 is not None

    def is_enough(feet: float) -> bool:
        times = 1 + feet / well.wet_ft
        held = balance_of(job.rain, well.ca_ft2, times * well.floor_ft2, 8.0).holds_ft3
        return held <= times * (well.room_ft3 or 0.0)

    assert is_enough(well.needs_trench_ft)
    assert not is_enough(well.needs_trench_ft - 1)


def test_a_level_trench_made_that_much_longer_holds_it() -> None:
    """Laid anew with the basin so much farther off, the stone has grown by that and the storm is held; water stands level in it."""
    job = yard()
    more = well_of(job).needs_trench_ft
    assert more is not None
    longer = replace(job, criteria=replace(job.criteria, min_slope=0.0))
    ground = [shot(x, y, 100.0) for x in (-10, 0, 60 + more, 90 + more) for y in (-15, 0, 15)]
    longer = drawn(*ground, job=replace(change(longer, "B1", point=(60 + more, 0.0)), shots=()))
    longer = change(longer, "R1", min_slope=0.01)
    assert not well_of(longer).is_short


def test_a_wide_trench_holds_the_storm_and_says_how_soon_it_is_empty() -> None:
    seen = looked_at(yard(width_in=48.0, rate=3.0))
    well = seen.water.wells["O1"]
    assert well.balance is not None and well.drawdown_h is not None and well.room_ft3 is not None
    assert not well.is_short and well.needs_trench_ft is None
    # it fills just so far that the floor wet by then leaves that much
    again = balance_of(seen.review.job.rain, 900.0, well.floor_ft2, 3.0)
    assert again.holds_ft3 == pytest.approx(well.balance.holds_ft3)
    assert well.drawdown_h == pytest.approx(again.holds_ft3 / (well.floor_ft2 * 3.0 / 12), rel=1e-4)
    assert kinds(seen) & {"trench_too_short", "well_slow", "dry_well_unproved", "well_far_too_small"} == set()


def test_a_sloping_trench_marched_minute_by_minute_fills_and_empties_as_said() -> None:
    """A second method: level by level the floor that is wet drinks, for rain of every length. It never fills fuller than the balance
    with its mean floor says, nor much less; and what it holds is gone in the time to empty."""
    seen = looked_at(yard(FALL["sloping"], width_in=60.0, rate=6.0))
    job, well, trench = seen.review.job, seen.water.wells["O1"], seen.water.stores["R1"].trench
    assert trench is not None and well.spill_ft is not None and well.balance is not None and not well.is_short
    levels = np.linspace(trench.lowest_ft, well.spill_ft, 400)
    held = np.array([voids_below_ft3(trench, z, 0.4) for z in levels])
    wet = np.array([floor_below_ft2(trench, z) for z in levels])
    drinks = 6.0 / 12 / 3600 * wet  # cfs

    def marched(start_ft3: float, comes_cfs: float, minutes: float, steps: int) -> float:
        now, step_s = start_ft3, 60 * minutes / steps
        for _ in range(steps):
            now = max(0.0, now + step_s * (comes_cfs - float(np.interp(now, held, drinks))))
        return now

    fullest = 0.0
    for minutes in np.geomspace(5, 600, 40).tolist():
        comes_cfs = intensity_in_h(job.rain, minutes).value * well.ca_ft2 / 43_200
        fullest = max(fullest, marched(0.0, comes_cfs, minutes, 400))
    assert 0.7 * well.balance.holds_ft3 < fullest <= well.balance.holds_ft3
    assert well.drawdown_h is not None
    left = marched(well.balance.holds_ft3, 0.0, 60 * well.drawdown_h, 2_000)
    assert left < 0.01 * well.balance.holds_ft3
    assert marched(well.balance.holds_ft3, 0.0, 54 * well.drawdown_h, 2_000) > 0.005 * well.balance.holds_ft3


def test_slow_soil_leaves_it_full_for_too_long() -> None:
    assert "well_slow" in kinds(looked_at(with_water(yard(rate=0.02), drawdown_h=24.0)))


def test_the_floor_is_never_more_than_what_is_wet() -> None:
    for fall in FALL.values():
        seen = looked_at(yard(fall))
        well, trench = seen.water.wells["O1"], seen.water.stores["R1"].trench
        assert trench is not None and well.spill_ft is not None
        assert 0 < well.floor_ft2 < floor_below_ft2(trench, well.spill_ft)


def test_neither_pit_nor_stone_is_still_told() -> None:
    for job in (yard(use="solid"), yard(rate=None), replace(yard(), rain=Rain())):
        assert "dry_well_unproved" in kinds(looked_at(job))


def test_a_drain_without_room_for_stone_is_not_passed_over() -> None:
    """Half a yard of topsoil over it leaves no room for stone: nobody knows what it holds, and that is told once."""
    job = yard()
    job = replace(job, criteria=replace(job.criteria, topsoil_cap_in=60.0))
    seen = looked_at(job)
    assert seen.water.wells["O1"].room_ft3 is None
    assert [f.kind for f in seen.whole.findings].count("dry_well_unproved") == 1


def test_drains_that_nobody_can_lay_hold_nothing() -> None:
    """The well's outlet is pinned above the ground of the basin: the run has no grade, so there is no stone to count on."""
    job = change(yard(), "O1", invert_ft=100.5)
    seen = study(analyse(job))
    assert "R1" not in seen.review.workable
    assert "R1" not in seen.water.stores
    assert seen.water.wells["O1"].stone == ()


def test_more_trench_is_never_asked_of_a_wider_one() -> None:
    asked = [well_of(yard(width_in=w)).needs_trench_ft or 0.0 for w in (12.0, 14.0, 18.0, 30.0)]
    assert asked == sorted(asked, reverse=True)
    assert asked[0] > 0
