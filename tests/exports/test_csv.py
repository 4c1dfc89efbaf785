"""CSV, read back by the stdlib reader. Formula starts: OWASP, CSV Injection."""

import csv
from pathlib import Path

import pytest

from drainsketch.errors import SheetError
from drainsketch.exports.csv import points_csv, takeoff_csv, write_points_csv, write_takeoff_csv
from drainsketch.exports.text import inert_cell
from drainsketch.job.model import Job
from drainsketch.review import analyse
from tests.exports.yards import BAD_TEXTS, SAMPLES, hostile, sample


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines(keepends=True)))


@pytest.mark.parametrize("name", SAMPLES)
def test_the_takeoff_carries_every_line_with_its_quantity_and_reason(name: str, tmp_path: Path) -> None:
    job, review = sample(name)
    write_takeoff_csv(job, review, tmp_path / "t.csv")
    read = rows((tmp_path / "t.csv").read_bytes().decode("utf-8-sig"))
    assert len(read) == len(review.takeoff) > 0
    for row, line in zip(read, review.takeoff, strict=True):
        assert float(row["Quantity"]) == pytest.approx(line.quantity, abs=5.1e-5)
        assert row["How it is counted"] and row["Arithmetic"] and row["Item"] and row["Unit"]


def test_the_points_are_northing_before_easting(tmp_path: Path) -> None:
    job, review = sample("corner-lot.drainjob")
    write_points_csv(job, review, tmp_path / "p.csv")
    text = (tmp_path / "p.csv").read_bytes().decode()
    assert text.startswith("P,N,E,Z,D\r\n")
    read = rows(text)
    assert [int(row["P"]) for row in read] == list(range(1, len(read) + 1))
    for row, structure in zip(read, job.structures, strict=False):
        assert (float(row["E"]), float(row["N"])) == pytest.approx(structure.point, abs=5.1e-4)
        assert float(row["Z"]) == pytest.approx(review.levels[structure.id].rim_ft, abs=5.1e-4)
        assert row["D"].startswith(f"{structure.id} {structure.kind}")
    for row, shot in zip(read[-len(job.shots) :], review.shots, strict=True):
        assert float(row["Z"]) == pytest.approx(shot.elevation_ft, abs=5.1e-4)
    bends = sum(len(run.via) for run in job.runs)
    assert len(read) == len(job.structures) + bends + len(review.crossings) + len(job.shots)


def test_without_shots_the_elevation_is_left_empty() -> None:
    job = Job(structures=sample("corner-lot.drainjob")[0].structures)
    assert {row["Z"] for row in rows(points_csv(job, analyse(job)))} == {""}


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_no_text_is_taken_for_a_formula(text: str) -> None:
    cell = inert_cell(text)
    assert not cell.startswith(("=", "+", "-", "@", "＝", "\t", "\r", "\n", " "))
    assert cell.isprintable()


def test_a_job_full_of_formulas_writes_none() -> None:
    job, review = hostile()
    for text in (takeoff_csv(job, review), points_csv(job, review)):
        for row in csv.reader(text.splitlines(keepends=True)):
            for cell in row:
                try:
                    float(cell)
                except ValueError:
                    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))


def test_a_folder_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    job, review = sample("corner-lot.drainjob")
    with pytest.raises(SheetError, match="folder is not there"):
        write_points_csv(job, review, tmp_path / "none" / "p.csv")
    with pytest.raises(SheetError, match="a folder of that name"):
        write_takeoff_csv(job, review, tmp_path)
    assert list(tmp_path.iterdir()) == []
