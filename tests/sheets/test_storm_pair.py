"""The owner's before and after, read back from the PDF: its figures are the engine's, its water is as large as it says."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import shapely
from msgspec.structs import replace

from drainsketch.job.kinds import Units
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.look import WATER_SHADES
from drainsketch.review import analyse
from drainsketch.sheets.pair_page import WATERLINE
from drainsketch.study import Study, play, study
from drainsketch.water.storm.facts import Standing, standing_of
from drainsketch.water.storm.results import Storm
from tests.sheets.reading import least_type_pt, overlapping_text, written
from tests.test_review import SAMPLES, sample

TITLE, TITULO = "Your yard in the storm", "Su patio en la tormenta"
LAWN = sample("low-lawn")


@cache
def looked_at(units: Units = "ft-in") -> tuple[Job, Study, Storm]:
    job = replace(LAWN, header=replace(LAWN.header, units=units))
    closer = study(analyse(job))
    storm = play(closer)
    assert storm is not None
    return job, closer, storm


def sheets(tmp_path: Path, units: Units = "ft-in", **asked: Any) -> Any:
    job, closer, storm = looked_at(units)
    told = {"audience": "owner", "ground": closer.ground, "storm": closer.water, "played": storm, **asked}
    return written(job, tmp_path / "sheets.pdf", **told)


def pair_page(pdf: Any, title: str = TITLE) -> Any:
    (page,) = [p for p in pdf.pages if title in p.extract_text()]
    return page


def facts() -> tuple[Standing, Standing]:
    _, _, storm = looked_at()
    assert storm.before is not None
    return standing_of(storm.before), standing_of(storm.after)


def read(page: Any) -> str:
    return " ".join(page.extract_text().split())


def colored(things: list[dict[str, Any]], key: str, color: str) -> list[dict[str, Any]]:
    rgb = tuple(int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return [t for t in things if t[key] is not None and t[key] == pytest.approx(rgb, abs=0.003)]


def test_its_figures_are_those_of_the_playing(tmp_path: Path) -> None:
    """Two figures of areas and volumes, depth to half an inch; the rain is the table's: 2.56 in in 120 min, 10-year."""
    today, then = facts()
    with sheets(tmp_path) as pdf:
        assert pdf.pages.index(pair_page(pdf)) == 1  # after the plan
        text = read(pair_page(pdf))
    assert (
        "10-year, 2.56 in of rain in 2 h. Where the figures of the rain come from: Invented example, no real place."
        in text
    )
    said = re.search(
        r"Today, as figured: at the worst (\d+) sq ft .*?, (\d+) in at the deepest, ([\d,]+) gal in all\.", text
    )
    assert said is not None
    area, depth, gallons = (float(x.replace(",", "")) for x in said.groups())
    assert area == pytest.approx(today.area_ft2, rel=0.05)
    assert depth == pytest.approx(12 * today.depth_ft, abs=0.25)
    assert gallons == pytest.approx(today.gallons, rel=0.05)
    left = re.search(r"1 h after the rain, ([\d,]+) gal still stand\. That water has nowhere to run", text)
    assert left is not None
    assert float(left.group(1)) == pytest.approx(today.left_gallons, rel=0.05)
    drained = re.search(r"With the drains, as figured: at the worst (\d+) sq ft", text)
    assert drained is not None
    assert float(drained.group(1)) == pytest.approx(then.area_ft2, rel=0.05)
    assert f"Water stands for {then.stood_min:.0f} min in all, then it has run off." in text
    assert f"Today, 2 h {today.minute - 120:.0f} min after the rain begins" in text
    assert "It is no promise" in text and "Local rules and licensed people decide" in text


def test_both_plans_are_at_the_scale_it_says(tmp_path: Path) -> None:
    """The lot is 80 by 110 ft: at 1 in = n ft that is 5,760 / n by 7,920 / n points, twice."""
    with sheets(tmp_path) as pdf:
        page = pair_page(pdf)
        feet = float(re.search(r"Scale 1 in = (\d+) ft", page.extract_text()).group(1))  # type: ignore[union-attr]
        lots = [c for c in (*page.rects, *page.curves) if abs(c["width"] - 80 * 72 / feet) < 0.05 and c["height"] > 100]
        assert len(lots) == 2
        assert all(c["height"] == pytest.approx(110 * 72 / feet, abs=0.05) for c in lots)
        assert lots[0]["top"] == pytest.approx(lots[1]["top"])
        bar = [r for r in page.rects if r["height"] == pytest.approx(7.0) and r["width"] == pytest.approx(72.0)]
        assert len(bar) == 2


def test_the_water_drawn_is_as_large_as_the_words_say(tmp_path: Path) -> None:
    """What the waterlines of today's plan enclose, measured on paper, is the area of the facts; the outline runs between cell centers."""
    today, then = facts()
    with sheets(tmp_path) as pdf:
        page = pair_page(pdf)
        feet = float(re.search(r"Scale 1 in = (\d+) ft", page.extract_text()).group(1))  # type: ignore[union-attr]
        rings = colored(page.curves, "stroking_color", WATERLINE.stroke or "")
        areas = {True: 0.0, False: 0.0}
        for ring in rings:
            areas[ring["x0"] < page.width / 2] += shapely.Polygon(ring["pts"]).area * (feet / 72) ** 2
    assert areas[True] == pytest.approx(today.area_ft2, rel=0.05)
    assert areas[False] == pytest.approx(then.area_ft2, rel=0.6, abs=6)  # a strip hardly wider than a cell
    assert areas[False] < areas[True] / 10


def test_deeper_water_is_darker_and_the_legend_says_how_deep(tmp_path: Path) -> None:
    """Five inches at the deepest: three shades of the four, each on the plan and in the legend."""
    with sheets(tmp_path) as pdf:
        page = pair_page(pdf)
        text = page.extract_text()
        for shade, said in enumerate(("less than 1 in deep", "1 in to 3 in deep", "3 in to 6 in deep")):
            assert said in text
            _, color = WATER_SHADES[shade]
            assert len(colored([*page.rects, *page.curves], "non_stroking_color", color)) >= 2
        assert "more than 6 in" not in text


def test_pipe_and_basins_are_on_the_second_plan_only(tmp_path: Path) -> None:
    with sheets(tmp_path) as pdf:
        page = pair_page(pdf)
        left = page.crop((0, 0, page.width / 2, page.height / 2)).extract_text()
        right = page.crop((page.width / 2, 0, page.width, page.height / 2)).extract_text()
    for name in ("B1", "B2", "B3", "O1"):
        assert name in right and name not in left
    assert "House" in left and "House" in right
    assert "service" not in left + right


@pytest.mark.parametrize("paper", ["letter", "tabloid", "a4"])
@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("units", ["ft-in", "m"])
def test_nothing_overlaps_or_leaves_the_page(tmp_path: Path, paper: str, lang: str, units: Units) -> None:
    with sheets(tmp_path, units, paper=paper, lang=lang) as pdf:
        page = pair_page(pdf, TITLE if lang == "en" else TITULO)
        assert overlapping_text(page) == []
        assert least_type_pt(page) >= 8.99
        for thing in (*page.chars, *page.lines, *page.rects):
            assert thing["x0"] >= 26 and thing["x1"] <= page.width - 26
            assert thing["top"] >= 26 and thing["bottom"] <= page.height - 24
        if units == "m":
            assert " ft" not in page.extract_text() and "1:" in page.extract_text()


def test_spanish_says_it_all(tmp_path: Path) -> None:
    with sheets(tmp_path, lang="es") as pdf:
        text = read(pair_page(pdf, TITULO))
    for said in (
        "Hoy, según el cálculo",
        "Con los drenajes, según el cálculo",
        "No es una promesa",
        "profesionales con licencia",
    ):
        assert said in text


@pytest.mark.parametrize("audience", ["crew", "owner", "all"])
def test_it_is_in_the_owners_set_alone(tmp_path: Path, audience: str) -> None:
    with sheets(tmp_path, audience=audience) as pdf:
        told = [n for n, page in enumerate(pdf.pages) if TITLE in page.extract_text()]
        names = [title for _, title, *_ in pdf.doc.get_outlines()]
        assert (TITLE in names) == (audience != "crew") == bool(told)
        if audience == "all":
            assert "Owner's plan" in names[: names.index(TITLE)]


def test_without_rain_or_shots_or_pipe_there_is_no_page(tmp_path: Path) -> None:
    job, _, _ = looked_at()
    for other in (
        replace(job, rain=Rain()),
        replace(job, shots=()),
        replace(job, runs=(), structures=()),
    ):
        closer = study(analyse(other))
        told = {"audience": "owner", "ground": closer.ground, "played": play(closer)}
        with written(other, tmp_path / "none.pdf", **told) as pdf:
            assert not [p for p in pdf.pages if TITLE in p.extract_text()]


@pytest.mark.parametrize("name", [n for n in SAMPLES if n != "low-lawn"])
def test_a_yard_where_water_stands_nowhere_or_that_cannot_drain_has_no_page(tmp_path: Path, name: str) -> None:
    job = replace(sample(name), rain=LAWN.rain)
    closer = study(analyse(job))
    storm = play(closer)
    with written(job, tmp_path / "o.pdf", audience="owner", ground=closer.ground, played=storm) as pdf:
        shown = [p for p in pdf.pages if TITLE in p.extract_text()]
    assert storm is not None and storm.before is not None
    stands = standing_of(storm.before).area_ft2 > 0 or standing_of(storm.after).area_ft2 > 0
    assert bool(shown) == (stands and bool(storm.after.runs))


def test_an_even_rain_is_named_by_its_intensity_and_its_source(tmp_path: Path) -> None:
    """1.5 in/h for 2 h is 3.00 in."""
    job = replace(LAWN, rain=Rain(intensity_in_h=1.5, storm_min=120.0, source="The parish's drainage rules"))
    closer = study(analyse(job))
    with written(job, tmp_path / "o.pdf", audience="owner", ground=closer.ground, played=play(closer)) as pdf:
        text = read(pair_page(pdf))
    assert "1.50 in/h, 3.00 in of rain in 2 h" in text
    assert "The parish's drainage rules." in text
