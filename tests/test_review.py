"""The whole review: remembered stages, pinned findings of the sample yards."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drainsketch.files.jobfile import read_job
from drainsketch.job.edits.add import add
from drainsketch.job.edits.book import change_sight
from drainsketch.job.edits.change import change, change_criteria
from drainsketch.job.edits.move import move
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Job
from drainsketch.resources import sample_jobs
from drainsketch.review import Review, analyse
from tests.yards import basin, service, shot


def sample(name: str) -> Job:
    return read_job(sample_jobs().joinpath(f"{name}.drainjob"))  # type: ignore[arg-type]


# worked out by reading each yard, and pinned so that a change of any formula shows
SAMPLES = {
    # O1 opens 0.4 ft inside the lot line at the road; R8 is 6 in pipe, its top 0.508 ft over the ground at the mouth
    # R6 clears the gas by 1.15 ft, by marks that may be off by 1.5 ft
    "corner-lot": {
        "bare_at_daylight": 1,
        "depth_unknown": 1,
        "may_meet_service": 1,
        "discharge_right": 1,
        "outfall_near_lot_line": 1,
        "under_hardscape": 2,
        "paving_unknown": 2,  # nobody said what the driveway and the front walk are made of
    },
    # R4 falls 0.8 % to the bank of a ditch: its top comes out of the ground 3.0 ft before O1
    "long-flat-yard": {"bare_at_daylight": 1, "discharge_right": 1, "hand_dig": 1},
    "courtyard": {
        "cannot_drain": 2,
        "depth_unknown": 1,
        "discharge_right": 1,
        "under_hardscape": 2,
        "paving_unknown": 1,
    },
    # O1 opens 4.0 ft inside the lot line, here and in the row of yards, and a daylight end is bare for some feet
    # R1 clears the sewer by 1.00 ft, by what the owner said, which may be off by 2 ft; its grade nobody measured
    "steep-lot": {
        "bare_at_daylight": 1,
        "grade_unknown": 1,
        "may_meet_service": 1,
        "discharge_right": 1,
        "outfall_near_lot_line": 1,
        "root_zone": 3,
        "through_obstacle": 2,
    },
    # the line to the house stands where R6 crosses it at a depth that nobody knows; the water line was exposed 4.3 ft down, and
    # R6 passes over it; two of three downspouts are left on the ground
    "low-lawn": {"depth_unknown": 1, "discharge_right": 1, "downspout_loose": 2, "hand_dig": 1},
    # the top of the gas line at R4 is at 2.5 ft, by marks that may be off by 1.5 ft: a foot over it the pipe has 0.92 ft of cover,
    # and pipe upstream that falls 1 % to it has less than a foot in 7 more runs; 8 in pipe 4 in over the floor of the 12 in bodies of
    # B4 to B6 reaches across their tops
    "row-of-yards": {
        "bare_at_daylight": 1,
        "may_meet_service": 1,
        "opening_at_joint": 3,
        "outfall_near_lot_line": 1,
        "shallow_cover": 8,
        "depth_unknown": 12,
        "depth_unproved": 12,
        "root_zone": 6,
        "discharge_right": 1,
    },
}


@pytest.mark.parametrize("name", SAMPLES)
def test_findings_of_the_sample_yards(name: str) -> None:
    assert dict(Counter(f.kind for f in analyse(sample(name)).findings)) == SAMPLES[name]


def test_every_sample_yard_is_pinned() -> None:
    shipped = {f.name.removesuffix(".drainjob") for f in sample_jobs().iterdir() if f.name.endswith(".drainjob")}
    assert shipped == set(SAMPLES)


def test_the_courtyard_says_why_it_cannot_drain() -> None:
    stops = [f for f in analyse(sample("courtyard")).findings if f.level == "stop"]
    assert {f.place.ids for f in stops} == {("B1",), ("B2",)}
    # B1 by hand: curb at 100.40 and 45.5 ft at 1 % need 100.86; ground 98.60 less the pipe's top 0.34 allows 98.26
    assert {f.place.ids[0]: round(f.value or 0, 2) for f in stops} == {"B1": 2.60, "B2": 2.02}


def test_the_long_flat_yard_falls_with_next_to_nothing_to_spare() -> None:
    spare = min(p.slope_to_spare for p in analyse(sample("long-flat-yard")).paths)
    assert 0 < spare < 0.001


def same(a: Review, b: Review) -> None:
    """Hold two reviews against each other, arrays included."""
    assert a.findings == b.findings
    assert a.network == b.network
    assert a.levels == b.levels
    assert a.grades == b.grades
    assert a.paths == b.paths
    assert a.crossings == b.crossings
    assert a.takeoff == b.takeoff
    assert a.profiles.keys() == b.profiles.keys()
    for run_id, p in a.profiles.items():
        np.testing.assert_array_equal(p.ground_ft, b.profiles[run_id].ground_ft)


EDITS = (
    lambda j, x: move(j, ["B1"], x, 0.3 * x),
    lambda j, x: move(j, ["F1", "R3"], 0.2 * x, x),
    lambda j, x: move(j, ["gas-1"], x, 0),
    lambda j, x: change_sight(j, "sight-4", reading_ft=6 + x / 10),
    lambda j, x: change_criteria(j, min_cover_in=12 + x),
    lambda j, x: change(j, "R2", use="solid" if x > 0 else "drain"),
    lambda j, x: add(j, service("water", (0, 50 + x), (110, 50 - x))),
    lambda j, x: add(j, shot(55 + x, 60, 99.0)),
    lambda j, x: add(j, basin(10 + x, 10)),
    lambda j, x: remove(j, ["R7"]),
    lambda j, x: remove(j, ["tree-1", "boundary"]),
)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(range(len(EDITS))), st.floats(-8, 8)), min_size=1, max_size=8))
def test_a_remembered_review_equals_a_fresh_one(edits: list[tuple[int, float]]) -> None:
    job = sample("corner-lot")
    review = analyse(job)
    for which, x in edits:
        job = EDITS[which](job, x)
        review = analyse(job, review)
        same(review, analyse(job))


def test_moving_a_basin_keeps_the_ground_and_the_profiles_it_does_not_touch() -> None:
    job = sample("corner-lot")
    before = analyse(job)
    after = analyse(move(job, ["B1"], 1, 1), before)
    assert after.surface is before.surface
    assert after.profiles["R5"] is before.profiles["R5"]
    assert after.profiles["R2"] is not before.profiles["R2"]


def test_an_empty_job_has_nothing_to_say() -> None:
    review = analyse(Job())
    assert review.findings == ()
    assert review.takeoff == ()
    assert review.surface is None
