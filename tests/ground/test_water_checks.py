"""Findings about water on the surface.

Source of the limit: IRC R401.3, ground falls 6 in or more within the first 10 ft from a foundation wall (5 %).
"""

import pytest

from drainsketch.findings import Finding
from drainsketch.ground.study import ground_study
from drainsketch.ground.water_checks import water_findings
from tests.ground.shapes import Height, ground_of, house, inlet


def told(z: Height, *inlets: object, pitch: float = 5.0) -> list[Finding]:
    job, surface = ground_of(z, 30.0, pitch, buildings=(house(-10, -10, 10, 10),))
    return water_findings(job, surface, ground_study(job, surface, inlets))  # type: ignore[arg-type]


def away(slope: float) -> Height:
    """Return ground that falls away from a house of 20 by 20 ft on all sides."""
    return lambda x, y: 100 - slope * max(0.0, abs(x) - 10, abs(y) - 10)


def test_ground_that_falls_six_inches_in_ten_feet_is_fine() -> None:
    assert told(away(0.0501)) == []


def test_ground_that_falls_less_is_noted_once_for_the_building() -> None:
    (found,) = told(away(0.03))
    assert (found.kind, found.level, found.place.ids) == ("ground_flat_at_building", "note", ("building-1",))
    assert found.value == pytest.approx(0.03)
    assert found.limit == 0.05


def test_ground_that_falls_toward_a_building_is_to_be_settled() -> None:
    kinds = {f.kind: f for f in told(lambda x, y: 100 - 0.04 * y)}
    found = kinds["ground_falls_to_building"]
    assert found.level == "settle"
    assert found.value == pytest.approx(0.04)
    assert found.place.point is not None
    assert found.place.point[1] < -10  # at the uphill wall
    assert dict(found.params)["stretch"] == pytest.approx(20.0, abs=2.0)


def test_nothing_is_said_of_walls_without_shots_at_their_foot() -> None:
    """Triangles that reach through the house tell nothing of the ground at its walls."""
    assert [f for f in told(lambda x, y: 100 - 0.04 * y, pitch=60.0) if "building" in f.kind] == []


def test_standing_water_is_told_with_its_figures_and_a_working_basin_takes_it() -> None:
    def bowl(x: float, y: float) -> float:
        return 100 + 0.04 * max(abs(x - 20), abs(y - 20)) if max(abs(x - 20), abs(y - 20)) < 8 else 100.32

    (found,) = [f for f in told(bowl, pitch=2.0) if f.kind == "standing_water"]
    assert found.level == "settle"
    assert found.value == pytest.approx(0.32, abs=0.02)
    assert dict(found.params)["spills_at"] == pytest.approx(100.32)
    assert not [f for f in told(bowl, inlet((20.0, 20.0), 100.0), pitch=2.0) if f.kind == "standing_water"]
