"""The storm's tables on paper, against figures worked by hand."""

from pathlib import Path

import pdfplumber
from msgspec.structs import replace

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain
from tests.sheets.reading import overlapping_text, type_size
from tests.yards import basin, drawn, outfall, run, shot


def yard(intensity_in_h: float | None = 4.0) -> Job:
    """A plane that falls 2 %; B1 with 2,000 ft2 at C 0.5 typed, 4 in SDR 35 to an outfall 50 ft off."""
    ground = [shot(x, y, 100 + 0.02 * x) for x in (0, 30, 60) for y in (-15, 0, 15)]
    job = drawn(
        *ground,
        basin(55, 0, size_in=12, area_ft2=2_000.0, runoff_c=0.5, tc_min=10.0),
        outfall(5, 0, "tie-in", invert_ft=97.9),
        run("B1", "O1"),
    )
    return replace(job, rain=Rain(intensity_in_h=intensity_in_h, source="typed by hand"))


def words_of(job: Job, tmp_path: Path, *more: str) -> str:
    at, out = tmp_path / "yard.drainjob", tmp_path / "yard.pdf"
    at.write_text(job_text(job), encoding="utf-8")
    assert main(["sheets", str(at), "-o", str(out), *more]) == 0
    with pdfplumber.open(out) as pdf:
        assert not [pair for page in pdf.pages for pair in overlapping_text(page)]
        assert min(type_size(c) for page in pdf.pages for c in page.chars) >= 9.0 - 0.01
        return "\n".join(page.extract_text() or "" for page in pdf.pages)


def test_flow_and_capacity_as_by_hand(tmp_path: Path) -> None:
    """Q = 1.00833 x 0.5 x 4 in/h x 2,000 / 43,560 = 0.0926 cfs = 41.6 gpm. Full pipe at n 0.010, inside 3.975 in (ASTM D3034):
    1.486 / 0.010 x 0.08618 ft2 x (0.0828 ft)^(2/3) x s^0.5 = 2.433 s^0.5 cfs; at 2 % 0.344 cfs = 154 gpm."""
    text = words_of(yard(), tmp_path)
    row = next(line for line in text.splitlines() if line.startswith("B1 2000 sq ft"))
    assert "0.50 10.0 min 4.00 in/h 42 gpm" in row
    pipe = next(line for line in text.splitlines() if line.startswith("R1 2000 sq ft"))
    assert "42 gpm" in pipe and pipe.endswith("carries it")
    assert "typed by hand" in text
    assert "Thin blue line" in text
    assert "a licensed engineer decide which storm" in text


def test_a_pipe_that_is_too_small_says_so_and_metric_jobs_speak_metric(tmp_path: Path) -> None:
    """Ten times the rain: 0.926 cfs = 26.2 L/s, more than a 4 in pipe at 2 % carries."""
    job = yard(40.0)
    job = replace(job, header=replace(job.header, units="m"))
    text = words_of(job, tmp_path, "--lang", "es")
    pipe = next(line for line in text.splitlines() if line.startswith("R1 185.8 m²"))
    assert "1016 mm/h 26 L/s" in pipe and pipe.endswith("muy chico")
    assert "gpm" not in text


def test_a_job_without_rain_has_no_storm_on_paper(tmp_path: Path) -> None:
    text = words_of(yard(None), tmp_path)
    assert "What the pipe carries" not in text and "Thin blue line" not in text
