"""What comes to a place while it rains, and that all of it does."""

import numpy as np
import pytest

from drainsketch.job.rain import Rain
from drainsketch.water.rain import depth_in, intensity_in_h
from drainsketch.water.storm.sheds import Shed, coming_of, fall_of
from tests.water.wet_yards import ROOT

TABLE = Rain(table=ROOT, return_period_yr=10.0, storm_min=60.0)


def flows_cfs(rain: Rain, shed: Shed, step_min: float = 0.5) -> np.ndarray:
    coming = coming_of(fall_of(rain), [shed])
    volumes = [coming.volume_ft3(t)[0] for t in np.arange(0, rain.storm_min + shed.minutes + 5, step_min).tolist()]
    return np.diff(volumes) / (step_min * 60)


@pytest.mark.parametrize("minutes", [5.0, 7.0, 12.0, 20.0, 45.0])
def test_a_storm_of_the_table_peaks_with_the_rational_method(minutes: float) -> None:
    """The hardest spell of any length brings what the table has for it: so C i A of that time is its peak, and none is higher."""
    peak = intensity_in_h(TABLE, minutes).value * 2_000 / 43_200
    assert flows_cfs(TABLE, Shed(0, 2_000.0, minutes), 0.05).max() == pytest.approx(peak, rel=0.005)


def test_even_rain_runs_in_as_a_trapezoid() -> None:
    """Rises straight over the time of concentration, stays at C i A, falls straight: the modified rational method (from memory)."""
    flows = flows_cfs(Rain(intensity_in_h=3.0, storm_min=30.0), Shed(0, 1_440.0, 10.0), 1.0)
    assert flows[:10] == pytest.approx(0.1 * (np.arange(10) + 0.5) / 10)
    assert flows[10:30] == pytest.approx(np.full(20, 0.1))
    assert flows[30:40] == pytest.approx(0.1 * (9.5 - np.arange(10)) / 10)
    assert flows[40:] == pytest.approx(np.zeros(len(flows) - 40), abs=1e-9)


@pytest.mark.parametrize(
    "rain", [TABLE, Rain(intensity_in_h=2.0, storm_min=17.5), Rain(intensity_in_h=1.0, storm_min=5.0)]
)
def test_all_that_falls_comes(rain: Rain) -> None:
    coming = coming_of(fall_of(rain), [Shed(0, 1_200.0, 8.0), Shed(1, 600.0, 33.0)])
    depth = depth_in(rain, rain.storm_min).value
    assert coming.volume_ft3(2_000.0) == pytest.approx([1_200 * depth / 12, 600 * depth / 12])
    assert coming.volume_ft3(0.0) == pytest.approx([0.0, 0.0])


def test_nothing_sheds_nothing() -> None:
    coming = coming_of(fall_of(TABLE), [Shed(0, 0.0, 5.0)])
    assert coming.volume_ft3(60.0)[0] == 0.0


def test_how_hard_it_rains_is_told_for_every_moment() -> None:
    fall = fall_of(TABLE)
    middle = fall.rate_in_h(30.0)
    assert middle == pytest.approx(6.0, rel=0.01)  # the table's for 5 min and less
    assert fall.rate_in_h(2.0) < middle
    assert fall.rate_in_h(60.0) == 0.0 == fall.rate_in_h(500.0)
