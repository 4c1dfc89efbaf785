"""What a drain keeps from buried services, and the ground under a footing, against published rules.

Sources:
- water mains: at crossings 18 in between the outsides of a water main and a storm sewer, 10 ft side by side: Recommended
  Standards for Water Works (Ten States Standards), section 8.8; so too the Illinois rule in the code of Tolono IL.
- water service and building sewer: 12 in of water service above the sewer, or 5 ft apart: IPC 603.2 (from memory).
- gas transmission line: 12 in from any other underground structure: 49 CFR 192.325(a) (from memory).
- hand-dig zone: width of the service and 18 in each side of its outside edge: CGA Best Practices 5.19.
- footings: outside a line down at 1 to 1 from the edge of the footing: common practice, no source.
"""

import numpy as np
import pytest

from drainsketch.job.limits import Criteria
from drainsketch.network.buried import rule_of
from drainsketch.network.footings import undercut_ft
from drainsketch.network.shapes import zone_ft
from drainsketch.network.windows import needs_ft
from drainsketch.resources import table
from tests.yards import service

LINE = ((0.0, 0.0), (9.0, 0.0))
NO_CLEARANCE = Criteria(clearance_in=0)


@pytest.mark.parametrize("size_in", [4.0, 6.0, None])
def test_water_main_to_storm_sewer(size_in: float | None) -> None:
    main = service("water", *LINE, size_in=size_in)
    assert needs_ft(main, NO_CLEARANCE)[:2] == (1.5, 1.5)
    assert rule_of(main).beside_ft == 10.0
    assert "Ten States" in rule_of(main).source


def test_water_service_to_building_sewer() -> None:
    house = service("water", *LINE, size_in=1.0)
    assert needs_ft(house, NO_CLEARANCE)[:2] == (1.0, 1.0)
    assert rule_of(house).beside_ft == 5.0


@pytest.mark.parametrize("kind", ["gas", "unidentified"])
def test_gas_transmission_line(kind: str) -> None:
    assert needs_ft(service(kind, *LINE), NO_CLEARANCE)[:2] == (1.0, 1.0)
    assert "192.325" in rule_of(service(kind, *LINE)).source


def test_tolerance_zone_of_a_two_inch_line_is_38_inches_wide() -> None:
    assert 2 * zone_ft(service("gas", *LINE, size_in=2.0), Criteria().hand_dig_each_side_in) == pytest.approx(38 / 12)


def test_one_to_one_line_from_a_footing() -> None:
    """A trench 4 ft deep beside a footing 1 ft deep has to stay 3 ft off."""
    off, ground, bottom = np.array([2.99, 3.01]), np.full(2, 100.0), np.full(2, 96.0)
    assert (undercut_ft(off, ground, 1.0, bottom) > 0).tolist() == [True, False]


def test_every_rule_says_where_it_comes_from_and_no_error_is_claimed_to_be_published() -> None:
    rows = table("catalogue/services.toml")
    for row in rows.values():
        assert any(word in row["source"] for word in ("no source", "from memory", "Ten States"))
        assert set(row["error_ft"]) == {"assumed", "owner", "records", "marked", "exposed"}
        errors = row["error_ft"]
        assert errors["assumed"] >= errors["records"] >= errors["marked"] >= errors["exposed"] > 0
