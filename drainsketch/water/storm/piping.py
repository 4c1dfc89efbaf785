"""The pipe of a job as places and links that a storm is played through: boxes and fittings with half the pipe about them, outfalls, wells."""

from collections.abc import Iterable, Sequence
from math import inf, pi

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.ground.results import Ints
from drainsketch.job.ask import structures_by_id
from drainsketch.job.basins import basin_body, grate_of
from drainsketch.job.model import Job, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.network.graph import downhill
from drainsketch.network.pits import pit_of
from drainsketch.network.results import FlowRun, Grade, Network, StructureLevels
from drainsketch.water.constants import GRAVITY_FT_S2
from drainsketch.water.flows import roughness_of
from drainsketch.water.grates import mouth_flow_cfs
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Water
from drainsketch.water.stores import StoneTrench, floor_below_ft2, voids_below_ft3
from drainsketch.water.storm.links import MOUTH_DEPTHS, Grates, Pipes, Soaks
from drainsketch.water.storm.nodes import Table, barrel_ft3, barrel_knots, prism_ft3, table_of
from drainsketch.water.storm.surface import Surface

IN_PER_FT = 12.0
FREE_FT = -1e6  # where nothing stands outside an outfall
MOUTH_KNOTS = 24
STONE_KNOTS = 12
FLOOR_PARTS = 8


class Half(Struct, frozen=True):
    """The half of a run at one of its ends, as if it lay level there: invert, inside diameter, length, and its stone."""

    invert_ft: float
    inside_ft: float
    length_ft: float
    trench: StoneTrench | None


class Piping(Struct, frozen=True):
    """Structures that water gets to an outfall from, by node; outfalls and runs in the order of their links.

    ``fixed_ft`` are the levels outside the outfalls that are no dry wells; they are numbered after the last node of the system, so
    ``pipes_on`` is asked with that number once it is known. ``floors`` are the floors of pits and of stone that leads to them: structure,
    level, and area in plan, ft2.
    """

    structures: tuple[str, ...]
    tables: tuple[Table, ...]
    runs: tuple[FlowRun, ...]
    outfalls: tuple[str, ...]
    fixed_ft: tuple[float, ...]
    start_ft: tuple[float, ...]  # level of each node before it rains
    floors: tuple[tuple[str, float, float], ...] = ()

    @property
    def open_ends(self) -> tuple[str, ...]:
        """The outfalls that are no dry wells, in the order of ``fixed_ft``."""
        return tuple(o for o in self.outfalls if o not in self.structures)


def piping_of(
    job: Job, network: Network, grades: dict[str, Grade], levels: dict[str, StructureLevels], water: Water
) -> Piping:
    """Return the pipe that gets water to an outfall, all of it with a grade that it can be laid to.

    Each node holds its box and the nearer half of every run at it, as if that lay level there; of a drain also the voids of the
    stone beside and above the pipe. A dry well holds its pit and all the stone that belongs to it (``Well.stone``), filled to one level.
    """
    by_id, way = structures_by_id(job), downhill(network)
    ends = _ends(network, grades, way)
    runs = tuple(f for f in network.runs if way.get(f.upstream) is f and f.upstream in ends)
    wells = {s.id for s in job.structures if s.outfall == "dry well"}
    names = dict.fromkeys(f.upstream for f in runs)
    reached = dict.fromkeys(f.downstream for f in runs if by_id[f.downstream].kind == "outfall")
    structures = (*names, *(o for o in reached if o in wells))
    outside = {o: _outside_ft(by_id[o], levels[o]) for o in reached if o not in wells}
    pools = {w: _pool(water, w) for w in structures if w in wells}
    pooled = {t.run_id for pool in pools.values() for t in pool}
    halves: dict[str, list[Half]] = {s: [] for s in structures}
    for f in runs:
        stone = None if f.id in pooled else water.stores[f.id].trench if f.id in water.stores else None
        for at, upper in ((f.upstream, True), (f.downstream, False)):
            if at in halves:
                halves[at].append(_half(f, grades[f.id], stone, upper=upper))
    tables = tuple(_table(job, by_id[s], levels[s], halves[s], pools.get(s, ())) for s in structures)
    floors = [floor for w, pool in pools.items() for floor in _floors(by_id[w], _low_ft(halves[w]), pool)]
    start = _still(structures, tables, runs, outside)
    return Piping(structures, tables, runs, tuple(reached), tuple(outside.values()), start, tuple(floors))


def pipes_on(job: Job, piping: Piping, grades: dict[str, Grade], water: Water, first: int, count: int) -> Pipes:
    """Return the links of the runs.

    Parameters
    ----------
    first : number of the node that the first structure is
    count : of all nodes; the levels outside come after them
    """
    by_id, by_run = structures_by_id(job), {r.id: r for r in job.runs}
    place = {s: first + n for n, s in enumerate(piping.structures)}
    place |= {o: count + n for n, o in enumerate(piping.open_ends)}
    rows, mouths = [], []
    for f in piping.runs:
        g, run = grades[f.id], by_run[f.id]
        inside_ft = pipe_size(run.pipe, run.diameter_in).inside_in / IN_PER_FT
        above, box = water.heads.get(f.upstream), by_id[f.upstream].kind in BOXES
        k = above.k if above is not None else 0.5
        flat = max(g.least_slope, 0.0) / g.slope if g.slope > 0 else 1.0
        rows.append(
            (
                g.invert_up_ft,
                g.invert_down_ft,
                inside_ft,
                roughness_of(job, run)[0],
                max(f.length_ft, 0.1),
                min(1.0, flat) ** 0.5,
                k + 1.0 if box else k,
                float(f.downstream in piping.open_ends and by_id[f.downstream].tailwater_ft is None),
            )
        )
        mouths.append(_mouth(inside_ft, k, box=box))
    columns = np.array(rows, dtype=np.float64).reshape(-1, 8).T
    high, low, inside, n, length, fall, lost, one_way = columns
    return Pipes(
        at=_numbers(place[f.upstream] for f in piping.runs),
        to=_numbers(place[f.downstream] for f in piping.runs),
        high_ft=high,
        low_ft=low,
        diameter_ft=inside,
        n=n,
        length_ft=length,
        fall=fall,
        lost=lost,
        mouth_cfs=np.array(mouths, dtype=np.float64).reshape(-1, MOUTH_KNOTS + 1),
        one_way=one_way,
    )


def grates_on(
    job: Job, piping: Piping, levels: dict[str, StructureLevels], surface: Surface, first: int
) -> tuple[tuple[str, ...], Grates]:
    """Return the structures whose rims join ground and pipe, and the links: grates, and where water comes up round a downspout or over a
    well."""
    by_id = structures_by_id(job)
    names = tuple(s for s in piping.structures if s in surface.dish)
    rows = []
    for name in names:
        s = by_id[name]
        lowest_ft = float(surface.tables[surface.dish[name]][0][0])  # no water about it lies lower
        rim_ft = max(levels[name].rim_ft, lowest_ft)
        if s.kind == "basin":
            area_in2, edge_in = grate_of(basin_body(job, s.size_in))
            clear = 1 - job.water.grate_clogged
            rows.append((rim_ft, area_in2 / 144 * clear, edge_in / IN_PER_FT * clear, 1.0))
        else:
            side_ft = _riser_ft(job, s)
            rows.append((rim_ft, pi / 4 * side_ft**2, pi * side_ft, 0.0))
    rim, open_ft2, edge, inward = np.array(rows, dtype=np.float64).reshape(-1, 4).T
    to = _numbers(first + piping.structures.index(n) for n in names)
    return names, Grates(_numbers(surface.dish[n] for n in names), to, rim, open_ft2, edge, inward)


def soaks_on(job: Job, piping: Piping, first: int) -> Soaks:
    """Return what the soil takes up under dry wells and the stone that leads to them, at the rate that was measured."""
    rate = (job.water.infiltration_in_h or 0.0) / IN_PER_FT / 3_600
    place = {s: first + n for n, s in enumerate(piping.structures)}
    rows = [(float(place[name]), level, rate * area_ft2) for name, level, area_ft2 in piping.floors]
    at, floor, most = np.array(rows, dtype=np.float64).reshape(-1, 3).T
    return Soaks(at.astype(np.int64), floor, most)


def _ends(network: Network, grades: dict[str, Grade], way: dict[str, FlowRun]) -> dict[str, str]:
    """Return the outfall that each structure's water gets to, over runs that all have a grade."""
    ends = {name: name for name in network.outfalls}
    for f in reversed(network.runs):
        if way.get(f.upstream) is f and f.downstream in ends and f.id in grades:
            ends[f.upstream] = ends[f.downstream]
    return {name: end for name, end in ends.items() if name not in network.outfalls}


def _outside_ft(outfall: Structure, at: StructureLevels) -> float:
    """Return the level of the water outside an outfall; a pop-up lets nothing out below its lid."""
    level = FREE_FT if outfall.tailwater_ft is None else outfall.tailwater_ft
    return max(level, at.rim_ft) if outfall.outfall == "pop-up" else level


def _still(
    structures: Sequence[str], tables: Sequence[Table], runs: Sequence[FlowRun], outside: dict[str, float]
) -> tuple[float, ...]:
    """Return the level of each node before it rains: empty, or as high as water outside the outfall stands into the pipe."""
    level = dict(outside)
    bottom = {s: float(t[0][0]) for s, t in zip(structures, tables, strict=True)}
    for f in reversed(runs):
        below = level.get(f.downstream, bottom.get(f.downstream, FREE_FT))
        level[f.upstream] = max(bottom[f.upstream], below)
    return tuple(max(bottom[s], level.get(s, FREE_FT)) for s in structures)


def _pool(water: Water, well: str) -> tuple[StoneTrench, ...]:
    """Return the stone that fills with a dry well."""
    runs = water.wells[well].stone if well in water.wells else ()
    return tuple(t for r in runs if r in water.stores and (t := water.stores[r].trench) is not None)


def _floors(well: Structure, low_ft: float, pool: Sequence[StoneTrench]) -> list[tuple[str, float, float]]:
    """Return the floor of a well in parts, each with the level from which it is under water: its pit, and the stone, lowest first."""
    pit = pit_of(well)
    parts = [(well.id, low_ft - pit[2], pit[0] * pit[1])] if pit is not None else []
    for trench in pool:
        levels = np.linspace(trench.lowest_ft, max(trench.bottom_ft), FLOOR_PARTS + 1)
        wet = [floor_below_ft2(trench, z + 1e-6) for z in levels.tolist()]
        parts += [(well.id, float(levels[0]), wet[0])] if wet[0] > 0 else []
        middles = (levels[1:] + levels[:-1]) / 2
        parts += [
            (well.id, z, more) for z, more in zip(middles.tolist(), np.diff(wet).tolist(), strict=True) if more > 0
        ]
    return parts


def _half(f: FlowRun, g: Grade, trench: StoneTrench | None, *, upper: bool) -> Half:
    """Return the half of a run at one of its ends. Stone below the invert is full for good where pipe drains it, and does not count."""
    invert = g.invert_up_ft if upper else g.invert_down_ft
    if trench is not None:
        station = np.array(trench.station_ft)
        middle = min(max(f.length_ft / 2, float(station[0])), float(station[-1]))
        first, last = (middle, float(station[-1])) if upper else (float(station[0]), middle)
        at = np.unique(np.concatenate([station[(station > first) & (station < last)], [first, last]]))
        height = [np.interp(at, station, np.subtract(z, trench.invert_ft)) for z in (trench.bottom_ft, trench.top_ft)]
        low = np.maximum(invert + height[0], invert)
        trench = replace(
            trench,
            station_ft=tuple(at.tolist()),
            invert_ft=(invert,) * len(at),
            bottom_ft=tuple(low.tolist()),
            top_ft=tuple(np.maximum(invert + height[1], low).tolist()),
        )
    return Half(invert, g.inside_in / IN_PER_FT, f.length_ft / 2, trench)


def _low_ft(halves: Sequence[Half]) -> float:
    return min(h.invert_ft for h in halves)


def _table(job: Job, s: Structure, at: StructureLevels, halves: Sequence[Half], pool: Sequence[StoneTrench]) -> Table:
    """Return how much a structure holds by level, with the halves of pipe at it and the stone that fills with it."""
    low, pit = _low_ft(halves), pit_of(s)
    knots = [z for h in halves for z in barrel_knots(h.invert_ft, h.inside_ft)]
    knots += [low - pit[2]] if pit is not None else []
    stone = [*(h.trench for h in halves if h.trench is not None), *pool]
    for trench in stone:
        if trench.highest_ft > trench.lowest_ft:
            knots += np.linspace(trench.lowest_ft, trench.highest_ft, STONE_KNOTS).tolist()
    rim = at.rim_ft if s.kind in BOXES else low
    knots += [rim] if rim > low else []
    levels = np.unique(knots)
    levels = levels[np.diff(levels, prepend=-inf) > 1e-6]
    levels = np.append(levels, levels[-1] + 10.0)
    held = prism_ft3(levels, _riser_ft(job, s) ** 2 if s.kind in BOXES else 0.0, low, rim)
    for h in halves:
        held += barrel_ft3(levels, h.invert_ft, h.inside_ft, h.length_ft)
    for trench in stone:
        held += [voids_below_ft3(trench, z, job.water.stone_voids) for z in levels.tolist()]
    if pit is not None:
        held += prism_ft3(levels, pit[0] * pit[1] * job.water.stone_voids, low - pit[2], low)
    return table_of(levels.tolist(), held)


def _riser_ft(job: Job, s: Structure) -> float:
    """Return the side of a basin, or the width of the riser of a downspout or the top of a well, ft."""
    return basin_body(job, s.size_in).size_in / IN_PER_FT if s.kind == "basin" else 4.0 / IN_PER_FT


def _mouth(diameter_ft: float, k: float, *, box: bool) -> list[float]:
    """Return what gets into the upper end of a run that runs off freely, cfs, at rising heads: at critical depth with its loss k there,
    as ``heads.grade_lines`` has it; out of a box no more than the mouth takes."""
    angle = np.linspace(1e-3, 2 * pi - 1e-3, 400)
    part, half = angle - np.sin(angle), angle / 2
    mean_ft = diameter_ft / 8 * part / np.sin(half)  # area over width at the top
    heads = diameter_ft * np.sin(angle / 4) ** 2 + (1 + k) / 2 * mean_ft
    flows = diameter_ft**2 / 8 * part * np.sqrt(GRAVITY_FT_S2 * mean_ft)
    knots = np.linspace(0.0, MOUTH_DEPTHS * diameter_ft, MOUTH_KNOTS + 1)
    free = np.interp(knots, np.append(0.0, heads), np.append(0.0, flows))
    if box:
        free = np.minimum(free, [mouth_flow_cfs(head, diameter_ft) for head in knots.tolist()])
    rising: list[float] = np.maximum.accumulate(free).tolist()  # where weir turns to orifice a hair less would get in
    return rising


def _numbers(of: Iterable[int]) -> Ints:
    return np.array(list(of), dtype=np.int64)
