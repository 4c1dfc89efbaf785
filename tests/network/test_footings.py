"""Trenches and holes beside footings, in closed form."""

import numpy as np
import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.model import Job, Obstacle
from drainsketch.network.footings import undercut_ft
from drainsketch.review import analyse
from tests.yards import basin, drawn, outfall, plane, run

GROUND = plane(lambda x, y: 100.0)


def house(y: float, **fields: object) -> Obstacle:
    """Return a house whose south wall lies along y."""
    corners = ((-10.0, y), (70.0, y), (70.0, y + 20), (-10.0, y + 20))
    return Obstacle(id="", kind="building", points=corners, **fields)  # type: ignore[arg-type]


# 60 ft of pipe falling from 96.6 to 96.0; the trench is dug 0.12 in of wall below the invert: 96.59 to 95.99
PIPE = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=96.6, end_invert_ft=96.0))
BOTTOM_FT = 96.0 - 0.12 / 12


def told(job: Job, kind: str = "undercuts_footing") -> list[Finding]:
    return [f for f in analyse(job).findings if f.kind == kind]


def test_a_trench_along_a_house_is_told_by_how_much_it_lies_below_the_line() -> None:
    """Footing 1.5 ft deep: its bottom at 98.50. Wall 2.5 ft from the middle of a 1 ft trench: 2.0 ft from its edge, where the
    line is at 96.50. The trench is deepest at the outfall, 95.99: 0.51 ft below the line."""
    (found,) = told(drawn(*GROUND, *PIPE, house(2.5, footing_depth_ft=1.5)))
    assert found.value == pytest.approx(96.5 - BOTTOM_FT)
    assert (found.place.station_ft, found.place.ids) == (pytest.approx(0.0), ("R1", "building-1"))
    params = dict(found.params)
    assert (params["off"], params["footing"], params["footing_known"]) == (pytest.approx(2.0), 1.5, "given")
    assert found.level == "settle"


@pytest.mark.parametrize(("off", "is_told"), [(3.00, True), (3.02, False)])
def test_the_line_goes_down_at_45_degrees(off: float, is_told: bool) -> None:
    # below the line by 98.5 - (off - 0.5) - 95.99 = 3.01 - off
    assert bool(told(drawn(*GROUND, *PIPE, house(off, footing_depth_ft=1.5)))) is is_told


def test_a_deeper_footing_allows_a_nearer_trench_and_an_unknown_one_is_the_jobs() -> None:
    assert not told(drawn(*GROUND, *PIPE, house(0.6, footing_depth_ft=4.1)))
    job = drawn(*GROUND, *PIPE, house(2.5))
    (found,) = told(job)  # 12 in: 0.5 ft more than with 18
    assert found.value == pytest.approx(97.0 - BOTTOM_FT)
    assert dict(found.params)["footing_known"] == "assumed"
    assert not told(change_criteria(job, footing_depth_in=42))  # 3.5 ft: 96.5 - 2.0


def test_the_ground_at_the_wall_counts_not_that_over_the_trench() -> None:
    slope = plane(lambda x, y: 100.0 + 0.2 * y)
    (found,) = told(drawn(*slope, *PIPE, house(2.5, footing_depth_ft=1.5)))
    assert found.value == pytest.approx(96.5 + 0.5 - BOTTOM_FT)


def test_what_is_no_building_has_no_footing_and_without_shots_nothing_is_said() -> None:
    wall = Obstacle(id="", kind="hardscape", points=((-10.0, 2.5), (70.0, 2.5), (70.0, 9.0)))
    assert not told(drawn(*GROUND, *PIPE, wall))
    assert not told(drawn(*PIPE, house(2.5)))


def test_the_hole_of_a_basin_beside_a_footing() -> None:
    """A 12 in basin with 6 in of work room each side: 1.0 ft to each side. Sump and bed 6 in under 96.60: dug to 96.10. Wall 3 ft off:
    2 ft from the hole, the line at 98.5 - 2.0 = 96.50."""
    job = drawn(*GROUND, *PIPE, house(3.0, footing_depth_ft=1.5))
    (found,) = told(change(job, "B1", size_in=12), "hole_undercuts_footing")
    assert found.value == pytest.approx(96.5 - 96.1)
    assert found.place.ids == ("B1", "building-1")
    assert not told(drawn(*GROUND, *PIPE, house(3.5, footing_depth_ft=1.5)), "hole_undercuts_footing")


def test_undercut_of_many_places_at_once() -> None:
    off, ground, bottom = np.array([0.0, 1.0, 4.0]), np.full(3, 100.0), np.full(3, 96.0)
    assert undercut_ft(off, ground, 2.0, bottom).tolist() == [2.0, 1.0, -2.0]
