"""The arithmetic of wells as it is printed, worked again: every line comes to what it says, in every unit."""

import re

import pytest
from msgspec.structs import replace

from drainsketch.job.kinds import Units
from drainsketch.job.model import Job
from drainsketch.water.well_working import well_working
from drainsketch.water.working import Step
from drainsketch.wording import Words
from tests.water.test_trench_wells import PIT, yard
from tests.water.test_working import CLOSE, worked
from tests.water.wet_yards import looked_at

JOBS = {
    "trench": yard(),
    "sloping": yard(0.02),
    "wide": yard(width_in=48.0, rate=3.0),
    "pit and trench": yard(rate=1.0, **PIT),
    "pit": yard(use="solid", rate=1.0, **PIT),
    "thirsty": yard(rate=90.0),
}
CUBIC = r"(ft³|pies³|m³)"


def steps_of(job: Job, lang: str = "en", units: Units = "ft") -> tuple[Step, ...]:
    seen = looked_at(job)
    return well_working(seen.review.job, seen.water, "O1", Words(lang, units))


def came_to(text: str) -> float:
    return worked(re.sub(r" h\b", "", re.sub(CUBIC, "", text)))


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("units", ["ft-in", "ft", "m"])
@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_line_comes_to_what_it_says(lang: str, units: Units, name: str) -> None:
    counted = [s for s in steps_of(JOBS[name], lang, units) if " = " in s.arithmetic]
    assert len(counted) >= 3
    for step in counted:
        made, result, *_ = step.arithmetic.split(" = ")
        assert came_to(made) == pytest.approx(came_to(result), rel=CLOSE), step


def test_a_pit_as_a_contractor_would_write_it() -> None:
    """6 by 4 by 4 ft of stone at 40 %: 38.4 ft3. 900 ft2 of CA under 1 in an hour times the root of 48 hours are 519.6 ft3; 24 ft2 at
    1 in/h drink 96 of them in that time."""
    said = [(s.what, s.arithmetic) for s in steps_of(JOBS["pit"])]
    assert said[0] == ("Pit: length × width × depth × voids", "6 ft × 4 ft × 4 ft × 0.4 = 38.4 ft³")
    assert said[1] == ("Floor of the pit", "6 ft × 4 ft = 24 ft²")
    assert said[2][1].endswith("= 520 ft³")
    assert said[3][1] == "24 ft² × 1 in/h / 12 × 2,880 / 60 = 96 ft³"
    assert said[4][1].startswith("520 ft³ − 96 ft³ = 424 ft³ = 3,200 gal")
    assert said[5][1] == "38.4 ft³ / (24 ft² × 1 in/h / 12) = 19.2 h"


def test_parts_add_up_and_the_mean_floor_says_what_it_is() -> None:
    said = {s.what: s for s in steps_of(JOBS["pit and trench"])}
    assert "38.4 ft³ + " in said["Holds in all"].arithmetic
    assert "dry before the last of the water" in said["Floor that drinks on the mean, from full to empty"].note


def test_nothing_is_said_of_what_nobody_knows() -> None:
    assert steps_of(yard(use="solid")) == ()
    seen = looked_at(yard())
    assert well_working(seen.review.job, seen.water, "B1", Words()) == ()
    assert [s.what for s in steps_of(yard(rate=None))] == ["R1: stone below 100.00, less the pipe, × voids"]
    dry = replace(seen.water, wells={})
    assert well_working(seen.review.job, dry, "O1", Words()) == ()
