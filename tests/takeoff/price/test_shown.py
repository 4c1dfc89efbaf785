"""A price as its owner reads it adds up to the cent, and tells nothing of cost, profit and hours."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.pricing import Extra
from drainsketch.review import analyse
from drainsketch.takeoff.price.extras import extra_lines
from drainsketch.takeoff.price.shown import parted, shown_parts
from tests.takeoff.price.books import priced
from tests.test_review import SAMPLES, sample

MONEY = st.decimals(min_value=0, max_value=100_000, places=2)


@given(MONEY, st.dictionaries(st.sampled_from("abcdefg"), MONEY.filter(bool), min_size=1))
def test_parts_add_up_to_the_cent_and_none_is_a_cent_off_its_share(whole, shares):
    found = parted(whole, shares)
    assert sum(found.values()) == whole
    every = sum(shares.values())
    for key, amount in found.items():
        assert abs(amount - whole * shares[key] / every) < Decimal("0.01")
        assert amount == round(amount, 2)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_parts_of_every_sample_are_the_price_before_tax(name):
    made = priced(analyse(sample(name)))
    sale = made.step("sale").amount
    parts = shown_parts(made)
    assert sum(part.amount for part in parts) == sale
    assert [part.key for part in parts] == ["materials", "work", "hauling"]
    direct = made.step(
        "direct"
    ).amount  # overhead and profit lie on all alike: worked by hand from the lines of one group
    materials = sum(line.amount for line in made.lines if line.group == "materials")
    assert abs(parts[0].amount - materials * sale / direct) < Decimal("0.01")


def test_a_line_that_the_contractor_added_stands_by_its_own_name_even_for_nothing():
    made = priced(analyse(sample("low-lawn")))
    lines = extra_lines((Extra(name="Permit", price=120.0), Extra(name="Stump", price=0.0)))
    more = replace(made, lines=(*made.lines, *lines))
    named = {dict(part.line.params)["said"]: part.amount for part in shown_parts(more) if part.line is not None}
    assert set(named) == {"Permit", "Stump"}
    assert named["Stump"] == 0
    assert sum(part.amount for part in shown_parts(more)) == made.step("sale").amount
