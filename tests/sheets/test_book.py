from pathlib import Path

import pytest
from msgspec.structs import replace
from pdfminer.pdftypes import resolve1

from drainsketch.errors import SheetError
from drainsketch.job import model as m
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.flags import warnings_of
from drainsketch.sheets.scale import PAPERS
from drainsketch.wording import Words
from tests.sheets import yards
from tests.sheets.reading import least_type_pt, overlapping_text, written

LEAST_MARGIN_PT = 18.0  # 1/4 in, what common printers leave blank (common practice, no source)


SHEETS = [("rich", paper) for paper in PAPERS] + [
    ("metric", "a4"),
    ("metric", "a3"),
    ("tiny", "letter"),
    ("tiny", "a4"),
]
JOBS = {"rich": yards.rich(), "metric": yards.rich("m"), "tiny": yards.tiny()}


@pytest.mark.parametrize(("name", "paper"), SHEETS)
def test_type_is_nine_points_or_more_and_nothing_overlaps_or_leaves_the_page(
    name: str, paper: str, tmp_path: Path
) -> None:
    with written(JOBS[name], tmp_path / "p.pdf", paper=paper, audience="all") as pdf:
        for page in pdf.pages:
            assert page.chars
            assert least_type_pt(page) >= 8.99
            assert overlapping_text(page) == []
            for thing in (*page.chars, *page.lines, *page.curves, *page.rects):
                assert thing["x0"] >= LEAST_MARGIN_PT
                assert thing["x1"] <= page.width - LEAST_MARGIN_PT
                assert thing["y0"] >= LEAST_MARGIN_PT
                assert thing["y1"] <= page.height - LEAST_MARGIN_PT


def test_every_font_is_embedded(tmp_path: Path) -> None:
    with written(yards.rich(), tmp_path / "p.pdf", audience="all") as pdf:
        for page in pdf.pages:
            for font in resolve1(page.page_obj.resources["Font"]).values():
                described = _descriptor(font)
                assert described is None or "FontFile2" in described
            # the empty base font that the writer always lists is never used
            assert {c["fontname"].split("+")[-1] for c in page.chars} <= {
                "DejaVuSans",
                "DejaVuSans-Bold",
                "DejaVuSansCondensed",
                "DejaVuSansCondensed-Bold",
            }


def _descriptor(font: object) -> object:
    found = resolve1(font)
    return resolve1(found["FontDescriptor"]) if "FontDescriptor" in found else None


def test_the_crews_set_has_header_levels_schedules_warnings_takeoff_and_cautions(tmp_path: Path) -> None:
    job = yards.rich()
    review, words = analyse(job), Words.of(job)
    with written(job, tmp_path / "p.pdf", paper="arch-d") as pdf:
        plan = pdf.pages[0].extract_text()
        rest = " ".join(" ".join(w["text"] for w in page.extract_words(use_text_flow=True)) for page in pdf.pages[1:])
    for said in (
        "Back yard drain",
        "A. Sample",
        "12 Example Lane",
        "Example Drainage",
        "2026-05-04",
        "Front step 100.00",
    ):
        assert said in plan
    for s in job.structures:
        assert s.id in plan
        assert s.id in rest
    for title in (
        "Warnings",
        "Crossings",
        "Structures",
        "Runs",
        "Flow paths",
        "Takeoff",
        "Notes",
        "Before you dig",
    ):
        assert title in rest
    for finding in warnings_of(review):
        assert " ".join(words.sentence(finding).split()) in rest
    for line in review.takeoff:
        assert " ".join(words.item(line).split()) in rest
    assert "This plan does not say that a dig is safe." in plan
    assert "811" in plan
    assert "Élan, ½, ⅛, 6′ 2″." in rest


def test_the_legend_names_what_is_on_this_plan_only(tmp_path: Path) -> None:
    with written(yards.tiny(), tmp_path / "p.pdf") as pdf:
        text = pdf.pages[0].extract_text()
    assert "solid pipe" in text
    assert "daylight outfall" in text
    for absent in ("perforated pipe", "gas", "lot line", "dry well", "tree trunk", "hand-dig strip"):
        assert absent not in text


def test_the_owner_reads_what_will_be_done_and_no_rod_level_figures(tmp_path: Path) -> None:
    with written(yards.rich(), tmp_path / "p.pdf", audience="owner") as pdf:
        plan = pdf.pages[0].extract_text()
        rest = " ".join(page.extract_text() for page in pdf.pages[1:])
    assert "rim" not in plan
    assert "inv" not in plan
    assert "What will be done" in rest
    assert "pop-up emitter" in rest
    assert "Invert" not in rest
    assert "does not say that a dig is safe" in rest


def test_pages_are_named_numbered_and_in_the_outline(tmp_path: Path) -> None:
    path = tmp_path / "p.pdf"
    names = write_sheets(Contents(yards.rich(), analyse(yards.rich())), path, audience="all")
    with written(yards.rich(), path, audience="all") as pdf:
        assert len(names) == len(pdf.pages)
        assert names[0] == "Plan"
        assert "Owner's plan" in names
        for i, page in enumerate(pdf.pages, start=1):
            assert f"page {i} of {len(names)}" in page.extract_text()
        assert f"{1} of {len(names)}" in pdf.pages[0].extract_text()
        titles = [title for _, title, *_ in pdf.doc.get_outlines()]
        assert titles[:2] == ["For the crew", "Plan"]
        assert "Takeoff" in titles
        assert pdf.metadata["Title"] == "Back yard drain"
        assert pdf.metadata["Author"] == "Example Drainage"
        assert str(pdf.doc.catalog["ViewerPreferences"].resolve()["PrintScaling"]) == "/'None'"


def test_a_long_table_flows_on_with_its_head_repeated(tmp_path: Path) -> None:
    basins = tuple(
        m.Structure(id=f"B{i}", kind="basin", point=(5.0 + i % 20 * 6, 10.0 + i // 20 * 12)) for i in range(90)
    )
    with written(replace(yards.tiny(), structures=basins, runs=()), tmp_path / "p.pdf") as pdf:
        heads = [page for page in pdf.pages if "Inverts in" in page.extract_text()]
        assert len(heads) >= 2
        assert all(overlapping_text(page) == [] for page in pdf.pages[1:])


def test_an_empty_job_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(SheetError, match=r"^Nothing is drawn yet: draw the yard first, then print it\.$"):
        write_sheets(Contents(Job(), analyse(Job())), tmp_path / "p.pdf")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"paper": "foolscap"}, "foolscap"),
        ({"scale_ft_per_in": 0.0}, "Scale 0"),
        ({"scale_ft_per_in": float("nan")}, "Scale nan"),
        ({"scale_ft_per_in": -10.0}, "Scale -10"),
        ({"audience": "dog"}, "dog"),
        ({"lang": "../en"}, "language"),
        ({"lang": "xx"}, "language"),
    ],
)
def test_what_cannot_be_printed_is_refused_by_name(asked: dict[str, object], said: str, tmp_path: Path) -> None:
    with pytest.raises(SheetError, match=said):
        write_sheets(Contents(yards.tiny(), analyse(yards.tiny())), tmp_path / "p.pdf", **asked)  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_written_is_refused_and_leaves_nothing_behind(tmp_path: Path) -> None:
    for out in (tmp_path / "no such folder" / "p.pdf", tmp_path, tmp_path / "a\x00b.pdf"):
        with pytest.raises(SheetError):
            write_sheets(Contents(yards.tiny(), analyse(yards.tiny())), out)
    assert list(tmp_path.iterdir()) == []


def test_a_job_of_one_point_or_of_a_county_prints(tmp_path: Path) -> None:
    one = Job(shots=(m.Shot(id="S1", point=(3, 3), elevation_ft=100.0),))
    wide = Job(boundary=m.Boundary(id="L1", points=((-50_000, -50_000), (50_000, -50_000), (0, 50_000))))
    for job in (one, wide):
        for paper in ("letter", "a4"):
            assert write_sheets(Contents(job, analyse(job)), tmp_path / "p.pdf", paper=paper)[0] == "Plan"


@pytest.mark.parametrize("audience", ["crew", "owner"])
def test_every_font_of_the_file_is_embedded(audience: str, tmp_path: Path) -> None:
    with written(yards.rich(), tmp_path / "p.pdf", audience=audience) as pdf:
        fonts = [
            resolve1(font)
            for page in pdf.pages
            for font in resolve1(resolve1(page.page_obj.attrs["Resources"])["Font"]).values()
        ]
        assert fonts
        for font in fonts:
            assert "FontFile2" in resolve1(font["FontDescriptor"]), font["BaseFont"]


def test_the_owners_pages_name_things_without_ids(tmp_path: Path) -> None:
    job = yards.rich()
    job = replace(job, downspouts=(m.Downspout(id="downspout-1", point=(75, 68)), *job.downspouts))
    with written(job, tmp_path / "p.pdf", audience="owner") as pdf:
        text = " ".join(page.extract_text() for page in pdf.pages)
    assert "downspout-1" not in text
