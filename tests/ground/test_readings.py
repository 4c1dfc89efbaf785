"""Findings about the level book."""

import pytest
from hypothesis import given
from msgspec.structs import replace

from drainsketch.findings import Finding
from drainsketch.ground.book import book_levels
from drainsketch.ground.chain import chain
from drainsketch.ground.closures import page_check
from drainsketch.ground.readings import book_findings
from drainsketch.job.levelling import LevelBook, TwoPeg
from drainsketch.job.model import Job, Shot
from drainsketch.review import analyse
from drainsketch.wording import Words, languages
from tests.ground.books import book, bs, fs, inter, known, setup
from tests.strategies import jobs
from tests.yards import drawn, kinds

BM = known("BM1", 100.0)


def found(levels: LevelBook, job: Job | None = None) -> list[Finding]:
    job = replace(job or Job(), book=levels)
    return list(book_findings(job, book_levels(levels)))


def said(levels: LevelBook, job: Job | None = None, lang: str = "en") -> list[str]:
    full = replace(job or Job(), book=levels)
    return [Words(lang, "ft").sentence(f) for f in book_findings(full, book_levels(levels))]


def test_a_sound_book_has_nothing_to_settle() -> None:
    assert found(book(setup(bs("BM1", 4.0), inter("a", 24.99), fs("BM1", 4.01)), marks=(BM,))) == []


def test_a_reading_longer_than_a_rod_or_below_it_is_told_with_setup_and_point() -> None:
    levels = book(
        setup(bs("BM1", 4.0), inter("a", 26.0), inter("b", -0.5)), setup(bs("a", 1.0), name="porch"), marks=(BM,)
    )
    assert said(levels) == [
        "Setup 1, a: a reading of 26.00 ft is longer than any rod.",
        "Setup 1, b: a reading of -0.50 ft lies below the foot of the rod.",
    ]
    assert found(levels)[0].place.ids == ()


def test_ground_above_a_string_is_no_slip() -> None:
    strung = setup(bs("BM1", 1.0), inter("a", -0.5), instrument="string line")
    assert found(book(strung, marks=(BM,))) == []


def test_a_reading_beyond_the_rod_flies_to_the_shot_it_was_placed_on() -> None:
    job = drawn(Shot(id="S1", point=(3, 4)))
    (one,) = found(book(setup(bs("BM1", 4.0), inter("a", 40.0, "S1")), marks=(BM,)), job)
    assert (one.kind, one.place.ids, one.place.point) == ("reading_beyond_rod", ("S1",), (3, 4))


def test_a_setup_on_nothing_and_one_without_a_backsight_are_told() -> None:
    levels = book(setup(bs("TP9", 4.0), fs("x", 2.0)), setup(fs("y", 2.0)), setup())
    assert said(levels) == [
        "Setup 1 hangs on nothing: TP9 has no level, so none of its sights has one.",
        "Setup 2 has no backsight, so none of its sights has a level.",
    ]


def test_a_reading_struck_out_carries_no_level() -> None:
    """By hand: HI 104; without the foresight on TP1 the second setup hangs on nothing, and no line closes."""
    levels = book(
        setup(bs("BM1", 4.0), inter("a", 5.0), fs("TP1", None)), setup(bs("TP1", 3.0), fs("BM1", 1.0)), marks=(BM,)
    )
    done = book_levels(levels)
    assert [s.elevation_ft for s in done.sights] == [100.0, 99.0, None, None, None]
    assert done.closures == ()
    assert said(levels) == ["Setup 2 hangs on nothing: TP1 has no level, so none of its sights has one."]
    bare = book(setup(bs("BM1", None), inter("a", 5.0)), marks=(BM,))
    assert said(bare) == ["Setup 1 has no backsight, so none of its sights has a level."]
    open_end = book(setup(bs("BM1", 4.0), fs("TP1", 6.0)), setup(bs("TP1", 3.0), fs("BM1", None)), marks=(BM,))
    check = page_check(open_end, chain(open_end))
    assert check is not None
    assert (check.end, check.difference_ft) == ("TP1", -2.0)


def test_one_point_has_no_level_and_several_have_none_in_every_language() -> None:
    several = book(setup(bs("P", 4.0), bs("Q", 4.0), inter("a", 5.0)), marks=())
    assert said(several) == ["Setup 1 hangs on nothing: P, Q have no level, so none of its sights has one."]
    assert "P, Q no tienen nivel" in said(several, lang="es")[0]
    assert "P no tiene nivel" in said(book(setup(bs("P", 4.0)), marks=()), lang="es")[0]
    one, two = drawn(Shot(id="S1", point=(0, 0))), drawn(Shot(id="S1", point=(0, 0)), Shot(id="S2", point=(9, 0)))
    assert said(book(), one) == ["S1 has no level and is left out of the ground."]
    assert said(book(), two) == ["S1, S2 have no level and are left out of the ground."]
    assert said(book(), two, "es") == ["S1, S2 no tienen nivel y quedan fuera del terreno."]
    (told,) = found(book(), replace(two, book=book()))
    assert Words().remedy(told).startswith("Type their levels, or bind")


@pytest.mark.parametrize(
    ("end", "told"), [(5.0, []), (4.98, []), (4.97, ["levels_misclose"]), (5.03, ["levels_misclose"])]
)
def test_a_misclosure_is_told_beyond_the_allowance_only(end: float, told: list[str]) -> None:
    assert [f.kind for f in found(book(setup(bs("BM1", 5.0), fs("bm1", end)), marks=(BM,)))] == told


def test_a_misclosure_beyond_the_allowance_says_that_it_was_not_adjusted() -> None:
    levels = book(setup(bs("BM1", 5.0), fs("bm1", 5.98)), marks=(BM,), adjust=True)
    assert said(levels) == [
        "The levels from BM1 come back to BM1 0.98 ft below its known level: too much to adjust, so they stay as read."
    ]
    assert said(levels, lang="es")[0].endswith("es demasiado para compensar, así que quedan como se leyeron.")
    (told,) = found(levels)
    assert (told.value, told.limit) == (pytest.approx(0.98), 0.02)
    assert Words().remedy(told) == "Look for a slip in the readings; where there is none, level it again."


def test_a_misclosure_says_which_way() -> None:
    levels = book(setup(bs("BM1", 5.0), fs("BM2", 4.0)), marks=(BM, known("BM2", 100.9)))
    assert said(levels) == ["The levels from BM1 come back to BM2 0.10 ft above its known level."]


def test_a_turning_point_read_again_at_another_level_is_told() -> None:
    levels = book(setup(bs("BM1", 5.0), fs("T1", 5.0)), setup(bs("BM1", 5.0), fs("t 1", 4.9)), marks=(BM,))
    assert said(levels) == ["t 1 was read again and came out 0.10 ft above its first level; the first is used."]


def test_benchmarks_named_twice_and_not_sighted_are_told() -> None:
    levels = book(setup(bs("BM1", 5.0)), marks=(BM, known("bm1", 99.0), known("Nail", 98.0)))
    assert [f.kind for f in found(levels)] == ["benchmark_twice", "benchmark_unused"]
    assert found(book(marks=(BM,))) == []  # the book is only being begun


def test_a_level_off_by_more_than_5_mm_over_the_pegs_is_told() -> None:
    good = TwoPeg(middle_a_ft=4.0, middle_b_ft=5.0, near_a_ft=4.2, near_b_ft=5.216)
    assert found(book(two_peg=good)) == []
    (one,) = found(book(two_peg=replace(good, near_b_ft=5.18)))
    assert (one.kind, one.value, dict(one.params)["side"]) == ("two_peg_off", pytest.approx(0.02), "below")


def test_shots_without_a_level_are_told_together() -> None:
    job = drawn(
        Shot(id="S1", point=(0, 0)), Shot(id="S2", point=(9, 0)), Shot(id="S3", point=(0, 9), elevation_ft=97.0)
    )
    levels = book(setup(bs("gone", 4.0), inter("a", 5.0, "S1")), marks=())
    assert [f.kind for f in found(levels, job)] == ["setup_adrift", "shot_without_level"]
    assert found(levels, job)[1].place.ids == ("S1", "S2")
    many = drawn(*(Shot(id="", point=(float(i), 0)) for i in range(40)))
    assert said(book(), many) == ["S1, S2, S3, S4, S5, S6, S7, S8, … have no level and are left out of the ground."]


def test_a_shot_with_two_sights_is_told_with_their_difference() -> None:
    job = drawn(Shot(id="S1", point=(0, 0)))
    levels = book(setup(bs("BM1", 4.0), inter("a", 5.0, "S1"), inter("b", 5.5, "S1")), marks=(BM,))
    (one,) = found(levels, job)
    assert (one.kind, one.value) == ("shot_two_sights", pytest.approx(0.5))
    assert said(levels, job)[0].startswith("S1 takes its level from more than one sight: a, b.")


def test_a_level_far_off_its_neighbors_by_a_reading_is_told_at_its_shot() -> None:
    job = drawn(*(Shot(id=f"S{i}", point=(10.0 * i, 0.0)) for i in range(1, 5)))
    sights = [inter(f"p{i}", 5.0, f"S{i}") for i in range(1, 4)]
    levels = book(setup(bs("BM1", 4.0), *sights, inter("p4", -25.0, "S4")), marks=(BM,))
    review = analyse(replace(job, book=levels))
    assert {"reading_below_zero", "shot_out_of_line"} <= set(kinds(review))
    (off,) = [f for f in review.findings if f.kind == "shot_out_of_line"]
    assert (off.place.ids, off.value) == (("S4",), pytest.approx(30.0))


def test_names_of_points_are_made_plain_and_are_not_taken_for_ids() -> None:
    job = drawn(Shot(id="S1", point=(0, 0), elevation_ft=98.0, name="corner"))
    levels = book(setup(bs("BM1", 4.0), inter("S1", 26.0), inter("a\x07\n" + "b" * 190, 26.0)), marks=(BM,))
    full = replace(job, book=levels)
    told = [Words.of(full, "en").sentence(f) for f in book_findings(full, book_levels(levels))]
    assert told[0].startswith("Setup 1, S1: a reading")
    assert "\x07" not in told[1]
    assert len(told[1]) < 150


@pytest.mark.parametrize("lang", languages())
@given(job=jobs())
def test_whatever_is_in_a_book_its_findings_can_be_said(lang: str, job: Job) -> None:
    words = Words.of(job, lang)
    for one in book_findings(job, book_levels(job.book)):
        assert words.sentence(one)
        assert words.remedy(one)
        words.number_against_limit(one)
