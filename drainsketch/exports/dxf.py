"""The plan and the profiles as a DXF drawing in true feet, for whoever works on with it.

ezdxf is an optional extra (50 MB with its fonts) and is imported only here, late.
"""

import io
from itertools import pairwise
from math import atan2, cos, degrees, dist, sin
from pathlib import Path
from typing import Any

from drainsketch.errors import SheetError
from drainsketch.exports.dxf_profile import LAYERS, draw_profiles
from drainsketch.exports.text import one_line, write_export
from drainsketch.ground.results import GroundStudy, LevelledShot
from drainsketch.job.ask import is_closed, run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Obstacle, Service, Structure
from drainsketch.look import LEVEL_COLORS, SERVICE_COLORS, STYLES
from drainsketch.network.buried import usual_error_ft
from drainsketch.network.setbacks import root_zone_ft
from drainsketch.review import Review
from drainsketch.wording import Words

TEXT_FT = 0.8
_POINT_RADIUS_FT = 0.25  # of what has no size of its own

# None is the reader's own foreground: black on paper, white on a dark screen
_LAYER_COLORS: dict[str, str | None] = {
    **dict.fromkeys(("lot line", "building", "downspout", "shot", "breakline")),
    **dict.fromkeys(("run drain", "run solid", "basin", "fitting", "cleanout", "downspout inlet", "outfall", "pit")),
    **{kind: STYLES[kind].stroke for kind in ("hardscape", "bed", "septic", "spoil heap", "fill area")},
    **{kind: STYLES[kind].stroke for kind in ("fence", "well", "other", "root zone")},
    "tree trunk": STYLES["trunk"].stroke,
    **{kind: STYLES[kind].stroke for kind in ("contour", "standing water")},
    **{f"service {kind}": color for kind, color in SERVICE_COLORS.items()},
    "crossing": LEVEL_COLORS["stop"],
    **dict.fromkeys(f"lettering {about}" for about in ("ground", "services", "shots", "runs", "drains")),
    **dict.fromkeys(LAYERS),
    **dict.fromkeys(("profile crossing", "profile crossing may be off"), LEVEL_COLORS["stop"]),
}
_DASHED = (
    "lot line",
    "root zone",
    "run drain",
    "pit",
    "spoil heap",
    "fill area",
    "profile trench bottom",
    "profile crossing may be off",
    *(f"service {kind}" for kind in SERVICE_COLORS),
)


def plan_dxf(job: Job, review: Review, ground: GroundStudy | None = None) -> bytes:
    """Return plan and profiles as DXF (2010): one layer a kind of thing, drawing units feet, x east and y north.

    Contours of a ground study stand at their levels, on a layer of their own, as does standing water.

    Raises
    ------
    SheetError : ezdxf is not installed; gives the command that installs it
    """
    try:
        import ezdxf
    except ImportError as fault:
        raise SheetError("DXF needs one more package; install it with: pip install ezdxf") from fault
    drawing = ezdxf.new("R2010", setup=["linetypes"])  # type: ignore[attr-defined, unused-ignore]
    drawing.header["$INSUNITS"] = 2  # feet
    drawing.header["$MEASUREMENT"] = 0  # US
    drawing.header["$LTSCALE"] = 4.0
    space = drawing.modelspace()
    pen = _Pen(drawing, space, Words.of(job))
    if ground is not None:
        _draw_water(pen, ground)
    _draw_ground(pen, job, review.shots)
    _draw_drains(pen, job, review)
    draw_profiles(pen, job, review)
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode(drawing.output_encoding, "dxfreplace")


class _Pen:
    """Draws on a layer, and makes the layer when it is first drawn on."""

    def __init__(self, drawing: Any, space: Any, words: Words) -> None:
        self._drawing, self._space = drawing, space
        self.words = words

    def line(
        self, layer: str, points: tuple[Point, ...], closed: bool = False, elevation_ft: float | None = None
    ) -> None:
        level = {} if elevation_ft is None else {"elevation": elevation_ft}
        self._space.add_lwpolyline(points, close=closed, dxfattribs={**self._on(layer), **level})

    def circle(self, layer: str, center: Point, radius_ft: float) -> None:
        self._space.add_circle(center, radius_ft, dxfattribs=self._on(layer))

    def point(self, layer: str, at: Point, elevation_ft: float) -> None:
        self._space.add_point((*at, elevation_ft), dxfattribs=self._on(layer))

    def square(self, layer: str, center: Point, side_ft: float) -> None:
        (x, y), half = center, side_ft / 2
        self.line(layer, ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)), True)

    def text(self, about: str, at: Point, text: str, below: bool = False) -> None:
        """Write beside a point, to the right and above (or below) it."""
        place = (at[0] + TEXT_FT * 0.8, at[1] + TEXT_FT * (-1.4 if below else 0.4))
        self._write(about, place, text, 0.0)

    def text_along(self, about: str, points: tuple[Point, ...], text: str) -> None:
        """Write below the longest leg of a line and along it, readable from the bottom or the right."""
        (ax, ay), (bx, by) = max(pairwise(points), key=lambda leg: dist(*leg))
        if (ax, ay) > (bx, by):
            (ax, ay), (bx, by) = (bx, by), (ax, ay)
        turn = atan2(by - ay, bx - ax)
        back, up = TEXT_FT * 0.3 * len(text), -TEXT_FT * 1.4
        place = (
            (ax + bx) / 2 - back * cos(turn) - up * sin(turn),
            (ay + by) / 2 - back * sin(turn) + up * cos(turn),
        )
        self._write(about, place, text, degrees(turn))

    def _write(self, about: str, place: Point, text: str, turn_deg: float) -> None:
        attributes = {"height": TEXT_FT, "insert": place, "rotation": turn_deg, **self._on(f"lettering {about}")}
        self._space.add_text(plain_for_dxf(text), dxfattribs=attributes)

    def _on(self, layer: str) -> dict[str, str]:
        layers = self._drawing.layers
        if layer not in layers:
            made = layers.add(layer, linetype="DASHED" if layer in _DASHED else "CONTINUOUS")
            color = _LAYER_COLORS[layer]
            if color is not None:
                made.rgb = tuple(int(color[i : i + 2], 16) for i in (1, 3, 5))
        return {"layer": layer}


def plain_for_dxf(text: str) -> str:
    """Return text on one line in which nothing is a DXF control code (``%%`` and ``^`` start one)."""
    return one_line(text).replace("^", "^ ").replace("%%", "% %").replace("%%", "% %")[:240]


def _draw_water(pen: _Pen, ground: GroundStudy) -> None:
    for contour in ground.contours:
        for line in contour.lines:
            pen.line("contour", tuple((float(x), float(y)) for x, y in line), elevation_ft=contour.level_ft)
    for pond in ground.ponds:
        for ring in pond.outline:
            pen.line("standing water", ring, closed=True, elevation_ft=pond.level_ft)


def _draw_ground(pen: _Pen, job: Job, shots: tuple[LevelledShot, ...]) -> None:
    if job.boundary is not None:
        pen.line("lot line", job.boundary.points, closed=True)
    for obstacle in job.obstacles:
        _draw_obstacle(pen, job, obstacle)
    for service in job.services:
        pen.line(f"service {service.kind}", service.points)
        said = f"{service.id} {service.kind}, {_depth_of(service, pen.words)} {service.name}"
        pen.text_along("services", service.points, said)
    for downspout in job.downspouts:
        pen.circle("downspout", downspout.point, _POINT_RADIUS_FT)
        pen.text("ground", downspout.point, f"{downspout.id} {downspout.name}")
    for breakline in job.breaklines:
        pen.line("breakline", breakline.points)
    for heap in job.heaps:
        pen.line(heap.kind, heap.points, closed=True)
        deep = f", {pen.words.inches(heap.fill_in)} deep" if heap.fill_in else ""
        pen.text("ground", _middle(heap.points), f"{heap.name or heap.kind}{deep}")
    for shot in shots:
        pen.point("shot", shot.point, shot.elevation_ft)
        pen.text("shots", shot.point, f"{pen.words.level(shot.elevation_ft)} {shot.name}", below=True)


def _depth_of(service: Service, words: Words) -> str:
    """Return how deep a service lies, and by how much that may be off."""
    if service.depth_top_ft is None:
        return "depth unknown"
    off_ft = usual_error_ft(service)
    off = f", may be off {words.length(off_ft)} up or down" if off_ft else ""
    return f"top {words.length(service.depth_top_ft)} deep{off}"


def _draw_obstacle(pen: _Pen, job: Job, obstacle: Obstacle) -> None:
    first = obstacle.points[0]
    if obstacle.kind == "tree":
        trunk_in = obstacle.trunk_diameter_in
        pen.circle("tree trunk", first, trunk_in / 24 if trunk_in else _POINT_RADIUS_FT)
        pen.circle("root zone", first, root_zone_ft(trunk_in, job.criteria.root_zone_ft_per_in))
    elif obstacle.kind == "well":
        pen.circle("well", first, _POINT_RADIUS_FT)
    else:
        pen.line(obstacle.kind, obstacle.points, closed=is_closed(obstacle))
    if obstacle.name:
        pen.text("ground", _middle(obstacle.points) if is_closed(obstacle) else first, obstacle.name)


def _middle(points: tuple[Point, ...]) -> Point:
    xs, ys = zip(*points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _draw_drains(pen: _Pen, job: Job, review: Review) -> None:
    by_id = structures_by_id(job)
    flow, grades = {run.id: run.points for run in review.network.runs}, review.workable
    for run in job.runs:
        points = flow.get(run.id) or run_points(run, by_id)
        pen.line(f"run {run.use}", points)
        grade = grades.get(run.id)
        slope = f", {pen.words.slope(grade.slope)}" if grade is not None else ""
        pen.text_along("runs", points, f"{run.id} {run.diameter_in} in {run.pipe}{slope} {run.name}")
    for structure in job.structures:
        _draw_structure(pen, review, structure)
    for pit in review.pits.values():
        pen.line("pit", pit.outline, True)
    for crossing in review.crossings:
        pen.circle("crossing", crossing.point, 2 * _POINT_RADIUS_FT)
        pen.text("drains", crossing.point, f"crossing {crossing.number}: {crossing.other}")


def _draw_structure(pen: _Pen, review: Review, structure: Structure) -> None:
    if structure.kind == "basin":
        pen.square("basin", structure.point, (structure.size_in or 12) / 12)
    else:
        pen.circle(structure.kind, structure.point, _POINT_RADIUS_FT)
    levels = review.levels.get(structure.id)
    said = [f"{structure.id} {structure.name}".strip()]
    if levels is not None:
        said.append(f"rim {pen.words.level(levels.rim_ft)}")
        lowest = [invert for _, invert in levels.inverts_in]
        out = levels.invert_out_ft if levels.invert_out_ft is not None else min(lowest, default=None)
        if levels.no_invert:
            said.append("no invert")
        elif out is not None:
            said.append(f"inv {pen.words.level(out)}")
    pen.text("drains", structure.point, ", ".join(said))


def write_dxf(job: Job, review: Review, path: str | Path, ground: GroundStudy | None = None) -> None:
    """Write the drawing, whole or not at all. Raises SheetError when it cannot be made or written."""
    write_export(path, plan_dxf(job, review, ground))
