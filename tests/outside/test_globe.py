"""Longitude and latitude on a plane, against published lengths of a degree and the geodesics of a general reference library."""

from math import atan2, degrees, hypot

import pytest
from geographiclib.geodesic import Geodesic

from drainsketch.files.globe import Plane, feet_per_degree

# Length of a degree of latitude and of longitude on WGS 84, m: table of the National Geospatial-Intelligence Agency (from memory)
PUBLISHED = {
    0: (110_574, 111_320),
    15: (110_649, 107_550),
    30: (110_852, 96_486),
    45: (111_132, 78_847),
    60: (111_412, 55_800),
}


@pytest.mark.parametrize(("latitude", "along_m", "across_m"), [(p, *m) for p, m in PUBLISHED.items()])
def test_a_degree_is_as_long_as_published(latitude: float, along_m: float, across_m: float) -> None:
    east, north = (ft * 0.3048 for ft in feet_per_degree(latitude))
    assert north == pytest.approx(along_m, abs=1.0)
    assert east == pytest.approx(across_m, abs=1.0)


@pytest.mark.parametrize("latitude", [-60.0, -34.0, 0.0, 25.8, 40.7, 61.2])
@pytest.mark.parametrize(("east_ft", "north_ft"), [(300.0, 200.0), (-150.0, 420.0), (800.0, -35.0)])
def test_within_a_yard_it_agrees_with_a_geodesic_to_a_hundredth_of_a_foot(
    latitude: float, east_ft: float, north_ft: float
) -> None:
    here = Geodesic.WGS84.Direct(latitude, -90.0, degrees(atan2(east_ft, north_ft)), hypot(east_ft, north_ft) * 0.3048)
    plane = Plane(-90.0, latitude, (latitude + here["lat2"]) / 2)
    x, y = plane.xy_ft(here["lon2"], here["lat2"])
    assert hypot(x, y) == pytest.approx(hypot(east_ft, north_ft), abs=0.01)
    assert (x, y) == (
        pytest.approx(east_ft, abs=0.05),
        pytest.approx(north_ft, abs=0.05),
    )  # north turns a hair on the way


def test_a_mile_off_it_is_within_a_foot_and_a_half() -> None:
    here = Geodesic.WGS84.Direct(45.0, 7.0, 45.0, 5280 * 0.3048)
    x, y = Plane(7.0, 45.0, 45.0).xy_ft(here["lon2"], here["lat2"])
    assert hypot(x, y) == pytest.approx(5280, abs=1.5)


def test_across_the_date_line_it_goes_the_short_way() -> None:
    x, _ = Plane(179.9999, 0.0, 0.0).xy_ft(-179.9999, 0.0)
    assert x == pytest.approx(0.0002 * 111_319.49 / 0.3048, rel=1e-4)


@pytest.mark.parametrize("wrong", [89.5, -90.0, float("nan")])
def test_the_poles_are_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="latitude_deg"):
        feet_per_degree(wrong)
