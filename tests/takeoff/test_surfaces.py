"""Surfaces cut open and put back, by hand on invented plans."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.model import Job, Obstacle, Run, Structure
from drainsketch.job.sections import Sections
from drainsketch.review import analyse
from drainsketch.takeoff.overlap import union_area_ft2
from drainsketch.wording import Words, languages
from tests.takeoff.small_jobs import basin, fitting, flat, job_of, lines_of, outfall, paved


def straight(*obstacles: Obstacle, length: float = 40.0, **sections: object) -> Job:
    job = job_of([fitting("F", 0, 0), outfall("O", length, 0)], [Run(id="R", start="F", end="O")])
    return replace(job, obstacles=obstacles, sections=Sections(**sections))


def quantities(job: Job, ground=None, **inverts: tuple[float, float]) -> dict[str, float]:
    levels = inverts or {r.id: (98.0, 98.0) for r in job.runs}
    return {k: v.quantity for k, v in lines_of(job, ground or flat(100), levels).items()}


def box(name: str, kind: str, west: float, east: float, south: float = -50, north: float = 50) -> Obstacle:
    return Obstacle(id=name, kind=kind, points=((west, south), (east, south), (east, north), (west, north)))


def test_sod_is_the_trench_and_what_is_asked_beside_it():
    # 40 ft of trench 1 ft wide and 1.5 ft on each side: 160 ft2
    counted = quantities(straight(lawn="sod"))
    assert counted["sod"] == pytest.approx(160)
    assert "lawn_seed" not in counted


def test_seed_and_straw_lie_on_the_same_ground():
    counted = quantities(straight(lawn="seed and straw", lawn_beyond_in=6.0))
    assert (counted["lawn_seed"], counted["straw"]) == (pytest.approx(80), pytest.approx(80))


def test_lawn_that_is_left_to_the_owner_is_counted_and_not_bought():
    lines = lines_of(straight(lawn="left to the owner"), flat(100), {"R": (98.0, 98.0)})
    assert (lines["lawn_left"].quantity, lines["lawn_left"].buy) == (pytest.approx(160), None)


def test_a_hole_counts_with_its_strip_once_and_without_its_basin():
    # Basin 12 in: hole 2 ft square, 5 ft with 1.5 ft beyond. The strip 4 ft wide begins in its middle: 2.5 of its 40 ft lie in it
    job = job_of([basin("B", 0, 0), outfall("O", 40, 0)], [Run(id="R", start="B", end="O")])
    counted = quantities(replace(job, sections=Sections(lawn="sod")))
    assert counted["sod"] == pytest.approx(25 + 37.5 * 4 - 1)


def test_strips_that_meet_count_once():
    # A line of 60 ft and a branch of 20 ft, 4 ft wide: 2 ft of the branch lie in the line
    job = job_of(
        [fitting("A", -30, 0), fitting("T", 0, 0), fitting("B", 0, 20), outfall("O", 30, 0)],
        [Run(id=n, start=a, end=b) for n, a, b in (("R1", "A", "T"), ("R2", "T", "O"), ("R3", "B", "T"))],
    )
    assert quantities(replace(job, sections=Sections(lawn="sod")))["sod"] == pytest.approx(60 * 4 + 18 * 4)


def test_two_trenches_that_meet_keep_their_square_corner():
    # 20 ft east and 20 ft north, 4 ft wide: middle line times width
    job = job_of(
        [fitting("A", -20, 0), fitting("T", 0, 0), outfall("O", 0, 20)],
        [Run(id="R1", start="A", end="T"), Run(id="R2", start="T", end="O")],
    )
    assert quantities(replace(job, sections=Sections(lawn="sod")))["sod"] == pytest.approx(160)


def test_lawn_is_what_is_neither_paving_nor_bed_nor_building():
    # 40 ft: 6 ft of bed, 8 ft of gravel, 2 ft under a shed; 24 ft of lawn
    job = straight(
        box("bed", "bed", 0, 6), paved("drive", 10, 18, "gravel"), box("shed", "building", 38, 60), lawn="sod"
    )
    counted = quantities(job)
    assert counted["sod"] == pytest.approx(24 * 4)
    assert counted["mulch"] * 27 == pytest.approx(6 * 4 * 3 / 12)
    # gravel 4 in, half a foot beyond each side: 2 ft wide
    assert counted["gravel_surface"] * 27 / 1.5 == pytest.approx(8 * 2 * 4 / 12)


def test_pavers_are_lifted_and_laid_again_on_new_sand():
    counted = quantities(straight(paved("walk", 10, 15, "brick"), paver_sand_in=1.0))
    assert counted["pavers_relaid"] == pytest.approx(5 * 2)
    assert counted["paver_sand"] * 27 == pytest.approx(10 / 12)
    assert "paving_rubble" not in counted
    assert "saw_cut" not in counted


def test_a_trench_that_ends_within_concrete_is_sawn_across_there():
    # The run ends at 40 in concrete from 30 to 50: both sides 10 ft, one end 2 ft; at 30 its edge is not cut
    lines = lines_of(straight(paved("slab", 30, 50, "concrete")), flat(100), {"R": (98.0, 98.0)})
    assert lines["saw_cut"].quantity == pytest.approx(22, rel=1e-6)
    assert dict(lines["saw_cut"].params) == {"paved": "concrete"}
    assert lines["concrete_patch"].quantity * 27 == pytest.approx(20 * 4 / 12)
    assert lines["paving_rubble"].quantity * 27 == pytest.approx(20 * 4 / 12)


def test_slabs_side_by_side_are_not_sawn_at_their_joint():
    job = straight(paved("one", 10, 15, "concrete"), paved("other", 15, 20, "concrete"))
    counted = quantities(job)
    assert counted["saw_cut"] == pytest.approx(20, rel=1e-5)
    assert counted["concrete_patch"] * 27 == pytest.approx(20 * 4 / 12)


def test_the_paving_drawn_last_lies_on_top():
    job = straight(paved("drive", 10, 20, "asphalt"), paved("walk", 14, 16, "concrete"))
    counted = [(line.item, line.quantity) for line in _lines(job) if line.item in ("asphalt_patch", "concrete_patch")]
    assert dict(counted)["asphalt_patch"] * 27 / 2.0 == pytest.approx(8 * 2 * 3 / 12)
    assert dict(counted)["concrete_patch"] * 27 == pytest.approx(2 * 2 * 4 / 12)


def _lines(job: Job):
    from tests.takeoff.small_jobs import all_lines

    return all_lines(job, flat(100), {r.id: (98.0, 98.0) for r in job.runs})


@pytest.mark.parametrize("surface", [None, "drive-or-walk"])
def test_paving_of_unknown_make_is_an_area_by_itself(surface):
    counted = quantities(straight(paved("drive", 10, 20, surface)))
    assert counted["paving_unknown"] == pytest.approx(20)
    assert not {"saw_cut", "paving_rubble", "asphalt_patch", "concrete_patch"} & set(counted)


def test_paving_of_unknown_make_is_asked_about_where_a_run_goes_through_it():
    job = straight(paved("drive", 10, 20, None), paved("walk", 25, 30, "brick"), paved("patio", 60, 70, None))
    found = [f for f in analyse(job).findings if f.kind == "paving_unknown"]
    assert [(f.level, f.place.ids) for f in found] == [("note", ("drive", "R"))]
    for lang in languages():
        words = Words.of(job, lang)
        assert "R" in words.sentence(found[0])
        assert words.remedy(found[0])


def test_where_the_trench_is_not_open_nothing_is_cut():
    # Ground falls from 2 ft over the trench bottom to 1 ft under it over 60 ft: open over 40 ft
    job = straight(length=60.0, lawn="sod")
    counted = quantities(job, lambda x, y: 100 - x / 20, R=(98.01, 98.01))
    assert counted["sod"] == pytest.approx(160, rel=1e-6)


def test_a_pit_counts_with_its_outline():
    # Pit 8 x 5 ft round the outfall, 1.5 ft beyond: 11 x 8; the strip 4 ft wide of 40 ft leaves it after 5.5 ft
    well = Structure(
        id="O", kind="outfall", outfall="dry well", point=(40, 0), pit_length_ft=8, pit_width_ft=5, pit_depth_ft=2
    )
    job = job_of([fitting("F", 0, 0), well], [Run(id="R", start="F", end="O")])
    assert quantities(replace(job, sections=Sections(lawn="sod")))["sod"] == pytest.approx(88 + 34.5 * 4)


boxes = st.tuples(st.integers(0, 12), st.integers(0, 12), st.integers(1, 6), st.integers(1, 6))


@given(st.lists(boxes, min_size=1, max_size=8))
def test_the_union_is_that_of_the_geometry_library(some):
    shapes = np.array([shapely.box(x, y, x + w, y + h) for x, y, w, h in some], dtype=object)
    assert union_area_ft2(shapes) == pytest.approx(shapely.union_all(shapes).area)
