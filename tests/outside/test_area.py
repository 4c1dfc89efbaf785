"""Areas against a published worked example.

Source: J. Mahun, Open Access Surveying Library, Coordinate Geometry, chapter H 'Area', example H-2: the printed cross-product
sums are 2,190,612 and 1,909,624 square feet, so the area is half their difference, 140,494 square feet.
"""

import pytest

from drainsketch.job.ask import area_ft2

NORTH_EAST = ((406.31, 1259.97), (235.12, 1489.47), (65.81, 1126.40), (317.89, 942.04), (675.32, 1282.54))


def test_area_by_coordinates_matches_the_printed_sums() -> None:
    points = tuple((east, north) for north, east in NORTH_EAST)
    assert area_ft2(points) == pytest.approx(
        (2_190_612 - 1_909_624) / 2, abs=2.0
    )  # its products are rounded to 1 sq ft
    assert area_ft2(points[::-1]) == area_ft2(points)
