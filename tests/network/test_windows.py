"""Windows of depths and the clearance at worst, worked by hand and tried out."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.edits.expose import expose
from drainsketch.job.limits import Criteria
from drainsketch.network.windows import least_gap_ft, needs_ft, window_ft
from drainsketch.review import analyse
from tests.yards import basin, drawn, outfall, plane, run, service

GROUND = plane(lambda x, y: 100.0)
PIPE = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.4))


def test_the_window_of_a_square_crossing_by_hand() -> None:
    """Pipe from 96.00 to 97.00 under ground at 100.00, service 0.5 ft thick, 1.0 ft over and 1.5 ft under it.

    Over it: its top at 96 - 1.0 = 95.00, 5.0 ft deep, or deeper. Under it: its bottom at 97 + 1.5 = 98.50, its top at 99.00,
    1.0 ft deep, or shallower.
    """
    one = np.ones(1)
    assert window_ft(100 * one, 97 * one, 96 * one, 0.5 * one, one, 1.5 * one) == (
        pytest.approx(5.0),
        pytest.approx(1.0),
    )


def test_a_window_that_would_lie_above_the_ground_is_none() -> None:
    # pipe bottom at 96.59, top at 96.94, 3.06 ft deep: with 3 ft and 1 in of service asked nothing is shallow enough
    job = drawn(*GROUND, *PIPE, service("gas", (40, -30), (40, 30), size_in=1.0))
    (c,) = analyse(change_criteria(job, clearance_in=36)).crossings
    assert c.works_shallower_ft is None
    assert c.works_deeper_ft == pytest.approx(100 - 96.59 + 3)
    (c,) = analyse(drawn(*PIPE, service("gas", (40, -30), (40, 30), size_in=1.0))).crossings
    assert (c.works_deeper_ft, c.works_shallower_ft) == (None, None)  # no ground, no window


def test_a_window_with_hardly_any_cover_over_the_service_is_none() -> None:
    """Pipe 3.06 ft deep at its top: with 29 in asked and 1 in of service its top may be 0.56 ft deep, with 30 in 0.48 ft; hand
    digging leaves no less than 6 in (common practice, no source)."""
    job = drawn(*GROUND, *PIPE, service("gas", (40, -30), (40, 30), size_in=1.0))
    (told,) = analyse(change_criteria(job, clearance_in=29)).crossings
    (none,) = analyse(change_criteria(job, clearance_in=30)).crossings
    assert told.works_shallower_ft == pytest.approx(0.56, abs=0.01)
    assert none.works_shallower_ft is None and none.works_deeper_ft is not None


def test_the_window_of_a_long_meeting_holds_at_all_its_places() -> None:
    """Pipe and service in one line for 40 ft, the invert from 96.90 at x = 10 to 96.50 at x = 50. They overlap as far as half of
    both, (4.215 + 1) / 24 ft, past the ends of the service, where the invert is 0.002 ft higher and lower."""
    past = 0.01 * (4.215 + 1) / 24
    job = drawn(*GROUND, *PIPE, service("gas", (10, 0), (50, 0), size_in=1.0))
    (c,) = analyse(job).crossings
    assert c.works_deeper_ft == pytest.approx(100 - (96.5 - past - 0.12 / 12) + 1.0, abs=1e-6)
    assert c.works_shallower_ft == pytest.approx(100 - (96.9 + past + 4.095 / 12) - 1.0 - 1 / 12, abs=1e-6)


@given(st.floats(-6, 6), st.floats(0, 5), st.floats(0.1, 2), st.floats(0.1, 2))
def test_the_clearance_at_worst_is_the_least_of_all_within_the_error(
    over: float, error: float, pipe_ft: float, size_ft: float
) -> None:
    under = -over - pipe_ft - size_ft
    moved = np.linspace(-error, error, 4001)
    tried = np.maximum(over - moved, under + moved).min()
    (least,) = least_gap_ft(np.array([over]), np.array([under]), np.array([error]))
    assert least <= tried + 1e-9
    assert least == pytest.approx(tried, abs=error / 2000 + 1e-9)


@pytest.mark.parametrize("kind", ["gas", "electric", "water", "sewer"])
@pytest.mark.parametrize("size_in", [None, 1.0])
def test_a_service_exposed_just_inside_its_window_is_clear_and_just_outside_it_is_not(
    kind: str, size_in: float | None
) -> None:
    """The window is said before anybody digs; what is measured then decides by it, but for what a measured top may be off."""
    job = drawn(*GROUND, *PIPE, service(kind, (40, -30), (40, 30), size_in=size_in))
    (c,) = analyse(job).crossings
    assert c.works_deeper_ft is not None and c.works_shallower_ft is not None
    off = 0.1 + 0.01  # a measured top may be off by 0.1 ft, counted against us
    for depth, is_clear in (
        (c.works_deeper_ft + off, True),
        (c.works_deeper_ft - 0.01, False),
        (c.works_shallower_ft - off, True),
        (c.works_shallower_ft + 0.01, False),
    ):
        review = analyse(expose(job, f"{kind}-1", (40, 0), 100 - depth))
        kinds = [f.kind for f in review.findings if dict(f.params).get("number") == 1]
        assert ("hand_dig" in kinds) is is_clear, (depth, kinds)


def test_the_greater_of_the_clearance_of_the_job_and_the_rule_of_the_service_is_asked() -> None:
    water = service("water", (0, 0), (9, 0))
    assert needs_ft(water, Criteria(clearance_in=12)) == (1.5, 1.5, "water_main")  # of unknown size: may be a main
    assert needs_ft(service("water", (0, 0), (9, 0), size_in=1.0), Criteria(clearance_in=12)) == (1.0, 1.0, "job")
    assert needs_ft(service("gas", (0, 0), (9, 0)), Criteria(clearance_in=6)) == (1.0, 1.0, "gas")
    assert needs_ft(service("sewer", (0, 0), (9, 0)), Criteria(clearance_in=6)) == (0.5, 1.0, "sewer")
    assert needs_ft(service("gas", (0, 0), (9, 0)), Criteria(clearance_in=24)) == (2.0, 2.0, "job")


def test_raising_the_clearance_of_the_job_narrows_the_window() -> None:
    job = drawn(*GROUND, *PIPE, service("gas", (40, -30), (40, 30), size_in=1.0))
    (near,), (far,) = (analyse(j).crossings for j in (job, change_criteria(job, clearance_in=18)))
    assert far.works_deeper_ft == pytest.approx(near.works_deeper_ft + 0.5)
    assert far.works_shallower_ft == pytest.approx(near.works_shallower_ft - 0.5)
