"""Prices and terms kept for all jobs from the window: one row, one term, the rest of the file as it was."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import JobFileError
from drainsketch.files import keeping_prices
from drainsketch.files.keeping_prices import keep_own_book, keep_rows, keep_some_terms
from drainsketch.files.price_terms import own_terms, parse_own_terms
from drainsketch.files.pricebook import keep_price_book, own_book, parse_price_book
from drainsketch.files.prices import prices_in_use
from drainsketch.job.price_book import PriceRow

TIP = PriceRow(item="tip_ton", unit="ton", price=Decimal("20.00"), group="disposal", source="kept")
HEAD = "item,of,size_in,second,unit,price,per_hour,taxed,group,source,name\n"


def test_the_first_row_kept_makes_a_book_of_its_own_and_nothing_of_the_example(own_home):
    keep_rows(TIP)
    assert own_book().book.rows == (TIP,)
    used = prices_in_use()
    assert sum(not row.is_example for row in used.book.rows) == 1
    assert used.unknown == ()


def test_a_row_goes_over_the_one_of_the_same_cells_and_the_rest_stays():
    mine = f"# mine\n{HEAD}grate,,12,,each,9.00,,yes,,shop,Grate\ntip_ton,,,,ton,18.00,,no,,dump,\nsofa,,,,each,1.00,,no,,,\n"
    keep_price_book(parse_price_book(mine.encode()))
    keep_rows(TIP)
    kept = own_book()
    assert kept.book.notes == ("# mine",)
    assert [(r.item, r.price, r.source) for r in kept.book.rows] == [
        ("grate", Decimal("9.00"), "shop"),
        ("tip_ton", Decimal("20.00"), "kept"),
        ("sofa", Decimal("1.00"), ""),
    ]


def test_a_book_without_a_row_is_put_aside(own_home):
    keep_rows(TIP)
    keep_own_book(())
    assert own_book() is None
    assert (own_home / "prices.csv.bak").exists()
    keep_own_book(())


def test_a_bad_book_is_told_and_left_as_it_is(own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text("rubbish")
    with pytest.raises(JobFileError, match=r"prices\.csv"):
        keep_rows(TIP)
    assert (own_home / "prices.csv").read_text() == "rubbish"


def test_terms_are_set_one_at_a_time_and_remarks_stay(own_home):
    own_home.mkdir(parents=True)
    (own_home / "price-terms.toml").write_text("# ours\ncrew = 3   # Ann and Bo too\n\ntax_pct = 6.0\n")
    keep_some_terms({"crew": 4, "profit_as": "mark-up", "profit_pct": Decimal("33.5"), "tax_pct": None})
    text = (own_home / "price-terms.toml").read_text()
    assert text == '# ours\ncrew = 4  # Ann and Bo too\n\nprofit_as = "mark-up"\nprofit_pct = 33.5\n'
    assert prices_in_use().terms.profit_pct == Decimal("33.5")


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ('tool = """\nhand"""\ncrew = 3\n', {"tool": "trencher"}),
        ('"crew" = 3\n', {"crew": 5}),
        ("crew = 3 # = 4\n", {"crew": 5}),
        ('tool = "hand" # "x" = #\n', {"tool": None, "soil": "clay"}),
        ("", {"round_to": Decimal("0.25")}),
    ],
)
def test_however_the_file_is_written_it_says_afterward_what_was_asked(own_home, text, changes):
    own_home.mkdir(parents=True)
    (own_home / "price-terms.toml").write_text(text)
    before = own_terms()
    keep_some_terms(changes)
    assert own_terms() == {k: v for k, v in (before | changes).items() if v is not None}


@pytest.mark.parametrize("changes", [{"crew": 0}, {"profit_pct": Decimal(5)}, {"tax_pct": Decimal("99")}])
def test_a_term_that_cannot_be_is_refused_and_the_file_left(own_home, changes):
    keep_some_terms({"crew": 4})
    with pytest.raises(JobFileError):
        keep_some_terms(changes)
    assert own_terms() == {"crew": 4}


@given(
    st.dictionaries(st.sampled_from(["crew", "valid_days"]), st.integers(1, 50)),
    st.dictionaries(st.sampled_from(["crew", "valid_days", "deposit_pct"]), st.none() | st.integers(1, 50)),
    st.sampled_from(["# a = 1", "", "   "]),
)
def test_lines_of_terms_say_what_was_asked(before, changes, between):
    text = "".join(f"{k} = {v}\n{between}\n" for k, v in before.items())
    made = parse_own_terms(keeping_prices._with_terms(text, changes).encode())
    assert made == {k: v for k, v in (before | changes).items() if v is not None}
