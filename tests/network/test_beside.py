"""Services beside pipe and under structures, worked by hand."""

import pytest

from drainsketch.files.prices import prices_in_use
from drainsketch.findings import Finding
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job, Structure
from drainsketch.planning import work_plan_of
from drainsketch.pricing import price_of
from drainsketch.review import analyse
from drainsketch.sheets.marks import Band, Stroke
from drainsketch.sheets.pathway import way_along
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.profile_marks import profile_marks
from drainsketch.wording import Words
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run, service, shot

GROUND = plane(lambda x, y: 100.0)
PIPE = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=96.4))


def of(job: Job, kind: str) -> list[Finding]:
    return [f for f in analyse(job).findings if f.kind == kind]


@pytest.mark.parametrize(("depth_ft", "is_hit"), [(1.5, True), (3.4, True), (3.6, False), (None, False)])
def test_a_basin_that_would_stand_on_a_gas_line_is_a_stop(depth_ft: float | None, is_hit: bool) -> None:
    # pipe leaves at 97.00; sump 4 in and bed 2 in: dug 3.50 ft deep; a service deeper than that lies under it
    job = drawn(*GROUND, *PIPE, service("gas", (-9, 0.5), (0, 0.5), depth_top_ft=depth_ft, size_in=2.0))
    found = of(job, "stands_on_service")
    assert [f.place.ids for f in found] == ([("B1", "gas-1")] if is_hit else [])
    assert [f.level for f in found] == (["stop"] if is_hit else [])
    if is_hit and depth_ft:
        assert found[0].value == pytest.approx(3.5 - depth_ft)
    assert of(job, "structure_by_service")  # told in any case


def test_a_service_beside_the_body_of_a_basin_is_not_hit_by_it() -> None:
    # body 12 in wide: 6 in to its side, the service 1 in more
    assert not of(
        drawn(*GROUND, *PIPE, service("gas", (-9, 0.6), (9, 0.6), depth_top_ft=1.5, size_in=2.0)), "stands_on_service"
    )


def test_a_cleanout_rises_through_a_service_that_its_pipe_passes_under() -> None:
    job = drawn(
        *GROUND,
        basin(0, 0),
        Structure(id="", kind="cleanout", point=(30, 0)),
        outfall(60, 0, "tie-in", invert_ft=96.0),
        *(run("B1", "C1"), run("C1", "O1")),
        service("electric", (30, -9), (30, 9), depth_top_ft=0.5, size_in=1.0),
    )
    assert [f.place.ids for f in of(job, "stands_on_service")] == [("C1", "electric-1")]
    assert not of(change(job, "C1", kind="fitting"), "stands_on_service")  # nothing rises from a fitting


def test_a_service_that_crosses_exactly_at_a_structure_or_a_bend_is_a_crossing() -> None:
    middle = drawn(
        *(basin(0, 0), fitting(30, 0), outfall(60, 9), run("B1", "F1"), run("F1", "O1")),
        service("gas", (30, -9), (30, 9)),
    )
    assert [c.run_id for c in analyse(middle).crossings] == ["R1", "R2"]
    bend = drawn(basin(0, 0), outfall(60, 9), run("B1", "O1", (30, 0)), service("gas", (30, -9), (30, 9)))
    assert [c.station_ft for c in analyse(bend).crossings] == [pytest.approx((30**2 + 9**2) ** 0.5)]
    assert len(of(middle, "depth_unknown")) == 2


def test_a_run_that_ends_on_a_service_or_just_short_of_it_meets_it() -> None:
    for short in (0.0, 0.2, 0.4):  # 6 in assumed and 4.215 in pipe: they touch within 0.426 ft
        job = drawn(*GROUND, *PIPE, service("gas", (60 + short, -9), (60 + short, 9), depth_top_ft=3.3))
        (stop,) = of(job, "meets_service")
        assert (stop.level, stop.place.ids) == ("stop", ("R1", "gas-1"))
    assert of(drawn(*GROUND, *PIPE, service("gas", (60.5, -9), (60.5, 9), depth_top_ft=3.3)), "beside_service")


def test_a_service_lying_a_hand_beside_the_pipe_at_its_depth_is_hit() -> None:
    job = drawn(*GROUND, *PIPE, service("gas", (10, 0.2), (50, 0.2), depth_top_ft=3.1, size_in=2.0))
    assert [f.level for f in of(job, "meets_service")] == ["stop"]
    (c,) = analyse(job).crossings
    assert 40 + 38 / 12 <= c.hand_dig_ft < 40 + 38 / 12 + 0.5  # its length and a zone at each end, and never less


def test_a_service_along_the_pipe_is_held_against_it_over_the_whole_length_not_only_in_the_middle() -> None:
    # pipe falls from 97.0 to 95.0 in 60 ft; a level service 4.5 ft deep: clear in the middle, hit near the outfall
    pipe = (basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1", start_invert_ft=97.0, end_invert_ft=95.0))
    job = drawn(*GROUND, *pipe, service("water", (0, 0), (60, 0), depth_top_ft=4.5, size_in=2.0))
    (stop,) = of(job, "meets_service")
    assert stop.place.station_ft is not None
    # pipe bottom meets the service's top, 95.50, where the invert is 95.51: station 15.3
    assert 0 <= stop.place.station_ft < 15.3


def test_a_run_that_crosses_once_and_then_runs_along_is_told_of_the_long_stretch() -> None:
    job = drawn(
        *PIPE, service("gas", (10, -9), (10, 1.2), (50, 1.2), size_in=2.0)
    )  # up through the pipe, then 1.2 ft beside it for 40 ft
    (c,) = analyse(job).crossings
    # the zone reaches 19 in from its middle: from 19 in before the crossing; and round its end at (50, 1.2) to where the
    # upper edge of the 12 in trench, y = 0.5, leaves a circle of 19 in: 0.7 ft below its middle
    reach = 19 / 12
    assert c.hand_dig_ft == pytest.approx(40 + reach + (reach**2 - 0.7**2) ** 0.5, abs=0.02)


def test_a_second_stretch_beside_a_service_crossed_elsewhere_is_told() -> None:
    job = drawn(*PIPE, service("gas", (10, -9), (10, 20), (40, 20), (40, 1.5), (45, 1.5), size_in=2.0))
    assert len(analyse(job).crossings) == 1
    (f,) = of(job, "beside_service")
    assert f.value == pytest.approx(1.5)


def test_hand_dig_near_the_end_of_a_run_stops_at_its_end() -> None:
    # zone 42 in for 6 in assumed: 1.75 ft up the run, and 0.5 ft down to its end
    (c,) = analyse(drawn(*PIPE, service("gas", (59.5, -9), (59.5, 9)))).crossings
    assert c.hand_dig_ft == pytest.approx(1.75 + 0.5)


def test_two_services_in_one_place_are_two_crossings() -> None:
    lines = (service("gas", (30, -9), (30, 9)), service("electric", (30, -9), (30, 9)))
    assert [(c.number, c.other) for c in analyse(drawn(*PIPE, *lines)).crossings] == [(1, "electric-1"), (2, "gas-1")]


def test_pipe_adrift_near_a_gas_line_is_told() -> None:
    job = drawn(*GROUND, basin(0, 0), basin(60, 0), run("B1", "B2"), service("gas", (0, 1.5), (60, 1.5)))
    assert "beside_service" in kinds(analyse(job))
    assert "no_outfall" in kinds(analyse(job))


def test_ground_guessed_counts_the_feet_outside_the_shots() -> None:
    # shots reach to x = 40: 20 ft of the run lie beyond; the station at 40 is half a foot of doubt
    shots = tuple(shot(x, y, 100.0) for x in (-10, 40) for y in (-20, 20))
    (f,) = of(drawn(*shots, basin(0, 0), outfall(60, 0, "tie-in"), run("B1", "O1")), "ground_guessed")
    assert f.value == pytest.approx(20, abs=0.5)
    assert dict(f.params)["length"] == pytest.approx(60)


def test_inlets_and_outfalls_far_from_every_shot_are_told() -> None:
    job = drawn(*plane(lambda x, y: 100.0), basin(3, 0), outfall(60, 0, "tie-in"), run("B1", "O1"))
    (f,) = of(job, "no_shot_near")  # B1 stands 3 ft from the shot in the middle, O1 60 ft
    assert (f.level, f.place.ids, f.value, f.limit) == ("settle", ("O1",), pytest.approx(60), 25)


@pytest.mark.parametrize(
    ("y", "size_in", "limit"),
    [(9.9, 6.0, 10.0), (10.1, 6.0, None), (9.9, None, 10.0), (4.9, 1.0, 5.0), (5.1, 1.0, None)],
)
def test_a_run_along_a_water_line_nearer_than_is_usual_is_told(y: float, size_in: float | None, limit: float) -> None:
    found = of(drawn(*PIPE, service("water", (0, y), (60, y), size_in=size_in)), "along_water")
    assert [f.limit for f in found] == ([limit] if limit else [])
    if found:
        assert found[0].value == pytest.approx(y)
        assert dict(found[0].params)["length"] == pytest.approx(60)


def test_a_run_that_only_crosses_a_water_line_is_not_along_it_and_gas_is_no_water() -> None:
    assert not of(drawn(*PIPE, service("water", (30, -40), (30, 40))), "along_water")
    assert not of(drawn(*PIPE, service("gas", (0, 3), (60, 3))), "along_water")
    # a bend: 20 ft along it at 3 ft, the rest away from it
    bent = (basin(0, 0), outfall(20, 60, "tie-in"), run("B1", "O1", (20, 0)))
    (found,) = of(drawn(*bent, service("water", (-50, -3), (80, -3), size_in=1.0)), "along_water")
    assert dict(found.params)["length"] == pytest.approx(20)


def test_trench_beside_a_service_is_dug_by_hand_whether_pipe_touches_it_or_not() -> None:
    """A gas line of 2 in at y = 0.3 lies in the trench, 12 in wide: its zone, 1 + 18 in, reaches 19 in beyond its ends at x = 20 and 40."""
    job = drawn(*GROUND, *PIPE, service("gas", (20, 0.3), (40, 0.3), depth_top_ft=1.0, size_in=2.0))
    review = analyse(job)
    assert not review.crossings
    ((low, high),) = review.plan.by_hand["R1"]  # stations from the outfall at x = 60
    assert (low, high) == (pytest.approx(20 - 19 / 12), pytest.approx(40 + 19 / 12))
    price = price_of(review, prices_in_use())
    (by_hand,) = [line for line in price.lines if line.item == "dig_run_by_hand"]
    assert by_hand.quantity is not None and by_hand.quantity > 0
    plan = work_plan_of(review, prices_in_use())
    assert "expose" in [task.kind for day in plan.days for task in day.tasks if task.owner == "R1"]
    assert "spades" in [load.name for load in review.loading]
    strips = [
        mark for mark in plan_marks(job, review).drains if isinstance(mark, Band) and mark.style == "hand-dig zone"
    ]
    assert [strip.width_ft for strip in strips] == [1.0]
    assert [x for x, _ in strips[0].points] == [pytest.approx(20 - 19 / 12), pytest.approx(40 + 19 / 12)]
    path = way_along(review, ("R1",))
    assert path is not None
    hatched = [
        m for m in profile_marks(path, review, Words()).ground if isinstance(m, Stroke) and m.style == "hand-dig zone"
    ]
    assert len(hatched) == 1


def test_a_stub_that_ends_in_the_trench_and_a_second_pass_of_a_line_are_dug_by_hand_too() -> None:
    stub = analyse(drawn(*GROUND, *PIPE, service("gas", (30, 9), (30, 0.3), size_in=2.0)))
    ((low, high),) = stub.plan.by_hand["R1"]
    assert (low + high) / 2 == pytest.approx(30)
    # the zone is round at its end and the trench reaches to y = 0.5: at the trench the zone is as wide as it gets
    assert high - low == pytest.approx(2 * 19 / 12, abs=0.1)
    twice = analyse(drawn(*GROUND, *PIPE, service("gas", (50, -9), (50, 1.2), (20, 1.2), size_in=2.0)))
    assert len(twice.crossings) == 1
    ((low, high),) = twice.plan.by_hand["R1"]
    assert low < 10 and high > 38


def test_a_hole_beside_a_service_is_dug_by_hand() -> None:
    near = drawn(*GROUND, *PIPE, service("gas", (-2, -9), (-2, 9), depth_top_ft=1.0, size_in=2.0))
    tools = [
        dict(line.params)["tool"] for line in price_of(analyse(near), prices_in_use()).lines if line.item == "dig_holes"
    ]
    assert tools == ["hand"]
    far = drawn(*GROUND, *PIPE, service("gas", (-9, -9), (-9, 9), depth_top_ft=1.0, size_in=2.0))
    tools = [
        dict(line.params)["tool"] for line in price_of(analyse(far), prices_in_use()).lines if line.item == "dig_holes"
    ]
    assert tools and "hand" not in tools
