"""Where spoil is put on the yard: how much lies on a heap of an outline, and what fill areas take of it."""

from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.kinds import Point
from drainsketch.job.model import Heap, Job
from drainsketch.network.shapes import open_ground
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.trench import FT3_PER_YD3

REPOSE = 1.5  # common practice, no source: loose earth stands at 1.5 across to 1 up, 34 degrees
SLICES = 64
LEAST_YD3 = 0.01  # what a takeoff shows; less is not told


class Room(Struct, frozen=True):
    """What lies on the outline of a heap, loose, and how high it is then."""

    area_ft2: float
    height_ft: float
    loose_yd3: float


class Spread(Struct, frozen=True):
    """What one fill area takes: its room in place, and how much of the spoil is spread there, yd3."""

    heap: Heap
    area_ft2: float
    deep_ft: float
    room_yd3: float
    spread_yd3: float
    away_ft: float  # from the middle of all trenches to the middle of the area


def heap_room(outline: Any) -> Room:
    """Return how much loose earth lies on an outline, heaped up from its edge all round as steep as it stands.

    height at a place = its distance from the edge / 1.5; on a square or a triangle that is a pyramid, on a strip a ridge

    Parameters
    ----------
    outline : shapely polygon or several, ft

    Returns
    -------
    area, ft2; greatest height, ft; volume, yd3 loose

    Notes
    -----
    Limits: loose earth on level ground, heaped to the edge; wet clay lies flatter, a machine may not reach so high. Worked by slices
    of even height, exact where corners do not vanish within one. Source: solid geometry; 1.5 to 1: common practice, no source.
    Check: tests/outside/test_spoil_heaps.py

    Examples
    --------
    On 12 ft by 12 ft a pyramid 4 ft high: 12 x 12 x 4 / 3 = 192 ft3.

    >>> room = heap_room(shapely.box(0, 0, 12, 12))
    >>> round(room.height_ft, 3), round(room.loose_yd3 * 27, 1)
    (4.0, 192.0)
    """
    area_ft2 = float(outline.area)
    if not area_ft2 > 0:
        return Room(0.0, 0.0, 0.0)
    parts = [p for p in shapely.get_parts(outline) if p.geom_type == "Polygon" and p.area > 0]
    tolerance = max(1e-4, area_ft2**0.5 * 1e-5)
    deep_ft = max(float(shapely.maximum_inscribed_circle(p, tolerance).length) for p in parts)
    off_ft = np.linspace(0.0, deep_ft, 2 * SLICES + 1)
    areas = shapely.area(shapely.buffer(outline, -off_ft, quad_segs=16))
    areas[-1] = 0.0
    step = float(off_ft[1])
    ft3 = step / 3 * float(areas[0] + 4 * areas[1::2].sum() + 2 * areas[2:-1:2].sum()) / REPOSE
    return Room(area_ft2, deep_ft / REPOSE, ft3 / FT3_PER_YD3)


def spread_over(job: Job, earth: Earth, spoil_yd3: float) -> list[Spread]:
    """Return what each fill area of known depth takes of the spoil, in job order, until there is no more.

    room = area x depth; ground that an earlier area covers is not counted twice.

    Parameters
    ----------
    spoil_yd3 : spoil that is left over, yd3 in the bank; 1 yd3 of it is taken for 1 yd3 in place, settled

    Notes
    -----
    Limits: common earth that is compacted takes up about a tenth less than in the bank, so an area may take a tenth more.
    Source: 1 to 1: common practice, no source. Check: tests/takeoff/test_spoil.py
    """
    middle = trenches_middle(earth)
    left, taken = spoil_yd3, shapely.Polygon()
    found = []
    for heap in fill_areas(job):
        whole = open_ground(job, heap)
        shape, taken = whole.difference(taken), taken.union(whole)
        deep_ft = (heap.fill_in or 0.0) / 12
        room_yd3 = shape.area * deep_ft / FT3_PER_YD3
        spread_yd3 = min(left, room_yd3)
        left -= spread_yd3
        away_ft = float(shapely.distance(shapely.Point(middle), whole.centroid)) if middle is not None else 0.0
        found.append(Spread(heap, float(shape.area), deep_ft, room_yd3, spread_yd3, away_ft))
    return found


def fill_room_yd3(job: Job, heap: Heap) -> float:
    """Return what a fill area takes, yd3 in place: its area times its depth."""
    return float(open_ground(job, heap).area) * (heap.fill_in or 0.0) / 12 / FT3_PER_YD3


def fill_areas(job: Job) -> list[Heap]:
    """Return the fill areas whose depth is known, in job order."""
    return [h for h in job.heaps if h.kind == "fill area" and h.fill_in]


def spoil_heaps(job: Job) -> list[Heap]:
    """Return the spoil heaps, in job order."""
    return [h for h in job.heaps if h.kind == "spoil heap"]


def heap_grounds(job: Job) -> list[tuple[Heap, Any]]:
    """Return the ground of each spoil heap, in job order: what an earlier one covers is not counted twice."""
    taken, found = shapely.Polygon(), []
    for heap in spoil_heaps(job):
        whole = open_ground(job, heap)
        found.append((heap, whole.difference(taken)))
        taken = taken.union(whole)
    return found


def trenches_middle(earth: Earth) -> Point | None:
    """Return the middle of all that is dug, each trench and pit weighted with its volume; None where nothing is dug."""
    weighed = []
    for run in earth.runs:
        if run.trench_ft3 > 0 and len(run.work.points) > 1:
            at = shapely.LineString(run.work.points).centroid
            weighed.append((run.trench_ft3, at.x, at.y))
    weighed += [(p.dug_ft3, *p.pit.point) for p in earth.pits]
    ft3 = sum(w for w, _, _ in weighed)
    if ft3 <= 0:
        return None
    return sum(w * x for w, x, _ in weighed) / ft3, sum(w * y for w, _, y in weighed) / ft3


def dug_yd3(earth: Earth) -> float:
    """Return all that is dug, yd3 in the bank."""
    ft3 = sum(r.trench_ft3 for r in earth.runs) + sum(h.dug_ft3 for h in earth.holes)
    return (ft3 + sum(p.dug_ft3 for p in earth.pits)) / FT3_PER_YD3


def room_findings(job: Job, earth: Earth, spoil_yd3: float) -> list[Finding]:
    """Return the heaps that do not hold what is dug, loose, and the fill areas that take more than there is.

    Parameters
    ----------
    spoil_yd3 : spoil that is left over, yd3 in the bank
    """
    found = []
    heaps, loose = spoil_heaps(job), dug_yd3(earth) * job.criteria.swell
    if heaps and loose > 0:
        room = sum(heap_room(ground).loose_yd3 for _, ground in heap_grounds(job))
        if loose > room + LEAST_YD3:
            ids = tuple(h.id for h in heaps)
            place = Place(ids=ids, point=heaps[0].points[0])
            found.append(finding("heaps_too_small", place, heaps=ids, loose=loose, room=room))
    fills = spread_over(job, earth, spoil_yd3)
    for s in fills:
        if s.room_yd3 <= LEAST_YD3:
            found.append(finding("fill_no_room", Place(ids=(s.heap.id,), point=s.heap.points[0]), heap=s.heap.id))
    wanted = sum(s.room_yd3 for s in fills)
    if fills and spoil_yd3 > 0 and wanted > spoil_yd3 + LEAST_YD3:
        ids = tuple(s.heap.id for s in fills)
        place = Place(ids=ids, point=fills[0].heap.points[0])
        found.append(finding("fill_wants_more", place, heaps=ids, room=wanted, spoil=spoil_yd3))
    return found
