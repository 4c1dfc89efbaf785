"""Edits of the level book, and what they do to the shots on the plan."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.ground.book import book_levels
from drainsketch.job.edits import book as e
from drainsketch.job.edits.add import add
from drainsketch.job.edits.change import change
from drainsketch.job.edits.remove import remove
from drainsketch.job.levelling import Sight, TwoPeg
from drainsketch.job.model import Job, Shot
from drainsketch.job.rules import job_faults
from drainsketch.job.sights import book_ids, next_to_place, sight_of, to_place
from tests.ground.books import book, bs, fs, inter, known, setup
from tests.strategies import jobs
from tests.yards import drawn

YARD = replace(
    drawn(Shot(id="S1", point=(0, 0)), Shot(id="S2", point=(5, 5), elevation_ft=99.0)),
    book=book(
        setup(bs("BM1", 4.0), inter("a", 5.0, "S1"), fs("T1", 6.0)),
        setup(bs("T1", 2.0), inter("b", 3.0)),
        marks=(known("BM1", 100.0),),
    ),
)
LEVELS = book_levels(YARD.book).by_shot


def ats(job: Job) -> list[list[str]]:
    return [[s.at for s in one.sights] for one in job.book.setups]


def test_benchmarks_are_added_changed_and_removed() -> None:
    job = e.add_benchmark(Job(), "Nail", 101.5)
    job = e.add_benchmark(job, "Step", 99.0)
    assert [b.id for b in job.book.benchmarks] == ["benchmark-1", "benchmark-2"]
    job = e.change_benchmark(job, "benchmark-2", elevation_ft=98.5)
    job = e.remove_benchmark(job, "benchmark-1")
    assert [(b.name, b.elevation_ft) for b in job.book.benchmarks] == [("Step", 98.5)]
    with pytest.raises(EditError, match="benchmark-9: the level book has no benchmark"):
        e.change_benchmark(job, "benchmark-9", name="x")
    with pytest.raises(EditError, match=r"benchmark-3\.elevation_ft"):
        e.add_benchmark(job, "High", 1e9)


def test_a_reading_is_struck_out_and_the_sight_keeps_the_rest() -> None:
    struck = e.change_sight(YARD, "sight-2", reading_ft=None)
    assert struck.book.setups[0].sights[1] == replace(YARD.book.setups[0].sights[1], reading_ft=None)
    assert book_levels(struck.book).by_shot == {}
    assert e.change_sight(struck, "sight-2", reading_ft=5.0) == YARD


def test_setups_and_sights_are_added_in_their_place_moved_and_removed() -> None:
    job, new = e.add_setup(YARD, "string line", (bs("T1", 1.0), replace(inter("c", 2.0), id="")))
    assert new == "setup-3"
    job, _ = e.add_sight(job, "setup-2", Sight(id="", kind="intermediate", at="x", reading_ft=1.0), 1)
    assert ats(job) == [["BM1", "a", "T1"], ["T1", "x", "b"], ["T1", "c"]]
    job = e.move_setup(job, "setup-3", -9)
    assert ats(job)[0] == ["T1", "c"]
    first = job.book.setups[1].sights[0].id
    job = e.move_sight(job, first, 1)
    assert ats(job)[1] == ["a", "BM1", "T1"]
    job = e.remove_setup(job, "setup-3", LEVELS)
    assert ats(job) == [["a", "BM1", "T1"], ["T1", "x", "b"]]


def test_ids_are_never_used_twice_even_after_many_edits() -> None:
    job = e.remove_sight(YARD, "sight-5", LEVELS)
    job, new = e.add_sight(job, "setup-2", Sight(id="", kind="foresight", at="z", reading_ft=1.0))
    ids = [i for _, i in book_ids(job.book)]
    assert len(set(ids)) == len(ids)
    job = e.extend_setup(job, "setup-1", (inter("p", 1.0), inter("q", 2.0)))
    ids = [i for _, i in book_ids(job.book)]
    assert len(set(ids)) == len(ids)
    assert new in ids


def test_a_sight_is_changed_within_its_bounds_only() -> None:
    assert e.change_sight(YARD, "sight-2", reading_ft=5.5, at="A").book.setups[0].sights[1].reading_ft == 5.5
    assert e.change_sight(YARD, "sight-2", reading_ft=5.0) is YARD
    with pytest.raises(EditError, match=r"sight-2\.reading_ft: 900\.0 is not a number from -200 to 200"):
        e.change_sight(YARD, "sight-2", reading_ft=900.0)
    with pytest.raises(EditError, match="an id stays for good"):
        e.change_sight(YARD, "sight-2", shot="S2")
    with pytest.raises(EditError, match="no sight with that id"):
        e.change_sight(YARD, "sight-99", at="x")


def test_allowance_adjustment_and_two_peg_check_are_set() -> None:
    job = e.change_book(
        YARD, allowance_ft=0.05, adjust=True, two_peg=TwoPeg(middle_a_ft=1, middle_b_ft=2, near_a_ft=1, near_b_ft=2)
    )
    assert (job.book.allowance_ft, job.book.adjust) == (0.05, True)
    with pytest.raises(EditError, match=r"book\.allowance_ft"):
        e.change_book(YARD, allowance_ft=-1.0)


def test_a_sight_is_placed_as_a_new_shot_that_takes_its_level_from_it() -> None:
    job, shot = e.place_sight(YARD, "sight-5", (7.0, 8.0))
    assert shot == "S3"
    assert job.shots[-1] == Shot(id="S3", point=(7.0, 8.0), name="b")
    assert book_levels(job.book).by_shot["S3"] == 97.0
    assert list(job_faults(job)) == []


def test_a_sight_is_bound_to_a_shot_without_a_level_and_to_no_other() -> None:
    job = add(YARD, Shot(id="S7", point=(1, 1)))
    assert sight_of(e.bind(job, "sight-5", "S7").book, "sight-5").shot == "S7"  # type: ignore[union-attr]
    with pytest.raises(EditError, match="S2: it has a level of its own"):
        e.bind(job, "sight-5", "S2")
    with pytest.raises(EditError, match="S1: it takes its level from another sight"):
        e.bind(job, "sight-5", "S1")
    with pytest.raises(EditError, match="it stands on S1"):
        e.bind(job, "sight-2", "S7")
    with pytest.raises(EditError, match="S9: the plan has no shot"):
        e.bind(job, "sight-5", "S9")


def test_deleting_a_sight_or_taking_it_off_leaves_its_shot_the_level_it_had() -> None:
    for job in (
        e.remove_sight(YARD, "sight-2", LEVELS),
        e.unbind(YARD, "sight-2", LEVELS),
        e.remove_setup(YARD, "setup-1", LEVELS),
    ):
        assert job.shots[0] == Shot(id="S1", point=(0, 0), elevation_ft=99.0)
        assert list(job_faults(job)) == []


def test_deleting_a_shot_leaves_its_sight_in_the_book_not_placed() -> None:
    job = remove(YARD, ["S1"])
    assert [s.id for s in job.shots] == ["S2"]
    assert ats(job) == ats(YARD)
    assert sight_of(job.book, "sight-2").shot is None  # type: ignore[union-attr]
    assert remove(YARD, ["S2"]).book is YARD.book


def test_a_level_is_not_typed_into_a_shot_that_a_sight_gives_its_level() -> None:
    with pytest.raises(EditError, match="S1: its level comes from the level book"):
        change(YARD, "S1", elevation_ft=98.0)
    assert change(YARD, "S2", elevation_ft=98.0).shots[1].elevation_ft == 98.0


def test_what_waits_to_be_placed_leaves_out_backsights_benchmarks_and_points_already_there() -> None:
    assert [s.at for s in to_place(YARD.book)] == ["T1", "b"]
    assert next_to_place(YARD).at == "T1"  # type: ignore[union-attr]
    assert next_to_place(YARD, "sight-5").at == "b"  # type: ignore[union-attr]
    assert next_to_place(YARD, "sight-3").at == "T1"  # type: ignore[union-attr]
    placed, _ = e.place_sight(YARD, "sight-3", (1, 1))
    assert next_to_place(placed, "sight-3").at == "b"  # type: ignore[union-attr]
    placed, _ = e.place_sight(placed, "sight-5", (2, 2))
    assert next_to_place(placed, "sight-5") is None


@given(jobs(), st.data())
def test_any_edit_of_any_book_leaves_a_whole_job(job: Job, data: st.DataObject) -> None:
    levels = book_levels(job.book).by_shot
    sights = [s.id for one in job.book.setups for s in one.sights]
    setups = [s.id for s in job.book.setups]
    edited = [e.add_setup(job)[0], e.add_benchmark(job, "x", 99.0), remove(job, [s.id for s in job.shots[:2]])]
    if sights:
        chosen = data.draw(st.sampled_from(sights))
        edited += [e.remove_sight(job, chosen, levels), e.unbind(job, chosen, levels), e.move_sight(job, chosen, -1)]
        if sight_of(job.book, chosen).shot is None:  # type: ignore[union-attr]
            edited.append(e.place_sight(job, chosen, (1.0, 2.0))[0])
    if setups:
        chosen = data.draw(st.sampled_from(setups))
        edited += [e.remove_setup(job, chosen, levels, 101.25), e.move_setup(job, chosen, 1)]
    for after in edited:
        assert list(job_faults(after)) == []
        assert {s.id for s in after.shots} >= {s.id for s in job.shots} or len(after.shots) < len(job.shots)
