"""Spare: how far the level at an inlet or an outfall may move before no grade is left."""

import numpy as np

from drainsketch.network.bounds import Bounds
from drainsketch.network.grades import Solved, solve_part
from drainsketch.network.over_under import Pass, Side, passes
from drainsketch.network.parts import Part, Table, parts_of
from drainsketch.network.program import Program
from drainsketch.network.remedies import Spare
from drainsketch.network.results import Floats
from drainsketch.network.rows import fouls_ft, program_of
from drainsketch.network.ways import bare

MOST_RUNS = 120  # beyond, spare is not worked out
MOST_FT = 50.0  # more than this is no limit to anyone


def spare_of(bounds: Bounds) -> dict[str, Spare]:
    """Return the spare of every inlet and outfall, by id; {} for a job with more than MOST_RUNS runs.

    Exact: one program a structure, with the shift of its level as a further unknown that is made as large as can be. An inlet's
    level is that of its grate and the ground right at it; an outfall's is that which its pipe comes out at.
    Every crossing is passed on the side that it is passed on now.
    Structures of a part where no grade holds every limit are reckoned by fall alone, and left out where that fails too.
    Cost: some 5 ms a structure. Source: parametric linear program (definition). Check: tests/network/test_spare.py
    """
    if len(bounds.network.runs) > MOST_RUNS:
        return {}
    found: dict[str, Spare] = {}
    for part in parts_of(bounds, passes(bounds)):
        table = Table(part)
        asked = [s.structure.id for s in part.structures]
        solved = solve_part(part, may_give=False, alter=bare)
        for keeps in ("limits", "fall"):
            sides: tuple[Side, ...] = ()
            if keeps == "limits":
                if solved is None:
                    continue
                sides = tuple(_as_passed(solved, p) for p in part.passes)
            program = bare(program_of(table, sides), fall_only=keeps == "fall")
            solver = _Shifted(program, table)
            if solver.most(None, 0.0) is None:
                continue
            for name in asked:
                if name in bounds.network.inlets:
                    found[name] = Spare(name, lower_ft=solver.most(name, 1.0), keeps=keeps)
                elif name in bounds.network.outfalls:
                    found[name] = Spare(name, higher_ft=solver.higher(name, _now(bounds, part, name)), keeps=keeps)
            break
    return found


def _as_passed(solved: Solved, p: Pass) -> Side:
    over_ft, under_ft = fouls_ft(solved.table, p, solved.levels)
    return Side(p, over_ft <= under_ft)


def _now(bounds: Bounds, part: Part, name: str) -> float | None:
    return next(s.fixed_ft for s in part.structures if s.structure.id == name)


class _Shifted:
    """The rows of a program as one matrix, with a column more for a shift."""

    def __init__(self, program: Program, table: Table) -> None:
        from scipy.sparse import coo_array

        self._program, self._table = program, table
        at, column, factor, most, own = [], [], [], [], []
        first = 0
        pair = {(int(h), int(w)): k for k, (h, w) in enumerate(zip(table.high, table.low, strict=True))}
        for rows in program.rows:
            n, k = rows.column.shape
            at.append(np.repeat(np.arange(first, first + n), k))
            column.append(rows.column.ravel())
            factor.append(rows.factor.ravel())
            most.append(rows.most)
            if rows.kind in ("cover", "ground"):
                own += [
                    (first + i, c, f)
                    for i, (c, f) in enumerate(zip(rows.column.tolist(), rows.factor.tolist(), strict=True))
                ]
            first += n
        self._count = len(program.cost)
        self._matrix = coo_array(
            (np.concatenate(factor), (np.concatenate(at), np.concatenate(column))), shape=(first, self._count)
        ).tocsr()
        self._most = np.concatenate(most)
        self._at_end: dict[int, list[int]] = {}  # rows of the ground right at a structure, by its number
        ends = {}
        for r, (down, up) in zip(table.part.runs, table.ends, strict=True):
            ends[down], ends[up] = table.at[r.flow.downstream], table.at[r.flow.upstream]
        for row, columns, factors in own:
            whole = [c for c, f in zip(columns, factors, strict=True) if f > 1 - 1e-9]
            if whole and (len(columns) == 1 or (columns[0], columns[1]) in pair):
                self._at_end.setdefault(ends.get(whole[0], whole[0]), []).append(row)

    def most(self, name: str | None, sign: float) -> float | None:
        """Return how much lower the ground at a structure may be, ft; None where there is no limit, or no grade at all."""
        shift = np.zeros(self._matrix.shape[0])
        if name is not None:
            shift[self._at_end.get(self._table.at[name], [])] = sign
        low, high = self._program.low, self._program.high
        found = self._solve(shift, low, high, None)
        return found if name is None else None if found is None or found >= MOST_FT - 1e-6 else found

    def higher(self, name: str, level_ft: float | None) -> float | None:
        """Return how much higher the level an outfall is held at may be, ft; None where it is not held, or without limit."""
        if level_ft is None:
            return None
        column = self._table.at[name]
        low, high = self._program.low.copy(), self._program.high.copy()
        low[column], high[column] = -np.inf, np.inf
        found = self._solve(np.zeros(self._matrix.shape[0]), low, high, (column, level_ft - self._table.base_ft))
        return None if found is None or found >= MOST_FT - 1e-6 else found

    def _solve(self, shift: Floats, low: Floats, high: Floats, held: tuple[int, float] | None) -> float | None:
        from scipy.optimize import Bounds as Within
        from scipy.optimize import LinearConstraint, milp
        from scipy.sparse import csr_array, hstack, vstack

        matrix = hstack([self._matrix, csr_array(shift.reshape(-1, 1))]).tocsr()
        least, most = np.full(len(self._most), -np.inf), self._most
        if held is not None:  # the level is as before and the shift over it
            row = np.zeros((1, self._count + 1))
            row[0, held[0]], row[0, -1] = 1.0, -1.0
            matrix = vstack([matrix, csr_array(row)]).tocsr()
            least, most = np.append(least, held[1]), np.append(most, held[1])
        cost = np.zeros(self._count + 1)
        cost[-1] = -1.0
        whole = np.zeros(self._count + 1, dtype=np.int32)
        whole[self._program.choices] = 1
        within = Within(np.append(low, 0.0), np.append(high, MOST_FT))
        answer = milp(cost, constraints=LinearConstraint(matrix, least, most), bounds=within, integrality=whole)
        return float(answer.x[-1]) if answer.status == 0 and answer.x is not None else None
