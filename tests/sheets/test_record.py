"""The set for the record: pipe that nobody shot, what readings were taken from, and services as they were uncovered."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.model import Exposure, Header, Job, Service
from drainsketch.look import STYLES
from drainsketch.review import analyse
from drainsketch.sheets.cut_tables import built_tables
from drainsketch.sheets.exposed_schedule import exposed_schedule
from drainsketch.sheets.laid_marks import record_marks
from drainsketch.sheets.marks import Stroke
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.wording import Words
from tests.ground.books import book, bs, fs, known, setup
from tests.sheets.reading import written
from tests.yards import basin, drawn, outfall, plane, run

# by hand: HI 100 + 5 = 105, TP1 99.00, the string 99 + 4 = 103; R1 falls from 98.0 to 97.5 in 50 ft, R2 from 97.5 to 97.0
LEVELS = book(
    setup(bs("BM1", 5.0), fs("TP1", 6.0)), setup(bs("TP1", 4.0), instrument="string line"), marks=(known("BM1", 100.0),)
)
GAS = Service(
    id="gas-1",
    kind="gas",
    points=((20, -30), (20, 30)),
    size_in=1.0,
    known_by="exposed",
    exposed=(Exposure(point=(20.0, 0.5), depth_ft=0.5), Exposure(point=(20.0, 20.0), top_ft=98.75)),
)


def half_shot() -> Job:
    """Return B1 through B2 to O1 with R1 shot, low at B2, from HI and from the string, and R2 not."""
    structures = (basin(0, 0, invert_ft=98.0), basin(50, 0, invert_ft=97.5), outfall(100, 0, "tie-in", invert_ft=97.0))
    ground = plane(lambda x, y: 100.0)
    job = drawn(*ground, GAS, *structures, run("B1", "B2"), run("B2", "O1"))
    job = replace(job, book=LEVELS, header=Header(title="Two runs", units="ft"))
    job = read_laid(change_laying(job, setup="setup-1"), "R1", 0.0, 7.6)
    return read_laid(change_laying(job, setup="setup-2"), "R1", 50.0, 5.0)


def test_the_as_built_table_names_what_was_read_from_and_the_benchmark() -> None:
    job = half_shot()
    (table,) = built_tables(job, analyse(job), Words.of(job))
    assert "Read from HI 105.00, setup 1 on BM1; benchmark BM1 100.00." in table.about
    assert "Read down from the string at 103.00, setup 2 on TP1; benchmark BM1 100.00." in table.about
    typed = replace(
        read_laid(change_laying(job, height_ft=103.0), "R1", 50.0, 5.0),
        header=replace(job.header, benchmark="nail in the step, 100.00"),
    )
    (table,) = built_tables(typed, analyse(typed), Words.of(typed))
    assert "Read down from the string at 103.00. Benchmark: nail in the step, 100.00." in table.about


def test_low_and_high_pipe_are_told_apart() -> None:
    job = half_shot()
    (low,) = built_tables(job, analyse(job), Words.of(job))
    assert low.height.startswith("LIFT AND BED AGAIN where it is low: do not cover")
    assert [row[-1] for row in low.rows] == ["LIFT AND BED", "holds"]
    high = read_laid(job, "R1", 50.0, 4.9)
    (both,) = built_tables(high, analyse(high), Words.of(high, "es"))
    assert [row[-1] for row in both.rows] == ["LEVANTE Y ASIENTE", "EXCAVE MÁS"]
    assert both.height.startswith("LEVANTE Y ASIENTE OTRA VEZ donde está bajo, EXCAVE MÁS donde está alto")


@pytest.mark.parametrize(("lang", "said"), [("en", "R2 not shot"), ("es", "R2 sin leer")])
def test_a_run_that_was_not_shot_says_so_on_the_plan_and_has_a_line_of_its_own(
    tmp_path: Path, lang: str, said: str
) -> None:
    job = half_shot()
    review = analyse(job)
    marks = record_marks(plan_marks(job, review, lang=lang), review, Words.of(job, lang))
    styles = {m.owner: m.style for m in marks.drains if isinstance(m, Stroke) and m.owner in ("R1", "R2")}
    assert styles == {"R1": "run.solid", "R2": "run.unshot"}
    assert STYLES["run.unshot"] != STYLES["run.solid"]
    with written(job, tmp_path / "p.pdf", audience="record", lang=lang) as pdf:
        plan = pdf.pages[0].extract_text()
    assert said in plan
    assert ("pipe not shot" if lang == "en" else "tubo sin leer") in plan.replace("\n", " ")
    assert said.replace("R2", "R1") not in plan
    with written(job, tmp_path / "crew.pdf", lang=lang) as pdf:
        assert said not in pdf.pages[0].extract_text()  # the crew's plan is one of what is to be laid


def test_services_are_recorded_as_they_were_uncovered(tmp_path: Path) -> None:
    # ground 100.00: 0.5 ft down is 99.50, and a top of 98.75 is 1.25 ft down; the crossing at x 20 is at station 50 - 20 = 30
    job = half_shot()
    schedule = exposed_schedule(job, analyse(job), Words.of(job))
    assert schedule is not None
    assert [row[1:] for row in schedule.rows] == [
        ("at R1, station 30.00 ft", "0.50 ft", "99.50", "1 in"),
        ("20.00 ft east, 20.00 ft north", "1.25 ft", "98.75", "1 in"),
    ]
    with written(job, tmp_path / "p.pdf", audience="record") as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    assert "Services as exposed" in text
    assert "98.75" in text
    bare = replace(job, services=(replace(GAS, exposed=()),))
    assert exposed_schedule(bare, analyse(bare), Words.of(bare)) is None
