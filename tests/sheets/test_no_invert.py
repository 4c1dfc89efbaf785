"""Where the pipe would have to stand above the rim there is no invert, and plan, schedules, cut sheets and files say so."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.desk.panes.facts import facts
from drainsketch.exports.csv import points_csv
from drainsketch.exports.cut_csv import cut_sheet_csv
from drainsketch.job.edits.change import change
from drainsketch.review import analyse
from drainsketch.sheets.cut_tables import cut_tables, without_sheet
from drainsketch.sheets.schedules import run_schedule, structure_schedule
from drainsketch.wording import Words
from tests.sheets.reading import written
from tests.test_review import sample

# The yard of the sample is at 98.60 at B1 and 99.04 at B2; its outlet takes water at 100.40 or higher, so no pipe drains them.
COURT = sample("courtyard")
SAID = {
    "en": ("rim 98.60 no invert", "No cut sheet for R1, R2"),
    "es": ("tapa 98.60 sin fondo de tubo", "Sin hoja de cortes para R1, R2"),
}


@pytest.mark.parametrize("lang", ["en", "es"])
def test_the_pdf_says_no_invert_on_plan_and_in_every_table(lang: str, tmp_path: Path) -> None:
    with written(COURT, tmp_path / "p.pdf", lang=lang) as pdf:
        plan = " ".join(pdf.pages[0].extract_text().split())
        text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    mark, no_sheet = SAID[lang]
    assert mark in " ".join(re.findall(r"(?:rim|tapa) 98\.60|no invert|sin fondo de tubo", plan))
    assert not re.search(r"(inv|fondo tubo) 100\.(86|72)", text)
    assert no_sheet in text


def test_schedules_facts_and_files_agree() -> None:
    review, words = analyse(COURT), Words.of(COURT)
    assert [levels.id for levels in review.levels.values() if levels.no_invert] == ["B1", "B2"]
    rows = {row[0]: row for row in structure_schedule(COURT, review, words).rows}
    assert rows["B1"][4:] == ("–", "none", "–")
    assert rows["O1"][4] == "R2 100.40"  # pinned there by the curb it goes through
    assert all(row[4:] == ("–",) * 5 for row in run_schedule(COURT, review, words).rows)
    assert (cut_tables(COURT, review, words), without_sheet(review)) == ((), ("R1", "R2"))
    assert cut_sheet_csv(COURT, review).count("no grade: cannot drain as drawn") == 2
    assert "B1 basin rim, no invert: cannot drain" in points_csv(COURT, review)
    basin = next(s for s in COURT.structures if s.id == "B1")
    assert ("Invert", "none: it cannot drain as drawn") in facts(review, basin, words)


def test_an_invert_the_user_pinned_there_is_shown_as_typed() -> None:
    job = change(COURT, "B1", invert_ft=101.0)
    review = analyse(job)
    assert not review.levels["B1"].no_invert
    assert structure_schedule(job, review, Words.of(job)).rows[0][5] == "101.00"


def test_a_yard_that_drains_keeps_its_inverts() -> None:
    job = replace(COURT, structures=tuple(replace(s, invert_ft=95.0) if s.id == "O1" else s for s in COURT.structures))
    review = analyse(job)
    assert not any(levels.no_invert for levels in review.levels.values())
    assert review.workable is review.grades
