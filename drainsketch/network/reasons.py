"""Reasons: which limits keep a structure from draining, as a chain from the inlet to the outfall."""

import numpy as np
from msgspec import Struct

from drainsketch.findings import Param
from drainsketch.network.bounds import Bounds, pinned_ft
from drainsketch.network.grades import solve_part
from drainsketch.network.graph import downhill
from drainsketch.network.legs import MAKE_GOOD_FT
from drainsketch.network.limits import Key, Row, limits_of
from drainsketch.network.parts import Part, Table, parts_of
from drainsketch.network.remedies import Link, Reason
from drainsketch.network.results import Floats
from drainsketch.network.troubles import Trouble
from drainsketch.network.ways import FALL_KINDS, narrowed, runs_down

MOST_RUNS = 40  # on one way; beyond, no chain is sought
BROKEN_FT = 1e-5  # less is the solver's noise
SAME_FT = 1 / 192  # sums as near as this are written alike
OF_PLACE = ("surface", "leaves", "shows", "covered", "drops")
HIGH = OF_PLACE[:4]  # these hold the pipe down
LOW = ("held", "pinned", "pinned_end")


class _Way(Struct, frozen=True):
    """The pipe on the way down from a trouble, its limits, and by how much the placed pipe breaks each, ft."""

    bounds: Bounds
    table: Table
    rows: list[Row]
    over_ft: list[float]


def reasons_of(bounds: Bounds, troubles: tuple[Trouble, ...]) -> dict[str, Reason]:
    """Return why each structure cannot drain, or each run breaks a limit, by id; those are left out without a chain.

    The chain is a smallest set of limits in conflict: leave any of them out, and a grade is there. Limits that are broken where
    another thing is in trouble are left out first, so that each trouble is told by the conflict it lies in. What the chain sums up
    to is what is missing; a chain of another sum than the trouble has is of another trouble, and is not told.
    Source: deletion filter over infeasible linear rows (Chinneck and Dravnieks 1991, from memory).
    Check: tests/network/test_reasons.py
    """
    found: dict[str, Reason] = {}
    ways: dict[tuple[frozenset[str], bool], _Way | None] = {}
    for t in troubles:
        runs = _with_pinned(bounds, runs_down(bounds, (t.at,)))
        if not 0 < len(runs) <= MOST_RUNS:
            continue
        if (runs, t.stop) not in ways:
            ways[runs, t.stop] = _way(narrowed(bounds, bounds.job, runs), t.stop)
        way = ways[runs, t.stop]
        reason = _reason(way, t) if way is not None else None
        if reason is not None:
            found[t.thing] = reason
    return found


def _with_pinned(bounds: Bounds, runs: frozenset[str]) -> frozenset[str]:
    """Return the runs and those that arrive where they begin with their end pinned: it may hold the water up there."""
    heads = {bounds.flows[run].upstream for run in runs}
    pinned = (
        f.id
        for f in bounds.network.runs
        if f.downstream in heads and pinned_ft(bounds.runs[f.id], f, "down") is not None
    )
    return runs.union(pinned)


def _way(bounds: Bounds, stop: bool) -> _Way | None:
    parts = parts_of(bounds, ())
    placed = solve_part(parts[0]) if len(parts) == 1 else None
    if placed is None:
        return None
    rows = limits_of(placed.table, FALL_KINDS if stop else (*FALL_KINDS, "cover", "drop"))
    x = placed.levels
    over = [sum(f * x[c] for c, f in zip(r.column, r.factor, strict=True)) - r.most for r in rows]
    return _Way(bounds, placed.table, rows, over)


def _reason(way: _Way, trouble: Trouble) -> Reason | None:
    """Return the reason of a trouble; None where no chain is found that is its own."""
    rows = [r for r, over in zip(way.rows, way.over_ft, strict=True) if over < BROKEN_FT or trouble.thing in r.about]
    kept = _conflict(rows, way.table.levels, trouble)
    if not kept:
        return None
    links = _links(way.bounds, way.table.part, kept)
    missing = missing_ft(links)
    if missing is not None and not _is_of(way, trouble, links, missing):
        return None
    if drops := _drops_passed(way, kept):
        links = _links(way.bounds, way.table.part, [*kept, *drops])
        missing = missing_ft(links)
    return Reason(trouble.thing, missing or 0.0, links, of_run=trouble.thing != trouble.at)


def missing_ft(links: tuple[Link, ...]) -> float | None:
    """Return what a chain sums up to, ft: its low level, fall and drops, less its high level; None where it has no two levels."""
    said = [(kind, dict(params)) for kind, params in links]
    levels = [p["level"] for _, p in said if "level" in p]
    if len(levels) != 2:
        return None
    falls = sum(p["fall"] for kind, p in said if kind == "falls")  # type: ignore[misc]
    drops = sum(p["drop_in"] for kind, p in said if kind == "drops")  # type: ignore[misc]
    return levels[1] + falls + drops / 12 - levels[0]  # type: ignore[operator]


def _is_of(way: _Way, trouble: Trouble, links: tuple[Link, ...], missing: float) -> bool:
    """Return whether what a chain sums up to is what the trouble says is missing."""
    rises = any(
        over > BROKEN_FT and r.key[:2] == ("falls", trouble.thing)
        for r, over in zip(way.rows, way.over_ft, strict=True)
    )
    if rises:  # what it rises by, and as much as it has to fall
        return missing > trouble.short_ft
    may_show = MAKE_GOOD_FT if links[0][0] == "shows" else 0.0
    return abs(missing + may_show - trouble.short_ft) < SAME_FT


def _drops_passed(way: _Way, kept: list[Key]) -> list[Key]:
    """Return the drops asked in the basins that a chain passes, which it does not count because they gave before all else."""
    asked = {r.key[1]: r.key for r in way.rows if r.key[0] == "drops" and r.key not in kept}
    runs = {name for kind, name, _ in kept if kind in ("falls", "surface", "shows", "covered")}
    return [
        asked[s]
        for s in sorted({way.bounds.flows[run].downstream for run in runs} & set(asked))
        if _ends_below(way, kept, s)
    ]


def _ends_below(way: _Way, kept: list[Key], structure: str) -> bool:
    """Return whether the level that a chain ends at is held at a structure, or farther down."""
    below = runs_down(way.bounds, (structure,))
    spots = {structure, *(way.bounds.flows[run].downstream for run in below)}
    return any(name in (spots if kind == "held" else below) for kind, name, _ in kept if kind in LOW)


def _conflict(rows: list[Row], levels: int, trouble: Trouble) -> list[Key]:
    """Return the limits in conflict; what is away from the trouble is left out first, so that its own limit stays where it is one."""
    kept = list(dict.fromkeys(r.key for r in rows if r.key[0]))

    def last(key: Key) -> float:
        kind, name, at = key
        if name == trouble.thing and kind in ("leaves", "surface", "covered", "shows"):
            return 9.0 - (abs(at - (trouble.station_ft or 0.0)) / 1e6)
        return OF_PLACE.index(kind) if kind in OF_PLACE else 6.0

    kept.sort(key=last)
    if _possible(rows, kept, levels):
        return []
    places, kept = [k for k in kept if k[0] in OF_PLACE], [k for k in kept if k[0] not in OF_PLACE]
    places = _needed(rows, places, kept, levels)
    for key in list(kept):  # mostly all of them: what is left out in halves are limits of places
        fewer = [k for k in kept if k != key]
        kept = kept if _possible(rows, [*places, *fewer], levels) else fewer
    return [*places, *kept]


def _needed(rows: list[Row], some: list[Key], others: list[Key], levels: int) -> list[Key]:
    """Return those of some limits without which there is a grade, beside others that stay; the first are left out first."""
    if not some or not _possible(rows, others, levels):
        return []
    if len(some) == 1:
        return some
    first, second = some[: len(some) // 2], some[len(some) // 2 :]
    of_first = _needed(rows, first, [*others, *second], levels)
    return [*of_first, *_needed(rows, second, [*others, *of_first], levels)]


def _possible(rows: list[Row], kept: list[Key], levels: int) -> bool:
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


def _links(bounds: Bounds, part: Part, kept: list[Key]) -> tuple[Link, ...]:
    """Return the links in order from the inlet down, the limit of a place first; pipe that falls at one slope is told together."""
    by_run = {r.run.id: r for r in part.runs}
    order = {f.id: i for i, f in enumerate(f for f in bounds.network.runs if f.id in by_run)}
    way = downhill(bounds.network)

    def rank(key: Key) -> tuple[bool, float, float]:
        kind, name, at = key
        below = kind not in HIGH
        if kind in ("falls", "surface", "shows", "covered", "pinned", "pinned_end"):
            length = by_run[name].flow.length_ft
            return below, order[name] + 0.5, {"pinned": -length, "pinned_end": 1.0}.get(kind, -at)
        return below, (order[way[name].id] + 0.0 if name in way else float(len(order) + 1)), 0.0

    links: list[Link] = []
    for kind, name, at in sorted(kept, key=rank):
        if kind == "falls" and not by_run[name].flow.length_ft:
            continue
        link = _link(bounds, by_run[name].slopes[0] if kind == "falls" else 0.0, kind, name, at)
        if kind == "falls" and links and dict(links[-1][1]).get("run") == name:
            link = _below(link, at, dict(links[-1][1]).get("station"))
        if kind == "falls" and links and links[-1][0] == "falls":
            before, now = dict(links[-1][1]), dict(link[1])
            if before["slope"] == now["slope"]:
                links[-1] = ("falls", tuple((k, _more(v, now[k]) if k != "slope" else v) for k, v in before.items()))
                continue
        links.append(link)
    return tuple(links)


def _below(link: Link, from_ft: float, station: Param | None) -> Link:
    """Return what a leg needs below a place on it alone, where that place is what is in conflict."""
    said = dict(link[1])
    length, slope = said["length"], said["slope"]
    if isinstance(station, float) and isinstance(length, float) and isinstance(slope, float):
        length = min(length, station - from_ft)
        said |= {"length": length, "fall": slope * length}
    return link[0], tuple(said.items())


def _more(a: Param, b: Param) -> Param:
    return a + b  # type: ignore[operator]


def _link(bounds: Bounds, slope: float, kind: str, name: str, at: float) -> Link:
    said: dict[str, Param]
    if kind == "falls":
        leg = next(x for x in bounds.legs(bounds.flows[name]) if abs(x.from_ft - at) < 1e-6)
        said = {"runs": (name,), "length": leg.length_ft, "slope": slope, "fall": slope * leg.length_ft}
    elif kind in ("surface", "shows", "covered"):
        p, mask = bounds.profiles[name], bounds.on_drive(name)
        ground = float(np.interp(at, p.station_ft, p.ground_ft))
        cover_ft = bounds.cover_ft(name)
        if mask is not None and mask[int(np.abs(p.station_ft - at).argmin())]:
            cover_ft = max(cover_ft, bounds.job.criteria.min_cover_drive_in / 12)
        over_ft = {"surface": bounds.top_ft(name), "shows": -MAKE_GOOD_FT, "covered": bounds.top_ft(name) + cover_ft}
        said = {
            "run": name,
            "station": at,
            "ground": ground,
            "level": ground - over_ft[kind],
            "cover_in": 12 * cover_ft,
        }
    elif kind == "drops":
        said = {"structure": name, "drop_in": 12 * at}
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
        kind, said = "pinned", {"run": name, "level": at}
    return kind, tuple(said.items())
