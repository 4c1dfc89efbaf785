"""Reason chains worked by hand: which limits are in conflict, in order from the inlet down, with their numbers.

Pipe is 4 in of ASTM D3034 (outside 4.215 in, least wall 0.120 in): its top is 4.095 in, 0.34125 ft, over its invert.
"""

import pytest

from drainsketch.job.edits.change import change_criteria
from drainsketch.job.model import Job
from drainsketch.network.remedies import Reason
from drainsketch.review import analyse
from drainsketch.study import study
from drainsketch.wording import Words
from tests.yards import basin, drawn, fitting, outfall, plane, run

TOP_FT = 4.095 / 12


def reasons(job: Job, slope: float = 0.01, drop_in: float = 0.0) -> dict[str, Reason]:
    return study(analyse(change_criteria(job, min_slope=slope, min_cover_in=12.0, basin_drop_in=drop_in))).reasons


def said(reason: Reason) -> list[tuple[str, dict[str, object]]]:
    return [(kind, dict(params)) for kind, params in reason.links]


def flat(*things: object) -> Job:
    return drawn(*plane(lambda x, y: 100.0), *things)  # type: ignore[arg-type]


def bowl(*things: object) -> Job:
    """Ground at 100 on the corners of a square of 400 ft, and at 98 in its middle: 1 ft in 100 ft along the axes."""
    return drawn(*plane(lambda x, y: 98.0 if x == y == 0 else 100.0), *things)  # type: ignore[arg-type]


def test_a_measured_tie_in_too_high() -> None:
    why = reasons(flat(basin(0, 0), outfall(100, 0, "tie-in", invert_ft=99.5), run("B1", "O1")))["B1"]
    # 99.5 and 100 ft at 1 % are 100.5; the pipe can leave at 100 - 0.34125
    assert why.short_ft == pytest.approx(100.5 - (100 - TOP_FT), abs=1e-4)
    leaves, falls, held = said(why)
    assert leaves == ("leaves", {"structure": "B1", "level": pytest.approx(100 - TOP_FT), "ground": 100.0})
    assert falls == ("falls", {"runs": ("R1",), "length": 100.0, "slope": 0.01, "fall": 1.0})
    assert held == ("held", {"structure": "O1", "level": 99.5})


def test_a_grate_below_the_ground() -> None:
    why = reasons(flat(basin(0, 0, rim_ft=98.5), outfall(100, 0, "tie-in", invert_ft=98.0), run("B1", "O1")))["B1"]
    assert why.short_ft == pytest.approx(99.0 - (98.5 - TOP_FT), abs=1e-4)
    (kind, first), *rest = said(why)
    assert kind == "leaves_rim"
    assert first == {"structure": "B1", "level": pytest.approx(98.5 - TOP_FT), "ground": 98.5}
    assert [k for k, _ in rest] == ["falls", "held"]


def test_a_pinned_invert_on_the_way_ends_the_chain() -> None:
    things = basin(0, 0), basin(50, 0, invert_ft=99.5), outfall(100, 0, "tie-in", invert_ft=95.0)
    why = reasons(flat(*things, run("B1", "B2"), run("B2", "O1")))["B1"]
    assert why.short_ft == pytest.approx(99.5 + 0.5 - (100 - TOP_FT), abs=1e-4)
    assert [k for k, _ in said(why)] == ["leaves", "falls", "held_structure"]
    assert said(why)[2][1] == {"structure": "B2", "level": 99.5}


def test_runs_at_one_slope_are_told_together_and_a_steeper_one_apart() -> None:
    things = basin(0, 0), basin(50, 0), basin(80, 0), outfall(100, 0, "tie-in", invert_ft=99.5)
    job = flat(*things, run("B1", "B2"), run("B2", "B3"), run("B3", "O1", min_slope=0.02))
    chain = said(reasons(job)["B1"])
    assert [k for k, _ in chain] == ["leaves", "falls", "falls", "held"]
    assert chain[1][1] == {"runs": ("R1", "R2"), "length": 80.0, "slope": 0.01, "fall": pytest.approx(0.8)}
    assert chain[2][1] == {"runs": ("R3",), "length": 20.0, "slope": 0.02, "fall": pytest.approx(0.4)}


def test_cover_at_a_low_point_midway() -> None:
    why = reasons(bowl(basin(-150, 0), outfall(50, 0, "tie-in", invert_ft=96.5), run("B1", "O1")), slope=0.005)["R1"]
    # 50 ft up the run the ground is 98: under 12 in and the pipe that is 96.65875; 96.5 and 50 ft at 0.5 % are 96.75
    covered, falls, held = said(why)
    assert covered[0] == "covered"
    assert covered[1]["station"] == pytest.approx(50.0)
    assert covered[1]["level"] == pytest.approx(97.0 - TOP_FT)
    assert covered[1]["cover_in"] == pytest.approx(12.0)
    assert falls == (
        "falls",
        {"runs": ("R1",), "length": pytest.approx(50.0), "slope": 0.005, "fall": pytest.approx(0.25)},
    )
    assert held == ("held", {"structure": "O1", "level": 96.5})
    assert why.short_ft == pytest.approx(96.75 - (97.0 - TOP_FT), abs=1e-3)


def test_pipe_out_of_the_ground_at_a_low_point_midway() -> None:
    why = reasons(bowl(basin(-150, 0), outfall(50, 0, "tie-in", invert_ft=97.5), run("B1", "O1")), slope=0.005)["R1"]
    assert [k for k, _ in said(why)] == ["surface", "falls", "held"]
    assert said(why)[0][1]["level"] == pytest.approx(98.0 - TOP_FT)
    assert why.short_ft == pytest.approx(97.75 - (98.0 - TOP_FT), abs=1e-3)


def test_the_chain_is_said_in_the_words_of_the_trade() -> None:
    why = reasons(flat(basin(0, 0), outfall(100, 0, "tie-in", invert_ft=99.5), run("B1", "O1")))["B1"]
    assert Words("en").reason(why.links, why.short_ft) == (
        "Pipe at B1 can be no higher than 99.66 (ground 100.00, less the pipe); 100' 0\" of pipe at 1.00% need 1' 0\" (R1); "
        "O1 takes water at 99.50 or higher: 0' 10 1/8\" of fall is missing, before any cover over the pipe and "
        "drop through basins."
    )


def test_what_drains_has_no_reason() -> None:
    assert reasons(flat(basin(0, 0), outfall(100, 0, "tie-in", invert_ft=95.0), run("B1", "O1"))) == {}


def two_pins(*pins: float | None) -> Job:
    """B2 on the way, and the lower end of R3 at the fitting F2, pinned or not."""
    at_b2, at_f2 = pins
    things = basin(0, 0), basin(50, 0, invert_ft=at_b2), fitting(75, 0), fitting(100, 0)
    runs = run("B1", "B2"), run("B2", "F1"), run("F1", "F2", end_invert_ft=at_f2), run("F2", "O1")
    return flat(*things, outfall(150, 0, "tie-in", invert_ft=95.0), *runs)


@pytest.mark.parametrize("at_f2", [None, 94.0])
def test_where_two_things_are_wrong_each_is_told_by_its_own(at_f2: float | None) -> None:
    # B2 is pinned at 99.8, and pipe may lie at 100 - 0.34125 there and at B1, from where it falls 0.5 ft to B2
    why = reasons(two_pins(99.8, at_f2))
    assert [k for k, _ in said(why["B1"])] == ["leaves", "falls", "held_structure"]
    assert why["B1"].short_ft == pytest.approx(99.8 + 0.5 - (100 - TOP_FT), abs=1e-4)
    (kind, surface), held = said(why["R2"])
    assert (kind, surface["run"], surface["station"]) == ("surface", "R2", pytest.approx(25.0))
    assert held == ("held_structure", {"structure": "B2", "level": 99.8})
    assert why["R2"].short_ft == pytest.approx(99.8 - (100 - TOP_FT), abs=1e-4)
    assert ("R3" in why) is (at_f2 is not None)


@pytest.mark.parametrize("at_b2", [None, 99.8])
def test_a_step_up_at_a_pinned_end_is_told_by_what_is_below_it(at_b2: float | None) -> None:
    # R3 ends at 94.0, where 95.0 and 50 ft at 1 % ask for 95.5
    why = reasons(two_pins(at_b2, 94.0))["R3"]
    assert [(k, p.get("level", p.get("fall"))) for k, p in said(why)] == [
        ("pinned", 94.0),
        ("falls", 0.5),
        ("held", 95.0),
    ]
    assert why.short_ft == pytest.approx(1.5, abs=1e-4)


def test_every_chain_sums_up_to_what_is_missing() -> None:
    for job in (two_pins(99.8, 94.0), two_pins(99.8, None), two_pins(None, 94.0)):
        for why in reasons(job).values():
            parts = [p for _, p in said(why)]
            falls = sum(p.get("fall", 0.0) + p.get("drop_in", 0.0) / 12 for p in parts)  # type: ignore[operator,attr-defined]
            first, last = (p["level"] for p in parts if "level" in p)
            assert last + falls - first == pytest.approx(why.short_ft, abs=1e-6)  # type: ignore[operator]


def test_the_drop_of_a_basin_on_the_way_is_counted() -> None:
    # at B1 the pipe may lie at 100 - 1 - 0.34125 = 98.65875; it needs 98.0 and 80 ft at 1 % and an inch: 98.88333
    job = flat(basin(0, 0), basin(40, 0), outfall(80, 0, "tie-in", invert_ft=98.0), run("B1", "B2"), run("B2", "O1"))
    why = reasons(job, drop_in=1.0)["R1"]
    assert [k for k, _ in said(why)] == ["covered", "falls", "drops", "falls", "held"]
    assert said(why)[2][1] == {"structure": "B2", "drop_in": pytest.approx(1.0)}
    assert why.short_ft == pytest.approx(98.0 + 0.8 + 1 / 12 - (99.0 - TOP_FT), abs=1e-4)
    # below the basin there is no drop to count: 98.4 against 98.65875 holds
    assert set(reasons(job, drop_in=1.0)) == {"R1"}


def test_a_drop_below_the_level_that_the_chain_ends_at_is_not_counted() -> None:
    # B1 is pinned 0.1 ft too high for its cover; what is asked through B2, farther down, has no part in that
    things = basin(0, 0, invert_ft=98.75875), basin(40, 0), outfall(80, 0, "tie-in", invert_ft=95.0)
    why = reasons(flat(*things, run("B1", "B2"), run("B2", "O1")), drop_in=1.0)["R1"]
    assert [k for k, _ in said(why)] == ["covered", "held_structure"]
    assert why.short_ft == pytest.approx(0.1, abs=1e-4)
