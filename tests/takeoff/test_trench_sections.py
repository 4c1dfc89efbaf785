"""Trenches in section, worked by hand."""

from math import hypot

import pytest
from msgspec.structs import replace

from drainsketch.job import model as m
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job
from drainsketch.job.sections import Sections
from drainsketch.review import analyse
from drainsketch.takeoff.trench_sections import Layer, layers, stretches, tape_in, trench_sections

PIPE = {"cut_in": 30.0, "bed_in": 2.0, "outside_in": 4.5}


def said(found: tuple[Layer, ...]) -> list[tuple[str, float, float, float]]:
    return [(y.material, y.bottom_in, y.top_in, y.beyond_in) for y in found]


def test_a_drain_is_stone_under_a_cap_of_topsoil() -> None:
    assert said(layers("drain", "lawn", Sections(), Criteria(), **PIPE)) == [
        ("stone", 0.0, 26.0, 0.0),
        ("topsoil", 26.0, 30.0, 0.0),
    ]


def test_solid_pipe_lies_in_native_earth_or_in_stone_as_far_over_it_as_asked() -> None:
    assert said(layers("solid", "lawn", Sections(), Criteria(), **PIPE)) == [
        ("stone", 0.0, 2.0, 0.0),
        ("native", 2.0, 30.0, 0.0),
    ]
    # 2 in of bed, 4.5 in of pipe, 6 in over it
    assert said(layers("solid", "lawn", Sections(solid_over_in=6.0), Criteria(), **PIPE)) == [
        ("stone", 0.0, 12.5, 0.0),
        ("native", 12.5, 30.0, 0.0),
    ]


def test_under_paving_the_fill_reaches_up_to_the_base_and_the_surface_is_wider_than_the_trench() -> None:
    # 30 in less 3 of asphalt is 27, less 6 of base is 21
    assert said(layers("solid", "asphalt", Sections(), Criteria(), **PIPE)) == [
        ("stone", 0.0, 21.0, 0.0),
        ("base", 21.0, 27.0, 0.0),
        ("asphalt", 27.0, 30.0, 6.0),
    ]
    # 2 3/8 of pavers and 1 of sand: 26.625; base from 20.625
    assert said(layers("drain", "brick", Sections(), Criteria(), **PIPE)) == [
        ("stone", 0.0, 20.625, 0.0),
        ("base", 20.625, 26.625, 0.0),
        ("sand", 26.625, 27.625, 6.0),
        ("pavers", 27.625, 30.0, 6.0),
    ]
    native = layers("solid", "concrete", Sections(paved_fill="native"), Criteria(), **PIPE)
    assert said(native) == [
        ("stone", 0.0, 2.0, 0.0),
        ("native", 2.0, 20.0, 0.0),
        ("base", 20.0, 26.0, 0.0),
        ("concrete", 26.0, 30.0, 6.0),
    ]


@pytest.mark.parametrize("cut_in", [0.0, 0.5, 2.0, 3.0, 5.0, 9.0, 30.0])
@pytest.mark.parametrize("surface", ["lawn", "asphalt", "concrete", "brick", "gravel", "drive-or-walk"])
@pytest.mark.parametrize("use", ["drain", "solid"])
def test_layers_lie_on_each_other_without_a_gap_up_to_the_ground(use: str, surface: str, cut_in: float) -> None:
    found = layers(use, surface, Sections(), Criteria(), cut_in=cut_in, bed_in=2.0, outside_in=4.5)  # type: ignore[arg-type]
    assert [y.bottom_in for y in found] == [0.0, *(y.top_in for y in found)][: len(found)]
    assert (found[-1].top_in if found else 0.0) == pytest.approx(cut_in)


def test_marking_tape_lies_on_the_stone_or_a_foot_over_the_pipe() -> None:
    drain = layers("drain", "lawn", Sections(), Criteria(), **PIPE)
    assert tape_in(drain, Sections(), pipe_top_in=6.5) == 26.0
    solid = layers("solid", "lawn", Sections(), Criteria(), **PIPE)
    assert tape_in(solid, Sections(), pipe_top_in=6.5) == 18.5
    shallow = layers("solid", "lawn", Sections(), Criteria(), cut_in=18.0, bed_in=2.0, outside_in=4.5)
    assert tape_in(shallow, Sections(), pipe_top_in=6.5) == 12.0  # 6 in under the ground
    assert tape_in(solid, Sections(marking_tape=False), pipe_top_in=6.5) is None


def yard(*obstacles: m.Obstacle) -> Job:
    """A run of 100 ft from a basin at level 98 to a tie-in at 97, under ground at 101 at the basin and at 100 at the tie-in."""
    return Job(
        obstacles=obstacles,
        structures=(
            m.Structure(id="B1", kind="basin", point=(0, 0), size_in=12, invert_ft=98.0),
            m.Structure(id="O1", kind="outfall", point=(100, 0), outfall="tie-in", invert_ft=97.0),
        ),
        runs=(m.Run(id="R1", start="B1", end="O1"),),
        shots=tuple(
            m.Shot(id=f"s{i}", point=p, elevation_ft=101.0 - p[0] / 100)
            for i, p in enumerate(((-100, -50), (200, -50), (200, 50), (-100, 50)))
        ),
    )


def drive(west: float, east: float, surface: str | None = "asphalt", name: str = "P1") -> m.Obstacle:
    points = ((west, -5.0), (east, -5.0), (east, 5.0), (west, 5.0))
    return m.Obstacle(id=name, kind="hardscape", points=points, surface=surface)  # type: ignore[arg-type]


def test_cut_and_cover_of_a_run_under_lawn_are_those_of_its_grade() -> None:
    review = analyse(yard())
    (found,) = trench_sections(review.works)
    grade = review.grades["R1"]
    # ground and pipe fall alike: 3 ft and the wall of 0.12 in everywhere
    assert found.least_cut_ft == grade.least_cut_ft == pytest.approx(3 + 0.12 / 12)
    assert found.greatest_cut_ft == grade.greatest_cut_ft == pytest.approx(3 + 0.12 / 12)
    assert found.least_cover_ft == pytest.approx(3 - (4.215 - 0.12) / 12)
    assert (found.runs, found.surface, found.width_in, found.bed_in) == (("R1",), "lawn", 12.0, pytest.approx(0.0))


def test_a_run_is_told_apart_by_what_lies_over_it_stations_from_its_downstream_end() -> None:
    job = yard(drive(20, 30), drive(28, 40, "brick", "P2"), drive(60, 62, None, "P3"))
    (work,) = analyse(job).works.runs
    found = [(s.surface, round(s.from_ft, 6), round(s.to_ft, 6)) for s in stretches(job, work)]
    assert found == [
        ("lawn", 0, 38),
        ("drive-or-walk", 38, 40),
        ("lawn", 40, 60),
        ("brick", 60, 72),  # drawn last, so it is on top
        ("asphalt", 72, 80),
        ("lawn", 80, 100),
    ]


def test_each_surface_has_the_cut_under_it() -> None:
    # ground falls 2 ft more than the pipe: cut 3 ft at the tie-in, 5 ft at the basin, and the wall
    job = yard(drive(20, 40))
    shots = tuple(replace(s, elevation_ft=100.0 + 3.0 * (1 - s.point[0] / 100)) for s in job.shots)
    review = analyse(replace(job, shots=shots))
    lawn, asphalt = trench_sections(review.works)
    wall_ft = 0.12 / 12
    assert (lawn.surface, asphalt.surface) == ("lawn", "asphalt")
    # stations 60 and 80: 3 + 2 x 0.6 and 3 + 2 x 0.8
    assert asphalt.least_cut_ft == pytest.approx(4.2 + wall_ft)
    assert asphalt.greatest_cut_ft == pytest.approx(4.6 + wall_ft)
    assert lawn.least_cut_ft == pytest.approx(3.0 + wall_ft)
    assert lawn.greatest_cut_ft == pytest.approx(5.0 + wall_ft)


def test_a_slanting_run_has_its_stations_along_itself() -> None:
    job = replace(yard(drive(-10, 50)), structures=())
    ends = (m.Structure(id="B1", kind="basin", point=(0, 4)), m.Structure(id="O1", kind="outfall", point=(80, -4)))
    job = replace(job, structures=ends)
    (work,) = analyse(job).works.runs
    lawn, paved = stretches(job, work)
    long = hypot(80, 8)
    assert (paved.from_ft, paved.to_ft) == pytest.approx((long * 30 / 80, long))
    assert (lawn.from_ft, lawn.to_ft) == pytest.approx((0.0, long * 30 / 80))


def test_same_pipe_is_one_section_and_another_size_is_another() -> None:
    job = yard()
    more = (
        m.Structure(id="B2", kind="basin", point=(0, 20), size_in=12),
        m.Structure(id="B3", kind="basin", point=(0, -20), size_in=12),
    )
    runs = (*job.runs, m.Run(id="R2", start="B2", end="B1"), m.Run(id="R3", start="B3", end="B1", diameter_in=6))
    found = trench_sections(analyse(replace(job, structures=(*job.structures, *more), runs=runs)).works)
    assert [(s.diameter_in, s.runs) for s in found] == [(4, ("R1", "R2")), (6, ("R3",))]
