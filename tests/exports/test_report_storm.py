"""The played storm in ``check --json`` and in the lines of ``check``: the engine's numbers, and none without rain."""

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.exports.report import check_report, json_text, report_schema
from drainsketch.files.saving import save_job
from drainsketch.job.rain import Rain
from drainsketch.resources import sample_jobs
from drainsketch.review import analyse
from drainsketch.study import play, study
from drainsketch.water.storm.facts import standing_of
from tests.test_review import SAMPLES, sample

SCHEMA = json.loads(json.dumps(report_schema("check")))
LAWN = sample("low-lawn")


def check(path: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "drainsketch", "check", str(path), *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)


def printed(job: Any) -> tuple[Any, Any]:
    closer = study(analyse(job))
    storm = play(closer)
    report = json.loads(json_text(check_report(closer.whole, closer=closer, storm=storm)))
    jsonschema.Draft202012Validator(SCHEMA).validate(report)
    return report["water"]["played"], storm


@pytest.mark.parametrize("name", SAMPLES)
def test_numbers_are_those_of_the_playing(name: str) -> None:
    told, storm = printed(replace(sample(name), rain=LAWN.rain))
    assert told["storm_min"] == 120.0
    assert told["rain_in"] == pytest.approx(2.56)  # 10-year, 120 min, by the table in the job
    assert told["ends_min"] == storm.after.minute[-1] > 120.0
    for side, played in (("before", storm.before), ("after", storm.after)):
        s, account = standing_of(played), played.sum
        row = told[side]["standing"]
        assert row.pop("worst_min") == s.minute
        assert row == {key: getattr(s, key) for key in row}
        row = told[side]["account"]
        assert row.pop("miss") == account.miss < 1e-3
        assert row == {key: getattr(account, key.removesuffix("_ft3")) for key in row}
        leaves = sum(row[key] for key in ("piped_ft3", "off_ft3", "soaked_ft3", "stands_ft3", "inside_ft3"))
        assert leaves == pytest.approx(row["comes_ft3"] + row["held_ft3"], rel=1e-3)
    assert [row["structure"] for row in told["structures"]] == list(storm.after.structures)
    assert [row["level_ft"] for row in told["structures"]] == np.max(storm.after.level_ft, axis=0).tolist()
    assert [row["run"] for row in told["runs"]] == list(storm.after.runs)
    for n, row in enumerate(told["runs"]):
        at = storm.after.moment(row["at_min"])
        assert row["flow_cfs"] == storm.after.flow_cfs[at, n] == storm.after.flow_cfs[:, n].max()


def test_without_rain_there_is_none() -> None:
    told, storm = printed(replace(LAWN, rain=Rain()))
    assert told is None is storm


def test_without_shots_there_is_no_before() -> None:
    bare = replace(LAWN, shots=(), structures=tuple(replace(s, rim_ft=99.0) for s in LAWN.structures))
    storm = play(study(analyse(bare)))
    told, _ = printed(bare)
    assert (told is None) == (storm is None)
    assert told is None or told["before"] is None


def test_the_command_line_prints_both(tmp_path: Path) -> None:
    path = Path(str(sample_jobs().joinpath("low-lawn.drainjob")))
    told = json.loads(check(path, "--json").stdout)["water"]["played"]
    assert told["before"]["standing"]["still"] and not told["after"]["standing"]["still"]
    done = check(path)
    assert done.returncode == 0 and done.stderr == ""
    (today,) = re.findall(
        r"^10-year, 2\.56 in of rain in 2 h\. Today, as figured: at the worst (\d+) sq ft", done.stdout, re.M
    )
    (then,) = re.findall(r"^With the drains, as figured: at the worst (\d+) sq ft", done.stdout, re.M)
    assert float(today) == pytest.approx(told["before"]["standing"]["area_ft2"], rel=0.05)
    assert float(then) == pytest.approx(told["after"]["standing"]["area_ft2"], rel=0.05)
    save_job(replace(LAWN, rain=Rain()), tmp_path / "dry.drainjob")
    assert "as figured" not in check(tmp_path / "dry.drainjob").stdout


def test_the_lines_are_spanish_too() -> None:
    said = check(Path(str(sample_jobs().joinpath("low-lawn.drainjob"))), "--lang", "es").stdout
    assert "Hoy, según el cálculo" in said and "Con los drenajes, según el cálculo" in said
