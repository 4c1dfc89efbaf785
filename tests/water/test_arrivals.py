"""What arrives at an inlet, on a lawn whose areas, slopes and ways are those of plan geometry."""

from math import pi, sqrt

import numpy as np
import pytest

from drainsketch.job.edits.add import add
from drainsketch.job.limits import SurfaceRule
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.water.field import Field
from drainsketch.water.results import Arrival
from tests.water.rains import in_table
from tests.water.wet_yards import ROOT, funnel, looked_at, paved, peak, roofed, shared_bowl, with_structure, with_water
from tests.yards import basin, drawn, outfall, run, shot


def at_basin(job, inlet: str = "B1") -> Arrival:
    return looked_at(job).water.arrivals[inlet]


def parts(found: Arrival) -> dict[str, tuple[float, float]]:
    return {share.surface: (share.area_ft2, share.c) for share in found.shares}


def test_a_lawn_of_heavy_soil_sheds_whole_to_the_basin_in_its_middle():
    found = at_basin(funnel())
    assert parts(found) == {"lawn-heavy": (pytest.approx(3_600), 0.22)}  # 3 %: the row from 2 to 7 %
    assert found.flow_cfs == pytest.approx(peak(0.22, 4.0, 3_600))
    assert found.time is not None and found.rain.value == 4.0


def test_sandy_soil_sheds_less():
    assert parts(at_basin(with_water(funnel(), lawn_soil="sandy"))) == {"lawn-sandy": (pytest.approx(3_600), 0.15)}


def test_a_drive_and_a_bed_across_the_lawn():
    # 60 ft by 6 ft of drive, 10 ft by 4 ft of bed, the rest lawn; C by area
    job = paved(funnel(), "hardscape", -30, -26, 30, -20)
    found = at_basin(paved(job, "bed", -20, 10, -10, 14))
    assert parts(found) == {
        "drive-or-walk": (pytest.approx(360), 0.85),
        "planting-bed": (pytest.approx(40), 0.25),
        "lawn-heavy": (pytest.approx(3_200), 0.22),
    }
    assert found.c == pytest.approx((360 * 0.85 + 40 * 0.25 + 3_200 * 0.22) / 3_600)
    assert found.flow_cfs == pytest.approx(peak(found.c, 4.0, 3_600))


def test_what_was_drawn_later_lies_above():
    job = paved(funnel(), "hardscape", 5, 5, 15, 15, surface="asphalt")
    found = at_basin(paved(job, "hardscape", 10, 5, 20, 15, surface="gravel"))
    assert parts(found)["asphalt"] == (pytest.approx(50), 0.95)
    assert parts(found)["gravel"] == (pytest.approx(100), 0.50)


def test_a_coefficient_of_the_job_stands_in_place_of_the_list():
    job = with_water(funnel(), coefficients=(SurfaceRule(surface="lawn-heavy", c=0.4),))
    found = at_basin(job)
    assert parts(found) == {"lawn-heavy": (pytest.approx(3_600), 0.4)}
    assert found.shares[0].source == "typed for this job"


def test_the_time_over_the_lawn_by_hand():
    # from the corner down the valley of two planes: 30 ft each way, less half a cell of 0.5 ft: 29.75 sqrt(2) = 42.07 ft, falling
    # 0.03 x 29.75 = 0.8925 ft, 2.12 %; n 0.24. 0.933 / 4^0.4 x (0.24 / sqrt(0.0212))^0.6 x 42.07^0.6 = 6.82 min
    found = at_basin(funnel())
    assert [leg.kind for leg in found.time.legs] == ["sheet"]
    assert found.time.legs[0].length_ft == pytest.approx(42.07, abs=1.0)
    assert found.minutes == found.time.minutes == pytest.approx(6.82, abs=0.12)


def test_the_time_across_a_drive_by_hand():
    # as above, with drive between 26 and 20 ft out: lawn for 3.75 sqrt(2) = 5.30 ft, drive for 8.49, lawn for 28.28. Each stretch
    # takes what L^0.6 grows by over it: (n / sqrt(s))^0.6 is 1.349 on lawn (0.24), 0.213 on the drive (0.011)
    # 0.5359 x [1.349 x 5.30^0.6 + 0.213 x (13.79^0.6 - 5.30^0.6) + 1.349 x (42.07^0.6 - 13.79^0.6)] = 5.54 min
    found = at_basin(with_water(paved(funnel(), "hardscape", -30, -26, 30, -20), least_tc_min=1.0))
    assert [round(leg.factor, 3) for leg in found.time.legs] == [0.24, 0.011, 0.24]
    assert [leg.length_ft for leg in found.time.legs] == pytest.approx(
        [5.30, 8.49, 28.28], abs=2.0
    )  # looked at every 2 ft
    assert found.minutes == pytest.approx(5.54, abs=0.3)


def test_the_time_settles_with_the_rain_of_the_table():
    # i = 6 (5 / t)^0.5 in t = 11.87 / i^0.4 (11.87 = 6.82 x 4^0.4): t = 11.87 / 6^0.4 x (t / 5)^0.2, so t^0.8 = 4.202, t = 6.01
    found = at_basin(funnel(in_table(ROOT, 10)))
    assert found.minutes == pytest.approx(6.01, abs=0.12)
    assert found.rain.value == pytest.approx(6 * sqrt(5 / found.minutes))
    assert found.flow_cfs == pytest.approx(peak(0.22, found.rain.value, 3_600))


def test_the_least_time_holds_where_water_is_there_sooner():
    found = at_basin(with_water(funnel(in_table(ROOT, 10)), least_tc_min=15.0))
    assert found.minutes == 15.0
    assert found.time.sum_min < 15.0
    assert found.rain.value == pytest.approx(6 * sqrt(5 / 15))


def test_a_rarer_storm_raises_the_coefficient():
    found = at_basin(with_structure(funnel(in_table(ROOT, 100)), "B1", runoff_c=0.5, tc_min=5.0))
    assert (found.c, found.storm_c) == pytest.approx((0.5, 0.625))  # 1.25 in 100 years
    assert found.flow_cfs == pytest.approx(peak(0.625, 7.5, 3_600))
    most = at_basin(with_structure(funnel(in_table(ROOT, 100)), "B1", runoff_c=0.9))
    assert most.storm_c == 1.0


def test_a_typed_intensity_is_taken_as_it_comes_whatever_storm_was_chosen():
    rain = Rain(table=ROOT, return_period_yr=100.0, intensity_in_h=4.0)
    assert at_basin(funnel(rain)).storm_c == pytest.approx(0.22)


def test_typed_area_coefficient_and_time_stand_in_place_of_what_was_found():
    found = at_basin(with_structure(funnel(in_table(ROOT)), "B1", area_ft2=1_000.0, runoff_c=0.6, tc_min=20.0))
    assert parts(found) == {"typed": (1_000.0, 0.6)}
    assert (found.minutes, found.time, found.rain.value) == (20.0, None, pytest.approx(3.0))
    assert found.flow_cfs == pytest.approx(peak(0.6, 3.0, 1_000))


def test_a_typed_area_has_the_mean_coefficient_of_what_the_shots_say():
    job = paved(funnel(), "hardscape", -30, -26, 30, -20)
    found = at_basin(with_structure(job, "B1", area_ft2=1_000.0))
    assert found.c == pytest.approx((360 * 0.85 + 3_240 * 0.22) / 3_600)
    assert found.minutes == 5.0  # the way over the ground is not that of a typed area


def test_a_typed_coefficient_alone_holds_for_all_ground_but_not_for_roofs():
    job = roofed(with_structure(funnel(), "B1", runoff_c=0.5), (10, 10), 300.0, joined=False)
    assert parts(at_basin(job)) == {"lawn-heavy": (pytest.approx(3_600), 0.5), "roof": (300.0, 0.95)}


def test_without_shots_a_typed_area_counts_as_flat_lawn_and_no_area_as_unknown():
    bare = drawn(
        basin(0, 0, area_ft2=2_000.0),
        basin(30, 0),
        outfall(60, 0),
        run("B1", "B2"),
        run("B2", "O1"),
        job=Job(rain=Rain(intensity_in_h=4.0)),
    )
    water = looked_at(bare).water
    assert parts(water.arrivals["B1"]) == {"typed": (2_000.0, 0.17)}
    assert water.unmeasured == ("B2",)
    assert water.heads == {} and water.lines == {}
    flow = water.pipes["R1"]
    assert flow.flow_cfs == pytest.approx(peak(0.17, 4.0, 2_000))
    assert (flow.slope, flow.full_cfs, flow.depth_ft, flow.velocity_ft_s, flow.needs_in) == (None,) * 5


def test_a_joined_roof_goes_to_its_inlet_by_pipe():
    water = looked_at(roofed(funnel(), (-20, 20), 800.0, joined=True)).water
    assert parts(water.arrivals["D1"]) == {"roof": (800.0, 0.95)}
    assert water.arrivals["D1"].minutes == 5.0
    assert water.arrivals["D1"].flow_cfs == pytest.approx(peak(0.95, 4.0, 800))
    assert "roof" not in parts(water.arrivals["B1"])
    assert water.pipes["R1"].flow_cfs == pytest.approx(peak(0.22, 4.0, 3_600) + peak(0.95, 4.0, 800))


def test_a_loose_roof_goes_where_the_ground_at_its_foot_drains():
    found = at_basin(roofed(funnel(), (-20, 20), 800.0, joined=False))
    assert parts(found)["roof"] == (800.0, 0.95)
    assert found.c == pytest.approx((3_600 * 0.22 + 800 * 0.95) / 4_400)


@pytest.mark.parametrize("foot", [(-10.0, 0.5), (500.0, 500.0), (-9_000.0, 40.0)])
def test_a_loose_roof_at_a_wall_sheds_beside_it_and_one_off_the_ground_nowhere(foot):
    job = paved(funnel(), "building", -20, -6, -10, 6)  # its east wall at x = -10, where the first one stands
    found = at_basin(roofed(job, foot, 500.0, joined=False))
    assert ("roof" in parts(found)) == (foot == (-10.0, 0.5))
    assert parts(found)["lawn-heavy"][0] < 3_600 - 100  # under the building nothing runs off


def test_basins_share_the_lawn_between_them():
    # a plane that falls 2 % to the east, basins one behind the other: the lower one takes what passes the upper by
    job = drawn(
        *(shot(x, y, 100 - 0.02 * x) for x in (0, 30, 60) for y in (-10, 0, 10)),
        basin(20, 0, size_in=24),
        basin(50, 0, size_in=24),
        outfall(58, 5, "tie-in", invert_ft=94.0),
        run("B1", "B2"),
        run("B2", "O1"),
        job=Job(rain=Rain(intensity_in_h=4.0)),
    )
    found = looked_at(job).water.arrivals
    # grates of 1 ft round the middle: each takes the strip of 2 ft above its middle, and the lower half of itself
    assert found["B1"].area_ft2 == pytest.approx(20 * 2 + pi / 2, rel=0.05)
    assert found["B2"].area_ft2 == pytest.approx(30 * 2, rel=0.05)  # less what B1 takes, more its own half


def test_an_inlet_without_pipe_to_an_outfall_is_not_asked():
    water = looked_at(add(funnel(), basin(15, 15))).water
    assert set(water.arrivals) == {"B1"}
    assert water.unmeasured == ()


# -- several inlets in one low spot


def reached_ft2(closer) -> float:
    ground = closer.ground
    return float((ground.reaches > 0).sum()) * ground.grid.cell_ft**2


def test_two_inlets_in_one_low_spot_take_half_each():
    # 3,600 ft2 of lawn at 3 %, C 0.22, to grates 10 ft to both sides of its middle: 1,800 ft2 each by symmetry
    closer = looked_at(shared_bowl())
    found = closer.water.arrivals
    assert set(found) == {"B1", "B2"}
    for name, other in (("B1", "B2"), ("B2", "B1")):
        assert found[name].area_ft2 == pytest.approx(1_800, rel=0.01)
        assert found[name].flow_cfs == pytest.approx(peak(0.22, 4.0, 1_800), rel=0.01)
        assert found[name].shared_with == (other,)
    assert found["B1"].minutes == found["B2"].minutes
    assert sum(a.area_ft2 for a in found.values()) == pytest.approx(reached_ft2(closer), rel=1e-9)
    # the far corner is 30 sqrt(2) = 42.4 ft from the low point, and that 10 ft from a grate
    assert sum(leg.length_ft for leg in found["B1"].time.legs) == pytest.approx(52.4, abs=1.0)
    assert closer.water.pipes["R2"].flow_cfs == pytest.approx(closer.water.pipes["R1"].flow_cfs, rel=0.02)


def test_kinds_of_surface_are_parted_as_the_ground_is():
    # a drive across the west half alone: half of it goes to the eastern inlet too
    closer = looked_at(paved(shared_bowl(), "hardscape", -30, -26, 0, -20))
    found = closer.water.arrivals
    assert parts(found["B2"])["drive-or-walk"] == (pytest.approx(90, rel=0.03), 0.85)
    for kind, area in (("drive-or-walk", 180), ("lawn-heavy", 3_420)):
        both = sum(parts(a)[kind][0] for a in found.values())
        assert both == pytest.approx(area, rel=1e-9)


@pytest.mark.parametrize(("ponding_in", "shared"), [(3.0, True), (1.0, False)])
def test_a_grate_higher_than_is_put_up_with_over_the_lower_one_takes_no_part(ponding_in, shared):
    # rims 100.30 and 100.45: 1.8 in apart
    closer = looked_at(with_water(shared_bowl(east_rim_ft=100.45), grate_ponding_in=ponding_in))
    found = closer.water.arrivals
    assert (found["B1"].shared_with == ("B2",)) is shared
    if shared:
        assert found["B1"].area_ft2 == pytest.approx(1_800, rel=0.03)
    else:
        assert found["B1"].area_ft2 > 3_500
        assert found["B2"].area_ft2 < 60
    assert sum(a.area_ft2 for a in found.values()) == pytest.approx(reached_ft2(closer), rel=1e-9)


def test_a_loose_roof_that_ends_in_the_low_spot_is_parted_too():
    closer = looked_at(roofed(shared_bowl(), (-20, 20), 800.0, joined=False))
    found = closer.water.arrivals
    assert [parts(found[name])["roof"] for name in ("B1", "B2")] == [(400.0, 0.95)] * 2
    assert found["B1"].pooled_ft2 == pytest.approx(3_520 + 800, abs=30)
    assert sum(a.area_ft2 for a in found.values()) == pytest.approx(reached_ft2(closer) + 800, rel=1e-9)


def test_an_area_typed_for_one_leaves_the_other_its_half():
    found = looked_at(with_structure(shared_bowl(), "B1", area_ft2=500.0)).water.arrivals
    assert (found["B1"].area_ft2, found["B1"].shared_with) == (500.0, ())
    assert found["B2"].area_ft2 == pytest.approx(1_800, rel=0.01)


def test_a_time_typed_for_one_does_not_hold_for_the_other():
    plain = looked_at(shared_bowl()).water.arrivals
    found = looked_at(with_structure(shared_bowl(), "B1", tc_min=30.0)).water.arrivals
    assert (found["B1"].minutes, found["B1"].time) == (30.0, None)
    assert found["B2"].minutes == plain["B2"].minutes


def test_the_parts_of_every_cell_come_to_one():
    closer = looked_at(shared_bowl())
    field = Field(closer.review.job, closer.ground)
    whole = np.zeros(closer.ground.reaches.size)
    for name in ("B1", "B2", "O1"):
        cells, share = field.parts(name)
        whole[cells] += share
    assert np.array_equal(whole > 0, closer.ground.reaches.ravel() > 0)
    assert whole[whole > 0] == pytest.approx(1.0, rel=1e-12)
