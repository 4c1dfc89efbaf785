"""drainsketch options and --option, as a user meets them."""

import json
from pathlib import Path

import jsonschema
import pytest

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text
from drainsketch.job.edits.change import change
from drainsketch.job.edits.options import add_option
from drainsketch.resources import sample_jobs
from tests.test_options import plane_yard

YARDS = Path(str(sample_jobs().joinpath("corner-lot.drainjob"))).parent
LAWN, CORNER = YARDS / "low-lawn.drainjob", YARDS / "corner-lot.drainjob"


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize("lang", ["en", "es"])
def test_the_table_has_a_column_for_each_option_and_says_what_is_invented(capsys, lang):
    code, out, err = run(capsys, "options", LAWN, "--lang", lang)
    assert (code, err) == (0, "")
    assert "{" not in out
    head = out.splitlines()[0]
    assert [head.index(name) > 0 for name in ("Three basins", "Two basins", "Drain in stone")] == [True] * 3
    assert ("EXAMPLE PRICES" if lang == "en" else "PRECIOS DE EJEMPLO") in out
    assert "811" in out
    assert ("Catch basins" if lang == "en" else "Registros con rejilla") in out


def test_the_json_holds_to_its_schema_and_has_the_prices_of_the_price_command(capsys):
    _, told, _ = run(capsys, "options", LAWN, "--json")
    report = json.loads(told)
    _, schema, _ = run(capsys, "schema", "options")
    jsonschema.validate(report, json.loads(schema))
    assert [one["name"] for one in report["options"]] == ["Three basins", "Two basins", "Drain in stone"]
    assert [one["drawn"] for one in report["options"]] == [True, False, False]
    for one in report["options"]:
        _, price, _ = run(capsys, "price", LAWN, "--json", "--option", one["name"])
        _, takeoff, _ = run(capsys, "takeoff", LAWN, "--json", "--option", one["name"].upper())
        code, check, _ = run(capsys, "check", LAWN, "--json", "--option", one["name"])
        assert one["figures"]["total_usd"] == json.loads(price)["total"]
        lines = json.loads(takeoff)["lines"]
        assert one["figures"]["basins"] == sum(x["quantity"] for x in lines if x["key"] == "basin_body")
        levels = [f["level"] for f in json.loads(check)["findings"]]
        assert one["figures"]["settles"] == levels.count("settle")
        assert code == (1 if one["figures"]["stops"] else 0)


def test_an_option_that_is_not_there_is_told_with_those_that_are(capsys, tmp_path):
    for command in (
        ["check"],
        ["takeoff"],
        ["price"],
        ["sheets", "-o", tmp_path / "x.pdf"],
        ["export", "-o", tmp_path / "x.dxf"],
    ):
        code, out, err = run(capsys, command[0], LAWN, *command[1:], "--option", "Pool")
        assert (code, out) == (2, "")
        assert "has no option Pool; there are Three basins, Two basins, Drain in stone" in err
    _, _, err = run(capsys, "check", CORNER, "--option", "Pool")
    assert "it has one only, without a name" in err
    _, _, err = run(capsys, "picture", LAWN, "-o", tmp_path / "x.png", "--option", "Pool")
    assert "has no option Pool" in err


def test_sheets_and_exports_are_those_of_the_option(capsys, tmp_path):
    _, _, err = run(capsys, "export", LAWN, "-o", tmp_path / "two.csv", "--option", "two basins")
    assert err == ""
    _, _, err = run(capsys, "export", LAWN, "-o", tmp_path / "three.csv")
    assert err == ""
    two, three = ((tmp_path / name).read_text(encoding="utf-8") for name in ("two.csv", "three.csv"))
    assert "B3" in three
    assert "B3" not in two


def test_a_job_of_one_option_is_shown_by_itself_and_one_that_stops_is_told(capsys, tmp_path):
    code, out, _ = run(capsys, "options", CORNER)
    assert code == 0
    assert "one option only" in out
    stopped = change(add_option(plane_yard(), "Up hill"), "O1", invert_ft=101.0)
    path = tmp_path / "a.drainjob"
    path.write_text(job_text(stopped), encoding="utf-8")
    _, out, _ = run(capsys, "options", path)
    assert "Up hill: " in out
    assert "do not stand yet" in " ".join(out.split())
    assert "no: B1" in out
