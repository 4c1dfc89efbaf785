"""The plan of the storm in the crew's set, read back from the PDF: its words, its scale, what it leaves out."""

import re
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from drainsketch.look import STYLES
from drainsketch.review import analyse
from drainsketch.sheets.pages import pages_of
from drainsketch.study import study
from tests.sheets.reading import least_type_pt, overlapping_text, written
from tests.sheets.test_storm_tables import yard
from tests.test_review import sample
from tests.water.test_escapes import line


def sheets(job: Job, tmp_path: Path, audience: str = "crew", **asked: Any) -> Any:
    closer = study(analyse(job))
    others = [
        page.key for page in pages_of(audience) if not page.stays and page.key not in ("plan", "storm-plan", "storm")
    ]
    told = {"ground": closer.ground, "storm": closer.water, "audience": audience, "leave_out": others}
    return written(job, tmp_path / "plan.pdf", **told, **asked)


def storm_pages(pdf: Any, title: str = "Storm plan") -> list[Any]:
    """Return the pages of the storm plan: several where the yard is drawn in parts."""
    return [p for p in pdf.pages if title in p.extract_text()]


def storm_page(pdf: Any, title: str = "Storm plan") -> Any:
    (page,) = storm_pages(pdf, title)
    return page


def rgb(style: str) -> tuple[float, ...]:
    stroke = STYLES[style].stroke or ""
    return tuple(int(stroke[i : i + 2], 16) / 255 for i in (1, 3, 5))


def inked(page: Any, style: str) -> list[dict[str, Any]]:
    """Return the lines of a page in the ink of a style, those of the legend left out."""
    found = [x for x in (*page.lines, *page.curves) if x["stroking_color"] == pytest.approx(rgb(style), abs=0.01)]
    return [x for x in found if x["width"] > 30 or x["height"] > 30]


def test_flow_and_share_stand_on_it_as_worked_by_hand(tmp_path: Path) -> None:
    """As in ``test_storm_tables``: 0.0926 cfs = 42 gpm; full 2.433 s^0.5 = 0.469 cfs at 3.7 %, of which that is 20 %."""
    with sheets(yard(), tmp_path) as pdf:
        page = storm_page(pdf)
        text = page.extract_text()
        assert "Storm plan, 4.00 in/h" in text
        assert "R1 42 gpm" in text and "20%" in text
        assert "42 gpm arrives" in text
        assert "(% of full" in text and "perforated" not in text  # the legend of what is there
        assert "rim" not in text and "inv " not in text  # that is the crew's plan
        after = pdf.pages[page.page_number]  # numbered from 1: the next one
        assert "What arrives at the inlets" in after.extract_text()


def test_a_run_is_as_long_as_the_scale_says_and_its_tint_is_as_wide_as_the_look_has_it(tmp_path: Path) -> None:
    """R1 is 50 ft in plan: at 1 in = n ft that is 3,600 / n points."""
    with sheets(yard(), tmp_path) as pdf:
        page = storm_page(pdf)
        feet = float(re.search(r"1 in = (\d+) ft", page.extract_text()).group(1))  # type: ignore[union-attr]
        (tint,) = inked(page, "storm.carries")
        assert tint["width"] == pytest.approx(50 * 72 / feet, abs=0.1)
        assert tint["linewidth"] == pytest.approx(STYLES["storm.carries"].width_pt)


def test_three_states_differ_by_more_than_color(tmp_path: Path) -> None:
    marks = [(STYLES[s].width_pt, bool(STYLES[s].dash_pt)) for s in ("storm.carries", "storm.slow", "storm.too small")]
    assert len(set(marks)) == 3
    with sheets(sample("long-flat-yard"), tmp_path) as pdf:
        page = storm_page(pdf)
        assert inked(page, "storm.carries") and inked(page, "storm.slow")
        (small,) = inked(page, "storm.too small")
        assert small["linewidth"] == pytest.approx(STYLES["storm.too small"].width_pt)
        assert "163%" in page.extract_text()


def test_what_comes_out_runs_along_the_plane_to_the_next_grate(tmp_path: Path) -> None:
    """The plane falls due east: the way from B1 to B2 is 40 ft long and level on paper."""
    with sheets(line(20_000.0, 20_000.0), tmp_path) as pdf:
        page = storm_page(pdf)
        text = page.extract_text()
        assert text.count("comes out") >= 3  # twice on the plan, and in the legend
        assert "runs to B2" in text and "runs off the ground shot" in text
        feet = float(re.search(r"1 in = (\d+) ft", text).group(1))  # type: ignore[union-attr]
        ways = sorted(inked(page, "overland"), key=lambda w: w["x0"])
        assert ways[0]["width"] == pytest.approx(40 * 72 / feet, rel=0.03)
        assert all(w["height"] < 0.5 * 72 / feet for w in ways)


@pytest.mark.parametrize("name", ["corner-lot", "long-flat-yard", "row-of-yards", "steep-lot"])
@pytest.mark.parametrize("paper", ["a3"])  # the others in test_whole_sets
def test_no_words_lie_over_others(name: str, paper: str, tmp_path: Path) -> None:
    job = sample(name)
    if job.rain.return_period_yr is None:
        job = replace(job, rain=Rain(intensity_in_h=6.0))
    with sheets(job, tmp_path, paper=paper) as pdf:
        pages = storm_pages(pdf)
        assert pages
        for page in pages:
            assert overlapping_text(page) == []
            assert least_type_pt(page) >= 8.99
            assert all(c["x0"] > 0 and c["x1"] < page.width for c in page.chars)


def test_what_is_said_of_a_run_too_small_is_not_left_out(tmp_path: Path) -> None:
    """R4 of the row of yards lies in the thick of it."""
    with sheets(sample("row-of-yards"), tmp_path) as pdf:
        assert "149%" in " ".join(page.extract_text() for page in storm_pages(pdf))


def test_it_is_there_in_spanish_and_in_liters(tmp_path: Path) -> None:
    job = line(20_000.0, 20_000.0)
    job = replace(job, header=replace(job.header, units="m"))
    with sheets(job, tmp_path, lang="es") as pdf:
        text = storm_page(pdf, "Plano de la tormenta").extract_text()
        assert "152 mm/h" in text  # 6 in/h x 25.4
        assert "llegan" in text and "L/s" in text and "gpm" not in text
        assert "salen" in text and "corre a B2" in text
        assert "comes out" not in text


def test_without_rain_and_for_other_readers_there_is_none(tmp_path: Path) -> None:
    with sheets(yard(None), tmp_path) as pdf:
        assert not any("Storm plan" in p.extract_text() for p in pdf.pages)
    with sheets(yard(), tmp_path, audience="owner") as pdf:
        assert not any("Storm plan" in p.extract_text() for p in pdf.pages)


def test_the_set_names_it(tmp_path: Path) -> None:
    from drainsketch.sheets.book import write_sheets
    from drainsketch.sheets.contents import Contents

    job = yard()
    closer = study(analyse(job))
    names = write_sheets(Contents(job, closer.review, closer.ground, storm=closer.water), tmp_path / "plan.pdf")
    with_it = names.index("Storm plan")
    assert names[0] == "Plan"
    assert "Storm" in names[with_it + 1]
