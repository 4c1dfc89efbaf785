"""Writing down where a service was uncovered."""

import pytest

from drainsketch.errors import EditError
from drainsketch.job.edits.expose import cover_up, expose, exposure_at, point_along, station_on
from drainsketch.job.edits.move import move, move_vertex
from drainsketch.job.model import Exposure, Job, Service
from tests.yards import drawn, service


def yard() -> Job:
    return drawn(service("gas", (0, 0), (30, 0), (30, 40)))


def gas(job: Job) -> Service:
    return job.services[0]


def test_an_exposure_lies_on_the_service_and_they_stand_in_order_along_it() -> None:
    job = expose(expose(yard(), "gas-1", (31, 20), 96.0), "gas-1", (10, 0.4), 97.0)
    assert gas(job).exposed == (Exposure(point=(10, 0), top_ft=97.0), Exposure(point=(30, 20), top_ft=96.0))
    assert [station_on(gas(job), e.point) for e in gas(job).exposed] == [10, 50]
    assert exposure_at(gas(job), (10.5, 2.0)) == Exposure(point=(10, 0), top_ft=97.0)
    assert exposure_at(gas(job), (12, 0)) is None


def test_measuring_again_within_a_foot_takes_the_place_of_the_first() -> None:
    job = expose(expose(yard(), "gas-1", (10, 0), 97.0), "gas-1", (10.6, 0), 97.2)
    assert gas(job).exposed == (Exposure(point=(10.6, 0), top_ft=97.2),)
    assert gas(expose(job, "gas-1", (11.7, 0), 97.3)).exposed[0].top_ft == 97.2  # further off: another


def test_an_exposure_is_taken_back_and_what_was_never_there_changes_nothing() -> None:
    job = expose(yard(), "gas-1", (10, 0), 97.0)
    assert gas(cover_up(job, "gas-1", (10.2, 0))) == gas(yard())
    assert cover_up(job, "gas-1", (20, 0)) is job


def test_exposures_move_with_the_whole_service_but_not_with_one_bend() -> None:
    job = expose(yard(), "gas-1", (10, 0), 97.0)
    assert gas(move(job, ["gas-1"], 5, 2)).exposed == (Exposure(point=(15, 2), top_ft=97.0),)
    assert gas(move_vertex(job, "gas-1", 0, (0, 9))).exposed == gas(job).exposed


def test_along_a_service_and_past_its_ends() -> None:
    assert [point_along(gas(yard()), s) for s in (-3, 0, 35, 99)] == [(0, 0), (0, 0), (30, 5), (30, 40)]


@pytest.mark.parametrize(("thing", "top"), [("gas-9", 97.0), ("gas-1", 1e9), ("gas-1", float("nan"))])
def test_no_such_service_or_a_level_out_of_bounds_is_refused(thing: str, top: float) -> None:
    with pytest.raises(EditError):
        expose(yard(), thing, (0, 0), top)


def test_a_service_drawn_on_one_spot_can_be_exposed() -> None:
    job = expose(drawn(service("gas", (5, 5), (5, 5))), "gas-1", (5, 6), 97.0)
    assert gas(job).exposed == (Exposure(point=(5, 5), top_ft=97.0),)
