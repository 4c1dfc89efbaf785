"""Properties of losses at structures."""

from hypothesis import given
from hypothesis import strategies as st

from drainsketch.water.losses import turn_k

angles = st.floats(0, 180)


@given(angles, angles, st.sampled_from(["inlet", "junction"]))
def test_a_sharper_turn_loses_no_less_and_either_way_the_same(one, other, box):
    assert (one <= other) == (turn_k(one, box) <= turn_k(other, box)) or turn_k(one, box) == turn_k(other, box)
    assert turn_k(-one, box) == turn_k(one, box) > 0


@given(angles)
def test_an_inlet_loses_more_than_a_junction(turn):
    assert turn_k(turn, "inlet") > turn_k(turn, "junction")


def test_past_the_table_the_last_rise_goes_on():
    assert turn_k(120, "inlet") == 1.75  # 0.25 per 30 degrees
    assert turn_k(180, "junction") == turn_k(400, "junction")
