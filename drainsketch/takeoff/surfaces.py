"""Surfaces: what is cut open on top and put back: lawn, beds and paving."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import shapely
from msgspec import Struct

from drainsketch.job.model import Heap, Obstacle
from drainsketch.job.sections import Sections
from drainsketch.network.shapes import shape_of
from drainsketch.resources import table
from drainsketch.takeoff.cover import BROKEN_OUT, Paved, Paving
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.footprint import Cut, Footprint, cut_of
from drainsketch.takeoff.heaps import LEAST_YD3
from drainsketch.takeoff.overlap import union_area_ft2
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.spoil import spreads
from drainsketch.takeoff.stone import tons_line
from drainsketch.takeoff.trench import FT3_PER_YD3
from drainsketch.takeoff.works import Works

GROUP = "surface"
HAIR_FT = 1e-6


class Patch(Struct, frozen=True):
    """What of a piece of paving is cut open and put back, in plan; ``cut_ft`` is what is sawn round it within that paving."""

    obstacle: str
    paved: Paved
    area_ft2: float
    cut_ft: float
    owners: tuple[str, ...]


class Opened(Struct, frozen=True):
    """All that is cut open on top, ft2: basins are taken off, what several strips share counts once.

    ``filled`` is the lawn under the spoil of each fill area, ft2, which is in ``lawn_ft2`` too.
    """

    lawn_ft2: float
    lawn_terms: tuple[str, ...]
    lawn_owners: tuple[str, ...]
    bed_ft2: float
    bed_terms: tuple[str, ...]
    bed_owners: tuple[str, ...]
    patches: tuple[Patch, ...]
    filled: tuple[tuple[str, float], ...] = ()


class _Fill(Struct, frozen=True):
    """A fill area in plan, and the share of it that the spoil covers."""

    heap: Heap
    share: float


def opened(works: Works, earth: Earth) -> Opened:
    """Return what is cut open or covered on top, in plan.

    Lawn is all that is neither hardscape nor bed nor building; a fill area covers as much of it as the spoil goes. Source: areas of unions of strips, plane geometry.
    Check: tests/takeoff/test_surfaces.py
    """
    job = works.job
    fills = tuple(_Fill(s.heap, s.spread_yd3 / s.room_yd3) for s in spreads(job, earth) if s.spread_yd3 > LEAST_YD3)
    return _opened(cut_of(works, earth), sum(r.dug_ft for r in earth.runs), job.obstacles, job.sections, fills)


@lru_cache(maxsize=8)
def _opened(
    cut: Cut, trench_ft: float, obstacles: tuple[Obstacle, ...], sections: Sections, fills: tuple[_Fill, ...]
) -> Opened:
    """Return what is cut open; kept while the plan stays the same, since unions take long where runs are many."""
    foot, paving = Footprint(cut), Paving(obstacles, sections)
    beyond_ft = sections.lawn_beyond_in / 12
    houses = _union(obstacles, "building")
    bed = _less(_less(_union(obstacles, "bed"), paving.whole), houses)
    taken = _plus(_plus(houses, paving.whole), bed)
    whole = union_area_ft2(foot.wide(beyond_ft))
    under = foot.within(taken, beyond_ft).area if taken is not None else 0.0
    grates = foot.bodies_ft2(taken, inside=False)
    counts = ((len(cut.squares), "basin hole"), (len(cut.pits), "pit"))
    dug = [f"{trench_ft:.2f} ft of trench", *(f"{n} {what}{'s' if n > 1 else ''}" for n, what in counts if n)]
    terms = [f"{', '.join(dug)}, {beyond_ft:.2f} ft wider on each side: {whole:.1f} ft2 in plan, overlaps once"]
    terms += [f"less paving, beds and buildings {under:.1f} ft2"] if under > 0.05 else []
    terms += [f"less basins {grates:.1f} ft2"] if grates > 0 else []
    filled = _filled(foot, taken, beyond_ft, fills)
    terms += [f"and {name} {ft2:.1f} ft2 of lawn under spoil" for name, ft2 in filled]
    bed_ft2 = foot.within(bed, beyond_ft).area if bed is not None else 0.0
    bed_grates = foot.bodies_ft2(bed, inside=True) if bed_ft2 else 0.0
    bed_terms = [f"strips in beds {bed_ft2:.1f} ft2"] + ([f"less basins {bed_grates:.1f} ft2"] if bed_grates else [])
    return Opened(
        lawn_ft2=max(0.0, whole - under - grates) + sum(ft2 for _, ft2 in filled),
        lawn_terms=tuple(terms),
        lawn_owners=(*foot.owners(taken, inside=False), *(name for name, _ in filled)),
        bed_ft2=max(0.0, bed_ft2 - bed_grates),
        bed_terms=tuple(bed_terms),
        bed_owners=foot.owners(bed, inside=True) if bed_ft2 else (),
        patches=_patches(foot, paving, houses, sections.patch_beyond_in / 12),
        filled=filled,
    )


def _filled(foot: Footprint, taken: Any, beyond_ft: float, fills: Sequence[_Fill]) -> tuple[tuple[str, float], ...]:
    """Return the lawn under the spoil of each fill area, ft2, beside what is cut open in any case."""
    found = []
    for fill in fills:
        whole = shape_of(fill.heap)
        lawn = _less(whole, taken)
        ft2 = (lawn.area - foot.within(lawn, beyond_ft).area) * fill.share
        taken = _plus(taken, whole)  # an earlier area has what two share
        if ft2 > HAIR_FT:
            found.append((fill.heap.id, float(ft2)))
    return tuple(found)


def _patches(foot: Footprint, paving: Paving, houses: Any, beyond_ft: float) -> tuple[Patch, ...]:
    found = []
    for number, (name, paved, shape) in enumerate(zip(paving.ids, paving.kinds, paving.shapes, strict=True)):
        region = _with_area(_less(shape, houses))
        patch = _with_area(foot.within(region, beyond_ft))
        if patch.area <= HAIR_FT:
            continue
        same = [s for k, s in enumerate(paving.shapes) if k != number and paving.kinds[k] == paved]
        edge = shapely.buffer(_with_area(shapely.union_all([region, *same])).boundary, HAIR_FT)
        seams = [shapely.buffer(s, HAIR_FT) for s in same]  # where the same paving goes on under another name
        sawn = shapely.difference(patch.boundary, shapely.union_all([edge, *seams]))
        found.append(
            Patch(
                obstacle=name,
                paved=paved,
                area_ft2=patch.area - foot.bodies_ft2(region, inside=True),
                cut_ft=sawn.length,
                owners=foot.owners(region, inside=True),
            )
        )
    return tuple(found)


def _union(obstacles: Sequence[Obstacle], kind: str) -> Any:
    shapes = [shape_of(o) for o in obstacles if o.kind == kind]
    return shapely.union_all(shapes) if shapes else None


def _with_area(shape: Any) -> Any:
    """Return the parts of a shape that have an area: where outlines just touch, a line or a point comes out beside them."""
    return shapely.union_all([part for part in shapely.get_parts(shape) if part.area > 0])


def _less(shape: Any, other: Any) -> Any:
    return shape if shape is None or other is None else shapely.difference(shape, other)


def _plus(shape: Any, other: Any) -> Any:
    return other if shape is None else shape if other is None else shapely.union(shape, other)


def surfaces(works: Works, earth: Earth) -> list[TakeoffLine]:
    """Return what is cut on top and put back: lawn, beds, and each kind of paving."""
    if not any(r.cut_ft2 > 0 for r in earth.runs) and not earth.holes and not earth.pits:
        return []
    top, sections = opened(works, earth), works.job.sections
    lines = [*_lawn(top, sections), *_mulch(top), *_paving(top.patches, sections)]
    return [line for line in lines if line.quantity > 0]


def _lawn(top: Opened, sections: Sections) -> list[TakeoffLine]:
    if top.lawn_ft2 <= 0.005:
        return []
    said = f"{'; '.join(top.lawn_terms)}; = {top.lawn_ft2:.2f} ft2"
    items = {"sod": ("sod",), "seed and straw": ("lawn_seed", "straw"), "left to the owner": ("lawn_left",)}
    return [
        TakeoffLine(item, GROUP, top.lawn_ft2, "ft2", item, said, (), top.lawn_owners) for item in items[sections.lawn]
    ]


def _mulch(top: Opened) -> list[TakeoffLine]:
    if top.bed_ft2 <= 0.005:
        return []
    thick_in = table("catalogue/stock.toml")["surface"]["mulch_in"]
    return [_yards("mulch", top.bed_ft2, top.bed_terms, thick_in, top.bed_owners)]


def _paving(patches: Sequence[Patch], sections: Sections) -> list[TakeoffLine]:
    weight = table("catalogue/stock.toml")["weight"]
    lines = []
    for paved in BROKEN_OUT:
        lines += _sum("saw_cut", paved, patches, "ft", [(p, p.cut_ft) for p in patches if p.paved == paved])
    broken = [p for p in patches if p.paved in BROKEN_OUT]
    thick_in = {"asphalt": sections.asphalt_in, "concrete": sections.concrete_in}
    if broken:
        terms = [f"{p.obstacle} {p.area_ft2:.2f} ft2 x {thick_in[p.paved] / 12:.4g} ft" for p in broken]
        ft3 = sum(p.area_ft2 * thick_in[p.paved] / 12 for p in broken)
        lines.append(_volume("paving_rubble", ft3, terms, _owners(broken)))
    asphalt = [p for p in patches if p.paved == "asphalt"]
    if asphalt:
        lines.append(_tons("asphalt_patch", asphalt, sections.asphalt_in, weight["asphalt"]))
    concrete = [p for p in patches if p.paved == "concrete"]
    if concrete:
        terms, area = _areas(concrete)
        lines.append(_yards("concrete_patch", area, terms, sections.concrete_in, _owners(concrete)))
    brick = [p for p in patches if p.paved == "brick"]
    if brick:
        terms, area = _areas(brick)
        lines += _sum("pavers_relaid", "", patches, "ft2", [(p, p.area_ft2) for p in brick])
        lines.append(_yards("paver_sand", area, terms, sections.paver_sand_in, _owners(brick)))
    gravel = [p for p in patches if p.paved == "gravel"]
    if gravel:
        lines.append(_tons("gravel_surface", gravel, sections.gravel_in, weight["gravel"]))
    unknown = [(p, p.area_ft2) for p in patches if p.paved == "unknown"]
    return lines + _sum("paving_unknown", "", patches, "ft2", unknown)


def _owners(patches: Sequence[Patch]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(o for p in patches for o in p.owners))


def _areas(patches: Sequence[Patch]) -> tuple[list[str], float]:
    area = sum(p.area_ft2 for p in patches)
    terms = [f"{p.obstacle} {p.area_ft2:.2f} ft2" for p in patches]
    return terms + ([f"together {area:.2f} ft2"] if len(patches) > 1 else []), area


def _sum(
    item: str, paved: str, patches: Sequence[Patch], unit: str, parts: Sequence[tuple[Patch, float]]
) -> list[TakeoffLine]:
    total = sum(amount for _, amount in parts)
    if total <= 0.005:
        return []
    terms = " + ".join(f"{amount:.2f} ({p.obstacle})" for p, amount in parts)
    params = (("paved", paved),) if paved else ()
    owners = _owners([p for p, _ in parts])
    return [TakeoffLine(item, GROUP, total, unit, item, f"{terms} = {total:.2f} {unit}", params, owners)]


def _yards(item: str, area_ft2: float, terms: Sequence[str], thick_in: float, owners: tuple[str, ...]) -> TakeoffLine:
    said = [*terms, f"x {thick_in / 12:.4g} ft"]
    return _volume(item, area_ft2 * thick_in / 12, said, owners, thick_in=thick_in)


def _volume(item: str, ft3: float, terms: Sequence[str], owners: tuple[str, ...], **params: str | float) -> TakeoffLine:
    yd3 = ft3 / FT3_PER_YD3
    said = f"{'; '.join(terms)}; = {ft3:.2f} ft3; / 27 = {yd3:.2f} yd3"
    return TakeoffLine(item, GROUP, yd3, "yd3", item, said, tuple(params.items()), owners)


def _tons(item: str, patches: Sequence[Patch], thick_in: float, tons_per_yd3: float) -> TakeoffLine:
    terms, area = _areas(patches)
    ft3 = area * thick_in / 12
    said = [*terms, f"x {thick_in / 12:.4g} ft = {ft3:.2f} ft3"]
    return tons_line(item, ft3, said, _owners(patches), tons_per_yd3, GROUP, thick_in=thick_in)
