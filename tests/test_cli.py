"""The command line as a user meets it, in a process of its own where that may make a difference."""

import json
import os
import re
import subprocess
import sys
import time
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import jsonschema
import pytest

from drainsketch.cli import main
from drainsketch.files.migrations.steps import VERSION
from drainsketch.resources import sample_jobs
from tests.files.drawings import lot_dxf
from tests.test_review import SAMPLES

YARD = Path(str(sample_jobs().joinpath("corner-lot.drainjob")))


def fresh(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the program in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "drainsketch", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **environment},
        timeout=60,
    )


def drainsketch(*arguments: object) -> subprocess.CompletedProcess[str]:
    """Run the program in this process, which is a second quicker."""
    said, told = StringIO(), StringIO()
    with redirect_stdout(said), redirect_stderr(told):
        try:
            code = main([*map(str, arguments)])
        except SystemExit as left:
            code = int(left.code or 0)
    return subprocess.CompletedProcess([*map(str, arguments)], code, said.getvalue(), told.getvalue())


def busy_s() -> float:
    """Return the seconds of work that processes started from here have taken: what else the machine does is no fault of theirs."""
    times = os.times()
    return times.children_user + times.children_system if sys.platform != "win32" else time.perf_counter()


@pytest.mark.parametrize("name", SAMPLES)
def test_check_exits_1_when_something_is_at_stop_level_and_0_otherwise(name: str) -> None:
    done = fresh("check", YARD.with_name(f"{name}.drainjob"))
    assert done.returncode == (1 if name == "courtyard" else 0)
    assert done.stderr == ""
    assert "811" in done.stdout
    assert ("cannot drain" in done.stdout) == (name == "courtyard")


@pytest.mark.parametrize("name", SAMPLES)
def test_check_json_holds_against_its_schema_and_agrees_with_itself(name: str) -> None:
    done = drainsketch("check", YARD.with_name(f"{name}.drainjob"), "--json")
    report = json.loads(done.stdout)
    jsonschema.validate(report, json.loads(drainsketch("schema", "check").stdout))
    assert (report["format"], report["version"]) == ("drainsketch-check", 1)
    runs = {r["id"]: r for r in report["runs"]}
    for run in runs.values():
        assert run["slope"] * run["length_ft"] == pytest.approx(run["invert_up_ft"] - run["invert_down_ft"], abs=1e-6)
    for path in report["paths"]:
        assert path["length_ft"] == pytest.approx(sum(runs[r]["length_ft"] for r in path["runs"]))
        assert runs[path["runs"][0]]["from"] == path["inlet"]
        assert runs[path["runs"][-1]]["to"] == path["outfall"]
    for a, b in ((p, q) for path in report["paths"] for p, q in zip(path["runs"], path["runs"][1:], strict=False)):
        assert runs[a]["to"] == runs[b]["from"]
    for crossing in report["crossings"]:
        if crossing["clearance_ft"] is not None:
            over = crossing["pipe_bottom_ft"] - crossing["service_top_ft"]
            under = crossing["service_bottom_ft"] - crossing["pipe_top_ft"]
            assert crossing["clearance_ft"] == pytest.approx(max(over, under))


def test_check_sheets_and_takeoff_speak_the_language_asked_for(tmp_path: Path) -> None:
    english, spanish = (drainsketch("check", YARD, "--lang", lang).stdout for lang in ("en", "es"))
    assert "0 stop, 4 settle, 7 note\ndrainsketch does not say that a dig is safe. Call 811 before digging;" in english
    assert "Alto: 0. Por resolver: 4. Notas: 7.\ndrainsketch no dice que sea seguro excavar. Llame al 811" in spanish
    assert {line.split()[0] for line in spanish.splitlines()[:-3]} == {"resolver", "nota"}
    quantities = drainsketch("takeoff", YARD, "--lang", "es").stdout
    assert "pies   Tubo perforado, 4 pulg, PE corrugado" in quantities
    report = json.loads(drainsketch("check", YARD, "--lang", "es", "--json").stdout)
    assert any("equipo de vacío (CGA Best Practices 5.20)" in f["source"] for f in report["findings"])
    written = drainsketch("sheets", YARD, "--lang", "es", "-o", tmp_path / "plano.pdf").stdout
    assert re.fullmatch(rf"{re.escape(str(tmp_path / 'plano.pdf'))}: \d+ páginas\n", written)


def test_takeoff_json_holds_against_its_schema() -> None:
    report = json.loads(drainsketch("takeoff", YARD, "--json").stdout)
    jsonschema.validate(report, json.loads(drainsketch("schema", "takeoff").stdout))
    assert all(line["rule"] and line["arithmetic"] and line["quantity"] > 0 for line in report["lines"])


def test_takeoff_prints_the_loading_list_in_the_language_asked_for() -> None:
    said = drainsketch("takeoff", YARD, "--loading").stdout
    assert said.splitlines()[0] == "Pipe rack"
    assert "Hand spades with blunt edges" in said
    assert drainsketch("takeoff", YARD, "--loading", "--lang", "es").stdout.splitlines()[0] == "Estante de tubos"


def test_the_sample_jobs_hold_against_the_printed_schema() -> None:
    schema = json.loads(drainsketch("schema").stdout)
    for name in SAMPLES:
        jsonschema.validate(json.loads(YARD.with_name(f"{name}.drainjob").read_text()), schema)


GOOD = YARD.read_text()
BAD = {
    "truncated": GOOD[: len(GOOD) // 2].encode(),
    "empty": b"",
    "not json": b"%PDF-1.7 nothing of ours",
    "wrong format": b'{"format": "shopping-list", "version": 1}',
    "newer version": GOOD.replace(f'"version": {VERSION}', '"version": 99', 1).encode(),
    "not a number": GOOD.replace('"elevation_ft": ', '"elevation_ft": NaN, "was": ', 1).encode(),
    "infinite": GOOD.replace('"elevation_ft": ', '"elevation_ft": 1e999, "was": ', 1).encode(),
    "unknown diameter": GOOD.replace('"diameter_in": 6', '"diameter_in": 40', 1).encode(),
    "latin 1": GOOD.replace("Patio", "Patio \xe9").encode("latin-1"),
    "deep": b"[" * 200_000,
}


@pytest.mark.parametrize("what", BAD)
@pytest.mark.parametrize("command", ["check", "takeoff", "sheets"])
def test_a_bad_file_is_one_line_exit_2_and_stays_untouched(tmp_path: Path, what: str, command: str) -> None:
    path = tmp_path / "bad.drainjob"
    path.write_bytes(BAD[what])
    started = busy_s()
    done = fresh(command, path, *(["-o", tmp_path / "out.pdf"] if command == "sheets" else []))
    assert busy_s() - started < 2.0
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "bad.drainjob" in done.stderr
    assert "Traceback" not in done.stderr
    assert path.read_bytes() == BAD[what]
    assert [p.name for p in tmp_path.iterdir()] == ["bad.drainjob"]


def test_a_file_of_200_mb_is_refused_at_once(tmp_path: Path) -> None:
    path = tmp_path / "huge.drainjob"
    with path.open("wb") as f:
        f.write(GOOD.encode())
        f.truncate(200_000_000)
    started = busy_s()
    done = fresh("check", path)
    assert busy_s() - started < 2.0
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert path.stat().st_size == 200_000_000


def test_the_place_of_a_bad_value_is_named() -> None:
    path = YARD
    done = fresh("check", path.with_name("no-such.drainjob"))
    assert done.returncode == 2
    assert "no-such.drainjob" in done.stderr


def test_bad_place_in_a_run_names_it_with_what_is_allowed(tmp_path: Path) -> None:
    path = tmp_path / "bad.drainjob"
    path.write_bytes(BAD["unknown diameter"])
    message = drainsketch("check", path).stderr
    assert "diameter_in: 40 is not one of 3, 4, 6, 8, 10, 12" in message
    assert "runs[" in message


def test_outputs_are_written_and_the_job_itself_is_never_overwritten(tmp_path: Path) -> None:
    job = tmp_path / "yard.drainjob"
    job.write_text(GOOD)
    for arguments, out in (
        (("sheets",), "plan.pdf"),
        (("export",), "plan.dxf"),
        (("export",), "plan.geojson"),
        (("export",), "points.csv"),
    ):
        done = drainsketch(*arguments, job, "-o", tmp_path / out)
        assert (done.returncode, done.stderr) == (0, "")
        assert (tmp_path / out).stat().st_size > 500
    done = drainsketch("takeoff", job, "--csv", tmp_path / "t.csv", "--xlsx", tmp_path / "t.xlsx")
    assert (done.returncode, done.stderr) == (0, "")
    for arguments in (("sheets", job, "-o", job), ("takeoff", job, "--csv", job), ("export", job, "-o", job)):
        assert drainsketch(*arguments).returncode == 2
    other = tmp_path / "other.drainjob"
    other.write_text(GOOD)
    for arguments in (("sheets", job, "-o", other), ("takeoff", job, "--xlsx", other), ("export", job, "-o", other)):
        assert drainsketch(*arguments).returncode == 2
    assert other.read_text() == GOOD
    assert job.read_text() == GOOD


def test_exports_that_are_not_there_say_so(tmp_path: Path) -> None:
    for out in ("plan.xml", "plan.xyz"):
        done = drainsketch("export", YARD, "-o", tmp_path / out)
        assert done.returncode == 2
        assert out in done.stderr


def test_a_scale_that_does_not_fit_is_refused(tmp_path: Path) -> None:
    done = drainsketch("sheets", YARD, "-o", tmp_path / "p.pdf", "--scale", "2")
    assert done.returncode == 2
    assert not (tmp_path / "p.pdf").exists()


def test_check_into_a_closed_pipe_is_quiet() -> None:
    done = subprocess.run(
        f"{sys.executable} -m drainsketch check {YARD} --json | head -1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""


def test_samples_are_listed() -> None:
    listed = drainsketch("samples").stdout.split()
    assert {Path(p).stem for p in listed} == set(SAMPLES)
    assert all(Path(p).exists() for p in listed)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("chek", YARD), "did you mean check?"),
        (("frobnicate",), "neither a command nor a job file"),
        (("check",), "job"),
        (("check", YARD, "--loud"), "--loud"),
        (("sheets", YARD, "-o", "plan.txt"), "plan.txt: end the name in .pdf"),
        (("sheets", YARD, "-o", "p.pdf", "--scale", "tiny"), "tiny is not a scale"),
        (("picture", "nosuch.drainjob", "-o", "p.png"), "nosuch.drainjob"),
        (("takeoff", YARD, "--csv", "/nosuch-folder/t.csv"), "t.csv"),
    ],
)
def test_a_wrong_call_is_told_in_one_line(arguments: tuple[object, ...], says: str) -> None:
    done = drainsketch(*arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the window needs no display server there")
def test_without_a_display_the_window_says_so() -> None:
    done = fresh(YARD, DISPLAY="", WAYLAND_DISPLAY="", QT_QPA_PLATFORM="")
    assert done.returncode == 2
    assert "no display" in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_plain_terminal_gets_a_question_mark_for_what_it_cannot_show() -> None:
    done = fresh("takeoff", YARD, PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, "")
    assert "22.5? bend" in done.stdout


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
def test_output_that_cannot_be_written_is_told_in_one_line() -> None:
    done = subprocess.run(
        f"{sys.executable} -m drainsketch takeoff {YARD} > /dev/full",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "no room" in done.stderr


def test_takeoff_says_that_stops_stand() -> None:
    courtyard = YARD.with_name("courtyard.drainjob")
    assert "2 findings at stop level" in drainsketch("takeoff", courtyard).stdout
    assert json.loads(drainsketch("takeoff", courtyard, "--json").stdout)["stops"] == 2
    assert "stop level" not in drainsketch("takeoff", YARD).stdout


def test_check_says_why_water_cannot_leave_and_what_would_cure_it() -> None:
    courtyard = YARD.with_name("courtyard.drainjob")
    said = drainsketch("check", courtyard).stdout
    assert "Why: Pipe at B1 can be no higher than" in said
    assert "Cure: Make O1 a dry well." in said
    findings = json.loads(drainsketch("check", courtyard, "--json").stdout)["findings"]
    lost = [f for f in findings if f["kind"] == "cannot_drain"]
    assert all(f["reason"] and len({c["kind"] for c in f["cures"]}) >= 2 for f in lost)
    assert {tuple(c["settles"]) for f in lost for c in f["cures"]} == {("B1", "B2")}


def test_the_command_line_runs_by_the_name_of_its_module_too(tmp_path: Path) -> None:
    """The sample court has stops, so check exits 1 and says why; a file that is not there is told and exits 2."""
    court = YARD.with_name("courtyard.drainjob")
    named = [sys.executable, "-m", "drainsketch.cli", "check"]
    done = subprocess.run([*named, str(court)], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 1
    assert "cannot drain" in done.stdout
    gone = subprocess.run(
        [*named, str(tmp_path / "none.drainjob")], capture_output=True, text=True, check=False, timeout=60
    )
    assert gone.returncode == 2
    assert "none.drainjob" in gone.stderr


def test_import_lays_a_drawing_under_a_plan_or_takes_its_lot_line(tmp_path: Path) -> None:
    from drainsketch.files.jobfile import read_job

    drawing, new = lot_dxf(tmp_path / "site.dxf"), tmp_path / "new.drainjob"
    done = drainsketch("import", YARD, drawing, "-o", new)
    assert (done.returncode, done.stderr) == (0, "")
    assert "2 lines, 110' 0\" wide and 84' 0\" high" in done.stdout and "1 TEXT" in done.stdout
    job = read_job(new)
    assert job.backdrop is not None and len(job.backdrop.lines) == 2
    assert job.boundary == read_job(YARD).boundary
    done = drainsketch("import", YARD, drawing, "-o", new, "--as", "lot-line", "--unit", "in", "--place", "origin")
    assert done.returncode == 0 and "says it is in feet; it is taken in inches" in done.stdout
    boundary = read_job(new).boundary
    assert boundary is not None and boundary.points[1] == pytest.approx((110 / 12, 0), abs=1e-4)


@pytest.mark.parametrize(
    ("drawing", "output", "said"),
    [
        ("gone.dxf", "new.drainjob", "gone.dxf: this file cannot be read"),
        ("plan.pdf", "new.drainjob", "a drawing comes as .dxf or .geojson"),
        ("open.geojson", "new.drainjob", "open.geojson: no line in it is closed"),
        ("open.geojson", "new.dxf", "end the name in .drainjob"),
    ],
)
def test_import_writes_nothing_when_it_cannot(tmp_path: Path, drawing: str, output: str, said: str) -> None:
    (tmp_path / "open.geojson").write_text('{"type": "LineString", "coordinates": [[0, 0], [50, 50]]}')
    done = drainsketch("import", YARD, tmp_path / drawing, "-o", tmp_path / output, "--as", "lot-line")
    assert done.returncode == 2 and said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert not (tmp_path / output).exists()
