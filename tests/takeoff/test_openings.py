"""Openings of basins: how high, toward where, in which piece, and whether the body takes the pipes."""

import pytest
from msgspec.structs import replace

from drainsketch.job.limits import BasinBody
from drainsketch.job.model import Run
from drainsketch.job.pipes import pipe_size
from drainsketch.takeoff.openings import opening_findings, openings
from drainsketch.takeoff.stacks import stacks
from drainsketch.wording import Words
from tests.takeoff.small_jobs import basin, flat, job_of, laid_out, outfall

LINE = [basin("A", 0, 0, size_in=12), basin("B", 50, 0, size_in=12), outfall("O", 50, -40)]
RUNS = [Run(id="R1", start="A", end="B"), Run(id="R2", start="B", end="O")]


def top_ft(run):
    """Return how far the outside top of a pipe is above its invert."""
    of = next(r for r in RUNS if r.id == run)
    size = pipe_size(of.pipe, of.diameter_in)
    return (size.inside_in + size.wall_in) / 12


def looked_at(inverts, stock=(), structures=LINE, runs=RUNS, ground=100.0):
    laid = laid_out(replace(job_of(structures, runs), stock=stock), flat(ground), inverts)
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


def test_a_hole_above_a_body_without_risers_is_in_none():
    # the grate of B at 98.1 is less than the body (12 in) over its floor at 97.1667: nothing is stacked; R1 comes in 14 in up
    low = [basin("A", 0, 0, size_in=12), basin("B", 50, 0, size_in=12, rim_ft=98.1), outfall("O", 50, -40)]
    holes, found = looked_at({"R1": (99.0, 97.5 + 10 / 12), "R2": (97.5, 97.0)}, structures=low)
    assert [o.part for o in holes["B"]] == ["body", "above"]
    assert "opening_at_joint" not in found


def test_more_pipes_than_openings_and_pipe_too_large_are_told():
    small = BasinBody(size_in=12, height_in=12.0, openings=1, largest_pipe_in=3)
    _, found = looked_at({"R1": (98.5, 97.75), "R2": (97.5, 97.0)}, stock=(small,))
    assert (found["basin_openings"].value, found["basin_openings"].limit) == (2, 1)
    assert (found["pipe_over_opening"].value, found["pipe_over_opening"].limit) == (4.0, 3.0)


def in_grate(found):
    return [f for f in found.values() if f.kind == "pipe_in_grate"]


def test_a_pipe_that_reaches_up_into_the_grate_is_told():
    """Rim 96.50, invert 96.15, body 12 in: it is set with its floor at 95.50, the hole 0.65 ft = 7.80 in up.

    Pipe of 4 in inside with walls of 0.02 in to 0.12 in has its top some 4.1 in higher, under 12 in. A grate within the body leaves
    11 in of it (1 in; common practice, no source).
    """
    holes, found = looked_at({"R1": (96.5, 96.15), "R2": (96.15, 96.0)}, ground=96.50)
    assert holes["B"][0].above_floor_in == pytest.approx(7.8)
    (told,) = [f for f in in_grate(found) if f.place.ids[0] == "B"]
    assert told.level == "settle"
    assert told.limit == pytest.approx(11.0)
    assert told.value == pytest.approx(7.8 + 12 * top_ft("R1"), abs=1e-6)
    assert dict(told.params)["over"] == pytest.approx(told.value - 11.0)
    said = Words().sentence(told)
    assert said.startswith("R1 does not fit under the grate of B") and "the underside of the grate 11 in" in said


def test_a_pipe_that_ends_under_the_grate_is_none_of_it():
    # its top 0.34 ft above an invert at 95.98: 96.32, an inch below 96.50 is 96.417
    assert not in_grate(looked_at({"R1": (96.2, 95.98), "R2": (95.98, 95.5)}, ground=96.50)[1])


def test_a_grate_that_stands_on_the_body_takes_its_own_height():
    # body 12 in with a grate of 2 in on it, rim 96.50: the underside at 96.3333, 12 in above the floor
    tall = BasinBody(size_in=12, height_in=12.0, grate_in=2.0)
    _, found = looked_at({"R1": (96.5, 96.15), "R2": (96.15, 96.0)}, stock=(tall,), ground=96.50)
    (told,) = [f for f in in_grate(found) if f.place.ids[0] == "B"]
    assert told.limit == pytest.approx(12.0)
