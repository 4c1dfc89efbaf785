"""Drawn details read back: to scale, no text over another, the numbers of the review, for every sample in both languages."""

import itertools
import re
from functools import partial
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from drainsketch.exports.report import check_report, takeoff_report
from drainsketch.job import model as m
from drainsketch.job.model import Job
from drainsketch.job.rates import quantity_text
from drainsketch.job.sections import Sections
from drainsketch.review import analyse
from drainsketch.sheets.basin_drawings import basin_drawings
from drainsketch.sheets.crossing_drawings import crossing_drawings
from drainsketch.sheets.loading_list import loading_schedule
from drainsketch.sheets.para import schedule_flowables
from drainsketch.sheets.pdf_canvas import SheetCanvas
from drainsketch.sheets.scale import PAPERS
from drainsketch.sheets.trench_drawings import trench_drawings
from drainsketch.wording import Words
from tests.sheets import yards
from tests.sheets.reading import least_type_pt, overlapping_text, written
from tests.test_review import sample

MARGIN_PT = 27.0
SLACK_PT = 0.005 * 72


def printed(job: Job, path: Path, parts: str = "btcl", *, lang: str = "en", paper: str = "letter") -> Any:
    """Print details alone, open them: b basins, t trenches, c crossings, l loading list."""
    review, words, names = analyse(job), Words.of(job, lang), {}  # type: ignore[var-annotated]
    wide, high = PAPERS[paper]
    width = wide - 2 * MARGIN_PT
    story: list[Any] = []
    story += crossing_drawings(job, review, words, width, names) if "c" in parts else []
    story += basin_drawings(review, words, width, names) if "b" in parts else []
    story += trench_drawings(job, review, words, width, names) if "t" in parts else []
    story += schedule_flowables(loading_schedule(review, words), width, names) if "l" in parts else []
    document = BaseDocTemplate(str(path), pagesize=(wide, high))
    frame = Frame(MARGIN_PT, MARGIN_PT + 12, width, high - 2 * MARGIN_PT - 28, 0, 0, 0, 0)
    document.addPageTemplates([PageTemplate("page", [frame])])
    document.build(story, canvasmaker=partial(SheetCanvas, layers={}))
    return pdfplumber.open(path)


def text_of(pdf: Any) -> str:
    return " ".join(" ".join(w["text"] for w in page.extract_words(use_text_flow=True)) for page in pdf.pages)


def many() -> Job:
    """Twelve basins in a row and twenty crossings, with names as long as they come."""
    basins = tuple(
        m.Structure(
            id=f"B{i}",
            kind="basin",
            point=(10.0 + 12 * i, 20.0 + 3 * (i % 3)),
            size_in=(9, 12, 18, 24)[i % 4],
            name="W" * 120,
        )
        for i in range(1, 13)
    )
    out = m.Structure(
        id="O1",
        kind="outfall",
        point=(175.0, 22.0),
        outfall="tie-in",
        invert_ft=93.5,
        name="the far end of the long ditch " * 4,
    )
    ids = [s.id for s in (*basins, out)]
    runs = tuple(
        m.Run(id=f"R{i}", start=a, end=b, use="drain" if i % 2 else "solid", pipe="corrugated", diameter_in=4)
        for i, (a, b) in enumerate(itertools.pairwise(ids), start=1)
    )
    kinds = ("electric", "gas", "communication", "water", "irrigation", "sewer", "drain line", "unidentified")
    services = tuple(
        m.Service(
            id=f"s{i}",
            kind=kinds[i % 8],  # type: ignore[arg-type]
            points=((26.0 + 7 * i, 0.0), (29.0 + 7 * i, 50.0)),
            depth_top_ft=None if i % 3 == 0 else 2.0 + 0.1 * i,
            size_in=2.0,
            name="Ñandú of the neighbors " * 6,
        )
        for i in range(20)
    )
    ground = tuple(
        m.Shot(id=f"p{i}", point=(x, y), elevation_ft=100 - 0.02 * x)
        for i, (x, y) in enumerate(((0, 0), (190, 0), (190, 60), (0, 60), (90, 30)))
    )
    return Job(structures=(*basins, out), runs=runs, services=services, shots=ground)


JOBS = {  # the samples are looked at whole in test_whole_sets
    "rich": yards.rich(),
    "metric": yards.rich("m"),
    "decimal": yards.rich("ft"),
    "long names": yards.named("Wide ÑÁ <b>&amp; " * 10),
    "many": many(),
    "many metric": replace(many(), header=m.Header(units="m")),
}


@pytest.mark.parametrize(("lang", "paper"), [("en", "letter"), ("es", "a4")])
@pytest.mark.parametrize("name", JOBS)
def test_no_text_covers_another_none_is_small_and_nothing_leaves_the_page(
    name: str, lang: str, paper: str, tmp_path: Path
) -> None:
    with printed(JOBS[name], tmp_path / "d.pdf", lang=lang, paper=paper) as pdf:
        for page in pdf.pages:
            assert overlapping_text(page) == []
            assert least_type_pt(page) >= 8.99
            for thing in (*page.chars, *page.lines, *page.curves, *page.rects):
                assert thing["x0"] >= MARGIN_PT - 1
                assert thing["x1"] <= page.width - MARGIN_PT + 1
                assert thing["y0"] >= MARGIN_PT - 1
                assert thing["y1"] <= page.height - MARGIN_PT + 1


def plain_yard(units: str = "ft-in") -> Job:
    """One 12 in basin, rim 100, invert pinned at 98, 4 in PVC to an outfall 30 ft east; ground level, falling at the end."""
    return Job(
        header=m.Header(units=units),  # type: ignore[arg-type]
        structures=(
            m.Structure(id="B1", kind="basin", point=(0, 0), size_in=12, invert_ft=98.0),
            m.Structure(id="O1", kind="outfall", point=(30, 0), outfall="tie-in", invert_ft=97.5),
        ),
        runs=(m.Run(id="R1", start="B1", end="O1"),),
        services=(
            m.Service(
                id="gas-1", kind="gas", points=((15, -20), (15, 20)), depth_top_ft=3.5, size_in=2.0, known_by="marked"
            ),
        ),
        obstacles=(m.Obstacle(id="H1", kind="building", points=((0, 10), (30, 10), (30, 40), (0, 40))),),
        shots=tuple(
            m.Shot(id=f"s{i}", point=p, elevation_ft=100.0)
            for i, p in enumerate(((-30, -30), (60, -30), (60, 60), (-30, 60)))
        ),
    )


def test_a_basin_is_drawn_to_its_scale(tmp_path: Path) -> None:
    # rim 100.00, invert 98.00, 4 in sump: floor 97.667; 2 in bed: hole to 97.50, 24 in wide; risers 6, 6 and 4 of 6 in
    with printed(plain_yard(), tmp_path / "d.pdf", "b") as pdf:
        page = pdf.pages[0]
        text = text_of(pdf)
        assert "Scale 1 in = 1 ft" in text
        sizes = [(r["width"], r["height"]) for r in (*page.rects, *page.curves)]

        def drawn(wide_in: float, high_in: float) -> bool:
            return any(abs(w - 6 * wide_in) < SLACK_PT and abs(h - 6 * high_in) < SLACK_PT for w, h in sizes)

        assert drawn(12, 12)  # body
        assert drawn(12, 6)  # riser
        assert drawn(12, 4)  # the top one, cut
        assert any(abs(w - 24 * 6) < SLACK_PT and abs(h - 30 * 6) < SLACK_PT for w, h in sizes)  # hole


def test_the_numbers_of_a_basin_are_those_of_the_review(tmp_path: Path) -> None:
    with printed(plain_yard(), tmp_path / "d.pdf", "b") as pdf:
        text = text_of(pdf)
    for said in ("rim 100.00", "inv 98.00, 2' 0\" down", "floor 97.67", "dig to 97.50", "2' 6\" below ground"):
        assert said in text
    for said in (
        "R1 out E, 4 in",
        "riser 6 in",
        "cut to 4 in",
        "body 12 in",
        "sump 4 in",
        "bed 2 in",
        "hole 2' 0\" square",
    ):
        assert said in text


@pytest.mark.parametrize("name", ["corner-lot", "low-lawn", "row-of-yards"])
def test_every_level_on_the_drawn_basins_is_one_that_check_prints(name: str, tmp_path: Path) -> None:
    job = sample(name)
    review = analyse(job)
    report = check_report(review)
    with printed(job, tmp_path / "d.pdf", "b") as pdf:
        text = text_of(pdf)
    for row in report.structures:
        if row.kind == "basin":
            assert f"rim {row.rim_ft:.2f}" in text
            for level in (row.invert_out_ft, *(i.invert_ft for i in row.inverts_in)):
                assert level is not None
                assert f"inv {level:.2f}," in text
            assert f"dig to {review.stacks[row.id].dig_to_ft:.2f}" in text


def test_a_trench_is_drawn_to_its_scale_with_cut_and_cover_of_its_runs(tmp_path: Path) -> None:
    job = plain_yard()
    (run,) = check_report(analyse(job)).runs
    assert run.greatest_cut_ft is not None and run.least_cut_ft is not None
    with printed(job, tmp_path / "d.pdf", "t") as pdf:
        text, page = text_of(pdf), pdf.pages[0]
        # 4.215 in pipe laid on the bottom: 2 ft 6 in and the wall of 0.12 in deep at the far end
        assert run.greatest_cut_ft == pytest.approx(2.5 + 0.12 / 12)
        assert "cut 2' 6 1/8\"" in text
        assert "least 2' 0 1/8\"" in text
        assert "width 12 in" in text
        inch_pt = 72 / 12 if "Scale 1 in = 1 ft" in text else 0.0
        shapes = [(r["width"], r["height"]) for r in (*page.rects, *page.curves)]
        assert any(
            abs(w - 12 * inch_pt) < SLACK_PT and abs(h - run.greatest_cut_ft * 12 * inch_pt) < SLACK_PT
            for w, h in shapes
        )
        assert any(abs(w - 4.215 * inch_pt) < SLACK_PT and abs(h - 4.215 * inch_pt) < SLACK_PT for w, h in shapes)


def test_a_crossing_is_drawn_to_its_scale_and_says_what_the_schedule_says(tmp_path: Path) -> None:
    job = plain_yard()
    (c,) = check_report(analyse(job)).crossings
    with printed(job, tmp_path / "d.pdf", "c") as pdf:
        text, page = text_of(pdf), pdf.pages[0]
        # 10 ft x 8 ft at 1 in = 4 ft
        assert any(
            abs(r["width"] - 180) < SLACK_PT and abs(r["height"] - 144) < SLACK_PT for r in (*page.rects, *page.curves)
        )
        # the trench is 12 in wide: its sides are 18 pt apart
        across = sorted({round(e["y0"], 2) for e in page.lines if e["width"] > 150})
        assert any(abs(b - a - 18.0) < SLACK_PT for a in across for b in across)
    words = Words.of(job)
    assert c.pipe_top_ft is not None and c.service_top_ft is not None and c.service_bottom_ft is not None
    for said in (
        "EXPOSE IT FIRST",
        f"R1 top {c.pipe_top_ft:.2f}",
        f"its top {c.service_top_ft:.2f}",
        f"its bottom {c.service_bottom_ft:.2f}",
        f"station {words.length(c.hand_dig_from_ft)} to {words.length(c.hand_dig_to_ft)}",
        "at 90°",
        "Marks: yellow, letter G",
        "18' 0 3/8\" from SW corner of building",  # 15 and 10 ft: 18.028 ft
        "may be off 1' 6\"",
    ):
        assert said in text, said


def test_trenches_of_one_kind_are_drawn_once_and_paving_has_its_own(tmp_path: Path) -> None:
    job = plain_yard()
    drive = m.Obstacle(id="P1", kind="hardscape", points=((10, -5), (20, -5), (20, 5), (10, 5)), surface="asphalt")
    job = replace(
        job, obstacles=(*job.obstacles, drive), sections=Sections(solid_over_in=6.0, fabric="round the stone")
    )
    with printed(job, tmp_path / "d.pdf", "t") as pdf:
        text = text_of(pdf)
    assert "under lawn" in text
    assert "under asphalt" in text
    for said in ("asphalt 3 in", "base course 6 in", "washed stone", "native backfill", "seed and straw"):
        assert said in text


def test_a_basin_that_cannot_be_dug_is_named_and_not_drawn(tmp_path: Path) -> None:
    job = sample("courtyard")
    review = analyse(job)
    with printed(job, tmp_path / "d.pdf", "btcl") as pdf:
        text = text_of(pdf)
    lost = review.undug & review.stacks.keys()
    drawn = {name for name in review.stacks if re.search(rf"\b{name}, \d", text)}
    assert drawn == review.stacks.keys() - lost
    assert lost and all(f"{name}" in text.partition("Not drawn")[2].partition(".")[0] for name in lost)


def test_where_no_basin_can_be_dug_that_is_said(tmp_path: Path) -> None:
    job = plain_yard()
    high = tuple(replace(s, invert_ft=200.0) if s.kind == "outfall" else s for s in job.structures)
    review = analyse(replace(job, structures=high))
    assert review.stacks and review.undug >= review.stacks.keys()
    with printed(review.job, tmp_path / "d.pdf", "b") as pdf:
        assert pdf.pages and "Not drawn" in text_of(pdf)


def test_a_metric_yard_has_metric_scales(tmp_path: Path) -> None:
    with printed(plain_yard("m"), tmp_path / "d.pdf", "btc") as pdf:
        text = text_of(pdf)
        assert "Scale 1:10" in text
        assert "Plans 1:50" in text
        frames = [(r["width"], r["height"]) for p in pdf.pages for r in (*p.rects, *p.curves)]
    k = 72 / 25.4 * 1000 * 0.3048 / 50
    assert any(abs(w - 10 * k) < SLACK_PT and abs(h - 8 * k) < SLACK_PT for w, h in frames)


def test_the_loading_list_on_paper_has_the_quantities_of_the_takeoff(tmp_path: Path) -> None:
    job = sample("corner-lot")
    review, words = analyse(job), Words.of(job)
    report = takeoff_report(review)
    with printed(job, tmp_path / "d.pdf", "l") as pdf:
        text = text_of(pdf)
    counted = {line.key: line.quantity for line in report.lines}
    assert [load for load in report.loading if load.place == "tools"]
    bought = [load.line for load in review.loading if load.line is not None and load.line.buy is not None]
    assert bought
    for line in bought:  # of what is bought, how much and in what
        amount, unit = words.to_buy(line) or (0.0, "")
        name = re.escape(" ".join(words.item(line).split()))
        assert re.search(rf"{name}(; loads ____)? {re.escape(quantity_text(amount))} {re.escape(unit)}", text)
    for load, row in zip(review.loading, report.loading, strict=True):
        assert row.item in text or load.line is not None
        if load.line is not None and load.line.buy is None:
            assert " ".join(words.item(load.line).split()) in text
            assert words.counted(load.line)[0] in text
            assert row.quantity == load.line.quantity
            assert row.key in counted


def test_the_crews_set_has_the_details_and_each_can_be_left_out(tmp_path: Path) -> None:
    titles = {"Loading list", "Crossings close up", "Basins in section", "Trenches in section"}
    with written(plain_yard(), tmp_path / "p.pdf") as pdf:
        assert titles <= {title for _, title, *_ in pdf.doc.get_outlines()}
    with written(plain_yard(), tmp_path / "q.pdf", leave_out=("basin-details", "loading")) as pdf:
        found = titles & {title for _, title, *_ in pdf.doc.get_outlines()}
    assert found == {"Crossings close up", "Trenches in section"}
    with written(plain_yard(), tmp_path / "o.pdf", audience="owner") as pdf:
        assert titles.isdisjoint({title for _, title, *_ in pdf.doc.get_outlines()})
