"""Other goods: fabric round the stone, marking tape over the pipe, screws for grates, stone where water comes out."""

from drainsketch.job.basins import basin_body
from drainsketch.resources import table
from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.pits import PitHole
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stone import tons_line
from drainsketch.takeoff.tally import Tally
from drainsketch.takeoff.works import Works


def run_fabric_ft2(run: RunEarth, lap_ft: float, *, around: bool) -> float:
    """Return the fabric of a drain trench, ft2: over the stone, or all round it and closed over it with a lap.

    over: length x (width + lap), half the lap turned up at each side; round: length x (2 widths + lap) + 2 x side of the stone

    Parameters
    ----------
    lap_ft : what it laps itself, or turns up at the walls, ft

    Notes
    -----
    Limits: as long as there is stone, in plan; the ends are open. Source: girth of a rectangle; what laps: common practice, no
    source. Check: tests/takeoff/test_goods.py
    """
    length, width = run.swept.stone_ft, run.width_ft
    return length * (2 * width + lap_ft) + 2 * run.stone_ft2 if around else length * (width + lap_ft)


def pit_fabric_ft2(pit: PitHole, lap_ft: float, *, around: bool) -> float:
    """Return the fabric of a dry well, ft2: over its stone and half a lap up each wall, or all round it and a lap along its length.

    Source: outside of a box; what laps: common practice, no source. Check: tests/takeoff/test_goods.py
    """
    length, width = pit.pit.length_ft, pit.pit.width_ft
    return pit.wrap_ft2 + length * lap_ft if around else (length + lap_ft) * (width + lap_ft)


def fabric_ft2(works: Works, earth: Earth) -> dict[str, float]:
    """Return the filter fabric of each drain run and dry well that has any, ft2, by its id."""
    sections = works.job.sections
    if sections.fabric == "none":
        return {}
    around, lap_ft = sections.fabric == "round the stone", sections.fabric_lap_in / 12
    runs = [r for r in earth.of_use("drain") if r.stone_ft2 > 0]
    found = {r.work.run.id: run_fabric_ft2(r, lap_ft, around=around) for r in runs}
    return found | {p.structure_id: pit_fabric_ft2(p, lap_ft, around=around) for p in earth.pits}


def fabric(works: Works, earth: Earth) -> list[TakeoffLine]:
    """Return filter fabric in the trenches of drain runs and in dry wells."""
    sections, counted = works.job.sections, fabric_ft2(works, earth)
    around, lap_ft = sections.fabric == "round the stone", sections.fabric_lap_in / 12
    tally = Tally("stone and soil", "ft2", "fabric_round" if around else "fabric_over")
    for r in earth.of_use("drain"):
        name = r.work.run.id
        if name in counted:
            length, width = r.swept.stone_ft, r.width_ft
            girth = f"2 x {width:.2f} + {lap_ft:.2f}" if around else f"{width:.2f} + {lap_ft:.2f}"
            sides = f" + 2 x {r.stone_ft2:.1f} ft2" if around else ""
            tally.add("fabric", counted[name], f"{name}: {length:.2f} ft x ({girth}) ft{sides}", name)
    for p in earth.pits:
        if p.structure_id in counted:
            length, width = p.pit.length_ft, p.pit.width_ft
            why = f"({length:.2f} + {lap_ft:.2f}) ft x ({width:.2f} + {lap_ft:.2f}) ft"
            if around:
                why = f"stone {p.wrap_ft2:.1f} ft2 all round + {length:.2f} ft x {lap_ft:.2f} ft of lap"
            tally.add("fabric", counted[p.structure_id], f"{p.structure_id}: {why}", p.structure_id)
    return tally.lines()


def marking_tape(works: Works) -> list[TakeoffLine]:
    """Return feet of marking tape over all runs."""
    tally = Tally("pipe", "ft", "marking_tape")
    if works.job.sections.marking_tape:
        for w in works.runs:
            tally.add("marking_tape", w.plan_ft, w.run.id, w.run.id)
    return tally.lines()


def grate_screws(works: Works) -> list[TakeoffLine]:
    """Return the screws that hold the grates down."""
    tally, screws = Tally("structures", "each", "grate_screw"), table("catalogue/stock.toml")["grate"]["screws"]
    for s in works.job.structures:
        if s.kind == "basin":
            size_in = basin_body(works.job, s.size_in).size_in
            tally.add("grate_screw", screws[str(size_in)], f"{s.id}, {size_in} in", s.id)
    return tally.lines()


def splash_stone(works: Works) -> list[TakeoffLine]:
    """Return the stone of the aprons where pipe comes out at daylight, tons; an outfall of no stated kind counts as daylight."""
    at = [s.id for s in works.job.structures if s.kind == "outfall" and (s.outfall or "daylight") == "daylight"]
    at = [name for name in at if works.ends[name]]
    if not at:
        return []
    a = table("catalogue/stock.toml")["splash"]
    each_ft3 = a["length_ft"] * a["width_ft"] * a["thick_in"] / 12
    size = f"{a['length_ft']:g} ft x {a['width_ft']:g} ft x {a['thick_in'] / 12:g} ft"
    terms = [f"{', '.join(at)}: {len(at)} x {size} = {len(at) * each_ft3:.2f} ft3"]
    weight = works.job.criteria.stone_tons_per_yd3
    sizes = {name: a[name] for name in ("length_ft", "width_ft", "thick_in")}
    return [tons_line("splash_stone", len(at) * each_ft3, terms, at, weight, "structures", **sizes)]
