from math import hypot

import pytest
from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.network.results import FlowRun
from drainsketch.review import analyse
from drainsketch.sheets.stakes import bend_schedule, bends_of, corners_of, stake_schedule, ties
from drainsketch.wording import Words
from tests.sheets import yards

HOUSE = m.Obstacle(id="H1", kind="building", points=((0, 0), (40, 0), (40, 30), (0, 30)), name="House")


def test_the_corners_of_a_square_house_are_called_by_the_directions_between() -> None:
    assert {c.direction: c.point for c in corners_of(HOUSE)} == {
        "ne": (40, 30),
        "nw": (0, 30),
        "se": (40, 0),
        "sw": (0, 0),
    }


def test_a_house_that_stands_on_its_corner_has_a_north_and_an_east_corner() -> None:
    turned = replace(HOUSE, points=((0, 0), (20, -20), (40, 0), (20, 20)))
    assert {c.direction: c.point for c in corners_of(turned)} == {
        "n": (20, 20),
        "s": (20, -20),
        "e": (40, 0),
        "w": (0, 0),
    }


def test_a_spot_is_taped_from_the_two_nearest_corners_with_a_good_angle() -> None:
    # 9 ft east and 12 ft north of the corner at (40, 30): 3-4-5 triangle, 15 ft; to (40, 0): sqrt(9^2 + 42^2)
    found = ties((49, 42), corners_of(HOUSE))
    assert found[0][0].direction == "ne"
    assert found[0][1] == pytest.approx(15.0)
    assert found[1][0].direction in ("nw", "se")
    assert found[1][1] == pytest.approx(
        min(hypot(49, 12), hypot(9, 42)) if found[1][0].direction == "se" else hypot(49, 12)
    )


def test_corners_in_one_line_with_the_spot_are_no_pair() -> None:
    # from (60, 30) both corners of the north wall lie due west: their tapes would not cross
    assert {c.direction for c, _ in ties((60, 30), corners_of(HOUSE))} != {"ne", "nw"}


def test_without_a_building_there_are_coordinates_alone() -> None:
    job = m.Job(structures=(m.Structure(id="B1", kind="basin", point=(3.5, 7.25)),))
    assert stake_schedule(job, Words.of(job)).rows == (("B1", "3' 6\"", "7' 3\"", "–", "–"),)


def test_every_structure_is_set_out_and_the_note_says_where_the_origin_is() -> None:
    job = yards.rich()
    schedule = stake_schedule(job, Words.of(job))
    assert [row[0] for row in schedule.rows] == [s.id for s in job.structures]
    assert {len(row) for row in schedule.rows} == {len(schedule.columns)}
    assert "origin" in schedule.note
    assert "southwest corner of the lot" in schedule.note


def test_a_bend_has_its_station_from_downstream_and_its_turn() -> None:
    # 30 ft east, then 40 ft north: a quarter turn to the left, 40 ft above the downstream end
    flow = FlowRun("R1", "B1", "O1", ((0, 0), (30, 0), (30, 40)), 70.0, True)
    (bend,) = bends_of(flow)
    assert (bend.number, bend.point, bend.station_ft, bend.turn_deg) == (1, (30, 0), 40.0, pytest.approx(-90.0))


def test_the_bends_of_a_job_have_their_invert_and_their_place() -> None:
    job = yards.rich()
    review = analyse(job)
    schedule = bend_schedule(job, review, Words.of(job))
    assert len(schedule.rows) == sum(len(run.via) for run in job.runs)
    assert {len(row) for row in schedule.rows} <= {len(schedule.columns)}
    for language in ("en", "es"):
        assert bend_schedule(job, review, Words.of(job, language)).title
