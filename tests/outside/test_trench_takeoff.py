"""The takeoff of a whole job against hand formulas: a flat yard and one 100 ft run with pinned ends, no basin in it.

Sources: a vertical trench 12 in wide, 1.5 to 2.5 ft deep over 100 ft, is 200 ft3 = 7.407 bank yd3, times 1.25 = 9.26 loose (average
end area, exact for upright walls; swell of common earth, US Army FM 5-434, from memory); crushed stone 1.35 short tons a
cubic yard (EPA volume-to-weight factors, 2006).
"""

from math import pi, sqrt

import pytest

from drainsketch.review import analyse
from tests.yards import drawn, fitting, outfall, plane, run


def quantities(up_ft: float, down_ft: float, **fields: object) -> dict[str, float]:
    """Return quantity by item for a run of 100 ft under ground at 100.00, pinned at both ends."""
    job = drawn(
        *plane(lambda x, y: 100.0),
        fitting(0, 0),
        outfall(100, 0, "tie-in"),
        run("F1", "O1", start_invert_ft=up_ft, end_invert_ft=down_ft, **fields),
    )
    return {line.item: line.quantity for line in analyse(job).takeoff}


def test_a_solid_run_is_the_closed_form_trench() -> None:
    # 4 in SDR 35 has a wall of 0.120 in (ASTM D3034): its trench bottom lies 0.01 ft under the invert
    counted = quantities(100 - 1.5 + 0.01, 100 - 2.5 + 0.01)
    assert counted["trench_solid"] == pytest.approx(200 / 27, rel=1e-9)
    assert counted["pipe_solid"] == pytest.approx(100 * sqrt(1 + 0.01**2), rel=1e-9)


def test_a_drain_runs_spoil_stone_and_cap_are_the_closed_forms() -> None:
    # about 4.6 in outside and 4 in inside, 2 in of stone under it: the trench bottom lies 2.3 in under the invert
    counted = quantities(100 - 1.5 + 2.3 / 12, 100 - 2.5 + 2.3 / 12, use="drain", pipe="corrugated")
    pipe_ft3 = pi / 4 * (4.6 / 12) ** 2 * 100 * sqrt(1 + 0.01**2)
    cap_ft3 = 100 * 4 / 12
    assert counted["trench_drain"] == pytest.approx(7.407, abs=0.0005)
    assert counted["stone_drain"] == pytest.approx((200 - cap_ft3 - pipe_ft3) / 27 * 1.35, rel=1e-6)
    assert counted["topsoil_cap"] == pytest.approx(cap_ft3 / 27, rel=1e-9)
    assert counted["spoil_loose"] == pytest.approx(9.26, abs=0.005)
