"""Loads by room and by weight, whichever is full first; disposal and delivery."""

from decimal import Decimal
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.job.price_book import Lookup
from drainsketch.takeoff.price.hauling import delivery, disposal, loads
from drainsketch.takeoff.results import TakeoffLine
from tests.takeoff.price.books import bare, book_of

ROWS = (
    "haul_load,,,,load,90.00,,no,,mine,",
    "tip_ton,,,,ton,10.00,,no,,mine,",
    "delivery_stone,,,,load,70.00,,no,,mine,",
    "delivery_topsoil,,,,load,60.00,,no,,mine,",
    "delivery_goods,,,,each,50.00,,no,,mine,",
)


def line(item, quantity, unit, group="stone and soil", **params):
    return TakeoffLine(item, group, quantity, unit, item, "", tuple(params.items()), ("R1",))


@pytest.mark.parametrize(
    ("yd3", "tons", "truck_yd3", "truck_tons", "count"),
    [
        (12, 20, 10, 8, 3),  # weight: 20 / 8 = 2.5; room: 1.2
        (21, 10, 10, 8, 3),  # room: 2.1; weight: 1.25
        (10, 8, 10, 8, 1),
        (10.000001, 1, 10, 8, 2),
        (30 * (1 + 1e-12), 1, 10, 8, 3),  # a hair over is no other load
        (0, 0, 10, 8, 0),
    ],
)
def test_loads(yd3, tons, truck_yd3, truck_tons, count):
    assert loads(yd3, tons, truck_yd3, truck_tons) == count


@given(st.floats(0.01, 1e4), st.floats(0.01, 1e4), st.floats(0.1, 100), st.floats(0.1, 100))
def test_that_many_loads_carry_it_and_one_less_does_not(yd3, tons, truck_yd3, truck_tons):
    count = loads(yd3, tons, truck_yd3, truck_tons)
    assert count * truck_yd3 >= yd3 * (1 - 1e-6)
    assert count * truck_tons >= tons * (1 - 1e-6)
    assert (count - 1) * truck_yd3 < yd3 or (count - 1) * truck_tons < tons


@pytest.mark.parametrize("wrong", [(-1, 1, 1, 1), (inf, 1, 1, 1), (nan, 1, 1, 1), (1, 1, 0, 1), (1, 1, 1, nan)])
def test_nonsense_is_refused(wrong):
    with pytest.raises(ValueError, match="must be"):
        loads(*wrong)


def test_spoil_is_hauled_by_what_governs_and_dumped_by_the_ton():
    # 8 yd3 in the bank, 10 loose; at 1.5 tons a bank yard 12 tons. Truck of 5 yd3 and 4 tons: room 2 loads, weight 3.
    counted = [line("spoil_bank", 8.0, "yd3"), line("spoil_loose", 10.0, "yd3")]
    terms = bare(truck_yd3="5", truck_tons="4", spoil_tons_per_yd3="1.5")
    haul, tip = disposal(counted, Lookup(book_of(*ROWS)), terms)
    assert (haul.quantity, haul.amount, tip.quantity, tip.amount) == (
        Decimal(3),
        Decimal(270),
        Decimal(12),
        Decimal(120),
    )
    assert "weight governs" in haul.arithmetic
    roomy = disposal(counted, Lookup(book_of(*ROWS)), bare(truck_yd3="4", truck_tons="6", spoil_tons_per_yd3="1.5"))[0]
    assert (roomy.quantity, "room governs" in roomy.arithmetic) == (Decimal(3), True)


def test_without_spoil_nothing_is_hauled():
    assert disposal([line("stone_drain", 1.0, "ton", volume_yd3=1.0)], Lookup(book_of(*ROWS)), bare()) == []


def test_stone_topsoil_and_goods_are_delivered():
    counted = [
        line("stone_drain", 6.0, "ton", volume_yd3=4.44),
        line("stone_basin", 1.0, "ton", volume_yd3=0.74),
        line("stone_dry_well", 0.5, "ton", volume_yd3=0.37),
        line("topsoil_cap", 6.0, "yd3", cap_in=4.0),
        line("end_cap", 1.0, "each", group="fittings"),
    ]
    terms = bare(truck_yd3="5", truck_tons="6", spoil_tons_per_yd3="1")
    stone, soil, goods = delivery(counted, Lookup(book_of(*ROWS)), terms)
    assert (stone.quantity, soil.quantity, goods.quantity) == (
        Decimal(2),
        Decimal(2),
        Decimal(1),
    )  # 7.5 / 6 tons; 6 / 5 yd3
    assert [x.amount for x in (stone, soil, goods)] == [Decimal(140), Decimal(120), Decimal(50)]
