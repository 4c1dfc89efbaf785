"""What is dug how deep, against trapezoids and triangles worked on paper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.model import Run
from drainsketch.review import analyse
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.price.depths import dug_by_depth
from drainsketch.takeoff.stacks import stacks
from tests.takeoff.small_jobs import fitting, flat, job_of, laid_out, outfall
from tests.test_review import SAMPLES, sample

BELOW = 0.12 / 12  # 4 in SDR 35, no stone under a solid run: wall (4.215 - 3.975) / 2 in


def trench(up_ft: float, down_ft: float, length: float = 100.0):
    """Return the earth of a solid run in flat ground, cut so deep at its ends, 1 ft wide."""
    job = job_of(
        [fitting("F", 0, 0), outfall("O", length, 0)],
        [Run(id="R", start="F", end="O", use="solid", pipe="sdr35")],
        trench_width_in=12,
    )
    inverts = {"R": (100 - up_ft + BELOW, 100 - down_ft + BELOW)}
    works = laid_out(job, flat(100.0), inverts)
    return earth(works, stacks(works)).runs[0]


def dug(run, limits, zones=(), *, in_zones=False):
    return [(d.length_ft, d.volume_ft3) for d in dug_by_depth(run, {}, limits, zones, in_zones=in_zones)]


def test_a_trench_of_one_depth_lies_in_one_class():
    assert dug(trench(1.5, 1.5), [2, 4]) == [pytest.approx((100, 150)), (0, 0), (0, 0)]


@pytest.mark.parametrize("depth", [0.7, 1.1, 1.3, 1.7, 2, 2.3, 2.9, 3.1, 4.3, 4.9])
def test_a_cut_of_just_the_limit_belongs_to_it(depth):
    assert dug(trench(depth, depth), [depth, 8])[0] == pytest.approx((100, 100 * depth))


def test_a_depth_that_grows_is_split_where_it_passes_the_limits():
    # cut 1 ft at the head, 5 ft at the outfall, 4 ft over 100 ft: 25 ft to 2 ft deep, mean 1.5; 50 ft to 4 ft, mean 3;
    # 25 ft beyond, mean 4.5
    found = dug(trench(1, 5), [2, 4])
    assert found == [pytest.approx((25, 37.5)), pytest.approx((50, 150)), pytest.approx((25, 112.5))]


def test_where_the_bottom_is_above_ground_nothing_is_dug():
    # from 1 ft in the air to 3 ft deep: dug over the last 75 ft; half a square foot to each class foot: 25 x 0.5, 25 x 1.5, 25 x 2.5
    found = dug(trench(-1, 3), [1, 2])
    assert found == [pytest.approx((25, 12.5)), pytest.approx((25, 37.5)), pytest.approx((25, 62.5))]


def test_strips_beside_services_are_taken_out_once_however_they_overlap():
    run = trench(1, 3)  # cut at station s: 3 - s / 50
    zones = [(10, 20), (15, 30), (200, 210)]
    by_hand = 20 * (2.8 + 2.4) / 2  # from 10 to 30
    assert sum(v for _, v in dug(run, [6], zones, in_zones=True)) == pytest.approx(by_hand)
    assert sum(v for _, v in dug(run, [6], zones)) == pytest.approx(200 - by_hand)
    assert sum(ft for ft, _ in dug(run, [6], zones)) == pytest.approx(80)


def test_without_a_class_all_is_beyond():
    assert dug(trench(1, 3), []) == [pytest.approx((100, 200))]


@given(
    st.floats(-2, 8),
    st.floats(-2, 8),
    st.lists(st.floats(0.5, 9), max_size=5, unique=True),
    st.lists(st.tuples(st.floats(-10, 110), st.floats(0, 40)), max_size=4),
)
def test_classes_and_strips_make_up_the_whole_trench(up, down, limits, strips):
    run = trench(up, down)
    zones = [(at, at + width) for at, width in strips]
    parts = [*dug(run, sorted(limits), zones), *dug(run, sorted(limits), zones, in_zones=True)]
    assert sum(v for _, v in parts) == pytest.approx(run.trench_ft3, abs=1e-6)
    if run.cut_ft2 > 1e-6:  # a cut of nothing is as long as the last digit says
        assert sum(ft for ft, _ in parts) == pytest.approx(run.dug_ft, abs=1e-3)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_are_dug_whole(name):
    review = analyse(sample(name))
    of = earth(review.works, review.stacks)
    for run in of.runs:
        parts = dug_by_depth(run, of.inside_ft(run.work), [1.0, 1.5, 2.0, 3.0], [(3.0, 7.5)], in_zones=False)
        parts += dug_by_depth(run, of.inside_ft(run.work), [1.0, 1.5, 2.0, 3.0], [(3.0, 7.5)], in_zones=True)
        assert sum(d.volume_ft3 for d in parts) == pytest.approx(run.trench_ft3, rel=1e-9)
