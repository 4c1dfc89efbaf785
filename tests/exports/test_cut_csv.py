"""The cut sheet as CSV, read back by the csv module, and by the command line."""

import csv
import io
from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.cli import main
from drainsketch.exports.cut_csv import cut_sheet_csv
from drainsketch.files.saving import save_job
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.review import analyse
from tests.desk.at_desk import PLANE_YARD

READ = read_laid(change_laying(PLANE_YARD, height_ft=103.0), "R1", 10.0, 5.9)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_station_has_a_line_with_its_figures() -> None:
    rows = rows_of(cut_sheet_csv(READ, analyse(READ)))
    assert [float(r["station_ft"]) for r in rows] == [0, 10, 20, 30, 40, 50]
    assert [r["what"].split(" ")[0] for r in rows] == ["structure", "", "crossing", "crossing", "", "structure"]
    for row in rows:
        assert float(row["invert_ft"]) == pytest.approx(97 + 0.02 * float(row["station_ft"]))
        assert float(row["cut_to_trench_bottom_ft"]) == pytest.approx(
            float(row["ground_ft"]) - float(row["trench_bottom_ft"]), abs=2e-3
        )
        assert "cut_ft" not in row
        assert float(row["reading_pipe_ft"]) == pytest.approx(103 - float(row["invert_ft"]))
    assert [r["laid_off_ft"] for r in rows] == ["", "-0.1", "", "", "", ""]
    assert rows[1]["laid_invert_ft"] == "97.1"


def test_a_metric_job_is_written_in_meters() -> None:
    metric = replace(READ, header=replace(READ.header, units="m"))
    rows = rows_of(cut_sheet_csv(metric, analyse(metric)))
    assert float(rows[1]["station_m"]) == pytest.approx(3.0)  # 10 ft is 3.048 m: the nearest half meter
    assert {"cut_to_trench_bottom_m", "cut_to_trench_bottom_ft_in"} <= set(rows[1])
    # 103.0 - 97.0 ft at the outfall, and 2% of 3.0 m less
    assert float(rows[1]["reading_pipe_m"]) == pytest.approx(6.0 * 0.3048 - 0.06, abs=5e-4)


def test_the_command_line_writes_it(tmp_path: Path) -> None:
    job = tmp_path / "yard.drainjob"
    save_job(READ, job)
    out = tmp_path / "cut.csv"
    assert main(["export", str(job), "-o", str(out), "--csv", "cut-sheet"]) == 0
    assert len(rows_of(out.read_text("utf-8-sig"))) == 6
    assert main(["export", str(job), "-o", str(out)]) == 0
    assert out.read_text().startswith("P,N,E,Z,D")
