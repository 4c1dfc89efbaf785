"""Pins that are set too high, worked by hand."""

import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run

FLAT = plane(lambda x, y: 100.0)
TOP_FT = 4.095 / 12  # 4 in SDR 35, outside top over the invert (ASTM D3034)
# B1 and B2 into F1, then to a measured drain far below; cover of 12 in holds the pipe at the basins at 100 - 1 - 0.341 = 98.659
YARD = drawn(
    *FLAT,
    *(basin(0, 0), basin(0, 20), fitting(40, 0), outfall(100, 0, "tie-in", invert_ft=95.0)),
    *(run("B1", "F1"), run("B2", "F1"), run("F1", "O1")),
)


def only(job: Job, kind: str) -> Finding:
    (found,) = [f for f in analyse(job).findings if f.kind == kind]
    return found


@pytest.mark.parametrize("where", ["fitting", "run below", "run above"])
def test_a_pin_that_keeps_inlets_from_draining_is_named_and_gravity_is_not_blamed(where: str) -> None:
    """B2 is sqrt(40^2 + 20^2) = 44.72 ft off: at 1 % its pipe is at 98.659 - 0.447 = 98.212 at F1, B1's at 98.259."""
    thing, field = {
        "fitting": ("F1", "invert_ft"),
        "run below": ("R3", "start_invert_ft"),
        "run above": ("R2", "end_invert_ft"),
    }[where]
    job = change(YARD, thing, **{field: 99.5})
    found = only(job, "pin_too_high")
    assert found.level == "stop"
    assert dict(found.params)["structures"] == ("B1", "B2")  # a fitting takes no drop, so R2 lifts both
    assert (dict(found.params)["thing"], dict(found.params)["at"]) == (thing, "F1")
    assert found.value == pytest.approx(99.5 - (100 - 1 - TOP_FT - 0.01 * 2000**0.5), abs=1e-3)
    assert "cannot_drain" not in kinds(analyse(job))
    assert "pin_too_high" not in kinds(analyse(YARD))


def test_the_sentence_names_pin_place_level_and_inlets() -> None:
    job = change(YARD, "R3", start_invert_ft=99.5)
    assert Words("en", "ft").sentence(only(job, "pin_too_high")) == (
        "The pipe at F1 is pinned at 99.50 (R3), 1.29 ft above the highest it can be there: B1, B2 cannot drain because of it."
    )
    assert Words("en", "ft").remedy(only(job, "pin_too_high")) == "Free the pin, or lower it to 98.21."


def test_a_daylight_end_pinned_too_high_is_a_pin_and_a_measured_curb_is_not() -> None:
    # 50 ft at 1 % below ground 100: pipe top 0.341: at the outfall 99.159 at most
    job = drawn(*FLAT, basin(0, 0), outfall(50, 0, "pop-up", invert_ft=99.9), run("B1", "O1"))
    assert dict(only(job, "pin_too_high").params)["thing"] == "O1"
    measured = drawn(*FLAT, basin(0, 0), outfall(50, 0, "curb", invert_ft=99.9), run("B1", "O1"))
    assert {"cannot_drain"} == {"cannot_drain", "pin_too_high"} & set(kinds(analyse(measured)))


def test_what_cannot_drain_with_or_without_its_pin_is_blamed_on_gravity() -> None:
    job = drawn(
        *FLAT,
        *(basin(0, 0), fitting(40, 0), outfall(100, 0, "curb", invert_ft=99.9)),
        *(run("B1", "F1", end_invert_ft=101.0), run("F1", "O1")),
    )
    told = kinds(analyse(job))
    assert "cannot_drain" in told
    assert "pin_too_high" not in told
