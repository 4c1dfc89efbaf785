"""How much ground runs past every inlet, against areas of plane geometry."""

import pytest
from msgspec.structs import replace

from drainsketch.ground.passing import past_inlets_ft2
from drainsketch.job.model import Boundary, Obstacle
from tests.water.wet_yards import funnel, looked_at
from tests.yards import basin, drawn, outfall, run, shot

EDGE_FT2 = 2 * 0.5 * 20 + 1  # a cell of half a foot along either side of the strip


def plane(**more):
    """Forty feet square of ground that falls 2 % to the east, with a basin at its middle."""
    ground = [shot(x, y, 100 - 0.02 * x) for x in (0, 20, 40) for y in (0, 20, 40)]
    return replace(
        drawn(*ground, basin(20, 20, size_in=12), outfall(38, 20, "tie-in", invert_ft=96.0), run("B1", "O1")), **more
    )


def past(job) -> float:
    ground = looked_at(job).ground
    assert ground is not None
    return past_inlets_ft2(job, ground)


def test_a_funnel_lets_nothing_past():
    """60 ft square whose four planes fall to the basin: within a row of cells along its edge."""
    assert past(funnel()) == pytest.approx(0.0, abs=60 * 4 * 0.5)


def test_a_plane_sheds_past_a_basin_but_for_the_strip_above_it():
    """Only the strip uphill of the grate, a foot wide and 20 ft long, runs into it: 1,600 less 20 ft2."""
    assert past(plane()) == pytest.approx(1_600 - 20, abs=EDGE_FT2)


def test_only_what_lies_inside_the_lot_line_counts_and_no_roof():
    """The west half of the lot, 20 x 40 ft, less the strip, less a shed of 10 x 10 ft in it that stands clear of the strip."""
    lot = Boundary(id="boundary", points=((0, 0), (20, 0), (20, 40), (0, 40)))
    assert past(plane(boundary=lot)) == pytest.approx(800 - 20, abs=EDGE_FT2)
    shed = Obstacle(id="shed-1", kind="building", points=((5, 25), (15, 25), (15, 35), (5, 35)))
    assert past(plane(boundary=lot, obstacles=(shed,))) == pytest.approx(800 - 20 - 100, abs=EDGE_FT2)


def test_without_basins_all_of_it_runs_past():
    job = plane()
    ground = looked_at(replace(job, structures=(), runs=())).ground
    assert ground is not None
    assert past_inlets_ft2(job, ground) == pytest.approx(1_600)
