"""Drawings for the tests, written by ezdxf and by hand."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf

LOT = [(0.0, 0.0), (110.0, 0.0), (110.0, 78.0), (0.0, 84.0)]


def dxf(path: Path, draw: Callable[[Any, Any], object], units: int = 2) -> Path:
    """Write a DXF file with what is drawn on its model space."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = units
    draw(document.modelspace(), document)
    document.saveas(path)
    return path


def lot_dxf(path: Path, units: int = 2, scale: float = 1.0, off: tuple[float, float] = (0.0, 0.0)) -> Path:
    """Write a lot, a house within it, and words."""

    def draw(space: Any, _document: Any) -> None:
        space.add_lwpolyline(
            [(x * scale + off[0], y * scale + off[1]) for x, y in LOT], close=True, dxfattribs={"layer": "lot"}
        )
        house = [(30, 40), (60, 40), (60, 70), (30, 70)]
        space.add_lwpolyline(
            [(x * scale + off[0], y * scale + off[1]) for x, y in house], close=True, dxfattribs={"layer": "house"}
        )
        space.add_text("Lot 7", dxfattribs={"insert": off})

    return dxf(path, draw, units)


def geojson(path: Path, *geometries: dict[str, Any], **members: Any) -> Path:
    """Write a GeoJSON file of features."""
    features = [{"type": "Feature", "geometry": g, "properties": {"layer": "site"}} for g in geometries]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features, **members}), encoding="utf-8")
    return path


def polygon(*points: tuple[float, float]) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [[*map(list, points), list(points[0])]]}
