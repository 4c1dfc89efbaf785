"""Travel times against TR-55, a county manual, and the kinematic wave integrated from Manning's formula."""

import numpy as np
import pytest

from drainsketch.job.rain import Rain
from drainsketch.water.concentration import (
    PipeStretch,
    Stretch,
    concentration,
    kinematic_wave_min,
    shallow_velocity_ft_s,
    tr55_sheet_min,
)
from drainsketch.water.surfaces import surface

UNPAVED_K = surface("gravel").shallow_k
PAVED_K = surface("asphalt").shallow_k


def test_sheet_of_the_tr_55_example():
    # NRCS TR-55 (1986), Example 3-1 (from memory, recomputed): dense grass n 0.24, 100 ft, P2 3.6 in, 1 %: 0.30 h
    assert surface("lawn-heavy").sheet_n == 0.24
    assert tr55_sheet_min(0.24, 100, 0.01, 3.6) / 60 == pytest.approx(0.296, abs=0.001)


def test_whole_way_of_the_tr_55_example():
    # Same: sheet 0.30 h, 1,400 ft unpaved at 1 % 1.61 ft/s and 0.24 h, 7,300 ft of channel at 2.05 ft/s 0.99 h, in all 1.53 h
    way = [Stretch(100, 0.01, 0.24, UNPAVED_K), Stretch(1_400, 0.01, 0.24, UNPAVED_K)]
    found = concentration(way, [PipeStretch(7_300, 0.005, 2.05)], two_year_depth_in=3.6)
    sheet, shallow, channel = found.legs
    assert sheet.minutes / 60 == pytest.approx(0.30, abs=0.005)
    assert shallow.velocity_ft_s == pytest.approx(1.61, abs=0.005)
    assert shallow.minutes / 60 == pytest.approx(0.24, abs=0.005)
    assert channel.minutes / 60 == pytest.approx(0.99, abs=0.005)
    assert found.minutes / 60 == pytest.approx(1.53, abs=0.01)


@pytest.mark.parametrize(("k", "tr55"), [(UNPAVED_K, 16.1345), (PAVED_K, 20.3282)])
def test_shallow_flow_of_two_manuals_agrees(k, tr55):
    # San Luis Obispo Drainage Design Manual (2003), Table 4-2 and equation 3, beside TR-55 (1986), appendix F (from memory)
    for slope in (0.005, 0.01, 0.04):
        assert shallow_velocity_ft_s(k, slope) == pytest.approx(tr55 * np.sqrt(slope), rel=0.003)


def test_two_segments_of_a_drainage_report():
    # A Colorado drainage report of 1989: 1,300 ft at 2.25 ft/s: 9.63 min
    found = concentration([], [PipeStretch(1_300, 0.015, 2.25)], Rain(intensity_in_h=3.0))
    assert found.minutes == pytest.approx(9.63, abs=0.005)


def test_minimum_is_five_minutes():
    # HEC-22 (from memory); Oregon DOT designs inlets on 5-min rain
    assert concentration([], rain=Rain(intensity_in_h=3.0)).minutes == 5.0


def wave_min(stretches: list[tuple[float, float, float]], intensity_in_h: float) -> float:
    """Follow a wave down planes of (length_ft, n, slope) under steady rain, from Manning's formula alone.

    Flow per foot of width is i x, its depth by Manning h = (q n / (1.486 sqrt(s)))^(3/5), the wave runs at dq/dh = 5/3 q/h.
    """
    rain_ft_s = intensity_in_h / 43_200
    seconds, top = 0.0, 0.0
    for length, n, slope in stretches:
        x = np.linspace(top**0.2, (top + length) ** 0.2, 200_001) ** 5  # fine where the sheet begins
        middle = (x[1:] + x[:-1]) / 2
        flow = rain_ft_s * middle
        depth = (flow * n / (1.486 * slope**0.5)) ** 0.6
        seconds += float((np.diff(x) / (5 / 3 * flow / depth)).sum())
        top += length
    return seconds / 60


@pytest.mark.parametrize(
    ("n", "length", "slope", "intensity"), [(0.24, 100, 0.02, 4.0), (0.011, 60, 0.01, 6.5), (0.15, 30, 0.08, 2.0)]
)
def test_kinematic_wave_is_that_of_mannings_formula(n, length, slope, intensity):
    # Exact, the constant is 0.938 to 0.939; HEC-22 prints 0.933
    assert kinematic_wave_min(n, length, slope, intensity) == pytest.approx(
        wave_min([(length, n, slope)], intensity), rel=0.01
    )


def test_lawn_above_paving_and_paving_above_lawn():
    for planes in ([(40, 0.24, 0.03), (50, 0.011, 0.01)], [(50, 0.011, 0.01), (40, 0.24, 0.03)]):
        way = [Stretch(length, slope, n, 0.5) for length, n, slope in planes]
        found = concentration(way, rain=Rain(intensity_in_h=5.0), minimum_min=0.0)
        assert found.minutes == pytest.approx(wave_min(planes, 5.0), rel=0.01)
