"""Edits that a job cannot hold are refused in words; what belonged to another kind goes with the kind."""

from typing import Any

import pytest

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.edits.add import add, fresh_id
from drainsketch.job.edits.change import change, change_criteria, change_header
from drainsketch.job.edits.move import insert_vertex, move, move_vertex, remove_vertex
from drainsketch.job.edits.remove import remove
from drainsketch.job.model import Boundary, Downspout, Job, Obstacle, Run, Service, Shot, Structure

YARD = Job(
    boundary=Boundary(id="boundary", points=((0.0, 0.0), (80.0, 0.0), (80.0, 60.0))),
    obstacles=(
        Obstacle(id="tree-1", kind="tree", points=((10.0, 10.0),), trunk_diameter_in=14.0),
        Obstacle(id="building-1", kind="building", points=((20.0, 20.0), (40.0, 20.0), (40.0, 40.0))),
    ),
    downspouts=(Downspout(id="downspout-1", point=(20.0, 20.0)),),
    structures=(
        Structure(id="B1", kind="basin", point=(10.0, 30.0), size_in=12),
        Structure(id="D1", kind="downspout inlet", point=(20.0, 19.0), downspout="downspout-1"),
        Structure(id="O1", kind="outfall", point=(70.0, 5.0), outfall="daylight"),
    ),
    runs=(Run(id="R1", start="B1", end="O1"), Run(id="R2", start="D1", end="B1")),
)


def the(job: Job, thing_id: str) -> Any:
    found = thing(job, thing_id)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (lambda: add(YARD, Shot(id="S1", point=(60_000.0, 0.0), elevation_ft=100.0)), "not a coordinate"),
        (lambda: add(YARD, Shot(id="S1", point=(0.0, 0.0), elevation_ft=float("nan"))), "NaN is not a level"),
        (lambda: add(YARD, Shot(id="1", point=(0.0, 0.0), elevation_ft=100.0)), "not an id"),
        (lambda: add(YARD, Shot(id="B1", point=(0.0, 0.0), elevation_ft=100.0)), "already has something"),
        (lambda: add(YARD, Structure(id="", kind="fitting", point=(0.0, 0.0), size_in=12)), "belongs to a basin"),
        (lambda: add(YARD, Obstacle(id="", kind="building", points=((0.0, 0.0), (1.0, 0.0)))), "at least 3 points"),
        (lambda: add(YARD, Obstacle(id="", kind="well", points=((0.0, 0.0), (1.0, 0.0)))), "one point"),
        (lambda: add(YARD, Service(id="", kind="gas", points=((0.0, 0.0),))), "at least 2"),
        (lambda: add(YARD, Run(id="", start="B1", end="B9")), "no structure B9"),
        (lambda: add(YARD, Run(id="", start="B1", end="B1")), "starts and ends at B1"),
        (lambda: change(YARD, "D1", downspout="downspout-7"), "no downspout downspout-7"),
        (lambda: change(YARD, "B1", outfall="curb"), "belongs to an outfall only"),
        (lambda: change(YARD, "B1", id="B7"), "stays for good"),
        (lambda: change(YARD, "building-1", kind="tree"), "one point"),
        (lambda: change(YARD, "R1", diameter_in=40), "40 is not one of 3, 4, 6, 8, 10, 12"),
        (lambda: change(YARD, "nothing", name="x"), "nothing with that id"),
        (lambda: change(YARD, "B1", name="\ud800"), "half a character"),
        (lambda: change_header(YARD, date="tomorrow"), "header.date"),
        (lambda: change_criteria(YARD, swell=9.0), "criteria.swell: 9.0 is not a number from 1 to 3"),
        (lambda: move(YARD, ["B1"], 49_999.0, 0.0), "not a coordinate"),
        (lambda: move_vertex(YARD, "boundary", 7, (0.0, 0.0)), "no vertex 8"),
        (lambda: move_vertex(YARD, "boundary", 0, (float("inf"), 0.0)), "Infinity"),
        (lambda: insert_vertex(YARD, "tree-1", 0, (0.0, 0.0)), "no bends"),
        (lambda: remove_vertex(YARD, "building-1", 0), "at least 3"),
    ],
)
def test_what_a_job_cannot_hold_is_refused(edit: Any, words: str) -> None:
    with pytest.raises(EditError, match=words):
        edit()


def test_a_new_kind_clears_what_belonged_to_the_old_one() -> None:
    assert the(change(YARD, "B1", kind="fitting"), "B1").size_in is None
    assert the(change(YARD, "O1", kind="basin", size_in=18), "O1").outfall is None
    assert the(change(YARD, "D1", kind="cleanout"), "D1").downspout is None
    assert the(change(YARD, "tree-1", kind="well"), "tree-1").trunk_diameter_in is None


def test_an_edit_that_changes_nothing_returns_the_very_same_job() -> None:
    assert move(YARD, ["B1"], 0, 0) is YARD
    assert move(YARD, ["nothing"], 5, 5) is YARD
    assert change(YARD, "B1", size_in=12) is YARD
    assert change_header(YARD, title="") is YARD
    assert change_criteria(YARD, min_slope=0.01) is YARD
    assert remove(YARD, ["nothing"]) is YARD


def test_ids_count_up_per_kind_of_thing() -> None:
    assert fresh_id(YARD, "B") == "B2"
    assert fresh_id(YARD, "gas-") == "gas-1"
    long_tail = add(YARD, Structure(id="B" + "9" * 39, kind="basin", point=(0.0, 0.0)))
    assert fresh_id(long_tail, "B") == "B2"


def test_a_boundary_replaces_the_one_before() -> None:
    ring = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    assert add(YARD, Boundary(id="lot", points=ring)).boundary == Boundary(id="boundary", points=ring)


def test_a_date_that_is_no_day_is_refused() -> None:
    assert change_header(Job(), date="2026-04-14").header.date == "2026-04-14"
    with pytest.raises(EditError, match="2026-13-45 is not a day"):
        change_header(Job(), date="2026-13-45")
