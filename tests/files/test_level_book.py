"""The level book in the job file: it reads well, and a damaged or hostile one is refused with its path."""

import json
import time
from typing import Any

import pytest
from msgspec.structs import replace

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.model import Shot
from drainsketch.review import analyse
from tests.ground.books import book, bs, fs, inter, known, setup
from tests.yards import drawn

YARD = replace(
    drawn(Shot(id="S1", point=(0, 0)), Shot(id="S2", point=(5, 5), elevation_ft=99.0)),
    book=book(
        setup(bs("BM1", 4.0), inter("a", 5.0, "S1"), fs("", 6.0)),
        setup(instrument="string line", name="porch"),
        marks=(known("BM1", 100.0), known("", 99.0)),
    ),
)


def complaints(raw: Any) -> tuple[str, ...]:
    with pytest.raises(JobFileError) as caught:
        parse_job(json.dumps(raw).encode())
    return caught.value.complaints


def raw() -> Any:
    return json.loads(job_text(YARD))


def test_a_sight_takes_a_line_and_it_reads_back_equal() -> None:
    text = job_text(YARD)
    assert '        {"id": "sight-2", "kind": "intermediate", "at": "a", "reading_ft": 5.0, "shot": "S1"},\n' in text
    assert '      {"id": "benchmark-1", "name": "BM1", "elevation_ft": 100.0},\n' in text
    assert '      {"id": "setup-2", "instrument": "string line", "name": "porch", "sights": []}\n' in text
    assert parse_job(text.encode()) == YARD


def test_a_reading_struck_out_reads_back_as_none() -> None:
    struck = replace(YARD, book=book(setup(bs("BM1", None), inter("a", 5.0, "S1")), marks=(known("BM1", 100.0),)))
    assert '{"id": "sight-1", "kind": "backsight", "at": "BM1"},' in job_text(struck)
    assert parse_job(job_text(struck).encode()) == struck


def test_a_shot_with_a_level_of_its_own_and_a_sight_is_refused_with_the_path() -> None:
    wrong = raw()
    wrong["shots"][0]["elevation_ft"] = 98.0
    assert complaints(wrong) == (
        "book.setups[0].sights[1].shot: S1 has a level of its own; take the level off the shot, or the shot off the sight",
    )


def test_a_sight_on_a_shot_that_is_not_there_is_refused() -> None:
    wrong = raw()
    wrong["book"]["setups"][0]["sights"][2]["shot"] = "S9"
    assert complaints(wrong) == ("book.setups[0].sights[2].shot: there is no shot S9",)


def test_an_id_that_stands_twice_is_refused() -> None:
    wrong = raw()
    wrong["book"]["setups"][1]["id"] = "sight-3"
    wrong["book"]["benchmarks"][1]["id"] = "S1"
    assert complaints(wrong) == (
        "book.benchmarks[1].id: S1 is taken by shots[0]; give one of the two another id",
        "book.setups[1].id: sight-3 is taken by book.setups[0].sights[2]; give one of the two another id",
    )


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("benchmarks", 0, "elevation_ft"), "high", 'book.benchmarks[0].elevation_ft: "high" is not a level'),
        (("setups", 0, "instrument"), "laser", "book.setups[0].instrument: "),
        (("setups", 0, "sights", 0, "reading_ft"), 1e300, "book.setups[0].sights[0].reading_ft: "),
        (("setups", 0, "sights", 0, "kind"), "sideways", "book.setups[0].sights[0].kind: "),
        (("setups", 0, "sights", 0, "color"), "red", "book.setups[0].sights[0].color: unknown key"),
        (("setups", 0, "sights"), {}, "book.setups[0].sights: an object is not a list"),
        (("two_peg",), {"middle_a_ft": 1}, "book.two_peg.middle_b_ft: missing"),
        (("allowance_ft",), -1, "book.allowance_ft: -1 is not a number"),
        (("adjust",), "yes", 'book.adjust: "yes" is not true or false'),
    ],
)
def test_a_damaged_book_is_refused_with_its_path(path: tuple[Any, ...], value: Any, told: str) -> None:
    wrong = raw()
    at = wrong["book"]
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    assert any(c.startswith(told) for c in complaints(wrong))


def test_a_book_as_long_as_the_file_takes_is_worked_out_without_harm() -> None:
    sights = tuple(fs("BM1", 4.0) for _ in range(20))
    long = replace(
        YARD,
        shots=(),
        book=book(
            setup(bs("BM1", 4.0), fs("T0", 4.0)),
            *(setup(bs(f"T{i}", 4.0), *sights, fs(f"T{i + 1}", 4.0)) for i in range(998)),
            setup(*(bs(f"n{i}", 4.0) for i in range(3000))),
            marks=(known("BM1", 100.0),),
            adjust=True,
        ),
    )
    start = time.perf_counter()
    job = parse_job(job_text(long).encode())
    review = analyse(job)
    assert time.perf_counter() - start < 20  # a guard against work that grows with the square, not a timing
    assert len(review.book.sights) == 2 + 998 * 22 + 3000
