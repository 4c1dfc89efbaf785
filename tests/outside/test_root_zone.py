"""Root zones against a published rule and its printed example.

Source: North Carolina State Extension (and NC Urban Forest Council): 1.25 ft of radius for each inch of trunk, at least 6 ft;
its example: a 12 in trunk has a root zone of 15 ft radius. Other published factors: Vancouver WA code 20.170, 1.0 ft per inch;
Edina MN, 1.5 ft per inch (a 10 in trunk 15 ft, a 20 in trunk 30 ft).
"""

import pytest

from drainsketch.job.limits import Criteria
from drainsketch.network.setbacks import root_zone_ft


def test_a_twelve_inch_trunk_has_fifteen_feet() -> None:
    assert root_zone_ft(12.0, Criteria().root_zone_ft_per_in) == pytest.approx(15.0)


def test_a_small_trunk_has_six_feet() -> None:
    assert root_zone_ft(3.0, Criteria().root_zone_ft_per_in) == pytest.approx(6.0)


@pytest.mark.parametrize(("trunk_in", "radius_ft"), [(10.0, 15.0), (20.0, 30.0)])
def test_another_towns_factor_gives_its_printed_radius(trunk_in: float, radius_ft: float) -> None:
    assert root_zone_ft(trunk_in, 1.5) == pytest.approx(radius_ft)
