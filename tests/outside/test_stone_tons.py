"""Stone around a drain pipe, in tons, against a published weight and a section worked by hand."""

from math import pi

import pytest

from drainsketch.job.model import Run
from drainsketch.takeoff.stone import stone_tons
from tests.takeoff.small_jobs import fitting, flat, job_of, lines_of, outfall


def test_crushed_stone_weighs_2700_lb_per_loose_cubic_yard():
    # EPA volume-to-weight conversion factors (2006): crushed stone 2,700 lb/yd3 = 100 lb/ft3 = 1.35 short ton/yd3.
    assert stone_tons(27.0, 1.35) * 2000 == pytest.approx(2700)
    assert stone_tons(1.0, 1.35) * 2000 == pytest.approx(100)


@pytest.mark.parametrize(("lb_per_ft3", "tons_per_yd3"), [(95, 1.28), (110, 1.49)])
def test_range_of_crushed_stone_is_a_plain_conversion(lb_per_ft3, tons_per_yd3):
    assert stone_tons(1.0, tons_per_yd3) * 2000 == pytest.approx(lb_per_ft3, rel=0.005)


def test_hundred_feet_of_4_inch_drain_in_a_foot_wide_trench():
    # By hand: 4 in corrugated (4.6 in outside, about), 2 in under and 6 in over: stone 12.6 in high,
    # net 1.05 - 0.1154 = 0.9346 ft2; 100 ft: 93.46 ft3 = 3.461 yd3; x 1.35 = 4.67 tons. Level, so the pipe is 100 ft.
    job = job_of(
        [fitting("F", 0, 0), outfall("O", 100, 0)],
        [Run(id="R", start="F", end="O", use="drain", pipe="corrugated", diameter_in=4)],
        topsoil_cap_in=4,
    )
    invert_ft = 100 - (4 + 6 + 4.3) / 12  # cap, stone over the pipe, pipe from invert to outside top
    line = lines_of(job, flat(100.0), {"R": (invert_ft, invert_ft)})["stone_drain"]
    assert line.quantity == pytest.approx(4.67, abs=0.005)
    assert line.quantity / 1.35 == pytest.approx(3.461, abs=0.0005)
    assert line.quantity == pytest.approx(100 * (12.6 / 12 - pi / 4 * (4.6 / 12) ** 2) / 27 * 1.35, rel=1e-9)


@pytest.mark.parametrize(("ft3", "tons"), [(-1, 1.35), (float("inf"), 1.35), (1, 0), (1, float("nan"))])
def test_nonsense_is_refused(ft3, tons):
    with pytest.raises(ValueError, match="must be"):
        stone_tons(ft3, tons)
