"""DXF as a drawing: the lines of its model space, blocks taken apart, curves as short chords. What is left out is counted.

ezdxf is an optional extra (50 MB with its fonts) and is imported only here, late.
"""

import logging
from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import Any

from drainsketch.errors import DrawingError
from drainsketch.files.drawing import METERS, Drawing, DrawingUnit, Gathering
from drainsketch.job.plain import plain

UNITS: dict[
    int, DrawingUnit
] = {  # $INSUNITS, DXF reference, header variables (from memory); check: tests/outside/test_drawing_units.py
    **{1: "in", 2: "ft", 3: "mi", 4: "mm", 5: "cm", 6: "m", 7: "km", 10: "yd", 14: "dm", 21: "survey ft"}
}
MOST_ENTITIES = 100_000  # blocks taken apart
DEEPEST = 8  # blocks within blocks
MOST_CONTROLS = 2_000  # points of one spline
CHORD_FT = 0.01  # how far a chord may stand off its curve; where the units are not known, so much of the curve's size
CHORD_SHARE = 1e-3
DRAWN = ("LINE", "LWPOLYLINE", "POLYLINE", "CIRCLE", "ARC", "ELLIPSE", "SPLINE")


def read_dxf(path: Path, name: str) -> Drawing:
    """Return the drawing in a DXF file.

    Raises
    ------
    DrawingError : ezdxf is not installed, the file is no DXF or damaged, or it holds more than a job takes
    """
    try:
        import ezdxf
    except ImportError as fault:
        raise DrawingError("DXF needs one more package; install it with: pip install ezdxf") from fault
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # it would write on standard error
    try:
        document = ezdxf.readfile(path)  # type: ignore[attr-defined, unused-ignore]
        code = int(document.header.get("$INSUNITS", 0))
        space, hidden = document.modelspace(), _hidden(document)
    except OSError as fault:  # ezdxf says so of what does not begin like DXF
        raise DrawingError(f"{name}: this is no DXF; write it as DXF from the program that made it") from fault
    except Exception as fault:  # a reader of a strange file may stumble over anything
        said = plain(str(fault), 120) or type(fault).__name__
        raise DrawingError(
            f"{name}: this DXF is damaged ({said}); write it again from the program that made it"
        ) from fault
    found = Gathering(name)
    unit = UNITS.get(code)
    walk = _Walk(found, hidden, CHORD_FT * METERS["ft"] / METERS[unit] if unit else 0.0)
    try:
        for entity, layer in walk.entities(space, "0", ()):
            walk.take(entity, layer)
    except (DrawingError, MemoryError):
        raise
    except RecursionError as fault:
        raise DrawingError(f"{name}: blocks stand within blocks too deep; explode them before writing it") from fault
    except Exception as fault:
        said = plain(str(fault), 120) or type(fault).__name__
        raise DrawingError(
            f"{name}, layer {plain(walk.layer, 60)}: {walk.kind} is damaged ({said}); delete it there"
        ) from fault
    told = [f"It says its units by the code {code}, which is not known here."] if code and code not in UNITS else []
    return found.drawing(unit, told)


def _hidden(document: Any) -> set[str]:
    """Return the layers that are off or frozen, in small letters."""
    return {x.dxf.name.casefold() for x in document.layers if x.is_off() or x.is_frozen()}


class _Walk:
    """Goes through entities, blocks taken apart, within bounds."""

    def __init__(self, found: Gathering, hidden: set[str], chord: float) -> None:
        self.found, self._hidden, self._chord = found, hidden, chord
        self.layer, self.kind, self._seen = "0", "an entity", 0

    def entities(self, source: Any, parent: str, within: tuple[str, ...]) -> Iterator[tuple[Any, str]]:
        """Yield what is drawn, with its layer: on layer 0 of a block it is on that of the block."""
        for entity in source:
            self._count(1)
            own = str(entity.dxf.get("layer", "0"))
            self.layer, self.kind = own if own != "0" or not within else parent, entity.dxftype()
            if self.layer.casefold() in self._hidden or entity.dxf.get("invisible", 0):
                self.found.left_out[f"{self.kind} on a layer that is off"] += 1
            elif self.kind == "INSERT":
                yield from self._inserted(entity, self.layer, within)
            else:
                yield entity, self.layer

    def _inserted(self, insert: Any, layer: str, within: tuple[str, ...]) -> Iterator[tuple[Any, str]]:
        name = str(insert.dxf.get("name", "")).casefold()
        block = insert.block()
        if block is None:
            self.found.left_out["INSERT of a block that is missing"] += 1
        elif name in within or len(within) >= DEEPEST:
            self.found.left_out["INSERT of a block within itself, or too deep"] += 1
        else:
            copies = max(1, int(insert.dxf.get("row_count", 1))) * max(1, int(insert.dxf.get("column_count", 1)))
            self._count(0, copies * len(block))  # before they are taken apart, which counts them
            for one in insert.multi_insert() if copies > 1 else (insert,):
                yield from self.entities(
                    one.virtual_entities(skipped_entity_callback=self._skipped), layer, (*within, name)
                )

    def _skipped(self, entity: Any, _why: str) -> None:
        self.found.left_out[entity.dxftype()] += 1

    def _count(self, number: int, coming: int = 0) -> None:
        self._seen += number
        if self._seen + coming > MOST_ENTITIES:
            raise DrawingError(
                f"{self.found.source}, layer {plain(self.layer, 60)}: more than {MOST_ENTITIES:,} entities, blocks taken apart; "
                "leave layers out or take part of it"
            )

    def take(self, entity: Any, layer: str) -> None:
        """Take one entity up, or count it as left out."""
        kind = self.kind = entity.dxftype()
        self.layer = layer
        if kind not in DRAWN:
            self.found.left_out[kind] += 1
            return
        try:
            points, closed = _line_of(entity, self._chord)
        except (ArithmeticError, ValueError, TypeError, LookupError, AttributeError):
            points, closed = None, False
        if points is None:
            self.found.left_out[f"{kind} that cannot be drawn"] += 1
            return
        if any(p[2] for p in points):
            self.found.levels += 1
        self.found.take(points, closed, layer, kind)


def _line_of(entity: Any, chord: float) -> tuple[list[tuple[float, float, float]] | None, bool]:
    """Return the points of an entity in the plan, and whether it is closed; None for what is no line.

    Parameters
    ----------
    chord : how far a chord may stand off its curve, in units of the drawing; 0 where those are not known
    """
    from ezdxf import path

    kind = entity.dxftype()
    if kind == "LINE":
        return [tuple(entity.dxf.start), tuple(entity.dxf.end)], False
    if kind == "LWPOLYLINE" and not entity.has_arc and tuple(entity.dxf.extrusion) == (0.0, 0.0, 1.0):
        level = float(entity.dxf.elevation)
        return [(x, y, level) for x, y in entity.get_points("xy")], bool(entity.closed)
    if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        return None, False
    if kind == "SPLINE" and max(len(entity.control_points), len(entity.fit_points)) > MOST_CONTROLS:
        return None, False
    made = path.make_path(entity)
    corners = made.control_vertices()
    if not corners or not all(isfinite(v) for p in corners for v in (p.x, p.y, p.z)):
        return None, False
    xs, ys = [p.x for p in corners], [p.y for p in corners]
    size = max(max(xs) - min(xs), max(ys) - min(ys))
    points = [(p.x, p.y, p.z) for p in made.flattening(max(chord or size * CHORD_SHARE, size * CHORD_SHARE / 10, 1e-9))]
    flagged = bool(getattr(entity, "is_closed", False) or getattr(entity, "closed", False))
    return points, flagged or bool(made.is_closed)
