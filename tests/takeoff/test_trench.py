"""Trench, holes, stone, cap and spoil of small jobs worked on paper."""

from math import pi, sqrt

import pytest

from drainsketch.job.model import Run
from drainsketch.network.digging import trench_width_ft
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, lines_of, outfall

PIPE_FT2 = pi / 4 * (4.6 / 12) ** 2  # 4 in corrugated, 4.6 in outside


def drain(length=100.0, **criteria):
    return job_of(
        [fitting("F", 0, 0), outfall("O", length, 0)],
        [Run(id="R", start="F", end="O", use="drain", pipe="corrugated")],
        **criteria,
    )


@pytest.mark.parametrize(
    ("outside_in", "wanted_in", "width_in"), [(4.6, 12, 12), (9.1, 12, 13.1), (4.215, 6, 8.215), (8.0, 12, 12)]
)
def test_trench_is_as_wide_as_wanted_but_leaves_room_beside_the_pipe(outside_in, wanted_in, width_in):
    assert trench_width_ft(outside_in, wanted_in) * 12 == pytest.approx(width_in)


def test_widths_that_are_none_are_refused():
    with pytest.raises(ValueError, match="must be above 0"):
        trench_width_ft(0, 12)


def test_drain_trench_with_a_falling_invert():
    # Bottom = invert - 0.3 in wall - 2 in bed. Cut from 1.5 ft at the head to 2.5 ft at the outfall: 200 ft3 = 7.407 yd3.
    below = 2.3 / 12
    lines = lines_of(drain(), flat(100), {"R": (98.5 + below, 97.5 + below)})
    assert lines["trench_drain"].quantity == pytest.approx(200 / 27, rel=1e-12)
    assert lines["trench_drain"].quantity == pytest.approx(7.407, abs=0.0005)
    # cap 4 in deep: 100 x 1 x 1/3 = 33.33 ft3; stone 166.67 ft3 less pipe along the slope
    pipe_ft3 = PIPE_FT2 * 100 * sqrt(1 + 0.01**2)
    assert lines["topsoil_cap"].quantity == pytest.approx(100 / 3 / 27, rel=1e-12)
    assert lines["stone_drain"].quantity == pytest.approx((200 - 100 / 3 - pipe_ft3) / 27 * 1.35, rel=1e-9)
    # a drain's trench is lost whole: 7.407 yd3 in the bank, 9.26 loose
    assert lines["spoil_bank"].quantity == pytest.approx(200 / 27, rel=1e-12)
    assert lines["spoil_loose"].quantity == pytest.approx(9.26, abs=0.005)


def test_drain_that_comes_out_of_the_ground():
    # Level drain, ground falls from 2 ft over the trench bottom to 1 ft under it: open over 40 of 60 ft.
    below = 2.3 / 12
    job = drain(60.0)
    lines = lines_of(job, lambda x, y: 100 - x / 20, {"R": (98 + below, 98 + below)})
    assert lines["trench_drain"].quantity == pytest.approx(40 * 2 / 2 / 27, rel=1e-9)
    # stone where the cut is over 4 in: 2 - x/20 > 1/3, that is over 33.33 ft, 5/3 ft high at the head
    stone_ft3, cap_ft3 = 100 / 3 * (5 / 3) / 2, 40 - 100 / 3 * (5 / 3) / 2
    assert lines["topsoil_cap"].quantity == pytest.approx(cap_ft3 / 27, rel=1e-9)
    net_ft3 = lines["stone_drain"].quantity / 1.35 * 27
    # the pipe is covered while the stone is over 6.6 in: 22.33 ft; all in all it lies in less than 33.33 ft of stone
    assert stone_ft3 - PIPE_FT2 * 100 / 3 < net_ft3 < stone_ft3 - PIPE_FT2 * 22.33
    # a level surface over a pipe that rises evenly through it: half of the pipe's height counts half of it, by symmetry
    covered_ft = (5 / 3 - 6.6 / 12) * 20
    rising_ft = 4.6 / 12 * 20
    assert net_ft3 == pytest.approx(stone_ft3 - PIPE_FT2 * (covered_ft + rising_ft / 2), rel=1e-9)


def test_solid_run_loses_only_what_the_pipe_takes():
    job = job_of([fitting("F", 0, 0), outfall("O", 50, 0)], [Run(id="R", start="F", end="O", pipe="sdr35")])
    lines = lines_of(job, flat(100), {"R": (98.0, 98.0)})
    # 4.215 in outside, 0.12 in wall, no bed: cut 2.01 ft
    assert lines["trench_solid"].quantity == pytest.approx(50 * 2.01 / 27, rel=1e-12)
    assert lines["spoil_bank"].quantity == pytest.approx(50 * pi / 4 * (4.215 / 12) ** 2 / 27, rel=1e-9)
    assert "stone_drain" not in lines
    assert "topsoil_cap" not in lines


def test_trench_is_counted_from_hole_to_hole():
    # Basins 12 in: holes 2 ft square. 40 ft between centers leaves 38 ft of trench.
    job = job_of(
        [basin("A", 0, 0), basin("B", 40, 0), outfall("O", 60, 0)],
        [Run(id="R1", start="A", end="B", pipe="sdr35"), Run(id="R2", start="B", end="O", pipe="sdr35")],
    )
    lines = lines_of(job, flat(100), {"R1": (98.0, 98.0), "R2": (98.0, 98.0)})
    assert lines["trench_solid"].quantity == pytest.approx((38 + 19) * 2.01 / 27, rel=1e-12)
    # Holes: 24 + 4 sump + 2 bed = 30 in deep, 2 ft square: 10 ft3 each
    assert lines["basin_holes"].quantity == pytest.approx(20 / 27, rel=1e-12)
    assert lines["stone_basin"].quantity == pytest.approx(2 * 4 * (2 / 12) / 27 * 1.35, rel=1e-9)
    # Spoil: pipe in the trenches, bodies 1 ft square and 28 in deep, beds
    pipe_ft3 = 57 * pi / 4 * (4.215 / 12) ** 2
    assert lines["spoil_bank"].quantity == pytest.approx((pipe_ft3 + 2 * (28 / 12 + 4 * 2 / 12)) / 27, rel=1e-9)


def test_hole_on_a_slope_keeps_the_ground_of_its_own_stretch():
    # Ground falls 1 in 10 over a level pipe; the trench from 1 ft to 30 ft is the trapezoid between those two cuts.
    job = job_of([basin("A", 0, 0), outfall("O", 30, 0)], [Run(id="R", start="A", end="O", pipe="sdr35")])
    lines = lines_of(job, lambda x, y: 105 - x / 10, {"R": (98.0, 98.0)})
    deep, shallow = 7.01 - 0.1, 7.01 - 3.0
    assert lines["trench_solid"].quantity == pytest.approx(29 * (deep + shallow) / 2 / 27, rel=1e-9)


def test_hole_is_never_shallower_or_narrower_than_its_trench():
    # No sump, no bed under the basin, 12 in of stone under the drain, trench 3 ft wide
    job = job_of(
        [basin("A", 0, 0), outfall("O", 20, 0)],
        [Run(id="R", start="A", end="O", use="drain", pipe="corrugated")],
        basin_sump_in=0,
        basin_bed_in=0,
        stone_bed_in=12,
        trench_width_in=36,
    )
    lines = lines_of(job, flat(100), {"R": (98.0, 98.0)})
    depth_ft = 2 + 12.3 / 12
    assert lines["basin_holes"].quantity == pytest.approx(9 * depth_ft / 27, rel=1e-9)
    assert lines["trench_drain"].quantity == pytest.approx(18.5 * 3 * depth_ft / 27, rel=1e-9)


def test_holes_that_meet_leave_no_trench_between():
    job = job_of(
        [basin("A", 0, 0), basin("B", 1.5, 0), outfall("O", 30, 0)],
        [Run(id="R1", start="A", end="B"), Run(id="R2", start="B", end="O")],
    )
    lines = lines_of(job, flat(100), {"R1": (98.0, 98.0), "R2": (98.0, 98.0)})
    assert lines["trench_solid"].quantity == pytest.approx(27.5 * 2.01 / 27, rel=1e-9)


def test_no_grade_no_earth():
    job = drain()
    assert not {x for x in lines_of(job) if x.startswith(("trench", "stone", "spoil", "topsoil"))}
    # ground known, run without a grade
    assert "trench_drain" not in lines_of(job, flat(100), {})


def test_pipe_above_ground_digs_nothing():
    lines = lines_of(drain(), flat(90), {"R": (98.0, 97.0)})
    assert not {x for x in lines if x.startswith(("trench", "stone", "spoil", "topsoil"))}


def test_twice_as_wide_is_twice_the_trench():
    one = lines_of(drain(trench_width_in=12), flat(100), {"R": (98.0, 97.0)})["trench_drain"].quantity
    two = lines_of(drain(trench_width_in=24), flat(100), {"R": (98.0, 97.0)})["trench_drain"].quantity
    assert two == pytest.approx(2 * one, rel=1e-12)


def test_splitting_a_run_at_a_fitting_changes_no_volume():
    whole = lines_of(drain(), flat(100), {"R": (98.0, 96.0)})
    split = lines_of(
        job_of(
            [fitting("F", 0, 0), fitting("M", 33.3, 0), outfall("O", 100, 0)],
            [
                Run(id=n, start=a, end=b, use="drain", pipe="corrugated")
                for n, a, b in (("R1", "F", "M"), ("R2", "M", "O"))
            ],
        ),
        flat(100),
        {"R1": (98.0, 98 - 0.666), "R2": (98 - 0.666, 96.0)},
    )
    for item in ("trench_drain", "stone_drain", "topsoil_cap", "spoil_bank", "pipe_drain"):
        assert split[item].quantity == pytest.approx(whole[item].quantity, rel=1e-9), item
