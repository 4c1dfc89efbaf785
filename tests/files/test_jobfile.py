"""The job file: what is written reads back equal, and what is not a job is refused with its place, quickly."""

import json
import os
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from msgspec.structs import replace

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import MOST_BYTES, job_text, parse_job, read_job
from drainsketch.files.migrations.steps import VERSION
from drainsketch.job.model import Boundary, Header, Job, Obstacle, Run, Service, Shot, Structure
from tests.strategies import jobs

YARD = Job(
    header=Header(title="Corner lot", date="2026-05-14"),
    boundary=Boundary(id="boundary", points=((0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0))),
    obstacles=(Obstacle(id="tree-1", kind="tree", points=((12.5, 40.0),), trunk_diameter_in=14.0, name="red oak"),),
    services=(Service(id="gas-1", kind="gas", points=((0.0, 30.0), (80.0, 31.5)), depth_top_ft=2.5),),
    shots=(
        Shot(id="S1", point=(0.0, 0.0), elevation_ft=100.0),
        Shot(id="S2", point=(80.0, 0.0), elevation_ft=99.42),
        Shot(id="S3", point=(0.0, 60.0), elevation_ft=98.1),
    ),
    structures=(
        Structure(id="B1", kind="basin", point=(20.0, 20.0), size_in=12),
        Structure(id="O1", kind="outfall", point=(78.0, 58.0), outfall="daylight", invert_ft=96.5),
    ),
    runs=(Run(id="R1", start="B1", end="O1", via=((50.0, 25.0),)),),
)


def complaints(text: str | bytes) -> tuple[str, ...]:
    """Return what reading says against a text."""
    with pytest.raises(JobFileError) as caught:
        parse_job(text if isinstance(text, bytes) else text.encode(), "yard.drainjob")
    return caught.value.complaints


def altered(**parts: Any) -> str:
    """Return the yard's file with some top-level parts replaced."""
    return json.dumps({**json.loads(job_text(YARD)), **parts})


def with_thing(collection: str, index: int, **fields: Any) -> str:
    """Return the yard's file with some fields of one thing replaced."""
    raw = json.loads(job_text(YARD))
    raw[collection][index].update(fields)
    return json.dumps(raw)


@given(jobs())
def test_a_job_written_and_read_is_equal(job: Job) -> None:
    text = job_text(job)
    again = parse_job(text.encode())
    assert again == job
    assert job_text(again) == text


@given(jobs(wide=True))
def test_floats_of_any_size_are_exact(job: Job) -> None:
    assert parse_job(job_text(job).encode()) == job


@given(jobs())
def test_the_stdlib_reads_the_text_and_finds_format_and_version_first(job: Job) -> None:
    raw = json.loads(job_text(job))
    assert list(raw)[:2] == ["format", "version"]
    assert (raw["format"], raw["version"]) == ("drainsketch-job", VERSION)


def test_the_file_reads_well() -> None:
    lines = job_text(YARD).splitlines()
    assert '    {"id": "S2", "point": [80.0, 0.0], "elevation_ft": 99.42},' in lines
    assert '    "title": "Corner lot",' in lines
    assert all(len(line) <= 120 for line in lines)
    long_line = replace(
        YARD, services=(Service(id="gas-1", kind="gas", points=tuple((float(i), 0.1) for i in range(99))),)
    )
    assert all(len(line) <= 120 for line in job_text(long_line).splitlines())
    assert parse_job(job_text(long_line).encode()) == long_line


def test_one_moved_structure_changes_one_line() -> None:
    moved = replace(YARD, structures=(replace(YARD.structures[0], point=(21.0, 20.0)), YARD.structures[1]))
    before, after = job_text(YARD).splitlines(), job_text(moved).splitlines()
    assert len([1 for a, b in zip(before, after, strict=True) if a != b]) == 1


def test_a_byte_order_mark_and_windows_line_ends_are_read() -> None:
    assert parse_job(b"\xef\xbb\xbf" + job_text(YARD).replace("\n", "\r\n").encode()) == YARD


def test_any_language_is_written_as_it_is() -> None:
    text = job_text(
        replace(YARD, header=Header(title="Jardín de la Peña ½ 庭 🌳", notes='a "quote" \\ and\nlines\u2028'))
    )
    assert "Jardín de la Peña ½ 庭 🌳" in text
    assert parse_job(text.encode()).header.notes == 'a "quote" \\ and\nlines\u2028'


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", "empty"),
        (" \n ", "empty"),
        ("[]", "format: missing"),
        ("null", "format: missing"),
        ("{}", "format: missing"),
        ('{"format": "something"}', 'format: "something" is not drainsketch-job'),
        ('{"format": "drainsketch-job"}', "version: missing"),
        ('{"format": "drainsketch-job", "version": true}', "version: true is not"),
        ('{"format": "drainsketch-job", "version": "1"}', 'version: "1" is not'),
        ('{"format": "drainsketch-job", "version": 0}', "version: 0 is not"),
        ('{"format": "drainsketch-job", "version": 1.0}', "version: 1.0 is not"),
        ('{"format": "drainsketch-job",\n "version" 1}', "line 2, column 12"),
        ('{"format": "drainsketch-job", "version": 1, "version": 1}', "version: the key stands twice"),
        ('{"format": "drainsketch-job", "version": 1, "header": {"title": "a', "cut off"),
        ('{"format": "drainsketch-job", "version": 1} x', "line 1, column 45"),
        ("PK\x03\x04", "line 1, column 1: this is not JSON"),
        ("<html>", "line 1, column 1: this is not JSON"),
        ("[" * 100_000, "too deep"),
        ('{"a":' * 100_000, "too deep"),
        ('{"format": "drainsketch-job", "version": ' + "9" * 5000 + "}", "thousands of digits"),
    ],
)
def test_what_is_not_a_job_file_is_refused_with_its_place(text: str, place: str) -> None:
    (complaint,) = complaints(text)
    assert place in complaint
    assert "\n" not in complaint


def test_a_newer_version_is_refused_and_says_so() -> None:
    (complaint,) = complaints('{"format": "drainsketch-job", "version": 7, "anything": []}')
    assert complaint == (
        f"version: written by a newer drainsketch (version 7; this one reads up to {VERSION}); "
        "update the program; the file is untouched"
    )


def test_bytes_that_are_no_text_are_named_by_their_offset() -> None:
    data = job_text(YARD).encode()
    assert complaints(data[:40] + b"\xff" + data[40:])[0].startswith("byte 40:")
    assert "UTF-16" in complaints(job_text(YARD).encode("utf-16"))[0]


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (with_thing("runs", 0, diameter_in=40), "runs[0].diameter_in: 40 is not one of 3, 4, 6, 8, 10, 12"),
        (
            with_thing("shots", 2, elevation_ft=float("nan")),
            "shots[2].elevation_ft: NaN is not a level from -2000 to 30000",
        ),
        (
            with_thing("shots", 2, elevation_ft=float("-inf")),
            "shots[2].elevation_ft: -Infinity is not a level from -2000 to 30000",
        ),
        (with_thing("shots", 1, elevation_ft="99"), 'shots[1].elevation_ft: "99" is not a level from -2000 to 30000'),
        (with_thing("shots", 1, elevation_ft=True), "shots[1].elevation_ft: true is not a level from -2000 to 30000"),
        (with_thing("shots", 0, point=[1.0]), "shots[0].point: a list of 1 is not a point [x, y] in feet"),
        (
            with_thing("shots", 0, point=[1.0, 60_000]),
            "shots[0].point[1]: 60000 is not a coordinate from -50000 to 50000",
        ),
        (with_thing("services", 0, points=[[0, 0]]), "services[0].points: 1 point; at least 2 belong here"),
        (with_thing("services", 0, points={}), "services[0].points: an object is not a list in brackets"),
        (with_thing("services", 0, size_in=0), "services[0].size_in: 0 is not a number above 0 and up to 240"),
        (
            with_thing("services", 0, kind="steam"),
            'services[0].kind: "steam" is not one of electric, gas, communication, '
            "water, irrigation, sewer, drain line, unidentified",
        ),
        (with_thing("runs", 0, sock=1), "runs[0].sock: 1 is not true or false"),
        (
            with_thing("runs", 0, id="R 1"),
            'runs[0].id: "R 1" is not an id (a letter, then letters, digits and hyphens, at most 40 in all)',
        ),
        (with_thing("runs", 0, diamter_in=4), "runs[0].diamter_in: unknown key; did you mean diameter_in?"),
        (altered(structurs=[]), "structurs: unknown key; did you mean structures?"),
        (
            altered(boundary={"id": "boundary", "points": [[0, 0], [1, 1]]}),
            "boundary.points: 2 points; at least 3 belong here",
        ),
        (altered(header={"date": "14 May"}), 'header.date: "14 May" is not a date like 2026-05-14'),
        (altered(header={"title": "x" * 201}), f'header.title: "{"x" * 60}..." is not text of at most 200 characters'),
        (altered(criteria=[]), "criteria: a list of 0 is not an object in braces"),
        (altered(shots=[3]), "shots[0]: 3 is not an object in braces"),
        (altered(shots=[{"id": "S1", "elevation_ft": 99}]), "shots[0].point: missing"),
        (
            with_thing("structures", 0, id="O1"),
            "structures[1].id: O1 is taken by structures[0]; give one of the two another id",
        ),
        (with_thing("structures", 0, id="B2"), "runs[0].start: there is no structure B1"),
        (with_thing("runs", 0, end="B1"), "runs[0].end: the run starts and ends at B1; end it at another structure"),
        (
            with_thing("structures", 0, outfall="curb"),
            "structures[0].outfall: belongs to an outfall only; this is a basin",
        ),
        (with_thing("structures", 1, size_in=12), "structures[1].size_in: belongs to a basin only; this is an outfall"),
        (
            with_thing("structures", 0, kind="downspout inlet", size_in=None, downspout="downspout-1"),
            "structures[0].downspout: there is no downspout downspout-1",
        ),
        (with_thing("obstacles", 0, points=[[0, 0], [1, 1]]), "obstacles[0].points: a tree is one point; this has 2"),
        (
            with_thing("obstacles", 0, kind="fence", trunk_diameter_in=None),
            "obstacles[0].points: a fence needs at least 2 points; this has 1",
        ),
        (
            with_thing("obstacles", 0, kind="well"),
            "obstacles[0].trunk_diameter_in: belongs to a tree only; this is a well",
        ),
        (with_thing("obstacles", 0, name="\ud800"), 'obstacles[0].name: "?" holds half a character; type it again'),
    ],
)
def test_content_out_of_bounds_names_its_place_and_what_belongs_there(text: str, complaint: str) -> None:
    assert complaints(text)[0] == complaint


def test_numbers_too_large_for_a_float_are_refused_with_their_path() -> None:
    text = job_text(YARD).replace("99.42", "1e999")
    assert complaints(text) == ("shots[1].elevation_ft: Infinity is not a level from -2000 to 30000",)
    text = job_text(YARD).replace("99.42", "9" * 400)
    assert complaints(text) == ("shots[1].elevation_ft: so large a number is not a level from -2000 to 30000",)


def test_a_doubled_key_deep_inside_is_named_with_its_path() -> None:
    text = job_text(YARD).replace('"elevation_ft": 99.42', '"elevation_ft": 99.42, "elevation_ft": 99.43')
    assert complaints(text) == ("shots[1].elevation_ft: the key stands twice in one object; keep one",)


def test_all_complaints_come_at_once_in_file_order() -> None:
    raw = json.loads(job_text(YARD))
    raw["shots"][0]["elevation_ft"] = "low"
    raw["shots"][2]["point"] = [0, "x"]
    raw["runs"][0]["use"] = "french"
    found = complaints(json.dumps(raw))
    assert [c.split(":")[0] for c in found] == ["shots[0].elevation_ft", "shots[2].point[1]", "runs[0].use"]
    with pytest.raises(JobFileError, match=r"^shots\[0\].*\(and 2 more\)$"):
        parse_job(json.dumps(raw).encode())


def test_a_file_cut_off_anywhere_is_refused_and_left_alone(tmp_path: Path) -> None:
    data = job_text(YARD).encode()
    path = tmp_path / "yard.drainjob"
    for length in range(0, len(data.rstrip()), 50):
        path.write_bytes(data[:length])
        with pytest.raises(JobFileError):
            read_job(path)
        assert path.read_bytes() == data[:length]


def test_files_that_cannot_be_job_files_are_refused_at_once(tmp_path: Path) -> None:
    sparse = tmp_path / "sparse.drainjob"
    with sparse.open("wb") as file:
        file.truncate(200_000_000)
    started = time.process_time()
    with pytest.raises(JobFileError, match="200 MB; a job file stays under 20 MB"):
        read_job(sparse)
    assert time.process_time() - started < 0.5
    assert sparse.stat().st_size == 200_000_000
    with pytest.raises(JobFileError, match="a folder"):
        read_job(tmp_path)
    with pytest.raises(JobFileError, match="no such file"):
        read_job(tmp_path / "none.drainjob")
    with pytest.raises(JobFileError, match="cannot be read"):
        read_job("a\0b")
    with pytest.raises(JobFileError, match="cannot be read"):
        read_job(tmp_path / ("x" * 300))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_named_pipe_does_not_hang_the_reader(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(JobFileError, match="a device or pipe"):
        read_job(tmp_path / "pipe")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.drainjob"
    path.write_text(job_text(YARD))
    path.chmod(0)
    with pytest.raises(JobFileError, match="may not be read"):
        read_job(path)


HEAD = '{"format":"drainsketch-job","version":1,'
HOSTILE = {
    "empty lists": lambda: "[" + "[]," * 6_600_000 + "[]]",
    "many lists": lambda: "[" + "[]," * 1_990_000 + "[]]",
    "objects": lambda: "[" + "{}," * 6_600_000 + "[]]",
    "numbers": lambda: "[" + "1.5," * 4_900_000 + "1]",
    "keys": lambda: HEAD + ",".join(f'"k{i}":1' for i in range(990_000)) + "}",
    "points": lambda: HEAD + '"boundary":{"id":"b","points":[' + ",".join(["[1,1]"] * 1_990_000) + "]}}",
    "one id": lambda: HEAD + '"shots":[' + ",".join(['{"id":"S","point":[1,1],"elevation_ft":1}'] * 199_000) + "]}",
    "doubled keys": lambda: HEAD + '"shots":[' + ",".join(['{"id":"S","id":"T"}'] * 199_000) + "]}",
    "late doubled key": lambda: HEAD + ",".join(f'"k{i}":1' for i in range(990_000)) + ',"a":1,"a":2}',
    "line feeds": lambda: "\n" * 19_900_000 + "{",
    "digits": lambda: HEAD + '"x":' + "9" * 19_000_000 + "}",
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_the_worst_file_of_the_greatest_size_is_refused_in_two_seconds(kind: str) -> None:
    data = HOSTILE[kind]().encode()
    assert len(data) <= MOST_BYTES
    started = time.process_time()
    with pytest.raises(JobFileError):
        parse_job(data)
    assert time.process_time() - started < 2


def test_half_a_million_good_points_are_read() -> None:
    ring = tuple((float(i % 700), float(i % 900)) for i in range(5_000))
    many = Job(obstacles=tuple(Obstacle(id=f"bed-{i}", kind="bed", points=ring) for i in range(100)))
    assert parse_job(job_text(many).encode()) == many
