"""Water that comes together down a storm sewer: a published design of nine lines, and a small network worked by hand.

The published one has pipe of 12 to 42 in, more than a yard's; it goes line by line through the same steps as a job: ``peak_of`` for
the flow, Manning's formula for depth and velocity, length over velocity for the time to the next junction.
"""

import pytest

from drainsketch.job.model import Job
from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.network.results import FlowRun, Grade, Network
from drainsketch.water.circular import full_flow_cfs, normal_depth_ft, velocity_ft_s
from drainsketch.water.concentration import Concentration
from drainsketch.water.constants import CFS_PER_ACRE_IN_H, FT2_PER_ACRE
from drainsketch.water.flows import Drop, peak_of, pipe_flows
from drainsketch.water.rain import Amount, intensity_in_h
from drainsketch.water.results import Arrival
from tests.yards import basin, drawn, outfall, run

# Ponce, Engineering Hydrology, Table 4-2 (after ASCE/WPCF Manual 37). Printed: line, length in ft, area so far in acres, time in and
# in the pipe in min, C of all so far, rain in in/h, flow in cfs, slope in %, diameter in in, full flow, velocity at the flow, depth in in.
TABLE = (
    ("1-6", "1-5", 400, 2.64, 20.0, 1.4, 0.30, 3.7, 2.93, 0.85, 12, 3.3, 4.6, 9),
    ("1-5", "1-4", 400, 6.25, 21.4, 1.2, 0.30, 3.6, 6.75, 0.75, 18, 9.2, 5.6, 11),
    ("1-4", "1-3", 400, 10.13, 22.6, 1.2, 0.42, 3.4, 14.50, 0.45, 24, 15.2, 5.6, 18),
    ("3-2", "3-1", 400, 5.55, 20.0, 1.1, 0.30, 3.7, 6.16, 1.00, 15, 6.4, 5.9, 12),
    ("3-1", "1-3", 400, 11.98, 21.1, 1.1, 0.30, 3.6, 12.92, 0.60, 24, 17.5, 6.1, 15),
    ("1-3", "1-2", 400, 26.03, 23.8, 1.1, 0.39, 3.3, 33.60, 0.30, 36, 37.0, 5.9, 26),
    ("2-1", "1-2", 400, 2.52, 20.0, 1.4, 0.30, 3.7, 2.80, 0.90, 12, 3.2, 4.7, 9),
    ("1-2", "1-1", 400, 32.41, 24.9, 1.1, 0.41, 3.2, 42.50, 0.24, 42, 50.0, 5.9, 29),
    ("1-1", "out", 125, 37.85, 26.0, None, 0.44, 3.2, 53.20, 0.30, 42, 56.0, 6.6, 33),
)
OWN_ACRES = {
    "1-6": 2.64,
    "1-5": 3.61,
    "1-4": 3.88,
    "3-2": 5.55,
    "3-1": 6.43,
    "1-3": 3.92,
    "2-1": 2.52,
    "1-2": 3.86,
    "1-1": 5.44,
}
INLET_MIN = 20.0  # printed at the head of every line; taken for the inlets between as well
N = 0.013  # not printed; the printed full flows follow from it within 6 %, as read from a chart
# the rain of the print, as its own pairs of time and intensity: rounded to 0.1 in/h, which is 1.5 %
ITS_RAIN = ((20.0, 3.7), (21.1, 3.6), (21.4, 3.6), (22.6, 3.4), (23.8, 3.3), (24.9, 3.2), (26.0, 3.2))


def rain_of(pairs) -> Rain:
    rows = tuple(RainRow(duration_min=minutes, values=(value,)) for minutes, value in pairs)
    return Rain(table=RainTable(measure="intensity", return_periods_yr=(5.0,), rows=rows), return_period_yr=5.0)


def the_sewer():
    """Yield each printed line with the peak, full flow, velocity, depth and time in pipe that come out of it.

    Taken from the print: lengths, slopes, diameters, own areas, C of all so far, rain by time. Own C A of an inlet is what the
    printed C times area so far has more than comes in. Computed: flows, depths, velocities and times.
    """
    job = Job(rain=rain_of(ITS_RAIN))
    at: dict[str, list[Drop]] = {}
    for line in TABLE:
        above, below, length, acres, _, _, c, _, _, percent, inches, *_ = line
        drops = at.get(above, [])
        own = c * acres * FT2_PER_ACRE - sum(d.ca_ft2 for d in drops)
        drops = [*drops, Drop(above, OWN_ACRES[above] * FT2_PER_ACRE, own, INLET_MIN)]
        peak = peak_of(job, drops)
        depth = normal_depth_ft(peak.flow_cfs, inches / 12, percent / 100, N)
        full = full_flow_cfs(inches / 12, percent / 100, N)
        speed = velocity_ft_s(peak.flow_cfs, inches / 12, inches / 12 if depth is None else depth)
        minutes = length / speed / 60
        at.setdefault(below, []).extend(Drop(d.inlet, d.area_ft2, d.ca_ft2, d.minutes + minutes) for d in drops)
        yield line, sum(d.area_ft2 for d in drops), peak, full, speed, depth, minutes


@pytest.mark.parametrize("found", list(the_sewer()), ids=lambda found: f"{found[0][0]} to {found[0][1]}")
def test_an_accumulating_storm_sewer_of_nine_lines(found):
    (
        (_, _, _, acres, time_in, in_pipe, _, i, q, _, _, q_full, v, deep),
        area_ft2,
        peak,
        full,
        speed,
        depth,
        minutes,
    ) = found
    assert area_ft2 / FT2_PER_ACRE == pytest.approx(acres, abs=0.011)  # areas are printed to 0.01 acre
    assert peak.part == ()  # everything together governs, as printed
    assert peak.minutes == pytest.approx(
        time_in, abs=0.1
    )  # printed to 0.1 min, along the way from velocities read from a chart
    assert peak.rain.value == pytest.approx(i, abs=0.05)
    # the unit factor of 1.008 is dropped in print
    assert peak.flow_cfs / CFS_PER_ACRE_IN_H == pytest.approx(q, rel=0.005)
    assert full == pytest.approx(q_full, rel=0.06)
    assert speed == pytest.approx(v, rel=0.04)
    assert depth is None or depth * 12 == pytest.approx(deep, abs=1.5)  # in, from a chart as well
    if in_pipe is not None:
        assert minutes == pytest.approx(in_pipe, abs=0.1)


# ---- a small network, in sizes of a yard

HAND_RAIN = ((5.0, 6.0), (20.0, 3.0))  # in/h; straight in logarithms: i = 6 (5 / t)^0.5, since 3/6 = (5/20)^0.5


def small() -> tuple[Job, Network, dict[str, Grade]]:
    """Three inlets: A and B come together at C, whose pipe leads to the outfall. All pipe 8 in, n 0.012, at 1 %."""
    job = drawn(
        basin(0, 100),
        basin(100, 200),
        basin(100, 100),
        outfall(250, 100),
        run("B1", "B3", pipe="smooth-lined", diameter_in=8),
        run("B2", "B3", pipe="smooth-lined", diameter_in=8),
        run("B3", "O1", pipe="smooth-lined", diameter_in=8),
        job=Job(rain=rain_of(HAND_RAIN)),
    )
    flows = (
        FlowRun("R1", "B1", "B3", ((0.0, 100.0), (100.0, 100.0)), 100.0, True),
        FlowRun("R2", "B2", "B3", ((100.0, 200.0), (100.0, 100.0)), 100.0, True),
        FlowRun("R3", "B3", "O1", ((100.0, 100.0), (250.0, 100.0)), 150.0, True),
    )
    grades = {f.id: grade(f.id, f.length_ft, 0.01) for f in flows}
    return job, Network(flows, ("B1", "B2", "B3"), ("O1",), ()), grades


def grade(run_id: str, length_ft: float, slope: float, down_ft: float = 97.0) -> Grade:
    return Grade(run_id, length_ft, slope, down_ft + slope * length_ft, down_ft, 8.0, 9.1, 0.7, 0.3, 1, 0, 1, 1, 1, 0)


def arrival(name: str, area_ft2: float, c: float, minutes: float) -> Arrival:
    time: Concentration | None = None
    return Arrival(name, (), area_ft2, c, c, time, minutes, Amount(0.0), 0.0)


def test_three_inlets_by_hand():
    """Longest time at every junction, step by step.

    Q in cfs is 1.00833 C i A / 43,560; full flow of 8 in, n 0.012, 1 %: A 0.34907, R 0.16667, R^(2/3) 0.30285,
    Q = 1.486 / 0.012 x 0.34907 x 0.30285 x 0.1 = 1.3091, V = 3.7504.

    R1: B1, 12,000 ft2 at 0.50, 10 min: i = 6 (5/10)^0.5 = 4.2426; Q = 1.00833 x 0.5 x 4.2426 x 12,000 / 43,560 = 0.58924.
        Q/Qf = 0.45010: y/D 0.4703 (A/Af 0.46226, V/Vf 0.97371), V = 3.652; 100 ft take 27.4 s = 0.4564 min.
    R2: B2, 8,000 ft2 at 0.30, 15 min: i = 6 (5/15)^0.5 = 3.4641; Q = 1.00833 x 0.3 x 3.4641 x 8,000 / 43,560 = 0.19245.
        Q/Qf = 0.14701: y/D 0.2591 (A/Af 0.20558, V/Vf 0.71509), V = 2.682; 100 ft take 37.3 s = 0.6215 min.
    R3: B1 after 10.456 min, B2 after 15.621 min, B3 itself (2,000 ft2 at 0.40) after 5 min.
        all, 15.621 min: CA = 6,000 + 2,400 + 800 = 9,200; i = 6 (5/15.621)^0.5 = 3.3945; Q = 0.72290.
        B3 and B1, 10.456 min: CA = 6,800; i = 6 (5/10.456)^0.5 = 4.1491; Q = 0.65311. Less: all together governs.
    """
    job, network, grades = small()
    arrivals = {
        "B1": arrival("B1", 12_000, 0.5, 10.0),
        "B2": arrival("B2", 8_000, 0.3, 15.0),
        "B3": arrival("B3", 2_000, 0.4, 5.0),
    }
    found = pipe_flows(job, network, grades, arrivals)
    r1, r2, r3 = found["R1"], found["R2"], found["R3"]
    assert r1.full_cfs == pytest.approx(1.3091, abs=2e-4)
    assert (r1.minutes, r1.rain.value, r1.flow_cfs) == pytest.approx((10.0, 4.2426, 0.58924), abs=1e-4)
    assert (r1.depth_ft * 12 / 8, r1.velocity_ft_s) == pytest.approx((0.4703, 3.652), abs=2e-3)
    assert (r2.minutes, r2.rain.value, r2.flow_cfs) == pytest.approx((15.0, 3.4641, 0.19245), abs=1e-4)
    assert (r2.depth_ft * 12 / 8, r2.velocity_ft_s) == pytest.approx((0.2591, 2.682), abs=2e-3)
    assert (r3.area_ft2, r3.ca_ft2) == pytest.approx((22_000, 9_200))
    assert (r3.minutes, r3.rain.value, r3.flow_cfs) == pytest.approx((15.621, 3.3945, 0.72290), abs=1e-3)
    assert r3.part == ()


def test_three_inlets_by_hand_where_the_near_ones_give_more_alone():
    """As above, but B2 is 3,000 ft2 of lawn at 0.10 and its water takes 40 min.

    R2: beyond the table's 20 min its i of 3.0 is held: Q = 1.00833 x 0.1 x 3.0 x 3,000 / 43,560 = 0.020833.
    R3: all: CA = 6,000 + 300 + 800 = 7,100; i = 3.0: Q = 0.49305.
        B3 and B1 by 10.456 min: CA = 6,800, i = 4.1491: Q = 0.65311. More: the storm that suits them counts.
        B3 alone, 5 min: CA = 800; i = 6.0: Q = 0.11111.
    """
    job, network, grades = small()
    arrivals = {
        "B1": arrival("B1", 12_000, 0.5, 10.0),
        "B2": arrival("B2", 3_000, 0.1, 40.0),
        "B3": arrival("B3", 2_000, 0.4, 5.0),
    }
    found = pipe_flows(job, network, grades, arrivals)
    assert found["R2"].flow_cfs == pytest.approx(0.020833, abs=2e-6)
    assert found["R2"].rain.beyond == "longer"
    r3 = found["R3"]
    assert (r3.minutes, r3.flow_cfs) == pytest.approx((10.456, 0.65311), abs=1e-3)
    assert set(r3.part) == {"B1", "B3"}
    assert r3.ca_ft2 == pytest.approx(7_100)  # all that drains to it is still told


def test_the_rain_of_the_hand_example_is_its_closed_form():
    rain = rain_of(HAND_RAIN)
    for minutes in (5.0, 7.0, 10.0, 20.0):
        assert intensity_in_h(rain, minutes).value == pytest.approx(6 * (5 / minutes) ** 0.5)
