"""What a profile draws, as data, against a yard worked out by hand (see tests/desk/at_desk.py)."""

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change
from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.model import Job, Run, Structure
from drainsketch.review import analyse
from drainsketch.sheets.marks import Stroke
from drainsketch.sheets.pathway import pathway
from drainsketch.sheets.profile_marks import ProfileMarks, profile_marks
from drainsketch.wording import Words
from tests.desk.at_desk import PLANE_YARD

# Ground z = 100 - 0.02 x, so z = 99 + 0.02 s at station s from O1. R1 rises from 97.00 to 98.00 over 50 ft.
# 4 in SDR 35: outside 4.215 in, walls 0.120 in (ASTM D3034).
WALL_FT, OUTSIDE_FT, INSIDE_FT = 0.120 / 12, 4.215 / 12, (4.215 - 2 * 0.120) / 12


def marks_of(job: Job) -> ProfileMarks:
    review = analyse(job)
    way = pathway(review, ("B1",))
    assert way is not None
    return profile_marks(way, review, Words.of(job))


def of_style(marks: ProfileMarks, style: str) -> list[Stroke]:
    return [m for m in (*marks.ground, *marks.lines) if m.style == style]


def level_at(points: tuple[tuple[float, float], ...], station_ft: float) -> float:
    s, z = zip(*sorted(points), strict=True)
    return float(np.interp(station_ft, s, z))


def test_pipe_is_drawn_with_its_walls_to_scale() -> None:
    marks = marks_of(PLANE_YARD)
    (wall,) = of_style(marks, "pipe wall")
    top, bottom = wall.points[:2], wall.points[2:]
    assert level_at(top, 25.0) == pytest.approx(97.5 + INSIDE_FT + WALL_FT)
    assert level_at(top, 25.0) - level_at(bottom, 25.0) == pytest.approx(OUTSIDE_FT)
    inside = sorted(level_at(m.points, 25.0) for m in of_style(marks, "pipe inside"))
    assert inside == pytest.approx([97.5, 97.5 + INSIDE_FT])


def test_stone_reaches_from_the_trench_bottom_to_the_cap_and_the_cap_to_the_ground() -> None:
    """2 in of stone under the pipe and 4 in of topsoil over the stone, as the criteria of a new job say."""
    job = change(PLANE_YARD, "R1", use="drain")
    marks = marks_of(job)
    (cap,), (stone,) = of_style(marks, "topsoil cap"), of_style(marks, "stone band")
    at_25 = sorted(z for s, z in stone.points if s == 25.0)
    assert at_25 == pytest.approx([97.5 - WALL_FT - 2 / 12, 99.5 - 4 / 12])
    assert sorted(z for s, z in cap.points if s == 25.0) == pytest.approx([99.5 - 4 / 12, 99.5])
    assert not of_style(marks_of(PLANE_YARD), "stone band")


def test_hand_dig_zone_lies_about_the_service_square_across_the_trench() -> None:
    """Gas of 1 in at station 30: 18 in to each side of its outside, so from 30 - 1.5417 to 30 + 1.5417 ft."""
    zones = of_style(marks_of(PLANE_YARD), "hand-dig zone")
    zone = min(zones, key=lambda m: abs(m.points[0][0] - 30))
    stations = [s for s, _ in zone.points]
    half = 1.5 + 0.5 / 12
    assert (min(stations), max(stations)) == pytest.approx((30 - half, 30 + half), abs=1e-3)
    levels = [z for _, z in zone.points]
    assert max(levels) == pytest.approx(99.0 + 0.02 * (30 + half), abs=1e-3)
    assert min(levels) == pytest.approx(97.0 + 0.02 * (30 - half) - WALL_FT, abs=1e-3)


def test_service_is_drawn_at_its_depth_with_how_far_it_may_be_off() -> None:
    job = change(PLANE_YARD, "gas-1", known_by="marked", depth_error_ft=0.4)
    sections = {s.kind: s for s in marks_of(job).sections}
    gas, water = sections["gas"], sections["water"]
    assert gas.top_ft == pytest.approx(99.6 - 0.5)
    assert gas.bottom_ft == pytest.approx(99.1 - 1 / 12)
    assert gas.error_ft == pytest.approx(0.4)
    assert gas.letter == "G"
    assert (water.top_ft, water.bottom_ft) == (None, None)


def test_basin_stands_with_body_risers_sump_and_bed() -> None:
    """Rim 100.00, invert 98.00, 4 in of sump: 28 in, of it 12 in body and 16 in of risers of 6 in, the last cut to 4; 2 in bed."""
    column = next(c for c in marks_of(PLANE_YARD).columns if c.owner == "B1")
    assert column.grate
    assert column.top_ft == pytest.approx(100.0)
    assert column.width_ft == pytest.approx(1.0)
    walls = [layer for layer in column.layers if layer.style == "basin wall"]
    floor = 98.0 - 4 / 12
    assert [round((w.top_ft - w.bottom_ft) * 12, 6) for w in walls] == [12.0, 6.0, 6.0, 4.0]
    assert walls[0].bottom_ft == pytest.approx(floor)
    (sump,) = (layer for layer in column.layers if layer.style == "basin sump")
    assert (sump.bottom_ft, sump.top_ft) == pytest.approx((floor, 98.0))
    (bed,) = (layer for layer in column.layers if layer.style == "stone band")
    assert (bed.bottom_ft, bed.top_ft) == pytest.approx((floor - 2 / 12, floor))


def test_pipe_that_arrives_from_aside_is_seen_end_on() -> None:
    job = add(PLANE_YARD, Structure(id="B2", kind="basin", point=(-40.0, 30.0), size_in=12))
    job = add(job, Run(id="R2", start="B2", end="B1"))
    (branch,) = (s for s in marks_of(job).sections if s.kind == "branch")
    assert branch.at_ft == pytest.approx(50.0)
    assert branch.top_ft is not None
    assert branch.bottom_ft is not None
    assert branch.top_ft - branch.bottom_ft == pytest.approx(OUTSIDE_FT)


def test_ground_outside_the_shots_is_a_guess() -> None:
    """Shots end at x = -50; B1 moved to x = -60 leaves 10 ft of the path beyond them."""
    job = replace(
        PLANE_YARD,
        structures=tuple(replace(s, point=(-60.0, 0.0)) if s.id == "B1" else s for s in PLANE_YARD.structures),
    )
    marks = marks_of(job)
    (guess,) = of_style(marks, "ground guess")
    assert min(s for s, _ in guess.points) == pytest.approx(100.0, abs=1.0)
    assert max(s for s, _ in guess.points) == pytest.approx(110.0)


def test_readings_on_laid_pipe_stand_at_their_levels() -> None:
    """Height of instrument 104.00: a reading of 6.60 at station 20 is 97.40, on grade; 6.40 at 30 is 97.60, on grade too;
    6.10 at 40 is 97.90, 0.10 ft above 97.80."""
    readings = tuple(
        LaidReading(id=f"L{n}", run="R1", station_ft=s, reading_ft=r, height_ft=104.0)
        for n, (s, r) in enumerate(((20.0, 6.60), (30.0, 6.40), (40.0, 6.10)), 1)
    )
    marks = marks_of(replace(PLANE_YARD, laying=Laying(readings=readings)))
    assert [(s, round(z, 6), ok) for s, z, ok in marks.laid] == [(20, 97.4, True), (30, 97.6, True), (40, 97.9, False)]


def test_warnings_have_the_letters_of_the_plan() -> None:
    job = change(PLANE_YARD, "B1", rim_ft=100.6)
    review = analyse(job)
    way = pathway(review, ("B1",))
    assert way is not None
    from drainsketch.sheets.flags import flagged

    letters = {flag for f, flag, own in flagged(review) if own and "B1" in f.place.ids}
    assert letters
    assert letters <= {w.letter for w in way.warned}
    assert all(w.at_ft == pytest.approx(50.0) for w in way.warned if w.kind == "rim_high")
