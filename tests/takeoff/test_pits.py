"""Hole, stone, cover and spoil of dry wells, worked on paper."""

from math import pi, sqrt

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Job, Obstacle, Run, Structure
from drainsketch.job.price_book import items
from drainsketch.job.sections import Sections
from drainsketch.takeoff.earth import earth
from drainsketch.takeoff.pits import PitHole
from drainsketch.takeoff.price.materials import HELD_BY
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import stacks
from drainsketch.takeoff.stone_room import stone_trenches
from drainsketch.water.underground import stores_of
from drainsketch.wording import Words
from tests.takeoff.small_jobs import Inverts, fitting, flat, job_of, laid_out, lines_of, paved

GROUND = flat(100)
SOLID_FT2 = pi / 4 * (4.215 / 12) ** 2  # SDR 35, 4.215 in outside, 0.12 in wall: trench bottom 0.01 ft below the invert
SOLID: Inverts = {"R": (98.5, 98.5)}


def well(length: float, width: float, depth: float) -> Structure:
    sides = {"pit_length_ft": length, "pit_width_ft": width, "pit_depth_ft": depth}
    return Structure(id="O", kind="outfall", outfall="dry well", point=(0, 0), **sides)


def yard(pit: Structure, use: str = "solid", head: tuple[float, float] = (40.0, 0.0), **criteria: float) -> Job:
    pipe = "sdr35" if use == "solid" else "corrugated"
    return job_of([fitting("F", *head), pit], [Run(id="R", start="F", end="O", use=use, pipe=pipe)], **criteria)


def test_a_pit_of_four_feet_each_way_by_hand() -> None:
    """Ground 100.00, invert 98.50, floor 94.50: 4 x 4 x 5.5 = 88 ft3 dug. Stone 64 ft3, topsoil of 4 in 5.333 ft3, back go 88 - 64 - 5.333
    = 18.667 ft3."""
    lines = lines_of(yard(well(4, 4, 4)), GROUND, SOLID)
    assert lines["dry_well_holes"].quantity == pytest.approx(88 / 27, rel=1e-12)
    assert lines["stone_dry_well"].quantity == pytest.approx(64 / 27 * 1.35, rel=1e-12)
    assert lines["topsoil_cap"].quantity == pytest.approx(16 / 3 / 27, rel=1e-12)
    assert lines["backfill_dry_well"].quantity == pytest.approx((24 - 16 / 3) / 27, rel=1e-12)
    # the trench ends at the edge of the pit, 2 ft from its middle: 38 ft, 1 ft wide, 1.51 ft deep
    assert lines["trench_solid"].quantity == pytest.approx(38 * 1.51 / 27, rel=1e-12)
    spoil_ft3 = 38 * SOLID_FT2 + 64 + 16 / 3
    assert lines["spoil_bank"].quantity == pytest.approx(spoil_ft3 / 27, rel=1e-9)
    assert lines["spoil_loose"].quantity == pytest.approx(1.25 * spoil_ft3 / 27, rel=1e-9)
    for item in ("dry_well_holes", "stone_dry_well", "topsoil_cap", "backfill_dry_well"):
        assert lines[item].owners == ("O",)


def test_what_is_dug_for_a_pit_is_stone_topsoil_and_backfill() -> None:
    lines = lines_of(yard(well(10, 6, 12)), GROUND, SOLID)
    assert lines["dry_well_holes"].quantity == pytest.approx(10 * 6 * 13.5 / 27, rel=1e-12)
    stone_yd3 = lines["stone_dry_well"].quantity / 1.35
    assert stone_yd3 == pytest.approx(720 / 27, rel=1e-12)
    filled = stone_yd3 + lines["topsoil_cap"].quantity + lines["backfill_dry_well"].quantity
    assert filled == pytest.approx(lines["dry_well_holes"].quantity, rel=1e-12)
    assert lines["trench_solid"].quantity == pytest.approx(35 * 1.51 / 27, rel=1e-12)


def test_the_arithmetic_says_how() -> None:
    lines = lines_of(yard(well(4, 4, 4)), GROUND, SOLID)
    said = lines["stone_dry_well"].arithmetic
    assert said == "O 4.00 ft x 4.00 ft x 4.000 ft = 64.0 ft3; / 27 = 2.37 yd3; x 1.35 = 3.20 tons"
    assert lines["dry_well_holes"].arithmetic == "O 4.00 ft x 4.00 ft x 5.500 ft = 88.0 ft3; / 27 = 3.26 yd3"
    for lang in ("en", "es"):
        words = Words(lang)
        for item in ("dry_well_holes", "stone_dry_well", "backfill_dry_well"):
            assert words.item(lines[item]) and words.rule(lines[item]).endswith(".")


@pytest.mark.parametrize(
    ("head", "inside"),
    [
        ((40, 0), 5.0),  # along the length, whatever way it lies
        ((0, 40), 5.0),
        ((30, 40), 5.0),
    ],
)
def test_the_length_lies_along_the_line_that_comes_in(head: tuple[float, float], inside: float) -> None:
    job = yard(well(10, 6, 2), head=head)
    length = sqrt(head[0] ** 2 + head[1] ** 2)
    lines = lines_of(job, GROUND, SOLID)
    assert lines["trench_solid"].quantity == pytest.approx((length - inside) * 1.51 / 27, rel=1e-9)


def test_a_second_line_ends_at_the_side_it_comes_through() -> None:
    """Pit 10 long to the east, 6 wide: from the north the trench ends 3 ft off, from the northeast at 3 sqrt(2)."""
    runs = [Run(id=n, start=f, end="O", pipe="sdr35") for n, f in (("R1", "F1"), ("R2", "F2"), ("R3", "F3"))]
    ends = [fitting("F1", 40, 0), fitting("F2", 0, 40), fitting("F3", 40, 40)]
    levels = {r.id: (98.5, 98.5) for r in runs}
    lines = lines_of(job_of([*ends, well(10, 6, 2)], runs), GROUND, levels)
    open_ft = 35 + 37 + 40 * sqrt(2) - 3 * sqrt(2)
    assert lines["trench_solid"].quantity == pytest.approx(open_ft * 1.51 / 27, rel=1e-9)


def test_the_lowest_of_several_lines_gives_the_floor() -> None:
    runs = [Run(id=n, start=f, end="O", pipe="sdr35") for n, f in (("R1", "F1"), ("R2", "F2"))]
    job = job_of([fitting("F1", 40, 0), fitting("F2", -40, 0), well(4, 4, 4)], runs)
    lines = lines_of(job, GROUND, {"R1": (98.5, 98.5), "R2": (98.0, 98.0)})
    assert lines["dry_well_holes"].quantity == pytest.approx(16 * 6 / 27, rel=1e-12)


def test_the_stone_of_a_drain_ends_at_the_pit_too_and_water_is_given_the_same() -> None:
    """38 ft of drain, 1 ft wide: bottom 2.3 in below the invert, cap 4 in. Pit and store agree: 64 ft3 of stone, 40 % voids."""
    job = yard(well(4, 4, 4), use="drain")
    works = laid_out(job, GROUND, SOLID)
    dug = earth(works, stacks(works))
    (trench,) = stone_trenches(dug, 4 / 12)
    assert (trench.station_ft[0], trench.station_ft[-1]) == (2.0, 40.0)
    lines = lines_of(job, GROUND, SOLID)
    stone_ft3 = 38 * (1.5 + 2.3 / 12 - 4 / 12) - 38 * pi / 4 * (4.6 / 12) ** 2
    assert lines["stone_drain"].quantity == pytest.approx(stone_ft3 / 27 * 1.35, rel=1e-9)
    store = stores_of(job, {}, works.levels, ())["O"]
    assert store.stone_ft3 == pytest.approx(0.4 * lines["stone_dry_well"].quantity / 1.35 * 27, rel=1e-12)


def test_cover_thinner_than_the_topsoil_asked_for() -> None:
    """Invert 3 in below the ground: 3 in of topsoil and nothing that goes back."""
    lines = lines_of(yard(well(4, 4, 4)), GROUND, {"R": (99.75, 99.75)})
    assert lines["topsoil_cap"].quantity == pytest.approx(16 * 0.25 / 27, rel=1e-9)
    assert "backfill_dry_well" not in lines


def test_no_size_or_no_level_digs_no_pit() -> None:
    bare = Structure(id="O", kind="outfall", outfall="dry well", point=(0, 0), pit_length_ft=4.0, pit_width_ft=4.0)
    assert not {k for k in lines_of(yard(bare), GROUND, SOLID) if "dry_well" in k} - {"outlet_dry_well"}
    assert not {k for k in lines_of(yard(well(4, 4, 4))) if "dry_well" in k} - {"outlet_dry_well"}


def test_every_line_of_a_pit_is_bought_or_paid_for_by_another() -> None:
    for item in ("dry_well_holes", "stone_dry_well", "backfill_dry_well"):
        assert item in HELD_BY or item in items()


def under(*obstacles: Obstacle, **sections: object) -> tuple[PitHole, dict[str, TakeoffLine]]:
    """Pit of 4 x 4 x 4 ft, ground 1.5 ft over the invert; 3 in of asphalt, 6 in of base course."""
    job = replace(yard(well(4, 4, 4)), obstacles=obstacles, sections=Sections(**sections))
    works = laid_out(job, GROUND, SOLID)
    (pit,) = earth(works, stacks(works)).pits
    return pit, lines_of(job, GROUND, SOLID)


DRIVE = paved("drive", -50, 2, "asphalt")  # over all of the pit, and none of the run


def test_under_paving_there_is_base_course_and_stone_and_the_paving_is_not_dug() -> None:
    """16 ft2: asphalt 4 ft3, base course 8 ft3, 0.75 ft of stone between that and the invert: 12 ft3."""
    pit, lines = under(DRIVE, paved_fill="stone")
    assert lines["dry_well_holes"].quantity == pytest.approx((88 - 4) / 27)
    assert lines["stone_dry_well"].quantity == pytest.approx((64 + 12) / 27 * 1.35)
    assert lines["base_course"].quantity == pytest.approx(8 / 27 * 1.9)
    assert lines["base_course"].owners == ("O",)
    assert not {"topsoil_cap", "backfill_dry_well"} & set(lines)
    assert pit.gone_ft3 == pytest.approx(84)
    # what is sawn round the pit, half a foot wider: 5 x 5 ft, the edge of the drive lies on its side
    assert lines["asphalt_patch"].quantity == pytest.approx(4.5 * 5 * 0.25 / 27 * 2)


def test_under_paving_filled_with_earth_what_was_dug_goes_back() -> None:
    pit, lines = under(DRIVE, paved_fill="native")
    assert lines["stone_dry_well"].quantity == pytest.approx(64 / 27 * 1.35)
    assert lines["backfill_dry_well"].quantity == pytest.approx(12 / 27)
    assert pit.gone_ft3 == pytest.approx(84 - 12)


def test_a_pit_half_under_paving_has_half_of_each() -> None:
    """8 ft2 each: topsoil 4 in and 14 in of earth; asphalt, base and 9 in of stone."""
    pit, lines = under(paved("drive", -50, 0, "asphalt"), paved_fill="stone")
    assert (pit.cap_ft3, pit.base_ft3, pit.paving_ft3) == (pytest.approx(8 / 3), pytest.approx(4), pytest.approx(2))
    assert (pit.stone_ft3, pit.back_ft3) == (pytest.approx(64 + 6), pytest.approx(8 * 14 / 12))
    filled = pit.cap_ft3 + pit.base_ft3 + pit.stone_ft3 + pit.back_ft3
    assert pit.dug_ft3 == pytest.approx(filled) == pytest.approx(88 - 2)
    assert "O 8.00 ft2 x 0.333 ft = 2.7 ft3" in lines["topsoil_cap"].arithmetic


def test_paving_that_is_dug_with_the_earth_is_in_what_is_dug() -> None:
    pit, _ = under(paved("drive", -50, 2, "gravel"))
    assert pit.dug_ft3 == pytest.approx(88)
    assert pit.cap_ft3 == 0


def test_fabric_lies_round_the_stone_of_a_pit_too() -> None:
    """8 x 5 x 3 ft of stone: floor and top 80 ft2, sides 2 x 13 x 3 = 78 ft2, and 1 ft of lap along 8 ft."""
    for how, ft2 in (("round the stone", 166.0), ("over the stone", 9 * 6)):
        job = replace(yard(well(8, 5, 3)), sections=Sections(fabric=how))
        line = lines_of(job, GROUND, SOLID)["fabric"]
        assert (line.quantity, line.owners) == (pytest.approx(ft2), ("O",))
