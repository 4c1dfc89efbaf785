"""Grid, contours and fall arrows, and the study of a job as a whole."""

from math import hypot

import numpy as np
import pytest

from drainsketch.ground.contours import contours_of
from drainsketch.ground.falls import arrows_of
from drainsketch.ground.grid import MOST_CELLS, grid_over
from drainsketch.ground.results import Grid
from drainsketch.ground.study import ground_study
from drainsketch.job.edits.change import change
from drainsketch.job.model import Boundary
from drainsketch.review import analyse
from drainsketch.study import study
from tests.ground.shapes import ground_of, house, inlet
from tests.yards import basin, drawn, outfall, run, shot


def test_an_acre_has_cells_of_half_a_foot_and_larger_yards_coarser_ones() -> None:
    _, acre = ground_of(lambda x, y: 100.0, reach=104.35, pitch=104.35)
    _, ten = ground_of(lambda x, y: 100.0, reach=330.0, pitch=330.0)
    small, large = grid_over(None, acre), grid_over(None, ten)
    assert small.cell_ft == 0.5
    assert large.cell_ft > 1.0
    assert large.rows * large.columns <= MOST_CELLS


def test_the_grid_reaches_a_little_past_the_lot_where_there_are_shots() -> None:
    _, surface = ground_of(lambda x, y: 100.0, reach=100.0, pitch=50.0)
    lot = Boundary(id="boundary", points=((0, 0), (40, 0), (40, 95), (0, 95)))
    grid = grid_over(lot, surface)
    assert (grid.west_ft, grid.south_ft) == (-10.0, -10.0)
    assert grid.west_ft + grid.columns * grid.cell_ft == 50.0
    assert grid.south_ft + grid.rows * grid.cell_ft == 100.0


def test_contours_of_a_cone_are_circles_at_their_level() -> None:
    """Source: geometry. A cone of slope 0.05 stands at 100 - 0.05 r."""
    grid = Grid(-40.0, -40.0, 0.5, 160, 160)
    at = -40 + 0.5 * (np.arange(160) + 0.5)
    ground = 100 - 0.05 * np.hypot(at[None, :], at[:, None])
    found = {round(c.level_ft, 6): c for c in contours_of(grid, ground, 0.5)}
    for level in (98.5, 99.0, 99.5):
        (line,) = found[level].lines
        np.testing.assert_allclose(np.hypot(*line.T), (100 - level) / 0.05, atol=0.1)


def test_contours_come_coarser_where_there_would_be_more_than_sixty() -> None:
    grid = Grid(0.0, 0.0, 1.0, 50, 50)
    ground = np.add.outer(np.arange(50.0), np.arange(50.0))
    found = contours_of(grid, ground, 0.1)
    assert 20 < len(found) <= 60
    assert found[1].level_ft - found[0].level_ft == pytest.approx(2.0)


def test_level_ground_at_a_contour_has_neither_contours_nor_arrows() -> None:
    grid = Grid(0.0, 0.0, 0.5, 60, 60)
    level = np.full((60, 60), 100.0)
    assert contours_of(grid, level, 0.5) == ()
    assert arrows_of(grid, level, np.zeros((60, 60))) == ()


def test_arrows_point_down_the_slope_and_say_how_steep() -> None:
    grid = Grid(0.0, 0.0, 0.5, 60, 80)
    y, x = np.mgrid[0:60, 0:80] * 0.5
    for arrow in (found := arrows_of(grid, 100 - 0.03 * x + 0.04 * y, np.zeros((60, 80)))):
        assert arrow.slope == pytest.approx(0.05)
        assert arrow.toward == pytest.approx((0.6, -0.8))
    assert len(found) > 10
    assert min(hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) for a in found for b in found if a is not b) >= 8.0


def test_a_roof_is_left_out_of_the_ground_that_reaches_an_inlet() -> None:
    bowl = ground_of(lambda x, y: 100 + 0.05 * max(abs(x), abs(y)), buildings=(house(10, -5, 20, 5),))
    study = ground_study(*bowl, (inlet((0.0, 0.0), 100.0),))
    assert study is not None
    (area,) = study.catchments
    assert area.area_ft2 == pytest.approx(60 * 60 - 10 * 10, rel=0.03)
    assert len(area.outline) == 2  # a hole where the house stands


def yard(invert_ft: float = 98.0) -> object:
    ground = [shot(x, y, 100 + 0.05 * max(abs(x), abs(y))) for x in range(-30, 31, 10) for y in range(-30, 31, 10)]
    end = outfall(29.0, 0.0, "tie-in", invert_ft=invert_ft)
    return drawn(*ground, basin(0.0, 0.0, size_in=12), end, run("B1", "O1"))


def test_a_basin_takes_water_in_only_while_pipe_leads_it_away() -> None:
    job = yard()
    with_pipe = study(analyse(job)).ground  # type: ignore[arg-type]
    without = study(analyse(drawn(*job.shots, *job.structures))).ground  # type: ignore[attr-defined]
    assert with_pipe is not None and without is not None
    assert [c.inlet for c in with_pipe.catchments] == ["B1"]
    assert with_pipe.ponds == ()
    assert without.catchments == ()
    assert without.ponds[0].inlets == ("B1",)
    assert with_pipe.ponds_now[0].volume_gal == pytest.approx(without.ponds[0].volume_gal)


def test_a_basin_that_cannot_drain_takes_nothing_off_the_ground() -> None:
    dead = study(analyse(yard(invert_ft=99.5)))  # type: ignore[arg-type]
    assert any(f.kind == "cannot_drain" for f in dead.review.findings)
    assert dead.ground is not None
    assert dead.ground.catchments == ()
    assert dead.ground.ponds[0].volume_gal == dead.ground.ponds_now[0].volume_gal > 1_000
    assert any(f.kind == "standing_water" for f in dead.findings)


def test_the_ground_is_not_studied_again_while_nothing_it_stands_on_changed() -> None:
    job = yard()
    before = study(analyse(job))  # type: ignore[arg-type]
    renamed = change(job, "R1", name="main line")  # type: ignore[arg-type]
    assert study(analyse(renamed, before.review), before).ground is before.ground
    raised = change(job, "S1", elevation_ft=104.0)  # type: ignore[arg-type]
    assert study(analyse(raised, before.review), before).ground is not before.ground


def test_too_few_shots_make_no_study() -> None:
    assert study(analyse(drawn(shot(0, 0, 100), shot(10, 0, 99)))).ground is None
