"""Collisions are checked against shapely's own polygons."""

from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from drainsketch.sheets.boxes import Box, Taken, boxes_meet, line_meets

place = st.floats(-60, 60)
boxes = st.builds(Box, place, place, st.floats(1, 40), st.floats(1, 40), st.floats(-90, 90))
spots = st.tuples(place, place)


@given(boxes, boxes)
def test_boxes_meet_where_shapely_finds_common_area(a: Box, b: Box) -> None:
    common = Polygon(a.corners()).intersection(Polygon(b.corners())).area
    if common > 1e-3:
        assert boxes_meet(a, b)
    elif Polygon(a.corners()).distance(Polygon(b.corners())) > 1e-3:
        assert not boxes_meet(a, b)


@given(boxes, spots, spots)
def test_a_line_meets_a_box_where_shapely_finds_common_length(
    box: Box, a: tuple[float, float], b: tuple[float, float]
) -> None:
    line = LineString([a, b])
    inside = line.intersection(Polygon(box.corners())).length
    if inside > 1e-3:
        assert line_meets(box, a, b)
    elif line.distance(Polygon(box.corners())) > 1e-3:
        assert not line_meets(box, a, b)


@given(st.lists(boxes, max_size=12), boxes)
def test_the_grid_finds_what_a_plain_search_finds(taken: list[Box], asked: Box) -> None:
    grid = Taken()
    for box in taken:
        grid.add(box)
    assert grid.free(asked) == (not any(boxes_meet(box, asked) for box in taken))
