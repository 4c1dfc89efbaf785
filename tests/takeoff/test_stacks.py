"""Stacks, risers and grates by depth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.model import Run
from drainsketch.takeoff.stacks import basin_stack
from tests.takeoff.small_jobs import all_lines, basin, flat, job_of, lines_of, outfall


@pytest.mark.parametrize(
    ("invert", "risers", "trim_in"),
    [
        (99.5, 0, 0),  # 6 + 4 = 10 in: the body alone
        (100 - 8 / 12, 0, 0),  # 8 + 4 = 12 in: the body exactly
        (100 - 9 / 12, 1, 5),  # 13 in
        (99.0, 1, 2),  # 16 in
        (100 - 14 / 12, 1, 0),  # 18 in: body and one whole riser
        (98.0, 3, 2),  # 28 in
    ],
)
def test_risers_make_up_what_the_body_leaves(invert, risers, trim_in):
    stack = basin_stack(100.0, invert, 4.0, 12)
    assert stack.risers == risers
    assert stack.trim_in == pytest.approx(trim_in, abs=1e-6)


def test_a_body_taller_than_the_depth_is_set_deeper():
    stack = basin_stack(100.0, 99.5, 4.0, 12)
    assert stack.bottom_ft == pytest.approx(99.0)
    assert stack.sump_in == pytest.approx(6.0)


@given(st.floats(90, 110), st.floats(0, 12), st.floats(0, 24), st.sampled_from([9, 12, 18, 24]))
def test_body_risers_and_trim_reach_from_bottom_to_rim(rim, depth, sump, size):
    stack = basin_stack(rim, rim - depth, sump, size)
    assert (stack.body_in + 6 * stack.risers - stack.trim_in) / 12 == pytest.approx(rim - stack.bottom_ft, abs=1e-6)
    assert 0 <= stack.trim_in < 6
    assert stack.sump_in >= sump - 1e-6


@pytest.mark.parametrize("bad", [(float("nan"), 98, 4), (100, float("inf"), 4), (100, 98, -1)])
def test_nonsense_is_refused(bad):
    with pytest.raises(ValueError, match="levels"):
        basin_stack(*bad, 12)


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
