"""What grates take, by the formulas of a sag worked out by hand: half of edge and opening is taken as clogged."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.basins import shipped_stock
from drainsketch.job.model import Job
from drainsketch.water.grates import ponded
from drainsketch.water.inlets import grate_flows
from drainsketch.water.results import GrateFlow
from tests.water.wet_yards import arrival, with_water
from tests.yards import basin, drawn


def over(flow_cfs: float, job: Job | None = None, **of_basin: object) -> GrateFlow:
    job = drawn(basin(0, 0, **of_basin), job=job)
    return grate_flows(job, {"B1": arrival("B1", 1.0, flow_cfs=flow_cfs)})["B1"]


def test_little_water_comes_over_the_edge():
    # 12 in: edge 4 ft, open 48 in2; clogged 2 ft and 0.16667 ft2. 0.1 cfs: weir (0.1 / 6)^(2/3) = 0.06525 ft
    found = over(0.1, size_in=12)
    assert (found.depth_ft, found.governs) == (pytest.approx(0.06525, abs=1e-5), "weir")
    assert (found.needs_size_in, found.needs_count) == (None, 1)


def test_much_water_goes_through_the_slots_and_asks_for_more():
    # 0.6 cfs: orifice (0.6 / (0.67 x 0.16667))^2 / 64.4 = 0.4483 ft. With 3 in over it the grate takes
    # 0.67 x 0.16667 x (64.4 x 0.25)^0.5 = 0.4481 cfs; weir 3 x 2 x 0.125 = 0.75. 18 in: 0.67 x 0.375 x 4.0125 = 1.008
    found = over(0.6, size_in=12)
    assert (found.depth_ft, found.governs) == (pytest.approx(0.4483, abs=1e-4), "orifice")
    assert (found.allowed_ft, found.takes_cfs) == (0.25, pytest.approx(0.4481, abs=1e-4))
    assert (found.needs_size_in, found.needs_count) == (18, 2)
    assert over(1.1, size_in=12).needs_size_in == 24
    assert over(9.0, size_in=12).needs_size_in is None
    assert over(9.0, size_in=12).needs_count == 21  # 9 / 0.4481 = 20.1


def test_clogging_and_the_depth_put_up_with_are_the_jobs_own():
    clean = with_water(Job(), grate_clogged=0.0, grate_ponding_in=6.0)
    # 0.67 x 0.33333 x (64.4 x 0.5)^0.5 = 1.2673; weir 3 x 4 x 0.35355 = 4.24
    assert over(0.6, clean, size_in=12).takes_cfs == pytest.approx(1.2673, abs=1e-4)


def test_a_grate_of_the_jobs_own_stock_counts():
    body = replace(next(b for b in shipped_stock() if b.size_in == 12), grate_open_in2=72.0, grate_edge_in=24.0)
    # open 0.25, edge 1 ft when half clogged: weir 3 x 1 x 0.125 = 0.375; orifice 0.67 x 0.25 x 4.0125 = 0.672
    assert over(0.3, Job(stock=(body,)), size_in=12).takes_cfs == pytest.approx(0.375)


def test_a_basin_of_no_size_yet_has_the_grate_of_the_usual_one():
    assert over(0.1) == over(0.1, size_in=12)


def test_where_no_water_is_put_up_with_no_number_of_grates_is_enough():
    found = over(0.1, with_water(Job(), grate_ponding_in=0.0), size_in=12)
    assert (found.takes_cfs, found.needs_size_in, found.needs_count) == (0.0, None, 0)


def test_only_basins_have_grates():
    job = drawn(basin(0, 0), replace(basin(5, 5), kind="downspout inlet"))
    assert set(grate_flows(job, {"B1": arrival("B1", 1.0), "D1": arrival("D1", 1.0)})) == {"B1"}
    assert grate_flows(job, {}) == {}


@given(st.sampled_from([9, 12, 18, 24]), st.floats(0.0, 5.0), st.floats(1.0, 3.0), st.floats(0.0, 0.95))
def test_more_water_stands_deeper_and_what_is_said_to_do_does(size, flow, by, clogged):
    job = with_water(Job(), grate_clogged=clogged)
    found, more = over(flow, job, size_in=size), over(flow * by, job, size_in=size)
    assert more.depth_ft >= found.depth_ft
    assert (found.depth_ft > found.allowed_ft) == (found.needs_count > 1) or abs(found.depth_ft - 0.25) < 1e-6
    if found.needs_size_in is not None:
        assert over(flow, job, size_in=found.needs_size_in).depth_ft <= 0.25 + 1e-9
    body = next(b for b in shipped_stock() if b.size_in == size)
    assert body.grate_open_in2 is not None and body.grate_edge_in is not None
    each = ponded(flow / max(found.needs_count, 1), body.grate_open_in2 / 144, body.grate_edge_in / 12, clogged)
    assert each.depth_ft <= 0.25 + 1e-9
