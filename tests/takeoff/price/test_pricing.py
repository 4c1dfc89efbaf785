"""The price of a job: that cents add up, that nothing missing is free, and every step on paper."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.price_book import Lookup, PriceBook, items
from drainsketch.review import analyse
from drainsketch.takeoff.price.pricing import price
from drainsketch.takeoff.price.results import ADDED, PricedLine
from drainsketch.takeoff.price.sums import least_labor, steps, total_of
from tests.takeoff.price.books import bare, book_of, changed, example_book, priced, terms_of, without
from tests.test_review import SAMPLES, sample

REVIEWS = {name: analyse(sample(name)) for name in SAMPLES}
MONEY = st.decimals(min_value=0, max_value=5000, places=2)
PERCENT = st.decimals(min_value=0, max_value=90, places=2)


def printed_sum(made):
    return sum((line.amount for line in made.lines if line.amount is not None), Decimal(0)) + sum(
        (s.amount for s in made.steps if s.key in ADDED), Decimal(0)
    )


@pytest.mark.parametrize("tool", ["hand", "mini-excavator", "trencher"])
@pytest.mark.parametrize("soil", ["sand", "loam", "clay"])
@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_is_priced_without_a_gap_by_the_example_book(name, tool, soil):
    made = priced(REVIEWS[name], terms=terms_of(tool=tool, soil=soil))
    assert (made.complete, made.findings, made.has_examples) == (True, (), True)
    assert made.total > 0
    assert printed_sum(made) == made.total


@pytest.mark.parametrize("name", SAMPLES)
def test_no_line_of_the_takeoff_is_dropped(name):
    review = REVIEWS[name]
    made = priced(review)
    counted = {(line.item, line.params) for line in review.takeoff}
    lines = {(line.item, line.params) for line in made.lines}
    covered = {(c.item, c.params) for c in made.covered}
    assert counted <= lines | covered
    assert not lines & covered
    # the line that pays for another is there, unless nothing is dug at all
    by = {c.by.replace("stock_", "") for c in made.covered}
    assert by <= {line.item for line in made.lines} | {"drain", "solid"}


@st.composite
def terms_any(draw):
    return terms_of(
        overhead_pct=draw(PERCENT),
        profit_as=draw(st.sampled_from(["mark-up", "margin"])),
        profit_pct=draw(PERCENT),
        tax_pct=draw(st.decimals(min_value=0, max_value=30, places=3)),
        tax_on=draw(st.sampled_from(["sale", "cost"])),
        round_to=draw(st.sampled_from([Decimal("0.01"), Decimal("0.25"), Decimal(1), Decimal("4.99"), Decimal(50)])),
        round_way=draw(st.sampled_from(["nearest", "up"])),
        deposit_pct=draw(st.decimals(min_value=0, max_value=100, places=2)),
        crew=draw(st.integers(1, 6)),
        tool=draw(st.sampled_from(["hand", "mini-excavator"])),
    )


@st.composite
def books_any(draw):
    """Return the example book with prices drawn anew: some missing, some nothing."""
    prices = draw(st.lists(st.none() | MONEY, min_size=7, max_size=7))
    rows = [
        replace(r, price=prices[i % 7], taxed=i % 3 == 0) if items()[r.item].kind != "rate" else r
        for i, r in enumerate(example_book().rows)
    ]
    return PriceBook(tuple(rows))


@given(st.sampled_from(sorted(SAMPLES)), books_any(), terms_any())
@settings(max_examples=60)
def test_printed_lines_and_steps_add_up_to_the_cent(name, book, terms):
    made = priced(REVIEWS[name], book, terms)
    assert printed_sum(made) == made.total
    amounts = [x for x in (*(line.amount for line in made.lines), *(s.amount for s in made.steps)) if x is not None]
    assert all(isinstance(x, Decimal) and x == round(x, 2) for x in amounts)
    for line in made.lines:
        if line.amount is not None:
            assert line.amount == (line.quantity * line.unit_price).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert made.complete == all(line.amount is not None for line in made.lines)
    assert len(made.findings) == sum(line.amount is None for line in made.lines)
    if made.deposit is not None:
        assert made.deposit + made.balance == made.total
    assert abs(made.step("rounding").amount) < terms.round_to


@given(st.sampled_from(sorted(SAMPLES)), st.data())
@settings(max_examples=40)
def test_what_has_no_row_is_a_finding_and_never_zero(name, data):
    used = sorted({line.item for line in priced(REVIEWS[name]).lines if line.item in items()} - {"minimum_labor"})
    gone = data.draw(st.sampled_from(used))
    made = priced(REVIEWS[name], without(example_book(), gone))
    lost = [line for line in made.lines if line.item == gone and line.item not in ("worker_hour",)]
    assert lost
    assert {line.amount for line in lost} == {None}
    assert {dict(f.params)["priced"] for f in made.findings} == {gone}
    assert {f.level for f in made.findings} == {"settle"}
    assert not made.complete
    assert (made.deposit, made.balance) == (None, None)


def line(amount, *, taxed=False, group="materials"):
    return PricedLine(
        item="x",
        group=group,
        quantity=Decimal(1),
        unit="each",
        unit_price=Decimal(amount),
        amount=Decimal(amount),
        taxed=taxed,
    )


BOOK = "haul_load,,,,load,90.00,,no,,mine,"


def summed(lines, *rows, **terms):
    return {s.key: s.amount for s in steps(lines, Lookup(book_of(BOOK, *rows)), bare(**terms))}


def test_overhead_and_margin_on_paper():
    # 1,000 + 10 % = 1,100; a margin of 20 % of the price: 1,100 / 0.8 = 1,375
    found = summed([line("600"), line("400")], overhead_pct="10", profit_as="margin", profit_pct="20")
    assert (found["direct"], found["overhead"], found["cost"]) == (Decimal(1000), Decimal(100), Decimal(1100))
    assert (found["profit"], found["sale"], found["total"]) == (Decimal(275), Decimal(1375), Decimal(1375))


def test_a_markup_of_25_and_a_margin_of_20_percent_are_the_same_price():
    by_markup = summed([line("1234.56")], overhead_pct="7", profit_as="mark-up", profit_pct="25")
    by_margin = summed([line("1234.56")], overhead_pct="7", profit_as="margin", profit_pct="20")
    assert by_markup == by_margin


def test_tax_is_on_taxed_lines_alone_at_cost_or_at_what_they_sell_for():
    lines = [line("300", taxed=True), line("700")]
    # 300 at cost; at sale 300 x 1,250 / 1,000 = 375
    at_cost = summed(lines, profit_as="mark-up", profit_pct="25", tax_pct="8", tax_on="cost")
    at_sale = summed(lines, profit_as="mark-up", profit_pct="25", tax_pct="8", tax_on="sale")
    assert (at_cost["tax"], at_sale["tax"]) == (Decimal(24), Decimal(30))
    assert (at_cost["total"], at_sale["total"]) == (Decimal(1274), Decimal(1280))
    assert summed([line("700")], tax_pct="8")["tax"] == 0


def test_the_least_price_of_a_job_makes_up_what_is_missing():
    least = "minimum_job,,,,job,950.00,,,,mine,"
    assert summed([line("700")], least)["minimum"] == Decimal(250)
    assert summed([line("700")], least)["total"] == Decimal(950)
    assert "minimum" not in summed([line("950")], least)
    assert summed([], least)["total"] == 0  # nothing to do costs nothing


def test_the_least_labor_makes_up_what_is_missing_of_labor_alone():
    book = Lookup(book_of("minimum_labor,,,,job,480.00,,,,mine,"))
    labor = [line("100", group="labor"), line("150", group="labor"), line("900")]
    (more,) = least_labor(labor, book)
    assert (more.amount, more.group, more.arithmetic) == (Decimal(230), "labor", "least $480.00 - $250.00 = $230.00")
    assert least_labor([*labor, line("230", group="labor")], book) == []
    assert least_labor([line("900")], book) == []


def test_the_total_is_rounded_and_the_difference_is_a_step():
    up = summed([line("1231.01")], round_to="5", round_way="up")
    nearest = summed([line("1231.01")], round_to="5", round_way="nearest")
    assert (up["rounding"], up["total"], nearest["rounding"], nearest["total"]) == (
        *(Decimal("3.99"), Decimal("1235.00"), Decimal("-1.01"), Decimal("1230.00")),
    )


def test_deposit_validity_and_both_profits():
    made = priced(
        REVIEWS["corner-lot"], terms=terms_of(profit_as="margin", profit_pct="25", deposit_pct="33.33", valid_days=14)
    )
    assert (made.margin_pct, round(made.markup_pct, 2), made.valid_days) == (Decimal(25), Decimal("33.33"), 14)
    assert made.deposit == (made.total * Decimal("0.3333")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert made.balance == made.total - made.deposit


def test_what_is_left_of_the_profit_counts_rounding_and_the_least_price():
    made = priced(REVIEWS["corner-lot"], terms=bare(profit_as="margin", profit_pct="20"))
    assert round(made.sold_margin_pct, 2) == 20
    dear = changed(example_book(), "minimum_job", price=Decimal(20_000))
    made = priced(REVIEWS["corner-lot"], dear, bare(profit_as="margin", profit_pct="20"))
    cost = made.step("cost").amount
    assert made.total == 20_000
    assert made.sold_margin_pct == (20_000 - cost) / 20_000 * 100
    assert made.sold_markup_pct == (20_000 - cost) / cost * 100


def test_tax_is_no_profit():
    terms = {"profit_as": "margin", "profit_pct": "20"}
    bare_of_tax, taxed = (priced(REVIEWS["steep-lot"], terms=bare(**terms, tax_pct=pct)) for pct in ("0", "30"))
    assert taxed.total > bare_of_tax.total
    assert taxed.sold_margin_pct == bare_of_tax.sold_margin_pct


def test_labor_of_a_small_job_is_made_up_to_the_least():
    made = priced(REVIEWS["courtyard"])
    labor = [line for line in made.lines if line.group == "labor"]
    assert labor[-1].item == "minimum_labor"
    assert total_of(labor) == Decimal("480.00")
    assert "minimum_labor" not in {line.item for line in priced(REVIEWS["corner-lot"]).lines}


def test_arithmetic_ends_in_the_amount_it_explains():
    made = priced(REVIEWS["steep-lot"])
    for one in (*made.lines, *made.steps):
        assert one.arithmetic.endswith(f"= ${one.amount:,.2f}")


def test_taxed_materials_are_what_the_book_says():
    made = priced(REVIEWS["corner-lot"])
    assert total_of(made.lines, taxed_only=True) == total_of([x for x in made.lines if x.group == "materials"])
    untaxed = replace(example_book(), rows=tuple(replace(r, taxed=False) for r in example_book().rows))
    assert priced(REVIEWS["corner-lot"], untaxed).step("tax").amount == 0


def test_an_empty_job_costs_nothing():
    review = analyse(Job())
    made = price(review.works, review.stacks, review.takeoff, example_book(), terms_of())
    assert (made.lines, made.total, made.deposit) == ((), Decimal(0), Decimal(0))


def test_your_own_prices_are_told_from_the_examples():
    mine = replace(example_book(), rows=tuple(replace(r, source="yard, May") for r in example_book().rows))
    assert not priced(REVIEWS["corner-lot"], mine).has_examples
    assert {line.source for line in priced(REVIEWS["corner-lot"], mine).lines} == {"yours"}
    for item in ("minimum_job", "grate", "lay_pipe"):
        book = changed(changed(mine, item, source="example"), "minimum_job", price=Decimal(50_000))
        assert priced(REVIEWS["corner-lot"], book).has_examples
