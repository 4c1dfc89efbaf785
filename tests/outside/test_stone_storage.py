"""What stone round pipe holds, and a trench without an outlet, against closed forms, published sizing and a geometry library."""

from math import acos, pi, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.limits import WaterBasis
from drainsketch.job.rain import Rain
from drainsketch.network.results import StructureLevels
from drainsketch.water.soaking import soakage, stone_pool
from drainsketch.water.stores import StoneTrench, floor_below_ft2, voids_below_ft3
from drainsketch.water.underground import stores_of
from drainsketch.water.wells import balance_of, drawdown_h
from tests.outside.test_dry_wells import square_root_rain
from tests.water.wet_yards import grade
from tests.yards import basin, drawn, outfall, run

THIN = 1e-9  # pipe too thin to count


def box(length: float, width: float, depth: float, outside: float = THIN, invert: float = 0.5) -> StoneTrench:
    """A level trench whose bottom is at 0."""
    two = (0.0, length)
    return StoneTrench("R1", two, (invert,) * 2, (0.0,) * 2, (depth,) * 2, width, outside)


def wedge(length: float, width: float, rise: float, top: float) -> StoneTrench:
    """A trench whose bottom rises from 0 at its end, under a level top."""
    return StoneTrench("R1", (0.0, length), (0.0, rise), (0.0, rise), (top, top), width, THIN)


def test_a_level_trench_is_length_by_width_by_depth_by_voids() -> None:
    trench = box(50.0, 2.0, 3.0)
    assert voids_below_ft3(trench, 3.0, 0.4) == pytest.approx(50 * 2 * 3 * 0.4)
    assert voids_below_ft3(trench, 1.2, 0.4) == pytest.approx(50 * 2 * 1.2 * 0.4)
    assert voids_below_ft3(trench, 9.0, 0.4) == voids_below_ft3(trench, 3.0, 0.4)
    assert voids_below_ft3(trench, 0.0, 0.4) == 0.0 == floor_below_ft2(trench, 0.0)
    assert floor_below_ft2(trench, 1.2) == pytest.approx(100.0)


def test_the_outside_of_the_pipe_holds_nothing() -> None:
    """A pipe of 4 in and r = 1/6 ft in 1 ft by 2 ft: half full of water it takes half its circle, under water all of it; up to
    a quarter of its height a segment r^2 acos((r - h)/r) - (r - h) sqrt(2 r h - h^2)."""
    trench, r = box(30.0, 1.0, 2.0, outside=1 / 3, invert=0.5), 1 / 6
    assert voids_below_ft3(trench, 2.0, 0.4) == pytest.approx(0.4 * 30 * (2 - pi * r * r))
    assert voids_below_ft3(trench, 0.5 + r, 0.4) == pytest.approx(0.4 * 30 * (0.5 + r - pi * r * r / 2))
    h = r / 2
    segment = r * r * acos((r - h) / r) - (r - h) * sqrt(2 * r * h - h * h)
    assert voids_below_ft3(trench, 0.5 + h, 1.0) == pytest.approx(30 * (0.5 + h - segment))


def test_pipe_on_a_slope_is_longer_than_its_plan() -> None:
    """At 3 in 4 it is 5 for every 4 of plan."""
    trench = StoneTrench("R1", (0.0, 4.0), (0.2, 3.2), (0.0, 3.0), (2.0, 5.0), 1.0, 0.4)
    assert voids_below_ft3(trench, 5.0, 1.0) == pytest.approx(4 * 1 * 2 - 5 * pi * 0.2**2)


def test_water_in_a_sloping_trench_is_a_wedge() -> None:
    """Bottom 1 % over 100 ft: 0.6 ft of water reach 60 ft up, a triangle of 0.6 x 60 / 2 = 18 ft2; 1.5 ft wide and 40 % of it 10.8 ft3.
    Above 1 ft it is a trapezoid: at 1.4 ft (1.4 + 0.4) / 2 x 100 x 1.5 x 0.4 = 54 ft3."""
    trench = wedge(100.0, 1.5, 1.0, 3.0)
    assert voids_below_ft3(trench, 0.6, 0.4) == pytest.approx(10.8)
    assert floor_below_ft2(trench, 0.6) == pytest.approx(90.0)
    assert voids_below_ft3(trench, 1.4, 0.4) == pytest.approx(54.0)
    assert floor_below_ft2(trench, 1.4) == pytest.approx(150.0)


def test_a_trench_that_slopes_with_its_top_is_cut_by_the_level_twice() -> None:
    """Bottom and top both rise 2 ft in 100; 1 ft of stone. A level of 1.5 is over the top up to station 25 and dry from 75 on:
    25 x 1 + (1 + 0) / 2 x 50 = 50 ft2."""
    trench = StoneTrench("R1", (0.0, 100.0), (0.0, 2.0), (0.0, 2.0), (1.0, 3.0), 1.0, THIN)
    top_at_1_5, dry_at = 25.0, 75.0
    assert voids_below_ft3(trench, 1.5, 1.0) == pytest.approx(top_at_1_5 + (dry_at - top_at_1_5) / 2)
    assert floor_below_ft2(trench, 1.5) == pytest.approx(dry_at)


def test_the_trench_of_a_printed_example_holds_its_storm() -> None:
    """Example Sizing for Infiltration Trenches, a township's stormwater ordinance (ordinance.com, D-42017205133): 2.04 in on 824 ft2
    are 140 ft3; at 40 % voids 350 ft3 of trench; 3 ft deep and 6 ft wide it is 20 ft long."""
    needed = 2.04 / 12 * 824
    assert round(needed) == 140
    assert round(needed / 0.4, -1) == 350
    assert voids_below_ft3(box(20.0, 6.0, 3.0), 3.0, 0.4) >= needed
    assert voids_below_ft3(box(19.0, 6.0, 3.0), 3.0, 0.4) < needed


@pytest.mark.parametrize(
    ("rain_mm_h", "hours", "rate_mm_h", "voids"), [(50.0, 1.0, 10.0, 0.4), (20.0, 6.0, 15.0, 0.35)]
)
def test_the_area_of_a_practice_is_that_of_the_ontario_guide(
    rain_mm_h: float, hours: float, rate_mm_h: float, voids: float
) -> None:
    """A_p = A_c i D / (V_R d + f' D), Ontario low-impact stormwater guide (wiki.sustainabletechnologies.ca, infiltration: sizing), for
    steady rain on a catchment A_c and a practice d deep. A level trench of just that area holds just what is left of it."""
    catchment_m2, deep_m = 300.0, 0.8
    area_m2 = catchment_m2 * rain_mm_h * hours / (voids * deep_m * 1000 + rate_mm_h * hours)
    ft2 = 0.3048**2
    store = soakage(0.0, 0.0, stone_pool([box(area_m2 / ft2, 1.0, deep_m / 0.3048)], 99.0, voids))
    assert store.floor_ft2(store.room_ft3) == pytest.approx(area_m2 / ft2, rel=1e-6)
    found = balance_of(
        Rain(intensity_in_h=rain_mm_h / 25.4, storm_min=60 * hours), catchment_m2 / ft2, area_m2 / ft2, rate_mm_h / 25.4
    )
    assert found.holds_ft3 == pytest.approx(store.room_ft3, rel=1e-6)


def test_a_level_trench_empties_in_depth_times_voids_over_rate() -> None:
    """4 ft of stone at 40 % hold 19.2 in of water, which 0.5 in/h take up in 38.4 h. Source: conservation of volume."""
    store = soakage(0.0, 0.0, stone_pool([box(40.0, 2.0, 4.0)], 99.0, 0.4))
    assert drawdown_h(store.room_ft3, store.floor_ft2(store.room_ft3), 0.5) == pytest.approx(38.4, rel=1e-6)


def test_a_wedge_empties_no_faster_than_a_level_trench_as_deep() -> None:
    """Soil under every wet foot drinks alike, so the level of a wedge falls as fast as in a box: depth times voids over rate, though it
    holds half as much. Its mean floor is half of the floor that is wet when it is full."""
    trench = wedge(80.0, 1.5, 2.0, 2.0)
    store = soakage(0.0, 0.0, stone_pool([trench], 2.0, 0.4))
    floor = store.floor_ft2(store.room_ft3)
    assert floor == pytest.approx(80 * 1.5 / 2, rel=1e-6)
    assert drawdown_h(store.room_ft3, floor, 1.0) == pytest.approx(2.0 * 0.4 * 12, rel=1e-6)
    assert store.floor_ft2(store.room_ft3 / 4) == pytest.approx(floor / 2, rel=1e-3)  # half as deep, half as far


def test_a_pit_drinks_while_the_stone_over_it_empties() -> None:
    """A box of 40 ft2 holding 16 ft3 over a pit of 10 ft2 holding 8: at 12 in/h the stone is gone in 16 / 50 h, the pit in 8 / 10 more."""
    pool = stone_pool([box(40.0, 1.0, 1.0)], 1.0, 0.4)
    store = soakage(8.0, 10.0, pool)
    assert store.room_ft3 == pytest.approx(24.0)
    hours = drawdown_h(24.0, store.floor_ft2(24.0), 12.0)
    assert hours == pytest.approx(16 / 50 + 8 / 10, rel=1e-6)
    assert drawdown_h(4.0, store.floor_ft2(4.0), 12.0) == pytest.approx(4 / 10)


def test_pipe_stone_and_basins_hold_what_their_shapes_hold() -> None:
    """80 ft of 4 in pipe at 3 in 4 are 100 ft of it: pi / 4 / 9 x 100. A 12 in basin from 97 to its rim at 99.5 is 2.5 ft3; what lies
    below its outlet is full between storms too. A pit of 6 x 4 x 4 ft of 40 % holds 38.4."""
    job = drawn(
        basin(80, 0, size_in=12),
        outfall(0, 0, "dry well", pit_length_ft=6.0, pit_width_ft=4.0, pit_depth_ft=4.0),
        run("B1", "O1", use="drain"),
    )
    at = {"B1": StructureLevels("B1", 99.5, False, 99.5, 97.0, ())}
    laid = {"R1": replace(grade("R1", 80.0, 0.75), inside_in=4.0)}
    found = stores_of(job, laid, at, (box(80.0, 1.0, 1.0),))
    assert found["R1"].pipe_ft3 == pytest.approx(pi / 4 / 9 * 100)
    assert found["R1"].stone_ft3 == pytest.approx(80 * 0.4)
    assert found["R1"].holds_ft3 == pytest.approx(pi / 4 / 9 * 100 + 32)
    assert found["B1"].holds_ft3 == pytest.approx(2.5)
    assert found["O1"].holds_ft3 == pytest.approx(38.4)
    assert job.water.stone_voids == WaterBasis().stone_voids == 0.4
    assert set(stores_of(job, {}, {}, ())) == {"O1"}


heights = st.floats(0, 4)
sections = st.lists(st.tuples(st.floats(-2, 2), heights), min_size=2, max_size=8)


def uneven(section: list[tuple[float, float]], outside: float = THIN) -> StoneTrench:
    station = tuple(3.0 * i for i in range(len(section)))
    bottom = tuple(b for b, _ in section)
    return StoneTrench(
        "R1", station, tuple(b + 0.2 for b in bottom), bottom, tuple(b + h for b, h in section), 1.5, outside
    )


@given(sections, st.floats(-3, 7))
def test_any_trench_agrees_with_a_polygon_cut_at_the_level(section: list[tuple[float, float]], level: float) -> None:
    """A second method: the geometry library cuts the long section of the stone at the level of the water."""
    trench = uneven(section)
    area = 0.0
    for i in range(len(section) - 1):
        corners = [
            (trench.station_ft[i], trench.bottom_ft[i]),
            (trench.station_ft[i], trench.top_ft[i]),
            (trench.station_ft[i + 1], trench.top_ft[i + 1]),
            (trench.station_ft[i + 1], trench.bottom_ft[i + 1]),
        ]
        ring = shapely.make_valid(shapely.Polygon(corners))
        area += ring.intersection(shapely.box(-1, -9, 99, level)).area if level > -9 else 0.0
    assert voids_below_ft3(trench, level, 1.0) == pytest.approx(1.5 * area, rel=1e-6, abs=1e-6)


@given(sections, st.lists(st.floats(-3, 7), min_size=2, max_size=9), st.floats(0.01, 0.9))
def test_the_store_never_falls_as_the_water_rises(
    section: list[tuple[float, float]], levels: list[float], outside: float
) -> None:
    trench = uneven(section, outside)
    held = [voids_below_ft3(trench, z, 1.0) for z in sorted(levels)]
    wet = [floor_below_ft2(trench, z) for z in sorted(levels)]
    assert (np.diff(held) >= -1e-9).all()
    assert (np.diff(wet) >= -1e-9).all()
    assert wet[-1] <= 1.5 * trench.station_ft[-1] + 1e-9


@given(sections, st.floats(-3, 7), st.floats(0, 0.6))
def test_what_it_holds_goes_with_the_voids(section: list[tuple[float, float]], level: float, voids: float) -> None:
    trench = uneven(section)
    assert voids_below_ft3(trench, level, voids) == pytest.approx(voids * voids_below_ft3(trench, level, 1.0))


@given(st.floats(50, 5_000), st.floats(1, 400), st.floats(0.05, 6))
def test_more_floor_never_asks_more_to_be_held_nor_less_ground(ca: float, floor: float, rate: float) -> None:
    rain = square_root_rain(1.5)
    held = balance_of(rain, ca, floor, rate).holds_ft3
    assert balance_of(rain, ca, 1.1 * floor, rate).holds_ft3 <= held + 1e-9
    assert balance_of(rain, 1.1 * ca, floor, rate).holds_ft3 >= held - 1e-9


@example([(0.0, 0.0), (0.0, 0.0)], 5e-324, 2.0)
@example([(0.0, 0.0), (0.0, 1.0)], 5e-324, 2.0)
@given(sections, st.floats(0, 20), st.floats(1, 30))
def test_the_mean_floor_lies_between_none_and_all_of_it(
    section: list[tuple[float, float]], pit_ft3: float, pit_floor_ft2: float
) -> None:
    trench = uneven(section)
    pool = stone_pool([trench], 9.0, 0.4)
    store = soakage(pit_ft3, pit_floor_ft2 if pit_ft3 > 0 else 0.0, pool)
    most = floor_below_ft2(trench, 9.0) + (pit_floor_ft2 if pit_ft3 > 0 else 0.0)
    floors = [store.floor_ft2(share * store.room_ft3) for share in (0.1, 0.5, 1.0)]
    assert all(0 <= f <= most * (1 + 1e-6) + 1e-9 for f in floors)
    whole = pit_ft3 + voids_below_ft3(trench, 9.0, 0.4)
    # a slice of level whose middle has no floor yet is left out, the safe side: never more than there is, and hardly less
    assert 0.99 * whole - 1e-6 <= store.room_ft3 <= whole * (1 + 1e-6) + 1e-6
