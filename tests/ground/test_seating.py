"""Which inlets take water together, and which stand on a slope, on grounds whose pools are known by hand."""

from math import hypot

import numpy as np
import pytest

from drainsketch.ground.results import GroundStudy, Inlet
from drainsketch.ground.seating import NONE, shared_water, sloping_grates
from drainsketch.ground.study import ground_study
from tests.ground.shapes import Height, ground_of, inlet

OVER_FT = 0.25  # 3 in


def looked_at(z: Height, *inlets: Inlet, pitch: float = 5.0) -> GroundStudy:
    job, surface = ground_of(z, 30.0, pitch)
    study = ground_study(job, surface, inlets)
    assert study is not None
    return study


def bowl(x: float, y: float) -> float:
    """Four planes of 3 % that meet at 100.00 in the middle; the brim stands at 100.90."""
    return 100 + 0.03 * max(abs(x), abs(y))


def two_bowls(x: float, y: float) -> float:
    """Two bowls side by side with their low points 99.70 at x = -15 and 15, closed in from 100.60 on: the saddle between them stands at 100.15."""
    return 99.7 + max(0.03 * (15.0 - abs(x)), 0.08 * (abs(x) - 15.0), 0.03 * abs(y))


def west_east(west_ft: float, east_ft: float, at: float = 10.0) -> tuple[Inlet, Inlet]:
    return inlet((-at, 0.25), west_ft, name="B1"), inlet((at, 0.25), east_ft, name="B2")


def test_what_stands_at_the_bottom_of_a_bowl_goes_to_both_grates_above_it() -> None:
    study = looked_at(bowl, *west_east(100.3, 100.3))
    shared = shared_water(study, OVER_FT)
    assert shared.groups == ((1, 2),)
    known = ~np.isnan(study.ground_ft.ravel())
    pooled = (shared.group == 0)[known].mean()
    assert pooled == pytest.approx(
        1 - 80 / 3600, abs=0.01
    )  # all but two strips 2 ft wide at the most, up the slope from each grate


@pytest.mark.parametrize(
    ("east_ft", "together"), [(100.3, True), (100.5, True), (100.549, True), (100.551, False), (100.8, False)]
)
def test_a_grate_much_higher_than_the_lowest_takes_no_part(east_ft: float, together: bool) -> None:
    shared = shared_water(looked_at(bowl, *west_east(100.3, east_ft)), OVER_FT)
    assert shared.groups == (((1, 2),) if together else ())
    assert together == bool((shared.group != NONE).any())


def test_the_lowest_rim_leads_whichever_was_drawn_first() -> None:
    rims = (100.7, 100.3, 100.5)
    three = [
        inlet((x, y), z, name=f"B{n}")
        for n, (x, y, z) in enumerate(((-10.0, 0.0, rims[0]), (10.0, 0.0, rims[1]), (0.0, 10.0, rims[2])))
    ]
    assert shared_water(looked_at(bowl, *three), OVER_FT).groups == ((2, 3),)


def test_bowls_that_water_at_the_rims_does_not_join_keep_their_own() -> None:
    # rims 0.25 ft over the low points, the saddle 0.45 ft over them
    low = west_east(99.95, 99.95, 15.0)
    assert shared_water(looked_at(two_bowls, *low), OVER_FT).groups == ()
    high = west_east(100.2, 100.2, 15.0)  # over the saddle
    assert shared_water(looked_at(two_bowls, *high), OVER_FT).groups == ((1, 2),)


def test_inlets_on_a_slope_share_nothing() -> None:
    down = west_east(100.3, 99.7)
    shared = shared_water(looked_at(lambda x, y: 100 - 0.03 * x, *down), OVER_FT)
    assert shared.groups == ()
    assert (shared.group == NONE).all()
    assert shared_water(looked_at(bowl), OVER_FT).groups == ()
    assert shared_water(looked_at(bowl, inlet((0.0, 0.0), 100.0)), OVER_FT).groups == ()


def test_what_stands_first_on_the_flank_and_spills_straight_to_one_grate_stays_with_it() -> None:
    """A dent in the flank at x = -20, 3 ft across and 0.4 ft deep, right above the western grate: it spills at 100.5 or so, over no pool."""

    def dented(x: float, y: float) -> float:
        return bowl(x, y) - 0.4 * max(0.0, 1 - hypot(x + 20.0, y - 0.25) / 3.0)

    study = looked_at(dented, *west_east(100.3, 100.3), pitch=0.5)
    shared = shared_water(study, OVER_FT)
    assert shared.groups == ((1, 2),)
    grid = study.grid
    cell = int((0.25 - grid.south_ft) / grid.cell_ft) * grid.columns + int((-20.0 - grid.west_ft) / grid.cell_ft)
    assert study.drained is not None
    assert study.drained.basin.ravel()[cell] > 2  # it stands in the dent
    assert study.reaches is not None
    assert study.reaches.ravel()[cell] == 1
    assert shared.group[cell] == NONE


@pytest.mark.parametrize("slope", [0.01, 0.05])
def test_a_grate_on_a_plane_has_the_slope_of_the_plane(slope: float) -> None:
    study = looked_at(lambda x, y: 100 - slope * (0.6 * x + 0.8 * y), inlet((0.0, 0.0), 100.0))
    assert sloping_grates(study, OVER_FT) == {"B1": pytest.approx(slope, rel=1e-6)}


def test_a_grate_in_low_ground_or_let_into_the_slope_stands_on_none() -> None:
    assert sloping_grates(looked_at(bowl, *west_east(100.3, 100.3)), OVER_FT) == {}
    above = looked_at(bowl, *west_east(100.3, 100.95))  # its rim stands higher than the bowl spills at
    assert set(sloping_grates(above, OVER_FT)) == {"B2"}
    sunk = looked_at(lambda x, y: 100 - 0.05 * x, inlet((0.0, 0.0), 99.7))
    assert sloping_grates(sunk, OVER_FT) == {}
    assert set(sloping_grates(sunk, 0.4)) == {"B1"}


def test_a_grate_in_a_swale_has_the_fall_of_the_swale_and_not_of_its_sides() -> None:
    study = looked_at(lambda x, y: 100 - 0.01 * x + 0.1 * abs(y), inlet((0.0, 0.0), 100.0), pitch=2.5)
    assert sloping_grates(study, OVER_FT)["B1"] == pytest.approx(0.01, abs=0.002)
