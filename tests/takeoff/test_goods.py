"""Fabric, marking tape, screws and splash stone, by hand."""

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job, Run
from drainsketch.job.sections import Sections
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, lines_of, outfall


def drain(**sections: object) -> Job:
    run = Run(id="R", start="F", end="O", use="drain", pipe="corrugated")
    return replace(job_of([fitting("F", 0, 0), outfall("O", 100, 0)], [run]), sections=Sections(**sections))


def fabric(cut_up: float, cut_down: float, **sections: object) -> float:
    below = 2.3 / 12
    lines = lines_of(drain(**sections), flat(100), {"R": (100 - cut_up + below, 100 - cut_down + below)})
    return lines["fabric"].quantity


def test_over_the_stone_it_is_the_width_and_a_lap():
    # 100 ft of trench 1 ft wide, lap 12 in: 200 ft2
    assert fabric(2.0, 2.0, fabric="over the stone") == pytest.approx(200)


def test_round_the_stone_it_is_the_girth_and_a_lap():
    # stone 2 ft less 4 in of topsoil = 1 2/3 ft high: 2 x 1 + 2 x 5/3 + 1 = 6 1/3 ft round
    assert fabric(2.0, 2.0, fabric="round the stone") == pytest.approx(100 * (2 + 10 / 3 + 1))


def test_round_a_trench_that_grows_deeper_the_mean_height_counts():
    # 1.5 to 2.5 ft: the mean is 2 ft
    assert fabric(1.5, 2.5, fabric="round the stone", fabric_lap_in=6.0) == pytest.approx(100 * (2 + 10 / 3 + 0.5))


def test_none_is_counted_where_none_is_asked_or_there_is_no_stone():
    assert "fabric" not in lines_of(drain(), flat(100), {"R": (98.0, 98.0)})
    solid = job_of([fitting("F", 0, 0), outfall("O", 9, 0)], [Run(id="R", start="F", end="O")])
    solid = replace(solid, sections=Sections(fabric="round the stone"))
    assert "fabric" not in lines_of(solid, flat(100), {"R": (98.0, 98.0)})


def test_marking_tape_runs_along_every_run_unless_it_is_not_wanted():
    line = lines_of(drain())["marking_tape"]
    assert (line.quantity, line.buy, line.buy_unit, line.buy_each) == (100.0, 1.0, "roll", 1000.0)
    assert "marking_tape" not in lines_of(drain(marking_tape=False))


def test_grates_are_screwed_down():
    # two for 12 in, four for 18 in
    job = job_of(
        [basin("A", 0, 0), basin("B", 9, 0, size_in=18), outfall("O", 20, 0)], [Run(id="R", start="A", end="O")]
    )
    assert lines_of_item(job, "grate_screw") == 6


def lines_of_item(job: Job, item: str) -> float:
    from tests.takeoff.small_jobs import all_lines

    return next(line.quantity for line in all_lines(job) if line.item == item)


def test_an_apron_lies_where_pipe_comes_out_at_daylight():
    # 3 x 3 x 0.5 ft = 4.5 ft3; at 1.35 tons a cubic yard 0.225 tons; with a tenth more a quarter ton is enough
    line = lines_of(drain())["splash_stone"]
    assert (line.quantity, line.buy) == (pytest.approx(0.225), 0.25)
    for kind in ("pop-up", "tie-in", "curb"):
        job = job_of([fitting("F", 0, 0), outfall("O", 9, 0, kind)], [Run(id="R", start="F", end="O")])
        assert "splash_stone" not in lines_of(job)
