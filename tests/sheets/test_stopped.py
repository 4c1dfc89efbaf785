"""A crew set of a job that something stops says so on every page, and has no numbers to dig by where the water cannot leave."""

import re
from pathlib import Path
from typing import Any

import pytest

from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.job.prices import Prices
from drainsketch.planning import work_plan_of
from drainsketch.review import analyse
from drainsketch.sheets.basin_schedule import basin_schedule
from drainsketch.sheets.cut_tables import cut_tables, without_sheet
from drainsketch.sheets.schedules import (
    crossing_schedule,
    path_schedule,
    run_schedule,
    stands_not,
    structure_schedule,
)
from drainsketch.sheets.workplan_pages import stopped
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words
from tests.sheets.reading import overlapping_text, written
from tests.takeoff.price.books import example_book, terms_of
from tests.test_review import sample

CORNER = sample("corner-lot")
BAND = {
    "en": "STOP: 1 thing stops this job, see Warnings.",
    "es": "ALTO: 1 cosa detiene este trabajo, vea Advertencias.",
}
BANDS = {
    "en": "STOP: 2 things stop this job, see Warnings.",
    "es": "ALTO: 2 cosas detienen este trabajo, vea Advertencias.",
}


def stepped() -> Job:
    """The corner lot with the lower end of R5 pinned below the pipe that leaves F2: water would stand in R5."""
    flow = next(f for f in analyse(CORNER).network.runs if f.id == "R5")
    return change(CORNER, "R5", **{"end_invert_ft" if flow.drawn_downhill else "start_invert_ft": 95.90})


def pinned_high(level_ft: float = 99.40) -> Job:
    """The corner lot with B1 pinned so high that pipe stands out of the ground there."""
    return change(CORNER, "B1", invert_ft=level_ft)


def in_colors(thing: dict[str, Any]) -> bool:
    """Whether a character is red: more than twice as much red as green."""
    color = thing.get("non_stroking_color")
    return isinstance(color, tuple) and len(color) == 3 and color[0] > 2 * color[1]


@pytest.mark.parametrize(("lang", "paper"), [("en", "letter"), ("en", "arch-d"), ("es", "a4")])
@pytest.mark.parametrize(("job", "said"), [(stepped(), BAND), (pinned_high(), BANDS)])
def test_every_page_of_the_crew_set_says_that_something_stops_the_job(
    job: Job, said: dict[str, str], lang: str, paper: str, tmp_path: Path
) -> None:
    with written(job, tmp_path / "p.pdf", lang=lang, audience="crew", paper=paper) as pdf:
        for page in pdf.pages:
            shown = (
                page.filter(in_colors) if page.page_number == 1 else page
            )  # the plan says it in red, in a strip of columns
            assert said[lang] in " ".join(shown.extract_text().split())
            for char in page.chars:
                assert 0 <= char["x0"] <= char["x1"] <= page.width
        assert not overlapping_text(pdf.pages[1])


def test_neither_the_owner_nor_a_job_that_can_be_built_gets_the_band(tmp_path: Path) -> None:
    for job, audience in ((stepped(), "owner"), (CORNER, "crew")):
        with written(job, tmp_path / "p.pdf", audience=audience) as pdf:
            text = " ".join(page.extract_text() for page in pdf.pages)
        assert "STOP:" not in text


def test_a_run_that_water_stands_in_has_no_numbers_and_what_runs_into_it_has_none() -> None:
    """C1, B1, B2 and D2 come down by R1 to R5; D1 and B3 come by R6 and R7 to F2, where R8 takes all of it."""
    job = stepped()
    review, words = analyse(job), Words.of(job)
    assert [f.kind for f in review.findings if f.level == "stop"] == ["steps_up"]
    assert set(review.workable) == {"R6", "R7", "R8"}
    assert without_sheet(review) == tuple(f.id for f in review.network.runs if f.id in {"R1", "R2", "R3", "R4", "R5"})
    assert [t.title.split()[-1] for t in cut_tables(job, review, words)] == ["R6", "R7", "R8"]
    rows = {row[0]: row for row in structure_schedule(job, review, words).rows}
    for lost in ("C1", "B1", "B2", "D2", "F1"):
        assert rows[lost][4:] == ("–", "none", "–")
    assert "R5" not in rows["F2"][4]
    assert all(re.fullmatch(r"\d+' .*\"", rows[kept][6]) for kept in ("B3", "D1", "F2", "O1"))
    for row in run_schedule(job, review, words).rows:
        assert (row[4:] == ("–",) * 5) is (row[0] in {"R1", "R2", "R3", "R4", "R5"})
    falls = {row[0]: row[4] for row in path_schedule(review, words).rows}
    assert {inlet for inlet, fall in falls.items() if fall == "–"} == {"C1", "B1", "B2", "D2"}


def test_a_basin_pinned_too_high_is_shown_as_typed_and_has_nothing_to_dig_or_drill() -> None:
    job = pinned_high()
    review = analyse(job)
    for lang, said in (("en", "none: STOP, see Warnings"), ("es", "ninguno: ALTO, vea Advertencias")):
        rows = {row[0]: row for row in basin_schedule(review, Words.of(job, lang)).rows}
        assert rows["B1"][3:] == ("–", "–", "–", "–", said)
    rows = {row[0]: row for row in structure_schedule(job, review, Words.of(job)).rows}
    assert rows["B1"][5:] == ("99.40", "–")
    assert not {"R1", "R2"} & set(review.workable)
    assert {"R3", "R5", "R8"} <= set(review.workable)  # what is below B1 does not hang on it


def test_pipe_that_cannot_be_laid_has_no_depth_at_a_crossing() -> None:
    job = change(CORNER, "D1", invert_ft=100.5)  # R6 leaves D1 above its rim, and crosses gas and water
    review = analyse(job)
    assert "R6" not in review.workable
    rows = [row for row in crossing_schedule(review, Words.of(job)).rows if row[1] == "R6"]
    assert len(rows) == 2
    assert all(row[6] == "–" and row[8] == "–" for row in rows)


def test_pipe_that_cannot_be_laid_gives_no_window_depth_or_clearance_anywhere() -> None:
    """Nor in a sentence, nor in JSON: a service is not to be dug for by figures of pipe that is stopped."""
    job = change(CORNER, "D1", invert_ft=100.5)
    review, words = analyse(job), Words.of(job)
    stopped = [c for c in review.crossings if c.run_id == "R6"]
    assert len(stopped) == 2
    for c in stopped:
        assert (c.works_deeper_ft, c.works_shallower_ft, c.clearance_ft, c.pipe_depth_ft, c.pipe_top_ft) == (None,) * 5
    found = {f.kind: words.sentence(f) for f in review.findings if dict(f.params).get("number")}
    assert set(found) == {"depth_unknown", "no_pipe_level"}  # the water main of unknown depth, and the gas line
    assert not any("works where" in said or "deep" in said.replace("depth", "") for said in found.values())
    assert any(c.works_deeper_ft is not None for c in analyse(CORNER).crossings)  # told where pipe can be laid


@pytest.mark.parametrize("lang", ["en", "es"])
def test_a_stopped_job_gets_no_days_and_is_told_on_the_pages_that_count(lang: str, tmp_path: Path) -> None:
    job = sample("courtyard")
    review = analyse(job)
    work = work_plan_of(review, Prices(example_book(), terms_of()))
    words = Words.of(job, lang)
    with written(job, tmp_path / "p.pdf", work=work, lang=lang, audience="crew") as pdf:
        text = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    told = stands_not(review, words)
    assert told and text.count(told) == 2  # the loading list and the takeoff
    assert " ".join(Sayings(words).note(stopped(work)[0])[0].split()) in text
    assert words.word("workplan.day", number=1) not in text
    assert words.word("workplan.sheet.rain") not in text
