"""The price of a job with what is different about it: its own prices, terms and lines, worked by hand."""

from decimal import Decimal

import msgspec
import pytest
from msgspec.structs import replace

from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.model import Job
from drainsketch.job.price_book import Lookup, PriceBook
from drainsketch.job.prices import Prices
from drainsketch.job.pricing import Extra, PriceChange, Pricing, TermChanges
from drainsketch.pricing import job_book, job_terms, price_of, priced_here
from drainsketch.review import analyse
from tests.takeoff.price.books import bare, book_of, example_book, terms_of
from tests.test_review import sample

LOT = sample("corner-lot")


def made(pricing: Pricing, job: Job = LOT, **terms: object):
    prices = Prices(example_book(), bare(**terms))
    return price_of(analyse(replace(job, pricing=pricing)), prices)


def line(price, item):
    (found,) = [x for x in price.lines if x.item == item]
    return found


def test_a_price_of_this_job_alone_changes_its_line_by_just_that_much():
    plain = made(Pricing())
    changed = made(Pricing(changes=(PriceChange(item="tip_ton", price=20.0),)))
    before, after = line(plain, "tip_ton"), line(changed, "tip_ton")
    assert (before.source, after.source) == ("example", "this job")
    # the example's dump fee is 14.00 a ton
    assert before.unit_price == Decimal("14.00")
    assert after.amount == (before.quantity * 20).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert changed.total - plain.total == after.amount - before.amount
    assert changed.unused == ()


def test_a_float_of_the_job_file_is_taken_as_it_is_written():
    row = Lookup(job_book(example_book(), (PriceChange(item="tip_ton", price=0.1 + 0.2),))).row(("tip_ton", "", "", ""))
    assert row.price == Decimal("0.30")
    terms, own = job_terms(terms_of(), TermChanges(tax_pct=8.875, worker_hour=41.005, crew=3))
    assert (terms.tax_pct, terms.worker_hour, terms.crew) == (Decimal("8.875"), Decimal("41.01"), 3)
    assert set(own) == {"tax_pct", "worker_hour", "crew"}


def test_a_change_replaces_the_row_it_names_and_beats_the_invented_ones_that_say_more():
    general = job_book(example_book(), (PriceChange(item="bend", price=3.0),))
    assert Lookup(general).row(("bend", "sdr35", "4", "45")).price == 3
    exact = job_book(
        book_of("bend,sdr35,4,,each,5.00,,yes,,yard,"),
        (PriceChange(item="bend", of="sdr35", size_in="4", second="45", price=6.0),),
    )
    assert [Lookup(exact).row(("bend", "sdr35", "4", angle)).price for angle in ("45", "22.5")] == [6, 5]
    assert Lookup(exact).row(("bend", "sdr35", "4", "45")).taxed  # as the row that fitted before


def test_a_change_that_says_only_taxed_leaves_an_invented_price_invented():
    book = job_book(example_book(), (PriceChange(item="tip_ton", taxed=True),))
    row = Lookup(book).row(("tip_ton", "", "", ""))
    assert (row.price, row.taxed, row.whose) == (Decimal("14.00"), True, "example")
    own = job_book(book_of("tip_ton,,,,ton,9.00,,no,,dump,"), (PriceChange(item="tip_ton", taxed=True),))
    assert own.rows[0].whose == "yours"


def test_a_rate_of_this_job_alone():
    plain, slow = made(Pricing()), made(Pricing(changes=(PriceChange(item="lay_pipe", per_hour=5.0),)))
    feet = sum(x.quantity for x in analyse(LOT).takeoff if x.item in ("pipe_drain", "pipe_solid"))
    assert line(slow, "lay_pipe").quantity == round(Decimal(feet / 5), 2)
    assert line(slow, "lay_pipe").quantity > line(plain, "lay_pipe").quantity
    assert line(slow, "lay_pipe").source == "example"  # the hour of a worker still is


def test_the_hour_of_a_worker_of_this_job_goes_before_the_terms_of_all_jobs():
    change = PriceChange(item="worker_hour", price=50.0)
    assert line(made(Pricing(changes=(change,)), worker_hour="44"), "lay_pipe").unit_price == 50
    here = Pricing(changes=(change,), terms=TermChanges(worker_hour=60.0))
    assert line(made(here, worker_hour="44"), "lay_pipe").unit_price == 60
    assert line(made(Pricing(), worker_hour="44"), "lay_pipe").unit_price == 44


def test_terms_of_this_job_are_no_examples():
    prices = Prices(example_book(), terms_of(), ("tax_pct", "crew"))
    here = priced_here(prices, Pricing(terms=TermChanges(tax_pct=0.0)))
    assert (here.example_terms, here.terms.tax_pct) == (("crew",), 0)


def test_extras_by_hand():
    # 2 x 125.00 + 0.5 x 90.00 = 295.00, of it 45.00 taxed; 10 % overhead = 324.50; margin 20 %: 324.50 / 0.8 = 405.63
    extras = (
        Extra("Permit", quantity=2.0, price=125.0),
        Extra("Stump", quantity=0.5, unit="day", price=90.0, taxed=True),
    )
    price = made(
        Pricing(extras=extras),
        Job(),
        overhead_pct="10",
        profit_as="margin",
        profit_pct="20",
        tax_pct="8",
        tax_on="cost",
    )
    # the example's least price of a job is 950.00: 544.37 are missing; tax 45.00 x 8 % = 3.60
    steps = {s.key: s.amount for s in price.steps}
    assert [x.amount for x in price.lines] == [Decimal("250.00"), Decimal("45.00")]
    assert (steps["direct"], steps["cost"], steps["profit"]) == (Decimal("295.00"), Decimal("324.50"), Decimal("81.13"))
    assert (steps["minimum"], steps["tax"], price.total) == (Decimal("544.37"), Decimal("3.60"), Decimal("953.60"))
    assert {x.group for x in price.lines} == {"extras"}
    assert [x.arithmetic for x in price.lines] == ["2 x $125.00 = $250.00", "0.5 day x $90.00 = $45.00"]
    assert price.of_group("extras") == price.lines


def test_an_extra_without_a_price_is_a_finding_and_never_free():
    price = made(Pricing(extras=(Extra("Permit"), Extra("Flowers", price=0.0))))
    (said,) = price.findings
    assert (said.kind, said.level) == ("no_extra_price", "settle")
    assert not price.complete
    assert price.deposit is None
    assert line(replace(price, lines=price.lines[-1:]), "extra").amount == 0


def test_a_small_quantity_is_not_rounded_to_nothing():
    price = made(Pricing(extras=(Extra("Ore", quantity=0.004, price=1000.0),)), Job())
    assert (price.lines[0].quantity, price.lines[0].amount) == (Decimal("0.004"), Decimal("4.00"))


def test_a_change_that_no_line_goes_by_is_told():
    changes = (PriceChange(item="grate", size_in="24", price=1.0), PriceChange(item="tip_ton", price=1.0))
    assert made(Pricing(changes=changes)).unused == changes[:1]
    odd = (PriceChange(item="sofa", price=1.0), PriceChange(item="bend", of="pvc", price=1.0))
    assert made(Pricing(changes=odd)).unused == odd


def test_the_least_price_of_this_job_counts_as_used():
    price = made(Pricing(changes=(PriceChange(item="minimum_job", price=90_000.0),)))
    assert (price.total, price.unused) == (Decimal(90_000), ())


def test_all_of_it_goes_through_the_job_file():
    pricing = Pricing(
        changes=(
            PriceChange(item="tip_ton", price=20.07),
            PriceChange(item="dig_hand", of="loam", second="2", per_hour=0.55),
        ),
        terms=TermChanges(profit_as="margin", profit_pct=33.3, soil="clay"),
        extras=(Extra("Permit", price=125.0), Extra("Wait", quantity=1.5, unit="day", taxed=True)),
    )
    job = replace(LOT, pricing=pricing)
    back = parse_job(job_text(job).encode())
    assert back.pricing == pricing
    prices = Prices(example_book(), terms_of())
    assert msgspec.json.encode(price_of(analyse(back), prices)) == msgspec.json.encode(price_of(analyse(job), prices))


@pytest.mark.parametrize("cells", [{"item": "tip_ton"}, {"item": "bend", "of": "sdr35"}])
def test_a_change_without_a_figure_changes_nothing(cells):
    empty = Pricing(changes=(PriceChange(**cells),))
    assert made(empty).total == made(Pricing()).total


def test_a_change_is_a_row_of_an_empty_book():
    book = job_book(PriceBook(()), (PriceChange(item="tip_ton", price=3.0),))
    assert (book.rows[0].unit, book.rows[0].group, book.rows[0].taxed) == ("ton", "disposal", False)
