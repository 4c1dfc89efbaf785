"""Where buried services lie, worked by hand."""

from math import sqrt

import numpy as np
import pytest

from drainsketch.job.kinds import KnownBy, ServiceKind
from drainsketch.job.model import Exposure, Service
from drainsketch.network.buried import buried_at, lie_of, rule_of, usual_error_ft
from tests.yards import service


def line(kind: ServiceKind = "gas", **fields: object) -> Service:
    """Return a service along the x axis from 0 to 100 ft."""
    return service(kind, (0.0, 0.0), (100.0, 0.0), **fields)


def dug(*places: tuple[float, float]) -> tuple[Exposure, ...]:
    return tuple(Exposure(point=(x, 0.0), top_ft=top) for x, top in places)


def test_an_entered_depth_is_below_the_ground_of_every_place_and_off_by_what_is_usual() -> None:
    found = buried_at(line(depth_top_ft=2.0, known_by="marked"), 3.0, (40, 0), 101.0)
    assert found is not None
    assert (found.top_ft, found.bottom_ft) == (pytest.approx(99.0), pytest.approx(98.75))
    assert found.error_ft == usual_error_ft(line(known_by="marked")) > 0
    assert not found.seen


def test_an_entered_error_stands_in_place_of_the_usual_one() -> None:
    found = buried_at(line(depth_top_ft=2.0, depth_error_ft=0.3), 3.0, (40, 0), 101.0)
    assert found is not None and found.error_ft == 0.3


@pytest.mark.parametrize(
    ("fields", "ground"), [({}, 100.0), ({"depth_top_ft": 2.0}, None), ({"exposed": dug((0, 97))}, None)]
)
def test_without_depth_or_without_ground_nothing_is_known_far_from_an_exposure(
    fields: dict[str, object], ground: float | None
) -> None:
    assert buried_at(line(**fields), 2.0, (50, 0), ground) is None


def test_cable_follows_the_ground_at_the_measured_depths_straight_between_them() -> None:
    # ground 100 at x = 20 and 104 at x = 60: 3 ft and 5 ft deep there; half way 4 ft below the ground of 110
    cable = line("electric", exposed=dug((20, 97), (60, 99)), known_by="records", depth_error_ft=1.5)
    grounds = (100.0, 104.0)
    middle = buried_at(cable, 2.0, (40, 0), 110.0, grounds)
    assert middle is not None
    assert middle.top_ft == pytest.approx(110 - 4)
    assert middle.error_ft == pytest.approx(1.5)  # 20 ft from either: no better than without them
    beyond = buried_at(cable, 2.0, (90, 0), 95.0, grounds)
    assert beyond is not None and beyond.top_ft == pytest.approx(95 - 5)


def test_a_measured_top_is_good_to_a_tenth_of_a_foot_and_its_error_grows_evenly_over_10_ft() -> None:
    gas = line(exposed=dug((20, 97)), depth_error_ft=2.1)
    errors = [buried_at(gas, 2.0, (20 + off, 0), 100.0, (100.0,)) for off in (0.0, 2.0, 5.0, 10.0, 30.0)]
    assert [e and e.error_ft for e in errors] == [pytest.approx(x) for x in (0.1, 0.5, 1.1, 2.1, 2.1)]
    assert [e is not None and e.seen for e in errors] == [True, True, False, False, False]


def test_an_entered_error_of_nothing_makes_no_measured_top_better_than_it_is() -> None:
    found = buried_at(line(exposed=dug((20, 97)), depth_error_ft=0.0), 2.0, (25, 0), 100.0, (100.0,))
    assert found is not None and found.error_ft == pytest.approx(0.1)


def test_without_ground_a_measured_top_of_a_cable_holds_only_where_it_was_measured() -> None:
    gas = line(exposed=dug((20, 97)))
    here = buried_at(gas, 2.0, (21, 0), None)
    assert here is not None and here.top_ft == 97 and here.seen
    assert buried_at(gas, 2.0, (25, 0), 100.0) is None  # the ground where it was dug is not known
    said = buried_at(line(exposed=dug((20, 97)), depth_top_ft=2.0), 2.0, (60, 0), 100.0)
    assert said is not None and said.top_ft == 98 and not said.seen  # back to what was said


def test_a_sewer_lies_straight_between_two_measured_tops_whatever_the_ground() -> None:
    sewer = line("sewer", exposed=dug((20, 95.0), (60, 94.0)), depth_error_ft=1.0)
    for ground in (90.0, 100.0, None):
        found = buried_at(sewer, 6.0, (30, 0), ground)
        assert found is not None
        assert found.top_ft == pytest.approx(94.75)
        assert found.bottom_ft == pytest.approx(94.25)
        assert found.error_ft == pytest.approx(1.0)
        assert found.grade_known


def test_a_sewer_goes_on_with_its_grade_beyond_what_was_measured_and_grows_uncertain() -> None:
    # 1 ft in 40: 0.025; 30 ft on it is 0.75 ft lower. Between level and twice that: 0.75; two tops each off by 0.1 over
    # 40 ft: 0.2 / 40 x 30 = 0.15; and 1.0 as 30 ft from the last of them
    sewer = line("sewer", exposed=dug((20, 95.0), (60, 94.0)), depth_error_ft=1.0)
    down, up = (buried_at(sewer, 6.0, (x, 0), 100.0) for x in (90, 0))
    assert down is not None and up is not None
    assert down.top_ft == pytest.approx(93.25)
    assert down.error_ft == pytest.approx(1.0 + 0.75 + 0.15)
    assert up.top_ft == pytest.approx(95.5)
    assert up.error_ft == pytest.approx(1.0 + 20 * 0.025 + 20 * 0.2 / 40)


def test_a_sewer_measured_at_one_place_has_no_known_grade() -> None:
    sewer = line("sewer", exposed=dug((20, 95.0)), depth_error_ft=1.0)
    found = buried_at(sewer, 6.0, (70, 0), 100.0)
    assert found is not None
    assert (found.top_ft, found.grade_known) == (95.0, False)
    assert found.error_ft == pytest.approx(1.0 + 0.04 * 50)  # 1/2 in per ft either way
    assert not lie_of(line("sewer", depth_top_ft=4.0), np.zeros((1, 2)), np.array([100.0]), np.zeros(0)).grade_known
    assert lie_of(line("water", depth_top_ft=4.0), np.zeros((1, 2)), np.array([100.0]), np.zeros(0)).grade_known


def test_two_readings_at_one_place_that_disagree_are_taken_in_the_middle_and_off_by_half() -> None:
    sewer = line("sewer", exposed=dug((20, 95.0), (20.5, 95.6)), depth_error_ft=1.0)
    found = buried_at(sewer, 6.0, (20, 0), 100.0)
    assert found is not None
    assert found.top_ft == pytest.approx(95.3)
    assert found.error_ft == pytest.approx(0.1 + 0.3 + 0.04 * 0.25)
    assert not found.grade_known


def test_an_exposure_off_the_line_or_round_a_bend_is_as_far_as_it_is() -> None:
    gas = service("gas", (0.0, 0.0), (30.0, 0.0), (30.0, 1.5), (0.0, 1.5), exposed=dug((10, 97)), depth_error_ft=2.1)
    back = buried_at(gas, 2.0, (10, 1.5), 100.0, (100.0,))  # 1.5 ft off in plan, 41.5 ft along it
    assert back is not None and not back.seen and back.error_ft == pytest.approx(2.1)
    off = line(exposed=(Exposure(point=(10.0, 3.0), top_ft=97.0),), depth_error_ft=2.1)
    here = buried_at(off, 2.0, (10, 0), 100.0, (100.0,))
    assert here is not None and not here.seen and here.error_ft == pytest.approx(0.1 + 2.0 * 3 / 10)


def test_a_service_drawn_on_one_spot_is_answered() -> None:
    spot = service("gas", (5.0, 5.0), (5.0, 5.0), exposed=(Exposure(point=(5.0, 5.0), top_ft=97.0),))
    found = buried_at(spot, 2.0, (5, 5), 100.0, (100.0,))
    assert found is not None and found.top_ft == 97 and found.seen


@pytest.mark.parametrize("known_by", ["assumed", "owner", "records", "marked", "exposed"])
@pytest.mark.parametrize(
    "kind", ["electric", "gas", "communication", "water", "irrigation", "sewer", "drain line", "unidentified"]
)
def test_no_kind_of_service_is_ever_known_better_than_half_a_foot_where_nobody_dug(
    kind: ServiceKind, known_by: KnownBy
) -> None:
    assert usual_error_ft(line(kind, known_by=known_by)) >= 0.5
    assert rule_of(line(kind)).flow in ("gravity", "pressure", "cable")
    assert (rule_of(line(kind)).flow == "gravity") == (kind in ("sewer", "drain line"))


def test_many_places_at_once_are_what_each_is_alone() -> None:
    at = np.array([(x, 0.0) for x in (0, 13, 20, 47, 60, 99)])
    ground = 100 + np.sqrt(at[:, 0])
    for kind in ("sewer", "electric"):
        some = line(kind, exposed=dug((20, 97), (60, 99)), depth_top_ft=1.0)
        known = np.array([100 + sqrt(20), 100 + sqrt(60)])
        lie = lie_of(some, at, ground, known)
        for i, (x, y) in enumerate(at.tolist()):
            one = buried_at(some, 2.0, (x, y), float(ground[i]), tuple(known.tolist()))
            assert one is not None
            assert (one.top_ft, one.error_ft, one.seen) == (lie.top_ft[i], lie.error_ft[i], lie.seen[i])
