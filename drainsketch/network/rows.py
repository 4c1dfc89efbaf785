"""Rows: a part written as a program: least digging under slope, cover, ground, joints and crossings."""

from typing import Any

import numpy as np

from drainsketch.network.dear import DearDigging, holes_below_ft
from drainsketch.network.over_under import Levels, Pass, Side
from drainsketch.network.parts import Table
from drainsketch.network.program import Program, Rows, Whole
from drainsketch.network.results import Floats

EVEN_SHARE = 1e-4  # of the whole cost: what even slopes may cost at the most
DOUBT_FT2 = 20.0  # common practice, no source: a foot of doubt kept at a crossing is worth 20 ft of trench a foot wide a foot deeper
LEAST_GAIN = 1e-6  # ft2: a level that no digging hangs on still rises as far as it can


def program_of(table: Table, sides: tuple[Side, ...], doubts: tuple[Side, ...] = ()) -> Program:
    """Return the program of a part, with over or under at some of its crossings.

    Parameters
    ----------
    doubts : crossings at which the error of the depth is kept clear of too, on the side given, as far as that is worth its digging
    """
    part = table.part
    pairs = _pairs(table)
    count, legs = table.levels, len(table.legs)
    dear_at = np.arange(count, count + legs + len(part.structures), dtype=np.int32)
    even_at = np.arange(dear_at[-1] + 1, dear_at[-1] + 1 + len(pairs), dtype=np.int32)
    first = count + len(dear_at) + len(pairs)
    choice_at = np.arange(first, first + sum(s.over is None for s in sides), dtype=np.int32)
    cost, constant, least = _digging(table)
    doubt_at = np.arange(first + len(choice_at), first + len(choice_at) + len(doubts), dtype=np.int32)
    even = EVEN_SHARE * least / (max(1, len(pairs)) * max(0.05, *(r.slopes[1] for r in part.runs)))
    costs = np.concatenate(
        [cost, np.ones(len(dear_at)), np.full(len(pairs), even), np.zeros(len(choice_at) + len(doubts))]
    )
    costs[doubt_at] = DOUBT_FT2
    low, high = np.full(len(costs), -np.inf), np.full(len(costs), np.inf)
    low[count:] = 0.0
    high[choice_at] = 1.0
    for column, level in table.fixed.items():
        low[column] = high[column] = level - table.base_ft
    rows = [*_slope_rows(table), *_cover_rows(table), *_joint_rows(table), *_even_rows(table, pairs, even_at)]
    rows += [_choice_rows(table, sides, first), _contact_rows(table, sides), _doubt_rows(table, doubts, doubt_at)]
    return Program(
        cost=costs,
        low=low,
        high=high,
        rows=tuple(r for r in rows if len(r.most)),
        choices=choice_at,
        doubt=doubt_at,
        dear=DearDigging(table),
        dear_columns=dear_at,
        constant=constant,
    )


def _digging(table: Table) -> tuple[Floats, float, float]:
    """Return what a foot of each level saves, the cost with all levels at the base, and a cost no grade goes below, ft3."""
    cost = np.full(table.levels, -LEAST_GAIN)
    legs = table.legs
    up = np.array([float(leg.weight_ft2 @ leg.share) for leg in legs])
    whole = np.array([float(leg.weight_ft2.sum()) for leg in legs])
    np.add.at(cost, table.high, -up)
    np.add.at(cost, table.low, up - whole)
    constant = sum(float(leg.weight_ft2 @ leg.bottom_ft) for leg in legs) - table.base_ft * float(whole.sum())
    least = 0.25 * float(whole.sum())
    for s, below_ft in zip(table.part.structures, holes_below_ft(table.part), strict=True):
        area = s.hole_side_ft**2
        cost[table.at[s.structure.id]] -= area
        constant += area * (s.ground_ft + below_ft - table.base_ft)
    return cost, constant, least


def _two(table: Table) -> Whole:
    return np.column_stack([table.high, table.low]).astype(np.int32)


def _slope_rows(table: Table) -> list[Rows]:
    limits = np.array([r.slopes for r in table.part.runs for _ in r.legs])
    falls = np.tile([1.0, -1.0], (len(table.legs), 1))
    return [
        Rows(_two(table), -falls, -limits[:, 0] * table.length, "min slope"),
        Rows(_two(table), falls, limits[:, 1] * table.length, "max slope"),
    ]


def _cover_rows(table: Table) -> list[Rows]:
    """Rows that keep pipe under its cover, its top in the ground, and near an outfall no more out of it than can be made good."""
    legs = table.legs
    leg = np.repeat(np.arange(len(legs)), [len(x.ceiling) for x in legs])
    share = np.concatenate([x.ceiling_share for x in legs])
    column = _two(table)[leg]
    factor = np.column_stack([share, 1.0 - share])
    ceiling = np.concatenate([x.ceiling for x in legs]) - table.base_ft
    top = np.concatenate([x.ground_top for x in legs]) - table.base_ft
    bound = np.isfinite(top)
    return [
        Rows(column, factor, ceiling, "cover"),
        Rows(column[bound], factor[bound], top[bound], "ground"),
        Rows(column[~bound], factor[~bound], ceiling[~bound], "open"),
    ]


def _rows(entries: list[tuple[list[int], list[float], float]], kind: str) -> Rows:
    """Return rows of the same width from lists."""
    width = len(entries[0][0]) if entries else 1
    return Rows(
        column=np.array([c for c, _, _ in entries], dtype=np.int32).reshape(-1, width),
        factor=np.array([f for _, f, _ in entries], dtype=float).reshape(-1, width),
        most=np.array([m for _, _, m in entries], dtype=float),
        kind=kind,
    )


def _joint_rows(table: Table) -> list[Rows]:
    """Rows that tie the ends of runs to structures: pipe leaves at the structure's invert, and enters at or above it, by the
    drop asked through a basin. Where the run's end is pinned they give rather than break: pins may contradict each other."""
    part, base = table.part, table.base_ft
    highest = [([table.at[r.flow.upstream]], [1.0], r.highest_out_ft - base) for r in part.runs]
    kinds = {s.structure.id: s.structure.kind for s in part.structures}
    highest += [
        ([down], [1.0], r.highest_in_ft - base)
        for r, (down, _) in zip(part.runs, table.ends, strict=True)
        if kinds[r.flow.downstream] == "basin"
    ]
    drop_ft = part.criteria.basin_drop_in / 12
    leaving = {r.flow.upstream for r in part.runs}
    basin_at = {table.at[name] for name in leaving if kinds[name] == "basin"}
    tied: dict[str, list[tuple[list[int], list[float], float]]] = {"": [], "pin": [], "drop": []}
    for which, own, at, kind in table.own:
        tied[kind].append(([at, own], [1.0, -1.0], 0.0))
        if which == "same":
            tied[kind].append(([own, at], [1.0, -1.0], 0.0))
        elif drop_ft and at in basin_at:
            tied["drop"].append(([at, own], [1.0, -1.0], -drop_ft))
    return [_rows(highest, "ground"), *(_rows(entries, kind) for kind, entries in tied.items())]


def _pairs(table: Table) -> list[tuple[int, int]]:
    """Return the pairs of legs of which one goes on in the other, as numbers of legs."""
    first: dict[str, int] = {}  # the leg by which a structure's water leaves
    numbers = []
    n = 0
    for r in table.part.runs:
        numbers.append(n)
        n += len(r.legs)
        first.setdefault(r.flow.upstream, n - 1)
    found = []
    for r, start in zip(table.part.runs, numbers, strict=True):
        found += [(k + 1, k) for k in range(start, start + len(r.legs) - 1)]
        after = first.get(r.flow.downstream)
        if after is not None:
            found.append((start, after))
    return [(a, b) for a, b in found if table.length[a] > 0 and table.length[b] > 0]


def _even_rows(table: Table, pairs: list[tuple[int, int]], even_at: Whole) -> list[Rows]:
    """Rows by which each unknown of ``even_at`` is at least the difference in slope of a pair of legs."""
    if not pairs:
        return []
    a, b = np.array(pairs, dtype=np.intp).T
    one, two = 1.0 / table.length[a], 1.0 / table.length[b]
    column = np.column_stack([table.high[a], table.low[a], table.high[b], table.low[b], even_at]).astype(np.int32)
    minus = np.full(len(a), -1.0)
    none = np.zeros(len(a))
    return [
        Rows(column, np.column_stack([one, -one, -two, two, minus]), none),
        Rows(column, np.column_stack([-one, one, two, -two, minus]), none),
    ]


def _choice_rows(table: Table, sides: tuple[Side, ...], first: int) -> Rows:
    """Rows that put each run over (choice 1) or under (choice 0) what it crosses, for the whole length of the crossing."""
    choice: list[int | None] = []
    for side in sides:
        choice.append(first if side.over is None else None)
        first += side.over is None
    levels = [(s.crossing.over, s.crossing.under) for s in sides]
    return _side_rows(table, sides, levels, choice)


def _contact_rows(table: Table, sides: tuple[Side, ...]) -> Rows:
    """Rows that keep each run from touching the service it crosses, on the side given: they give later than the clearance."""
    held = [s for s in sides if s.over is not None and not s.crossing.is_run]
    levels = [
        (
            tuple((at, t, z - s.crossing.need_over_ft) for at, t, z in s.crossing.over),
            tuple((at, t, z + s.crossing.need_under_ft) for at, t, z in s.crossing.under),
        )
        for s in held
    ]
    rows = _side_rows(table, tuple(held), levels, [None] * len(held))
    return Rows(rows.column, rows.factor, rows.most, "contact", rows.gives)


def _doubt_rows(table: Table, doubts: tuple[Side, ...], doubt_at: Whole) -> Rows:
    """Rows by which each unknown of ``doubt_at`` is at least what a crossing falls short of its doubt, all along it."""
    levels = [(s.crossing.over_doubt, s.crossing.under_doubt) for s in doubts]
    rows = _side_rows(table, doubts, levels, [None] * len(doubts))
    if len(rows.most):
        assert rows.gives is not None
        rows.column[:, -1] = doubt_at[rows.gives]
        rows.factor[:, -1] = -1.0
    return Rows(rows.column, rows.factor, rows.most)


def _side_rows(
    table: Table, sides: tuple[Side, ...], levels: list[tuple[Levels, Levels]], choice: list[int | None]
) -> Rows:
    known = [s.ground_ft for s in table.part.structures] + list(table.fixed.values())
    far = 2 * (max(known) - min(known)) + 60.0  # no two levels of the part lie farther apart
    column, factor, most, gives = [], [], [], []
    for k, (side, (over, under)) in enumerate(zip(sides, levels, strict=True)):
        p, at = side.crossing, choice[k]
        for sign, places in ((-1.0, () if side.over is False else over), (1.0, () if side.over else under)):
            for station, other_station, level in places:
                c1, f1 = at_station(table, table.number[p.run_id], station)
                c2, f2 = at_station(table, table.number[p.other], other_station) if p.is_run else (c1, (0.0, 0.0))
                far_off = 0.0 if at is None else -sign * far
                column.append([*c1, *c2, at or 0])
                factor.append([*(sign * f for f in f1), *(-sign * f for f in f2), far_off])
                most.append(sign * (level - (0.0 if p.is_run else table.base_ft)) + max(0.0, far_off))
                gives.append(k)
    return Rows(
        column=np.array(column, dtype=np.int32).reshape(-1, 5),
        factor=np.array(factor, dtype=float).reshape(-1, 5),
        most=np.array(most, dtype=float),
        kind="clearance",
        gives=np.array(gives, dtype=np.int32),
    )


def at_station(table: Table, number: int, station_ft: float) -> tuple[tuple[int, int], tuple[float, float]]:
    """Return the invert of a part's run at a station: the two unknowns it lies between, and its share of each."""
    r, knots = table.part.runs[number], table.knots[number]
    k = max(i for i, leg in enumerate(r.legs) if i == 0 or leg.from_ft <= station_ft)
    leg = r.legs[k]
    share = (station_ft - leg.from_ft) / leg.length_ft if leg.length_ft else 0.0
    return (knots[k], knots[k + 1]), (1.0 - share, share)


def fouls_ft(table: Table, p: Pass, x: Any) -> tuple[float, float]:
    """Return by how much an answer falls short of passing over a crossing, and under it, all along it, ft; 0 or less clears it."""
    return -min(_above_ft(table, p, p.over, x)), max(_above_ft(table, p, p.under, x))


def doubt_ft(table: Table, side: Side, x: Any) -> float:
    """Return by how much an answer falls short of keeping clear of a depth and its error, on one side, ft; 0 or less keeps it."""
    p = side.crossing
    if not p.over_doubt:
        return 0.0
    return -min(_above_ft(table, p, p.over_doubt, x)) if side.over else max(_above_ft(table, p, p.under_doubt, x))


def _above_ft(table: Table, p: Pass, places: Levels, x: Any) -> list[float]:
    """Return how far an answer lies above the levels of a crossing, ft."""

    def level(run_id: str, station_ft: float) -> float:
        columns, shares = at_station(table, table.number[run_id], station_ft)
        return float(x[columns[0]] * shares[0] + x[columns[1]] * shares[1])

    return [level(p.run_id, s) - (level(p.other, t) if p.is_run else -table.base_ft) - z for s, t, z in places]
