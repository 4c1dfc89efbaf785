"""What the owner reads is what the price charges: every kind of line with money in it is said, in words or in the quantities."""

import re
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Heap, Job
from drainsketch.job.price_book import items
from drainsketch.job.pricing import Extra, Pricing
from drainsketch.job.sections import Sections
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.owner import owner_quantities, work_in_words
from drainsketch.sheets.owner_goods import Goods
from drainsketch.wording import Words
from tests.sheets.offers import contents_of, opened, own_prices, words_of
from tests.test_review import SAMPLES, sample

# what an owner has to read where a line of this kind has money in it, said by hand and not by the program
READS = {
    r"pipe_.*|sticks_.*|coils_.*|dig_.*|lay_pipe": r"pipe \(.*is laid",
    r"sock": "filter sock",
    r"bend|wye|tee|reducer|adapter|coupling|end_cap|basin_opening": "bends, branches and couplings",
    r"basin_body|set_basin": "Catch basins set|Basin, ",
    r"grate|riser|grate_screw": "grates and the risers",
    r"cleanout_upright|downspout_upright": "upright pipe",
    r"cleanout_.*": "Cleanouts, so that",
    r"downspout_.*": "Downspouts connected",
    r"outlet_.*|set_piece": "The water leaves at|Cleanouts|Downspouts connected",
    r"stone_drain": "in washed stone",
    r"stone_solid": "Solid pipe lies in stone",
    r"stone_basin": "a bed of stone",
    r"stone_dry_well": "filled with stone",
    r"splash_stone": "an apron of stone",
    r"place_stone": "stone",
    r"topsoil_cap|spread_topsoil": "goes topsoil",
    r"fabric|lay_fabric": "filter fabric",
    r"marking_tape": "marking tape",
    r"base_course|place_base": "a base course of crushed stone",
    r"sod|lay_sod": "gets new sod",
    r"lawn_seed|straw|seed_lawn": "is seeded and covered with straw",
    r"mulch|spread_mulch": "the mulch is put back",
    r"saw_cutting|break_out|paving_rubble": "is sawn, broken out and hauled off",
    r"asphalt_patch|patch_asphalt": "a patch of asphalt",
    r"concrete_patch|patch_concrete": "a patch of concrete",
    r"pavers_relaid|paver_sand|relay_pavers": "laid again in new sand",
    r"gravel_surface|spread_gravel": "with new gravel",
    r"paving_unknown": "is cut open and put back",
    r"spread_spoil": "Soil that was dug out is spread",
    r"backfill": "backfilled",
    r"trencher_day|mini_excavator_day": "the digging machine",
    r"haul_load|tip_ton": "hauled off and dump fees",
    r"delivery_.*": "deliveries",
    r"extra": "Permit of the town",
    r"worker_hour|minimum_.*": "",  # an hour is in the lines of labor; the least price is in the total
}
PAVED = ("asphalt", "concrete", "brick", "gravel", "drive-or-walk")


def reads(item: str) -> str:
    """Return what is to be read of a kind of line."""
    return next(said for kinds, said in READS.items() if re.fullmatch(kinds, item))


@cache
def yard(paved: str) -> Job:
    """Return the corner lot with paving of a kind, a fill area, stone and fabric in the trenches and a line added by hand."""
    job = sample("corner-lot")
    obstacles = tuple(replace(o, surface=paved) if o.kind == "hardscape" else o for o in job.obstacles)
    fill = Heap("heap-1", "fill area", ((80.0, 90.0), (100.0, 90.0), (100.0, 96.0), (80.0, 96.0)), 3.0, "Low corner")
    sections = Sections(
        solid_bed_in=4.0, fabric="round the stone", lawn="sod" if paved == "brick" else "seed and straw"
    )
    extras = Pricing(extras=(Extra(name="Permit of the town", price=90.0),))
    return replace(job, obstacles=obstacles, heaps=(fill,), sections=sections, pricing=extras)


def said_of(contents: Contents, lang: str = "en") -> str:
    """Return what is done and the quantities, as one text."""
    words = Words.of(contents.job, lang, with_ids=False)
    done = work_in_words(contents.job, contents.review, words, contents.storm, contents.played, contents.price)
    return " ".join((*done, *(row[0] for row in owner_quantities(contents.review, words).rows)))


def test_no_kind_of_line_that_may_be_priced_is_forgotten() -> None:
    for item in items():
        reads(item)


@pytest.mark.parametrize("paved", PAVED)
def test_every_line_with_money_in_it_is_said(paved: str, tmp_path: Path) -> None:
    contents = contents_of(yard(paved), own_prices(tmp_path))
    text = said_of(contents)
    charged = {line.item for line in contents.price.lines if line.amount}
    assert {"extra", "spread_spoil", "base_course", "stone_solid", "fabric", "splash_stone"} <= charged
    for item in charged:
        assert re.search(reads(item), text), item


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_says_what_its_price_charges(name: str, tmp_path: Path) -> None:
    contents = contents_of(sample(name), own_prices(tmp_path))
    text = said_of(contents)
    for line in contents.price.lines:
        if line.amount:
            assert re.search(reads(line.item), text), line.item


def test_soil_spread_is_area_times_depth_and_stands_in_the_letter(tmp_path: Path) -> None:
    """20 ft by 6 ft, 3 in deep: 120 sq ft x 0.25 ft / 27 = 1.1 cu yd; the corner lot has more soil left over than that."""
    with opened(contents_of(yard("gravel"), own_prices(tmp_path)), tmp_path / "o.pdf") as pdf:
        text = words_of(pdf)
    assert "spread at the place named Low corner, over about 120 sq ft, 3 in deep: 1.1 cu yd in all" in text
    assert "Ground raised by about 3 in at the place named Low corner" in text
    assert "Patches where the trench went through paving: Driveway, Front walk" in text


@pytest.mark.parametrize("lang", ["en", "es"])
def test_paving_of_unknown_make_is_named_with_what_the_price_holds_for_it(lang: str, tmp_path: Path) -> None:
    """Its share of the price before tax is that of its line in the direct cost."""
    contents = contents_of(sample("corner-lot"), own_prices(tmp_path))
    price = contents.price
    (line,) = (line for line in price.lines if line.item == "paving_unknown")
    share = price.step("sale").amount * line.amount / price.step("direct").amount
    with opened(contents, tmp_path / "o.pdf", lang=lang) as pdf:
        text = words_of(pdf)
    assert f"${share:,.2f}" in text
    assert "Driveway, Front walk" in text
    words = Words.of(contents.job, lang, with_ids=False)
    assert Goods(contents.review, words).unknown() in text
    told = " ".join(words.sentence(f) for f in contents.review.findings if f.kind == "paving_unknown")
    assert ("one rate of the price book" if lang == "en" else "una sola tarifa del libro de precios") in told


def test_lawn_left_to_the_owner_is_said_to_be_out_of_the_price(tmp_path: Path) -> None:
    job = replace(sample("low-lawn"), sections=Sections(lawn="left to the owner"))
    contents = contents_of(job, own_prices(tmp_path))
    assert not {"sod", "lawn_seed", "straw"} & {line.item for line in contents.price.lines}
    assert "seed and sod are not in the price" in said_of(contents)


def test_a_metric_length_is_rounded_once(tmp_path: Path) -> None:
    """18.05 ft of drain are 5.50 m; 18 ft would be 5.49 m."""
    job = sample("low-lawn")
    metric = replace(job, header=replace(job.header, units="m"))
    text = said_of(contents_of(metric, None))
    assert "5.50 m of" in text
    assert "5.49" not in text
