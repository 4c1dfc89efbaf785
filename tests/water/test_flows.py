"""What pipe has to carry and what it can: sizes, roughness, times, and that more rain never shows less flow."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.limits import RoughnessRule
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.network.graph import orient
from drainsketch.water.circular import full_flow_cfs
from drainsketch.water.flows import Drop, peak_of, pipe_flows, roughness_of
from tests.water.rains import in_table, one_column
from tests.water.wet_yards import ROOT, arrival, chain, grade, peak, with_water
from tests.yards import basin, drawn, outfall, run

STEADY = Rain(intensity_in_h=4.0)


def test_flow_of_one_inlet_in_pipe_of_known_capacity():
    # 4 in corrugated, n 0.018, 1 %: A 0.087266, R 0.083333, R^(2/3) 0.19079: Q = 1.486 / 0.018 x 0.087266 x 0.19079 x 0.1 = 0.13745
    # (61.7 gpm); 1,000 ft2 of C 1 in 4 in/h give 0.092593: Q/Qf 0.67366, y/D 0.601, V/Vf 1.0727, V 1.575 x 1.0727 = 1.690
    job, network, grades = chain((80.0,), (0.01,), (4,), STEADY, pipe="corrugated")
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 1_000)})["R1"]
    assert (found.n, found.diameter_ft) == (0.018, pytest.approx(1 / 3))
    assert found.full_cfs == pytest.approx(0.13745, abs=2e-5)
    assert found.flow_cfs == pytest.approx(0.092593, abs=1e-6)
    assert found.depth_ft / found.diameter_ft == pytest.approx(0.601, abs=0.001)
    assert found.velocity_ft_s == pytest.approx(1.690, abs=0.002)
    assert found.carries and found.needs_in is None


def test_real_inside_diameters_count():
    # IPC 2018 Table 1106.2 (second-hand): 115 gpm in 4 in at 1/8 in/ft, by n 0.010 and 4.026 in
    job, network, grades = chain((80.0,), (1 / 96,), (4,), STEADY, pipe="sch40")
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 1_000)})["R1"]
    assert found.full_cfs * 448.831 == pytest.approx(115, abs=0.5)


def test_roughness_of_the_job_stands_in_place_of_the_list_for_its_pipe_and_use_alone():
    rule = RoughnessRule(pipe="corrugated", use="solid", n=0.024)
    job, network, grades = chain((80.0,), (0.01,), (4,), STEADY, pipe="corrugated")
    rough = with_water(job, roughness=(rule,))
    (laid,) = rough.runs
    assert roughness_of(rough, laid) == (0.024, "typed for this job")
    assert roughness_of(rough, replace(laid, use="drain"))[0] == 0.018
    assert roughness_of(rough, replace(laid, pipe="sdr35"))[0] == 0.010
    smooth, coarse = (pipe_flows(j, network, grades, {"B1": arrival("B1", 1_000)})["R1"].full_cfs for j in (job, rough))
    assert coarse == pytest.approx(smooth * 0.018 / 0.024)


def test_the_smallest_stocked_size_that_carries_is_named():
    # corrugated at 1 %: 4 in 0.1375, 6 in 0.4053, 8 in 0.8728 cfs (61.7, 181.9, 391.7 gpm); 10 in with its n of 0.020
    job, network, grades = chain((80.0,), (0.01,), (4,), STEADY, pipe="corrugated")
    sizes = [
        pipe_flows(job, network, grades, {"B1": arrival("B1", q / 4 * 43_200)})["R1"].needs_in
        for q in (0.10, 0.137, 0.20, 0.405, 0.42, 0.872, 0.89)
    ]
    assert sizes == [None, None, 6, 6, 8, 8, 10]
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 50_000)})["R1"]
    assert (found.needs_in, found.depth_ft, found.carries) == (0, None, False)


def test_pipe_below_is_asked_no_smaller_than_what_comes_in():
    # 4 in at 1 % has to become 6 in; 4 in at 5 % below it would carry the flow (0.3073 cfs)
    job, network, grades = chain((80.0, 80.0), (0.01, 0.05), (4, 4), STEADY, pipe="corrugated")
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 2_500)})
    assert (found["R1"].needs_in, found["R2"].needs_in) == (6, 6)
    assert not found["R1"].carries and found["R2"].carries


def test_pipe_within_a_hundredth_of_its_capacity_carries():
    job, network, grades = chain((80.0,), (0.01,), (4,), STEADY, pipe="corrugated")
    full = full_flow_cfs(1 / 3, 0.01, 0.018)
    near, over = (
        pipe_flows(job, network, grades, {"B1": arrival("B1", k * full * 10_800)})["R1"] for k in (1.009, 1.011)
    )
    assert near.carries and not over.carries
    assert near.depth_ft is None  # it runs full all the same


@pytest.mark.parametrize("slope", [0.0, -0.02])
def test_level_and_backward_pipe_carries_nothing_by_its_own_fall(slope):
    job, network, grades = chain((80.0,), (slope,), (4,), STEADY)
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 1_000)})["R1"]
    assert (found.slope, found.full_cfs, found.depth_ft, found.needs_in, found.carries) == (0.0, 0.0, None, 0, False)


def test_the_flattest_leg_counts():
    job, network, grades = chain((80.0,), (0.01,), (4,), STEADY)
    broken = replace(grades["R1"], breaks=((40.0, grades["R1"].invert_down_ft + 0.1),))  # 0.25 % below, 1.75 % above
    assert pipe_flows(job, network, {"R1": broken}, {"B1": arrival("B1", 100)})["R1"].slope == pytest.approx(0.0025)


def test_a_run_without_a_grade_has_a_flow_and_no_more_and_passes_it_on():
    job, network, grades = chain((80.0, 80.0), (0.01, 0.01), (4, 4), in_table(ROOT))
    found = pipe_flows(job, network, {"R2": grades["R2"]}, {"B1": arrival("B1", 1_000)})
    assert found["R1"].full_cfs is None and not found["R1"].carries
    assert found["R2"].minutes == 5.0  # nobody knows how long it was in R1
    assert found["R2"].flow_cfs == pytest.approx(peak(1.0, 6.0, 1_000))


def test_runs_that_nothing_arrives_at_are_left_out():
    job, network, grades = chain((80.0, 80.0), (0.01, 0.01), (4, 4), STEADY)
    assert list(pipe_flows(job, network, grades, {"B2": arrival("B2", 1_000)})) == ["R2"]


def test_water_of_a_structure_with_two_ways_out_takes_the_shorter_one_whole():
    job = drawn(
        basin(0, 0),
        basin(50, 40),
        basin(50, 0),
        outfall(100, 0),
        run("B1", "B2"),  # the longer way, and first by its id
        run("B1", "B3"),
        run("B2", "O1"),
        run("B3", "O1"),
        job=Job(rain=STEADY),
    )
    network = orient(job)
    grades = {f.id: grade(f.id, f.length_ft, 0.01) for f in network.runs}
    found = pipe_flows(job, network, grades, {"B1": arrival("B1", 1_000)})
    assert set(found) == {"R2", "R4"}
    assert found["R4"].area_ft2 == 1_000


def test_water_that_ends_at_an_outfall_goes_no_farther():
    job = drawn(basin(0, 0), outfall(50, 0), outfall(90, 0), run("B1", "O1"), run("O1", "O2"), job=Job(rain=STEADY))
    network = orient(job)
    grades = {f.id: grade(f.id, f.length_ft, 0.01) for f in network.runs}
    assert list(pipe_flows(job, network, grades, {"B1": arrival("B1", 1_000)})) == ["R1"]


def test_pipe_under_pressure_passes_water_no_slower_than_it_did_just_short_of_full():
    # short of full, 0.82 deep, water runs at 1.14 of the velocity of the full pipe: with a hair more it must not come later and,
    # in rain that eases with time, be less below
    job, network, grades = chain((200.0, 80.0), (0.001, 0.05), (4, 6), in_table(ROOT), pipe="corrugated")
    area = full_flow_cfs(1 / 3, 0.001, 0.018) / peak(1.0, 6.0, 1.0)
    below, above = (pipe_flows(job, network, grades, {"B1": arrival("B1", k * area)}) for k in (0.9999, 1.0001))
    assert below["R1"].depth_ft is not None and above["R1"].depth_ft is None
    assert above["R2"].minutes == pytest.approx(below["R2"].minutes, rel=1e-3)
    assert above["R2"].flow_cfs > below["R2"].flow_cfs
    assert above["R1"].velocity_ft_s == pytest.approx(
        above["R1"].flow_cfs / (0.25 * 3.14159265 / 9)
    )  # in the full section


def test_equal_times_come_together():
    drops = [Drop("B1", 1_000, 1_000, 10.0), Drop("B2", 500, 500, 10.0)]
    found = peak_of(Job(rain=in_table(ROOT)), drops)
    assert found.part == ()
    assert found.flow_cfs == pytest.approx(peak(1.0, 6 * 0.5**0.5, 1_500))


# ---- properties

areas = st.floats(0.0, 60_000.0)
coefficients = st.floats(0.0, 1.0)
times = st.floats(1.0, 40.0)
slopes = st.floats(0.0005, 0.1)
three = lambda strategy: st.tuples(strategy, strategy, strategy)  # noqa: E731


def flows_of(rain, area, c, minutes, slope, size=(4, 4, 6)):
    job, network, grades = chain((60.0, 90.0, 120.0), slope, size, rain)
    arrivals = {
        f"B{i + 1}": arrival(f"B{i + 1}", a, k, t) for i, (a, k, t) in enumerate(zip(area, c, minutes, strict=True))
    }
    return pipe_flows(job, network, grades, arrivals)


@given(
    one_column(), three(areas), three(coefficients), three(times), three(slopes), st.integers(0, 2), st.floats(1.0, 5.0)
)
def test_more_area_never_shows_less_flow(table, area, c, minutes, slope, which, by):
    more = tuple(a * by if i == which else a for i, a in enumerate(area))
    less_q, more_q = (flows_of(in_table(table), a, c, minutes, slope) for a in (area, more))
    for run_id, found in less_q.items():
        assert more_q[run_id].flow_cfs >= found.flow_cfs * (1 - 1e-4)


@given(one_column(), three(areas), three(coefficients), three(times), three(slopes), st.floats(1.0, 3.0))
def test_higher_coefficients_never_show_less_flow(table, area, c, minutes, slope, by):
    more = tuple(min(1.0, k * by) for k in c)
    less_q, more_q = (flows_of(in_table(table), area, k, minutes, slope) for k in (c, more))
    for run_id, found in less_q.items():
        assert more_q[run_id].flow_cfs >= found.flow_cfs * (1 - 1e-4)


@given(one_column(), three(areas), three(coefficients), three(times), three(slopes), st.floats(1.0, 3.0))
def test_harder_rain_never_shows_less_flow(table, area, c, minutes, slope, by):
    harder = replace(table, rows=tuple(replace(r, values=(r.values[0] * by,)) for r in table.rows))
    less_q, more_q = (flows_of(in_table(t), area, c, minutes, slope) for t in (table, harder))
    for run_id, found in less_q.items():
        assert more_q[run_id].flow_cfs >= found.flow_cfs * (1 - 1e-4)


@given(one_column(), three(areas), three(coefficients), three(times), three(slopes))
def test_flow_is_at_least_that_of_any_inlet_alone_and_at_most_all_at_once(table, area, c, minutes, slope):
    found = flows_of(in_table(table), area, c, minutes, slope)
    last = found["R3"]
    assert last.area_ft2 == pytest.approx(sum(area))
    assert last.ca_ft2 == pytest.approx(sum(a * k for a, k in zip(area, c, strict=True)))
    hardest = table.rows[0].values[0]
    assert last.flow_cfs <= peak(1.0, hardest, last.ca_ft2) * (1 + 1e-9)
    own = flows_of(in_table(table), (0.0, 0.0, area[2]), c, minutes, slope)["R3"].flow_cfs
    assert last.flow_cfs >= own * (1 - 1e-9)


@given(three(areas), slopes, st.floats(1.0, 4.0))
def test_capacity_grows_with_slope_and_with_size(area, slope, by):
    assume(sum(area) > 0)
    ones = (1.0, 1.0, 1.0)
    steep = (min(slope * by, 0.4),) * 3
    flat, steeper = (flows_of(STEADY, area, ones, ones, s) for s in ((slope,) * 3, steep))
    wide = flows_of(STEADY, area, ones, ones, (slope,) * 3, (6, 6, 8))
    for run_id in flat:
        assert flat[run_id].full_cfs <= steeper[run_id].full_cfs
        assert flat[run_id].full_cfs < wide[run_id].full_cfs
