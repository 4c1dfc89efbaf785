"""Snapping, in feet; the expected points are worked out by hand from the geometry."""

import pytest

from drainsketch.job.model import Job, Obstacle, Run, Shot, Structure
from drainsketch.job.plan_index import index_of
from drainsketch.job.snapping import snap

YARD = Job(
    obstacles=(
        Obstacle(id="building-1", kind="building", points=((0, 0), (40, 0), (40, 30), (0, 30))),
        Obstacle(id="fence-1", kind="fence", points=((60, 0), (80, 20))),
    ),
    shots=(Shot(id="S1", point=(50, 50), elevation_ft=100.0),),
    structures=(
        Structure(id="B1", kind="basin", point=(50.4, 50)),
        Structure(id="O1", kind="outfall", point=(90, 50)),
    ),
    runs=(Run(id="R1", start="B1", end="O1", via=((70, 60),)),),
)
INDEX = index_of(YARD)


def test_a_corner_in_reach_is_taken_exactly() -> None:
    found = snap(INDEX, (39.5, 0.4), 1.0)
    assert found is not None
    assert (found.point, found.kind, found.id) == ((40, 0), "corner", "building-1")


def test_a_structure_wins_over_a_nearer_shot() -> None:
    found = snap(INDEX, (50.1, 50), 1.0)
    assert found is not None
    assert (found.kind, found.id) == ("structure", "B1")


def test_nothing_in_reach_is_none() -> None:
    assert snap(INDEX, (20, 15), 1.0) is None


def test_an_edge_gives_the_nearest_point_on_it() -> None:
    found = snap(INDEX, (20, 0.6), 1.0)
    assert found is not None
    assert (found.point, found.kind, found.id) == ((20, 0), "edge", "building-1")


def test_the_foot_of_the_perpendicular_from_the_last_point_draws_the_pointer() -> None:
    # the fence runs at 45 degrees through (60, 0); from (75, 5) its foot is (70, 10)
    found = snap(INDEX, (70.6, 10.2), 1.0, anchor=(75, 5))
    assert found is not None
    assert found.kind == "square"
    assert found.point == pytest.approx((70, 10))


@pytest.mark.parametrize(
    ("at", "point", "word"),
    [
        ((20, 100.5), (20, 100), "due east"),
        ((10.4, 120), (10, 120), "due north"),
        ((30.3, 120), (30.15, 120.15), "45° to north"),
    ],
)
def test_guides_follow_the_compass(at: tuple[float, float], point: tuple[float, float], word: str) -> None:
    found = snap(INDEX, at, 1.0, anchor=(10, 100))
    assert found is not None
    assert found.point == pytest.approx(point)
    assert found.word == word


def test_a_right_angle_to_the_leg_before() -> None:
    # the leg runs (0,100) to (30,110), so square to it is (-10, 30) from its end
    found = snap(INDEX, (20.2, 140.1), 1.0, anchor=(30, 110), before=(0, 100))
    assert found is not None
    assert found.word == "right angle"
    along = (found.point[0] - 30, found.point[1] - 110)
    assert along[0] * 30 + along[1] * 10 == pytest.approx(0, abs=1e-9)


def test_a_level_guide_is_level_to_the_last_digit() -> None:
    found = snap(INDEX, (25, 100.3), 1.0, anchor=(10.123, 100.077))
    assert found is not None
    assert found.point[1] == 100.077


def test_where_a_guide_meets_an_edge_both_hold() -> None:
    # due east from (45, 12) meets the fence (60,0)-(80,20) at (72, 12)
    found = snap(INDEX, (72.3, 12.5), 1.0, anchor=(45, 12))
    assert found is not None
    assert found.kind in ("edge", "square")
    assert found.point == pytest.approx((72, 12))


def test_a_guide_does_not_catch_at_a_wide_angle() -> None:
    assert snap(INDEX, (12, 100.5), 1.0, anchor=(10, 100)) is None


def test_what_is_dragged_does_not_catch_itself() -> None:
    assert snap(INDEX, (40, 0), 0.5, skip=frozenset({"building-1"})) is None


def test_the_index_of_untouched_lists_is_used_again() -> None:
    from drainsketch.job.edits.move import move

    moved = move(YARD, ("B1",), 1.0, 0.0)
    after = index_of(moved, INDEX)
    kept = [one is two for one, two in zip(after.parts, INDEX.parts, strict=True)]
    assert kept == [True, True, True, True, True, True, True, False, False]  # structures, and the runs that end at them
    assert index_of(moved, after) is after
