"""The storm's tables on paper, against figures worked by hand."""

import re
from pathlib import Path

import pdfplumber
from msgspec.structs import replace

from drainsketch.cli import main
from drainsketch.files.jobfile import job_text
from drainsketch.job.limits import SurfaceRule
from drainsketch.job.model import Boundary, Job
from drainsketch.job.rain import Rain
from drainsketch.resources import table
from drainsketch.review import analyse
from drainsketch.sheets.storm_tables import storm_tables
from drainsketch.study import study
from drainsketch.wording import Words
from tests.sheets.reading import least_type_pt, overlapping_text
from tests.test_review import sample
from tests.water.test_trench_wells import PIT
from tests.water.test_trench_wells import yard as well_yard
from tests.water.wet_yards import looked_at
from tests.yards import basin, drawn, outfall, run, shot


def yard(intensity_in_h: float | None = 4.0) -> Job:
    """A plane that falls 2 %; B1 with 2,000 ft2 at C 0.5 typed, 4 in SDR 35 to an outfall 50 ft off."""
    ground = [shot(x, y, 100 + 0.02 * x) for x in (0, 30, 60) for y in (-15, 0, 15)]
    job = drawn(
        *ground,
        basin(55, 0, size_in=12, area_ft2=2_000.0, runoff_c=0.5, tc_min=10.0),
        outfall(5, 0, "tie-in", invert_ft=97.9),
        run("B1", "O1"),
    )
    return replace(job, rain=Rain(intensity_in_h=intensity_in_h, source="typed by hand"))


def words_of(job: Job, tmp_path: Path, *more: str) -> str:
    at, out = tmp_path / "yard.drainjob", tmp_path / "yard.pdf"
    at.write_text(job_text(job), encoding="utf-8")
    assert main(["sheets", str(at), "-o", str(out), *more]) == 0
    with pdfplumber.open(out) as pdf:
        assert not [pair for page in pdf.pages for pair in overlapping_text(page)]
        assert min(map(least_type_pt, pdf.pages)) >= 9.0 - 0.01
        return "\n".join(page.extract_text() or "" for page in pdf.pages)


def test_flow_and_capacity_as_by_hand(tmp_path: Path) -> None:
    """Q = 1.00833 x 0.5 x 4 in/h x 2,000 / 43,560 = 0.0926 cfs = 41.6 gpm. Full pipe at n 0.010, inside 3.975 in (ASTM D3034):
    1.486 / 0.010 x 0.08618 ft2 x (0.0828 ft)^(2/3) x s^0.5 = 2.433 s^0.5 cfs; at 2 % 0.344 cfs = 154 gpm."""
    text = words_of(yard(), tmp_path)
    row = next(line for line in text.splitlines() if line.startswith("B1 2000 sq ft"))
    assert "0.50 10.0 min 4.00 in/h 42 gpm" in row
    pipe = next(line for line in text.splitlines() if line.startswith("R1 2000 sq ft"))
    assert "42 gpm" in pipe and pipe.endswith("carries it")
    assert "typed by hand" in text
    assert "Thin blue line" in text
    assert "a licensed engineer decide which storm" in text


def test_a_pipe_that_is_too_small_says_so_and_metric_jobs_speak_metric(tmp_path: Path) -> None:
    """Ten times the rain: 0.926 cfs = 26.2 L/s, more than a 4 in pipe at 2 % carries."""
    job = yard(40.0)
    job = replace(job, header=replace(job.header, units="m"))
    text = words_of(job, tmp_path, "--lang", "es")
    pipe = next(line for line in text.splitlines() if line.startswith("R1 185.8 m²"))
    assert "1016 mm/h 26 L/s" in pipe and pipe.endswith("muy chico")
    assert "gpm" not in text


def test_a_job_without_rain_has_no_storm_on_paper(tmp_path: Path) -> None:
    text = words_of(yard(None), tmp_path)
    assert "What the pipe carries" not in text and "Thin blue line" not in text


def lawn() -> Job:
    """The yard with its lawn left to the catalogue, on a lot of 30 x 20 ft about B1."""
    job = yard()
    bare = tuple(replace(s, area_ft2=None, runoff_c=None, tc_min=None) for s in job.structures)
    lot = Boundary(id="boundary", points=((30, -10), (60, -10), (60, 10), (30, 10)))
    return replace(job, structures=bare, boundary=lot)


def test_ground_that_runs_past_every_inlet_is_on_the_sheet(tmp_path: Path) -> None:
    """The plane falls west: of the lot, 600 ft2, only the strip of 5 ft above the grate of B1, a foot or two wide, gets there."""
    said = re.search(r"Runs past every inlet (\d+) sq ft ground inside the lot line", words_of(lawn(), tmp_path))
    assert said is not None
    assert 585 <= int(said[1]) <= 596


def test_a_box_that_comes_out_says_so_in_place_of_a_depth_over_its_grate(tmp_path: Path) -> None:
    text = words_of(yard(40.0), tmp_path)
    assert " comes out " in next(line for line in text.splitlines() if line.startswith("B1 2000 sq ft"))


def test_spanish_sheets_say_sources_and_rates_in_spanish(tmp_path: Path) -> None:
    """Titles of documents stay; rates and prose do not. Metric or not, no source stands in English."""
    job = lawn()
    text = " ".join(words_of(job, tmp_path, "--lang", "es").split())
    assert "4.00 pulg/h" in text and "pies/s" in text
    assert "in/h" not in text and "ft/s" not in text.replace("pies/s", "")
    assert "césped, suelo pesado, plano, hasta 2 %: ASCE/WPCF Manual 37" in text
    assert "plástico liso 0.010: Austin, Texas, Drainage Criteria Manual Tabla 5-2" in text
    assert "la mitad en un bajo: Oregon DOT Hydraulics Manual apéndice D Tabla A" in text
    rules = replace(job.water, grate_clogged=0.25, coefficients=(SurfaceRule(surface="lawn-heavy", c=0.3),))
    text = " ".join(words_of(replace(job, water=rules), tmp_path, "--lang", "es").split())
    assert text.count("dado para este trabajo") == 2
    assert "lawn" not in text and "typed for" not in text


def test_a_slow_run_is_called_what_the_storm_plan_calls_it_and_each_lawn_has_its_line(tmp_path: Path) -> None:
    """The lawn of a yard with flat and steep ground has two coefficients: ASCE/WPCF Manual 37 has them by slope."""
    job = sample("low-lawn")
    seen = study(analyse(job))
    slow = {f.run_id for f in seen.water.pipes.values() if f.state(job.water.self_cleansing_ft_s) == "slow"}
    assert slow
    basis, _, pipes, *_ = storm_tables(job, seen.water, Words.of(job))
    assert {row[0] for row in pipes.rows if row[-1] == "carries it, slow"} == slow
    used = {(s.surface, f"{s.c:.2f}") for a in seen.water.arrivals.values() for s in a.shares}
    assert len([row for row in basis.rows if row[0].startswith("Runoff coefficient")]) == len(used)
    twice = replace(seen.water, arrivals=dict(seen.water.arrivals))
    name, first = next((n, a) for n, a in twice.arrivals.items() if a.shares)
    flat = replace(first.shares[0], c=0.17)
    twice.arrivals[name] = replace(first, shares=(*first.shares, flat))
    rows = [row[1] for row in storm_tables(job, twice, Words.of(job))[0].rows]
    assert "0.17" in rows and f"{first.shares[0].c:.2f}" in rows


def test_soak_rate_and_voids_stand_among_the_assumptions_of_a_well() -> None:
    for rate, said in ((1.0, "1.00 in/h"), (None, "not measured")):
        seen = looked_at(well_yard(use="solid", rate=rate, **PIT))
        rows = {row[0]: row[1] for row in storm_tables(seen.review.job, seen.water, Words.of(seen.review.job))[0].rows}
        assert rows["What the soil takes up, measured"] == said
        assert rows["Voids in washed stone"] == "40%"


def test_every_source_of_a_figure_has_spanish_words_with_the_same_figures() -> None:
    catalogue = [row["source"] for s in table("catalogue/surfaces.toml").values() for row in s["c"]]
    catalogue += [row["source"] for row in table("catalogue/roughness.toml")["pipe"]]
    catalogue += [
        table("catalogue/water.toml")[name]["source"] for name in ("grate_clogged", "least_tc_min", "stone_voids")
    ]
    made = ("typed for this job", "typed for this inlet", "mean of what the shots say sheds to it")
    code = "".join(p.read_text(encoding="utf-8") for p in Path("drainsketch/water").glob("*.py"))
    assert all(f'"{source}"' in code for source in made)
    spanish = Words("es")
    for source in (*catalogue, *made):
        said = spanish.origin(source)
        assert said != source
        assert sorted(re.findall(r"\d[\d.]*", said)) == sorted(re.findall(r"\d[\d.]*", source))
        assert Words("en").origin(source) == source
    assert set(table("translations/es/sources.toml")) == {*catalogue, *made}
    assert spanish.origin("the city's own table") == "the city's own table"


def test_a_pipe_over_its_full_flow_is_never_said_to_carry_it() -> None:
    """Within 1 % nobody knows n well enough to call it too small; it is at its limit, and says so."""
    job = yard()
    water = study(analyse(job)).water
    assert water is not None
    run_id, flow = next((i, f) for i, f in water.pipes.items() if f.full_cfs)
    over = replace(flow, flow_cfs=flow.full_cfs * 1.005, velocity_ft_s=3.0)
    assert over.carries
    for lang, said in (("en", "at its limit"), ("es", "al límite")):
        tables = storm_tables(job, replace(water, pipes={run_id: over}), Words.of(job, lang))
        (row,) = next(t for t in tables if t.title == Words(lang).word("sheets.storm.pipes_title")).rows
        assert row[-1] == said
