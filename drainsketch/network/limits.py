"""Limits: what asks for each row of a part's program, so that a conflict can be told by its limits."""

import numpy as np
from msgspec import Struct

from drainsketch.network.legs import Leg
from drainsketch.network.parts import Table
from drainsketch.network.rows import program_of

Key = tuple[str, str, float]  # kind of limit, the structure or run it is about, and its station or level


class Row(Struct, frozen=True):
    """A limit: the sum of factors times levels is at most ``most``; ``key`` says what asks for it, '' when it cannot be left.

    ``about`` are the structure or the runs whose trouble it is when it is broken.
    """

    column: tuple[int, ...]
    factor: tuple[float, ...]
    most: float
    key: Key = ("", "", 0.0)
    about: tuple[str, ...] = ()


def limits_of(table: Table, kinds: tuple[str, ...]) -> list[Row]:
    """Return the limits of some kinds of a part."""
    run_of = {(int(h), int(w)): leg for h, w, leg in zip(table.high, table.low, table.legs, strict=True)}
    at = {i: s for s, i in table.at.items()}
    at |= {
        own: end
        for r, ends in zip(table.part.runs, table.ends, strict=True)
        for own, end in zip(ends, (r.flow.downstream, r.flow.upstream), strict=True)
        if own not in at
    }
    open_air = {(leg.run_id, leg.from_ft + share * leg.length_ft) for leg in table.legs for share in _open(leg)}
    found: list[Row] = []
    for rows in program_of(table, ()).rows:
        if rows.kind not in kinds or rows.column.max(initial=0) >= table.levels:
            continue
        for column, factor, most in zip(rows.column.tolist(), rows.factor.tolist(), rows.most.tolist(), strict=True):
            about: tuple[str, ...] = ()
            leg = run_of.get((column[0], column[1])) if len(column) == 2 else None
            station = leg.from_ft + factor[0] * leg.length_ft if leg is not None else 0.0
            key: Key = ("", "", 0.0)
            if rows.kind == "min slope" and leg is not None:
                key = ("falls", leg.run_id, leg.from_ft)
            elif rows.kind == "cover" and leg is not None:
                key = ("shows" if (leg.run_id, station) in open_air else "covered", leg.run_id, station)
            elif rows.kind == "ground":
                key = ("surface", leg.run_id, station) if leg is not None else ("leaves", at[column[0]], 0.0)
                about = (key[1], *(r.run.id for r in table.part.runs if leg is None and r.flow.upstream == key[1]))
            elif rows.kind == "drop":
                key = ("drops", at[column[0]], -most)
            elif rows.kind == "pin":  # the end of a run is tied to its structure
                about = _joined(table, column)
            found.append(Row(tuple(column), tuple(factor), most, key, about or (key[1],)))
    for column, level in table.fixed.items():
        key = ("held", at[column], level) if column in table.at.values() else _pin(table, column, level)
        z = level - table.base_ft
        found += [Row((column,), (1.0,), z, key), Row((column,), (-1.0,), -z, key)]
    return found


def _open(leg: Leg) -> list[float]:
    """Return the places of a leg where its pipe may come out into the open."""
    share: list[float] = leg.ceiling_share[~np.isfinite(leg.ground_top)].tolist()
    return share


def _joined(table: Table, columns: list[int]) -> tuple[str, ...]:
    """Return the run of whose end these are the levels; where it leaves a structure also those that arrive there."""
    ends = list(zip(table.part.runs, table.ends, strict=True))
    run, is_up = next((r, up in columns) for r, (down, up) in ends if {down, up} & ({*columns} - {*table.at.values()}))
    arriving = [r.run.id for r, _ in ends if is_up and r.flow.downstream == run.flow.upstream]
    return (run.run.id, *arriving)


def _pin(table: Table, column: int, level: float) -> Key:
    """Return the limit that a pinned end of a run is."""
    run, (down, _) = next((r.run.id, e) for r, e in zip(table.part.runs, table.ends, strict=True) if column in e)
    return "pinned_end" if column == down else "pinned", run, level
