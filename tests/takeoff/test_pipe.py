"""Feet of pipe, lengths to buy, couplings and sock, worked on paper."""

import pytest
from msgspec.structs import replace

from drainsketch.job.model import Run
from drainsketch.job.sections import WasteRule
from drainsketch.takeoff.pipe import laid, lengths_to_cover
from tests.takeoff.small_jobs import all_lines, basin, fitting, flat, job_of, lines_of, outfall


def straight(**run):
    return job_of([basin("B", 0, 0), outfall("O", 60, 0)], [Run(id="R", start="B", end="O", **run)])


def test_plan_length_where_there_is_no_grade():
    line = lines_of(straight())["pipe_solid"]
    assert (line.quantity, line.unit, line.group) == (60.0, "ft", "pipe")
    assert line.arithmetic == "60.00 (R) = 60.00 ft"
    assert line.owners == ("R",)


def test_length_along_the_slope_where_there_is_a_grade():
    # A 3-4-5 triangle: 60 ft in plan, 45 ft of fall, 75 ft of pipe
    line = lines_of(straight(), flat(100), {"R": (95.0, 50.0)})["pipe_solid"]
    assert line.quantity == pytest.approx(75.0, rel=1e-12)


def test_length_round_bends():
    job = job_of([basin("B", 0, 0), outfall("O", 30, 40)], [Run(id="R", start="B", end="O", via=((30, 0),))])
    assert lines_of(job)["pipe_solid"].quantity == pytest.approx(70.0)


def test_kinds_diameters_and_uses_are_kept_apart():
    runs = [
        Run(id="R1", start="A", end="B", use="drain", pipe="corrugated", diameter_in=4),
        Run(id="R2", start="B", end="C", use="solid", pipe="corrugated", diameter_in=4),
        Run(id="R3", start="C", end="D", use="solid", pipe="sdr35", diameter_in=4),
        Run(id="R4", start="D", end="O", use="solid", pipe="sdr35", diameter_in=6),
    ]
    job = job_of([basin(n, 10 * i, 0) for i, n in enumerate("ABCD")] + [outfall("O", 40, 0)], runs)
    feet = [(x.item, dict(x.params), x.quantity) for x in all_lines(job) if x.rule == "pipe_length"]
    assert feet == [
        ("pipe_drain", {"pipe": "corrugated", "diameter_in": 4}, 10.0),
        ("pipe_solid", {"pipe": "corrugated", "diameter_in": 4}, 10.0),
        ("pipe_solid", {"pipe": "sdr35", "diameter_in": 4}, 10.0),
        ("pipe_solid", {"pipe": "sdr35", "diameter_in": 6}, 10.0),
    ]


def test_runs_that_reach_no_outfall_are_counted_too():
    job = job_of([basin("A", 0, 0), basin("B", 25, 0)], [Run(id="R", start="A", end="B")])
    assert lines_of(job)["pipe_solid"].quantity == 25.0


@pytest.mark.parametrize(
    ("length", "stock", "count"),
    [(0, 20, 0), (1, 20, 1), (20, 20, 1), (20.001, 20, 2), (62, 20, 4), (60 + 1e-12, 20, 3)],
)
def test_lengths_to_cover(length, stock, count):
    assert lengths_to_cover(length, stock) == count


@pytest.mark.parametrize(("length", "stock"), [(-1, 20), (float("nan"), 20), (float("inf"), 20), (5, 0)])
def test_lengths_that_are_none_are_refused(length, stock):
    with pytest.raises(ValueError, match="_ft must be"):
        lengths_to_cover(length, stock)


def test_bell_end_sticks_need_no_couplings():
    lines = lines_of(straight(pipe="sdr35"))
    assert lines["sticks_solid"].quantity == 5  # 60 x 1.05 / 14 = 4.5
    assert lines["sticks_solid"].rule == "stock_bell"
    assert "coupling" not in lines


def test_plain_ends_meet_in_couplings():
    lines = lines_of(straight(pipe="smooth-lined"))
    assert lines["sticks_solid"].quantity == 4  # 60 x 1.05 = 63, / 20 = 3.15
    assert lines["coupling"].quantity == 2  # 3 lengths are laid
    assert lines["sticks_solid"].arithmetic == "60.00 ft + 5% waste = 63.00 ft / 20 ft = 3.15, rounded up = 4"


def test_waste_of_the_job_goes_into_the_sticks():
    job = replace(straight(pipe="smooth-lined"), waste=(WasteRule("pipe", 0.0),))
    assert lines_of(job)["sticks_solid"].quantity == 3  # 60 / 20, none wasted
    job = replace(job, waste=(WasteRule("pipe", 50.0),))
    assert lines_of(job)["sticks_solid"].quantity == 5  # 90 / 20 = 4.5


@pytest.mark.parametrize(
    ("piece", "offcut", "stock", "joints", "first", "left"),
    [
        (60, 0, 20, 2, False, 0),
        (25, 6, 20, 1, True, 1),  # 6, then 19 of 20
        (5, 6, 20, 0, True, 1),  # all out of the offcut
        (46, 6, 20, 2, True, 0),  # 6, 20, 20
        (0, 6, 20, 0, False, 6),
    ],
)
def test_lengths_are_laid_one_after_the_other(piece, offcut, stock, joints, first, left):
    assert laid(piece, offcut, stock) == (joints, first, pytest.approx(left))


def test_a_bend_parts_the_run_and_saves_a_coupling():
    # 20 ft sticks, plain ends. 30 ft straight: 20 + 10, one coupling. With a bend after 20 ft: 20 | 10, none.
    bent = job_of(
        [basin("B", 0, 0), outfall("O", 20, 10)],
        [Run(id="R", start="B", end="O", via=((20, 0),), pipe="smooth-lined")],
    )
    assert "coupling" not in lines_of(bent)
    whole = job_of([basin("B", 0, 0), outfall("O", 30, 0)], [Run(id="R", start="B", end="O", pipe="smooth-lined")])
    assert lines_of(whole)["coupling"].quantity == 1


def test_an_offcut_without_a_bell_takes_a_coupling_where_it_goes_on():
    # 14 ft bell-end sticks. 20 ft: 14 + 6, joined by the bell; 8 ft are left. The next 20 ft begin with them: 8, coupling, 12 of 14.
    job = job_of(
        [basin("A", 0, 0), basin("B", 20, 0), outfall("O", 40, 0)],
        [Run(id="R1", start="A", end="B"), Run(id="R2", start="B", end="O")],
    )
    line = lines_of(job)["coupling"]
    assert (line.quantity, line.owners) == (1, ("R2",))


@pytest.mark.parametrize(
    ("ends", "turn", "count"),
    [
        ({"use": "drain"}, 0, 1),  # perforated to solid coil of one kind
        ({"use": "solid"}, 0, 1),
        ({"use": "solid"}, 45, 1),  # swept round the turn: no bend
        ({"use": "solid", "pipe": "sdr35"}, 0, 0),  # an adapter
        ({"use": "solid", "diameter_in": 6}, 0, 0),  # a reducer
    ],
)
def test_plain_ends_that_meet_at_a_fitting_take_a_coupling(ends, turn, count):
    end = outfall("O", 80, 40 if turn else 0)
    first = Run(id="R1", start="B", end="F", **{"pipe": "corrugated"} | ends)
    job = job_of(
        [basin("B", 0, 0), fitting("F", 40, 0), end], [first, Run(id="R2", start="F", end="O", pipe="corrugated")]
    )
    assert sum(line.quantity for line in all_lines(job) if line.item == "coupling") == count


def test_a_wye_a_bend_or_the_set_of_a_cleanout_joins_pipe_without_a_coupling():
    def counted(middle, *more):
        ends = [basin("B", 0, 0), middle, outfall("O", 30, 15), *more]
        runs = [
            Run(id="R1", start="B", end="F", pipe="smooth-lined"),
            Run(id="R2", start="F", end="O", pipe="smooth-lined"),
        ]
        runs += [Run(id="R3", start="C", end="F", pipe="smooth-lined")] if more else []
        return sum(line.quantity for line in all_lines(job_of(ends, runs)) if line.item == "coupling")

    assert counted(fitting("F", 15, 15)) == 1  # 21.21 ft from B: one between two lengths; a bend of 45 degrees at F
    # straight on, twice 16.77 ft: 16.77 of 20, then the 3.23 that are left and 13.54 more, one; and one at F
    assert counted(fitting("F", 15, 7.5)) == 2
    assert counted(replace(fitting("F", 15, 7.5), kind="cleanout")) == 1
    assert counted(fitting("F", 15, 7.5), basin("C", 15, 20)) == 2  # 12.5 ft more: 6.46 and 6.04, one; none at the wye


def test_couplings_do_not_depend_on_the_order_or_direction_of_runs():
    # 20 ft sticks. Longest first: 33: 20 + 13, one, 7 left. 25: 7 + 18, one, 2 left. 12: 2 + 10, one. Three, whatever is drawn first.
    ends = [basin("A", 0, 0), basin("B", 12, 0), basin("C", 45, 0), outfall("O", 70, 0)]
    runs = [
        Run(id=n, start=a, end=b, pipe="smooth-lined")
        for n, a, b in (("R1", "A", "B"), ("R2", "B", "C"), ("R3", "C", "O"))
    ]
    for some in (runs, runs[::-1], [runs[1], runs[0], runs[2]]):
        assert lines_of(job_of(ends, list(some)))["coupling"].quantity == 3


def test_a_coil_longer_than_the_run_needs_no_coupling():
    lines = lines_of(straight(pipe="corrugated", use="drain"))
    assert lines["coils_drain"].quantity == 1
    assert "coupling" not in lines


def test_sticks_are_bought_for_all_runs_together():
    # Two runs of 15 ft: 30 ft / 20 ft = 1.5, so two sticks, not four
    job = job_of(
        [fitting("F", 0, 0), basin("B", 15, 0), outfall("O", 30, 0)],
        [Run(id=n, start=a, end=b, pipe="smooth-lined") for n, a, b in (("R1", "F", "B"), ("R2", "B", "O"))],
    )
    assert lines_of(job)["sticks_solid"].quantity == 2


def test_sock_is_counted_where_it_is_worn():
    line = lines_of(straight(use="drain", pipe="corrugated", sock=True))["sock"]
    assert (line.quantity, line.unit) == (60.0, "ft")
    assert "sock" not in lines_of(straight(use="drain", pipe="corrugated"))
