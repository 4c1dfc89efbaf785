"""GeoJSON drawings written by hand, sound and hostile."""

import json
from pathlib import Path

import pytest

from drainsketch.errors import DrawingError
from drainsketch.files.drawing_geojson import parse_geojson
from drainsketch.files.drawing_place import in_feet
from drainsketch.files.drawing_read import read_drawing
from tests.exports.yards import sample
from tests.files.drawings import LOT, geojson, polygon

LINE = {"type": "LineString", "coordinates": [[0, 0], [50, 0], [50, 30]]}


def test_plane_coordinates_stand_as_written(tmp_path: Path) -> None:
    read = read_drawing(geojson(tmp_path / "lot.geojson", polygon(*LOT), LINE))
    assert [(x.points, x.closed, x.layer) for x in read.lines] == [
        (tuple(LOT), True, "site"),
        (((0, 0), (50, 0), (50, 30)), False, "site"),
    ]
    assert in_feet(read, "ft").size_ft == (110, 84)
    assert in_feet(read, "m").size_ft[0] == pytest.approx(110 / 0.3048)
    assert in_feet(read, "ft", "in").size_ft[0] == pytest.approx(110 / 12)


def test_longitude_and_latitude_come_in_feet_about_the_first_point(tmp_path: Path) -> None:
    # at 40 N a degree of latitude is 111,035 m and one of longitude 85,394 m (published, from memory): 0.0003 and 0.0004 degrees
    ring = [(-89.0, 40.0), (-88.9997, 40.0), (-88.9997, 40.0004), (-89.0, 40.0004)]
    found = in_feet(read_drawing(geojson(tmp_path / "lot.geojson", polygon(*ring))), "m", "mm")
    assert found.lines[0].points[0] == (0, 0)
    assert found.size_ft == (
        pytest.approx(0.0003 * 85_394 / 0.3048, rel=1e-4),
        pytest.approx(0.0004 * 111_035 / 0.3048, rel=1e-4),
    )
    assert "its first point, 40.000000, -89.000000, is 0, 0" in found.told[0]


def test_a_named_system_says_which_it_is(tmp_path: Path) -> None:
    ring = [(0.1, 0.1), (0.2, 0.1), (0.2, 0.2)]
    plane = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::26916"}}
    read = read_drawing(geojson(tmp_path / "a.geojson", polygon(*ring), crs=plane))
    assert not read.on_globe and "EPSG::26916 is taken as a plane" in read.told[0]
    globe = {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}
    assert read_drawing(geojson(tmp_path / "b.geojson", polygon(*ring), crs=globe)).on_globe


def test_what_this_program_exports_comes_back_where_it_was(tmp_path: Path) -> None:
    from drainsketch.exports.geojson import write_geojson

    job, review = sample("corner-lot.drainjob")
    write_geojson(job, review, tmp_path / "yard.geojson")
    read = read_drawing(tmp_path / "yard.geojson")
    assert read.unit == "ft" and job.boundary is not None
    assert set(read.lines[0].points) == set(job.boundary.points)
    assert any("Point" in said for said in read.told)


def test_holes_many_parts_and_collections_are_lines_of_their_own() -> None:
    hole = [[2, 2], [4, 2], [4, 4], [2, 2]]
    ring = [[0, 0], [90, 0], [90, 90], [0, 0]]
    parts = {
        "type": "GeometryCollection",
        "geometries": [
            {"type": "MultiPolygon", "coordinates": [[ring, hole], [ring]]},
            {"type": "MultiLineString", "coordinates": [[[0, 0], [5, 5]], [[1, 1], [7, 7]]]},
            {"type": "Point", "coordinates": [1, 2]},
        ],
    }
    read = parse_geojson(json.dumps(parts).encode(), "g.json")
    assert [x.closed for x in read.lines] == [True, True, True, False, False]
    assert read.told == ("Left out: 1 Point.",)


def test_levels_are_dropped_and_said() -> None:
    line = {"type": "LineString", "coordinates": [[0, 0, 97.5], [50, 0, 98]]}
    assert "1 line had levels" in parse_geojson(json.dumps(line).encode(), "g.json").told[0]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "line 1, column 1"),
        ("[1, 2]", "no GeoJSON object"),
        ('{"type": 7}', "no GeoJSON object"),
        ('{"type": "FeatureCollection"}', "needs a list of features"),
        ('{"type": "FeatureCollection", "features": [3]}', "feature 1: this is no object"),
        ('{"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": 3}]}', "feature 1: the geometry"),
        ('{"type": "LineString", "coordinates": [[0, 0], [1]]}', "two numbers in brackets"),
        ('{"type": "LineString", "coordinates": [[0, 0], [true, 1]]}', "two numbers in brackets"),
        ('{"type": "LineString", "coordinates": [[0, 0], ["1", 1]]}', "two numbers in brackets"),
        ('{"type": "LineString", "coordinates": 5}', "coordinates are no list"),
        ('{"type": "LineString", "coordinates": [[0, NaN], [1, 1]]}', "NaN is no coordinate"),
        ('{"type": "LineString", "coordinates": [[0, -Infinity], [1, 1]]}', "-Infinity is no coordinate"),
        ('{"type": "LineString", "coordinates": [[0, 1' + "0" * 400 + "], [1, 1]]}", "far too large"),
        ('{"type": "LineString", "coordinates": [[0, 1' + "0" * 6000 + "], [1, 1]]}", "thousands of digits"),
        ('{"type": "Circle", "coordinates": []}', "Circle is no geometry of GeoJSON"),
        ('{"type": "Point", "coordinates": [1, 2]}', "no lines are in it; Left out: 1 Point"),
        ('{"type": "Feature", "geometry": null}', "no lines are in it"),
        ("[" * 100_000, "g.json"),
        ('{"type":"GeometryCollection","geometries":[' * 900, "g.json"),
    ],
)
def test_what_is_no_geojson_is_refused_in_words(text: str, said: str) -> None:
    with pytest.raises(DrawingError, match=r"g\.json") as fault:
        parse_geojson(text.encode(), "g.json")
    assert said in str(fault.value)


def test_other_text_and_far_too_many_signs_are_refused() -> None:
    with pytest.raises(DrawingError, match="byte 0 is not UTF-8"):
        parse_geojson(b"\xff\xfe{}", "g.json")
    with pytest.raises(DrawingError, match=r"more than 1,000,000 of the sign \["):
        parse_geojson(b"[" * 1_000_001, "g.json")


def test_infinite_by_overflow_is_left_out() -> None:
    text = '{"type": "MultiLineString", "coordinates": [[[0, 1e999], [1, 1]], [[0, 0], [9, 9]]]}'
    read = parse_geojson(text.encode(), "g.json")
    assert len(read.lines) == 1 and "no number" in read.told[0]


def test_collections_too_deep_are_refused() -> None:
    deep: dict[str, object] = dict(LINE)
    for _ in range(30):
        deep = {"type": "GeometryCollection", "geometries": [deep]}
    with pytest.raises(DrawingError, match="not more than 20 deep"):
        parse_geojson(json.dumps(deep).encode(), "g.json")
