"""The hydraulic grade line through a whole network, against steps worked by hand."""

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.network.results import FlowRun, Network
from drainsketch.water.circular import critical_depth_ft, normal_depth_ft
from drainsketch.water.grates import mouth_head_ft
from drainsketch.water.heads import grade_lines
from drainsketch.water.losses import velocity_head_ft
from tests.water.wet_yards import grade, levels, pipe_flow
from tests.yards import basin, drawn, fitting, outfall, run

N = 0.012


def bent(tailwater_ft: float | None, junction=fitting) -> tuple[Job, Network]:
    """50 ft of 4 in pipe from a basin, a turn of 90 degrees, 100 ft of 6 in pipe to the outfall."""
    job = drawn(
        basin(100, 50), junction(100, 0), outfall(0, 0, tailwater_ft=tailwater_ft), run("B1", "F1"), run("F1", "O1"),
        job=Job(),
    )  # fmt: skip
    return job, bent_network("F1")


def bent_network(middle: str) -> Network:
    return Network(
        (
            FlowRun("R1", "B1", middle, ((100.0, 50.0), (100.0, 0.0)), 50.0, True),
            FlowRun("R2", middle, "O1", ((100.0, 0.0), (0.0, 0.0)), 100.0, True),
        ),
        ("B1",),
        ("O1",),
        (),
    )


LAID = {"R1": grade("R1", 50.0, 0.01, 98.0), "R2": grade("R2", 100.0, 0.01, 97.0)}
FLOWS = {"R1": pipe_flow("R1", 0.25, 4.0, N), "R2": pipe_flow("R2", 0.75, 6.0, N)}


def test_two_pipes_and_a_junction_by_hand():
    # Worked by hand by the rules of TxDOT Hydraulic Design Manual ch. 6 sec. 3, losses of HEC-22 Table 7-5a (from memory):
    # water outside 99.00. R2: V 3.820, head 0.2266, friction 0.01522 x 100 = 1.522: HGL 100.522, EGL 100.749 at its upper end;
    # junction at 90 degrees k 1.00: EGL 100.975. R1: V 2.865, head 0.1274, friction 0.01470 x 50 = 0.735: HGL 100.848 to
    # 101.583, EGL 101.711; inlet at the top k 0.50: 101.774.
    job, network = bent(99.0)
    lines, heads = grade_lines(job, network, LAID, levels({"B1": 102.0, "F1": 101.5, "O1": 98.0}), FLOWS)
    assert lines["R2"].hgl_ft[0] == 99.0
    assert (lines["R2"].hgl_ft[-1], lines["R2"].egl_ft[-1]) == pytest.approx((100.522, 100.749), abs=6e-4)
    assert (heads["F1"].level_ft, heads["F1"].k) == (pytest.approx(100.975, abs=6e-4), 1.0)
    assert (lines["R1"].hgl_ft[0], lines["R1"].hgl_ft[-1]) == pytest.approx((100.848, 101.583), abs=6e-4)
    assert lines["R1"].egl_ft[-1] == pytest.approx(101.711, abs=6e-4)
    assert (heads["B1"].level_ft, heads["B1"].k) == (pytest.approx(101.774, abs=6e-4), 0.5)
    assert heads["B1"].freeboard_ft == pytest.approx(102.0 - 101.774, abs=6e-4)
    assert "O1" not in heads


def test_a_basin_in_the_line_stills_the_water_that_comes_in():
    # as above, but a box with a grate at the turn: k 1.50: 100.749 + 0.340 = 101.089, and the pipe above loses all its velocity
    # there (HEC-22 eq. 7-3, into still water; from memory): its HGL starts at 101.089
    job = drawn(basin(100, 50), basin(100, 0), outfall(0, 0, tailwater_ft=99.0), run("B1", "B2"), run("B2", "O1"))
    lines, heads = grade_lines(job, bent_network("B2"), LAID, levels({"B1": 102.0, "B2": 101.5}), FLOWS)
    assert heads["B2"].level_ft == pytest.approx(101.089, abs=1e-3)
    assert lines["R1"].hgl_ft[0] == heads["B2"].level_ft
    assert heads["B1"].level_ft == pytest.approx(101.089 + 0.735 + 1.5 * 0.1274, abs=2e-3)


def test_a_free_outlet_is_the_invert_and_tailwater_below_it_makes_no_difference():
    found = []
    for tailwater in (None, 90.0, 97.0):
        job, network = bent(tailwater)
        found.append(grade_lines(job, network, LAID, levels({"B1": 102.0, "F1": 101.5}), FLOWS))
    assert found[0] == found[1] == found[2]
    lines, _ = found[0]
    assert lines["R2"].hgl_ft[0] >= 97.0 + critical_depth_ft(0.75, 0.5) - 1e-9


def test_steep_pipe_that_runs_part_full_stands_at_its_steady_depth_and_the_mouth_governs():
    # 6 in at 5 %, 0.3 cfs: steady flow 0.16 of 0.56 full, free at both ends
    job = drawn(basin(100, 0), outfall(0, 0), run("B1", "O1"))
    network = Network((FlowRun("R1", "B1", "O1", ((100.0, 0.0), (0.0, 0.0)), 100.0, True),), ("B1",), ("O1",), ())
    laid = {"R1": grade("R1", 100.0, 0.05, 90.0)}
    lines, heads = grade_lines(job, network, laid, levels({"B1": 98.0}), {"R1": pipe_flow("R1", 0.3, 6.0, 0.010)})
    assert lines["R1"].hgl_at(0.0) == pytest.approx(90.0 + normal_depth_ft(0.3, 0.5, 0.05, 0.010), abs=0.002)
    deep = critical_depth_ft(0.3, 0.5)
    # what it takes to get in: critical depth, its velocity head and half of it lost (k 0.5, HDS-5 Table 12)
    assert heads["B1"].level_ft == pytest.approx(95.0 + mouth_head_ft(0.3, 0.5), abs=0.002)
    assert heads["B1"].level_ft > 95.0 + deep


def test_a_pop_up_lets_nothing_out_below_its_lid():
    job, network = bent(None)
    popping = replace(job, structures=(*job.structures[:-1], replace(job.structures[-1], outfall="pop-up")))
    for tailwater, level in ((None, 99.0), (98.0, 99.0), (99.5, 99.5)):
        out = replace(popping.structures[-1], tailwater_ft=tailwater)
        at = levels({"B1": 102.0, "F1": 101.5, "O1": 99.0})
        lines, _ = grade_lines(replace(popping, structures=(*job.structures[:-1], out)), network, LAID, at, FLOWS)
        assert lines["R2"].hgl_ft[0] == level


def test_water_stands_in_a_branch_through_which_none_flows():
    # R1 carries nothing: nothing turns at F1 (k 0.15), and its level reaches over the invert at B1, 98.50
    job, network = bent(99.0)
    lines, heads = grade_lines(job, network, LAID, levels({"B1": 98.8, "F1": 101.5}), {"R2": FLOWS["R2"]})
    assert heads["B1"].level_ft == heads["F1"].level_ft == pytest.approx(100.749 + 0.15 * 0.2266, abs=1e-3)
    assert set(lines["R1"].hgl_ft) == {heads["F1"].level_ft}
    assert heads["B1"].freeboard_ft < 0  # it comes out of a grate that no rain was reckoned for
    job, network = bent(None)
    lines, heads = grade_lines(job, network, LAID, levels({"B1": 98.8, "F1": 101.5}), {})
    assert (lines, heads) == ({}, {})


@pytest.mark.parametrize("via", [(), ((100.0, 0.0),), ((100.0, 0.0), (100.0, 0.0))])
def test_a_bend_set_on_the_structure_is_no_turn(via):
    job, network = bent(99.0)
    r1, r2 = network.runs
    network = replace(
        network,
        runs=(
            replace(r1, points=(r1.points[0], *via, r1.points[-1])),
            replace(r2, points=(r2.points[0], *via, r2.points[-1])),
        ),
    )
    _, heads = grade_lines(job, network, LAID, levels({"B1": 102.0, "F1": 101.5}), FLOWS)
    assert heads["F1"].k == pytest.approx(1.0)


def test_the_greatest_turn_counts_whichever_side_it_is_on():
    # straight through at B2 and 45 degrees from the north
    job = drawn(
        basin(200, 0), basin(100, 0), basin(150, 50), outfall(0, 0), run("B1", "B2"), run("B3", "B2"), run("B2", "O1")
    )
    network = Network(
        (
            FlowRun("R1", "B1", "B2", ((200.0, 0.0), (100.0, 0.0)), 100.0, True),
            FlowRun("R2", "B3", "B2", ((150.0, 50.0), (100.0, 0.0)), 50 * sqrt(2), True),
            FlowRun("R3", "B2", "O1", ((100.0, 0.0), (0.0, 0.0)), 100.0, True),
        ),
        ("B1", "B2", "B3"),
        ("O1",),
        (),
    )
    laid = {"R1": grade("R1", 100, 0.01, 98), "R2": grade("R2", 70.7, 0.01, 98), "R3": grade("R3", 100, 0.01, 97)}
    flows = {name: pipe_flow(name, 0.1, 4.0, N) for name in laid}
    at = levels({"B1": 102.0, "B2": 102.0, "B3": 102.0})
    _, heads = grade_lines(job, network, laid, at, flows)
    assert heads["B2"].k == pytest.approx(1.10)
    _, heads = grade_lines(job, network, laid, at, {name: flows[name] for name in ("R1", "R3")})
    assert heads["B2"].k == 0.5  # nothing comes from the north: straight through


def test_nothing_is_said_above_a_run_that_has_no_grade():
    job, network = bent(None)
    lines, heads = grade_lines(job, network, {"R1": LAID["R1"]}, levels({"B1": 102.0, "F1": 101.5}), FLOWS)
    assert lines == {} and heads == {}
    lines, heads = grade_lines(job, network, {"R2": LAID["R2"]}, levels({"B1": 102.0, "F1": 101.5}), FLOWS)
    assert set(lines) == {"R2"} and set(heads) == {"F1"}


def test_pipe_above_the_water_of_a_junction_runs_out_freely():
    job, network = bent(None)
    high = LAID | {"R1": grade("R1", 50.0, 0.01, 100.5)}
    little = {"R1": pipe_flow("R1", 0.05, 4.0, N), "R2": pipe_flow("R2", 0.10, 6.0, N)}
    lines, _ = grade_lines(job, network, high, levels({"B1": 104.0, "F1": 103.0}), little)
    deep = normal_depth_ft(0.05, 1 / 3, 0.01, N)
    assert deep is not None
    assert lines["R1"].hgl_ft[0] == pytest.approx(100.5 + min(deep, critical_depth_ft(0.05, 1 / 3)), abs=0.002)


def test_energy_goes_on_through_a_junction_where_pipe_is_part_full():
    # both pipes part full, held up by the outlet: what stands at the lower end of R1 has the energy of the junction
    job, network = bent(98.6)
    little = {"R1": pipe_flow("R1", 0.05, 4.0, N), "R2": pipe_flow("R2", 0.10, 6.0, N)}
    low = {"R1": grade("R1", 50.0, 0.001, 98.4), "R2": grade("R2", 100.0, 0.001, 98.2)}
    lines, heads = grade_lines(job, network, low, levels({"B1": 104.0, "F1": 103.0}), little)
    assert lines["R1"].hgl_ft[0] - 98.4 < 1 / 3  # not full
    assert lines["R1"].egl_ft[0] == pytest.approx(heads["F1"].level_ft, abs=1e-5)


@given(
    st.tuples(st.floats(0.001, 0.6), st.floats(0.001, 1.5)),
    st.floats(1.0, 3.0),
    st.floats(96.0, 101.0),
    st.floats(0.0, 2.0),
    st.sampled_from([fitting, basin]),
)
def test_more_flow_and_a_higher_outlet_never_show_lower_water_in_a_structure(q, by, tailwater, rise, junction):
    middle = "F1" if junction is fitting else "B2"
    job = drawn(
        basin(100, 50), junction(100, 0), outfall(0, 0, tailwater_ft=tailwater), run("B1", middle), run(middle, "O1")
    )
    network, at = bent_network(middle), levels({"B1": 102.0, middle: 101.5})

    def heads(job: Job, times: float) -> list[float]:
        flows = {"R1": pipe_flow("R1", q[0] * times, 4.0, N), "R2": pipe_flow("R2", (q[0] + q[1]) * times, 6.0, N)}
        found = grade_lines(job, network, LAID, at, flows)[1]
        return [found["B1"].level_ft, found[middle].level_ft]

    higher = replace(job, structures=(*job.structures[:-1], replace(job.structures[-1], tailwater_ft=tailwater + rise)))
    for less, more in ((heads(job, 1.0), heads(job, by)), (heads(job, 1.0), heads(higher, 1.0))):
        assert all(b >= a - 1 / 16 / 12 for a, b in zip(less, more, strict=True))


def test_velocity_heads_of_the_example():
    assert velocity_head_ft(0.75 / (pi / 4 * 0.25)) == pytest.approx(0.2266, abs=6e-5)
    assert velocity_head_ft(0.25 / (pi / 36)) == pytest.approx(0.1274, abs=6e-5)
