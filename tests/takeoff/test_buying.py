"""Waste and rounding up, by hand."""

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.sections import Goods, WasteRule
from drainsketch.resources import table
from drainsketch.takeoff.buying import BY_LENGTH, NOT_BOUGHT, STOCK, buyings, rounded_up, waste_pct, with_purchases
from drainsketch.takeoff.price.materials import HELD_BY
from drainsketch.takeoff.results import TakeoffLine


def line(item: str, quantity: float, unit: str) -> TakeoffLine:
    return TakeoffLine(item, "", quantity, unit, item, "")


def bought(*lines: TakeoffLine, **waste: float) -> list[tuple[float | None, str, float, float]]:
    job = Job(waste=tuple(WasteRule(goods.replace("_", " "), pct) for goods, pct in waste.items()))
    return [(x.buy, x.buy_unit, x.buy_each, x.waste_pct) for x in with_purchases(lines, job)]


@pytest.mark.parametrize(
    ("amount", "step", "up"),
    [(5.14, 0.5, 5.5), (5.5, 0.5, 5.5), (5.5 + 1e-12, 0.5, 5.5), (0.01, 0.25, 0.25), (0, 1, 0)],
)
def test_rounded_up(amount, step, up):
    assert rounded_up(amount, step) == up


def test_stone_goes_by_the_half_ton_with_a_tenth_more():
    # 4.67 x 1.1 = 5.137: 5.5 tons
    assert bought(line("stone_drain", 4.67, "ton")) == [(5.5, "ton", 1.0, 10.0)]


def test_stone_of_several_lines_comes_on_one_truck():
    # 4.4 + 0.11 + 0.55 = 5.06: 5.5 tons; the small lines to the hundredth, the largest has what is left
    rows = bought(line("stone_drain", 4.0, "ton"), line("stone_basin", 0.1, "ton"), line("stone_dry_well", 0.5, "ton"))
    assert [buy for buy, *_ in rows] == [4.84, 0.11, 0.55]


def test_sod_goes_by_the_roll():
    # 380.4 x 1.1 = 418.44 ft2: 42 rolls of 10
    assert bought(line("sod", 380.4, "ft2")) == [(42.0, "roll", 10.0, 10.0)]
    (made,) = with_purchases([line("sod", 380.4, "ft2")], Job())
    assert made.bought == 420.0


def test_what_the_job_says_of_waste_goes_first():
    assert bought(line("topsoil_cap", 2.0, "yd3")) == [(2.5, "yd3", 1.0, 20.0)]  # 2.4
    assert bought(line("topsoil_cap", 2.0, "yd3"), topsoil=30.0) == [(3.0, "yd3", 1.0, 30.0)]  # 2.6
    assert bought(line("topsoil_cap", 2.0, "yd3"), topsoil=0.0) == [(2.0, "yd3", 1.0, 0.0)]


def test_of_pavers_only_what_breaks_is_bought():
    # 5 % of 90.5 ft2 = 4.525
    assert bought(line("pavers_relaid", 90.5, "ft2")) == [(5.0, "ft2", 1.0, 5.0)]
    assert bought(line("pavers_relaid", 90.5, "ft2"), pavers=0.0) == [(0.0, "ft2", 1.0, 0.0)]


def test_pieces_are_bought_as_counted_and_earth_is_not():
    assert bought(line("grate", 3.0, "each")) == [(3.0, "each", 1.0, 0.0)]
    assert bought(line("trench_drain", 3.0, "yd3")) == [(None, "", 1.0, 0.0)]


def test_pipe_is_bought_by_its_sticks_and_says_its_waste():
    assert bought(line("pipe_solid", 50.0, "ft"), line("sticks_solid", 3.0, "each")) == [
        (None, "", 1.0, 5.0),
        (3.0, "each", 1.0, 5.0),
    ]


def test_every_goods_has_its_way_of_buying_and_says_where_it_comes_from():
    assert set(buyings()) == set(Goods.__args__)
    for goods, buying in buyings().items():
        assert 0 <= buying.waste_pct <= 100, goods
        assert "common practice" in buying.source, goods
        assert waste_pct(Job(), goods) == buying.waste_pct


def test_every_line_is_bought_somehow_or_named_as_not_bought():
    items = set(table("translations/en/takeoff.toml")["item"])
    held = {item for buying in buyings().values() for item in buying.items}
    assert held | set(NOT_BOUGHT) | set(STOCK) | set(BY_LENGTH) <= items
    # what the price book holds to be no material is not bought either, and the other way round; rubble is disposal
    assert set(NOT_BOUGHT) - set(HELD_BY) == {"paving_rubble", "paving_unknown"}
    assert set(HELD_BY) <= set(NOT_BOUGHT)


def test_what_is_bought_is_never_less_than_is_needed():
    for item in ("stone_drain", "topsoil_cap", "fabric", "marking_tape", "mulch"):
        for quantity in (0.01, 1.0, 7.77, 1234.5):
            (made,) = with_purchases([line(item, quantity, "")], Job())
            assert made.bought >= quantity * (1 + made.waste_pct / 100) - 1e-9
            assert made.bought - quantity * (1 + made.waste_pct / 100) < made.buy_each


def test_the_same_lines_twice_are_the_same():
    lines = with_purchases([line("stone_drain", 4.0, "ton"), line("sod", 12.0, "ft2")], Job())
    assert with_purchases([replace(x, buy=None, waste_pct=0.0) for x in lines], Job()) == lines
