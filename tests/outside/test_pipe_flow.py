"""Flow in round pipe against printed tables, and against general libraries: `fluids` for formulas, scipy for roots."""

import random
from math import pi, sqrt

import pytest
from fluids import V_Manning
from fluids.geometry import A_partial_circle, SA_partial_cylindrical_body
from scipy.optimize import brentq

from drainsketch.job.pipes import pipe_size
from drainsketch.resources import table
from drainsketch.water.circular import (
    critical_depth_ft,
    flow_cfs,
    friction_slope,
    full_flow_cfs,
    normal_depth_ft,
    section,
    slope_for_velocity,
    velocity_ft_s,
)
from drainsketch.water.roughness import roughness

GPM = 448.831  # in 1 ft3/s
FT_M = 0.3048


# Part-full flow in a circular pipe with the same n at all depths, each over full: depth, area, hydraulic radius, velocity, flow.
# The table of every handbook of sewer design (ASCE Manual 37 has it as a chart), recalculated apart from this program.
PART_FULL = (
    (0.10, 0.0520, 0.2541, 0.4012, 0.0209),
    (0.20, 0.1424, 0.4824, 0.6151, 0.0876),
    (0.25, 0.1955, 0.5865, 0.7007, 0.1370),
    (0.30, 0.2523, 0.6838, 0.7761, 0.1958),
    (0.40, 0.3735, 0.8569, 0.9022, 0.3370),
    (0.50, 0.5000, 1.0000, 1.0000, 0.5000),
    (0.60, 0.6265, 1.1106, 1.0724, 0.6718),
    (0.70, 0.7477, 1.1849, 1.1198, 0.8372),
    (0.75, 0.8045, 1.2067, 1.1335, 0.9119),
    (0.80, 0.8576, 1.2168, 1.1397, 0.9775),
    (0.90, 0.9480, 1.1921, 1.1243, 1.0658),
    (1.00, 1.0000, 1.0000, 1.0000, 1.0000),
)


@pytest.mark.parametrize(("depth", "area", "radius", "velocity", "flow"), PART_FULL)
def test_part_full_ratios_are_those_of_the_handbook_table(depth, area, radius, velocity, flow):
    d, slope, n = 0.5, 0.01, 0.012
    wet, full = section(d, depth * d), section(d, d)
    q, q_full = flow_cfs(d, depth * d, slope, n), full_flow_cfs(d, slope, n)
    assert wet.area_ft2 / full.area_ft2 == pytest.approx(area, abs=6e-5)
    assert wet.radius_ft / full.radius_ft == pytest.approx(radius, abs=6e-5)
    assert q / q_full == pytest.approx(flow, abs=6e-5)
    assert velocity_ft_s(q, d, depth * d) / velocity_ft_s(q_full, d, d) == pytest.approx(velocity, abs=6e-5)


def test_a_pipe_carries_most_short_of_full():
    # The same handbooks: greatest flow 1.076 of full at 0.938 of the diameter, full flow already at 0.82, greatest velocity 1.140.
    flows = {y / 10_000: flow_cfs(1.0, y / 10_000, 0.01, 0.013) for y in range(1, 10_001)}
    most = max(flows, key=flows.get)
    assert most == pytest.approx(0.938, abs=0.001)
    assert flows[most] / flows[1.0] == pytest.approx(1.076, abs=0.0005)
    assert normal_depth_ft(flows[1.0], 1.0, 0.01, 0.013) == pytest.approx(0.8196, abs=5e-5)
    assert max(q / section(1.0, y).area_ft2 for y, q in flows.items()) / (flows[1.0] / (pi / 4)) == pytest.approx(
        1.140, abs=0.0005
    )


# IPC 2018 Table 1106.2, horizontal storm drain flowing full, gpm at 1/8, 1/4 and 1/2 in per ft, by nominal size (second-hand copy).
CODE_GPM = {3: (55, 79, 111), 4: (115, 163, 231), 5: (165, 234, 331), 6: (344, 487, 689), 8: (714, 1010, 1429)}
FIVE_IN_SCH40 = 5.047  # inside, ASTM D1785 (from memory); not among the sizes of a job


@pytest.mark.parametrize("size", [3, 4, 6, 8])
def test_schedule_40_at_n_0_010_carries_what_the_plumbing_code_prints(size):
    d = pipe_size("sch40", size).inside_in / 12
    for rise_in, gpm in zip((1 / 8, 1 / 4, 1 / 2), CODE_GPM[size], strict=True):
        assert full_flow_cfs(d, rise_in / 12, 0.010) * GPM == pytest.approx(gpm, rel=0.02)


def test_the_five_inch_row_of_the_code_table_does_not_follow_its_own_basis():
    # All other rows are Manning at n 0.010 in Schedule 40 pipe; the 5 in row is 22 % below that in every column, as if n were 0.0128.
    # Such a pipe is not in the catalogue, and nothing here is interpolated through that row.
    for rise_in, gpm in zip((1 / 8, 1 / 4, 1 / 2), CODE_GPM[5], strict=True):
        by_formula = full_flow_cfs(FIVE_IN_SCH40 / 12, rise_in / 12, 0.010) * GPM
        assert gpm / by_formula == pytest.approx(0.783, abs=0.004)


# UPC Table 11-2 and IPC up to 2012 Table 1106.3: projected roof in ft2 at 1 in/h (from memory; 6 in at 1/8 seen in a code's example).
AREA_FT2 = {3: (3288, 4640, 6576), 4: (7520, 10600, 15040), 6: (21400, 30200, 42800), 8: (46000, 65200, 92000)}


@pytest.mark.parametrize("size", [3, 4, 6, 8])
def test_the_older_area_tables_are_the_same_formula_in_rougher_pipe(size):
    d = size / 12
    for rise_in, area_ft2 in zip((1 / 8, 1 / 4, 1 / 2), AREA_FT2[size], strict=True):
        n = 0.010 * full_flow_cfs(d, rise_in / 12, 0.010) * GPM / (area_ft2 * 7.48052 / 720)
        assert 0.0140 < n < 0.0160


# Slope in percent for a full pipe at a velocity, by n: 3, 4, 5, 6, 8 in; worked apart from V = 1.486/n (D/4)^(2/3) s^(1/2).
GRADES = {
    (2, 0.010): (0.730, 0.498, 0.370, 0.290, 0.197),
    (2, 0.012): (1.052, 0.717, 0.532, 0.417, 0.284),
    (2, 0.013): (1.234, 0.841, 0.625, 0.490, 0.334),
    (2, 0.015): (1.643, 1.120, 0.832, 0.652, 0.444),
    (2, 0.018): (2.366, 1.612, 1.197, 0.939, 0.640),
    (3, 0.010): (1.643, 1.120, 0.832, 0.652, 0.444),
    (3, 0.013): (2.777, 1.892, 1.405, 1.102, 0.751),
    (3, 0.018): (5.324, 3.628, 2.694, 2.113, 1.440),
}


@pytest.mark.parametrize(("velocity", "n"), GRADES)
def test_slopes_for_two_and_three_feet_per_second(velocity, n):
    for size, percent in zip((3, 4, 5, 6, 8), GRADES[velocity, n], strict=True):
        slope = slope_for_velocity(velocity, size / 12, n)
        assert 100 * slope == pytest.approx(percent, abs=6e-4)
        assert full_flow_cfs(size / 12, slope, n) / (pi / 4 * (size / 12) ** 2) == pytest.approx(velocity, rel=1e-12)


# ASAE EP 260 / Minnesota Extension: least grade of drain tubing, percent, 3, 4, 5, 6 in (from memory); n 0.015.
@pytest.mark.parametrize(
    ("velocity", "printed", "rounding"),
    [(0.5, (0.10, 0.07, 0.05, 0.04), 0.005), (1.4, (0.81, 0.55, 0.41, 0.32), 0.006)],
)
def test_least_grades_of_drain_tubing(velocity, printed, rounding):
    for size, percent in zip((3, 4, 5, 6), printed, strict=True):
        assert 100 * slope_for_velocity(velocity, size / 12, 0.015) == pytest.approx(percent, abs=rounding)


@pytest.mark.parametrize(("n", "percent"), [(0.012, 0.64), (0.013, 0.75), (0.024, 2.56)])
def test_least_grade_of_an_eight_inch_storm_drain_at_three_feet_per_second(n, percent):
    # HEC-22 table of least slopes (from memory).
    assert 100 * slope_for_velocity(3, 8 / 12, n) == pytest.approx(percent, abs=0.006)


# V. M. Ponce, Engineering Hydrology, ch. 4, Table 4-2 (after ASCE/WPCF Manual 37): diameter in, slope %, flow cfs and velocity ft/s
# of the full pipe, and depth of flow in inches at a flow. Read off charts, so to 6 %; n 0.013 is what the figures follow.
SEWER = (
    (12, 0.85, 3.3, 4.0, 2.93, 9),
    (18, 0.75, 9.2, 5.1, 6.75, 11),
    (24, 0.45, 15.2, 4.8, 14.50, 18),
    (15, 1.00, 6.4, 5.1, 6.16, 12),
    (24, 0.60, 17.5, 5.5, 12.92, 15),
    (36, 0.30, 37.0, 5.1, 33.60, 26),
    (12, 0.90, 3.2, 4.1, 2.80, 9),
    (42, 0.24, 50.0, 5.2, 42.50, 29),
    (42, 0.30, 56.0, 5.7, 53.20, 33),
)


@pytest.mark.parametrize(("size", "percent", "full_cfs", "full_ft_s", "flow", "depth_in"), SEWER)
def test_a_published_storm_sewer(size, percent, full_cfs, full_ft_s, flow, depth_in):
    d, slope = size / 12, percent / 100
    assert full_flow_cfs(d, slope, 0.013) == pytest.approx(full_cfs, rel=0.06)
    assert full_flow_cfs(d, slope, 0.013) / (pi / 4 * d**2) == pytest.approx(full_ft_s, rel=0.06)
    deep = normal_depth_ft(flow, d, slope, 0.013)
    assert deep is not None
    assert 12 * deep == pytest.approx(depth_in, abs=0.06 * size)


def test_friction_slope_follows_the_highway_manual():
    # TxDOT Hydraulic Design Manual ch. 6 sec. 3, eq. 6-26: Sf = [Q n / (0.4644 D^(8/3))]^2, where 0.4644 goes with 1.49, not 1.486.
    for q, d, n in ((0.75, 0.5, 0.012), (0.25, 1 / 3, 0.012), (3.0, 1.0, 0.013)):
        printed = (q * n / (0.4644 * d ** (8 / 3))) ** 2
        assert friction_slope(q, d, n) == pytest.approx(printed * (1.49 / 1.486) ** 2, rel=5e-4)


def draws():
    rng = random.Random(11)
    for _ in range(300):
        yield (
            rng.choice([3, 3.975, 4.026, 6, 7.92, 10, 12, 36]) / 12,
            10 ** rng.uniform(-4, -0.3),
            rng.choice([0.009, 0.010, 0.013, 0.018, 0.024]),
            rng.uniform(0.01, 0.999),
        )


def library_flow(d: float, depth: float, slope: float, n: float) -> float:
    """Return Manning's flow by `fluids`, in meters there. Its constant is 1, so n is scaled by what 1.486 is off its 1.4859."""
    area = A_partial_circle(d * FT_M, depth * FT_M)
    wetted = SA_partial_cylindrical_body(1.0, d * FT_M, depth * FT_M)
    return area * V_Manning(area / wetted, slope, n * FT_M ** (-1 / 3) / 1.486) / FT_M**3


def test_random_pipes_flow_as_a_general_library_has_it():
    for d, slope, n, share in draws():
        wet = section(d, share * d)
        assert wet.area_ft2 == pytest.approx(A_partial_circle(d, share * d), rel=1e-9)
        assert wet.wetted_ft == pytest.approx(SA_partial_cylindrical_body(1.0, d, share * d), rel=1e-9)
        assert wet.top_ft == pytest.approx(2 * sqrt(share * (1 - share)) * d, rel=1e-9)
        assert flow_cfs(d, share * d, slope, n) == pytest.approx(library_flow(d, share * d, slope, n), rel=1e-6)
        assert full_flow_cfs(d, slope, n) == pytest.approx(library_flow(d, d, slope, n), rel=1e-6)


def test_random_normal_depths_and_friction_are_those_of_a_general_root_finder():
    for d, slope, n, share in draws():
        q = share * library_flow(d, d, slope, n)
        depth = brentq(lambda y, d=d, s=slope, n=n, q=q: library_flow(d, y, s, n) - q, 1e-9 * d, 0.8196 * d, xtol=1e-14)
        assert normal_depth_ft(q, d, slope, n) == pytest.approx(depth, rel=1e-6)
        for at in (depth, d):
            lost = brentq(
                lambda s, d=d, y=at, n=n, q=q: library_flow(d, y, s, n) - q, 1e-12, 10.0, xtol=1e-16, rtol=1e-12
            )
            assert friction_slope(q, d, n, at) == pytest.approx(lost, rel=1e-6)


def test_random_critical_depths_are_those_of_least_energy():
    for d, slope, n, share in draws():
        q = share * full_flow_cfs(d, slope, n)

        def froude2(y: float, d: float = d, q: float = q) -> float:
            return q * q * 2 * sqrt(y * (d - y)) / (32.2 * A_partial_circle(d, y) ** 3)

        if froude2(d * (1 - 1e-9)) < 1:
            depth = brentq(lambda y, f=froude2: f(y) - 1, 1e-6 * d, d * (1 - 1e-9), xtol=1e-14)
            assert critical_depth_ft(q, d) == pytest.approx(depth, rel=1e-6)


def test_roughness_stays_within_the_published_ranges():
    # ASCE and FHWA list (HEC-22 pipe table, second-hand): PE corrugated 0.018-0.025, PE smooth-lined 0.009-0.015, PVC 0.009-0.011.
    # Austin, Texas, Drainage Criteria Manual Table 5-2: smooth plastic 0.010, smooth perforated 0.020.
    for size in (3, 4, 6, 8, 10, 12):
        assert 0.018 <= roughness("corrugated", size, "solid").n <= 0.025
        assert 0.009 <= roughness("smooth-lined", size, "solid").n <= 0.015
        for kind in ("sdr35", "sch40"):
            assert roughness(kind, size, "solid").n == 0.010
        for kind in ("smooth-lined", "sdr35", "sch40"):
            assert roughness(kind, size, "drain").n == 0.020
    assert all(row["source"] for row in table("catalogue/roughness.toml")["pipe"])
