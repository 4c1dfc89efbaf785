"""The rational method against worked examples, and the coefficients against the printed list."""

import pytest

from drainsketch.water.constants import FT2_PER_ACRE, GPM_PER_CFS
from drainsketch.water.runoff import peak_cfs
from drainsketch.water.surfaces import composite_c, frequency_factor, surface


def test_composite_before_and_after_building():
    # HEC-22, 3rd ed., Example 3-1 (from memory, recomputed), acres and C
    assert composite_c([(22.1, 0.25), (21.2, 0.22)]) == pytest.approx(0.235, abs=0.0006)
    assert composite_c([(5.4, 0.90), (1.63, 0.15), (18.6, 0.25), (17.7, 0.22)]) == pytest.approx(0.315, abs=0.0006)


def test_five_acres_at_asheville():
    # North Carolina sediment-control course: C = 3.10 / 5 = 0.62, 6.96 in/h (10 years, 5 min): 21.6 cfs without the unit
    # factor of 1.008, 21.75 with it
    flow = peak_cfs(3.10 / 5, 6.96, 5 * FT2_PER_ACRE)
    assert flow == pytest.approx(21.75, abs=0.01)
    assert flow == pytest.approx(21.6, rel=0.01)


@pytest.mark.parametrize(
    ("acres", "c", "intensity", "printed"),
    [(2.64, 0.30, 3.7, 2.93), (10.13, 0.42, 3.4, 14.50), (26.03, 0.39, 3.3, 33.60), (37.85, 0.44, 3.2, 53.20)],
)
def test_lines_of_a_storm_sewer(acres, c, intensity, printed):
    # Ponce, Engineering Hydrology, Table 4-2 (after ASCE/WPCF Manual 37); printed without the unit factor
    assert peak_cfs(c, intensity, acres * FT2_PER_ACRE) == pytest.approx(printed, rel=0.012)


def test_the_factor_in_gallons_of_the_plumbing_codes():
    # 7.48052 gal/ft3 / 720 = 0.0103896 gpm per ft2 and in/h; the codes print 0.0104
    assert peak_cfs(1.0, 1.0, 1.0) * GPM_PER_CFS == pytest.approx(7.48052 / 720, rel=1e-5)


# ASCE/WPCF Manual 37, as reprinted in University of Illinois (TSM 352) and Northwestern University (CIV_ENV 340) tables
PRINTED = {
    "roof": [(0.75, 0.95)],
    "asphalt": [(0.70, 0.95)],
    "concrete": [(0.80, 0.95)],
    "brick": [(0.70, 0.85)],
    "drive-or-walk": [(0.75, 0.95)],
    "lawn-sandy": [(0.05, 0.10), (0.10, 0.15), (0.15, 0.20)],
    "lawn-heavy": [(0.13, 0.17), (0.18, 0.22), (0.25, 0.35)],
}


@pytest.mark.parametrize("kind", PRINTED)
def test_ranges_are_those_of_the_list(kind):
    assert [(row.low, row.high) for row in surface(kind).c] == PRINTED[kind]


def test_rarer_storms():
    # HEC-22 and TxDOT, older editions (from memory)
    assert [frequency_factor(y) for y in (2, 5, 10, 25, 50, 100)] == [1.0, 1.0, 1.0, 1.1, 1.2, 1.25]
