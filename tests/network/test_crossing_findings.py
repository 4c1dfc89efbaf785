"""What is said of crossings: exposing resolves them, gravity differs from pressure, several services, and never silence."""

from math import cos, radians, sin
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.edits.expose import cover_up, expose
from drainsketch.job.edits.move import move
from drainsketch.job.kinds import KnownBy, ServiceKind
from drainsketch.job.model import Exposure, Job
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, kinds, outfall, plane, run, service

GROUND = plane(lambda x, y: 100.0)
# 60 ft of 4 in SDR 35 pinned from 97.00 to 96.40: at 20 ft from the downstream end the invert is 96.60
PIPE = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.4))
TOP_FT, BOTTOM_FT = 96.6 + 4.095 / 12, 96.6 - 0.12 / 12


def crossed(kind: str = "gas", **fields: object) -> Job:
    return drawn(*GROUND, *PIPE, service(kind, (40, -30), (40, 30), **fields))


def about(review: Review, number: int = 1) -> list[str]:
    return [f.kind for f in review.findings if dict(f.params).get("number") == number]


def only(job: Job, kind: str) -> Finding:
    (found,) = (f for f in analyse(job).findings if f.kind == kind)
    return found


def test_exposing_a_service_settles_its_crossing_at_once_and_taking_it_back_opens_it_again() -> None:
    job = crossed(size_in=1.0, depth_top_ft=1.2, known_by="marked")
    before = analyse(job)
    assert [f.level for f in before.findings if f.kind in about(before)] == ["settle"]
    dug = expose(job, "gas-1", (40, 0), 98.8)
    after = analyse(dug, before)
    assert about(after) == ["hand_dig"]
    (c,) = after.crossings
    assert (c.seen, c.known_by, c.service_error_ft) == (True, "exposed", pytest.approx(0.1))
    assert c.service_top_ft == pytest.approx(98.8)
    assert c.clearance_ft == pytest.approx(98.8 - 1 / 12 - TOP_FT)
    assert c.least_clearance_ft == pytest.approx(98.8 - 1 / 12 - TOP_FT - 0.1)
    again = analyse(cover_up(dug, "gas-1", (40.3, 0.2)), after)
    assert about(again) == about(before)


def test_a_measured_top_that_hits_the_pipe_is_a_stop_whatever_was_said_before() -> None:
    job = crossed(size_in=2.0, depth_top_ft=1.0, known_by="records")
    assert "meets_service" in about(analyse(expose(job, "gas-1", (40, 0), 97.0)))


def test_a_service_exposed_elsewhere_is_not_seen_here() -> None:
    job = expose(crossed(size_in=1.0, known_by="marked"), "gas-1", (40, 12), 98.8)
    review = analyse(job)
    (c,) = review.crossings
    assert (c.seen, c.known_by) == (False, "exposed elsewhere")
    assert c.service_top_ft == pytest.approx(98.8)  # level ground: as deep as where it was dug
    assert c.service_error_ft == pytest.approx(1.5)  # 12 ft off: what is usual for marks
    assert about(review) == ["depth_unproved"]  # 98.8 - 0.083 - 96.941 = 1.776 clear


def test_said_to_be_exposed_without_a_place_proves_no_crossing() -> None:
    review = analyse(crossed(size_in=1.0, depth_top_ft=4.9, known_by="exposed"))
    assert review.crossings[0].known_by == "exposed elsewhere"
    assert about(review) == ["depth_unproved"]


@pytest.mark.parametrize("level", [4.0, 91.9, 100.2, 104.0])
def test_a_measured_level_that_cannot_be_proves_nothing(level: float) -> None:
    """A depth of 4 typed as a level would pass for a gas line 96 ft down, far below the pipe."""
    review = analyse(expose(crossed(size_in=1.0), "gas-1", (40, 0), level))
    assert not review.crossings[0].seen
    assert "exposure_unlikely" in about(review)
    assert "hand_dig" not in kinds(review)
    sound = analyse(expose(crossed(size_in=1.0), "gas-1", (40, 0), 98.8))
    assert "exposure_unlikely" not in kinds(sound)


def test_moving_the_pipe_away_from_where_the_service_was_seen_opens_the_crossing_again() -> None:
    job = expose(crossed(size_in=1.0, known_by="marked"), "gas-1", (40, 0), 98.8)
    assert about(analyse(move(job, ["B1", "O1"], 0, 1.0))) == ["hand_dig"]  # within the hole that was dug
    assert about(analyse(move(job, ["B1", "O1"], 0, 5.0))) != ["hand_dig"]
    assert about(analyse(move(job, [*(t.id for t in (*job.structures, *job.services))], 0, 5.0))) == ["hand_dig"]


@pytest.mark.parametrize(
    ("error_ft", "kind"),
    [
        # pipe passes under with its top at 96.941; gas from 98.5 to 98.333: 1.392 ft clear
        (0.3, "depth_unproved"),
        (1.3, "depth_unproved"),
        (1.5, "may_meet_service"),
    ],
)
def test_a_depth_that_may_be_off_by_more_than_the_clearance_may_meet_the_pipe(error_ft: float, kind: str) -> None:
    review = analyse(crossed(size_in=2.0, depth_top_ft=1.5, known_by="records", depth_error_ft=error_ft))
    (c,) = review.crossings
    assert about(review) == [kind]
    clear = 98.5 - 2 / 12 - TOP_FT
    middle = (BOTTOM_FT - 98.5 + clear) / 2  # lying middle in middle, it cannot get worse
    assert c.least_clearance_ft == pytest.approx(max(clear - error_ft, middle))


def test_gravity_lines_are_told_that_one_depth_says_little_of_their_grade_and_pressure_lines_are_not() -> None:
    for kind, is_told in (("sewer", True), ("drain line", True), ("water", False), ("gas", False), ("electric", False)):
        review = analyse(crossed(kind, depth_top_ft=6.0, size_in=4.0))
        assert ("grade_unknown" in kinds(review)) is is_told, kind
        assert ("grade_unknown" in kinds(analyse(crossed(kind)))) is False  # no depth at all: expose it says so


def test_a_sewer_exposed_on_both_sides_crosses_on_its_own_grade_not_with_the_ground() -> None:
    slope = plane(lambda x, y: 100.0 + 0.05 * y)
    tops = ((40.0, -20.0, 93.0), (40.0, 20.0, 92.0))
    exposed = tuple(Exposure(point=(x, y), top_ft=z) for x, y, z in tops)
    for kind, top in (
        ("sewer", 92.5),
        ("water", 92.5),
    ):  # ground -20: 99, 6 ft deep; 20: 101, 9 ft; half way 7.5 under 100
        job = drawn(*slope, *PIPE, service(kind, (40, -30), (40, 30), exposed=exposed, size_in=4.0))
        assert analyse(job).crossings[0].service_top_ft == pytest.approx(top)
    job = drawn(*slope, *PIPE, service("sewer", (40, -30), (40, 30), exposed=exposed, size_in=4.0))
    lifted = move(
        job, ["B1", "O1"], 0, 10.0
    )  # a quarter on: 92.25 on its grade; ground 100.5 less 8.25 is the same, for water
    assert analyse(lifted).crossings[0].service_top_ft == pytest.approx(92.25)
    assert analyse(lifted).crossings[0].grade_known


def test_water_below_the_drain_within_the_separation_is_said_and_above_it_is_not() -> None:
    # top of water at 95.6, 0.99 ft under the pipe: 1.5 ft are asked of water that may be a main
    found = only(crossed("water", depth_top_ft=4.4, depth_error_ft=0.0), "water_below_drain")
    assert (found.value, found.limit) == (pytest.approx(BOTTOM_FT - 95.6), 1.5)
    assert "water_below_drain" not in kinds(analyse(crossed("water", depth_top_ft=5.0, depth_error_ft=0.0)))  # 1.59 ft
    assert "water_below_drain" in kinds(analyse(crossed("water", depth_top_ft=5.0, depth_error_ft=0.5)))  # if off
    assert "water_below_drain" not in kinds(analyse(crossed("water", depth_top_ft=1.5, depth_error_ft=0.0)))
    assert "water_below_drain" not in kinds(analyse(crossed("gas", depth_top_ft=4.4, depth_error_ft=0.0)))


@pytest.mark.parametrize("angle_deg", [12.0, 20.0, 29.0, 31.0, 45.0, 90.0])
def test_a_skew_crossing_is_hand_dug_for_its_closed_form_and_told_when_it_goes_along(angle_deg: float) -> None:
    east, north = cos(radians(angle_deg)), sin(radians(angle_deg))
    pipe = (basin(-100, 0), outfall(100, 0, "tie-in"), run("B1", "O1"))
    line = service("gas", (-90 * east, -90 * north), (90 * east, 90 * north), size_in=1.0)
    review = analyse(drawn(*pipe, line))
    (c,) = review.crossings
    # zone 1 + 2 x 18 = 37 in, trench 12 in: (zone + trench x cos a) / sin a
    assert c.hand_dig_ft == pytest.approx((37 + 12 * east) / 12 / north, rel=1e-9)
    assert c.hand_dig_to_ft - c.hand_dig_from_ft == pytest.approx(c.hand_dig_ft)
    assert (c.hand_dig_to_ft + c.hand_dig_from_ft) / 2 == pytest.approx(100.0)  # as much on either side
    assert ("along_service" in kinds(review)) is (angle_deg < 30)


def test_services_nearer_to_each_other_than_a_zone_are_one_hole_and_all_are_named() -> None:
    """1 in lines: each zone is 37 in, 3.083 ft along a square trench. At 2 ft apart they reach into each other, at 3.2 they do not."""
    lines = [service(kind, (x, -9), (x, 9), size_in=1.0) for kind, x in (("gas", 30), ("electric", 32), ("water", 34))]
    job = drawn(*PIPE, *lines, service("communication", (38, -9), (38, 9), size_in=1.0))
    found = only(job, "services_crowded")
    assert found.place.ids == ("R1", "water-1", "electric-1", "gas-1")
    assert found.value == pytest.approx(4 + 37 / 12)  # from half a zone before the first to half one past the last
    assert dict(found.params)["numbers"] == "2, 3, 4"
    apart = drawn(*PIPE, lines[0], service("electric", (33.2, -9), (33.2, 9), size_in=1.0))
    assert "services_crowded" not in kinds(analyse(apart))
    twice = drawn(*PIPE, service("gas", (30, -9), (30, 9), (32, 9), (32, -9), size_in=1.0))
    assert "services_crowded" not in kinds(analyse(twice))  # one service that comes back


DEPTHS = st.none() | st.floats(0, 12)
ERRORS = st.none() | st.floats(0, 5)


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    kind=st.sampled_from(get_args(ServiceKind)),
    known_by=st.sampled_from(get_args(KnownBy)),
    depth=DEPTHS,
    error=ERRORS,
    size=st.none() | st.floats(0.25, 24),
    exposed=st.lists(st.tuples(st.floats(-30, 30), st.floats(85, 100)), max_size=3),
    has_shots=st.booleans(),
    clearance=st.floats(0, 48),
    skew=st.floats(-29, 29),
)
def test_no_crossing_of_a_service_is_ever_passed_over_in_silence(
    kind: ServiceKind,
    known_by: KnownBy,
    depth: float | None,
    error: float | None,
    size: float | None,
    exposed: list[tuple[float, float]],
    has_shots: bool,
    clearance: float,
    skew: float,
) -> None:
    """Whatever is known or not, a crossing has its finding; only one that was uncovered right there gets by with a note."""
    places = tuple(Exposure(point=(40 + skew * y / 30, y), top_ft=z) for y, z in exposed)
    line = service(
        kind,
        (40 - skew, -30),
        (40 + skew, 30),
        depth_top_ft=depth,
        known_by=known_by,
        depth_error_ft=error,
        size_in=size,
        exposed=places,
    )
    job = drawn(*(GROUND if has_shots else ()), *PIPE, line)
    job = change_criteria(job, clearance_in=clearance)
    review = analyse(job)
    assert review.crossings
    for c in review.crossings:
        said = [f for f in review.findings if dict(f.params).get("number") == c.number]
        main = [f for f in said if f.kind not in ("along_service", "water_below_drain", "exposure_unlikely")]
        assert len(main) == 1
        near = min((abs(y) for y, _ in exposed), default=99.0)
        if main[0].level == "note":
            assert c.seen
            assert near <= 2.1
            assert c.least_clearance_ft is not None
            assert c.least_clearance_ft >= clearance / 12 - 1e-3
        if c.clearance_ft is not None and c.clearance_ft < 0:
            assert main[0].level == "stop"
        if not places and (depth is None or not has_shots):
            assert main[0].kind in ("depth_unknown", "clearance_unknown")


def test_a_service_that_changes_kind_changes_its_rule() -> None:
    job = change(crossed("water", depth_top_ft=5.2, depth_error_ft=0.0), "water-1", size_in=1.0)
    assert analyse(job).crossings[0].need_ft == pytest.approx(1.0)
    assert analyse(change(job, "water-1", size_in=6.0)).crossings[0].need_ft == pytest.approx(1.5)
    assert analyse(change(job, "water-1", size_in=6.0)).crossings[0].rule == "water_main"
