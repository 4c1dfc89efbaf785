"""Contours and standing water on paper: quiet, under the pipe, their words clear of all others."""

import re
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text, read_job
from drainsketch.ground.results import Contour
from drainsketch.job.edits.change import change
from drainsketch.job.model import Boundary, Job
from drainsketch.look import STYLES
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from drainsketch.sheets.marks import Stroke
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.water_marks import (
    Water,
    contour_labels,
    contour_style,
    interval_of,
    pond_label,
    volume_text,
    with_water,
)
from drainsketch.wording import Words
from tests.ponds import bowl_study, ring
from tests.sheets import yards
from tests.sheets.reading import least_type_pt, overlapping_text

CENTER = (30.0, 30.0)


def test_standing_water_is_drawn_on_both_plans_and_contours_only_when_asked(tmp_path: Path) -> None:
    job, ground = yards.rich(), bowl_study(CENTER)
    texts = {}
    for contours in (False, True):
        path = tmp_path / f"{contours}.pdf"
        write_sheets(Contents(job, analyse(job), ground, contours), path, audience="all")
        with pdfplumber.open(path) as pdf:
            plans = [p for p in pdf.pages if re.search("standing water|where water stands", p.extract_text() or "")]
            texts[contours] = [p.extract_text() for p in plans]
            assert len(plans) == 2
            for page in plans:
                assert overlapping_text(page) == []
                assert least_type_pt(page) >= 8.99
    crew, owner = texts[False]
    assert "6 in deep, 540 gal" in crew
    assert "spills at 97.48" in crew
    assert "today: 6 in deep, 540 gal" in owner
    assert "spills at" not in owner
    assert "contour" not in crew
    crew, owner = texts[True]
    assert "index contour" in crew
    assert "contour" not in owner


def test_standing_water_lies_over_paving_and_under_lines() -> None:
    job = yards.rich()
    marks = with_water(plan_marks(job, analyse(job)), Water(bowl_study(CENTER)), Words(), reader="crew")
    styles = [m.style for m in marks.ground if isinstance(m, Stroke)]
    at = styles.index("standing water")
    assert all(STYLES[s].fill for s in styles[:at])
    assert {s for s in styles[at + 1 :] if STYLES[s].fill} == {"building"}


def test_an_island_in_a_pond_stays_dry_on_paper(tmp_path: Path) -> None:
    """The ring of water is half as dark as its ink; the island in its middle is paper. 72 dots an inch: a dot is a point."""
    ground = bowl_study(CENTER)
    lake = replace(ground.ponds[0], outline=(ring(CENTER, 20.0), ring(CENTER, 8.0)))
    job = Job(boundary=Boundary(id="boundary", points=((0, 0), (60, 0), (60, 60), (0, 60))))
    path = tmp_path / "island.pdf"
    write_sheets(Contents(job, analyse(job), replace(ground, ponds=(lake,))), path, scale_ft_per_in=10)
    with pdfplumber.open(path) as pdf:
        page = pdf.pages[0]
        image = page.to_image(resolution=72).original.convert("RGB")
        lot = max(
            (c for c in page.curves + page.rects if c["width"] == pytest.approx(432, abs=1)), key=lambda c: c["height"]
        )
        x, y = (lot["x0"] + lot["x1"]) / 2, (lot["top"] + lot["bottom"]) / 2
        water = image.getpixel((round(x + 14 * 7.2), round(y)))
        island = image.getpixel((round(x + 4 * 7.2), round(y + 2 * 7.2)))
    assert island == (255, 255, 255)
    assert water == pytest.approx((207, 218, 225), abs=4)


def test_every_fifth_contour_is_heavier() -> None:
    assert interval_of(bowl_study().contours) == pytest.approx(0.5)
    styles = [contour_style(95.0 + 0.5 * i, 0.5) for i in range(11)]
    assert [i for i, s in enumerate(styles) if s == "contour.index"] == [0, 5, 10]
    assert [i for i in range(-20, 21) if contour_style(i * 0.1, 0.1) == "contour.index"] == [
        -20,
        -15,
        -10,
        -5,
        0,
        5,
        10,
        15,
        20,
    ]
    assert interval_of(()) == 1.0


def test_levels_stand_on_their_contour_where_it_is_nearly_straight() -> None:
    """On a circle of 50 ft round a point, words 6 ft wide leave the line by 6²/8/50 = 0.09 ft: they stand on it."""
    (circle,) = (c for c in bowl_study((0.0, 0.0)).contours if c.level_ft == 99.0)
    labels = list(contour_labels(circle, Words(), 6.0))
    assert len(labels) > 3
    for label in labels:
        assert np.hypot(*label.at) == pytest.approx(50.0, abs=0.2)
        assert label.along is not None
        (ax, ay), (bx, by) = label.along
        assert abs((bx - ax) * label.at[0] + (by - ay) * label.at[1]) < 1e-6 * 50 * np.hypot(bx - ax, by - ay) + 5


def test_a_line_that_is_short_or_winds_carries_no_level() -> None:
    short = Contour(99.0, (np.array([[0.0, 0.0], [5.0, 0.0]]),))
    zigzag = Contour(99.0, (np.array([[x, 6.0 * (x % 2)] for x in range(60)], dtype=float),))
    assert list(contour_labels(short, Words(), 6.0)) == []
    assert list(contour_labels(zigzag, Words(), 6.0)) == []


@pytest.mark.parametrize(
    ("gallons", "units", "said"),
    [(541.2, "ft-in", "540 gal"), (12_345.0, "ft", "12,000 gal"), (3.0, "ft", "under 5 gal"), (100.0, "m", "380 L")],
)
def test_volumes_are_said_to_two_figures(gallons: float, units: str, said: str) -> None:
    """100 US gallons are 378.54 L (1 gal = 231 cubic inches, exact; NIST Handbook 44, appendix C)."""
    assert volume_text(gallons, Words("en", units)) == said  # type: ignore[arg-type]


def test_water_that_an_inlet_takes_rises_to_its_grate() -> None:
    ground = bowl_study(inlets=("B1", "B9"))
    label = pond_label(ground.ponds[0], ground, Words())
    assert label is not None
    assert label.text == "6 in deep, 540 gal\nto the grate of B1"  # B9 leads nowhere


def test_the_command_line_draws_water_and_contours_of_a_sample_yard(tmp_path: Path) -> None:
    """The court of the sample stands under water today; with a lower outfall its basins drain it, so that the crew's plan shows other water."""
    court = read_job(Path(str(sample_jobs().joinpath("courtyard.drainjob"))))
    job = tmp_path / "court.drainjob"
    job.write_text(job_text(change(court, "O1", outfall="tie-in", invert_ft=96.0)), encoding="utf-8")
    out = tmp_path / "court.pdf"
    assert main(["sheets", str(job), "-o", str(out), "--for", "all", "--contours"]) == 0
    with pdfplumber.open(out) as pdf:
        turned = "".join(c["text"] for c in pdf.pages[0].chars if not c["upright"])
        crew, *_, owner = [
            t for p in pdf.pages if re.search("standing water|where water stands$", t := p.extract_text() or "", re.M)
        ]
    assert "100.00" in turned or "100.00" in turned[::-1]  # lettered along its line
    assert "contour" in crew and "contour" not in owner
    assert "today: " in owner and "today: " not in crew
