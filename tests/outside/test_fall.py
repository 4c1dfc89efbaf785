"""Fall and slope against a handbook's storm-sewer table.

Source: V. M. Ponce, Engineering Hydrology, ch. 4, table 4-2 (after ASCE/WPCF Manual 37): length, slope and the inverts at both
ends of each line, printed to 0.1 ft (the last two to 0.01 ft).
"""

import pytest

from drainsketch.review import analyse
from tests.yards import basin, drawn, kinds, outfall, plane, run

# length ft, printed slope %, invert up ft, invert down ft
LINES = (
    (400.0, 0.85, 93.0, 89.6),
    (400.0, 0.75, 89.2, 86.2),
    (400.0, 0.45, 85.8, 84.0),
    (400.0, 1.00, 91.0, 87.0),
    (400.0, 0.60, 86.4, 84.0),
    (400.0, 0.30, 83.2, 82.0),
    (400.0, 0.90, 87.5, 83.9),
    (400.0, 0.24, 81.6, 80.64),
    (125.0, 0.30, 80.54, 80.16),
)


@pytest.mark.parametrize(("length_ft", "slope_percent", "up_ft", "down_ft"), LINES)
def test_slope_and_fall_of_pinned_inverts_match_the_table(
    length_ft: float, slope_percent: float, up_ft: float, down_ft: float
) -> None:
    job = drawn(
        *plane(lambda x, y: 98.0, 600.0),
        basin(0, 0),
        outfall(length_ft, 0, "tie-in"),
        run("B1", "O1", start_invert_ft=up_ft, end_invert_ft=down_ft, diameter_in=12),
    )
    review = analyse(job)
    printed_to = 0.005 if length_ft == 125.0 else 0.0001  # 0.38 / 125 is 0.304 %, printed 0.30
    assert review.grades["R1"].slope * 100 == pytest.approx(slope_percent, abs=printed_to)
    (path,) = review.paths
    assert path.fall_ft == pytest.approx(slope_percent / 100 * length_ft, abs=0.006)
    assert path.length_ft == pytest.approx(length_ft)
    assert ("run_flat" in kinds(review)) == (slope_percent < 1.0)  # against the default least slope of 1 %
