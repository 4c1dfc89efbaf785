"""Cleanouts, downspout inlets and outlets."""

import pytest

from drainsketch.job.model import Run, Structure
from tests.takeoff.small_jobs import all_lines, basin, flat, job_of, lines_of, outfall


def line_through(kind: str):
    return job_of(
        [basin("B", 0, 0), Structure(id="S", kind=kind, point=(20, 0)), outfall("O", 50, 0)],
        [Run(id="R1", start="B", end="S"), Run(id="R2", start="S", end="O", diameter_in=6)],
    )


def line_from(kind: str):
    return job_of([Structure(id="S", kind=kind, point=(20, 0)), outfall("O", 50, 0)], [Run(id="R", start="S", end="O")])


@pytest.mark.parametrize(("kind", "name"), [("cleanout", "cleanout"), ("downspout inlet", "downspout")])
def test_upright_on_a_line_stands_on_a_wye(kind, name):
    lines = {x.item: x for x in all_lines(line_through(kind))}
    assert lines[f"{name}_inline"].quantity == 1
    assert dict(lines[f"{name}_inline"].params) == {"pipe": "sdr35", "diameter_in": 6}
    assert f"{name}_head" not in lines
    assert lines["reducer"].quantity == 1  # 4 in to 6 in at the same place


@pytest.mark.parametrize(("kind", "name"), [("cleanout", "cleanout"), ("downspout inlet", "downspout")])
def test_upright_at_the_head_of_a_line_stands_on_a_bend(kind, name):
    lines = lines_of(line_from(kind))
    assert lines[f"{name}_head"].quantity == 1
    assert f"{name}_inline" not in lines
    assert "end_cap" not in lines


@pytest.mark.parametrize(("kind", "name"), [("cleanout", "cleanout"), ("downspout inlet", "downspout")])
def test_upright_reaches_from_invert_to_rim(kind, name):
    line = lines_of(line_from(kind), flat(100), {"R": (97.75, 97.0)})[f"{name}_upright"]
    assert (line.quantity, line.unit) == (2.25, "ft")
    assert line.arithmetic == "2.25 (S: 100.00 - 97.75) = 2.25 ft"


def test_upright_without_levels_has_no_height():
    assert "cleanout_upright" not in lines_of(line_from("cleanout"))


def test_upright_with_no_pipe_counts_nothing():
    job = job_of([Structure(id="S", kind="downspout inlet", point=(0, 0))], [])
    assert all_lines(job) == ()


@pytest.mark.parametrize(
    ("kind", "item"),
    [
        ("daylight", "outlet_daylight"),
        ("pop-up", "outlet_pop_up"),
        ("tie-in", "outlet_tie_in"),
        ("curb", "outlet_curb"),
        ("dry well", "outlet_dry_well"),
        (None, "outlet_daylight"),
    ],
)
def test_outlet_piece_by_kind_of_outfall(kind, item):
    job = job_of([basin("B", 0, 0), outfall("O", 50, 0, kind)], [Run(id="R", start="B", end="O", diameter_in=6)])
    line = lines_of(job)[item]
    assert (line.quantity, dict(line.params)["diameter_in"]) == (1, 6)
