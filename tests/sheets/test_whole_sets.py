"""Every sample yard with all that is known of it, for crew and owner, in both languages, on four papers, read back page by page.

What is looked for: words over words, words or lines that leave the page, type too small to read at arm's length. That the looking
finds what it looks for is shown on pages where it was planted.
"""

import io
from functools import cache
from math import dist
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas

from drainsketch.files.firm import letterhead_in_use
from drainsketch.files.jobfile import parse_job
from drainsketch.files.prices import prices_in_use
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.sheets.book import made_sheets
from drainsketch.sheets.contents import Contents, contents_for
from drainsketch.study import study
from tests.exports.yards import SAMPLES
from tests.sheets.reading import least_type_pt, overlapping_text

EDGE_PT = 17  # 1/4 in, less a point of what common printers leave blank (common practice, no source)
WHITE = 250  # of 255
LEAST_TYPE_PT = 8.99
TOLERANCE_PT = 0.005 * 72
PAPERS = ("letter", "tabloid", "arch-d", "a4")


@cache
def contents(name: str) -> Contents:
    closer = study(analyse(parse_job(sample_jobs().joinpath(name).read_bytes())))
    return contents_for(closer, "all", prices_in_use(), letterhead_in_use(), contours=True)


def faults(data: bytes) -> list[str]:
    """Return what is wrong on the pages of a PDF. Lines may run on under a clip, so the margin is looked at as it is seen."""
    found = []
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            at = f"page {page.page_number}"
            found += [f"{at}: {one!r} over {other!r}" for one, other in overlapping_text(page)]
            if least_type_pt(page) < LEAST_TYPE_PT:
                found.append(f"{at}: small type")
            page.close()
    seen = pypdfium2.PdfDocument(data)
    for number, page in enumerate(seen, start=1):
        ink = np.asarray(page.render(scale=1.0, grayscale=True).to_numpy()).squeeze() < WHITE
        ink[EDGE_PT:-EDGE_PT, EDGE_PT:-EDGE_PT] = False
        if ink.any():
            found.append(f"page {number}: past the margin")
    seen.close()
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_stands_over_anything_or_leaves_its_page(name: str, lang: str, paper: str) -> None:
    data, _ = made_sheets(contents(name), paper=paper, audience="all", lang=lang)
    assert faults(data.getvalue()) == []


@pytest.mark.parametrize(
    ("at", "size", "said"),
    [((200.0, 400.0), 10.0, "over"), ((-3.0, 300.0), 10.0, "past the margin"), ((300.0, 30.0), 6.0, "small type")],
)
def test_what_is_planted_is_found(at: tuple[float, float], size: float, said: str) -> None:
    data, _ = made_sheets(contents("corner-lot.drainjob"), audience="owner", lang="en")
    clean = data.getvalue()
    assert faults(clean) == []
    with pdfplumber.open(io.BytesIO(clean)) as pdf:
        number, page = next((i, p) for i, p in enumerate(pdf.pages) if len(p.chars) > 600)
        middle = page.chars[len(page.chars) // 2]
        spot = (middle["x0"] - 4, middle["y0"] + 1) if said == "over" else at
        sheet = io.BytesIO()
        canvas = Canvas(sheet, pagesize=(page.width, page.height))
        canvas.setFont("Helvetica", size)
        canvas.drawString(*spot, "planted words")
        canvas.save()
    writer = PdfWriter(clone_from=io.BytesIO(clean))
    writer.pages[number].merge_page(PdfReader(sheet).pages[0])
    spoiled = io.BytesIO()
    writer.write(spoiled)
    assert any(f.startswith(f"page {number + 1}: ") and said in f for f in faults(spoiled.getvalue()))


def lot_edges_pt(page: Any, corners: int) -> list[list[float]]:
    """Return the edge lengths of every closed outline of that many corners on a page, pt."""
    outlines = [[*c["pts"]] for c in page.curves if len(c["pts"]) in (corners, corners + 1)]
    outlines += [
        [(r["x0"], r["top"]), (r["x1"], r["top"]), (r["x1"], r["bottom"]), (r["x0"], r["bottom"])] for r in page.rects
    ]
    return [
        [dist(a, b) for a, b in zip(o[:corners], [*o[1:corners], o[0]], strict=True)]
        for o in outlines
        if len(o) >= corners
    ]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SAMPLES)
def test_the_lot_on_the_plan_has_its_length_at_the_scale_that_is_printed(name: str, paper: str, tmp_path: Path) -> None:
    told = contents(name)
    lot = told.job.boundary
    assert lot is not None
    edges_ft = [dist(a, b) for a, b in zip(lot.points, (*lot.points[1:], lot.points[0]), strict=True)]
    data, _ = made_sheets(told, paper=paper, audience="owner", lang="en")
    with pdfplumber.open(data) as pdf:
        page = pdf.pages[0]
        text = page.extract_text()
        ft_per_in = float(text.partition("1 in = ")[2].split(" ft")[0])
        wanted = sorted(edge / ft_per_in * 72 for edge in edges_ft)
        found = lot_edges_pt(page, len(lot.points))
    off = [max(abs(a - b) for a, b in zip(sorted(o), wanted, strict=True)) for o in found]
    assert min(off) <= TOLERANCE_PT
