"""Openings of basins: how high, toward where, in which piece, and whether the body takes the pipes."""

import pytest
from msgspec.structs import replace

from drainsketch.job.model import BasinBody, Run
from drainsketch.takeoff.openings import opening_findings, openings
from drainsketch.takeoff.stacks import stacks
from tests.takeoff.small_jobs import basin, flat, job_of, laid_out, outfall

LINE = [basin("A", 0, 0, size_in=12), basin("B", 50, 0, size_in=12), outfall("O", 50, -40)]
RUNS = [Run(id="R1", start="A", end="B"), Run(id="R2", start="B", end="O")]


def looked_at(inverts, stock=(), structures=LINE, runs=RUNS):
    laid = laid_out(replace(job_of(structures, runs), stock=stock), flat(100), inverts)
    stood = stacks(laid)
    holes = openings(laid, stood)
    return holes, {f.kind: f for f in opening_findings(laid, stood, holes)}


def test_each_pipe_has_its_height_above_the_floor_and_its_direction():
    # B: lowest invert 97.50, sump 4 in: floor at 97.1667
    holes, found = looked_at({"R1": (98.5, 97.75), "R2": (97.5, 97.0)})
    out, into = holes["B"]
    assert (out.run, out.leaving, out.part) == ("R2", True, "body")
    assert out.above_floor_in == pytest.approx(4.0)
    assert out.azimuth_deg == pytest.approx(180.0)
    assert into.above_floor_in == pytest.approx(7.0)
    assert into.azimuth_deg == pytest.approx(270.0)
    assert found == {}


def test_a_pipe_above_the_body_goes_through_a_riser_and_across_the_joint_is_told():
    # floor of B 4 in under 97.50, body up to 12 in: a 4 in pipe 14 in up is in the riser, one 10 in up across the joint
    assert looked_at({"R1": (99.0, 97.5 + 10 / 12), "R2": (97.5, 97.0)})[0]["B"][1].part == "riser"
    holes, found = looked_at({"R1": (99.0, 97.5 + 6 / 12), "R2": (97.5, 97.0)})
    assert holes["B"][1].part == "joint"
    assert found["opening_at_joint"].place.ids == ("B",)


def test_more_pipes_than_openings_and_pipe_too_large_are_told():
    small = BasinBody(size_in=12, height_in=12.0, openings=1, largest_pipe_in=3)
    _, found = looked_at({"R1": (98.5, 97.75), "R2": (97.5, 97.0)}, stock=(small,))
    assert (found["basin_openings"].value, found["basin_openings"].limit) == (2, 1)
    assert (found["pipe_over_opening"].value, found["pipe_over_opening"].limit) == (4.0, 3.0)
