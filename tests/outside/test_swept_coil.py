"""The curve of a swept coil against the tangent distance of route surveying.

Source: simple curves, T = R tan(I / 2), US Army FM 5-233 and any route-surveying text (from memory); a table of functions of a
one-degree curve (R = 5,729.578 ft) has T = 2,373.3 ft for I = 45 and 5,729.6 ft for I = 90 (recomputed).
"""

import pytest

from drainsketch.takeoff.sweeps import tangent_ft

ONE_DEGREE_FT = 5729.578


@pytest.mark.parametrize(("turn", "tangent"), [(45.0, 2373.27), (90.0, 5729.58), (30.0, 1535.24), (0.0, 0.0)])
def test_tangents_of_a_one_degree_curve(turn: float, tangent: float) -> None:
    assert tangent_ft(ONE_DEGREE_FT, turn) == pytest.approx(tangent, abs=0.01)


def test_by_hand() -> None:
    # 3 ft radius, 60 degrees: 3 x tan 30 = 3 / sqrt 3 = 1.7321 ft
    assert tangent_ft(3.0, 60.0) == pytest.approx(3 / 3**0.5)


@pytest.mark.parametrize(("radius", "turn"), [(0.0, 45.0), (3.0, 180.0), (3.0, -1.0)])
def test_nonsense_is_refused(radius: float, turn: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        tangent_ft(radius, turn)
