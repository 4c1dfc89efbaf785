"""Setbacks, worked by hand."""

import pytest

from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Obstacle
from drainsketch.network.setbacks import root_zone_ft
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.yards import basin, drawn, kinds, outfall, run


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def obstacle(kind: str, *points: Point, **fields: object) -> Obstacle:
    return Obstacle(id="", kind=kind, points=points, **fields)  # type: ignore[arg-type]


def found(thing: Obstacle | Boundary, use: str = "solid") -> dict[str, tuple[float | None, float | None]]:
    """Return the findings that name the thing, for a run from (0, 0) to (60, 0)."""
    job = drawn(thing, basin(0, 0), outfall(60, 0), run("B1", "O1", use=use))
    return {
        f.kind: (f.value, f.limit)
        for f in analyse(job).findings
        if f.kind not in ("discharge_right", "no_shots", "no_services")
    }


def test_a_drain_near_a_building_is_told_with_its_distance() -> None:
    assert found(obstacle("building", *box(10, 3, 30, 20)), "drain") == {"drain_near_building": (pytest.approx(3), 5)}
    assert found(obstacle("building", *box(10, 5.1, 30, 20)), "drain") == {}


def test_solid_pipe_along_a_wall_is_a_note_but_not_where_it_only_leaves_it() -> None:
    assert set(found(obstacle("building", *box(10, 3, 30, 20)))) == {"pipe_along_building"}
    assert found(obstacle("building", *box(-20, -10, -1, 10))) == {}


def test_a_run_under_a_building_is_a_stop() -> None:
    job = drawn(obstacle("building", *box(10, -5, 30, 20)), basin(0, 0), outfall(60, 0), run("B1", "O1"))
    (stop,) = [f for f in analyse(job).findings if f.kind == "under_building"]
    assert (stop.level, stop.value) == ("stop", pytest.approx(20))


@pytest.mark.parametrize(("trunk_in", "radius_ft"), [(12.0, 15.0), (4.0, 6.0), (None, 6.0)])
def test_root_zone_by_the_extension_rule(trunk_in: float | None, radius_ft: float) -> None:
    # North Carolina State Extension: 1.25 ft per inch of trunk, at least 6 ft; a 12 in tree has 15 ft
    assert root_zone_ft(trunk_in, 1.25) == pytest.approx(radius_ft)


def test_a_run_through_a_root_zone_is_told_with_its_length() -> None:
    job = drawn(obstacle("tree", (30, 9), trunk_diameter_in=12.0), basin(0, 0), outfall(60, 0), run("B1", "O1"))
    (f,) = [f for f in analyse(job).findings if f.kind == "root_zone"]
    assert (f.value, f.limit) == (pytest.approx(9), pytest.approx(15))
    assert dict(f.params)["length"] == pytest.approx(24, abs=0.02)  # chord at 9 of radius 15: 2 x 12
    assert f.place.station_ft == pytest.approx(30)


def test_septic_and_wells() -> None:
    assert set(found(obstacle("septic", *box(10, -5, 30, 20)))) == {"over_septic"}
    assert found(obstacle("septic", *box(10, 4, 30, 20))) == {"near_septic": (pytest.approx(4), 10)}
    assert found(obstacle("well", (30, 40))) == {"near_well": (pytest.approx(40), 50)}


def test_hardscape_counts_the_length_under_it() -> None:
    assert found(obstacle("hardscape", *box(10, -5, 22, 5), surface="concrete")) == {
        "under_hardscape": (pytest.approx(12), None)
    }


def test_a_run_that_leaves_the_lot_is_told_and_one_along_its_edge_is_not() -> None:
    out = found(Boundary(id="boundary", points=box(-10, -10, 50, 10)))
    assert out["outside_lot"] == (pytest.approx(10, abs=0.06), None)
    assert "structure_outside_lot" in out
    assert found(Boundary(id="boundary", points=box(0, 0, 60, 10))) == {
        "outfall_near_lot_line": (0.0, 5.0)  # the pipe is inside, but its water comes out on the line
    }


def test_an_outline_that_crosses_itself_is_told_and_breaks_nothing() -> None:
    bow = Boundary(id="boundary", points=((-10, -10), (70, 10), (70, -10), (-10, 10)))
    review = analyse(
        drawn(
            bow, obstacle("building", (5, 5), (20, 15), (20, 5), (5, 15)), basin(0, 0), outfall(60, 0), run("B1", "O1")
        )
    )
    assert kinds(review).count("outline_crosses") == 2


def test_a_structure_in_a_building_is_told_before_it_has_pipe() -> None:
    """The house from 0, 0 to 30, 20: a basin 5 ft inside stands in it, one 0.4 ft inside the wall line stands at the wall."""
    house = obstacle("building", *box(0, 0, 30, 20), name="House")
    job = drawn(house, basin(15, 5), basin(15, 0.4), basin(15, -5))
    (told,) = [f for f in analyse(job).findings if f.kind == "structure_in_building"]
    assert (told.level, told.place.ids, told.place.point) == ("settle", ("B1", "building-1"), (15, 5))
    assert Words.of(job).sentence(told) == "B1 stands in House (building-1)."
