"""True scale, measured by an independent reader (pdfplumber) on every paper.

Source of the arithmetic: the PDF unit is 1/72 in (ISO 32000-1, 8.3.2.3, from memory); at 1 in = 10 ft, L ft is L/10 in.
The scales of an engineer's rule (10 to 60 divisions to the inch): common practice, from memory. Paper sizes: ISO 216 for A4
and A3, ANSI/ASME Y14.1 for letter, tabloid and the architectural sizes C and D (from memory).
"""

from math import dist
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.errors import SheetError
from drainsketch.job import model as m
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.scale import PAPERS, Scale, largest_fit
from tests.sheets import yards

TOLERANCE_IN = 0.005
INCHES = {  # held upright
    "letter": (8.5, 11),
    "tabloid": (11, 17),
    "arch-c": (18, 24),
    "arch-d": (24, 36),
    "a4": (210 / 25.4, 297 / 25.4),
    "a3": (297 / 25.4, 420 / 25.4),
}
SMALL_LOT = ((0.0, 0.0), (47.0, 0.0), (50.0, 31.0), (0.0, 33.5))


def lot(points: tuple[m.Point, ...], units: m.Units = "ft-in") -> m.Job:
    job = yards.tiny()
    return replace(job, boundary=m.Boundary(id="L1", points=points), header=m.Header(units=units))


def plan(job: m.Job, path: Path, **asked: Any) -> Any:
    write_sheets(Contents(job, analyse(job)), path, **asked)
    with pdfplumber.open(path) as pdf:
        page = pdf.pages[0]
        assert page.objects  # read while the file is open
        return page


def edges_in(page: Any, corners: int) -> list[float]:
    """Return the lengths of the lot line's edges on paper, in; it is the one outline of that width and corner count."""
    (line,) = [c for c in page.curves if c["linewidth"] == 1.4 and len(set(c["pts"])) == corners]
    points = line["pts"][:corners]
    return [dist(a, b) / 72 for a, b in zip(points, [*points[1:], points[0]], strict=True)]


def bar_in(page: Any) -> float:
    """Return the whole length of the scale bar, in: two boxes 7 pt high, end to end."""
    parts = [r for r in page.rects if abs(r["height"] - 7) < 1e-6 and r["linewidth"] == 0.6]
    assert len(parts) == 2
    return (max(r["x1"] for r in parts) - min(r["x0"] for r in parts)) / 72


@pytest.mark.parametrize("paper", PAPERS)
def test_the_lot_measures_its_length_over_ten_inches_at_ten_feet_to_the_inch(paper: str, tmp_path: Path) -> None:
    page = plan(lot(SMALL_LOT), tmp_path / "p.pdf", paper=paper, scale_ft_per_in=10)
    sides = [dist(a, b) for a, b in zip(SMALL_LOT, [*SMALL_LOT[1:], SMALL_LOT[0]], strict=True)]
    assert edges_in(page, 4) == pytest.approx([side / 10 for side in sides], abs=TOLERANCE_IN)
    assert bar_in(page) == pytest.approx(2.0, abs=TOLERANCE_IN)
    assert "Scale 1 in = 10 ft" in page.extract_text()


@pytest.mark.parametrize("paper", PAPERS)
def test_the_paper_has_its_standard_size(paper: str, tmp_path: Path) -> None:
    page = plan(lot(SMALL_LOT), tmp_path / "p.pdf", paper=paper)
    assert sorted((page.width / 72, page.height / 72)) == pytest.approx(INCHES[paper], abs=0.001)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_metric_lot_measures_true_at_one_to_two_hundred(paper: str, tmp_path: Path) -> None:
    page = plan(lot(SMALL_LOT, "m"), tmp_path / "p.pdf", paper=paper, scale_ft_per_in=200 / 12)
    # 47 ft = 14.3256 m; at 1:200 that is 71.628 mm
    assert edges_in(page, 4)[0] * 25.4 == pytest.approx(71.628, abs=TOLERANCE_IN * 25.4)
    assert bar_in(page) * 25.4 == pytest.approx(40.0, abs=TOLERANCE_IN * 25.4)
    text = page.extract_text()
    assert "Scale 1:200" in text
    assert "8 m" in text  # 40 mm at 1:200


@pytest.mark.parametrize("paper", PAPERS)
def test_the_picked_scale_reads_on_an_engineers_rule_and_is_the_true_one(paper: str, tmp_path: Path) -> None:
    page = plan(yards.rich(), tmp_path / "p.pdf", paper=paper)
    ((_, scale),) = [
        line.split("= ") for line in page.extract_text().split("\n") if "Scale 1 in" in line and "=" in line
    ][:1]
    ft_per_in = float(scale.split()[0])
    assert ft_per_in in (1, 2, 3, 4, 5, 6, 10, 20, 30, 40, 50, 60)
    assert edges_in(page, 5)[0] == pytest.approx(118 / ft_per_in, abs=TOLERANCE_IN)


def test_line_widths_do_not_scale_with_the_plan(tmp_path: Path) -> None:
    widths = set()
    for scale in (20, 40):
        page = plan(yards.rich(), tmp_path / "p.pdf", paper="tabloid", scale_ft_per_in=scale)
        widths.add(next(c["linewidth"] for c in page.curves if len(set(c["pts"])) == 5 and c["linewidth"] > 1))
    assert widths == {1.4}


def test_a_scale_that_takes_too_many_pages_is_refused_with_one_that_would_do(tmp_path: Path) -> None:
    with pytest.raises(SheetError) as refused:
        write_sheets(Contents(yards.rich(), analyse(yards.rich())), tmp_path / "p.pdf", scale_ft_per_in=0.5)
    text = str(refused.value)
    assert "At 1 in = 0.5 ft the yard takes more than 60 pages of letter paper" in text
    assert "On one page 1 in = 20 ft does" in text or "On one page 1 in = 30 ft does" in text
    assert not (tmp_path / "p.pdf").exists()


def test_the_largest_scale_that_fits_is_taken() -> None:
    # 7 in x 5 in of room: 70 ft x 50 ft fits just at 1 in = 10 ft, one foot more does not
    assert largest_fit(70, 50, (504, 360), "ft") == Scale(10)
    assert largest_fit(71, 50, (504, 360), "ft") == Scale(20)
    # 20 m x 10 m at 1:100 is 200 mm x 100 mm
    room = (200 / 25.4 * 72, 100 / 25.4 * 72)
    assert largest_fit(20 / 0.3048, 10 / 0.3048, room, "m") == Scale(100 / 12, metric=True)
