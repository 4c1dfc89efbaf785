"""Dry wells against volume balances in closed form."""

import pytest

from drainsketch.job.limits import WaterBasis
from drainsketch.job.model import Job
from drainsketch.job.rain import Rain, RainRow, RainTable
from drainsketch.review import analyse
from drainsketch.water.review import water_of
from drainsketch.water.wells import balance_of, drawdown_h, wells_of
from tests.yards import basin, drawn, outfall, run, shot

HOURS = (5, 10, 15, 30, 60, 120, 360, 720, 1440, 2880)


def square_root_rain(inches_in_an_hour: float) -> Rain:
    """Return a rain whose depth grows with the root of its duration: straight in logarithms, so between the rows too."""
    rows = tuple(RainRow(duration_min=float(m), values=(inches_in_an_hour * (m / 60) ** 0.5,)) for m in HOURS)
    return Rain(table=RainTable(measure="depth", return_periods_yr=(10.0,), rows=rows), return_period_yr=10.0)


@pytest.mark.parametrize(("p", "ca", "floor", "rate"), [(2.0, 900.0, 24.0, 1.0), (1.4, 500.0, 40.0, 3.0)])
def test_the_storm_that_fills_it_most(p: float, ca: float, floor: float, rate: float) -> None:
    """Depth p sqrt(t) over CA less rate t through the floor F is greatest at t = (p CA / (2 r F))^2 hours, by setting the slope to 0;
    there the well holds p^2 CA^2 / (4 r F) / 12 ft3. Source: calculus and conservation of volume."""
    hours = (p * ca / (2 * rate * floor)) ** 2
    held = (p * ca) ** 2 / (4 * rate * floor) / 12
    found = balance_of(square_root_rain(p), ca, floor, rate)
    if hours > 48:
        hours = 48.0
        held = (p * ca * hours**0.5 - rate * floor * hours) / 12
    assert found.duration_min / 60 == pytest.approx(hours, rel=0.05)
    assert found.holds_ft3 == pytest.approx(held, rel=2e-3)
    assert found.comes_ft3 - found.soaks_ft3 == pytest.approx(found.holds_ft3)


def test_soil_that_drinks_faster_than_it_rains_leaves_nothing_to_hold() -> None:
    found = balance_of(Rain(intensity_in_h=0.5), 100.0, 100.0, 1.0)
    assert found.holds_ft3 == 0.0


def test_drawdown_is_volume_over_floor_and_rate() -> None:
    """16 ft2 at 1.5 in/h take 2 ft3 an hour."""
    assert drawdown_h(38.4, 16.0, 1.5) == pytest.approx(19.2)


def yard(**pit: float) -> Job:
    ground = [shot(x, y, 100 + 0.02 * x) for x in (0, 30, 60) for y in (-15, 0, 15)]
    job = drawn(
        *ground,
        basin(40, 0, area_ft2=2_000.0, runoff_c=0.45, tc_min=10.0),
        outfall(10, 0, "dry well", **pit),
        run("B1", "O1"),
    )
    return Job(**{n: getattr(job, n) for n in job.__struct_fields__} | {"rain": square_root_rain(2.0)})


def test_a_well_of_a_job_is_held_against_its_own_numbers() -> None:
    """900 ft2 of CA, 4 by 6 ft of floor, 4 ft deep, 40 % voids: room 38.4 ft3, far less than the storm's."""
    job = yard(pit_length_ft=6.0, pit_width_ft=4.0, pit_depth_ft=4.0)
    job = Job(**{n: getattr(job, n) for n in job.__struct_fields__} | {"water": WaterBasis(infiltration_in_h=1.0)})
    review = analyse(job)
    water = water_of(job, review.network, review.grades, review.levels, None)
    well = wells_of(job, review.network, water.arrivals, review.levels)["O1"]
    assert well.ca_ft2 == pytest.approx(900.0)
    assert well.room_ft3 == pytest.approx(38.4)
    assert well.balance is not None and well.balance.holds_ft3 > 38.4
    assert well.drawdown_h == pytest.approx(38.4 / 2.0)
    assert well.needs_length_ft is not None
    held = balance_of(job.rain, 900.0, well.needs_length_ft * 4, 1.0).holds_ft3
    assert held <= well.needs_length_ft * 4 * 4 * 0.4
    shorter = well.needs_length_ft - 1
    assert balance_of(job.rain, 900.0, shorter * 4, 1.0).holds_ft3 > shorter * 4 * 4 * 0.4


def test_without_a_measured_soil_or_a_size_nothing_is_said_of_holding() -> None:
    for job in (yard(), yard(pit_length_ft=6.0, pit_width_ft=4.0, pit_depth_ft=4.0)):
        review = analyse(job)
        water = water_of(job, review.network, review.grades, review.levels, None)
        well = wells_of(job, review.network, water.arrivals, review.levels)["O1"]
        assert (well.balance, well.drawdown_h, well.needs_length_ft) == (None, None, None)


def test_a_typed_intensity_lasts_as_long_as_the_storm_of_the_job() -> None:
    """5 in/h for an hour on 600 ft2 of CA are 250 ft3; 2 in/h through 60 ft2 take up 10 of them."""
    found = balance_of(Rain(intensity_in_h=5.0, storm_min=60.0), 600.0, 60.0, 2.0)
    assert (found.duration_min, found.comes_ft3) == (pytest.approx(60.0), pytest.approx(250.0))
    assert (found.holds_ft3, found.at_end) == (pytest.approx(240.0), False)


def test_no_rain_is_made_up_beyond_the_table_and_that_is_told() -> None:
    """A table that ends at an hour says nothing of two days: what is held is that of the hour, and a longer rain may ask more."""
    whole = square_root_rain(2.0)
    assert whole.table is not None
    short = Rain(
        table=RainTable(measure="depth", return_periods_yr=(10.0,), rows=whole.table.rows[:5]), return_period_yr=10.0
    )
    found = balance_of(short, 900.0, 24.0, 1.0)
    assert (found.duration_min, found.at_end) == (pytest.approx(60.0), True)
    assert found.holds_ft3 == pytest.approx((2.0 * 900.0 - 24.0) / 12)
    assert not balance_of(whole, 100.0, 60.0, 2.0).at_end
