"""drainsketch workplan, as a user meets it."""

import json
from decimal import Decimal
from pathlib import Path

import jsonschema
import pdfplumber
import pytest

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text, read_job
from drainsketch.job.edits.change import change_part
from drainsketch.resources import sample_jobs
from tests.test_review import SAMPLES

YARDS = Path(str(sample_jobs().joinpath("corner-lot.drainjob"))).parent
YARD = YARDS / "corner-lot.drainjob"


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return code, out, err


def test_days_tasks_and_cautions_are_printed(capsys):
    crew_hours = json.loads(run(capsys, "price", YARD, "--json")[1])["crew_hours"]
    code, out, err = run(capsys, "workplan", YARD)
    assert (code, err) == (0, "")
    assert f"Crew of 2, 8 hours a day: {crew_hours} crew hours on 2 days." in out
    assert "HOLD POINT: R8 from 0' 0\" to 23' 11 1/4\": read every station" in out
    assert "call 811" in out
    assert "have private lines located" in out
    assert "29 CFR 1926.651(k)" in out
    days = [line for line in out.splitlines() if line.startswith("Day ")]
    assert len(days) == 2
    hours = [Decimal(line.split()[0]) for line in out.splitlines() if line.startswith("  ") and line[8:10] == " h"]
    assert sum(hours) == Decimal(crew_hours)


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("name", SAMPLES)
def test_json_follows_its_schema_and_adds_up(capsys, name, lang):
    code, out, _ = run(capsys, "workplan", YARDS / f"{name}.drainjob", "--json", "--lang", lang)
    assert code == 0
    report = json.loads(out)
    _, schema, _ = run(capsys, "schema", "workplan")
    jsonschema.validate(report, json.loads(schema))
    assert (report["format"], report["version"]) == ("drainsketch-workplan", 1)
    said = sum(Decimal(d["hours"]) for d in report["days"]) + sum(Decimal(u["hours"]) for u in report["unplanned"])
    assert said == Decimal(report["hours"])
    _, price, _ = run(capsys, "price", YARDS / f"{name}.drainjob", "--json")
    assert Decimal(json.loads(price)["crew_hours"]) == Decimal(report["hours"])
    assert all(t["craft"] and t["craft_source"] for d in report["days"] for t in d["tasks"])


def test_dates_come_from_the_job_and_hours_from_the_files_named(capsys, tmp_path):
    job = change_part(read_job(YARD), "work", start="2026-05-04", ticket_asked="2026-04-29", ticket_wait_days=4)
    (tmp_path / "dated.drainjob").write_text(job_text(job), encoding="utf-8")
    terms = tmp_path / "terms.toml"
    terms.write_text("crew = 4\nday_hours = 6\n")
    _, out, _ = run(capsys, "workplan", tmp_path / "dated.drainjob", "--terms", terms, "--json")
    report = json.loads(out)
    assert (report["crew"], report["day_hours"]) == (4, "6")
    assert report["days"][0]["date"] == "2026-05-04"
    assert report["ticket"]["ready"] == "2026-05-06"
    assert report["notes"][0]["kind"] == "before_ready"


def test_a_file_that_cannot_be_read_is_one_sentence(capsys, tmp_path):
    code, out, err = run(capsys, "workplan", YARD, "--book", tmp_path / "none.csv")
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "none.csv" in err


@pytest.mark.parametrize(("audience", "has"), [("crew", True), ("owner", False)])
def test_the_crews_sheets_have_it(capsys, tmp_path, audience, has):
    out = tmp_path / "sheets.pdf"
    code, _, _ = run(capsys, "sheets", YARD, "-o", out, "--for", audience)
    assert code == 0
    with pdfplumber.open(out) as pdf:
        titles = [title for _, title, *_ in pdf.doc.get_outlines()]
    assert ({"Order of work", "Calendar", "Rain and safety"} <= {*titles}) == has
