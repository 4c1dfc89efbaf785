"""Corners where trenches meet, by hand: the ground that they share is dug once."""

from math import cos, radians, sin, sqrt

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.model import Run
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.stacks import stacks
from tests.takeoff.small_jobs import fitting, flat, job_of, laid_out, outfall


def dug(ends, runs, inverts=None, **criteria):
    """Runs (id, start, end, more) between points; returns how far each begins from the joint T at 0, 0, and its trench, ft3."""
    structures = [fitting("T", 0, 0), *(fitting(name, *at) for name, at in ends.items() if name != "O")]
    structures.append(outfall("O", *ends["O"]))
    job = job_of(structures, [Run(id=n, start=a, end=b, **more) for n, a, b, more in runs], **criteria)
    levels = {n: (inverts or {}).get(n, (98.0, 98.0)) for n, *_ in runs}
    works = laid_out(job, flat(100), levels)
    found = earth(works, stacks(works))
    return {r.work.run.id: (found.inside_ft(r.work).get("T", 0.0), r.trench_ft3) for r in found.runs}


LINE = (("R1", "A", "T", {}), ("R2", "T", "O", {}))


def test_a_square_branch_begins_at_the_edge_of_the_line():
    found = dug({"A": (-30, 0), "B": (0, 20), "O": (30, 0)}, (*LINE, ("R3", "B", "T", {})))
    assert [found[r][0] for r in ("R1", "R2", "R3")] == pytest.approx([0, 0, 0.5])
    assert found["R3"][1] == pytest.approx(19.5 * 2.01)


def test_a_branch_at_45_degrees_begins_where_it_leaves_the_line():
    # Its middle leaves a line 1 ft wide at 0.5 / sin 45
    found = dug({"A": (-30, 0), "B": (-20, 20), "O": (30, 0)}, (*LINE, ("R3", "B", "T", {})))
    assert found["R3"][0] == pytest.approx(0.5 * sqrt(2))


def test_widths_differ_and_the_corner_is_that_of_the_wider_line():
    # 8 in corrugated pipe, 9.1 in outside: 13.1 in wide; the branch is 12 in
    wide = {"pipe": "corrugated", "diameter_in": 8}
    runs = (("R1", "A", "T", wide), ("R2", "T", "O", wide), ("R3", "B", "T", {}))
    below = (8.55 - 8) / 12 - 0.01  # walls of 0.55 in and 0.12 in: bottoms level with each other
    inverts = {"R1": (98.0, 98.0), "R2": (98.0, 98.0), "R3": (98.0 - below, 98.0 - below)}
    found = dug({"A": (-30, 0), "B": (0, 20), "O": (30, 0)}, runs, inverts)
    assert found["R3"][0] == pytest.approx(13.1 / 24)
    assert found["R1"][0] == pytest.approx(0.0, abs=1e-9)


def test_the_deepest_trench_has_the_corner():
    # The branch is a drain with 2 in of stone under it: deeper than the solid line, which gives up half of the corner on each side
    runs = (*LINE, ("R3", "B", "T", {"use": "drain", "pipe": "corrugated"}))
    found = dug({"A": (-30, 0), "B": (0, 20), "O": (30, 0)}, runs)
    # corner 1 ft x half a foot; each half of it 0.25 ft2 from a line 1 ft wide
    assert [found[r][0] for r in ("R1", "R2", "R3")] == pytest.approx([0.25, 0.25, 0.0])
    union = 60 * 2.01 + 20 * (2 + 2.3 / 12) - 0.5 * 2.01
    assert sum(v for _, v in found.values()) == pytest.approx(union)


def test_a_bend_of_two_keeps_its_square_corner():
    found = dug({"A": (-30, 0), "O": (0, 30)}, LINE)
    assert [found[r][0] for r in ("R1", "R2")] == [0.0, 0.0]
    # the strip with a square corner outside: a half more on the outer side, a half less on the inner, 60 ft2 in all
    line = shapely.LineString([(-30, 0), (0, 0), (0, 30)])
    square = shapely.buffer(line, 0.5, cap_style="flat", join_style="mitre")
    assert sum(v for _, v in found.values()) == pytest.approx(square.area * 2.01)


def test_two_that_come_in_side_by_side_share_a_wedge():
    # Both from the east, 3-4-5 to each side of it: half angle from the middle, sin 0.6; strips of 1 ft share what lies between
    found = dug({"A": (40, 30), "O": (40, -30)}, LINE)
    shapes = [shapely.buffer(shapely.LineString([(0, 0), (40, y)]), 0.5, cap_style="flat") for y in (30, -30)]
    assert sum(v for _, v in found.values()) == pytest.approx(shapely.union_all(shapes).area * 2.01)


def test_a_cross_of_four():
    found = dug(
        {"A": (-30, 0), "B": (0, 20), "C": (0, -20), "O": (30, 0)},
        (*LINE, ("R3", "B", "T", {}), ("R4", "C", "T", {})),
    )
    assert [found[r][0] for r in ("R3", "R4")] == pytest.approx([0.5, 0.5])


@given(st.lists(st.floats(20, 160), min_size=1, max_size=3, unique_by=lambda a: round(a / 25)))
def test_on_level_ground_the_volume_is_that_of_the_union(angles):
    """A straight line and branches at any angles on one side: a second way to the same volume, by the geometry library."""
    at = {f"B{i}": (30 * cos(radians(a)), 30 * sin(radians(a))) for i, a in enumerate(angles)}
    runs = (*LINE, *((f"S{i}", name, "T", {}) for i, name in enumerate(at)))
    found = dug({"A": (-30, 0), "O": (30, 0), **at}, runs)
    lines = [shapely.LineString([(-30, 0), (30, 0)]), *(shapely.LineString([xy, (0, 0)]) for xy in at.values())]
    union = shapely.union_all([shapely.buffer(line, 0.5, cap_style="flat") for line in lines])
    assert sum(v for _, v in found.values()) == pytest.approx(union.area * 2.01, rel=1e-9)
