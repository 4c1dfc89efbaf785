"""Layers of trenches against closed forms: prisms of constant and of growing depth, a tee, a basin's hole, layers under paving.

Sources: volume of a prism and of a prismoid, V = L / 6 (A1 + 4 Am + A2), solid geometry; crushed stone 2,700 lb per loose yd3 = 1.35
short tons (EPA volume-to-weight factors, 2006); unit weights of base course and asphalt are the catalogue's and only multiplied here.
"""

from math import hypot, pi

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job, Run
from drainsketch.job.sections import Sections
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, lines_of, outfall, paved

WALL = 0.12 / 12  # 4 in SDR 35: outside 4.215 in, wall 0.120 in (ASTM D3034)
OUTSIDE = 4.215 / 12
PIPE_FT2 = pi / 4 * OUTSIDE**2


def solid(*obstacles, length=100.0, **sections) -> Job:
    job = job_of([fitting("F", 0, 0), outfall("O", length, 0)], [Run(id="R", start="F", end="O")])
    return replace(job, obstacles=obstacles, sections=Sections(**sections))


def quantities(job: Job, up_cut_ft: float, down_cut_ft: float, below_ft: float) -> dict[str, float]:
    """Return quantity by item under level ground at 100, for cuts at both ends down to the trench bottom."""
    inverts = {"R": (100 - up_cut_ft + below_ft, 100 - down_cut_ft + below_ft)}
    return {name: line.quantity for name, line in lines_of(job, flat(100), inverts).items()}


def prismoid(length: float, *areas: float) -> float:
    first, middle, last = areas
    return length / 6 * (first + 4 * middle + last)


def test_a_hundred_feet_at_constant_depth_with_stone_to_a_foot_over_the_pipe() -> None:
    job = solid(solid_bed_in=4.0, solid_over_in=12.0)
    counted = quantities(job, 3.0, 3.0, WALL + 4 / 12)
    stone_ft3 = 100 * (4 / 12 + OUTSIDE + 1.0) - 100 * PIPE_FT2
    assert counted["trench_solid"] * 27 == pytest.approx(300, rel=1e-9)
    assert counted["stone_solid"] == pytest.approx(stone_ft3 / 27 * 1.35, rel=1e-9)
    # what comes out and does not go back is stone and pipe
    assert counted["spoil_bank"] * 27 == pytest.approx(stone_ft3 + 100 * PIPE_FT2, rel=1e-9)


def test_a_bed_alone_leaves_the_pipe_in_earth() -> None:
    counted = quantities(solid(solid_bed_in=4.0), 3.0, 3.0, WALL + 4 / 12)
    assert counted["stone_solid"] * 27 / 1.35 == pytest.approx(100 * 4 / 12, rel=1e-9)
    assert counted["spoil_bank"] * 27 == pytest.approx(100 * (4 / 12 + PIPE_FT2), rel=1e-9)


def test_a_depth_that_grows_evenly_is_a_prismoid() -> None:
    # 12 in wide; 2 ft deep at the head and 4 ft at the outfall; stone 16 in and the pipe high over all of it
    job = solid(solid_bed_in=4.0, solid_over_in=12.0)
    counted = quantities(job, 2.0, 4.0, WALL + 4 / 12)
    high = 4 / 12 + OUTSIDE + 1.0
    along = hypot(1.0, 0.02)
    assert counted["trench_solid"] * 27 == pytest.approx(prismoid(100, 2.0, 3.0, 4.0), rel=1e-9)
    assert counted["stone_solid"] * 27 / 1.35 == pytest.approx(100 * high - 100 * along * PIPE_FT2, rel=1e-9)


def test_stone_that_would_stand_out_of_the_ground_is_cut_off_at_it() -> None:
    # Cut 1 ft at the head, 3 ft at the outfall, stone asked 2 ft high: 1 to 2 ft over the first 50 ft, then 2 ft
    job = solid(solid_bed_in=6.0, solid_over_in=24 - 6 - 4.215)
    counted = quantities(job, 1.0, 3.0, WALL + 0.5)
    gross_ft3 = prismoid(50, 1.0, 1.5, 2.0) + 50 * 2
    assert counted["stone_solid"] * 27 / 1.35 == pytest.approx(gross_ft3 - 100 * hypot(1, 0.02) * PIPE_FT2, rel=1e-6)


def test_under_asphalt_stone_reaches_up_to_the_base_course() -> None:
    # Asphalt from station 30 to 50, square to the run; 3 in of it, 6 in of base; trench 3 ft deep
    job = solid(paved("P", 50, 70, "asphalt"), base_in=6.0, asphalt_in=3.0)
    counted = quantities(job, 3.0, 3.0, WALL)
    assert counted["stone_solid"] * 27 / 1.35 == pytest.approx(20 * (3 - 0.75) - 20 * PIPE_FT2, rel=1e-9)
    assert counted["base_course"] * 27 / 1.9 == pytest.approx(20 * 0.5, rel=1e-9)
    assert counted["trench_solid"] * 27 == pytest.approx(300 - 20 * 0.25, rel=1e-9)  # the asphalt is no earth
    assert counted["spoil_bank"] * 27 == pytest.approx(20 * 2.75 + 80 * PIPE_FT2, rel=1e-9)
    # patch 1 ft wider than the foot of trench on both sides together, sawn along both sides from edge to edge
    assert counted["asphalt_patch"] * 27 / 2.0 == pytest.approx(20 * 2 * 0.25, rel=1e-9)
    assert counted["saw_cut"] == pytest.approx(40, rel=1e-6)
    assert counted["paving_rubble"] * 27 == pytest.approx(10, rel=1e-9)


def test_under_paving_native_earth_goes_back_where_it_is_asked() -> None:
    job = solid(paved("P", 50, 70, "asphalt"), base_in=6.0, asphalt_in=3.0, paved_fill="native")
    counted = quantities(job, 3.0, 3.0, WALL)
    assert "stone_solid" not in counted
    # base course and pipe take up what does not go back
    assert counted["spoil_bank"] * 27 == pytest.approx(20 * 0.5 + 100 * PIPE_FT2, rel=1e-9)


def test_a_run_that_crosses_a_drive_askew_is_measured_along_it() -> None:
    # A 3-4-5 run of 100 ft across a strip 12 ft wide: 12 / 0.8 = 15 ft of it lie under the strip
    job = job_of([fitting("F", 0, 0), outfall("O", 80, 60)], [Run(id="R", start="F", end="O")])
    job = replace(job, obstacles=(paved("P", 20, 32, "concrete", -100, 100),))
    counted = quantities(job, 3.0, 3.0, WALL)
    assert counted["base_course"] * 27 / 1.9 == pytest.approx(15 * 0.5, rel=1e-9)
    # the patch is a parallelogram: 12 ft across times 2 ft / 0.8
    assert counted["concrete_patch"] * 27 == pytest.approx(12 * 2 / 0.8 * 4 / 12, rel=1e-9)
    assert counted["saw_cut"] == pytest.approx(2 * 15, rel=1e-6)


def test_a_drain_under_paving_has_stone_up_to_the_base_and_no_topsoil_there() -> None:
    # 4 in corrugated about 4.6 in outside; bed 2 in; concrete 4 in and base 6 in over 10 of 100 ft
    job = job_of(
        [fitting("F", 0, 0), outfall("O", 100, 0)], [Run(id="R", start="F", end="O", use="drain", pipe="corrugated")]
    )
    job = replace(job, obstacles=(paved("P", 10, 20, "concrete"),))
    counted = quantities(job, 2.0, 2.0, 2.3 / 12)
    pipe_ft3 = 100 * pi / 4 * (4.6 / 12) ** 2
    assert counted["topsoil_cap"] * 27 == pytest.approx(90 * 4 / 12, rel=1e-9)
    gross_ft3 = 90 * (2 - 4 / 12) + 10 * (2 - 10 / 12)
    assert counted["stone_drain"] * 27 / 1.35 == pytest.approx(gross_ft3 - pipe_ft3, rel=1e-9)
    # trench = stone, pipe, topsoil, base: nothing is left over
    parts = gross_ft3 + counted["topsoil_cap"] * 27 + counted["base_course"] * 27 / 1.9
    assert counted["trench_drain"] * 27 == pytest.approx(parts, rel=1e-9)


def test_a_tee_is_dug_once() -> None:
    """Three trenches 1 ft wide and 2 ft deep: 40 and 30 ft of line, 20 ft of branch, of which half a foot lies in the line."""
    job = job_of(
        [fitting("A", -40, 0), fitting("T", 0, 0), fitting("B", 0, 20), outfall("O", 30, 0)],
        [Run(id=n, start=a, end=b) for n, a, b in (("R1", "A", "T"), ("R2", "T", "O"), ("R3", "B", "T"))],
    )
    level = (98.0 + WALL, 98.0 + WALL)
    lines = lines_of(job, flat(100), {"R1": level, "R2": level, "R3": level})
    assert lines["trench_solid"].quantity * 27 == pytest.approx((70 + 19.5) * 2, rel=1e-9)


def test_a_basin_pit_in_asphalt_is_filled_with_stone_up_to_the_base() -> None:
    # 12 in basin in a hole 2 ft square, 24 in to the invert, 4 in sump and 2 in bed: 30 in deep; asphalt 3 in, base 6 in
    job = job_of([basin("B", 0, 0), outfall("O", 20, 0)], [Run(id="R", start="B", end="O")])
    job = replace(job, obstacles=(paved("P", -10, 10, "asphalt"),))
    lines = {k: v.quantity for k, v in lines_of(job, flat(100), {"R": (98.0, 98.0)}).items()}
    assert lines["basin_holes"] * 27 == pytest.approx(4 * (30 - 3) / 12, rel=1e-9)
    ring_ft2 = 4 - 1
    bed_and_ring = 4 * 2 / 12 + ring_ft2 * (28 - 9) / 12
    assert lines["stone_basin"] * 27 / 1.35 == pytest.approx(bed_and_ring, rel=1e-9)
    under_run = 9 * 0.5  # from the hole's edge 1 ft out to the edge of the asphalt at 10 ft
    assert lines["base_course"] * 27 / 1.9 == pytest.approx(under_run + ring_ft2 * 0.5, rel=1e-9)


def test_number_57_stone_weighs_what_the_handbook_says() -> None:
    # 27 ft3 of stone gross of nothing: a bed 1 ft thick under 27 ft of pipe is a cubic yard, 2,700 lb
    counted = quantities(solid(length=27.0, solid_bed_in=12.0), 3.0, 3.0, WALL + 1.0)
    assert counted["stone_solid"] * 2000 == pytest.approx(2700, rel=1e-6)
