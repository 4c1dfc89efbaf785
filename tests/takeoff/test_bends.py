"""Bends by worked geometry."""

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.bends import bends_for, turn_deg


@pytest.mark.parametrize(
    ("arriving", "leaving", "turn"),
    [
        ((1, 0), (1, 0), 0),
        ((1, 0), (0, 7), 90),
        ((1, 0), (0, -7), 90),
        ((3, 0), (2, 2), 45),
        ((1, 0), (-1, 1), 135),
        ((1, 0), (-4, 0), 180),
        ((1, 0), (3**0.5, 1), 30),
        ((0, 0), (1, 1), 0),
        ((-0.0, -0.0), (1, 0), 0),
    ],
)
def test_turn_between_directions(arriving, leaving, turn):
    assert turn_deg(arriving, leaving) == pytest.approx(turn, abs=1e-9)


@given(st.floats(0, 360), st.floats(0, 180), st.booleans())
def test_turn_does_not_depend_on_where_north_is(heading, turn, left):
    a, b = radians(heading), radians(heading + (turn if left else -turn))
    assert turn_deg((cos(a), sin(a)), (cos(b), sin(b))) == pytest.approx(turn, abs=1e-5)


@pytest.mark.parametrize(
    ("turn", "bends"),
    [
        (0, ()),
        (4.9, ()),
        (5.0, (22.5,)),
        (10, (22.5,)),
        (22.5, (22.5,)),
        (28.5, (22.5,)),  # within 6 degrees
        (33, (22.5,)),  # nothing within 6: the nearest sum
        (34, (45,)),
        (45, (45,)),
        (51, (45,)),
        (60, (45, 22.5)),  # 67.5 is 7.5 off and 45 is 15 off
        (67.5, (45, 22.5)),
        (84, (90,)),
        (90, (90,)),
        (96, (90,)),
        (112.5, (90, 22.5)),
        (135, (90, 45)),
        (157.5, (90, 45, 22.5)),
        (180, (90, 90)),
    ],
)
def test_stock_bends_that_make_up_a_turn(turn, bends):
    assert bends_for(turn) == bends


def test_one_bend_is_used_where_one_will_do():
    # 45 + 45 makes 90 exactly, and so does one 90
    assert len(bends_for(90)) == 1


@given(st.floats(5, 180))
def test_bends_never_miss_by_more_than_half_a_step_of_stock(turn):
    some = bends_for(turn)
    assert 1 <= len(some) <= 3
    # 5 to 16.5 degrees have nothing near but one 22.5; above that sums stand 22.5 degrees apart
    assert abs(sum(some) - turn) <= (17.5 if turn < 16.5 else 11.25) + 1e-6
    assert list(some) == sorted(some, reverse=True)


@pytest.mark.parametrize("turn", [-1, 181, float("nan")])
def test_a_turn_that_is_none_is_refused(turn):
    with pytest.raises(ValueError, match="turn"):
        bends_for(turn)
