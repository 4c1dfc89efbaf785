"""Findings about water on the surface.

Source of the limit: IRC R401.3, ground falls 6 in or more within the first 10 ft from a foundation wall (5 %).
"""

import pytest

from drainsketch.findings import Finding
from drainsketch.ground.results import Inlet
from drainsketch.ground.study import ground_study
from drainsketch.ground.water_checks import water_findings
from drainsketch.job.kinds import Point
from drainsketch.sheets.water_marks import pond_label
from drainsketch.wording import Words
from tests.ground.shapes import Height, ground_of, house, inlet
from tests.yards import basin, drawn, outfall, run


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


def test_a_ridge_off_the_wall_sends_its_water_back_however_low_the_ground_lies_beyond() -> None:
    """House of 20 by 20 ft; its south wall has a ridge of 1.00 ft all along, 2 ft off, and 100 - 0.2 = 99.80 at 10 ft.

    From the ridge back to the wall it is 1.00 ft in 2 ft: 50 %. From foot to 10 ft the ground falls 0.20 ft, which alone would be
    2 %. The other walls fall 6 % away. So 20 ft of wall have water run back to them, and no more miss the 5 %.
    """

    def ground(x: float, y: float) -> float:
        if y < -10 and abs(x) <= 14:
            off = -10 - y
            return 100 + 0.5 * off if off <= 2 else 101 - 0.15 * (off - 2)
        return 100 - 0.06 * max(0.0, abs(x) - 10, abs(y) - 10)

    (found,) = [f for f in told(ground, pitch=2.0) if "building" in f.kind]
    given = dict(found.params)
    assert (found.kind, found.level) == ("ground_falls_to_building", "settle")
    assert found.value == pytest.approx(0.5, abs=0.01)
    assert given["out"] == pytest.approx(2.0)
    assert given["stretch"] == pytest.approx(20.0)
    assert given["missed"] == pytest.approx(20.0)


def test_all_of_the_wall_that_misses_the_fall_is_named() -> None:
    """On the plane 100 - 0.04 y water comes to the south wall; the north wall falls 4 % and the others not at all: 4 x 20 ft miss."""
    found = {f.kind: f for f in told(lambda x, y: 100 - 0.04 * y)}["ground_falls_to_building"]
    assert dict(found.params)["missed"] == pytest.approx(80.0)
    assert dict(found.params)["out"] == pytest.approx(10.0)
    said = Words("en", "ft").sentence(found)
    assert "along 20.00 ft of its wall" in said
    assert "In all, 80.00 ft of its wall miss the fall of 5.00%" in said


def test_a_wall_with_shots_at_both_its_corners_is_known_between_them() -> None:
    """Shots every 20 ft, the plane falls 4 % to the south wall. They stand at both corners of the
    house and no nearer to the middle of its wall than 10 ft: all 20 ft of it are told."""
    job, surface = ground_of(lambda x, y: 100 - 0.04 * y, 30.0, 20.0, (), (house(-10, -10, 10, 10),))
    found = {f.kind: f for f in water_findings(job, surface, ground_study(job, surface, ()))}
    assert dict(found["ground_falls_to_building"].params)["stretch"] == pytest.approx(20.0)


def test_water_is_sent_back_also_where_ten_feet_out_lie_outside_the_shots() -> None:
    """Shots to 5 ft from the house of 20 by 20 ft only, on a plane that falls 4 % to its south wall: 20 ft, by 4 % from 5 ft out."""
    job, surface = ground_of(lambda x, y: 100 - 0.04 * y, 15.0, 5.0, (), (house(-10, -10, 10, 10),))
    (found,) = [f for f in water_findings(job, surface, ground_study(job, surface, ())) if "building" in f.kind]
    assert found.value == pytest.approx(0.04)
    assert dict(found.params)["stretch"] == dict(found.params)["missed"] == pytest.approx(20.0)
    assert dict(found.params)["out"] == pytest.approx(5.0)


def test_depth_is_said_to_the_same_half_inch_as_on_the_plan() -> None:
    """A pan 0.78 ft deep: 9.36 in, to half an inch 9 1/2 in."""

    def pan(x: float, y: float) -> float:
        return 100.0 if max(abs(x - 20), abs(y - 20)) < 5 else 100.78

    job, surface = ground_of(pan, 30.0, 2.0)
    study = ground_study(job, surface, ())
    (found,) = [f for f in water_findings(job, surface, study) if f.kind == "standing_water"]
    assert Words().sentence(found).startswith("Water stands 0' 9 1/2\" deep here")
    label = pond_label(study.ponds[0], study, Words())
    assert label is not None and label.text.startswith("9 1/2 in deep")


def test_nothing_is_said_of_walls_without_shots_at_their_foot() -> None:
    """Triangles that reach through the house tell nothing of the ground at its walls."""
    assert [f for f in told(lambda x, y: 100 - 0.04 * y, pitch=60.0) if "building" in f.kind] == []


def test_standing_water_is_told_with_its_figures_and_a_working_basin_takes_it() -> None:
    def bowl(x: float, y: float) -> float:
        return 100 + 0.04 * max(abs(x - 20), abs(y - 20)) if max(abs(x - 20), abs(y - 20)) < 8 else 100.32

    (found,) = [f for f in told(bowl, pitch=2.0) if f.kind == "standing_water"]
    assert found.level == "settle"
    assert found.value == pytest.approx(0.32, abs=0.02 + 0.25 / 12)  # said to half an inch
    assert dict(found.params)["spills_at"] == pytest.approx(100.32)
    assert not [f for f in told(bowl, inlet((20.0, 20.0), 100.0), pitch=2.0) if f.kind == "standing_water"]


# -- what outfalls let out


def let_out(
    z: Height, *inlets: Inlet, at: Point = (-20.0, 0.25), kind: str = "daylight", led: bool = True
) -> list[Finding]:
    job, surface = ground_of(z, 30.0)
    job = drawn(basin(0, 25), outfall(*at, kind), *((run("B1", "O1"),) if led else ()), job=job)
    found = water_findings(job, surface, ground_study(job, surface, inlets))
    return [f for f in found if f.kind.startswith("outfall_runs")]


def east(x: float, y: float) -> float:
    return 100 - 0.02 * x


@pytest.mark.parametrize("kind", ["daylight", "pop-up"])
def test_an_outfall_above_an_inlet_of_the_yard_sends_its_water_round(kind: str) -> None:
    (found,) = let_out(east, inlet((10.0, 0.25), 99.8, 1.0, name="B7"), kind=kind)
    assert (found.kind, found.level, found.place.ids) == ("outfall_runs_back", "settle", ("O1", "B7"))
    assert found.place.point == (-20.0, 0.25)
    assert "What O1 lets out runs over the ground to B7" in Words("en", "ft").sentence(found)
    assert "hasta B7" in Words("es", "ft").sentence(found)


def test_an_outfall_whose_water_runs_off_the_shots_has_nothing_to_settle() -> None:
    beside = inlet((10.0, 12.25), 99.8, 1.0, name="B7")
    assert let_out(east, beside) == []
    assert let_out(east, inlet((-25.0, 0.25), 100.5, 1.0, name="B7")) == []  # uphill of it
    assert let_out(east, beside, at=(30.0, 0.25)) == []  # at the edge


@pytest.mark.parametrize(("kind", "led"), [("curb", True), ("tie-in", True), ("dry well", True), ("daylight", False)])
def test_what_lets_no_water_out_on_the_ground_is_not_asked(kind: str, led: bool) -> None:
    assert let_out(east, inlet((10.0, 0.25), 99.8, 1.0, name="B7"), kind=kind, led=led) == []


def test_an_outfall_into_low_ground_has_its_water_stand_there() -> None:
    # a bowl of 3 %, its brim 0.90 ft over its middle
    (found,) = let_out(lambda x, y: 100 + 0.03 * max(abs(x), abs(y)))
    assert (found.kind, found.level, found.place.ids) == ("outfall_runs_to_pond", "settle", ("O1",))
    assert found.value == pytest.approx(0.9, abs=0.05)
    assert "into low ground of the same yard" in Words("en", "ft").sentence(found)
    assert "se estanca" in Words("es", "ft").sentence(found)


def test_a_puddle_on_the_way_fills_and_lets_the_water_on() -> None:
    def dented(x: float, y: float) -> float:
        return 100 - 0.02 * x + 0.04 * abs(y) - (0.16 if (x, y) == (0.0, 0.0) else 0.0)  # a swale with a dent in it

    (found,) = let_out(dented, inlet((10.0, 0.0), 99.8, 1.0, name="B7"))
    assert (found.kind, found.place.ids) == ("outfall_runs_back", ("O1", "B7"))
