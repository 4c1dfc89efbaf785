"""What came out of grates and wells in a played storm, against sums by hand."""

import numpy as np
import pytest
from msgspec.structs import replace

from drainsketch.job.edits.change import change
from drainsketch.job.rain import Rain
from drainsketch.water.storm.facts import came_out_of
from drainsketch.water.storm.results import Played
from tests.water.storm.test_play import sample, storm
from tests.water.wet_yards import ROOT, funnel, with_structure, with_water

GALLON_FT3 = 7.48052  # gallons in a cubic foot, NIST Handbook 44


def played_with(takes_cfs: list[float], minutes: list[float]) -> Played:
    base = storm(funnel(Rain(table=ROOT, return_period_yr=10.0, storm_min=15.0))).after
    return replace(base, minute=np.array(minutes), structures=("B1",), takes_cfs=np.array(takes_cfs).reshape(-1, 1))


def test_it_is_flow_times_time_of_all_moments_in_which_water_comes_out() -> None:
    """0.1 cfs for a minute and 0.2 for half a minute are 12 ft3; what goes in does not count."""
    made = played_with([0.0, -0.1, 0.3, -0.2], [0.0, 1.0, 2.0, 2.5])
    assert came_out_of(made) == {"B1": pytest.approx(12.0 * GALLON_FT3, rel=1e-5)}


def test_a_splash_is_not_told() -> None:
    assert came_out_of(played_with([0.0, -0.002, 0.1], [0.0, 1.0, 2.0])) == {}  # 0.12 ft3 are 0.9 gal


def test_all_that_comes_to_a_well_without_room_comes_up_there() -> None:
    """Nothing else can take the water of a well of unknown size below every rim: what runs in and does not stay in it comes up there."""
    made = storm(change(sample("low-lawn"), "O1", outfall="dry well")).after
    into = float((60 * np.diff(made.minute)) @ made.leaves_cfs[1:, 0]) * GALLON_FT3
    assert came_out_of(made) == {"O1": pytest.approx(into, rel=0.05)}
    assert into > 1_500


def test_nothing_comes_up_at_a_well_that_holds_it() -> None:
    rain = Rain(table=ROOT, return_period_yr=10.0, storm_min=15.0)
    pit = {"pit_length_ft": 40.0, "pit_width_ft": 10.0, "pit_depth_ft": 6.0}
    job = with_structure(funnel(rain), "O1", outfall="dry well", invert_ft=None, **pit)
    assert came_out_of(storm(with_water(job, infiltration_in_h=2.0)).after) == {}
