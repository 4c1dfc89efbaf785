"""What stands on the crew's paper is what the program prints as JSON, figure by figure, to the last printed digit.

Both are read back as strangers would: the PDF word by word with pdfplumber, the JSON from the command line.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.edits.change import change_header
from drainsketch.resources import sample_jobs
from tests.exports.yards import SAMPLES
from tests.sheets.reading import words_in_order

NUMBER = r"(-?[\d,]+(?:\.\d+)?)"


def as_printed(printed: str, exact: float) -> bool:
    """Return whether a printed figure is the exact one to the digits it has."""
    places = len(printed.partition(".")[2])
    return abs(float(printed.replace(",", "")) - exact) <= 0.5 * 10.0**-places + 1e-9


def run(*arguments: str, capsys: pytest.CaptureFixture[str]) -> Any:
    assert main([*arguments]) in (0, 1)
    return json.loads(capsys.readouterr().out)


def yard_in(units: str, name: str, folder: Path) -> Path:
    job = change_header(parse_job(sample_jobs().joinpath(name).read_bytes()), units=units)
    path = folder / name
    path.write_text(job_text(job), encoding="utf-8")
    return path


READ: dict[str, str] = {}  # the words of each PDF that was written, by the job it is of


def crew_words(yard: Path, capsys: pytest.CaptureFixture[str]) -> str:
    job = yard.read_text(encoding="utf-8")
    if job not in READ:
        out = yard.with_suffix(".pdf")
        assert main(["sheets", str(yard), "-o", str(out), "--paper", "tabloid"]) == 0
        capsys.readouterr()
        READ[job] = words_in_order(out)
    return READ[job]


def after(text: str, *starts: str, words: int) -> str:
    """Return the words that follow the first of these that is found."""
    at = min((m.end() for start in starts for m in re.finditer(rf"(?<!\S){re.escape(start)}(?!\S)", text)), default=-1)
    assert at >= 0, starts
    return " ".join(text[at:].split()[:words])


def levels_of(structure: dict[str, Any]) -> Iterator[float]:
    yield structure["rim_ft"]
    yield from (invert["invert_ft"] for invert in structure["inverts_in"])
    if structure["invert_out_ft"] is not None:
        yield structure["invert_out_ft"]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_takeoff_on_paper_is_that_of_the_json(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard = yard_in("ft-in", name, tmp_path)
    lines = run("takeoff", str(yard), "--json", capsys=capsys)["lines"]
    text = crew_words(yard, capsys)
    text = text[text.rindex("As counted, without") :]  # the takeoff, after the loading list
    for line in lines:
        item = " ".join(line["item"].split())
        found = re.search(rf"(?<!\S){re.escape(item)} {NUMBER} ", text)
        assert found, item
        assert as_printed(found[1], line["quantity"]), (item, found[1], line["quantity"])


@pytest.mark.parametrize("name", SAMPLES)
def test_levels_slopes_and_cuts_on_paper_are_those_of_the_json(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard = yard_in("ft", name, tmp_path)
    report = run("check", str(yard), "--json", capsys=capsys)
    text = crew_words(yard, capsys)
    stopped = any(f["level"] == "stop" for f in report["findings"])
    schedule = text[text.find("No. Kind Ground Rim") :]
    for structure in report["structures"]:
        if structure["ground_ft"] is not None and not stopped:
            said = after(schedule, structure["id"], words=24)
            for level in levels_of(structure):
                assert f"{level:.2f}" in said, (structure["id"], level, said)
    for sheet in report["cut_sheets"]:
        row_of = {row["id"]: row for row in report["runs"]}[sheet["run"]]
        said = after(text, f"{sheet['run']} {row_of['from']} → {row_of['to']}", words=24)
        for figure in (f"{row_of['slope'] * 100:.2f}%", f"{row_of['invert_up_ft']:.2f}", f"{row_of['length_ft']:.2f}"):
            assert figure in said, (sheet["run"], figure, said)
        below = after(text, f"Cut sheet {sheet['run']}", words=400)
        for row in sheet["rows"]:
            figures = f"{row['ground_ft']:.2f} {row['invert_ft']:.2f} {row['cut_ft']:.2f}"
            assert re.search(rf"{row['station_ft']:.2f} ft [^%]{{0,60}}?≈?{figures}", below), (sheet["run"], figures)


@pytest.mark.parametrize("name", SAMPLES)
def test_crossings_on_paper_are_those_of_the_json(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard = yard_in("ft", name, tmp_path)
    crossings = run("check", str(yard), "--json", capsys=capsys)["crossings"]
    text = crew_words(yard, capsys)
    for crossing in crossings:
        station = f"{crossing['station_ft']:.2f} ft"
        said = after(text, f"{crossing['number']} {crossing['run_id']} {station}", words=40)
        for length in (crossing["service_depth_ft"], crossing["hand_dig_ft"] or None, crossing["clearance_ft"]):
            if length is not None:
                assert f"{abs(length):.2f}" in said, (crossing["number"], length, said)
