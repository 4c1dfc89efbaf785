"""Levels, closures and the two-peg check against examples that others have published."""

import pytest

from drainsketch.ground.book import book_levels
from drainsketch.ground.chain import chain
from drainsketch.ground.closures import page_check
from drainsketch.ground.twopeg import peg_error, two_peg_error
from drainsketch.job.levelling import LevelBook, TwoPeg
from tests.ground.books import book, bs, fs, known, setup


def line(points: str, backsights: str, foresights: str) -> tuple[object, ...]:
    """Return the setups of a line from its columns."""
    at, back, fore = points.split(), backsights.split(), foresights.split()
    return tuple(setup(bs(at[i], float(back[i])), fs(at[i + 1], float(fore[i]))) for i in range(len(back)))


def levels(book_: LevelBook, places: int = 2) -> dict[str, str]:
    return {name: f"{level:.{places}f}" for name, level in book_levels(book_).by_point.items()}


# Ghilani and Wolf, Elementary Surveying, section 5.4 and figure 5.5: a loop from BM Mil over BM Oak. Readings, raw levels and
# the adjusted level of BM Oak from memory, checked by the sums that stand under the notes (40.24, 40.21).
LOOP = line(
    "Mil TP1 TP2 TP3 Oak TP4 TP5 Mil", "1.33 0.22 0.96 0.46 11.95 12.55 12.77", "8.37 7.91 11.72 8.71 2.61 0.68 0.21"
)


def test_the_loop_of_the_textbook_closes_by_three_hundredths() -> None:
    raw = book(*LOOP, marks=(known("Mil", 2053.18),))
    assert levels(raw) == {
        "mil": "2053.18",
        "tp1": "2046.14",
        "tp2": "2038.45",
        "tp3": "2027.69",
        "oak": "2019.44",
        "tp4": "2028.78",
        "tp5": "2040.65",
    }
    (closure,) = book_levels(raw).closures
    assert f"{closure.misclosure_ft:+.2f}" == "+0.03"
    assert [f"{h:.2f}" for h in book_levels(raw).heights_ft.values()] == [
        "2054.51", "2046.36", "2039.41", "2028.15", "2031.39", "2041.33", "2053.42",
    ]  # fmt: skip


def test_the_loop_of_the_textbook_is_adjusted_to_the_last_printed_digit() -> None:
    # one seventh of 0.03 ft for each setup: TP1 to TP5 by hand from that, BM Oak as printed
    adjusted = book(*LOOP, marks=(known("Mil", 2053.18),), adjust=True, allowance_ft=0.05)
    assert levels(adjusted) == {
        "mil": "2053.18",
        "tp1": "2046.14",
        "tp2": "2038.44",
        "tp3": "2027.68",
        "oak": "2019.42",
        "tp4": "2028.76",
        "tp5": "2040.62",
    }
    assert f"{book_levels(adjusted).sights[-1].elevation_ft:.2f}" == "2053.18"
    # by hand: each adjusted turning point plus its backsight, 2046.1357 + 0.22 and so on; the raw heights stand above
    assert [f"{h:.2f}" for h in book_levels(adjusted).heights_ft.values()] == [
        "2054.51", "2046.36", "2039.40", "2028.14", "2031.37", "2041.31", "2053.39",
    ]  # fmt: skip


def test_the_page_check_of_the_textbook_loop() -> None:
    raw = book(*LOOP, marks=(known("Mil", 2053.18),))
    check = page_check(raw, chain(raw))
    assert check is not None
    assert (f"{check.backsights_ft:.2f}", f"{check.foresights_ft:.2f}") == ("40.24", "40.21")
    assert f"{check.difference_ft:+.2f}" == f"{check.rise_ft:+.2f}" == "+0.03"


def test_a_section_between_two_benchmarks() -> None:
    # Course question with its answer, read on askfilo.com (smart solutions 3430383238313239): BM A 100.00, BM B known at 94.91
    section = line("A TP1 TP2 TP3 B", "3.10 6.44 8.76 7.12", "9.82 6.96 3.27 10.42")
    open_ = book(*section, marks=(known("A", 100.00),))
    assert levels(open_) == {"a": "100.00", "tp1": "93.28", "tp2": "92.76", "tp3": "98.25", "b": "94.95"}
    assert [f"{h:.2f}" for h in book_levels(open_).heights_ft.values()] == ["103.10", "99.72", "101.52", "105.37"]
    check = page_check(open_, chain(open_))
    assert check is not None
    assert (f"{check.backsights_ft:.2f}", f"{check.foresights_ft:.2f}") == ("25.42", "30.47")
    assert f"{check.difference_ft:.2f}" == f"{check.rise_ft:.2f}" == "-5.05"
    closed = book(*section, marks=(known("A", 100.00), known("B", 94.91)))
    (closure,) = book_levels(closed).closures
    assert f"{closure.misclosure_ft:.2f}" == "0.04"
    assert (closure.start, closure.end) == ("A", "B")


def test_one_setup() -> None:
    # differential-leveling course notes after Ghilani and Wolf: BM Rock 820.00, BS 8.42, HI 828.42, FS 1.20, X 827.22
    one = book(setup(bs("BM Rock", 8.42), fs("X", 1.20)), marks=(known("BM Rock", 820.00),))
    assert f"{book_levels(one).heights_ft['setup-1']:.2f}" == "828.42"
    assert levels(one)["x"] == "827.22"


def test_the_corrections_of_a_line_go_by_distance_where_all_sights_have_theirs() -> None:
    # Navy Engineering Aid manual, chapter 7: in proportion to distance, sign opposite to the misclosure. 0.06 ft over sights
    # of 100, 200 and 300 ft: 0.01, 0.03 and 0.06 ft off
    setups = (
        setup(bs("A", 5.0, 40), fs("T1", 5.0, 60)),
        setup(bs("T1", 5.0, 120), fs("T2", 5.0, 80)),
        setup(bs("T2", 5.0, 150), fs("B", 4.94, 150)),
    )
    found = book_levels(book(*setups, marks=(known("A", 100.0), known("B", 100.0)), adjust=True, allowance_ft=0.06))
    assert [found.by_point[p] for p in ("t1", "t2")] == pytest.approx([99.99, 99.97])
    assert [s.correction_ft for s in found.sights] == pytest.approx([0, -0.01, -0.01, -0.03, -0.03, -0.06])


def test_the_two_peg_check_of_the_textbook() -> None:
    # Ghilani and Wolf, example 4.7 (from memory, checked by its formula): the level at two stations outside the pegs, in line
    # with them and as far from each as the pegs are apart: A is one length off, B two, and the other way round
    found = two_peg_error((5.630, 5.900), (5.310, 5.560), first_at=(1, 2), second_at=(2, 1))
    assert f"{found.per_length_ft:.3f}" == "0.010"
    assert (f"{found.second_a_ft:.3f}", f"{found.second_b_ft:.3f}") == ("5.290", "5.550")


def test_the_two_peg_check_from_midway_and_close_to_a() -> None:
    # by the definition: a level that reads 0.02 ft too high over the pegs, on pegs with a true difference of 0.70 ft
    found = peg_error(TwoPeg(middle_a_ft=4.31, middle_b_ft=5.01, near_a_ft=4.50, near_b_ft=5.22))
    assert found.per_length_ft == pytest.approx(0.02)
    assert (found.second_a_ft, found.second_b_ft) == pytest.approx((4.50, 5.20))


def test_two_standings_alike_tell_nothing() -> None:
    with pytest.raises(ValueError, match="nearer to one of them"):
        two_peg_error((5.0, 5.1), (5.0, 5.1), first_at=(0.5, 0.5), second_at=(0.5, 0.5))
