"""The terms of a price as TOML: what is not said is the example's and is told; what cannot be is refused with its place."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import asdict, fields

from drainsketch.errors import JobFileError
from drainsketch.files.price_terms import keep_terms, parse_terms, shipped_terms_text, terms_in_use
from drainsketch.job.price_terms import CHOICES, COUNTS, NUMBERS, PriceTerms


def complaints(text: str) -> tuple[str, ...]:
    with pytest.raises(JobFileError) as fault:
        parse_terms(text.encode())
    return fault.value.complaints


def test_the_shipped_terms_are_marked_and_say_all_but_the_hour():
    assert shipped_terms_text().startswith("# EXAMPLE TERMS, all invented")
    found = parse_terms(shipped_terms_text().encode())
    assert found.examples == ()
    assert found.terms.worker_hour is None
    assert found.terms == parse_terms(b"").terms
    assert set(parse_terms(b"").examples) == {f.name for f in fields(PriceTerms)} - {"worker_hour"}


def test_every_term_has_its_bounds_and_a_name():
    assert {f.name for f in fields(PriceTerms)} == {*CHOICES, *COUNTS, *NUMBERS}


def test_what_is_said_is_taken_and_the_rest_is_told_as_examples():
    found = parse_terms(b'profit_as = "mark-up"\nprofit_pct = 33.33\ncrew = 3\nworker_hour = 41.5\n')
    assert (found.terms.profit_as, found.terms.profit_pct, found.terms.crew) == ("mark-up", Decimal("33.33"), 3)
    assert found.terms.worker_hour == Decimal("41.5")
    assert set(found.examples).isdisjoint({"profit_as", "profit_pct", "crew", "worker_hour"})
    assert "tax_pct" in found.examples


def test_numbers_are_exact():
    found = parse_terms(b"tax_pct = 8.875\noverhead_pct = 10\n").terms
    assert (found.tax_pct, found.overhead_pct) == (Decimal("8.875"), Decimal(10))
    assert all(not isinstance(value, float) for value in asdict(found).values())


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tax_pct = -1", "tax_pct: -1 is not from 0 to 30"),
        ("tax_pct = nan", "tax_pct: NaN is no number"),
        ("tax_pct = inf", "tax_pct: Infinity is no number"),
        ('tax_pct = "6"', "tax_pct: '6' is no number; write it without quotes"),
        ("tax_pct = true", "tax_pct: True is no number"),
        ("tax_pct = 1e99999", "tax_pct: 1E+99999 is not from 0 to 30"),
        ("tax_pct = 6.12345", "tax_pct: 6.12345 has more than 3 decimals"),
        ("tax_pc = 6", "tax_pc: unknown; did you mean tax_pct?"),
        ("crew = 0", "crew: 0 is not a whole number from 1 to 50"),
        ("crew = 2.5", "crew: 2.5 is not a whole number"),
        ("valid_days = 9999", "valid_days: 9999 is not a whole number from 1 to 365"),
        ('tool = "spoon"', "tool: 'spoon' is not one of hand, trencher, mini-excavator"),
        ("tool = []", "tool: [] is not one of"),
        ("round_to = 0", "round_to: 0 is not from 0.01 to 1000"),
        ("round_to = 0.005", "round_to: 0.005 is not from 0.01"),
        ("profit_pct = 20", "profit_pct: profit_as is missing beside it"),
        ('profit_as = "margin"', "profit_as: profit_pct is missing beside it"),
        ('profit_as = "margin"\nprofit_pct = 100', "profit_pct: 100 is no margin on the price; write at most 95"),
        ("[prices]\nx = 1", "prices: unknown"),
        ("tax_pct 6", "this is not TOML"),
        ("tax_pct = 6\ntax_pct = 7", "this is not TOML"),
    ],
)
def test_what_cannot_be_is_told_with_its_place(text, said):
    assert complaints(text)[0].startswith(said)


def test_a_mark_up_may_be_more_than_the_cost():
    assert parse_terms(b'profit_as = "mark-up"\nprofit_pct = 150').terms.profit_pct == Decimal(150)


@pytest.mark.parametrize("data", [b"\xff\xfe", b"x" * 200_000, b"[" * 50_000, b"crew = " + b"9" * 10_000])
def test_a_file_that_holds_no_terms_is_told_in_a_sentence(data):
    with pytest.raises(JobFileError) as fault:
        parse_terms(data)
    assert len(fault.value.complaints[0]) < 400


@given(st.binary(max_size=200))
def test_noise_is_a_sentence_or_terms(data):
    try:
        parse_terms(data)
    except JobFileError as fault:
        assert str(fault)


def test_your_own_terms_are_kept_as_they_are_written_once_they_read_well(tmp_path, own_home):
    assert terms_in_use().files == ()
    mine = tmp_path / "mine.toml"
    mine.write_text("# ours\ncrew = 4\n")
    assert keep_terms(mine).read_text() == "# ours\ncrew = 4\n"
    assert terms_in_use().terms.crew == 4
    mine.write_text("crew = 0\n")
    with pytest.raises(JobFileError, match=r"mine\.toml: crew: 0 is not"):
        keep_terms(mine)
    assert terms_in_use().terms.crew == 4
    with pytest.raises(JobFileError, match=r"gone\.toml: this file cannot be read"):
        terms_in_use(tmp_path / "gone.toml")
