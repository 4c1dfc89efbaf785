"""Pits inside one hollow: two that count are two, a dimple is none; checked with a flood fill of another make."""

import numpy as np
import pytest
from scipy.ndimage import label

from drainsketch.ground.hollows import Hollow, hollows_of
from drainsketch.ground.results import Floats, GroundStudy
from drainsketch.ground.study import ground_study
from drainsketch.job.model import Job
from drainsketch.review import analyse
from tests.yards import drawn, shot


def two_pits(west: float = 99.0, east: float = 99.4, saddle: float = 100.0, brim: float = 100.3) -> Job:
    """Two cones of 8 and 6 % in a flat at the level of the saddle, shut in by a bank at the edge; shots every 5 ft."""

    def z(x: float, y: float) -> float:
        cones = min(west + 0.08 * np.hypot(x + 20, y), east + 0.06 * np.hypot(x - 20, y))
        bank = saddle + (brim - saddle) * min(1.0, max(abs(x) / 45, abs(y) / 25) ** 4)
        return float(min(cones, bank))

    return drawn(*(shot(x, y, z(x, y)) for x in range(-50, 51, 5) for y in range(-30, 31, 5)))


def studied(job: Job) -> GroundStudy:
    ground = ground_study(job, analyse(job).surface, ())
    assert ground is not None
    return ground


def pool(z: Floats, at: tuple[int, int], level: float, cell_ft2: float) -> float:
    """Return the volume below a level of the ground that hangs together with a cell there, ft3."""
    parts, _ = label(np.nan_to_num(z, nan=1e9) <= level, structure=np.ones((3, 3)))
    mine = parts == parts[at]
    return float((level - z[mine]).sum()) * cell_ft2


def cell_of(ground: GroundStudy, hollow: Hollow) -> tuple[int, int]:
    row, column = divmod(int(hollow.cells[0]), ground.grid.columns)
    return row, column


def test_two_pits_are_two_hollows_up_to_the_saddle_between_them() -> None:
    ground = studied(two_pits())
    found = hollows_of(ground).hollows
    assert len(found) == 2
    first, second = found  # the one that spills off the yard, and the one over the saddle
    assert (first.into, second.into) == (-1, 0)
    assert first.spill_ft == first.brim_ft == second.brim_ft == pytest.approx(100.3, abs=0.02)
    assert second.spill_ft == pytest.approx(100.0, abs=0.02)
    assert not set(first.cells.tolist()) & set(second.cells.tolist())
    for hollow in found:
        expected = pool(ground.ground_ft, cell_of(ground, hollow), second.spill_ft - 1e-6, ground.grid.cell_ft**2)
        assert hollow.volumes_ft3(np.array([second.spill_ft]))[0] == pytest.approx(expected, rel=0.02, abs=1.0)


def test_both_together_hold_what_the_pond_does() -> None:
    ground = studied(two_pits())
    (pond,) = ground.ponds_now
    found = hollows_of(ground).hollows
    together = sum(float(h.volumes_ft3(np.array([h.brim_ft]))[0]) for h in found)
    assert together * 7.48052 == pytest.approx(pond.volume_gal, rel=1e-6)


def test_a_dimple_is_no_pit_of_its_own() -> None:
    """East pit a twentieth of a foot deep to the saddle: one hollow."""
    assert len(hollows_of(studied(two_pits(east=99.95))).hollows) == 1


def test_water_of_each_side_comes_to_its_own_pit() -> None:
    ground = studied(two_pits())
    found = hollows_of(ground)
    x = ground.grid.west_ft + (np.arange(ground.grid.columns) + 0.5) * ground.grid.cell_ft
    middle = ground.grid.rows // 2
    row = found.first[middle]
    west, east = {int(n) for n in row[(x > -28) & (x < -12)]}, {int(n) for n in row[(x > 12) & (x < 28)]}
    assert len(west) == len(east) == 1 and west != east
