"""GeoJSON (RFC 7946) as a drawing: lines and outlines; longitude and latitude, or plane coordinates as written."""

import json
from collections.abc import Iterator
from typing import Any, NoReturn

from drainsketch.errors import DrawingError
from drainsketch.files.drawing import Drawing, Drawn, Gathering
from drainsketch.files.globe import MOST_LATITUDE, Plane
from drainsketch.job.plain import LINE_LENGTH, plain

MOST_MARKS = {"{": 300_000, "[": 1_000_000}
DEEPEST = 20  # geometry collections within each other
YARD_DEG = 0.5  # about 35 miles; no plan in feet is so small, no yard on the globe so large
MOST_FEATURES = 100_000


def parse_geojson(data: bytes, name: str) -> Drawing:
    """Return the drawing in the bytes of a GeoJSON file.

    Coordinates within half a degree of each other that could be longitude and latitude are taken for such (WGS 84, RFC 7946) and put
    on a plane in feet about the first point; all others stand as written. A member ``drainsketch`` or ``crs`` that says which goes before.

    Raises
    ------
    DrawingError : it is no GeoJSON, or holds more than a job takes; names the feature
    """
    raw = _object(data, name)
    found = Gathering(name)
    for at, geometry, layer in _geometries(raw, name):
        _take(geometry, layer, f"{name}, feature {at + 1}", found, 0)
    if not found.lines:
        found.drawing(None)
    own, crs = isinstance(raw.get("drainsketch"), dict), _crs(raw)
    if own:
        return found.drawing("ft")
    if crs == "degrees" or (crs == "" and _may_be_degrees(found.lines)):
        return _on_plane(found)
    told = [f"Its coordinate system {crs} is taken as a plane."] if crs else []
    return found.drawing(None, told)


def _object(data: bytes, name: str) -> dict[str, Any]:
    def no_number(word: str) -> NoReturn:
        raise DrawingError(f"{name}: {word} is no coordinate")

    try:
        text = data.decode("utf-8-sig")
        for mark, most in MOST_MARKS.items():
            if text.count(mark) > most:
                raise DrawingError(
                    f"{name}: more than {most:,} of the sign {mark}; leave features out or take part of it"
                )
        raw = json.loads(text, parse_constant=no_number)
    except UnicodeDecodeError as fault:
        raise DrawingError(f"{name}: byte {fault.start} is not UTF-8 text, so this is no GeoJSON or damaged") from fault
    except RecursionError as fault:
        raise DrawingError(f"{name}: lists stand within lists too deep to be GeoJSON") from fault
    except json.JSONDecodeError as fault:
        raise DrawingError(
            f"{name}: line {fault.lineno}, column {fault.colno}: {fault.msg}; this is no JSON or damaged"
        ) from fault
    except ValueError as fault:
        raise DrawingError(f"{name}: a number in it has thousands of digits") from fault
    if not isinstance(raw, dict) or not isinstance(raw.get("type"), str):
        raise DrawingError(f"{name}: no GeoJSON object with a type is in it")
    return raw


def _geometries(raw: dict[str, Any], name: str) -> Iterator[tuple[int, Any, str]]:
    """Yield the geometries of a file with the number of their feature and a layer."""
    if raw["type"] == "FeatureCollection":
        features = raw.get("features")
        if not isinstance(features, list):
            raise DrawingError(f"{name}: a FeatureCollection needs a list of features")
        if len(features) > MOST_FEATURES:
            raise DrawingError(f"{name}: more than {MOST_FEATURES:,} features; take part of it")
    else:
        features = [raw]
    for at, feature in enumerate(features):
        if not isinstance(feature, dict):
            raise DrawingError(f"{name}, feature {at + 1}: this is no object; write it as a Feature with a geometry")
        if feature.get("type") == "Feature":
            said = feature.get("properties")
            said = said if isinstance(said, dict) else {}
            layer = next((v for k in ("layer", "what", "name") if isinstance(v := said.get(k), str) and v), "")
            yield at, feature.get("geometry"), plain(layer, LINE_LENGTH)
        else:
            yield at, feature, ""


def _take(geometry: Any, layer: str, place: str, found: Gathering, deep: int) -> None:
    """Take the lines of a geometry up."""
    if geometry is None:
        found.left_out["feature without a geometry"] += 1
        return
    kind = geometry.get("type") if isinstance(geometry, dict) else None
    if not isinstance(geometry, dict) or not isinstance(kind, str):
        raise DrawingError(f"{place}: the geometry is no object with a type")
    if kind == "GeometryCollection":
        parts = geometry.get("geometries")
        if not isinstance(parts, list) or deep >= DEEPEST:
            raise DrawingError(
                f"{place}: a GeometryCollection needs a list of geometries, not more than {DEEPEST} deep"
            )
        for part in parts:
            _take(part, layer, place, found, deep + 1)
        return
    if kind in ("Point", "MultiPoint"):
        found.left_out[kind] += 1
        return
    depth = {"LineString": 0, "MultiLineString": 1, "Polygon": 1, "MultiPolygon": 2}.get(kind)
    if depth is None:
        raise DrawingError(f"{place}: {plain(kind, 40)} is no geometry of GeoJSON")
    for line in _lists(geometry.get("coordinates"), depth, place):
        points = [_position(p, place) for p in line]
        if any(len(p) > 2 and p[2] for p in points):
            found.levels += 1
        found.take(points, kind.endswith("Polygon"), layer, kind)


def _lists(value: Any, depth: int, place: str) -> Iterator[list[Any]]:
    if not isinstance(value, list):
        raise DrawingError(f"{place}: its coordinates are no list")
    if not depth:
        yield value
        return
    for one in value:
        yield from _lists(one, depth - 1, place)


def _position(p: Any, place: str) -> list[float]:
    numbers = isinstance(p, list) and all(isinstance(v, int | float) and not isinstance(v, bool) for v in p)
    if not numbers or not 2 <= len(p) <= 10:
        raise DrawingError(f"{place}: a position is two numbers in brackets, [x, y]")
    try:
        return [float(v) for v in p[:3]]
    except OverflowError as fault:
        raise DrawingError(f"{place}: a coordinate is far too large") from fault


def _crs(raw: dict[str, Any]) -> str:
    """Return 'degrees', the name of another coordinate system (member ``crs`` of GeoJSON 2008), or '' where it says nothing."""
    crs = raw.get("crs")
    if not isinstance(crs, dict):
        return ""
    said = crs.get("properties")
    name = said.get("name") if isinstance(said, dict) else None
    if not isinstance(name, str):
        return ""
    return "degrees" if "CRS84" in name or name.endswith((":4326", ":4269")) else plain(name, 60)


def _may_be_degrees(lines: list[Drawn]) -> bool:
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    on_globe = max(map(abs, xs)) <= 180 and max(map(abs, ys)) <= MOST_LATITUDE
    return on_globe and max(xs) - min(xs) <= YARD_DEG and max(ys) - min(ys) <= YARD_DEG


def _on_plane(found: Gathering) -> Drawing:
    """Return the drawing in feet about its first point."""
    first = found.lines[0].points[0]
    ys = [y for line in found.lines for _, y in line.points]
    xs = [x for line in found.lines for x, _ in line.points]
    if max(map(abs, ys)) > MOST_LATITUDE or max(map(abs, xs)) > 360:
        raise DrawingError(f"{found.source}: longitude and latitude are out of bounds; write degrees, longitude first")
    plane = Plane(*first, (min(ys) + max(ys)) / 2)
    found.lines = [Drawn(tuple(plane.xy_ft(x, y) for x, y in d.points), d.closed, d.layer) for d in found.lines]
    told = [
        f"Longitude and latitude are put on a plane in feet; its first point, {first[1]:.6f}, {first[0]:.6f}, is 0, 0."
    ]
    return found.drawing("ft", told, on_globe=True)
