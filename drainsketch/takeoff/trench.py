"""Trench: earth dug along drain runs, along solid runs, round basins and for dry wells, in the bank."""

from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.results import TakeoffLine

FT3_PER_YD3 = 27.0


def dug_term(r: RunEarth) -> str:
    """Return the sum of one run's trench in figures."""
    mean_ft = r.trench_ft3 / r.width_ft / r.dug_ft
    return f"{r.work.run.id} {r.dug_ft:.2f} ft x {r.width_ft:.2f} ft x {mean_ft:.3f} ft mean = {r.trench_ft3:.1f} ft3"


def run_trenches(earth: Earth) -> list[TakeoffLine]:
    """Return the trench volume of drain runs and of solid runs, yd3 in the bank."""
    lines = []
    for use in ("drain", "solid"):
        runs = earth.of_use(use)
        if runs:
            ft3 = sum(r.trench_ft3 for r in runs)
            lines.append(
                _line(f"trench_{use}", "trench", ft3, [dug_term(r) for r in runs], [r.work.run.id for r in runs])
            )
    return lines


def basin_holes(earth: Earth) -> list[TakeoffLine]:
    """Return the volume of basin holes, yd3 in the bank."""
    holes = [h for h in earth.holes if h.depth_ft > 0]
    if not holes:
        return []
    terms = [
        f"{h.structure_id} {h.side_ft:.2f} ft x {h.side_ft:.2f} ft x {h.depth_ft - h.not_earth_ft:.2f} ft = {h.dug_ft3:.1f} ft3"
        for h in holes
    ]
    return [_line("basin_holes", "basin_hole", sum(h.dug_ft3 for h in holes), terms, [h.structure_id for h in holes])]


def dry_well_holes(earth: Earth) -> list[TakeoffLine]:
    """Return the volume dug for the pits of dry wells, yd3 in the bank."""
    if not earth.pits:
        return []
    terms = [
        p.sum_of(p.depth_ft) + (f", less paving {p.paving_ft3:.1f} ft3 = {p.dug_ft3:.1f} ft3" if p.paving_ft3 else "")
        for p in earth.pits
    ]
    owners = [p.structure_id for p in earth.pits]
    return [_line("dry_well_holes", "dry_well_hole", sum(p.dug_ft3 for p in earth.pits), terms, owners)]


def _line(item: str, rule: str, ft3: float, terms: list[str], owners: list[str]) -> TakeoffLine:
    total = f"; together {ft3:.1f} ft3" if len(terms) > 1 else ""
    return TakeoffLine(
        item=item,
        group="trench",
        quantity=ft3 / FT3_PER_YD3,
        unit="yd3",
        rule=rule,
        arithmetic=f"{'; '.join(terms)}{total}; / 27 = {ft3 / FT3_PER_YD3:.2f} yd3",
        owners=tuple(owners),
    )
