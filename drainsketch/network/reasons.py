"""Reasons: which limits keep a structure from draining, as a chain from the inlet to the outfall."""

import numpy as np
from msgspec import Struct

from drainsketch.findings import Param
from drainsketch.network.bounds import Bounds
from drainsketch.network.graph import downhill
from drainsketch.network.parts import Part, Table, parts_of
from drainsketch.network.remedies import Link, Reason
from drainsketch.network.results import Floats, Shortfall
from drainsketch.network.rows import program_of
from drainsketch.network.ways import FALL_KINDS, narrowed, runs_down

MOST_RUNS = 40  # on one way; beyond, no chain is sought


class _Row(Struct, frozen=True):
    """A limit: the sum of factors times levels is at most ``most``; ``key`` says what asks for it, '' when it cannot be left."""

    column: tuple[int, ...]
    factor: tuple[float, ...]
    most: float
    key: tuple[str, str, float] = ("", "", 0.0)


def reasons_of(bounds: Bounds, short: tuple[Shortfall, ...]) -> dict[str, Reason]:
    """Return why each structure cannot drain, by id; those are left out for which no chain was found.

    The chain is a smallest set of limits in conflict: leave any of them out, and the water leaves.
    Source: deletion filter over infeasible linear rows (Chinneck and Dravnieks 1991, from memory).
    Check: tests/network/test_reasons.py
    """
    found = {}
    for s in short:
        runs = runs_down(bounds, (s.structure,))
        links = _chain(narrowed(bounds, bounds.job, runs), s.structure) if 0 < len(runs) <= MOST_RUNS else ()
        if links:
            found[s.structure] = Reason(s.structure, s.short_ft, links)
    return found


def _chain(bounds: Bounds, structure: str) -> tuple[Link, ...]:
    """Return the links; what is away from the structure is left out first, so that its own limit stays where it is one."""
    parts = parts_of(bounds, ())
    if len(parts) != 1:
        return ()
    table = Table(parts[0])
    rows = _rows(table)
    kept = list(dict.fromkeys(r.key for r in rows if r.key[0]))
    kept.sort(key=lambda k: ("surface", "leaves").index(k[0]) if k[0] in ("surface", "leaves") else 2)
    own = ("leaves", structure, 0.0)
    kept = [*(k for k in kept if k != own), *(k for k in kept if k == own)]
    if _possible(rows, kept, table.levels):
        return ()
    for key in list(kept):
        fewer = [k for k in kept if k != key]
        if not _possible(rows, fewer, table.levels):
            kept = fewer
    return _links(bounds, table.part, kept)


def _possible(rows: list[_Row], kept: list[tuple[str, str, float]], levels: int) -> bool:
    from scipy.optimize import linprog

    some = set(kept)
    used = [r for r in rows if not r.key[0] or r.key in some]
    matrix = np.zeros((len(used), levels))
    for i, r in enumerate(used):
        for c, f in zip(r.column, r.factor, strict=True):
            matrix[i, c] += f
    most: Floats = np.array([r.most for r in used])
    answer = linprog(np.zeros(levels), A_ub=matrix, b_ub=most, bounds=(None, None), method="highs")
    return bool(answer.status != 2)


def _rows(table: Table) -> list[_Row]:
    """Return the limits of fall of a part."""
    run_of = {(int(h), int(w)): leg for h, w, leg in zip(table.high, table.low, table.legs, strict=True)}
    at = {i: s for s, i in table.at.items()}
    at |= {
        own: end
        for r, ends in zip(table.part.runs, table.ends, strict=True)
        for own, end in zip(ends, (r.flow.downstream, r.flow.upstream), strict=True)
        if own not in at
    }
    found: list[_Row] = []
    for rows in program_of(table, ()).rows:
        if rows.kind not in FALL_KINDS or rows.column.max(initial=0) >= table.levels:
            continue
        for column, factor, most in zip(rows.column.tolist(), rows.factor.tolist(), rows.most.tolist(), strict=True):
            key = ("", "", 0.0)
            leg = run_of.get((column[0], column[1])) if len(column) == 2 else None
            if rows.kind == "min slope" and leg is not None:
                key = ("falls", leg.run_id, leg.from_ft)
            elif rows.kind == "ground" and leg is not None:
                key = ("surface", leg.run_id, leg.from_ft + factor[0] * leg.length_ft)
            elif rows.kind == "ground":
                key = ("leaves", at[column[0]], 0.0)
            found.append(_Row(tuple(column), tuple(factor), most, key))
    for column, level in table.fixed.items():
        key = ("held", at[column], level) if column in table.at.values() else ("pinned", _owner(table, column), level)
        z = level - table.base_ft
        found += [_Row((column,), (1.0,), z, key), _Row((column,), (-1.0,), -z, key)]
    return found


def _owner(table: Table, column: int) -> str:
    return next(r.run.id for r, ends in zip(table.part.runs, table.ends, strict=True) if column in ends)


def _links(bounds: Bounds, part: Part, kept: list[tuple[str, str, float]]) -> tuple[Link, ...]:
    """Return the links in order from the inlet down; pipe that falls at one slope is told together."""
    by_run = {r.run.id: r for r in part.runs}
    order = {f.id: i for i, f in enumerate(f for f in bounds.network.runs if f.id in by_run)}
    way = downhill(bounds.network)

    def rank(key: tuple[str, str, float]) -> tuple[float, float]:
        kind, name, at = key
        if kind in ("falls", "surface", "pinned"):
            r = by_run[name]
            return order[name] + 0.5, -at if kind != "pinned" else -r.flow.length_ft
        return (order[way[name].id] + 0.0 if name in way else float(len(order) + 1)), 0.0

    links: list[Link] = []
    for kind, name, at in sorted(kept, key=rank):
        link = _link(bounds, by_run[name].slopes[0] if kind == "falls" else 0.0, kind, name, at)
        if kind == "falls" and links and links[-1][0] == "falls":
            before, now = dict(links[-1][1]), dict(link[1])
            if before["slope"] == now["slope"]:
                links[-1] = ("falls", tuple((k, _more(v, now[k]) if k != "slope" else v) for k, v in before.items()))
                continue
        links.append(link)
    return tuple(links)


def _more(a: Param, b: Param) -> Param:
    return a + b  # type: ignore[operator]


def _link(bounds: Bounds, slope: float, kind: str, name: str, at: float) -> Link:
    said: dict[str, Param]
    if kind == "falls":
        leg = next(x for x in bounds.legs(bounds.flows[name]) if abs(x.from_ft - at) < 1e-6)
        said = {"runs": (name,), "length": leg.length_ft, "slope": slope, "fall": slope * leg.length_ft}
    elif kind == "surface":
        p = bounds.profiles[name]
        ground = float(np.interp(at, p.station_ft, p.ground_ft))
        said = {"run": name, "station": at, "ground": ground, "level": ground - bounds.top_ft(name)}
    elif kind == "leaves":
        flow = next(f for f in bounds.network.runs if name in (f.upstream, f.downstream))
        ground, rim = bounds.ground[name], bounds.rim[name]
        kind = "leaves_rim" if rim < ground else "leaves"
        level = bounds.highest_out_ft(bounds.structures[name], flow.id)
        said = {"structure": name, "level": level, "ground": min(ground, rim)}
    elif kind == "held":
        kind = "held" if name in bounds.network.outfalls else "held_structure"
        said = {"structure": name, "level": at}
    else:
        said = {"run": name, "level": at}
    return kind, tuple(said.items())
