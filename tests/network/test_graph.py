"""Which way the water goes."""

import pytest

from drainsketch.job.model import Downspout, Structure
from drainsketch.network.graph import inlet_paths, orient
from drainsketch.review import analyse
from tests.yards import basin, drawn, fitting, kinds, outfall, plane, run

TREE = (basin(0, 0), basin(50, 0), basin(50, 40), outfall(100, 0))


def test_runs_turn_to_the_outfall_whatever_way_they_were_drawn() -> None:
    for ends in ((("B1", "B2"), ("B3", "B2"), ("B2", "O1")), (("B2", "B1"), ("B2", "B3"), ("O1", "B2"))):
        network = orient(drawn(*TREE, *(run(*pair) for pair in ends)))
        assert {(f.upstream, f.downstream) for f in network.runs} == {("B1", "B2"), ("B3", "B2"), ("B2", "O1")}
        assert network.inlets == ("B1", "B2", "B3")
        assert [f.downstream for f in network.runs][-1] == "O1"
        assert not network.adrift


def test_points_of_a_run_drawn_uphill_are_turned_too() -> None:
    (flow,) = orient(drawn(basin(0, 0), outfall(30, 0), run("O1", "B1", (20, 5)))).runs
    assert flow.points == ((0, 0), (20, 5), (30, 0))
    assert not flow.drawn_downhill


def test_each_inlet_gets_its_way_with_length() -> None:
    network = orient(drawn(*TREE, run("B1", "B2"), run("B3", "B2"), run("B2", "O1")))
    found = {p.inlet: (p.outfall, p.run_ids, p.length_ft) for p in inlet_paths(network, {}, {})}
    assert found == {"B1": ("O1", ("R1", "R3"), 100.0), "B2": ("O1", ("R3",), 50.0), "B3": ("O1", ("R2", "R3"), 90.0)}


def test_pipe_without_an_outfall_is_a_stop() -> None:
    review = analyse(drawn(basin(0, 0), basin(50, 0), run("B1", "B2")))
    assert "no_outfall" in kinds(review)
    assert review.network.adrift == ("R1",)
    assert review.findings[0].level == "stop"


def test_a_basin_without_pipe_is_a_stop_and_a_lone_fitting_a_note() -> None:
    review = analyse(drawn(basin(0, 0), fitting(9, 9)))
    assert {f.kind: f.level for f in review.findings if f.place.ids} == {"not_connected": "stop", "unused": "note"}


def test_a_loop_is_a_stop_and_names_its_structures() -> None:
    review = analyse(drawn(*TREE, run("B1", "B2"), run("B3", "B2"), run("B3", "B1"), run("B2", "O1")))
    (loop,) = [f for f in review.findings if f.kind == "loop"]
    assert set(loop.place.ids) == {"B1", "B2", "B3"}
    assert loop.level == "stop"


def test_two_runs_between_the_same_structures_are_a_loop() -> None:
    review = analyse(drawn(basin(0, 0), outfall(50, 0), run("B1", "O1"), run("B1", "O1", (25, 9))))
    assert "loop" in kinds(review)


def test_two_outfalls_for_one_inlet_are_a_stop() -> None:
    review = analyse(drawn(outfall(-40, 0), basin(0, 0), outfall(60, 0), run("B1", "O1"), run("B1", "O2")))
    (found,) = [f for f in review.findings if f.kind == "two_outfalls"]
    assert found.level == "stop"
    assert set(found.place.ids) == {"O1", "O2"}


@pytest.mark.parametrize(("above", "below", "narrows"), [(6, 4, True), (4, 4, False), (4, 6, False)])
def test_pipe_that_gets_smaller_downstream_is_told(above: int, below: int, narrows: bool) -> None:
    job = drawn(
        basin(0, 0),
        basin(50, 0),
        outfall(90, 0),
        run("B1", "B2", diameter_in=above),
        run("O1", "B2", diameter_in=below),
    )
    found = [f for f in analyse(job).findings if f.kind == "narrows"]
    assert bool(found) is narrows
    if found:
        assert (found[0].value, found[0].limit) == (below, above)
        assert found[0].place.ids == ("R2", "R1")


def test_fall_and_tightest_run_of_a_path() -> None:
    # pinned: R1 falls 0.5 in 50 ft (1 %), R2 falls 1.5 in 50 ft (3 %); least slope 1 %
    job = drawn(
        *plane(lambda x, y: 100.0),
        basin(0, 0),
        basin(50, 0),
        outfall(100, 0, "tie-in"),
        run("B1", "B2", start_invert_ft=97.0, end_invert_ft=96.5),
        run("B2", "O1", start_invert_ft=96.5, end_invert_ft=95.0),
    )
    by_inlet = {p.inlet: p for p in analyse(job).paths}
    assert by_inlet["B1"].fall_ft == pytest.approx(2.0)
    assert by_inlet["B1"].tightest_run == "R1"
    assert by_inlet["B1"].slope_to_spare == pytest.approx(0.0, abs=1e-9)
    assert by_inlet["B2"].tightest_run == "R2"
    assert by_inlet["B2"].slope_to_spare == pytest.approx(0.02)


def test_a_downspout_that_no_inlet_takes_in_is_a_note() -> None:
    spout = Downspout(id="", point=(0, 0), roof_area_ft2=500)
    inlet = Structure(id="", kind="downspout inlet", point=(1, 0), downspout="downspout-1")
    assert "downspout_loose" in kinds(analyse(drawn(spout)))
    assert "downspout_loose" not in kinds(analyse(drawn(spout, inlet)))
