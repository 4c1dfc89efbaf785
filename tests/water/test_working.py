"""The arithmetic of the figures, as it is printed, worked again: every line comes to what it says, in every unit."""

import re
from math import log, sqrt

import pytest
from msgspec.structs import replace

from drainsketch.files.rainfall import read_rain
from drainsketch.job.edits.change import change, change_header, change_rain, change_water
from drainsketch.job.kinds import Units
from drainsketch.job.model import Job
from drainsketch.job.rates import GPM_PER_CFS, LITERS_PER_FT3
from drainsketch.resources import resource
from drainsketch.review import analyse
from drainsketch.study import Study, study
from drainsketch.water.working import Step, figure, inlet_working, run_working
from drainsketch.wording import Words
from tests.test_review import sample
from tests.water.wet_yards import roofed, shared_bowl

# figures stand to three places, so each is off by up to 0.5 %; the lines have up to four of them
CLOSE = 0.02
UNIT_WORDS = (
    r"(in/h|pulg/h|pies/s|mm/h|pies³/s|pies²|pies|m³/s|cfs|gpm|L/s|ft/s|m/s|ft²|m²|ft|mm|m|min|in|sq)(?![a-z(])"
)
STORMS = {"invented-depth.csv": 25.0, "invented-intensity.csv": 10.0}


def stormy(name: str, table: str = "invented-depth.csv", units: Units = "ft-in") -> Job:
    """Return a sample yard in a storm of an invented table."""
    read = read_rain(resource(f"rainfall/{table}").read_text(encoding="utf-8"))
    job = change_header(sample(name), units=units)
    return change_rain(job, table=read.table, return_period_yr=STORMS[table], intensity_in_h=None)


def worked(text: str) -> float:
    """Return what an arithmetic comes to."""
    plain = re.sub(UNIT_WORDS, "", text).replace("×", "*").replace("^", "**").replace("−", "-").replace("√", "sqrt")
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", plain)
    assert re.fullmatch(r"(?:[\d.\s*/+()\-]|sqrt|ln)*", plain), text
    return float(eval(plain.replace("ln", "log"), {"log": log, "sqrt": sqrt}))  # digits and signs only


def steps_of(seen: Study, words: Words) -> list[Step]:
    job, water = seen.review.job, seen.water
    inlets = [s for i in water.arrivals for s in inlet_working(job, water, i, words)]
    return inlets + [s for r in water.pipes for s in run_working(job, water, r, words)]


@pytest.mark.parametrize("table", STORMS)
@pytest.mark.parametrize("units", ["ft-in", "ft", "m"])
@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_line_comes_to_what_it_says(lang: str, units: Units, table: str) -> None:
    seen = study(analyse(stormy("long-flat-yard", table, units)))
    steps = steps_of(seen, Words(lang, units))
    counted = [s for s in steps if " = " in s.arithmetic]
    assert len(counted) > 20
    for step in counted:
        made, result, *_ = step.arithmetic.split(" = ")
        if " pulg" in result or '"' in result:
            continue
        shown = worked(result)
        digits = re.findall(r"[\d.,]+", result)[0]
        last = 10.0 ** -(len(digits.partition(".")[2])) if "." in digits else 1.0
        assert worked(made) == pytest.approx(shown, rel=CLOSE, abs=0.51 * last), step


@pytest.mark.parametrize("units", ["ft-in", "ft", "m"])
@pytest.mark.parametrize("lang", ["en", "es"])
def test_the_area_of_an_inlet_that_shares_low_ground_is_worked_too(lang: str, units: Units) -> None:
    job = change_header(roofed(shared_bowl(), (-20, 20), 800.0, joined=False), units=units)
    seen = study(analyse(job))
    words = Words(lang, units)
    area = seen.water.arrivals["B2"].area_ft2 * (0.3048**2 if units == "m" else 1.0)
    step = inlet_working(job, seen.water, "B2", words)[1]
    assert step.what.endswith(" B1")
    made, result = step.arithmetic.split(" = ")
    assert worked(made) == pytest.approx(area, rel=0.005)
    assert worked(result) == pytest.approx(area, rel=0.005)
    assert "/ 2" in made
    assert step.note
    alone = study(analyse(change(job, "B2", rim_ft=100.7)))
    assert not any("/ 2 =" in s.arithmetic for s in inlet_working(job, alone.water, "B2", words))


@pytest.mark.parametrize("name", ["long-flat-yard", "row-of-yards", "corner-lot", "steep-lot"])
def test_the_last_figure_of_a_flow_is_the_flow_of_the_review(name: str) -> None:
    seen = study(analyse(stormy(name)))
    words = Words("en", "ft")
    for run_id, flow in seen.water.pipes.items():
        said = run_working(seen.review.job, seen.water, run_id, words)[0].arithmetic
        assert worked(said.split(" = ")[0]) * GPM_PER_CFS == pytest.approx(flow.flow_cfs * GPM_PER_CFS, rel=CLOSE)
    for inlet, arrival in seen.water.arrivals.items():
        said = inlet_working(seen.review.job, seen.water, inlet, words)[0].arithmetic
        assert worked(said.split(" = ")[0]) == pytest.approx(arrival.flow_cfs, rel=CLOSE)


def test_a_metric_line_comes_to_liters() -> None:
    # one millimeter on one square meter is one liter: C i A in mm/h and m2 is L/h, 3,600 of which are one L/s
    seen = study(analyse(stormy("row-of-yards", units="m")))
    for inlet, arrival in seen.water.arrivals.items():
        said = inlet_working(seen.review.job, seen.water, inlet, Words("en", "m"))[0].arithmetic
        assert "/ 3,600" in said
        assert worked(said.split(" = ")[0]) == pytest.approx(arrival.flow_cfs * LITERS_PER_FT3, rel=CLOSE)


def test_a_roof_in_typed_rain_is_the_line_a_contractor_would_write() -> None:
    # C i A by hand: 0.95 x 4 in/h x 600 ft² / 43,560 x 1.008 = 0.0528 cfs, times 448.8 is 23.7 gpm (rational method, HEC-22)
    job = change_rain(stormy("long-flat-yard"), intensity_in_h=4.0)
    seen = study(analyse(job))
    steps = inlet_working(job, seen.water, "D1", Words("en", "ft"))
    assert steps[0].arithmetic == "0.95 × 4 in/h × 600 ft² / 43,560 × 1.008 = 0.0528 cfs = 24 gpm"
    assert [s.what for s in steps][:2] == ["Flow: C × rain × area", "roof"]
    assert "Rain, typed" in [s.what for s in steps]


def test_legs_of_the_time_sum_to_the_time_and_a_deeper_grate_is_an_orifice() -> None:
    job = change_water(stormy("long-flat-yard"), grate_clogged=0.95)
    job = change(change_rain(job, intensity_in_h=40.0), "B2", size_in=9)
    seen = study(analyse(job))
    steps = inlet_working(job, seen.water, "B2", Words("en", "ft"))
    said = {s.what: s.arithmetic for s in steps}
    sheet, shallow = said["Time in a sheet"], said["Time gathered"]
    total = said["Time in all"].split(" = ")[0]
    assert worked(total) == pytest.approx(worked(sheet.split(" = ")[0]) + worked(shallow.split(" = ")[0]), rel=CLOSE)
    assert "Water over the grate, as through an orifice" in said


def test_typed_times_rows_of_the_table_and_ends_of_it_are_said() -> None:
    job = change(stormy("long-flat-yard"), "B2", tc_min=10.0, area_ft2=1000.0, runoff_c=0.5)
    seen = study(analyse(job))
    said = {s.what: s.arithmetic for s in inlet_working(job, seen.water, "B2", Words("en", "ft"))}
    assert said["Time, typed for this inlet"] == "10 min"
    assert said["area as typed"] == "1,000 ft² × 0.5 = 500 ft²"
    assert said["Rain over 10 min, 25-year, from the table"] == "6.36 in/h"
    job = change(job, "B2", tc_min=2.0)
    seen = study(analyse(job))
    said = {s.what: s.arithmetic for s in inlet_working(job, seen.water, "B2", Words("en", "ft"))}
    assert said["Rain over 2 min: shorter than the table goes, 5 min held"] == "7.92 in/h"


def test_nothing_is_said_of_what_nothing_arrives_at() -> None:
    job = stormy("long-flat-yard")
    seen = study(analyse(job))
    assert inlet_working(job, seen.water, "O1", Words()) == ()
    assert run_working(job, seen.water, "nowhere", Words()) == ()


def test_figures_have_three_places() -> None:
    for value in (0.41234, 4.6449, 12.345, 123.45, 0.00012345):
        assert float(figure(value)) == pytest.approx(value, rel=0.005)
        assert len(figure(value).replace(".", "").lstrip("0")) <= 3
    assert figure(12_345.6) == "12,346"
    assert figure(-0.5) == "−0.5"


def test_sources_stand_with_coefficients_and_roughness() -> None:
    seen = study(analyse(stormy("long-flat-yard")))
    notes = {s.what: s.note for s in steps_of(seen, Words())}
    assert "Manual 37" in notes["roof"]
    assert notes["Full pipe, Manning's formula"]


def test_a_run_without_a_grade_still_says_its_flow() -> None:
    seen = study(analyse(stormy("long-flat-yard")))
    flow = replace(seen.water.pipes["R1"], slope=None, full_cfs=None, velocity_ft_s=None, depth_ft=None)
    water = replace(seen.water, pipes={"R1": flow})
    steps = run_working(seen.review.job, water, "R1", Words())
    assert steps[0].what.startswith("Flow")
    assert not any("Manning" in s.what for s in steps)
