"""Cents, rounding and how money is written."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.takeoff.price.money import cents, counted, dollars, percent, plain_number, rounded, share

AMOUNTS = st.decimals(min_value=0, max_value=10**9, places=2)


@pytest.mark.parametrize(
    ("exact", "said"), [("0.005", "0.01"), ("0.0049", "0.00"), ("1.115", "1.12"), ("2.675", "2.68"), ("1.125", "1.13")]
)
def test_half_a_cent_goes_up(exact, said):
    assert str(cents(Decimal(exact))) == said


def test_a_quantity_is_priced_as_it_is_printed():
    assert (counted(52.6349), counted(7.0), counted(0.004)) == (Decimal("52.63"), Decimal("7.00"), Decimal("0.00"))


@pytest.mark.parametrize(
    ("amount", "step", "nearest", "up"),
    [
        ("1232.49", "5", "1230.00", "1235.00"),
        ("1232.50", "5", "1235.00", "1235.00"),
        ("1235.00", "5", "1235.00", "1235.00"),
        ("0.00", "50", "0.00", "0.00"),
        ("99.99", "0.01", "99.99", "99.99"),
        ("99.99", "0.25", "100.00", "100.00"),
    ],
)
def test_rounding_of_a_total(amount, step, nearest, up):
    assert str(rounded(Decimal(amount), Decimal(step), up=False)) == nearest
    assert str(rounded(Decimal(amount), Decimal(step), up=True)) == up


@given(AMOUNTS, st.decimals(min_value="0.01", max_value=1000, places=2))
def test_rounded_is_whole_steps_and_no_farther_than_one(amount, step):
    up = rounded(amount, step, up=True)
    assert up % step == 0
    assert 0 <= up - amount < step
    assert abs(rounded(amount, step, up=False) - amount) * 2 <= step


@given(AMOUNTS, st.decimals(min_value=0, max_value=500, places=3))
def test_a_share_is_within_half_a_cent(amount, pct):
    assert abs(share(amount, pct) - amount * pct / 100) <= Decimal("0.005")


def test_money_is_written_without_the_locale():
    assert [dollars(Decimal(v)) for v in ("0", "1234.5", "1000000", "-12.3")] == [
        "$0.00",
        "$1,234.50",
        "$1,000,000.00",
        "-$12.30",
    ]
    assert [percent(Decimal(v)) for v in ("12.0", "8.875", "33.33333", "0")] == ["12%", "8.875%", "33.333%", "0%"]
    assert [plain_number(Decimal(v)) for v in ("100", "0.50", "1234.56")] == ["100", "0.5", "1,234.56"]
