"""Spoil heaps and fill areas: what they lie on, what they come too near to, and what they lack."""

from collections.abc import Mapping
from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Heap, Job, Run
from drainsketch.job.pipes import pipe_size
from drainsketch.network.digging import hole_side_ft, trench_width_ft
from drainsketch.network.pits import pits_of
from drainsketch.network.setbacks import root_zone_ft
from drainsketch.network.shapes import TOUCH_FT, Shapes, shape_of, size_in

EDGE_FT = 2.0  # 29 CFR 1926.651(j)(2): what may fall or roll in stays at least 2 ft from the edge of an excavation
SLACK_FT = 1e-6


def heap_findings(job: Job, shapes: Shapes, geometry: Mapping[str, Any]) -> list[Finding]:
    """Return what is to be said of each heap and fill area: services, pipe and structures under it, roots, the lot line, the edge
    of what is dug, and a fill area whose depth nobody gave.

    Parameters
    ----------
    shapes : of the lot, obstacles and services
    geometry : shapely lines of the runs, by run id

    Source: 29 CFR 1926.651(j)(2) for the edge. Check: tests/network/test_heaps.py
    """
    if not job.heaps:
        return []
    opened = _openings(job, geometry)
    found: list[Finding] = []
    for heap in job.heaps:
        shape = shape_of(heap)
        if heap.kind == "fill area" and not heap.fill_in:
            found.append(finding("fill_without_depth", _place(heap, shape), heap=heap.id))
        found += _over_services(heap, shape, job, shapes)
        found += _over_drains(heap, shape, job, geometry)
        found += _over_roots(heap, shape, job, shapes)
        if shapes.lot is not None and not shapely.buffer(shapes.lot, -2 * TOUCH_FT).covers(shape):
            out = shape.difference(shapes.lot)
            found.append(finding("heap_outside_lot", _place(heap, shape if out.is_empty else out), heap=heap.id))
        if heap.kind == "spoil heap":
            found += _at_edges(heap, shape, opened)
    return found


def _openings(job: Job, geometry: Mapping[str, Any]) -> dict[str, Any]:
    """Return the outline of what is dug in plan, by the run or structure it is dug for."""
    width_ft = {
        r.id: trench_width_ft(pipe_size(r.pipe, r.diameter_in).outside_in, job.criteria.trench_width_in)
        for r in job.runs
    }
    opened = {name: shapely.buffer(line, width_ft[name] / 2, cap_style="flat") for name, line in geometry.items()}
    for s in job.structures:
        widest = max((width_ft[r.id] for r in job.runs if s.id in (r.start, r.end)), default=0.0)
        half, (x, y) = hole_side_ft(s, widest) / 2, s.point
        if half > 0:
            opened[s.id] = shapely.box(x - half, y - half, x + half, y + half)
    return opened | {name: pit.shape for name, pit in pits_of(job).items()}


def _over_services(heap: Heap, shape: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Return the services under a heap; its edge counts from the middle of the service less half its size."""
    kind = "heap_over_service" if heap.kind == "spoil heap" else "fill_over_service"
    found = []
    for s in sorted(shapes.service_tree.query(shapely.buffer(shape, 2.0)).tolist()):
        service, line = job.services[s], shapes.services[s]
        under = line.intersection(shapely.buffer(shape, size_in(service) / 24))
        if under.length > TOUCH_FT:
            place = _place(heap, under, service.id)
            found.append(finding(kind, place, value=under.length, heap=heap.id, other=service.id, service=service.kind))
    return found


def _over_drains(heap: Heap, shape: Any, job: Job, geometry: Mapping[str, Any]) -> list[Finding]:
    """Return the runs and structures under a heap, one finding for all of a kind."""
    stood = [s for s in job.structures if shape.distance(shapely.Point(s.point)) <= SLACK_FT]
    under = [r for r in job.runs if _length_under(r, shape, geometry) > TOUCH_FT]
    things: list[tuple[str, list[str]]]
    if heap.kind == "spoil heap":
        things = [("heap_over_drain", [s.id for s in stood] + [r.id for r in under])]
    else:
        things = [("fill_over_structure", [s.id for s in stood]), ("fill_over_run", [r.id for r in under])]
    found = []
    for kind, ids in things:
        if ids:
            at = next((s.point for s in stood if s.id == ids[0]), None)
            spot = shapely.Point(at) if at is not None else geometry[ids[0]].intersection(shape)
            found.append(finding(kind, _place(heap, spot, *ids), heap=heap.id, things=tuple(ids)))
    return found


def _length_under(run: Run, shape: Any, geometry: Mapping[str, Any]) -> float:
    return float(geometry[run.id].intersection(shape).length) if run.id in geometry else 0.0


def _over_roots(heap: Heap, shape: Any, job: Job, shapes: Shapes) -> list[Finding]:
    found = []
    for tree, trunk in zip(job.obstacles, shapes.obstacles, strict=True):
        if tree.kind != "tree":
            continue
        radius_ft = root_zone_ft(tree.trunk_diameter_in, job.criteria.root_zone_ft_per_in)
        off_ft = float(shape.distance(trunk))
        if off_ft < radius_ft - TOUCH_FT:
            near = shapely.get_point(shapely.shortest_line(shape, trunk), 0)
            place = _place(heap, near, tree.id)
            found.append(
                finding("heap_in_root_zone", place, value=off_ft, limit=radius_ft, heap=heap.id, obstacle=tree.id)
            )
    return found


def _at_edges(heap: Heap, shape: Any, opened: Mapping[str, Any]) -> list[Finding]:
    """Return the opening that a heap lies nearest to, where that is nearer than the rule allows and not under the heap."""
    near = [(float(shape.distance(edge)), name) for name, edge in opened.items()]
    near = [(off_ft, name) for off_ft, name in near if off_ft < EDGE_FT - SLACK_FT]
    if not near:
        return []
    off_ft, name = min(near)
    spot = shapely.get_point(shapely.shortest_line(shape, opened[name]), 0)
    names = tuple(name for _, name in sorted(near))
    place = _place(heap, spot, *names)
    return [finding("heap_at_edge", place, value=off_ft, limit=EDGE_FT, heap=heap.id, thing=name)]


def _place(heap: Heap, shape: Any, *ids: str) -> Place:
    spot = shapely.point_on_surface(shape)
    if spot.is_empty:
        return Place(ids=(heap.id, *ids), point=heap.points[0])
    return Place(ids=(heap.id, *ids), point=(spot.x, spot.y))
