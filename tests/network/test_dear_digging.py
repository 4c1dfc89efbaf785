"""Dearer digging beyond 4 and 5 ft: against sums by hand."""

import numpy as np
import pytest

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job
from drainsketch.network.digging import dug_cost_ft, hole_side_ft
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, outfall, run, shot

WALL_FT, TOP_FT = 0.120 / 12, 4.095 / 12  # 4 in SDR 35 (ASTM D3034)


def test_what_a_cut_costs() -> None:
    # by hand, at 1.5 times beyond 4 ft and 3 times beyond 5: 3; 4; 4 + 0.5 x 1.5; 4 + 1.5; 4 + 1.5 + 2 x 3
    cuts = np.array([-0.2, 3.0, 4.0, 4.5, 5.0, 7.0])
    assert dug_cost_ft(cuts, Criteria()) == pytest.approx([0.0, 3.0, 4.0, 4.75, 5.5, 11.5])
    # digging that were cheaper below 5 ft counts as at 4 ft: nothing gets cheaper by going deeper
    cheaper = Criteria(beyond_4_ft_times=2.0, beyond_5_ft_times=1.0)
    assert dug_cost_ft(cuts[3:], cheaper) == pytest.approx([5.0, 6.0, 10.0])


def test_a_hole_is_as_wide_as_the_basin_with_room_to_work_or_as_its_widest_trench() -> None:
    assert hole_side_ft(basin(0, 0, size_in=9), 1.0) == pytest.approx(21 / 12)
    assert hole_side_ft(basin(0, 0, size_in=9), 2.5) == 2.5
    assert hole_side_ft(fitting(0, 0), 2.5) == 0.0


def two_pipes(**limits: float) -> Job:
    """Return two pipes of 40 ft through ground at 100, with a sag to 97 over the middle of the first that holds it down."""
    ground = [
        shot(x, y, z)
        for x, z in ((-5, 100), (0, 100), (18, 100), (20, 97), (22, 100), (40, 100), (80, 100), (90, 100))
        for y in (-30, 30)
    ]
    job = drawn(*ground, fitting(0, 0), fitting(40, 0), outfall(80, 0, "dry well"), run("F1", "F2"), run("F2", "O1"))
    return change_criteria(job, min_slope=0.0, **limits)


def test_two_pipes_past_a_sag_lie_where_the_dear_part_is_least() -> None:
    """By hand: the first pipe passes the middle of the sag at m = 97 - 1 - TOP. With fall h on each half, inverts are m + h,
    m, m - h, and the second pipe m - h at most all along; so raising h digs 40 h / 2 less on the first half, 40 h / 2 more on the
    second and 40 h more under the second pipe: h = 0, both level at m, whatever dear digging costs.
    """
    middle = 97 - 1 - TOP_FT
    for times in (1.0, 3.0):
        g = analyse(two_pipes(beyond_4_ft_times=times, beyond_5_ft_times=times)).grades
        assert [g["R1"].invert_up_ft, g["R1"].invert_down_ft, g["R2"].invert_down_ft] == pytest.approx(
            [middle] * 3, abs=1e-4
        )


def test_dear_digging_turns_a_pipe_that_could_lie_either_way() -> None:
    """One pipe held at its middle over a sag, deep ground upstream: 103 there, 100 downstream.

    Turned about the middle, its plain volume stays the same, whatever it falls. The cut upstream is beyond 5 ft and costs 3 times,
    the one downstream 1.5 times beyond 4 ft: so it pays to turn the pipe up. How far is searched over a fine grid.
    """
    ground = [
        shot(x, y, z)
        for x, z in ((-5, 103), (0, 103), (19, 103), (20, 97), (21, 100), (40, 100), (45, 100))
        for y in (-30, 30)
    ]
    job = drawn(*ground, fitting(0, 0), outfall(40, 0, "dry well"), run("F1", "O1"))
    job = change_criteria(job, min_slope=0.0)
    review = analyse(job)
    g = review.grades["R1"]
    middle = 97 - 1 - TOP_FT
    # a search over a fine grid of falls, each cost summed by the trapezoid rule on its own stations
    station = np.arange(0.0, 40.001, 0.05)
    level = np.interp(40 - station, [0, 19, 20, 21, 40], [103, 103, 97, 100, 100])

    def cost(h: float) -> float:
        cut = level - (middle + h * (station - 20) / 20) + WALL_FT
        dear = cut + 0.5 * np.maximum(cut - 4, 0) + 1.5 * np.maximum(cut - 5, 0)
        return float(np.trapezoid(dear, station))

    falls = np.arange(0.0, 3.0, 0.01)
    best = min(cost(h) for h in falls)
    found = (g.invert_up_ft - g.invert_down_ft) / 2
    assert cost(found) <= best * 1.001
    assert found > 0.3  # and not level, which plain volume would leave it at
    assert review.placed is not None
    assert review.placed.cost_ft3 == pytest.approx(best, rel=0.01)  # stations of 1 ft along a bank of 3 ft in 1
