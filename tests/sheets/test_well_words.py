"""What owner and crew read about a dry well: no more than was proved of it, against wells worked by hand in ``test_well_table``."""

import pytest
from msgspec.structs import replace

from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.sheets.flow_marks import flow_of
from drainsketch.sheets.owner import work_in_words
from drainsketch.sheets.storm_words import storm_lines
from drainsketch.sheets.water_marks import volume_text
from drainsketch.study import play
from drainsketch.water.storm.facts import came_out_of
from drainsketch.water.storm.results import Played
from drainsketch.wording import Words
from tests.test_review import sample
from tests.water.test_trench_wells import PIT, yard
from tests.water.wet_yards import looked_at

HOLDS = {"pit_length_ft": 30.0, "pit_width_ft": 10.0, "pit_depth_ft": 6.0}  # 720 ft3 of voids for the 424 of ``PIT``


def of_well(job: Job, words: Words) -> str:
    seen = looked_at(job)
    said = work_in_words(seen.review.job, seen.review, words, seen.water, play(seen))
    (item,) = [text for text in said if "O1" in text]
    return item


@pytest.mark.parametrize(
    ("job", "said"),
    [
        (yard(use="solid", rate=1.0, **PIT), "It does not hold the storm"),
        (yard(use="solid", rate=None, **PIT), "Whether it holds the storm is not proved."),
        (yard(use="solid", rate=1.0), "Whether it holds the storm is not proved."),
        (yard(use="solid", rate=1.0, **HOLDS), "As figured it holds the storm"),
    ],
)
def test_the_owner_is_promised_no_more_than_was_proved(job: Job, said: str) -> None:
    item = of_well(job, Words.of(job))
    assert said in item
    assert "meant to soak" in item
    assert ("come up there" in item) == bool(came_out_of(_after(job)))


def _after(job: Job) -> Played:
    storm = play(looked_at(job))
    assert storm is not None
    return storm.after


@pytest.mark.parametrize("lang", ["en", "es"])
def test_water_that_comes_up_is_told_in_gallons_to_owner_and_in_check(lang: str) -> None:
    job = change(sample("low-lawn"), "O1", outfall="dry well")
    seen, words = looked_at(job), Words.of(job, lang)
    storm = play(seen)
    assert storm is not None
    volume = volume_text(came_out_of(storm.after)["O1"], words)
    assert volume in of_well(job, words)
    (line,) = [text for text in storm_lines(job, storm, words) if volume in text]
    assert line.endswith("O1.")


def test_without_a_storm_a_well_is_not_proved() -> None:
    job = yard(**PIT)
    seen = looked_at(job)
    said = " ".join(work_in_words(job, seen.review, Words.of(job)))
    assert "Whether it holds the storm is not proved." in said


@pytest.mark.parametrize(
    ("job", "sign", "said"),
    [
        (yard(use="solid", rate=1.0, **PIT), "comes out", "O1 does not hold the storm"),
        (yard(use="solid", rate=None, **PIT), "not proved", "O1: not proved to hold the storm"),
        (yard(use="solid", rate=1.0, **HOLDS), None, ""),
    ],
)
def test_the_storm_plan_has_a_sign_at_a_well_that_does_not_hold(job: Job, sign: str | None, said: str) -> None:
    flow = flow_of(job, looked_at(job).water, Words.of(job))
    assert [f.symbol for f in flow.flags if f.owner == "O1"] == ([sign] if sign else [])
    assert [x.text for x in flow.labels if x.owner == "O1"] == ([said] if said else [])


def test_roof_water_that_stays_unconnected_is_told() -> None:
    job = sample("low-lawn")
    seen = looked_at(job)
    said = " ".join(work_in_words(job, seen.review, Words.of(job)))
    joined = {s.downspout for s in job.structures if s.downspout}
    assert (
        f"Downspouts that stay unconnected: {len(job.downspouts) - len(joined)} (Front (downspout-1); Back, west (downspout-3))."
        in said
    )
    none = replace(job, downspouts=tuple(d for d in job.downspouts if d.id in joined))
    assert "unconnected" not in " ".join(work_in_words(none, looked_at(none).review, Words.of(none)))
