"""Pits of dry wells: where they lie, how deep they go, and what is said of them."""

from math import sqrt

import pytest

from drainsketch.findings import Finding
from drainsketch.job.edits.change import change
from drainsketch.job.model import Boundary, Job, Obstacle
from drainsketch.network.pits import Pit, pits_of
from drainsketch.review import Review, analyse
from tests.yards import basin, drawn, kinds, outfall, plane, run, service

FLAT = plane(lambda x, y: 100.0)
SMALL = {"pit_length_ft": 4.0, "pit_width_ft": 4.0, "pit_depth_ft": 4.0}
LARGE = {"pit_length_ft": 10.0, "pit_width_ft": 6.0, "pit_depth_ft": 12.0}


def yard(*things: object, invert_ft: float = 98.5, at: tuple[float, float] = (50.0, 0.0), **pit: float) -> Job:
    """Level ground at 100.00; a line from the west to a dry well whose invert is pinned 1.5 ft below it."""
    rest = (basin(0, 0), outfall(*at, "dry well", invert_ft=invert_ft, **pit), run("B1", "O1"))
    return drawn(*things, *FLAT, *rest)  # type: ignore[arg-type]


def told(review: Review, kind: str) -> list[Finding]:
    return [f for f in review.findings if f.kind == kind]


def test_its_corners_lie_half_its_length_and_width_from_the_outfall() -> None:
    """Along (3/5, 4/5): the corner ahead and left of (0, 0) is 5 (0.6, 0.8) + 3 (-0.8, 0.6) = (0.6, 5.8)."""
    pit = Pit("O1", (0.0, 0.0), (0.6, 0.8), 10.0, 6.0, 4.0)
    assert [pytest.approx(p) for p in pit.outline] == [(0.6, 5.8), (-5.4, -2.2), (-0.6, -5.8), (5.4, 2.2)]
    assert pit.shape.area == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("points", "inside"),
    [
        (((0, 0), (40, 0)), 5.0),
        (((0, 0), (-40, 0)), 5.0),
        (((0, 0), (0, -40)), 3.0),
        (((0, 0), (40, 40)), 3 * sqrt(2)),
        (((0, 0), (2, 0), (2, 40)), 5.0),  # 2 along, then 3 across
        (((0, 0), (2, 0)), 2.0),  # ends inside
        (((0, 0), (5, 0)), 5.0),
        (((0, 0),), 0.0),
    ],
)
def test_a_line_leaves_it_where_plane_geometry_says(points: tuple[tuple[float, float], ...], inside: float) -> None:
    pit = Pit("O1", (7.0, 9.0), (1.0, 0.0), 10.0, 6.0, 4.0)
    moved = tuple((x + 7.0, y + 9.0) for x, y in points)
    assert pit.inside_ft(moved) == pytest.approx(inside)


def test_its_length_lies_along_the_line_however_that_was_drawn() -> None:
    east = {"B1": (0.0, 0.0)}
    job = yard(**LARGE)
    back = drawn(*FLAT, basin(*east["B1"]), outfall(50, 0, "dry well", **LARGE), run("O1", "B1"))
    for one in (job, back):
        assert pits_of(one)["O1"].along == pytest.approx((-1.0, 0.0))


@pytest.mark.parametrize(
    ("invert", "pit", "kind", "depth", "limit"),
    [
        (98.5, SMALL, "hole_to_shore", 5.5, 5.0),
        (98.5, LARGE, "hole_to_shore", 13.5, 5.0),
        (98.5, SMALL | {"pit_depth_ft": 3.5}, "hole_to_shore", 5.0, 5.0),
        (98.5, SMALL | {"pit_depth_ft": 3.4}, "hole_needs_ladder", 4.9, 4.0),
        (98.5, SMALL | {"pit_depth_ft": 2.5}, "hole_needs_ladder", 4.0, 4.0),
    ],
)
def test_how_deep_a_pit_is_dug_is_told(
    invert: float, pit: dict[str, float], kind: str, depth: float, limit: float
) -> None:
    """29 CFR 1926.651(c)(2): a way out at 4 ft or more; 652(a)(1): protection unless less than 5 ft."""
    (found,) = told(analyse(yard(invert_ft=invert, **pit)), kind)
    assert (found.level, found.place.ids, found.value, found.limit) == ("settle", ("O1",), pytest.approx(depth), limit)


def test_a_shallow_pit_and_a_well_without_a_size_are_not_told_as_deep() -> None:
    for job in (yard(**SMALL | {"pit_depth_ft": 2.4}), yard(pit_length_ft=4.0, pit_depth_ft=9.0)):
        assert not {"hole_to_shore", "hole_needs_ladder"} & set(kinds(analyse(job)))


def test_without_shots_it_is_no_shallower_than_it_goes_below_the_invert() -> None:
    job = drawn(basin(0, 0), outfall(50, 0, "dry well", **LARGE), run("B1", "O1"))
    (found,) = told(analyse(job), "hole_to_shore")
    assert found.value == 12.0
    assert analyse(job).pits["O1"].dug_ft is None


LOT = Boundary(id="boundary", points=((-20.0, -40.0), (58.0, -40.0), (58.0, 40.0), (-20.0, 40.0)))


def test_water_that_soaks_in_by_the_lot_line_is_told_from_the_edge_of_its_pit() -> None:
    """Outfall 8 ft inside the line, its pit reaching 5 ft toward it: 3 ft are left. Without a pit it is far enough."""
    (found,) = told(analyse(yard(LOT, **LARGE)), "outfall_near_lot_line")
    assert (found.level, found.value, found.limit) == ("settle", pytest.approx(3.0), 5.0)
    assert not told(analyse(yard(LOT)), "outfall_near_lot_line")
    (near,) = told(analyse(yard(LOT, at=(54.0, 0.0))), "outfall_near_lot_line")
    assert near.value == pytest.approx(4.0)


def test_making_an_outfall_a_dry_well_keeps_what_is_said_of_the_lot_line() -> None:
    job = yard(LOT, at=(54.0, 0.0))
    for kind in ("daylight", "pop-up", "dry well"):
        assert told(analyse(change(job, "O1", outfall=kind, invert_ft=None)), "outfall_near_lot_line"), kind


@pytest.mark.parametrize(
    ("kind", "limit", "fields"),
    [("septic", 10.0, {}), ("building", 5.0, {"footing_depth_ft": 30.0}), ("well", 50.0, {})],
)
def test_setbacks_are_held_from_the_edge_of_the_pit(kind: str, limit: float, fields: dict[str, float]) -> None:
    """A thing whose near side lies just within the limit of the pit's edge at x = 55, then just beyond it."""

    def placed(off: float) -> Job:
        x = 55.0 + off
        ring = ((x, 0.0),) if kind == "well" else ((x, -9.0), (x + 9, -9.0), (x + 9, 9.0), (x, 9.0))
        return yard(Obstacle(id="", kind=kind, points=ring, **fields), **LARGE)  # type: ignore[arg-type]

    (found,) = told(analyse(placed(limit - 0.5)), f"outfall_near_{kind}")
    assert (found.level, found.value, found.limit) == ("settle", pytest.approx(limit - 0.5), limit)
    assert not told(analyse(placed(limit + 0.5)), f"outfall_near_{kind}")


def test_a_pit_below_the_line_of_a_footing_is_told() -> None:
    """Footing 3 ft deep, 6 ft from the pit's edge: the line is at 100 - 3 - 6 = 91; the floor at 98.5 - 12 = 86.5, 4.5 ft under it."""
    house = Obstacle(id="", kind="building", points=((61, -9), (70, -9), (70, 9), (61, 9)), footing_depth_ft=3.0)
    (found,) = told(analyse(yard(house, **LARGE)), "hole_undercuts_footing")
    assert found.value == pytest.approx(4.5)
    assert not told(analyse(yard(house, **SMALL)), "hole_undercuts_footing")


def test_a_pit_dug_in_the_hand_dig_zone_of_a_service_is_to_be_settled() -> None:
    """A 2 in gas line, zone 1 in and 18 in: it passes 1.5 ft beyond the north edge of the pit at y = 3, then 1.6 ft."""
    for y, is_told in ((4.5, True), (4.6, False)):
        gas = service("gas", (30.0, y), (80.0, y), size_in=2.0, depth_top_ft=2.0)
        found = [f for f in told(analyse(yard(gas, **LARGE)), "structure_by_service") if f.place.ids[0] == "O1"]
        assert bool(found) == is_told
        if found:
            assert (found[0].level, found[0].value) == ("settle", pytest.approx(1.5))
    bare = service("gas", (30.0, 4.5), (80.0, 4.5), size_in=2.0, depth_top_ft=2.0)
    assert not [f for f in told(analyse(yard(bare)), "structure_by_service") if f.place.ids[0] == "O1"]


@pytest.mark.parametrize(("depth", "is_told"), [(2.0, True), (13.0, True), (14.0, False)])
def test_a_service_through_a_pit_stops_it(depth: float, is_told: bool) -> None:
    """It passes under the east end of the pit, off the line itself; the floor is 13.5 ft down. In its zone it is told at any depth."""
    gas = service("gas", (54.0, -30.0), (54.0, 30.0), size_in=2.0, depth_top_ft=depth, known_by="owner")
    review = analyse(yard(gas, **LARGE))
    assert bool(told(review, "stands_on_service")) == is_told
    assert told(review, "structure_by_service")


def test_levels_that_nobody_can_dig_to_are_not_given() -> None:
    """The line cannot drain as drawn: its head is lower than the ground at the well, so the pit has no floor to dig to."""
    ground = plane(lambda x, y: 100.0 + x / 10)
    job = drawn(*ground, basin(0, 0), outfall(50, 0, "dry well", invert_ft=104.0, **LARGE), run("B1", "O1"))
    free = analyse(change(job, "O1", invert_ft=None))
    assert free.pits["O1"].dug_ft is not None
    held = analyse(job)
    assert "O1" in held.undug
    assert held.pits["O1"].floor_ft == pytest.approx(92.0)  # the pin of the user stands
