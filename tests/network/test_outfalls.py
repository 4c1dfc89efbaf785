"""What has to be settled where the water leaves, worked by hand."""

import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change
from drainsketch.job.model import Boundary, Job, Obstacle
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run, service

FLAT = plane(lambda x, y: 100.0)
FALLING = plane(lambda x, y: 100 - 0.03 * x)


def only(job: Job, kind: str) -> Finding:
    (found,) = [f for f in analyse(job).findings if f.kind == kind]
    return found


def test_an_emitter_whose_lid_is_above_a_grate_is_a_stop() -> None:
    # the ground rises 0.5 ft in 50 ft toward the emitter: grate at 100.0, lid at 100.5
    job = drawn(*plane(lambda x, y: 100 + 0.01 * x), basin(0, 0), outfall(50, 0, "pop-up"), run("B1", "O1"))
    found = only(job, "emitter_too_high")
    assert (found.level, found.value) == ("stop", pytest.approx(-0.5))
    assert dict(found.params) == {
        "inlet": "B1",
        "outfall": "O1",
        "rim": pytest.approx(100.0),
        "lid": pytest.approx(100.5),
    }


def test_an_emitter_level_with_the_grate_has_nothing_to_push_it_open() -> None:
    job = drawn(*FLAT, basin(0, 0), outfall(50, 0, "pop-up"), run("B1", "O1"))
    assert only(job, "emitter_too_high").value == pytest.approx(0.0)
    assert "emitter_too_high" not in kinds(analyse(change(job, "O1", rim_ft=99.9)))


def test_an_emitter_is_held_against_every_inlet_above_it_through_several_runs() -> None:
    # B1 stands on a rise and B2 in a hollow between: water comes out of B2 before the lid opens
    job = drawn(
        *FALLING,
        basin(0, 0),
        basin(40, 0, rim_ft=97.0),
        fitting(60, 0),
        outfall(80, 0, "pop-up"),
        *(run("B1", "B2"), run("F1", "B2"), run("F1", "O1")),
    )
    assert only(job, "emitter_too_high").place.ids == ("B2", "O1")  # lid at 97.6
    assert only(job, "emitter_too_high").value == pytest.approx(97.0 - 97.6)


def test_a_tie_in_without_a_measured_invert_is_to_be_settled() -> None:
    job = drawn(*FALLING, basin(0, 0), outfall(50, 0, "tie-in"), run("B1", "O1"))
    assert only(job, "tie_in_unmeasured").place.ids == ("O1",)
    assert "tie_in_unmeasured" not in kinds(analyse(change(job, "O1", invert_ft=95.0)))


def test_a_daylight_end_below_the_ground_is_told_whether_pinned_at_the_outfall_or_at_the_run() -> None:
    # ground at the outfall 100 - 0.03 x 50 = 98.5
    pinned = drawn(*FALLING, basin(0, 0), outfall(50, 0, invert_ft=97.9), run("B1", "O1"))
    assert only(pinned, "outfall_buried").value == pytest.approx(0.6)
    by_run = drawn(*FALLING, basin(0, 0), outfall(50, 0), run("B1", "O1", end_invert_ft=97.0))
    assert only(by_run, "outfall_buried").value == pytest.approx(1.5)
    free = drawn(*FALLING, basin(0, 0), outfall(50, 0), run("B1", "O1"))
    assert "outfall_buried" not in kinds(analyse(free))


@pytest.mark.parametrize(("kind", "level"), [("tie-in", 96.0), ("curb", 96.0), ("curb", None)])
def test_pipe_pinned_below_the_level_it_has_to_flow_out_at_is_a_stop(kind: str, level: float | None) -> None:
    job = drawn(*FALLING, basin(0, 0), outfall(50, 0, kind, invert_ft=level), run("O1", "B1", start_invert_ft=95.25))
    found = only(job, "arrives_too_low")
    assert found.level == "stop"
    assert found.value == pytest.approx((level or 98.5) - 95.25)  # a curb without a level opens at the ground, 98.5


def test_a_tie_in_under_the_drain_it_ties_into_is_a_stop() -> None:
    # ground 98.5 at the outfall; drain 2 ft deep and 4 in: its bottom is at 98.5 - 2 - 0.333 = 96.167
    drain = service("drain line", (50, -20), (50, 20), depth_top_ft=2.0, size_in=4.0)
    job = drawn(*FALLING, drain, basin(0, 0), outfall(50, 0, "tie-in", invert_ft=95.5), run("B1", "O1"))
    assert only(job, "tie_in_below_drain").value == pytest.approx(96.5 - 4 / 12 - 95.5)
    fits = analyse(change(job, "O1", invert_ft=96.3))
    assert "tie_in_below_drain" not in kinds(fits)


def test_tying_into_a_sewer_is_to_be_settled_with_its_owner() -> None:
    sewer = service("sewer", (50, -20), (50, 20), depth_top_ft=2.0, size_in=4.0)
    job = drawn(*FALLING, sewer, basin(0, 0), outfall(50, 0, "tie-in", invert_ft=96.3), run("B1", "O1"))
    assert only(job, "tie_in_to_sewer").place.ids == ("O1", "sewer-1")
    assert "tie_in_to_sewer" not in kinds(analyse(change(job, "sewer-1", kind="drain line")))


@pytest.mark.parametrize(
    ("kind", "is_told"), [("daylight", True), ("pop-up", True), ("dry well", True), ("tie-in", False)]
)
def test_water_let_out_beside_a_wall_is_told(kind: str, is_told: bool) -> None:
    house = Obstacle(id="", kind="building", points=((53, -9), (70, -9), (70, 9), (53, 9)))
    job = drawn(*FALLING, house, basin(0, 0), outfall(50, 0, kind), run("B1", "O1"))
    found = [(f.value, f.limit) for f in analyse(job).findings if f.kind == "outfall_near_building"]
    assert found == ([(pytest.approx(3.0), 5.0)] if is_told else [])


def test_an_outfall_above_an_inlet_several_runs_away_is_a_stop_there() -> None:
    # by hand: curb at 99.50 and 30 + 40 + 30 ft at 1 % need 100.50 at B1, 99.80 at B2; ground 100 less pipe top allows 99.659
    job = drawn(
        *FLAT,
        basin(0, 0),
        fitting(30, 0),
        basin(70, 0),
        outfall(100, 0, "curb", invert_ft=99.5),
        *(run("B1", "F1"), run("B2", "F1"), run("B2", "O1")),
    )
    short = {f.place.ids[0]: f.value for f in analyse(job).findings if f.kind == "cannot_drain"}
    top = 4.095 / 12
    assert short == {
        "B1": pytest.approx(100.5 - 100 + top),
        "F1": pytest.approx(100.2 - 100 + top),
        "B2": pytest.approx(99.8 - 100 + top),
    }


def test_an_emitter_holds_water_up_to_its_lid() -> None:
    # ground 98.5 at the lid; pipe leaves B1 under 12 in of cover at 98.659 and is free to fall: pinned at 96.9 it holds 1.6 ft
    job = drawn(*FALLING, basin(0, 0), outfall(50, 0, "pop-up", invert_ft=96.9), run("B1", "O1"))
    found = only(job, "emitter_holds_water")
    assert (found.level, found.value) == ("note", pytest.approx(1.6))
    shallow = change(change(job, "O1", invert_ft=96.9), "O1", rim_ft=96.95)  # 0.05 ft, less than an inch
    assert "emitter_holds_water" not in kinds(analyse(shallow))
    assert "emitter_holds_water" not in kinds(analyse(change(job, "O1", outfall="daylight")))


def test_a_drain_below_the_lid_of_its_emitter_is_told_and_solid_pipe_is_not() -> None:
    """Lid at 98.5. Pins: R1 down to 98.7 at F1, above the lid; R2 on to 97.0, 1.5 ft below it."""
    job = drawn(
        *FALLING,
        *(basin(0, 0), basin(20, 0), outfall(50, 0, "pop-up")),
        run("B1", "B2", end_invert_ft=98.7, start_invert_ft=98.9, use="drain"),
        run("B2", "O1", start_invert_ft=97.4, end_invert_ft=97.0, use="drain"),
    )
    found = only(job, "emitter_floods_drain")
    assert (found.level, found.place.ids, found.value) == ("settle", ("R2", "O1"), pytest.approx(1.5))
    assert "emitter_floods_drain" not in kinds(analyse(change(job, "R2", use="solid")))
    lower = [f.place.ids[0] for f in analyse(change(job, "R1", end_invert_ft=98.4)).findings if f.kind == found.kind]
    assert lower == ["R1", "R2"]  # farther up too: the water stands level


LOT = Boundary(id="boundary", points=((-20.0, -40.0), (54.0, -40.0), (54.0, 40.0), (-20.0, 40.0)))


@pytest.mark.parametrize(
    ("kind", "is_told"), [("daylight", True), (None, True), ("pop-up", True), ("curb", False), ("tie-in", False)]
)
def test_water_let_out_by_the_lot_line_is_told(kind: str, is_told: bool) -> None:
    job = drawn(LOT, *FALLING, basin(0, 0), outfall(50, 0, kind), run("B1", "O1"))  # 4 ft inside x = 54
    found = [(f.level, f.value, f.limit) for f in analyse(job).findings if f.kind == "outfall_near_lot_line"]
    assert found == ([("settle", pytest.approx(4.0), 5.0)] if is_told else [])
    far = drawn(LOT, *FALLING, basin(0, 0), outfall(49, 0, kind), run("B1", "O1"))
    assert "outfall_near_lot_line" not in kinds(analyse(far))


def test_an_outfall_beyond_the_lot_is_told_as_that() -> None:
    job = drawn(LOT, *FALLING, basin(0, 0), outfall(56, 0), run("B1", "O1"))
    assert {"outfall_near_lot_line", "structure_outside_lot"} & set(kinds(analyse(job))) == {"structure_outside_lot"}


@pytest.mark.parametrize(("kind", "is_told"), [("daylight", True), ("pop-up", True), ("curb", False)])
def test_water_let_out_on_paving_is_told(kind: str, is_told: bool) -> None:
    walk = Obstacle(id="", kind="hardscape", points=((45, -9), (60, -9), (60, 9), (45, 9)))
    job = drawn(walk, *FALLING, basin(0, 0), outfall(50, 0, kind), run("B1", "O1"))
    found = [(f.level, f.place.ids) for f in analyse(job).findings if f.kind == "outfall_on_paving"]
    assert found == ([("settle", ("O1", "hardscape-1"))] if is_told else [])
    beside = drawn(walk, *FALLING, basin(0, 0), outfall(44, 0, kind), run("B1", "O1"))
    assert "outfall_on_paving" not in kinds(analyse(beside))


def test_an_outfall_without_a_kind_is_to_be_settled() -> None:
    job = drawn(*FALLING, basin(0, 0), outfall(50, 0, None), run("B1", "O1"))
    assert only(job, "outfall_kind_unset").level == "settle"
    assert "outfall_kind_unset" not in kinds(analyse(change(job, "O1", outfall="daylight")))
