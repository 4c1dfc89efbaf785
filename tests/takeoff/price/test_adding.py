"""Sums as they are written: whoever adds the figures with a pencil gets what stands behind the equals sign."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.price.labor import adding


@given(st.lists(st.floats(0, 500), min_size=2, max_size=6))
def test_the_figures_of_a_sum_add_up_as_they_are_written(terms: list[float]) -> None:
    left, _, right = adding(terms).partition(" = ")
    assert sum(Decimal(part) for part in left.split(" + ")) == Decimal(right)


def test_two_decimals_are_kept_where_they_add_up() -> None:
    assert adding([0.25, 2.5]) == "0.25 + 2.50 = 2.75"
    assert adding([3.631]) == "3.63"
