"""Which row of a price book goes: what says more before what says less, and an invented one never before one of the user's own."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.price_book import Lookup, PriceBook, PriceRow, layered, to_depth_ft

BEND = ("bend", "sdr35", "4", "45")


def row(of="", size="", second="", price="1", source="", item="bend"):
    return PriceRow(item=item, of=of, size_in=size, second=second, unit="each", price=Decimal(price), source=source)


def rate(second, per_hour, source="", of="loam"):
    return PriceRow(item="dig_hand", of=of, second=second, unit="yd3", per_hour=Decimal(per_hour), source=source)


CELLS = tuple(product(("sdr35", ""), ("4", ""), ("45", "")))


def test_the_row_that_says_more_goes_first():
    rows = [row(*cells, price=str(n)) for n, cells in enumerate(CELLS)]
    for n, _ in enumerate(CELLS):  # kind of pipe first, then size, then angle
        assert Lookup(PriceBook(tuple(rows[n:]))).row(BEND).price == n


@pytest.mark.parametrize("own", CELLS)
@pytest.mark.parametrize("example", CELLS)
def test_an_invented_row_never_goes_before_one_of_the_users_own(own, example):
    book = layered(PriceBook((row(*example, source="example"),)), PriceBook((row(*own, price="7", source="yard"),)))
    assert Lookup(book).row(BEND).price == 7


def test_an_own_row_without_a_price_is_not_filled_in_by_an_invented_one():
    unknown = PriceRow(item="bend", unit="each")
    book = PriceBook((row("sdr35", "4", source="example"), unknown))
    assert Lookup(book).row(BEND) is unknown


def test_an_invented_row_stands_where_no_own_row_fits():
    book = PriceBook((row("sch40", price="7", source="yard"), row("sdr35", price="3", source="example")))
    assert Lookup(book).row(BEND).price == 3


@given(
    st.lists(st.tuples(st.sampled_from(CELLS), st.sampled_from(["example", "yard"]), st.integers(0, 99)), max_size=12)
)
def test_whatever_the_rows_an_own_one_that_fits_is_taken(rows):
    half = len(rows) // 2
    books = [  # a book names the same cells once
        PriceBook(tuple({r.which: r for r in (row(*c, source=s, price=str(p)) for c, s, p in some)}.values()))
        for some in (rows[:half], rows[half:])
    ]
    there = [r for book in books for r in book.rows]
    found = Lookup(layered(*books)).row(BEND)
    assert (found is None) == (not there)
    if found is not None:
        assert found.is_example == all(r.is_example for r in there)


def test_rates_of_the_users_own_go_down_as_far_as_they_reach():
    examples = PriceBook(tuple(rate(depth, "1", "example") for depth in ("2", "3", "4", "6")))
    own = PriceBook((rate("3", "0.7"), rate("4", "0.5")))
    found = Lookup(layered(examples, own)).rates("dig_hand", "loam")
    assert [(to_depth_ft(r), r.is_example) for r in found] == [(3.0, False), (4.0, False), (6.0, True)]


def test_an_own_rate_for_any_soil_goes_before_an_invented_one_for_this():
    book = PriceBook((rate("2", "9", "example"), rate("8", "9", "example"), rate("4", "0.5", of="")))
    found = Lookup(book).rates("dig_hand", "loam")
    assert [(r.second, r.is_example) for r in found] == [("4", False), ("8", True)]


def test_an_own_rate_for_any_depth_leaves_no_room_for_others():
    book = PriceBook((rate("2", "9", "example"), rate("8", "9", "example"), rate("", "0.5")))
    assert [r.second for r in Lookup(book).rates("dig_hand", "loam")] == [""]


def test_a_row_over_a_row_takes_its_place_and_an_invented_one_takes_none_of_the_users():
    under = PriceBook((row(price="1", source="example"), row("sdr35", price="2", source="yard")), ("# a",))
    over = PriceBook(
        (row(price="5", source="shop"), row("sdr35", price="6", source="example"), row("sch40", price="7"))
    )
    found = layered(under, over)
    assert [r.price for r in found.rows] == [5, 2, 7]
    assert found.notes == ("# a",)
