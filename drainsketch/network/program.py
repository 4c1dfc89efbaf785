"""A small linear program in words: named unknowns, rows with a kind, solved exactly; and again with give where it has no answer.

The solver is HiGHS through scipy.
"""

from typing import Any, cast

import numpy as np
from msgspec import Struct

# What a foot of give costs against a foot of mean trench depth, when no grade satisfies everything: the dearer, the later it gives.
GIVE = {"cover": 1e2, "max slope": 1e3, "ground": 1e4, "pin": 1e5, "min slope": 1e6}


class Row(Struct, frozen=True):
    """Sum of factor times unknown is at most ``most``. ``kind`` is a key of GIVE, or '' when it never gives."""

    terms: tuple[tuple[str, float], ...]
    most: float
    kind: str = ""


class Program(Struct, frozen=True):
    """Maximize the sum of ``gains`` times unknowns, subject to the rows and to unknowns fixed at a value."""

    gains: dict[str, float]
    rows: tuple[Row, ...]
    fixed: dict[str, float]
    base_ft: float  # a level near all the unknowns; keeps the numbers small


class Answer(Struct, frozen=True):
    """The unknowns' values, and whether a row had to give."""

    values: dict[str, float]
    gave: bool


def solve(program: Program) -> Answer:
    """Return the best values; when the rows contradict each other, the values that break them least, by the prices of GIVE.

    Raises
    ------
    ArithmeticError : even with give there is no answer (unknowns without an upper bound, or fixed ones in rows that never give)
    """
    names = list(program.gains)
    result = _run(program, names, {})
    if result.status == 0:
        return Answer(values=_values(program, names, result.x), gave=False)
    result = _run(program, names, GIVE)
    if result.status != 0:
        raise ArithmeticError(f"no grade even with give: {result.message}")
    return Answer(values=_values(program, names, result.x), gave=True)


def _values(program: Program, names: list[str], x: Any) -> dict[str, float]:
    """Return levels by name; fixed ones to the last digit, not to the solver's tolerance."""
    found = {name: program.base_ft + float(v) for name, v in zip(names, x, strict=False)}
    return {**found, **{n: v for n, v in program.fixed.items() if n in found}}


def _run(program: Program, names: list[str], give: dict[str, float]) -> Any:
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    column = {name: i for i, name in enumerate(names)}
    rows = program.rows
    giving = [i for i, row in enumerate(rows) if row.kind in give]
    at, across, factor = [], [], []
    most = np.empty(len(rows))
    for i, row in enumerate(rows):
        most[i] = row.most - program.base_ft * sum(f for _, f in row.terms)
        for name, f in row.terms:
            at.append(i)
            across.append(column[name])
            factor.append(f)
    for k, i in enumerate(giving):
        at.append(i)
        across.append(len(names) + k)
        factor.append(-1.0)
    total = sum(abs(g) for g in program.gains.values()) or 1.0
    cost = np.concatenate([[-program.gains[n] / total for n in names], [give[rows[i].kind] for i in giving]])
    bounds = [_bound(program, n) for n in names] + [(0.0, None)] * len(giving)
    matrix = csr_array((factor, (at, across)), shape=(len(rows), len(names) + len(giving)))
    answer: Any = linprog(cost, A_ub=cast(Any, matrix), b_ub=most, bounds=bounds, method="highs")
    return answer


def _bound(program: Program, name: str) -> tuple[float | None, float | None]:
    if name not in program.fixed:
        return (None, None)
    value = program.fixed[name] - program.base_ft
    return (value, value)
