"""Materials: which row of the price book prices a takeoff line, and that none is left unpriced."""

from decimal import Decimal
from itertools import permutations
from typing import get_args

import pytest

from drainsketch.job.basins import shipped_stock
from drainsketch.job.kinds import PipeDiameter, PipeKind
from drainsketch.job.pipes import pipe_size
from drainsketch.job.price_book import Lookup, items
from drainsketch.resources import table
from drainsketch.takeoff.price.materials import HELD_BY, materials
from drainsketch.takeoff.results import TakeoffLine
from tests.takeoff.price.books import book_of, example_book

PIPES = [(pipe, size) for pipe in get_args(PipeKind) for size in get_args(PipeDiameter)]
ANY_PIPE = (
    *("coupling", "end_cap", "basin_opening", "cleanout_head", "cleanout_inline", "cleanout_upright"),
    *("downspout_head", "downspout_inline", "downspout_upright", "outlet_daylight", "outlet_pop_up"),
    *("outlet_tie_in", "outlet_curb", "outlet_dry_well"),
)


def line(item, quantity=3.0, unit="", **params):
    return TakeoffLine(item, "", quantity, unit or items()[item].unit, item, "", tuple(params.items()))


def every_line():
    """Return a line of every item that the takeoff can count, in every size."""
    for pipe, size in PIPES:
        known = {"pipe": pipe, "diameter_in": size}
        stock = pipe_size(pipe, size)
        shape = "coils" if stock.flexible else "sticks"
        for use in ("drain", "solid"):
            yield line(f"{shape}_{use}", **known, stock_ft=stock.stock_ft)
        for item in ANY_PIPE:
            yield line(item, **known)
        for angle in table("catalogue/stock.toml")["bends"]["angles_deg"]:
            yield line("bend", **known, angle_deg=angle)
        for small in (s for s in get_args(PipeDiameter) if s <= size):
            yield line("wye", **known, branch_in=small)
            yield line("tee", **known, branch_in=small)
            if small < size:
                yield line("reducer", **known, small_in=small)
    for size in get_args(PipeDiameter):
        yield line("sock", diameter_in=size)
        for pipe, other in permutations(get_args(PipeKind), 2):
            yield line("adapter", pipe=pipe, to_pipe=other, diameter_in=size)
    for body in shipped_stock():
        yield line("basin_body", size_in=body.size_in)
        yield line("grate", size_in=body.size_in)
        for height in body.risers_in:
            yield line("riser", size_in=body.size_in, height_in=height)
    yield line("stone_drain", volume_yd3=3.0, tons_per_yd3=1.35)
    yield line("stone_basin", volume_yd3=3.0, tons_per_yd3=1.35)
    heavy = ("stone_dry_well", "stone_solid", "base_course", "splash_stone", "asphalt_patch", "gravel_surface")
    yield from (line(item, volume_yd3=3.0, tons_per_yd3=1.35) for item in heavy)
    for item in (
        *("fabric", "marking_tape", "grate_screw", "sod", "lawn_seed", "straw", "mulch", "concrete_patch"),
        *("pavers_relaid", "paver_sand", "paving_unknown", "paving_rubble"),
    ):
        yield line(item)
    yield line("topsoil_cap", cap_in=4.0)


def test_every_item_of_the_takeoff_is_bought_or_held_by_another_line():
    counted = set(table("translations/en/takeoff.toml")["item"])
    assert counted == {x.item for x in every_line()} | set(HELD_BY) | {"pipe_drain", "pipe_solid"}
    assert counted - set(HELD_BY) <= set(items())


def test_the_example_book_prices_every_size_of_every_item():
    lines, covered = materials(list(every_line()), Lookup(example_book()))
    assert [x for x in lines if x.amount is None] == []
    assert covered == []
    assert {x.source for x in lines} == {"example"}


def test_every_item_of_the_catalogue_stands_in_the_example_book():
    assert {r.item for r in example_book().rows} == set(items()) - {"pipe_drain", "pipe_solid"}


def test_the_example_book_says_so_at_its_head_and_in_every_row():
    book = example_book()
    assert "EXAMPLE" in book.notes[0]
    assert "invented" in book.notes[0]
    assert {r.source for r in book.rows} == {"example"}
    assert all(r.name for r in book.rows)


BENDS = (
    "bend,sdr35,4,45,each,1.00,,yes,,mine,",
    "bend,sdr35,4,,each,2.00,,yes,,mine,",
    "bend,sdr35,,45,each,3.00,,yes,,mine,",
    "bend,,4,45,each,4.00,,yes,,mine,",
    "bend,,,,each,5.00,,yes,,mine,",
)


@pytest.mark.parametrize("missing", range(5))
def test_the_row_that_says_more_goes_first(missing):
    book = Lookup(book_of(*BENDS[missing:]))
    (found,), _ = materials([line("bend", pipe="sdr35", diameter_in=4, angle_deg=45.0)], book)
    assert found.unit_price == Decimal(missing + 1)


def test_a_row_for_another_size_prices_nothing():
    (found,), _ = materials([line("bend", pipe="sdr35", diameter_in=6, angle_deg=22.5)], Lookup(book_of(BENDS[0])))
    assert (found.amount, found.why, found.asks) == (None, "no_row", "bend, of sdr35, size_in 6, second 22.5")


def test_a_row_without_a_price_is_no_price_and_zero_is_one():
    for cell, amount, why in (("", None, "no_figure"), ("0.00", Decimal(0), "")):
        (found,), _ = materials(
            [line("end_cap", pipe="sch40", diameter_in=4)], Lookup(book_of(f"end_cap,,,,each,{cell},,no,,mine,"))
        )
        assert (found.amount, found.why) == (amount, why)


def test_pipe_is_priced_once_by_the_stick_or_where_there_is_a_price_by_the_foot():
    pipe = {"pipe": "sdr35", "diameter_in": 4}
    counted = [line("pipe_solid", 50.5, **pipe), line("sticks_solid", 4, **pipe, stock_ft=14.0)]
    sticks, foot = "sticks_solid,sdr35,4,14,each,16.00,,yes,,mine,", "pipe_solid,sdr35,4,,ft,1.20,,yes,,mine,"
    (bought,), (held,) = materials(counted, Lookup(book_of(sticks)))
    assert (bought.item, bought.amount, held.item) == ("sticks_solid", Decimal(64), "pipe_solid")
    (bought,), (held,) = materials(counted, Lookup(book_of(sticks, foot)))
    assert (bought.item, bought.amount, held.item) == ("pipe_solid", Decimal("60.60"), "sticks_solid")
    (missing,), _ = materials(counted, Lookup(book_of(BENDS[0])))
    assert (missing.item, missing.amount) == ("sticks_solid", None)
