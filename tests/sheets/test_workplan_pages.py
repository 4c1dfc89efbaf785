"""The crew's work plan read back from the PDF: order of work with boxes, calendar against Python's own, rain and safety."""

import calendar
import re
from datetime import date
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from drainsketch.job.edits.change import change_part
from drainsketch.job.model import Job
from drainsketch.job.prices import Prices
from drainsketch.planning import work_plan_of
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.pages import pages_of
from drainsketch.sheets.workplan_calendar import calendar_cells
from drainsketch.takeoff.workplan.results import PlannedWork
from drainsketch.takeoff.workplan.saying import Sayings
from drainsketch.wording import Words
from tests.sheets.reading import least_type_pt
from tests.takeoff.price.books import example_book, terms_of
from tests.test_review import sample

KEPT = ("order-of-work", "calendar", "rain", "plan")
DATED = {
    "start": "2026-05-04",
    "ticket_asked": "2026-04-29",
    "ticket_number": "2604-118",
    "ticket_wait_days": 3,
    "ticket_good_days": 10,
    "days_off": ("2026-05-05",),
}


def printed(folder: Path, name: str = "corner-lot", lang: str = "en", paper: str = "letter", **work: Any) -> Any:
    """Return the plan and its pages as read back; the plan of the yard is on the first page and left out."""
    job: Job = change_part(sample(name), "work", **work) if work else sample(name)
    review = analyse(job)
    plan = work_plan_of(review, Prices(example_book(), terms_of()))
    out = folder / "plan.pdf"
    left = [page.key for page in pages_of("crew") if not page.stays and page.key not in KEPT]
    write_sheets(Contents(job, review, work=plan), out, lang=lang, paper=paper, leave_out=left)
    return plan, pdfplumber.open(out)


def words_of(pdf: Any) -> str:
    return " ".join(page.extract_text() for page in pdf.pages[1:])


def boxes(pdf: Any) -> list[dict[str, Any]]:
    """Return the boxes to tick: squares of 9.5 pt."""
    found = (r for page in pdf.pages[1:] for r in page.rects)
    return [r for r in found if abs(r["width"] - 9.5) < 0.1 and abs(r["height"] - 9.5) < 0.1]


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("name", ["corner-lot", "row-of-yards"])
def test_every_task_has_a_box_and_every_type_is_nine_points_or_more(tmp_path: Path, name: str, lang: str) -> None:
    plan, pdf = printed(tmp_path, name, lang, **DATED)
    with pdf:
        assert len(boxes(pdf)) == sum(len(d.tasks) for d in plan.days)
        assert min(map(least_type_pt, pdf.pages[1:])) >= 8.99
        assert "…" not in words_of(pdf)
        for page in pdf.pages[1:]:
            assert all(c["x0"] >= 0 and c["x1"] <= page.width for c in page.chars)


def test_stations_hold_points_and_hours_are_those_of_the_plan(tmp_path: Path) -> None:
    plan, pdf = printed(tmp_path, **DATED)
    with pdf:
        said = words_of(pdf)
    assert "Order of work" in said
    assert said.count("HOLD grade") == sum(len(d.holds) for d in plan.days)
    assert "R8 from 0' 0\" to 23' 11 1/4\"" in said
    assert (
        f"Crew of 2, 8 hours a day: {sum(d.hours for d in plan.days)} crew hours on 2 days. From the outfall upstream."
        in said
    )
    assert "By hand: crossings 1, 2" in said
    assert "within 1/4 in. No stone and no earth over the pipe until it holds." in said
    assert "Nobody saw the service at crossings 1, 2" in said
    assert "How each step is done" in said
    assert "Common practice, no published source." in said


def test_the_calendar_has_each_day_under_its_weekday(tmp_path: Path) -> None:
    """Source: calendar.weekday of Python; 4 May 2026 is a Monday, 5 May is off, so the second day is Wednesday the 6th."""
    plan, pdf = printed(tmp_path, **DATED)
    assert [d.day for d in plan.days] == [date(2026, 5, 4), date(2026, 5, 6)]
    with pdf:
        page = next(p for p in pdf.pages if "May 2026" in p.extract_text())
        heads = [w for w in page.extract_words() if w["text"] in calendar.day_abbr]
        assert [w["text"] for w in sorted(heads, key=lambda w: w["x0"])][:1] == ["Sun"]  # as US calendars have it
        for number, day in (("1", 4), ("2", 6)):
            mark = [w for w in page.extract_words() if w["text"] == "Day"]
            found = next(
                w
                for w in mark
                if any(
                    o["text"] == number and abs(o["top"] - w["top"]) < 1 and 0 < o["x0"] - w["x1"] < 6
                    for o in page.extract_words()
                )
            )
            name = calendar.day_abbr[calendar.weekday(2026, 5, day)]
            above = max((h for h in heads if h["text"] == name and h["top"] < found["top"]), key=lambda h: h["top"])
            assert above["x0"] <= found["x0"] < above["x0"] + page.width / 7
        said = words_of(pdf)
    for words in ("Ticket asked", "First dig day", "Last marks day", "4 holds", "Ticket 2604-118"):
        assert words in said
    assert "private lines located" in said
    assert "State law and the one-call center decide" in said


@pytest.mark.parametrize("room_pt", [40.0, 70.0, 500.0])
def test_a_day_of_the_calendar_names_its_places_and_counts_those_it_has_no_room_for(room_pt: float) -> None:
    job = change_part(sample("row-of-yards"), "work", **DATED)
    review = analyse(job)
    plan = work_plan_of(review, Prices(example_book(), terms_of()))
    cells = calendar_cells(Contents(job, review, work=plan), plan, Sayings(Words.of(job)), room_pt)
    counted = 0
    for day in plan.days:
        assert day.day is not None
        said = " ".join(cells[day.day].lines[1 + (day.open_ft > 0) :])
        more = re.search(r"(?:^|, )and (\d+) more$", said)
        # runs lie open from the day they are opened to that they are closed; structures are worked at
        runs = [s.run_id for s in plan.stretches if s.opened <= day.number <= s.closed]
        spots = {t.owner for t in day.tasks if t.owner and t.stretch == 0}
        named = re.findall(r"(?<![\w'])(?:R|B|C|D|F|O|W)\d+", said)
        assert len(named) + (int(more[1]) if more else 0) == len(runs) + len(spots), said
        assert len(cells[day.day].lines) <= 6
        counted += bool(more)
    assert (counted > 0) is (room_pt < 100)


def test_without_a_first_day_the_days_are_counted(tmp_path: Path) -> None:
    plan, pdf = printed(tmp_path)
    with pdf:
        said = words_of(pdf)
    assert "No first day of work is written down; days are counted." in said
    assert "Ticket asked: not said yet" in said
    assert "2026" not in said
    assert all(name in said for name in {t.owner for d in plan.days for t in d.tasks if t.owner and t.stretch == 0})


def test_rain_and_safety_stand_with_the_numbers_of_the_job(tmp_path: Path) -> None:
    plan: PlannedWork
    plan, pdf = printed(tmp_path, "low-lawn")
    with pdf:
        said = re.sub(r"\s+", " ", words_of(pdf))
    wettest = plan.wettest
    assert wettest is not None
    assert f"At most {-(-wettest.open_ft // 1):.0f} ft lie open, on day {wettest.number}." in said
    for words in ("29 CFR 1926.651(k)", "competent person", "never leave a stone trench open upstream", "652(a)(1)"):
        assert words in said
    # R6 lets out at O1, its trench bottom is the lowest of the yard
    low = next(s for s in plan.stretches if s.run_id == "R6")
    assert f"{low.low_bottom_ft:.2f} out at O1" in said
    assert low.low_bottom_ft == min(s.low_bottom_ft for s in plan.stretches)
    assert "No plan says that a dig is safe." in said


@pytest.mark.parametrize("paper", ["tabloid", "a4"])
def test_other_papers_hold_it_too(tmp_path: Path, paper: str) -> None:
    plan, pdf = printed(tmp_path, "row-of-yards", paper=paper, **DATED)
    with pdf:
        assert len(boxes(pdf)) == sum(len(d.tasks) for d in plan.days)


def test_a_job_without_a_plan_has_no_such_pages(tmp_path: Path) -> None:
    job = sample("corner-lot")
    write_sheets(Contents(job, analyse(job)), tmp_path / "p.pdf")
    with pdfplumber.open(tmp_path / "p.pdf") as pdf:
        assert "Order of work" not in words_of(pdf)
