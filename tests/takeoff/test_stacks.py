"""Stacks: risers, bed, what remains and how it is lost; risers and grates by depth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.basins import basin_body, shipped_stock
from drainsketch.job.limits import BasinBody
from drainsketch.job.model import Job, Run
from drainsketch.takeoff.stacks import basin_stack, risers_of, stacks
from tests.takeoff.small_jobs import all_lines, basin, flat, job_of, laid_out, lines_of, outfall

TWELVE = BasinBody(size_in=12, height_in=12.0)


@pytest.mark.parametrize(
    ("invert", "risers", "trim_in", "low_in"),
    [
        (99.5, 0, 0, 0),  # 6 + 4 = 10 in: the body alone, set deeper
        (100 - 8 / 12, 0, 0, 0),  # 8 + 4 = 12 in: the body exactly
        (100 - 9 / 12, 0, 0, 1),  # 13 in: the grate stays an inch low, common practice, no source
        (100 - 9.5 / 12, 1, 4.5, 0),  # 13.5 in: a riser cut to 1.5 in
        (99.0, 1, 2, 0),  # 16 in
        (100 - 14 / 12, 1, 0, 0),  # 18 in: body and one whole 6 in riser
        (98.0, 3, 2, 0),  # 28 in
    ],
)
def test_risers_make_up_what_the_body_leaves(invert, risers, trim_in, low_in):
    stack = basin_stack(100.0, invert, 4.0, TWELVE)
    assert stack.risers_in == (6.0,) * risers
    assert stack.trim_in == pytest.approx(trim_in, abs=1e-6)
    assert stack.low_in == pytest.approx(low_in, abs=1e-6)


def test_a_body_taller_than_the_depth_is_set_deeper():
    stack = basin_stack(100.0, 99.5, 4.0, TWELVE)
    assert stack.bottom_ft == pytest.approx(99.0)
    assert stack.sump_in == pytest.approx(6.0)


def test_the_hole_is_dug_to_under_the_bed_or_to_the_deepest_trench():
    # floor at 98.00 - 4 in; two inches of bed under it; then a trench that is deeper still
    stack = basin_stack(100.0, 98.0, 4.0, TWELVE, bed_in=2.0)
    assert stack.dig_to_ft == pytest.approx(98.0 - 6 / 12)
    assert stack.bed_in == pytest.approx(2.0)
    deeper = basin_stack(100.0, 98.0, 4.0, TWELVE, bed_in=2.0, trench_bottom_ft=97.25)
    assert deeper.dig_to_ft == 97.25
    assert deeper.bed_in == pytest.approx((98.0 - 4 / 12 - 97.25) * 12)


def test_what_remains_can_be_lost_in_three_ways_and_each_of_them_adds_up():
    # 28 in from floor to rim: body 12, two whole risers 12, 4 in remain
    stack = basin_stack(100.0, 98.0, 4.0, TWELVE, bed_in=2.0)
    assert (stack.risers_in, stack.trim_in) == ((6.0, 6.0, 6.0), pytest.approx(2.0))
    deeper, bed = stack.others
    assert (deeper.kind, deeper.by_in, deeper.risers_in) == ("deeper", pytest.approx(2.0), (6.0, 6.0, 6.0))
    # uncut, the basin stands 12 + 18 in below the rim, and 2 in of bed under it
    assert deeper.dig_to_ft == pytest.approx(100.0 - (12 + 18 + 2) / 12)
    assert (bed.kind, bed.by_in, bed.risers_in) == ("bed", pytest.approx(4.0), (6.0, 6.0))
    assert bed.dig_to_ft == pytest.approx(stack.dig_to_ft)


def test_a_bed_is_not_offered_where_the_opening_would_come_above_the_pipe():
    sill = BasinBody(size_in=12, height_in=12.0, opening_in=3.0)
    assert {w.kind for w in basin_stack(100.0, 98.0, 4.0, sill).others} == {"deeper"}


def test_the_sill_of_the_openings_is_the_least_sump():
    sill = BasinBody(size_in=12, height_in=12.0, opening_in=5.5)
    assert basin_stack(100.0, 98.0, 4.0, sill).sump_in == pytest.approx(5.5)


def test_taller_risers_are_taken_first():
    both = BasinBody(size_in=12, height_in=12.0, risers_in=(6.0, 12.0))
    assert basin_stack(100.0, 98.0, 4.0, both).risers_in == (12.0, 6.0)
    assert basin_stack(100.0, 98.0 - 2 / 12, 4.0, both).risers_in == (12.0, 6.0)


@given(
    st.floats(90, 110),
    st.floats(0, 12),
    st.floats(0, 24),
    st.sampled_from(shipped_stock()),
    st.sampled_from([(6.0,), (6.0, 12.0), (4.0, 8.0)]),
)
def test_floor_body_risers_and_what_is_low_reach_to_the_rim(rim, depth, sump, body, heights):
    body = BasinBody(size_in=body.size_in, height_in=body.height_in, risers_in=heights)
    stack = basin_stack(rim, rim - depth, sump, body, bed_in=2.0)
    stands_in = body.height_in + body.grate_in + sum(stack.risers_in) - stack.trim_in
    assert stack.bottom_ft + stands_in / 12 == pytest.approx(stack.top_ft, abs=1e-6)
    assert -1e-6 <= stack.low_in <= 1.0 + 1e-6  # flush to 1 in low: common practice, no source
    assert stack.sump_in >= sump - 1e-6
    assert stack.bed_in == pytest.approx(2.0, abs=1e-6)
    spans = risers_of(stack)
    assert len(spans) == len(stack.risers_in)
    if spans:
        assert spans[0][0] == stack.body_top_ft
        assert spans[-1][1] == pytest.approx(stack.top_ft - body.grate_in / 12, abs=1e-6)


@pytest.mark.parametrize("bad", [(float("nan"), 98, 4), (100, float("inf"), 4), (100, 98, -1)])
def test_nonsense_is_refused(bad):
    with pytest.raises(ValueError, match="levels"):
        basin_stack(*bad, TWELVE)


def test_a_size_of_the_job_stands_in_place_of_the_catalogue():
    mine = BasinBody(size_in=12, height_in=15.0, risers_in=(4.0,))
    assert basin_body(Job(stock=(mine,)), 12) is mine
    assert basin_body(Job(stock=(mine,)), 18).height_in == 18.0
    assert basin_body(Job(), None).size_in == 12
    job = job_of([basin("A", 0, 0), outfall("O", 50, 0)], [Run(id="R", start="A", end="O")])
    stood = stacks(
        laid_out(
            Job(**{f: getattr(job, f) for f in ("structures", "runs")}, stock=(mine,)), flat(100), {"R": (98.0, 97.0)}
        )
    )
    # 24 + 4 = 28 in, less 15: 13 in, three risers of 4 in; the grate stays 1 in low
    assert stood["A"].risers_in == (4.0, 4.0, 4.0)
    assert stood["A"].low_in == pytest.approx(1.0)


def two_basins():
    return job_of(
        [basin("A", 0, 0), basin("B", 50, 0, size_in=18), outfall("O", 100, 0)],
        [Run(id="R1", start="A", end="B"), Run(id="R2", start="B", end="O")],
    )


def test_bodies_grates_and_risers_by_size():
    # A (12 in, none given): 24 + 4 - 12 = 16 in, 3 risers. B (18 in): 36 + 4 - 18 = 22 in, 4 risers.
    lines = all_lines(two_basins(), flat(100), {"R1": (98.0, 97.5), "R2": (97.0, 96.0)})
    counted = {(x.item, dict(x.params)["size_in"]): x.quantity for x in lines if "size_in" in dict(x.params)}
    assert counted == {
        ("basin_body", 12): 1,
        ("basin_body", 18): 1,
        ("grate", 12): 1,
        ("grate", 18): 1,
        ("riser", 12): 3,
        ("riser", 18): 4,
    }


def test_depth_is_from_the_rim_where_one_is_set():
    job = job_of([basin("A", 0, 0, rim_ft=99.5), outfall("O", 50, 0)], [Run(id="R", start="A", end="O")])
    # 18 + 4 - 12 = 10 in: two risers, 2 in cut off
    line = lines_of(job, flat(100), {"R": (98.0, 97.0)})["riser"]
    assert line.quantity == 2
    assert "cut by 2.0 in" in line.arithmetic


def test_without_levels_basins_are_counted_and_risers_are_not():
    lines = {x.item for x in all_lines(two_basins())}
    assert {"basin_body", "grate"} <= lines
    assert "riser" not in lines
