"""The level book: how setups hang on each other, whatever is written into them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.ground.book import book_levels, levelled_shots
from drainsketch.ground.chain import chain
from drainsketch.ground.closures import page_check
from drainsketch.job.levelling import LevelBook
from drainsketch.job.model import Shot
from drainsketch.review import analyse
from tests.ground.books import book, bs, fs, inter, known, setup
from tests.strategies import books
from tests.yards import drawn

BM = known("BM1", 100.0)


def test_points_go_by_name_without_regard_to_capitals_and_spaces() -> None:
    found = book_levels(
        book(setup(bs(" bm 1", 4.0), fs("Tp1", 5.0)), setup(bs("TP 1", 3.0), inter("a", 2.0)), marks=(BM,))
    )
    assert found.by_point == {"bm1": 100.0, "tp1": 99.0, "a": 100.0}


def test_a_string_is_read_down_from() -> None:
    strung = setup(bs("BM1", 1.0), inter("x", 2.5), instrument="string line")
    found = book_levels(book(strung, marks=(BM,)))
    assert found.heights_ft == {"setup-1": 101.0}
    assert found.by_point["x"] == 98.5


def test_a_setup_that_hangs_on_nothing_has_no_levels_and_takes_no_others_along() -> None:
    found = book_levels(
        book(
            setup(bs("nowhere", 4.0), fs("x", 5.0)), setup(bs("BM1", 4.0), inter("y", 1.0, "S1")), setup(), marks=(BM,)
        )
    )
    assert [s.elevation_ft for s in found.sights] == [None, None, 100.0, 103.0]
    assert found.by_shot == {"S1": 103.0}
    assert "setup-1" not in found.heights_ft


def test_a_setup_that_waits_for_a_later_one_is_worked_out_when_that_one_is() -> None:
    found = book_levels(
        book(
            setup(bs("T2", 1.0), inter("z", 1.0)),
            setup(bs("T1", 1.0), fs("T2", 1.0)),
            setup(bs("BM1", 1.0), fs("T1", 3.0)),
            marks=(BM,),
        )
    )
    assert found.by_point["z"] == 98.0


def test_setups_in_a_circle_hang_on_nothing() -> None:
    found = book_levels(book(setup(bs("a", 1.0), fs("b", 1.0)), setup(bs("b", 1.0), fs("a", 1.0)), marks=(BM,)))
    assert found.heights_ft == {}
    looked_at_itself = book_levels(book(setup(bs("a", 1.0), fs("a", 1.0)), marks=(BM,)))
    assert looked_at_itself.heights_ft == {}


def test_a_setup_without_a_backsight_has_no_height() -> None:
    assert book_levels(book(setup(fs("BM1", 1.0), fs("x", 2.0)), marks=(BM,))).heights_ft == {}


def test_the_first_level_of_a_point_stays_and_a_benchmark_stays_over_any_reading() -> None:
    found = book_levels(
        book(setup(bs("BM1", 4.0), fs("a", 5.0), fs("a", 6.0), fs("BM2", 3.0)), marks=(BM, known("BM2", 101.5)))
    )
    assert found.by_point == {"bm1": 100.0, "bm2": 101.5, "a": 99.0}
    assert [s.elevation_ft for s in found.sights] == [100.0, 99.0, 98.0, 101.0]
    (closure,) = found.closures
    assert closure.misclosure_ft == pytest.approx(-0.5)


def test_of_two_benchmarks_with_one_name_the_first_counts() -> None:
    assert book_levels(book(setup(bs("BM1", 1.0)), marks=(BM, known("bm 1", 50.0)))).by_point == {"bm1": 100.0}


def test_points_without_a_name_are_each_their_own() -> None:
    found = book_levels(book(setup(bs("BM1", 1.0), fs("", 2.0)), setup(bs("", 1.0), fs("x", 1.0)), marks=(BM,)))
    assert [s.elevation_ft for s in found.sights] == [100.0, 99.0, None, None]


def test_the_second_backsight_serves_when_the_first_is_not_known_and_checks_when_it_is() -> None:
    marks = (BM, known("BM2", 99.0))
    found = book_levels(book(setup(bs("gone", 9.0), bs("BM2", 2.0), inter("x", 1.0)), marks=marks))
    assert found.by_point["x"] == 100.0
    assert found.by_point["gone"] == 92.0
    both = book_levels(book(setup(bs("BM1", 1.0), bs("BM2", 2.01)), marks=marks))
    assert [c.misclosure_ft for c in both.closures] == pytest.approx([-0.01])


def test_heights_are_those_of_the_adjusted_turning_points_and_side_sights_are_read_from_them() -> None:
    # by hand: 0.04 over two setups, T1 99.98; heights 105.00, 99.98 + 5.00 = 104.98, 99.98 + 2.00 = 101.98
    spread = book(
        setup(bs("BM1", 5.0), inter("i", 4.0, "S1"), fs("T1", 5.0)),
        setup(bs("T1", 5.0), inter("k", 3.0, "S2"), fs("BM1", 4.96)),
        setup(bs("T1", 2.0), inter("j", 1.0)),
        marks=(BM,),
        adjust=True,
        allowance_ft=0.04,
    )
    found = book_levels(spread)
    assert found.heights_ft == pytest.approx({"setup-1": 105.0, "setup-2": 104.98, "setup-3": 101.98})
    assert [s.height_ft for s in found.sights] == pytest.approx([105.0] * 3 + [104.98] * 3 + [101.98] * 2)
    assert found.by_point == pytest.approx({"bm1": 100.0, "i": 101.0, "t1": 99.98, "k": 101.98, "j": 100.98})
    assert found.by_shot == pytest.approx({"S1": 101.0, "S2": 101.98})  # what the rod gives from the height shown
    assert [s.correction_ft for s in found.sights] == pytest.approx([0, 0, -0.02, -0.02, -0.02, -0.04, -0.02, -0.02])
    as_read = book_levels(replace(spread, adjust=False))
    assert as_read.heights_ft == {"setup-1": 105.0, "setup-2": 105.0, "setup-3": 102.0}


def test_a_turning_point_plus_its_backsight_is_the_height_and_a_branch_off_a_side_sight_hangs_on_that() -> None:
    # by hand: TP1 read 100.00 + 4.00 - 4.30 = 99.70; the loop comes back 0.02 high, so TP1 is 99.69 and HI 99.69 + 4.10 = 103.79
    found = book_levels(
        book(
            setup(bs("BM1", 4.0), fs("TP1", 4.3)),
            setup(bs("TP1", 4.1), inter("step", 2.0), fs("BM1", 3.78)),
            setup(bs("step", 1.0), inter("z", 1.5)),
            marks=(BM,),
            adjust=True,
        )
    )
    assert found.by_point["tp1"] == pytest.approx(99.69)
    assert found.heights_ft["setup-2"] == pytest.approx(103.79)
    assert found.by_point["step"] == pytest.approx(101.79)
    assert (found.heights_ft["setup-3"], found.by_point["z"]) == pytest.approx((102.79, 101.29))


def test_a_line_beyond_the_allowance_stays_as_read_and_one_within_is_adjusted() -> None:
    # the second line comes back 0.98 low, a foot misread; the first 0.02 high. By hand: T1 99.99, all of the second from there
    found = book_levels(
        book(
            setup(bs("BM1", 5.0), fs("T1", 5.0)),
            setup(bs("T1", 5.0), fs("BM1", 4.98)),
            setup(bs("T1", 5.0), fs("T2", 6.0)),
            setup(bs("T2", 5.0), inter("x", 4.0), fs("BM2", 4.98)),
            marks=(BM, known("BM2", 100.0)),
            adjust=True,
        )
    )
    assert [(c.misclosure_ft, c.holds) for c in found.closures] == [
        (pytest.approx(0.02), True),
        (pytest.approx(-0.98), False),
    ]
    assert found.by_point == pytest.approx({"bm1": 100.0, "bm2": 100.0, "t1": 99.99, "t2": 98.99, "x": 99.99})
    alone = book(setup(bs("BM1", 5.0), fs("T", 4.0)), setup(bs("T", 5.0), fs("BM1", 6.98)), marks=(BM,), adjust=True)
    assert book_levels(alone).sights == book_levels(replace(alone, adjust=False)).sights


def test_a_second_line_spreads_what_is_left_over_its_own_setups() -> None:
    found = book_levels(
        book(
            setup(bs("BM1", 5.0), fs("T1", 5.0)),
            setup(bs("T1", 5.0), fs("BM1", 4.96)),
            setup(bs("T1", 5.0), fs("T2", 5.0)),
            setup(bs("T2", 5.0), fs("BM2", 5.0)),
            marks=(BM, known("BM2", 100.0)),
            adjust=True,
            allowance_ft=0.04,
        )
    )
    assert found.by_point["t1"] == pytest.approx(99.98)
    assert found.by_point["t2"] == pytest.approx(99.99)
    assert found.sights[-1].elevation_ft == pytest.approx(100.0)


def test_a_shot_takes_its_level_from_its_sight_and_one_with_its_own_keeps_that() -> None:
    levels = book_levels(book(setup(bs("BM1", 4.0), inter("a", 5.0, "S1")), marks=(BM,)))
    bound, typed, bare = (
        Shot(id="S1", point=(0, 0)),
        Shot(id="S2", point=(1, 0), elevation_ft=98.0),
        Shot(id="S3", point=(2, 0)),
    )
    assert [(s.id, s.elevation_ft) for s in levelled_shots((bound, typed, bare), levels)] == [
        ("S1", 99.0),
        ("S2", 98.0),
    ]


def test_editing_one_reading_moves_every_level_that_hangs_on_it_and_no_more() -> None:
    shots = drawn(
        Shot(id="S1", point=(0, 0)), Shot(id="S2", point=(9, 0)), Shot(id="S3", point=(0, 9), elevation_ft=97.0)
    )
    levels = book(
        setup(bs("BM1", 4.0), inter("a", 5.0, "S1"), fs("T1", 4.0)),
        setup(bs("T1", 4.0), inter("b", 5.0, "S2")),
        marks=(BM,),
    )
    first = analyse(replace(shots, book=levels))
    assert {s.id: s.elevation_ft for s in first.shots} == {"S1": 99.0, "S2": 99.0, "S3": 97.0}
    raised = book(
        setup(bs("BM1", 4.5), inter("a", 5.0, "S1"), fs("T1", 4.0)),
        setup(bs("T1", 4.0), inter("b", 5.0, "S2")),
        marks=(BM,),
    )
    second = analyse(replace(shots, book=raised), first)
    assert {s.id: s.elevation_ft for s in second.shots} == {"S1": 99.5, "S2": 99.5, "S3": 97.0}
    afresh = analyse(replace(shots, book=raised))
    assert (second.book, second.shots, second.findings) == (afresh.book, afresh.shots, afresh.findings)
    third = analyse(replace(second.job, header=replace(second.job.header, title="x")), second)
    assert third.book is second.book
    assert third.shots is second.shots


@given(books(), st.integers(-400, 400).map(lambda n: n / 4))
def test_moving_all_benchmarks_moves_every_level_by_as_much(levels: LevelBook, by_ft: float) -> None:
    moved = replace(
        levels, benchmarks=tuple(replace(b, elevation_ft=b.elevation_ft + by_ft) for b in levels.benchmarks)
    )
    before, after = book_levels(levels), book_levels(moved)
    assert after.by_point == pytest.approx({p: z + by_ft for p, z in before.by_point.items()}, abs=1e-6)
    assert after.by_shot == pytest.approx({p: z + by_ft for p, z in before.by_shot.items()}, abs=1e-6)
    assert [c.misclosure_ft for c in after.closures] == pytest.approx(
        [c.misclosure_ft for c in before.closures], abs=1e-6
    )
    assert [s.correction_ft for s in after.sights] == pytest.approx([s.correction_ft for s in before.sights], abs=1e-6)


@given(books())
def test_any_book_is_worked_out_and_every_level_agrees_with_its_height_and_reading(levels: LevelBook) -> None:
    found = book_levels(levels)
    readings = [s for one in levels.setups for s in one.sights]
    assert [s.id for s in found.sights] == [s.id for s in readings]
    for worked, read in zip(found.sights, readings, strict=True):
        assert (worked.elevation_ft is None) == (worked.height_ft is None or read.reading_ft is None)
        if worked.elevation_ft is not None and worked.height_ft is not None and not levels.adjust:
            assert read.reading_ft is not None
            assert worked.elevation_ft == pytest.approx(worked.height_ft - read.reading_ft, abs=1e-6)
    check = page_check(levels, chain(levels))
    assert check is None or check.difference_ft == pytest.approx(check.rise_ft, abs=1e-6)


@given(books())
def test_an_adjusted_line_ends_on_its_benchmark(levels: LevelBook) -> None:
    adjusted = replace(levels, adjust=True)
    found = book_levels(adjusted)
    if len(found.closures) == 1 and found.closures[0].holds:
        end = found.closures[0].setups[-1]
        key = found.closures[0].end.replace(" ", "").casefold()
        closing = [s for s in found.sights if s.setup == end and s.at.replace(" ", "").casefold() == key][-1]
        assert closing.elevation_ft == pytest.approx(found.by_point[key], abs=1e-6)
