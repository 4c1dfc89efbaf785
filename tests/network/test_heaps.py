"""What is said of spoil heaps and fill areas, worked by hand. The run goes from B1 (0, 0) to O1 (60, 0), its trench 12 in wide."""

import pytest
from msgspec.structs import replace

from drainsketch.findings import Finding
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Heap, Obstacle, Thing
from drainsketch.review import analyse
from drainsketch.wording import Words
from tests.yards import basin, drawn, outfall, run, service

KINDS = ("heap_", "heaps_", "fill_", "outline_crosses")


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def heap(*points: Point) -> Heap:
    return Heap(id="", kind="spoil heap", points=points)


def fill(*points: Point, deep_in: float | None = 4.0) -> Heap:
    return Heap(id="", kind="fill area", points=points, fill_in=deep_in)


def told(new: Heap, *others: Thing) -> dict[str, Finding]:
    job = drawn(basin(0, 0), outfall(60, 0), run("B1", "O1"), *others, new)
    return {f.kind: f for f in analyse(job).findings if f.kind.startswith(KINDS)}


def test_a_heap_on_open_ground_is_fine() -> None:
    assert told(heap(*box(20, 2.5, 30, 12))) == {}


def test_a_heap_nearer_than_two_feet_to_the_edge_of_a_trench_is_told_with_the_rule() -> None:
    # edge of the trench at y = 0.5; the heap begins at 2.4: 1.9 ft (29 CFR 1926.651(j)(2): at least 2 ft)
    (f,) = told(heap(*box(20, 2.4, 30, 12))).values()
    assert (f.kind, f.level, f.limit) == ("heap_at_edge", "settle", 2.0)
    assert f.value == pytest.approx(1.9)
    assert f.source == "29 CFR 1926.651(j)(2)"
    assert "1' 10 3/4\"" in Words().sentence(f)


def test_the_hole_of_a_basin_has_an_edge_too() -> None:
    # a basin of 12 in stands in a hole 2 ft square: its edge is at x = -1, the heap ends at -2.5
    (f,) = told(heap(*box(-12, -5, -2.5, 5))).values()
    assert (f.kind, dict(f.params)["thing"]) == ("heap_at_edge", "B1")
    assert f.value == pytest.approx(1.5)


def test_a_heap_over_pipe_and_basin_is_told_once_with_both() -> None:
    found = told(heap(*box(-5, -5, 10, 5)))
    assert dict(found["heap_over_drain"].params)["things"] == ("B1", "R1")
    assert found["heap_over_drain"].level == "settle"


def test_a_heap_over_a_service_is_told_with_its_length() -> None:
    # a gas line of 2 in: 10 ft across and an inch on either side
    found = told(heap(*box(20, 10, 30, 20)), service("gas", (0, 15), (60, 15), size_in=2.0))
    assert found["heap_over_service"].value == pytest.approx(10 + 2 / 12)
    filled = told(fill(*box(20, 10, 30, 20)), service("gas", (0, 15), (60, 15), size_in=2.0))
    assert set(filled) == {"fill_over_service"}
    assert told(heap(*box(20, 10, 30, 20)), service("gas", (0, 21), (60, 21), size_in=2.0)) == {}


def test_roots_are_kept_clear_of_both() -> None:
    # a trunk of 12 in: 15 ft by 1.25 ft per inch (North Carolina State Extension); the edge is 11 ft off
    tree = Obstacle(id="", kind="tree", points=((25, 31),), trunk_diameter_in=12.0)
    for new in (heap(*box(20, 10, 30, 20)), fill(*box(20, 10, 30, 20))):
        f = told(new, tree)["heap_in_root_zone"]
        assert (f.value, f.limit) == (pytest.approx(11.0), pytest.approx(15.0))


@pytest.mark.parametrize("kind", ["building", "septic", "well"])
def test_what_stands_under_it_is_told_and_what_only_touches_is_not(kind: str) -> None:
    def at(y: float) -> Obstacle:
        points = ((25.0, y),) if kind == "well" else box(20, y, 30, y + 5)
        return Obstacle(id="", kind=kind, points=points)  # type: ignore[arg-type]

    for new in (heap(*box(20, 10, 30, 20)), fill(*box(20, 10, 30, 20))):
        assert told(new, at(15))[f"heap_over_{kind}"].level == "settle"
        assert f"heap_over_{kind}" not in told(new, at(20.1))


def test_nothing_is_spread_on_paving_and_a_heap_may_lie_there() -> None:
    drive = Obstacle(id="", kind="hardscape", points=box(20, 15, 30, 20), surface="concrete")
    assert told(fill(*box(20, 10, 30, 20)), drive)["fill_over_paving"].level == "settle"
    assert "fill_over_paving" not in told(fill(*box(20, 10, 30, 14.9)), drive)
    assert not [kind for kind in told(heap(*box(20, 10, 30, 20)), drive) if "over" in kind]


@pytest.mark.parametrize(("off_ft", "is_told"), [(0.2, True), (9.9, True), (10.1, False)])
def test_ground_raised_within_ten_feet_of_a_wall_is_told(off_ft: float, is_told: bool) -> None:
    """IRC R401.3 (from memory): 6 in of fall within the first 10 ft."""
    house = Obstacle(id="", kind="building", points=box(20, 30, 40, 50))
    area = box(20, 20 - off_ft, 40, 30 - off_ft)
    found = told(fill(*area), house)
    assert ("fill_at_building" in found) is is_told
    if is_told:
        assert found["fill_at_building"].value == pytest.approx(off_ft)
    assert "fill_at_building" not in told(heap(*area), house)


@pytest.mark.parametrize(("north", "out"), [(39.8, False), (40.0, True), (45.0, True), (60.0, True)])
def test_on_the_lot_line_or_beyond_it(north: float, out: bool) -> None:
    lot = Boundary(id="", points=box(-10, -10, 70, 40))
    found = told(heap(*box(20, north - 10, 30, north)), lot)
    assert ("heap_outside_lot" in found) is out


def test_a_fill_area_wants_a_depth_and_keeps_off_rims() -> None:
    assert told(fill(*box(20, 10, 30, 20), deep_in=None))["fill_without_depth"].level == "settle"
    assert set(told(fill(*box(20, 10, 30, 20)))) == set()
    found = told(fill(*box(-5, -5, 10, 5)))
    assert dict(found["fill_over_structure"].params)["things"] == ("B1",)
    assert dict(found["fill_over_run"].params)["things"] == ("R1",)
    assert "heap_at_edge" not in found


def test_an_outline_that_crosses_itself_is_told_and_borne() -> None:
    found = told(heap((20, 10), (30, 20), (30, 10), (20, 20)))
    assert "outline_crosses" in found


def test_the_pit_of_a_dry_well_has_an_edge() -> None:
    well = replace(outfall(60, 0, "dry well"), pit_length_ft=8.0, pit_width_ft=5.0, pit_depth_ft=3.0)
    job = drawn(basin(0, 0), well, run("B1", "O1"), heap(*box(65, -3, 75, 3)))  # the pit ends at x = 64
    f = next(f for f in analyse(job).findings if f.kind == "heap_at_edge")
    assert (f.value, dict(f.params)["thing"]) == (pytest.approx(1.0), "O1")


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_finding_can_be_said(lang: str) -> None:
    tree = Obstacle(id="", kind="tree", points=((5, 5),))
    others = [
        Obstacle(id="", kind="building", points=box(-5, 2, 0, 5)),
        Obstacle(id="", kind="septic", points=box(0, 2, 5, 5)),
    ]
    others.append(Obstacle(id="", kind="well", points=((8, 4),)))
    others.append(Obstacle(id="", kind="hardscape", points=box(5, -5, 10, -2)))
    for new in (heap(*box(-5, -5, 10, 5)), fill(*box(-5, -5, 10, 5), deep_in=None)):
        job = drawn(basin(0, 0), outfall(60, 0), run("B1", "O1"), tree, service("gas", (0, 3), (60, 3)), *others, new)
        words = Words.of(job, lang)
        for f in analyse(job).findings:
            if f.kind.startswith(KINDS):
                for text in (words.sentence(f), words.remedy(f), words.source(f)):
                    assert text and "{" not in text and "?" not in text
