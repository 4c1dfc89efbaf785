"""Options: variants of the drains of one yard, edited, switched and taken away, and what the yard keeps for them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.errors import EditError, JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.job.ask import things
from drainsketch.job.edits.add import add, fresh_id
from drainsketch.job.edits.book import add_setup, fresh_ids, remove_setup
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.job.edits.options import (
    add_option,
    fresh_name,
    note_option,
    remove_option,
    rename_option,
    switch_option,
)
from drainsketch.job.edits.remove import remove
from drainsketch.job.history import History
from drainsketch.job.levelling import LaidReading, Laying
from drainsketch.job.model import Downspout, Job, Obstacle, Option, Run, Shot, Structure
from drainsketch.job.options import at_option, ids_in_use, option_jobs, option_names, options_of
from drainsketch.job.rules import job_faults
from tests.strategies import edited, jobs

BASIN = Structure(id="B1", kind="basin", point=(0.0, 0.0))
OUTFALL = Structure(id="O1", kind="outfall", point=(40.0, 0.0))
PLAIN = Laying()
JOB = Job(structures=(BASIN, OUTFALL), runs=(Run(id="R1", start="B1", end="O1"),))
THREE = add_option(add_option(JOB, "Solid main"), "Bigger pipe")


def complaints(job: Job) -> list[str]:
    return [f"{path}: {wrong}" for path, wrong in job_faults(job)]


def test_a_new_option_is_a_copy_of_the_drawn_one_and_is_drawn_last() -> None:
    two = add_option(JOB, " Solid main ", "No stone, so it costs less.")
    assert option_names(two) == ("Option 1", "Solid main")
    assert (two.option, two.option_at, two.option_note) == ("Solid main", 1, "No stone, so it costs less.")
    assert two.structures is JOB.structures
    assert two.aside[0].structures is JOB.structures
    assert two.aside[0].runs is two.runs is JOB.runs
    assert not complaints(two)


def test_a_name_given_like_the_one_that_would_be_made_up_makes_up_another() -> None:
    assert option_names(add_option(JOB, "option 1")) == ("Option 2", "option 1")
    assert fresh_name(THREE) == "Option 2"


def test_switching_there_and_back_keeps_every_option_and_its_place() -> None:
    assert option_names(THREE) == ("Option 1", "Solid main", "Bigger pipe")
    edited_last = add(THREE, Structure(id="", kind="cleanout", point=(9.0, 9.0)))
    first = switch_option(edited_last, 0)
    assert option_names(first) == option_names(THREE)
    assert (first.option, first.option_at) == ("Option 1", 0)
    assert first.structures is JOB.structures
    assert switch_option(first, 0) is first
    assert switch_option(switch_option(first, 1), 2) == edited_last


def test_three_options_are_the_most_and_names_are_held_apart() -> None:
    with pytest.raises(EditError, match="3 options; delete one of Option 1, Solid main, Bigger pipe"):
        add_option(THREE, "Fourth")
    with pytest.raises(EditError, match="an option SOLID MAIN already"):
        rename_option(THREE, 2, "SOLID MAIN")
    with pytest.raises(EditError, match="needs a name"):
        rename_option(THREE, 0, "  ")
    with pytest.raises(EditError, match="200"):
        rename_option(THREE, 0, "x" * 201)
    with pytest.raises(EditError, match="There is no option 4"):
        switch_option(THREE, 3)
    assert option_names(rename_option(JOB, 0, "")) == ("",)
    assert rename_option(THREE, 0, "Option 1") is THREE
    assert option_names(rename_option(THREE, 1, "solid MAIN"))[1] == "solid MAIN"
    assert options_of(note_option(THREE, 1, "cheaper"))[1].note == "cheaper"


@pytest.mark.parametrize(
    ("at", "names", "drawn"),
    [
        (0, ("Solid main", "Bigger pipe"), "Bigger pipe"),
        (1, ("Option 1", "Bigger pipe"), "Bigger pipe"),
        (2, ("Option 1", "Solid main"), "Solid main"),
    ],
)
def test_one_taken_away_leaves_the_others_in_order(at: int, names: tuple[str, ...], drawn: str) -> None:
    left = remove_option(THREE, at)
    assert (option_names(left), left.option) == (names, drawn)
    with pytest.raises(EditError, match="only drains"):
        remove_option(remove_option(left, 0), 0)


def test_the_first_one_drawn_and_taken_away_draws_the_next() -> None:
    left = remove_option(switch_option(THREE, 0), 0)
    assert (left.option, left.option_at) == ("Solid main", 0)


def test_each_option_is_a_whole_job_that_shares_the_yard() -> None:
    made = option_jobs(THREE)
    assert [name for name, _ in made] == list(option_names(THREE))
    for name, job in made:
        assert (job.aside, job.option, job.option_at) == ((), name, 0)
        assert all(getattr(job, part) is getattr(THREE, part) for part in ("shots", "obstacles", "book", "rain"))
    assert option_jobs(JOB) == (("", JOB),)
    assert (at_option(THREE, " solid MAIN "), at_option(THREE, "none")) == (1, -1)


# -- rules


def test_options_aside_are_held_to_every_rule_with_their_own_paths() -> None:
    wrong = Option(
        name="SOLID main",
        structures=(
            BASIN,
            replace(BASIN, id="tree-1"),
            Structure(id="D1", kind="downspout inlet", point=(0, 0), downspout="x"),
        ),
        runs=(Run(id="R1", start="B1", end="B1"), Run(id="R1", start="B1", end="O9")),
        laying=Laying(readings=(LaidReading(id="laid-1", run="R7", station_ft=1.0, reading_ft=2.0, setup="setup-9"),)),
    )
    tree = Obstacle(id="tree-1", kind="tree", points=((5.0, 5.0),))
    job = replace(JOB, obstacles=(tree,), option="Solid main", option_at=2, aside=(wrong,))
    assert complaints(job) == [
        "option_at: 2 is no place among 2 options; write at most 1",
        "aside[0].name: SOLID main is the name of option too; give one of the two another name",
        "aside[0].structures[1].id: tree-1 is taken by obstacles[0]; give one of the two another id",
        "aside[0].runs[1].id: R1 is taken by aside[0].runs[0]; give one of the two another id",
        "aside[0].laying.readings[0].run: there is no run R7",
        "aside[0].laying.readings[0].setup: the level book has no setup setup-9",
        "aside[0].structures[2].downspout: there is no downspout x",
        "aside[0].runs[0].end: the run starts and ends at B1; end it at another structure",
        "aside[0].runs[1].end: there is no structure O9",
    ]


def test_the_file_names_the_place_within_an_option() -> None:
    text = job_text(add_option(JOB, "Second")).replace('"end": "O1"', '"end": "O7"')
    with pytest.raises(JobFileError) as caught:
        parse_job(text.encode())
    assert caught.value.complaints == (
        "runs[0].end: there is no structure O7",
        "aside[0].runs[0].end: there is no structure O7",
    )


def test_the_same_ids_may_stand_in_several_options_and_names_are_asked_of_several_only() -> None:
    assert not complaints(THREE)
    assert complaints(replace(JOB, aside=(Option(name="B"),))) == ["option: an option beside others needs a name"]


# -- what the yard keeps for options aside


def aside_with(*structures: Structure, runs: tuple[Run, ...] = (), laying: Laying = PLAIN) -> Job:
    return Job(option="A", aside=(Option(name="B", structures=structures, runs=runs, laying=laying),))


def test_new_ids_stay_clear_of_those_aside() -> None:
    laid = Laying(readings=(LaidReading(id="laid-4", run="R6", station_ft=1.0, reading_ft=2.0, height_ft=9.0),))
    job = aside_with(
        replace(BASIN, id="B7"), replace(OUTFALL, id="S12"), runs=(Run(id="R6", start="B7", end="S12"),), laying=laid
    )
    assert (fresh_id(job, "B"), fresh_id(job, "R"), fresh_id(job, "laid-")) == ("B8", "R7", "laid-5")
    assert fresh_ids(job, "S", 2) == ["S13", "S14"]
    shot = add(job, Shot(id="", point=(1.0, 1.0), elevation_ft=99.0)).shots[0]
    assert shot.id == "S13"
    with pytest.raises(EditError, match="S12: the job already has something"):
        add(job, Shot(id="S12", point=(1.0, 1.0), elevation_ft=99.0))
    assert add(job, replace(BASIN, id="B7")).structures[0].id == "B7"  # the same basin in two options is one name


def test_a_downspout_that_goes_is_taken_off_the_inlets_of_every_option() -> None:
    inlet = Structure(id="D1", kind="downspout inlet", point=(0.0, 0.0), downspout="downspout-1")
    spout = Downspout(id="downspout-1", point=(0.0, 1.0))
    job = add_option(Job(downspouts=(spout,), structures=(inlet,)), "Second")
    left = remove(remove(job, ["D1"]), ["downspout-1"])
    assert left.structures == ()
    assert left.aside[0].structures == (replace(inlet, downspout=None),)
    assert not complaints(left)


def test_a_setup_that_goes_leaves_its_height_to_every_option() -> None:
    job, setup = add_setup(JOB)
    job = read_laid(change_laying(job, setup=setup), "R1", 5.0, 4.25)
    job = add_option(job, "Second")
    with pytest.raises(EditError, match=r"cut sheet \(also of option Option 1\)"):
        remove_setup(job, setup, {})
    left = remove_setup(job, setup, {}, 104.5)
    for one in options_of(left):
        assert (one.laying.setup, one.laying.height_ft) == (None, 104.5)
        assert (one.laying.readings[0].setup, one.laying.readings[0].height_ft) == (None, 104.5)
    assert not complaints(left)


# -- anything in any order


@st.composite
def option_edits(draw: st.DrawFn, job: Job) -> Job:
    """The job after one edit of its options."""
    count = len(options_of(job))
    at = draw(st.integers(0, count - 1))
    name = draw(st.sampled_from(["A", "b", "C ", "Option 2", ""]))
    match draw(st.sampled_from(["add", "switch", "rename", "note", "remove"])):
        case "add":
            return add_option(job, name)
        case "switch":
            return switch_option(job, at)
        case "rename":
            return rename_option(job, at, name)
        case "note":
            return note_option(job, at, name)
        case _:
            return remove_option(job, at)


@given(jobs(), st.data())
def test_whatever_is_done_to_options_and_yard_the_job_stays_whole(start: Job, data: st.DataObject) -> None:
    job, history = start, History.of(start)
    for _ in range(data.draw(st.integers(1, 8))):
        strategy = option_edits(job) if data.draw(st.booleans()) else edited(job)
        try:
            job = data.draw(strategy)
        except EditError:
            continue
        history = history.done(job, "step")
    assert complaints(job) == []
    assert parse_job(job_text(job).encode()) == job
    for setup in job.book.setups:
        job = remove_setup(job, setup.id, {}, 101.25)
    assert complaints(job) == []
    for _ in history.jobs:
        history = history.undone()
    assert history.job is start


@given(jobs(), st.data())
def test_an_edit_of_what_is_drawn_leaves_the_drains_aside_as_they_are(job: Job, data: st.DataObject) -> None:
    try:
        after = data.draw(edited(job))
    except EditError:
        return
    for old, new in zip(job.aside, after.aside, strict=True):
        assert new.runs is old.runs
        assert [s.id for s in new.structures] == [s.id for s in old.structures]
    fresh = {t.id for t in things(after)} - {t.id for t in things(job)}
    assert not fresh & (set(ids_in_use(job)) - {"boundary"})
