"""The cut sheets and the as-built plan on paper, read back from the PDF."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.errors import SheetError
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.levelling import Benchmark
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.cut_tables import built_tables, cut_tables
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD
from tests.desk.hands import corner_lot
from tests.sheets.reading import least_type_pt, overlapping_text, written


def text_of(pdf: object) -> str:
    return "\n".join(page.extract_text() for page in pdf.pages)  # type: ignore[attr-defined]


def laid(job: Job, low_at: float | None = 20.0) -> Job:
    """Return the plane yard shot on plan at HI 103, but 6 in low at one station."""
    job = change_laying(job, height_ft=103.0)
    for station in range(0, 51, 10):
        job = read_laid(job, "R1", float(station), 6 - 0.02 * station + (0.5 if station == low_at else 0.0))
    return job


def test_the_sheet_says_run_pipe_slope_and_height_and_carries_every_row(tmp_path: Path) -> None:
    job = change_laying(PLANE_YARD, height_ft=103.0)
    with written(job, tmp_path / "p.pdf") as pdf:
        text = text_of(pdf)
        page = next(p for p in pdf.pages if "Cut sheet R1" in p.extract_text())
        rows = [r for t in page.extract_tables() for r in t]
        assert re.search(r"page \d+ of \d+", page.extract_text())
    assert "B1 → O1: 4 in SDR 35 PVC solid, 50' 0\" long, slope 2.00%." in text
    assert "HI 103.00. The rod stands on the invert, the inside bottom of the pipe." in text
    for station, invert, reading in (
        ("0' 0\"", "97.00", "6' 0\""),
        ("10' 0\"", "97.20", "5' 9 5/8\""),
        ("50' 0\"", "98.00", "5' 0\""),
    ):
        assert re.search(rf"{station} .*{invert} .*{reading} ", text), station
    assert "This sheet does not say that a dig is safe." in text
    assert rows  # the column to write in is ruled


def test_without_a_height_there_is_a_blank_to_write_it_in(tmp_path: Path) -> None:
    with written(PLANE_YARD, tmp_path / "p.pdf") as pdf:
        assert "HI ____________ (not set up yet)" in text_of(pdf)


def test_a_string_line_is_measured_down_from_and_spanish_says_so(tmp_path: Path) -> None:
    job = change_laying(PLANE_YARD, height_ft=101.0, instrument="string line", rod_on="top of pipe")
    with written(job, tmp_path / "p.pdf", lang="es") as pdf:
        text = text_of(pdf)
    assert "Cuerda a 101.00, a nivel." in text
    assert "encima del tubo" in text
    assert "Hoja de cortes R1" in text


@pytest.mark.parametrize(("lang", "paper"), [("en", "letter"), ("es", "a4")])
@pytest.mark.parametrize("units", ["ft-in", "ft", "m"])
def test_type_is_nine_points_or_more_and_nothing_overlaps(lang: str, units: str, paper: str, tmp_path: Path) -> None:
    job = corner_lot()
    job = replace(job, header=replace(job.header, units=units))
    job = change_laying(job, height_ft=104.0, interval_ft=4.0)
    flow = analyse(job).network.runs[0]
    job = read_laid(job, flow.id, 0.0, 6.0)
    with written(job, tmp_path / "p.pdf", lang=lang, paper=paper, audience="crew") as pdf:
        pages = [p for p in pdf.pages[1:] if re.search("Cut sheet|Hoja de cortes|As built|construy", p.extract_text())]
        assert len(pages) > 1
        for page in pages:
            assert least_type_pt(page) >= 8.99
            assert overlapping_text(page) == []


def test_rows_that_cannot_be_read_say_set_up_again_and_close_rows_are_marked() -> None:
    job = change_laying(PLANE_YARD, height_ft=97.5, interval_ft=0.5 + 0.5)
    flat = replace(job, structures=(replace(job.structures[0], invert_ft=97.4), job.structures[1]))
    (table,) = cut_tables(flat, analyse(flat), Words.of(flat))
    assert any(cell.endswith("*") for row in table.rows for cell in row)
    assert "hold the slope, 0.80%" in table.notes[0]
    high = change_laying(flat, height_ft=97.2)
    (table,) = cut_tables(high, analyse(high), Words.of(high))
    assert "set up again" in {cell for row in table.rows for cell in row}


@pytest.mark.parametrize("height_ft", [None, 97.5, 97.2])
def test_the_footnote_of_the_star_stands_where_some_row_has_a_star(height_ft: float | None, tmp_path: Path) -> None:
    job = change_laying(PLANE_YARD, height_ft=height_ft, interval_ft=1.0)
    for head_ft in (97.4, 98.0):
        flat = replace(job, structures=(replace(job.structures[0], invert_ft=head_ft), job.structures[1]))
        with written(flat, tmp_path / "p.pdf") as pdf:
            text = text_of(pdf)
        starred = re.search(r"\d[\"t] \*", text) is not None
        assert ("* falls less from the row before" in text) is starred
        assert starred is (height_ft is not None and head_ft < 98)


@pytest.mark.parametrize(
    ("lang", "head"), [("en", "Cut to trench bottom, ft"), ("es", "Corte al fondo de zanja, pies")]
)
def test_the_cut_says_to_where_it_goes(lang: str, head: str, tmp_path: Path) -> None:
    with written(change_laying(PLANE_YARD, height_ft=103.0), tmp_path / "p.pdf", lang=lang) as pdf:
        page = next(p for p in pdf.pages if re.search("Cut sheet R1|Hoja de cortes R1", p.extract_text()))
        words = page.extract_words()
    invert = next(w for w in words if w["text"] == "97.00" and w["top"] > 100)  # of the row of station 0
    cut = next(w for w in words if abs(w["top"] - invert["top"]) < 2 and w["x0"] > invert["x1"])
    over = page.crop((invert["x1"] + 2, cut["top"] - 60, cut["x1"] + 2, cut["top"] - 4))
    assert " ".join(over.extract_text().split()).endswith(head)


@pytest.mark.parametrize(
    ("lang", "run", "on"), [("en", "Cut sheet R1", "continued"), ("es", "Hoja de cortes R1", "sigue")]
)
def test_rows_that_go_on_over_the_page_carry_the_name_and_the_height_of_their_run(
    lang: str, run: str, on: str, tmp_path: Path
) -> None:
    job = change_laying(PLANE_YARD, height_ft=103.0, interval_ft=1.0)
    with written(job, tmp_path / "p.pdf", lang=lang) as pdf:
        texts = [page.extract_text() for page in pdf.pages]
    first = next(i for i, text in enumerate(texts) if run in text.splitlines())
    # a row begins with its station: 20 ft and more stand on other pages than 0
    rows = [i for i, text in enumerate(texts) if i >= first and re.search(r"^\d+' 0\" ", text, re.M)]
    assert len(rows) >= 2
    for i in rows[1:]:
        assert f"{run}, {on}" in texts[i]
        assert "103.00" in texts[i]


def test_every_as_laid_cell_is_framed_in_ink_like_a_box(tmp_path: Path) -> None:
    job = change_laying(PLANE_YARD, height_ft=103.0)
    with written(job, tmp_path / "p.pdf") as pdf:
        page = next(p for p in pdf.pages if "Cut sheet R1" in p.extract_text())
        upright = [e for e in page.edges if e["orientation"] == "v" and (e["linewidth"] or 0) >= 1]
        level = [e for e in page.edges if e["orientation"] == "h" and (e["linewidth"] or 0) >= 1]
    assert len({round(e["x0"]) for e in upright}) == 2  # the two sides of the column
    left, right = min(e["x0"] for e in upright), max(e["x0"] for e in upright)
    lines = {round(e["top"]) for e in level if e["x0"] >= left - 1 and e["x1"] <= right + 1}
    assert len(lines) == 7  # six boxes


def test_readings_on_the_sheet_are_said_from_the_height_that_stands_on_it() -> None:
    job = change_laying(laid(PLANE_YARD, None), height_ft=104.0)
    (table,) = cut_tables(job, analyse(job), Words.of(job))
    assert [row[-1] for row in table.rows] == [row[-3] for row in table.rows]


def test_the_record_has_measured_inverts_verdicts_and_standing_water(tmp_path: Path) -> None:
    job = laid(PLANE_YARD)
    (table,) = built_tables(job, analyse(job), Words.of(job))
    assert table.rows[2][2:] == ("97.40", "96.90", "low 6 in", "LIFT AND BED")
    assert table.notes[0].startswith("Water would stand 3 5/8 in deep at station 20' 0\"")
    with written(job, tmp_path / "p.pdf", audience="record") as pdf:
        plan, text = pdf.pages[0].extract_text(), text_of(pdf)
    assert "As-built plan: Plane yard" in plan.replace("\n", " ")
    assert "R1 as built 98.00" in plan
    assert "holds water, 3 5/8 in" in plan
    assert "inv 98.00" not in plan
    assert "LIFT AND BED AGAIN where it is low: do not cover this run." in text
    assert "Read from HI 103.00." in text


def test_nothing_is_on_record_before_pipe_was_shot(tmp_path: Path) -> None:
    with pytest.raises(SheetError, match="as-laid readings"):
        write_sheets(Contents(PLANE_YARD, analyse(PLANE_YARD)), tmp_path / "p.pdf", audience="record")
    with written(PLANE_YARD, tmp_path / "all.pdf", audience="all") as pdf:
        assert "As built" not in text_of(pdf)


@pytest.mark.parametrize("rod_on", ["invert", "top of pipe"])
def test_without_a_height_the_sheet_says_how_both_readings_are_reckoned(rod_on: str) -> None:
    """By the numbers said, HI 100 gives the readings that the sheet itself has for HI 100, to a hundredth."""
    feet = replace(PLANE_YARD, header=replace(PLANE_YARD.header, units="ft"))
    blank = change_laying(feet, height_ft=None, rod_on=rod_on)
    at_100 = change_laying(blank, height_ft=100.0)
    (said,), (told,) = (cut_tables(job, analyse(job), Words.of(job)) for job in (blank, at_100))
    less = re.search(r"invert, less ([\d.]+) ft", said.height)
    more = re.search(r"On the trench bottom: HI minus the invert, plus ([\d.]+) ft", said.height)
    assert more is not None and (less is not None) is (rod_on == "top of pipe")
    for row in told.rows:
        invert, on_pipe, on_bottom = (float(row[i].split()[0].rstrip("*")) for i in (3, 6, 7))
        assert abs(100.0 - invert - (float(less[1]) if less else 0.0) - on_pipe) < 0.011
        assert abs(100.0 - invert + float(more[1]) - on_bottom) < 0.011


def test_benchmarks_stand_on_the_cut_sheets_in_the_units_of_the_sheet(tmp_path: Path) -> None:
    """100.00 ft x 0.3048 = 30.48 m."""
    job = corner_lot()
    mark = Benchmark(id="mark-1", name="Front step", elevation_ft=100.0)
    metric = replace(job, header=replace(job.header, units="m"), book=replace(job.book, benchmarks=(mark,)))
    with written(metric, tmp_path / "p.pdf", audience="crew") as pdf:
        assert "Benchmarks, level in m as on this sheet: Front step 30.48" in text_of(pdf)
    typed = replace(PLANE_YARD, header=replace(PLANE_YARD.header, units="m", benchmark="Step, 100.00"))
    with written(typed, tmp_path / "q.pdf", audience="crew") as pdf:
        assert "as it was written: Step, 100.00. Levels on this sheet are in m." in text_of(pdf)
