"""Edits of the price of a job: its own figures, its terms, its added lines."""

import pytest

from drainsketch.errors import EditError
from drainsketch.job.edits.pricing import (
    add_extra,
    change_extra,
    change_price,
    change_terms,
    remove_extra,
    take_back_price,
)
from drainsketch.job.model import Job
from drainsketch.job.price_book import WORKER
from drainsketch.job.pricing import Extra, PriceChange, Pricing

TIP, GRATE = ("tip_ton", "", "", ""), ("grate", "", "12", "")


def test_a_price_of_a_job_stands_once_and_is_taken_back():
    job = change_price(change_price(Job(), TIP, price=20.0), GRATE, price=9.0)
    job = change_price(job, TIP, price=21.5)
    assert job.pricing.changes == (
        PriceChange(item="tip_ton", price=21.5),
        PriceChange(item="grate", size_in="12", price=9.0),
    )
    assert take_back_price(job, TIP).pricing.changes == (PriceChange(item="grate", size_in="12", price=9.0),)
    assert take_back_price(job, TIP, GRATE) == Job()
    assert take_back_price(Job(), TIP) == Job()


def test_what_is_not_given_stays():
    job = change_price(change_price(Job(), TIP, taxed=True), TIP, price=3.0)
    assert job.pricing.changes == (PriceChange(item="tip_ton", price=3.0, taxed=True),)


def test_an_hour_of_a_worker_stands_in_one_place_alone():
    job = change_price(change_terms(Job(), worker_hour=44.0), WORKER, price=50.0)
    assert job.pricing == Pricing(changes=(PriceChange(item="worker_hour", price=50.0),))
    assert take_back_price(change_terms(Job(), worker_hour=44.0), WORKER) == Job()


@pytest.mark.parametrize("figures", [{"price": -1.0}, {"price": 2e6}, {"price": float("nan")}, {"per_hour": 0.0}])
def test_a_figure_out_of_its_bounds_is_refused(figures):
    with pytest.raises(EditError, match=r"pricing\.changes"):
        change_price(Job(), TIP, **figures)


def test_terms_of_a_job():
    job = change_terms(Job(), profit_as="margin", profit_pct=25.0)
    assert job.pricing.terms.profit_pct == 25
    assert change_terms(job, profit_as=None, profit_pct=None) == Job()
    with pytest.raises(EditError, match="profit_as"):
        change_terms(Job(), profit_pct=25.0)
    with pytest.raises(EditError, match="margin"):
        change_terms(Job(), profit_as="margin", profit_pct=99.0)


def test_added_lines():
    job = add_extra(add_extra(Job(), Extra("Permit", price=125.0)), Extra("Stump"))
    job = change_extra(job, 1, price=90.0, quantity=2.0)
    assert job.pricing.extras == (Extra("Permit", price=125.0), Extra("Stump", quantity=2.0, price=90.0))
    assert remove_extra(job, 0).pricing.extras == (Extra("Stump", quantity=2.0, price=90.0),)
    with pytest.raises(EditError, match="no such line"):
        change_extra(job, 2, price=1.0)
    with pytest.raises(EditError):
        add_extra(Job(), Extra(""))
