"""Spoil heaps and fill areas: what they lie on, what they come too near to, and what they lack."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Heap, Job, Run
from drainsketch.network.digging import hole_side_ft, width_of_ft
from drainsketch.network.pits import pits_of
from drainsketch.network.setbacks import root_zone_ft
from drainsketch.network.shapes import TOUCH_FT, Shapes, shape_of, size_in

EDGE_FT = 2.0  # 29 CFR 1926.651(j)(2): what may fall or roll in stays at least 2 ft from the edge of an excavation
SLACK_FT = 1e-6
OVER = ("heap_over_building", "heap_over_septic", "heap_over_well", "fill_over_paving")
WALL_FT = 10.0  # from a wall, over which the ground has to fall away: IRC R401.3, from memory


def heap_findings(job: Job, shapes: Shapes, geometry: Mapping[str, Any]) -> list[Finding]:
    """Return what is to be said of each heap and fill area: services, pipe, structures, buildings, septic areas and wells under it, roots, the lot line, the edge
    of what is dug, and a fill area whose depth nobody gave.

    Parameters
    ----------
    shapes : of the lot, obstacles and services
    geometry : shapely lines of the runs, by run id

    Source: 29 CFR 1926.651(j)(2) for the edge. Check: tests/network/test_heaps.py
    """
    if not job.heaps:
        return []
    opened = _opened(job, geometry)
    found: list[Finding] = []
    for heap in job.heaps:
        shape = shape_of(heap)
        if heap.kind == "fill area" and not heap.fill_in:
            found.append(finding("fill_without_depth", _place(heap, shape), heap=heap.id))
        found += _over_services(heap, shape, job, shapes)
        found += _over_drains(heap, shape, job, geometry)
        found += _over_roots(heap, shape, job, shapes)
        found += _over_obstacles(heap, shape, job, shapes) + _at_buildings(heap, shape, job, shapes)
        if shapes.lot is not None and not shapely.buffer(shapes.lot, -2 * TOUCH_FT).covers(shape):
            out = shape.difference(shapes.lot)
            found.append(finding("heap_outside_lot", _place(heap, shape if out.is_empty else out), heap=heap.id))
        if heap.kind == "spoil heap":
            found += _at_edge(heap, shape, opened)
    return found


class _Opened(Struct, frozen=True):
    """What is dug in plan: the middle of each trench with half its width, the outline of each hole and pit with none."""

    names: tuple[str, ...]
    shapes: Any  # (n,) shapely
    half_ft: Any  # (n,)

    def off_ft(self, shape: Any) -> Any:
        """Return how far a shape lies from the edge of each, ft; 0 where it reaches over it. Trenches end round."""
        return np.maximum(0.0, shapely.distance(shape, self.shapes) - self.half_ft)


def _opened(job: Job, geometry: Mapping[str, Any]) -> _Opened:
    width_ft = {r.id: width_of_ft(r, job.criteria) for r in job.runs}
    dug = [(name, line, width_ft[name] / 2) for name, line in geometry.items()]
    widest: dict[str, float] = {}
    for r in job.runs:
        for end in (r.start, r.end):
            widest[end] = max(widest.get(end, 0.0), width_ft[r.id])
    for s in job.structures:
        half, (x, y) = hole_side_ft(s, widest.get(s.id, 0.0)) / 2, s.point
        if half > 0:
            dug.append((s.id, shapely.box(x - half, y - half, x + half, y + half), 0.0))
    dug += [(name, pit.shape, 0.0) for name, pit in pits_of(job).items()]
    names, shapes, halves = zip(*dug, strict=True) if dug else ((), (), ())
    return _Opened(names, np.array(shapes, dtype=object), np.array(halves, dtype=float))


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


def _over_obstacles(heap: Heap, shape: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Return the buildings, septic areas and wells that a heap covers, and the paving that a fill area does."""
    found = []
    for obstacle, there in zip(job.obstacles, shapes.obstacles, strict=True):
        is_paved_over = heap.kind == "fill area" and obstacle.kind == "hardscape"
        kind = "fill_over_paving" if is_paved_over else f"heap_over_{obstacle.kind}"
        if kind in OVER and shape.distance(there) <= SLACK_FT:
            under = shape.intersection(there)
            if obstacle.kind == "well" or under.area > TOUCH_FT:
                found.append(finding(kind, _place(heap, under, obstacle.id), heap=heap.id, obstacle=obstacle.id))
    return found


def _at_buildings(heap: Heap, shape: Any, job: Job, shapes: Shapes) -> list[Finding]:
    """Return the buildings beside which a fill area raises the ground."""
    if heap.kind != "fill area" or not heap.fill_in:
        return []
    found = []
    for building, there in zip(job.obstacles, shapes.obstacles, strict=True):
        off_ft = float(shape.distance(there)) if building.kind == "building" else WALL_FT
        if off_ft < WALL_FT - SLACK_FT:
            near = shapely.get_point(shapely.shortest_line(shape, there), 0)
            about = {"heap": heap.id, "obstacle": building.id}
            place = _place(heap, near, building.id)
            found.append(
                finding("fill_at_building", place, value=off_ft, limit=WALL_FT, params=about, deep=heap.fill_in)
            )
    return found


def _at_edge(heap: Heap, shape: Any, opened: _Opened) -> list[Finding]:
    """Return the finding of what is dug nearest to a heap, where that is nearer than the rule allows."""
    off_ft = opened.off_ft(shape)
    near = [int(i) for i in np.argsort(off_ft, kind="stable") if off_ft[i] < EDGE_FT - SLACK_FT]
    if not near:
        return []
    spot = shapely.get_point(shapely.shortest_line(shape, opened.shapes[near[0]]), 0)
    names = [opened.names[i] for i in near]
    place, value = _place(heap, spot, *names), float(off_ft[near[0]])
    return [finding("heap_at_edge", place, value=value, limit=EDGE_FT, heap=heap.id, thing=names[0])]


def _place(heap: Heap, shape: Any, *ids: str) -> Place:
    spot = shapely.point_on_surface(shape)
    if spot.is_empty:
        return Place(ids=(heap.id, *ids), point=heap.points[0])
    return Place(ids=(heap.id, *ids), point=(spot.x, spot.y))
