"""Fittings by worked geometry: where pipes turn and meet."""

from math import cos, radians, sin

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Run
from drainsketch.takeoff.joints import joint_of
from tests.takeoff.small_jobs import all_lines, basin, fitting, job_of, laid_out, lines_of, outfall


def at(angle_deg: float, far: float = 30.0) -> tuple[float, float]:
    """A point at a plan direction from the joint at 0, 0."""
    return far * cos(radians(angle_deg)), far * sin(radians(angle_deg))


def meeting(*arriving_from_deg: float, sizes=None, kinds=None, out_in=4, out_kind="sdr35"):
    """Pipes from basins at the given directions that meet at F and go out to the east."""
    sizes, kinds = sizes or [4] * len(arriving_from_deg), kinds or ["sdr35"] * len(arriving_from_deg)
    structures = [fitting("F", 0, 0), outfall("O", 30, 0)]
    runs = [Run(id="R0", start="F", end="O", diameter_in=out_in, pipe=out_kind)]
    for i, angle in enumerate(arriving_from_deg):
        structures.append(basin(f"B{i}", *at(angle)))
        runs.append(Run(id=f"R{i + 1}", start=f"B{i}", end="F", diameter_in=sizes[i], pipe=kinds[i]))
    return job_of(structures, runs)


def fittings(job) -> dict[tuple[str, tuple[object, ...]], float]:
    """Fittings by what they are; couplings hang on lengths and have tests of their own."""
    lines = [x for x in all_lines(job) if x.group == "fittings" and x.item != "coupling"]
    return {(x.item, tuple(v for _, v in x.params)): x.quantity for x in lines}


def test_straight_pipe_needs_no_fitting():
    assert fittings(meeting(180)) == {}


@pytest.mark.parametrize(("side", "angle"), [(135, 45.0), (225, 45.0), (90, 90.0), (157.5, 22.5)])
def test_two_pipes_that_turn(side, angle):
    assert fittings(meeting(side)) == {("bend", ("sdr35", 4, angle)): 1}


def test_a_turn_of_more_than_one_bend():
    # Arrives heading southeast of south: 112.5 degrees to turn, a 90 and a 22.5
    assert fittings(meeting(67.5)) == {("bend", ("sdr35", 4, 90.0)): 1, ("bend", ("sdr35", 4, 22.5)): 1}


def test_bends_within_a_run():
    job = job_of(
        [basin("B", 0, 0), outfall("O", 30, 10)],
        [Run(id="R", start="B", end="O", via=((10, 0), (20, 10)))],
    )
    line = lines_of(job)["bend"]
    assert (line.quantity, dict(line.params)["angle_deg"]) == (2, 45.0)
    assert line.arithmetic == "1 (R bend 1 turns 45°) + 1 (R bend 2 turns 45°) = 2"


def test_a_point_drawn_twice_does_not_hide_the_turn():
    job = job_of(
        [basin("B", 0, 0), outfall("O", 10, 10)],
        [Run(id="R", start="B", end="O", via=((10, 0), (10, 0)))],
    )
    assert fittings(job) == {("bend", ("sdr35", 4, 90.0)): 1}


@pytest.mark.parametrize("side", [135, 90, 250])
def test_a_coil_is_swept_where_there_is_room_for_its_radius(side):
    # 30 ft of straight pipe on both sides, and at the most 3 ft x tan 45 = 3 ft of it are needed
    assert fittings(meeting(side, kinds=["corrugated"], out_kind="corrugated")) == {}


def test_a_coil_is_bent_where_it_turns_back_sharper_than_square():
    # Arrives heading southeast of south: 112.5 degrees to turn
    found = fittings(meeting(67.5, kinds=["corrugated"], out_kind="corrugated"))
    assert found == {("bend", ("corrugated", 4, 90.0)): 1, ("bend", ("corrugated", 4, 22.5)): 1}


def coil(*via, end=(60.0, 0.0)):
    job = job_of([basin("B", 0, 0), outfall("O", *end)], [Run(id="R", start="B", end="O", via=via, pipe="corrugated")])
    return fittings(job)


def test_each_foot_of_straight_pipe_serves_one_sweep():
    # 4 in, radius 3 ft: a square turn needs 3 ft before and 3 ft after it. Two of them 6 ft apart just go; 5.9 ft apart the second is a bend.
    assert coil((10, 0), (10, 6), end=(60, 6)) == {}
    assert coil((10, 0), (10, 5.9), end=(60, 5.9)) == {("bend", ("corrugated", 4, 90.0)): 1}


def test_a_leg_that_is_too_short_takes_a_bend():
    # 45 degrees need 3 x tan 22.5 = 1.243 ft on each side
    assert coil((1.25, 0), end=(20, 18.75)) == {}
    assert coil((1.24, 0), end=(20, 18.76)) == {("bend", ("corrugated", 4, 45.0)): 1}


def test_a_curve_that_has_to_lie_on_one_side_needs_twice_the_tangent_there():
    # A coil that turns square into rigid pipe: 2 x 3 ft of straight coil; the basin stands 30 ft away, or 5.9
    kinds = {"kinds": ["corrugated"], "out_kind": "sdr35"}
    assert ("bend", ("corrugated", 4, 90.0)) not in fittings(meeting(90, **kinds))
    near = job_of(
        [fitting("F", 0, 0), outfall("O", 30, 0), basin("B", 0, 5.9)],
        [Run(id="R0", start="F", end="O"), Run(id="R1", start="B", end="F", pipe="corrugated")],
    )
    assert fittings(near)[("bend", ("corrugated", 4, 90.0))] == 1


def test_a_branch_square_to_perforated_pipe_is_a_tee():
    job = meeting(180, 90)
    drains = tuple(replace(r, use="drain", pipe="smooth-lined") for r in job.runs)
    assert fittings(replace(job, runs=drains)) == {("tee", ("smooth-lined", 4, 4)): 1}
    # 96 degrees is the last that joints take up
    for angle, item in ((84.5, "tee"), (83.0, "wye")):
        job = meeting(180, angle)
        job = replace(job, runs=tuple(replace(r, use="drain", pipe="smooth-lined") for r in job.runs))
        assert (item, ("smooth-lined", 4, 4)) in fittings(job)


def test_branch_at_45_degrees_is_a_plain_wye():
    assert fittings(meeting(180, 135)) == {("wye", ("sdr35", 4, 4)): 1}


def test_square_branch_is_a_wye_and_a_45():
    assert fittings(meeting(180, 90)) == {("wye", ("sdr35", 4, 4)): 1, ("bend", ("sdr35", 4, 45.0)): 1}


def test_shallow_branch_is_turned_in_to_meet_its_wye():
    # Comes in at 22.5 degrees where the wye wants 45: a 22.5 bend the other way
    assert fittings(meeting(180, 157.5)) == {("wye", ("sdr35", 4, 4)): 1, ("bend", ("sdr35", 4, 22.5)): 1}


def test_branch_against_the_flow_is_a_wye_and_a_90():
    assert fittings(meeting(180, 45)) == {("wye", ("sdr35", 4, 4)): 1, ("bend", ("sdr35", 4, 90.0)): 1}


def test_main_line_that_turns_at_a_branch_keeps_its_bend():
    # Main turns 22.5, branch square to the outgoing pipe: wye, 22.5 on the main, 45 on the branch
    assert fittings(meeting(157.5, 270)) == {
        ("wye", ("sdr35", 4, 4)): 1,
        ("bend", ("sdr35", 4, 22.5)): 1,
        ("bend", ("sdr35", 4, 45.0)): 1,
    }


def test_four_pipes_meet_in_two_wyes():
    assert fittings(meeting(180, 90, 270)) == {("wye", ("sdr35", 4, 4)): 2, ("bend", ("sdr35", 4, 45.0)): 2}


def test_five_pipes_meet_in_three_wyes():
    assert fittings(meeting(180, 135, 225, 90))[("wye", ("sdr35", 4, 4))] == 3


def test_diameter_that_grows_takes_a_reducer():
    assert fittings(meeting(180, out_in=6)) == {("reducer", ("sdr35", 6, 4)): 1}


def test_narrow_branch_takes_a_reducing_wye_and_no_reducer():
    assert fittings(meeting(180, 135, sizes=[6, 4], out_in=6)) == {("wye", ("sdr35", 6, 4)): 1}


def test_narrow_pipes_into_a_wide_one():
    assert fittings(meeting(180, 135, sizes=[4, 4], out_in=6)) == {
        ("wye", ("sdr35", 6, 4)): 1,
        ("reducer", ("sdr35", 6, 4)): 1,
    }


def test_kind_that_changes_takes_an_adapter():
    assert fittings(meeting(180, kinds=["corrugated"])) == {("adapter", ("corrugated", "sdr35", 4)): 1}


def test_single_pipe_at_a_fitting_is_capped():
    job = job_of(
        [fitting("F", 0, 0), outfall("O", 30, 0)], [Run(id="R", start="F", end="O", use="drain", pipe="sdr35")]
    )
    assert fittings(job) == {("end_cap", ("sdr35", 4)): 1}


def test_basins_take_each_pipe_by_itself():
    job = job_of(
        [basin("A", 0, 20), basin("B", 0, 0), outfall("O", 30, 0)],
        [Run(id="R1", start="A", end="B", diameter_in=4), Run(id="R2", start="B", end="O", diameter_in=6)],
    )
    assert fittings(job) == {}
    openings = {dict(x.params)["diameter_in"]: x.quantity for x in all_lines(job) if x.item == "basin_opening"}
    assert openings == {4: 2, 6: 1}


def test_which_way_a_run_is_drawn_makes_no_difference():
    job = meeting(180, 90)
    turned = [Run(id=r.id, start=r.end, end=r.start) for r in job.runs]
    assert fittings(job_of(list(job.structures), turned)) == fittings(job)


def test_the_whole_joint_may_be_turned_round():
    for by in (17.0, 133.3, 301.0):
        structures = [fitting("F", 0, 0), outfall("O", *at(by)), basin("B0", *at(180 + by)), basin("B1", *at(90 + by))]
        runs = [Run(id="R0", start="F", end="O"), Run(id="R1", start="B0", end="F"), Run(id="R2", start="B1", end="F")]
        assert fittings(job_of(structures, runs)) == fittings(meeting(180, 90))


def test_pipe_of_no_length_is_no_trouble():
    job = job_of(
        [fitting("F", 0, 0), basin("B", 0, 0), outfall("O", 30, 0)],
        [Run(id="R0", start="F", end="O"), Run(id="R1", start="B", end="F")],
    )
    assert fittings(job) == {}


def test_straightest_pipe_runs_through():
    ends = laid_out(meeting(100, 170, 250)).ends["F"]
    joint = joint_of(ends)
    assert joint.out.work.run.id == "R0"
    assert joint.through.end.work.run.id == "R2"
    assert joint.through.turn == pytest.approx(10)
    assert [a.end.work.run.id for a in joint.branches] == ["R3", "R1"]


def test_a_joint_needs_two_pipes():
    with pytest.raises(ValueError, match="two"):
        joint_of(laid_out(meeting(180)).ends["B0"])
