"""The pits of dry wells on paper and on the plan: size, floor, depth and care."""

from pathlib import Path

import pytest

from drainsketch.exports.report import check_report
from drainsketch.job.ask import extent
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.cut_tables import cut_tables
from drainsketch.sheets.marks import Stroke
from drainsketch.sheets.owner import owner_quantities, work_in_words
from drainsketch.sheets.pit_schedule import care_words, pit_schedule
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.schedules import structure_schedule
from drainsketch.wording import Words
from tests.sheets.reading import written
from tests.yards import basin, drawn, outfall, plane, run

FLAT = plane(lambda x, y: 100.0, 90.0)
SIDES = ("pit_length_ft", "pit_width_ft", "pit_depth_ft")


def yard(length: float = 10.0, width: float = 6.0, depth: float = 12.0, invert_ft: float | None = 98.5) -> Job:
    """Level ground at 100.00 and a line from the west to a dry well."""
    pit = dict(zip(SIDES, (length, width, depth), strict=True))
    return drawn(*FLAT, basin(0, 0), outfall(50, 0, "dry well", invert_ft=invert_ft, **pit), run("B1", "O1"))


def test_a_pit_worked_by_hand() -> None:
    """Invert 98.50, 12 ft below it 86.50; 100.00 - 86.50 = 13.50 ft = 13' 6"."""
    job = yard()
    (row,) = pit_schedule(analyse(job), Words.of(job)).rows
    assert row[:8] == ("O1", "10' 0\"", "6' 0\"", "12' 0\"", "100.00", "98.50", "86.50", "13' 6\"")
    assert "sloped, shored or shielded" in row[8]


@pytest.mark.parametrize(("depth", "said"), [(3.5, "shored"), (3.4, "Ladder"), (2.5, "Ladder"), (2.4, "competent")])
def test_care_goes_by_the_depth_below_the_ground(depth: float, said: str) -> None:
    """29 CFR 1926.651(c)(2): a way out at 4 ft; 652(a)(1): protection at 5 ft. The invert lies 1.5 ft down."""
    job = yard(depth=depth)
    care = care_words(analyse(job).pits["O1"], Words.of(job))
    assert said in care
    assert ("Ladder" in care) == (said == "Ladder")


@pytest.mark.parametrize("lang", ["en", "es"])
def test_rows_are_as_wide_as_their_heads(lang: str) -> None:
    job = yard()
    schedule = pit_schedule(analyse(job), Words.of(job, lang))
    assert {len(row) for row in schedule.rows} == {len(schedule.columns)}
    assert not pit_schedule(analyse(change(job, "O1", pit_width_ft=None)), Words.of(job, lang)).rows


def test_the_structures_and_the_cut_sheet_go_down_to_the_floor() -> None:
    job = yard()
    review, words = analyse(job), Words.of(job)
    rows = {row[0]: row for row in structure_schedule(job, review, words).rows}
    assert rows["O1"][-1] == "13' 6\""
    (table,) = cut_tables(job, review, words)
    assert "dig it to 86.50, 13' 6\" below the ground" in table.notes[0]
    assert "10' 0\" long and 6' 0\" wide" in table.notes[0]
    assert "shored" in table.notes[0]


def test_the_plan_shows_it_to_scale_with_its_floor() -> None:
    job = yard()
    marks = plan_marks(job, analyse(job))
    (outline,) = (m for m in marks.drains if isinstance(m, Stroke) and m.style == "pit")
    assert outline.closed and outline.owner == "O1"
    assert sorted(outline.points) == [pytest.approx(p) for p in ((45, -3), (45, 3), (55, -3), (55, 3))]
    (label,) = (m for m in marks.labels if m.owner == "O1")
    assert "pit 10' 0\" × 6' 0\", floor 86.50" in label.text


def test_before_there_are_shots_it_has_a_place_and_a_size_but_no_level() -> None:
    job = drawn(
        basin(0, 0), outfall(50, 0, "dry well", **dict(zip(SIDES, (4.0, 4.0, 5.0), strict=True))), run("B1", "O1")
    )
    review, words = analyse(job), Words.of(job)
    (row,) = pit_schedule(review, words).rows
    assert row[1:8] == ("4' 0\"", "4' 0\"", "5' 0\"", "–", "–", "–", "–")
    assert row[8].startswith("Its levels are not known yet.") and "shored" in row[8]
    assert any(isinstance(m, Stroke) and m.style == "pit" for m in plan_marks(job, review).drains)


def test_the_owner_reads_it_in_plain_words() -> None:
    job = yard()
    review = analyse(job)
    for lang, said in (("en", "a pit 10' 0\" long and 6' 0\" wide is dug"), ("es", "se excava un hoyo de 10' 0\"")):
        words = Words.of(job, lang)
        assert any(said in text for text in work_in_words(job, review, words))
        assert not any("86.50" in text for text in work_in_words(job, review, words))
    assert any("dry wells" in row[0] for row in owner_quantities(review, Words.of(job)).rows)


def test_check_prints_it() -> None:
    rows = {s.id: s for s in check_report(analyse(yard())).structures}
    pit = rows["O1"].pit
    assert pit is not None
    assert (pit.length_ft, pit.width_ft, pit.depth_ft) == (10.0, 6.0, 12.0)
    assert (pit.floor_ft, pit.dug_ft) == (pytest.approx(86.5), pytest.approx(13.5))
    assert rows["B1"].pit is None


@pytest.mark.parametrize("lang", ["en", "es"])
def test_the_crews_pdf_says_how_deep(lang: str, tmp_path: Path) -> None:
    job = yard()
    with written(job, tmp_path / "crew.pdf", audience="crew", lang=lang) as pdf:
        said = "\n".join(page.extract_text() for page in pdf.pages)
    assert Words.of(job, lang).word("sheets.pits.title") in said
    for figure in ("86.50", "13' 6\""):
        assert figure in said


def test_a_wide_pit_at_the_edge_of_what_is_drawn_stands_on_the_paper_whole() -> None:
    """40 x 30 ft: its corners lie 25 ft from the outfall at (50, 0), whichever way it is turned."""
    job = drawn(
        basin(0, 0), outfall(50, 0, "dry well", **dict(zip(SIDES, (40.0, 30.0, 4.0), strict=True))), run("B1", "O1")
    )
    assert extent(job) == pytest.approx((0.0, -25.0, 75.0, 25.0))
