"""The owner's page of options, read back from the PDF: pictures at one true scale, figures of each option, what must be said."""

from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.files.prices import prices_in_use
from drainsketch.job.edits.change import change, change_header
from drainsketch.job.edits.options import add_option, remove_option, rename_option
from drainsketch.job.model import Job
from drainsketch.options import compared
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.option_table import option_table
from drainsketch.wording import Words
from tests.test_options import plane_yard
from tests.test_review import sample

LAWN = sample("low-lawn")


def pages(job: Job, folder: Path, *, priced: bool = True, played: bool = True, **asked: Any) -> list[Any]:
    """Return the pages of the owner's set that tell of options."""
    options = compared(job, prices_in_use() if priced else None, played=played) if job.aside else ()
    path = folder / "owner.pdf"
    write_sheets(Contents(job, analyse(job), options=options), path, audience="owner", **asked)
    title = Words(asked.get("lang", "en")).word("options.title")
    with pdfplumber.open(path) as pdf:
        found = [p for p in pdf.pages if title in (p.extract_text() or "")]
        for p in found:
            p.objects  # noqa: B018  (read while the file is open)
        return found


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_figure_of_the_table_is_printed_once_for_each_option(lang: str, tmp_path: Path) -> None:
    (page,) = pages(LAWN, tmp_path, lang=lang)
    text = " ".join((page.extract_text() or "").split())
    words = Words.of(LAWN, lang)
    table = option_table(compared(LAWN, prices_in_use(), played=True), words, "owner")
    for name in table.names:
        assert name in text
    for row in table.rows:
        for cell in row.cells:
            assert cell.text in text
            assert cell.against in text
    for said in (*table.warned, table.said[-1]):
        assert said in text
    for option in LAWN.aside:
        assert option.note.split()[0] in text


def test_pictures_stand_side_by_side_at_one_scale_that_is_true(tmp_path: Path) -> None:
    (page,) = pages(LAWN, tmp_path)
    text = page.extract_text()
    assert "1 in = 50 ft" in text
    assert LAWN.boundary is not None
    xs, ys = zip(*LAWN.boundary.points, strict=True)
    wide, high = (max(xs) - min(xs)) / 50 * 72, (max(ys) - min(ys)) / 50 * 72
    lots = [c for c in (*page.curves, *page.rects) if abs(c["width"] - wide) < 0.1 and abs(c["height"] - high) < 0.1]
    assert len(lots) == 3
    assert max(c["top"] for c in lots) - min(c["top"] for c in lots) < 0.1
    assert len({round(c["x0"]) for c in lots}) == 3


def test_nothing_runs_over_the_edge_and_no_type_is_too_small(tmp_path: Path) -> None:
    long = rename_option(LAWN, 1, "Two basins and a much longer way round the house along the fence to the street")
    for asked in ({}, {"paper": "a4", "lang": "es"}, {"paper": "tabloid"}):
        for page in pages(long, tmp_path, **asked):
            for char in page.chars:
                assert char["x0"] > 0 and char["x1"] < page.width
                assert char["size"] >= 9 - 1e-6


def test_two_options_without_rain_and_prices_say_so(tmp_path: Path) -> None:
    job = change(add_option(plane_yard(), "Up <i>hill</i> & down"), "O1", invert_ft=101.0)
    (page,) = pages(job, tmp_path, priced=False, played=False)
    text = " ".join(page.extract_text().split())
    assert "Up <i>hill</i> & down" in text
    assert "cannot be built as drawn" in text
    assert "No rain is given" in text
    assert "$" not in text
    assert "no: B1" in text


def test_an_option_that_cannot_be_built_has_no_price_for_the_owner() -> None:
    job = change(add_option(plane_yard(), "Up the hill"), "O1", invert_ft=101.0)
    options = compared(job, prices_in_use())
    (mine,) = (row for row in option_table(options, Words(), "contractor").rows if row.key == "total_usd")
    (owners,) = (row for row in option_table(options, Words(), "owner").rows if row.key == "total_usd")
    assert [cell.text[0] for cell in mine.cells] == ["$", "$"]
    assert [(cell.text[0], cell.against) for cell in owners.cells] == [("$", ""), ("s", "")]
    assert owners.cells[1].text == "still open"


def test_a_job_of_one_option_has_no_such_page_and_it_can_be_left_out(tmp_path: Path) -> None:
    assert pages(replace(LAWN, aside=()), tmp_path) == []
    assert pages(LAWN, tmp_path, leave_out=("options",)) == []
    assert len(pages(remove_option(LAWN, 2), tmp_path)) == 1


def test_a_metric_job_is_said_in_meters(tmp_path: Path) -> None:
    (page,) = pages(change_header(LAWN, units="m"), tmp_path)
    text = page.extract_text()
    assert "1:600" in text or "1:750" in text or "1:500" in text
    assert " ft" not in text.replace("sq ft", "")
    assert "tonnes" in text


def test_loose_downspouts_are_named_and_all_stone_that_is_brought_counts() -> None:
    """Stone of the drain, under basins, under paving and the apron where the pipe ends."""
    options = compared(LAWN)
    table = option_table(options, Words.of(LAWN), "owner")
    assert any("unconnected, whichever is chosen: Front (downspout-1); Back, west" in said for said in table.said)
    for one in options:
        brought = ("stone_drain", "stone_solid", "stone_basin", "base_course", "splash_stone")
        tons = sum(line.quantity for line in one.study.whole.takeoff if line.item in brought)
        assert any(line.item == "splash_stone" for line in one.study.whole.takeoff)
        assert one.figures.stone_tons == pytest.approx(tons)
