"""Mark-up on cost and margin on the price.

Source: their definitions. With profit p, cost c and price c + p, mark-up is p / c and margin p / (c + p); so a margin of one part in n
leaves n - 1 parts of cost, and is a mark-up of one part in n - 1. The table is that of any book on retail arithmetic (half the price is as
much again as the cost), worked here in whole fractions, not in the formula under test.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.price.money import margin_of_markup, markup_of_margin

# margin %, mark-up % to the hundredth
TABLE = [
    ("0", "0"),
    ("10", "11.11"),
    ("15", "17.65"),
    ("20", "25"),
    ("25", "33.33"),
    ("30", "42.86"),
    ("40", "66.67"),
    ("50", "100"),
    ("75", "300"),
    ("90", "900"),
]


@pytest.mark.parametrize(("margin", "markup"), TABLE)
def test_table_of_margin_and_markup(margin, markup):
    assert markup_of_margin(Decimal(margin)) == pytest.approx(Decimal(markup), abs=Decimal("0.005"))
    assert margin_of_markup(Decimal(markup)) == pytest.approx(Decimal(margin), abs=Decimal("0.005"))


@pytest.mark.parametrize("n", range(2, 60))
def test_one_part_in_n_of_the_price_is_one_part_in_n_less_one_of_the_cost(n):
    of_price, of_cost = Fraction(100, n), Fraction(100, n - 1)
    found = markup_of_margin(Decimal(of_price.numerator) / Decimal(of_price.denominator))
    assert abs(Fraction(found) - of_cost) < Fraction(1, 10**20)


@given(st.integers(1, 10**9), st.integers(0, 10**9))
def test_both_are_the_profit_over_cost_and_over_price(cost, profit):
    markup = Fraction(margin_markup(cost, profit)[0])
    margin = Fraction(margin_markup(cost, profit)[1])
    assert abs(markup - Fraction(100 * profit, cost)) <= Fraction(100 * profit, cost) / 10**20
    assert abs(margin - Fraction(100 * profit, cost + profit)) <= Fraction(1, 10**20)


def margin_markup(cost: int, profit: int) -> tuple[Decimal, Decimal]:
    """Return mark-up and margin, each from the other, of a profit on a cost."""
    margin = Decimal(100 * profit) / Decimal(cost + profit)
    markup = Decimal(100 * profit) / Decimal(cost)
    # far up, 100 - margin has few digits left: only margins that a price may have are turned
    return (markup_of_margin(margin) if margin < 95 else markup), margin_of_markup(markup)


@pytest.mark.parametrize("margin", ["100", "-1", "250"])
def test_a_margin_that_no_price_has_is_refused(margin):
    with pytest.raises(ValueError, match="under 100"):
        markup_of_margin(Decimal(margin))


def test_a_negative_markup_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        margin_of_markup(Decimal(-1))
