"""Crossings, worked by hand."""

from math import sqrt

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.change import change
from drainsketch.job.model import Exposure
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, kinds, outfall, plane, run, service

GROUND = plane(lambda x, y: 100.0)
# 60 ft of 4 in SDR 35 pinned from 97.00 to 96.40: at 20 ft from the downstream end the invert is 96.60
PIPE = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.4))
TOP_FT, BOTTOM_FT = 4.095 / 12, 0.12 / 12


def crossed(**fields: object) -> Review:
    return analyse(drawn(*GROUND, *PIPE, service("gas", (40, -30), (40, 30), **fields)))


def test_station_depths_and_clearance_of_a_square_crossing() -> None:
    (c,) = crossed(depth_top_ft=1.5, size_in=2.0, known_by="exposed").crossings
    assert (c.number, c.run_id, c.other, c.other_kind) == (1, "R1", "gas-1", "gas")
    assert c.point == pytest.approx((40, 0))
    assert c.station_ft == pytest.approx(20.0)
    assert c.angle_deg == pytest.approx(90.0)
    assert c.pipe_top_ft == pytest.approx(96.6 + TOP_FT)
    assert c.pipe_bottom_ft == pytest.approx(96.6 - BOTTOM_FT)
    assert c.pipe_depth_ft == pytest.approx(3.4 - TOP_FT)
    assert (c.service_top_ft, c.service_bottom_ft) == (pytest.approx(98.5), pytest.approx(98.5 - 2 / 12))
    assert c.position == "under"
    assert c.clearance_ft == pytest.approx(98.5 - 2 / 12 - 96.6 - TOP_FT)
    assert c.hand_dig_ft == pytest.approx((2 + 36) / 12)  # 18 in each side of its outside edge


@pytest.mark.parametrize(
    ("depth_ft", "position", "kind", "level"),
    [
        (3.0, "meets", "meets_service", "stop"),  # service 96.83 to 97.00, pipe 96.59 to 96.94
        (3.6, "over", "close_to_service", "settle"),  # top of service 96.40, 0.19 ft under the pipe
        (2.5, "under", "close_to_service", "settle"),
        (4.6, "over", "may_meet_service", "settle"),  # 1.19 ft under the pipe, and marks may be off by 1.5 ft
        (5.0, "over", "depth_unproved", "settle"),
        (1.0, "under", "depth_unproved", "settle"),
    ],
)
def test_what_a_crossing_calls_for(depth_ft: float, position: str, kind: str, level: str) -> None:
    review = crossed(depth_top_ft=depth_ft, size_in=2.0, known_by="marked")
    assert review.crossings[0].position == position
    assert [(f.kind, f.level) for f in review.findings if "gas-1" in f.place.ids] == [(kind, level)]


def test_unknown_depth_says_expose_it_first() -> None:
    review = crossed()
    (found,) = [f for f in review.findings if "gas-1" in f.place.ids]
    assert (found.kind, found.level) == ("depth_unknown", "settle")
    assert review.crossings[0].clearance_ft is None
    assert review.crossings[0].position == "unknown"


def test_an_exposed_service_with_room_is_a_note() -> None:
    review = crossed(size_in=1.0, exposed=(Exposure(point=(40.0, 0.0), top_ft=95.4),))
    assert [f.kind for f in review.findings if "gas-1" in f.place.ids] == ["hand_dig"]


def test_a_skew_crossing_lengthens_the_hand_dig() -> None:
    job = drawn(*GROUND, *PIPE, service("water", (10, -30), (70, 30), size_in=1.0))
    (c,) = analyse(job).crossings
    assert c.angle_deg == pytest.approx(45.0)
    # zone 37 in and a 12 in trench at 45 degrees: (37 + 12 cos 45) / sin 45 in
    assert c.hand_dig_ft == pytest.approx((37 / 12 + 1 / sqrt(2)) * sqrt(2))


def test_a_bend_beside_a_crossing_counts_each_leg_by_its_own_angle() -> None:
    """Zone 3 + 2 x 18 = 39 in, trench 12 in. Down to the crossing the run is square: half the zone, 1.625 ft; beyond it goes
    on at 45 degrees: half of (39 + 12 cos 45) / sin 45 in, 2.798 ft."""
    job = drawn(
        *(basin(0, -20), outfall(20, 20, "tie-in"), run("B1", "O1", (0, 0))),
        service("electric", (-30, 0), (40, 0), size_in=3.0),
    )
    (c,) = analyse(job).crossings
    assert c.hand_dig_ft == pytest.approx(39 / 24 + (39 + 12 / sqrt(2)) * sqrt(2) / 24, abs=1e-6)
    assert c.hand_dig_ft == pytest.approx(1.625 + 2.798, abs=5e-4)


def test_a_run_that_turns_along_a_service_it_crossed_is_dug_by_hand_as_far_as_it_goes_beside_it() -> None:
    # zone 19 in from the middle of a 2 in service: from 1.583 ft below it to the bend 2 ft above it; and the leg at y = 2.0,
    # whose trench reaches down to 1.5 ft, into the zone, for all its 30 ft
    job = drawn(
        *(basin(0, -20), outfall(30, 2, "tie-in"), run("B1", "O1", (0, 2))),
        service("gas", (-30, 0), (60, 0), size_in=2.0),
    )
    (c,) = analyse(job).crossings
    assert c.hand_dig_ft == pytest.approx(19 / 12 + 2.0 + 30, abs=1e-6)


def test_a_skew_crossing_near_the_end_of_a_run_stops_at_its_end() -> None:
    # at 45 degrees half of it is (37 + 12 cos 45) / (2 sin 45) in, 2.680 ft; only 1 ft of run is left below the crossing
    job = drawn(*PIPE, service("water", (29, -30), (89, 30), size_in=1.0))
    (c,) = analyse(job).crossings
    assert c.station_ft == pytest.approx(1.0)
    assert c.hand_dig_ft == pytest.approx(1.0 + (37 + 12 / sqrt(2)) * sqrt(2) / 24)


def test_a_service_of_unknown_size_is_taken_as_six_inches() -> None:
    (c,) = crossed(depth_top_ft=1.5).crossings
    assert c.service_top_ft - c.service_bottom_ft == pytest.approx(0.5)
    assert c.hand_dig_ft == pytest.approx(42 / 12)


def test_a_bent_service_is_crossed_twice_and_numbered_along_the_run() -> None:
    job = drawn(*GROUND, *PIPE, service("electric", (20, -20), (20, 20), (50, 20), (50, -20)))
    assert [(c.number, c.station_ft) for c in analyse(job).crossings] == [
        (1, pytest.approx(10)),
        (2, pytest.approx(40)),
    ]


def test_a_service_along_the_run_is_hand_dig_for_its_whole_length() -> None:
    job = drawn(*GROUND, *PIPE, service("communication", (20, 0), (45, 0), size_in=1.0))
    (c,) = analyse(job).crossings
    assert c.angle_deg == pytest.approx(0.0, abs=1e-6)
    assert c.hand_dig_ft == pytest.approx(25 + 37 / 12)


def test_a_service_beside_the_run_within_its_zone_is_told() -> None:
    near = analyse(drawn(*GROUND, *PIPE, service("gas", (10, 1.9), (50, 1.9), size_in=2.0)))
    assert "beside_service" in kinds(near)
    far = analyse(drawn(*GROUND, *PIPE, service("gas", (10, 2.2), (50, 2.2), size_in=2.0)))
    assert "beside_service" not in kinds(far)  # zone 1 + 18 in and half a 12 in trench: 25 in = 2.08 ft


def test_a_wide_pipe_has_a_wider_trench_and_comes_nearer_to_a_service() -> None:
    # 8 in corrugated is 9.1 in outside and its trench 13.1 in: zone 1 + 18 in and half of that are 25.55 in = 2.129 ft
    gas = service("gas", (10, 2.11), (50, 2.11), size_in=2.0)
    job = drawn(*GROUND, *PIPE, gas)
    assert "beside_service" not in kinds(analyse(job))
    wide = replace(job, runs=(replace(job.runs[0], pipe="corrugated", diameter_in=8),))
    assert "beside_service" in kinds(analyse(wide, analyse(job)))


def test_a_basin_dug_by_a_service_is_told() -> None:
    review = analyse(drawn(*GROUND, *PIPE, service("electric", (-2, -9), (-2, 9), size_in=2.0)))
    assert "structure_by_service" in kinds(review)


def test_a_tie_in_to_the_drain_it_stands_on_is_no_crossing() -> None:
    drain = service("drain line", (60, -40), (60, 40), depth_top_ft=3.2, size_in=6.0)
    assert analyse(drawn(*GROUND, *PIPE, drain)).crossings == ()
    gas = service("gas", (60, -40), (60, 40))
    assert len(analyse(drawn(*GROUND, *PIPE, gas)).crossings) == 1


def test_runs_that_cross_without_a_fitting_are_held_against_each_other() -> None:
    other = (basin(30, -30), outfall(30, 30, "tie-in"), run("O2", "B2", end_invert_ft=97.0, start_invert_ft=96.4))
    job = drawn(*GROUND, *PIPE, *other)
    (c,) = analyse(job).crossings
    assert (c.run_id, c.other, c.other_kind) == ("R1", "R2", "run")
    assert c.position == "meets"  # both are at 96.70 there
    assert c.clearance_ft == pytest.approx(-4.215 / 12)
    lower = change(change(job, "R2", start_invert_ft=95.0), "R2", end_invert_ft=95.4)
    assert analyse(lower).crossings[0].clearance_ft == pytest.approx((96.7 - BOTTOM_FT) - (95.2 + TOP_FT))


def test_crossings_of_pipe_that_reaches_no_outfall_are_still_found() -> None:
    job = drawn(basin(0, 0), basin(60, 0), run("B1", "B2"), service("gas", (40, -30), (40, 30)))
    review = analyse(job)
    assert [c.other for c in review.crossings] == ["gas-1"]
    assert "depth_unknown" in kinds(review)
