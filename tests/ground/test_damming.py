"""Fill areas that hold water back."""

from math import hypot

from msgspec.structs import replace

from drainsketch.ground.damming import damming_findings
from drainsketch.ground.study import ground_study
from drainsketch.job.kinds import Point
from drainsketch.job.model import Heap
from tests.ground.shapes import Height, ground_of, inlet


def told(z: Height, inlet_at: Point | None, *corners: Point, kind: str = "fill area") -> dict[str, float | None]:
    job, surface = ground_of(z)
    study = ground_study(job, surface, () if inlet_at is None else (inlet(inlet_at, 90.0),))
    heap = Heap(id="fill-1", kind=kind, points=corners, fill_in=6.0 if kind == "fill area" else None)  # type: ignore[arg-type]
    return {f.kind: f.value for f in damming_findings(replace(job, heaps=(heap,)), study)}


def valley(x: float, y: float) -> float:
    """Ground that falls to the floor y = 0 and along it to the east: the longest way runs along the floor."""
    return 100 + 0.05 * abs(y) + 0.01 * (30 - x)


def hollow(x: float, y: float) -> float:
    return 100 - max(0.0, 1.0 - 0.1 * hypot(x, y))


def test_across_the_floor_of_a_valley_it_holds_water_back() -> None:
    found = told(valley, (29.0, 0.0), (5, -6), (9, -6), (9, 6), (5, 6))
    assert found["fill_across_way"] is not None
    assert 30 < found["fill_across_way"] < 75  # at least from the west end, at most down the side and along the floor


def test_beside_the_way_nothing_is_said() -> None:
    assert told(valley, (29.0, 0.0), (24, 18), (28, 18), (28, 24), (24, 24)) == {}


def test_where_water_stands_it_is_told() -> None:
    assert set(told(hollow, None, (-4, -4), (4, -4), (4, 4), (-4, 4))) == {"fill_in_standing_water"}
    assert told(hollow, None, (-4, -4), (4, -4), (4, 4), (-4, 4), kind="spoil heap") == {}
    assert told(hollow, None, (15, 15), (20, 15), (20, 20), (15, 20)) == {}
