"""A linear program in rows of numbers, with dearer digging put in where it is met, yes-or-no choices, and give.

The solver is HiGHS. It is spoken to through its own interface rather than scipy's: it keeps its basis, so that the rows found
missing after a first answer cost little.
"""

from collections.abc import Callable
from typing import Any, cast

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from drainsketch.network.results import Floats

Whole = NDArray[np.int32]

# What a foot of give costs against a foot of mean trench depth, when no grade satisfies everything: the dearer, the later it gives.
GIVE = {
    "drop": 3e1,
    "cover": 1e2,
    "max slope": 1e3,
    "clearance": 5e3,
    "ground": 1.5e5,  # many times a foot of clearance: a foot at a crossing may lift the pipe by less where it leaves the ground
    "open": 1.5e5,
    "contact": 5e5,
    "pin": 1e6,
    "min slope": 1e7,
}
DEAR_GAP = 2e-5  # of the whole cost: so near the least cost is near enough
MOST_ROUNDS = 60
CHOICE_GAP = 1e-5


class Rows(Struct, frozen=True, eq=False):
    """Rows of one kind: the sum of ``factor`` times the unknowns in ``column``, both (n, k), is at most ``most`` (n,).

    ``kind`` is a key of GIVE, or '' when the rows never give. Rows that share a number in ``gives`` give by the same amount;
    without it each gives by its own.
    """

    column: Whole
    factor: Floats
    most: Floats
    kind: str = ""
    gives: Whole | None = None


class Program(Struct, frozen=True, eq=False):
    """Least ``cost`` times unknowns within ``low`` and ``high``, all (n,), under the rows; ``choices`` are 0 or 1.

    ``doubt`` are the feet by which the error of a depth is not kept clear of, which cost but are not dug.
    ``dear`` says of an answer what it costs over the linear cost in each of ``dear_columns``, and how that changes from there;
    it is convex. ``constant`` is a cost that nothing changes; ``base_ft`` a level near all the levels: they are written from it.
    """

    cost: Floats
    low: Floats
    high: Floats
    rows: tuple[Rows, ...]
    choices: Whole
    doubt: Whole
    dear: Callable[[Floats], "Dear"]
    dear_columns: Whole
    constant: float


class Dear(Struct, frozen=True, eq=False):
    """Convex costs (m,) at an answer, and their slopes ``factor`` by the unknowns in ``column``, both (m, k)."""

    cost: Floats
    column: Whole
    factor: Floats


class Answer(Struct, frozen=True, eq=False):
    """The unknowns' values, what they cost to dig, that with the price of doubt and of what gave, and whether a row had to give."""

    values: Floats
    cost: float
    priced: float
    gave: bool


def solve(program: Program, *, give: bool) -> Answer | None:
    """Return the cheapest answer; None where there is none.

    Dear costs come in as the planes that touch them where an answer lies, until planes and costs agree to 2e-5 of the whole:
    the answer of the planes is never above the least cost, so the answer is within that of it (Kelley's cutting planes).

    Parameters
    ----------
    give : whether rows may be broken, at the prices of GIVE; then there is an answer unless rows that never give contradict
    """
    scale = 1.0 / (float(np.abs(program.cost).sum()) or 1.0) if give else 1.0
    solver = _Solver(program, scale, give)
    count = len(program.cost)
    x = solver.run()
    for _ in range(MOST_ROUNDS):
        if x is None:
            return None
        dear = program.dear(x[:count])
        linear = float(program.cost @ x[:count]) + program.constant
        total = linear - float(program.cost[program.dear_columns] @ x[program.dear_columns]) + float(dear.cost.sum())
        short = dear.cost - x[program.dear_columns]
        if short.sum() <= DEAR_GAP * max(total, 1.0):
            break
        solver.touch(dear, np.flatnonzero(short > 1e-9), x[:count])
        x = solver.run()
    assert x is not None
    dug = total - float(program.cost[program.doubt] @ x[program.doubt])
    return Answer(x[:count], dug, solver.objective(), bool(give and (x[count:] > 1e-7).any()))


class _Solver:
    """One program inside HiGHS."""

    def __init__(self, program: Program, scale: float, give: bool) -> None:
        import highspy

        self._dear_columns = program.dear_columns
        self._highs: Any = cast(
            Any, highspy
        )._Highs()  # the public Highs prints a banner as it is made, before it can be told to be silent
        self._highs.setOptionValue("output_flag", False)
        self._highs.setOptionValue("threads", 1)
        if len(program.choices):
            self._highs.setOptionValue("mip_rel_gap", CHOICE_GAP)
        else:
            self._highs.setOptionValue("solver", "simplex")
            self._highs.setOptionValue("presolve", "off")
            # Dantzig's pricing: a sixth quicker here
            self._highs.setOptionValue("simplex_dual_edge_weight_strategy", 0)
        none = np.zeros(0, dtype=np.int32)
        count = len(program.cost)
        self._highs.addCols(count, program.cost * scale, program.low, program.high, 0, none, none, np.zeros(0))
        if len(program.choices):
            kind = np.full(len(program.choices), int(highspy.HighsVarType.kInteger), dtype=np.uint8)
            self._highs.changeColsIntegrality(len(program.choices), program.choices, kind)
        if give:
            self._give_columns(program)
        self._rows(program, count if give else None)

    def _give_columns(self, program: Program) -> None:
        prices = [np.full(_gives(r), GIVE[r.kind]) for r in program.rows if r.kind]
        price = np.concatenate(prices) if prices else np.zeros(0)
        none, n = np.zeros(0, dtype=np.int32), len(price)
        self._highs.addCols(n, price, np.zeros(n), np.full(n, np.inf), 0, none, none, np.zeros(0))

    def _rows(self, program: Program, give_from: int | None) -> None:
        from scipy.sparse import coo_array

        at, column, factor, most = [], [], [], []
        first, give_at = 0, give_from or 0
        for rows in program.rows:
            n, k = rows.column.shape
            number = np.arange(first, first + n, dtype=np.int32)
            at.append(np.repeat(number, k))
            column.append(rows.column.ravel())
            factor.append(rows.factor.ravel())
            most.append(rows.most)
            if give_from is not None and rows.kind:
                at.append(number)
                column.append(give_at + (np.arange(n, dtype=np.int32) if rows.gives is None else rows.gives))
                factor.append(np.full(n, -1.0))
                give_at += _gives(rows)
            first += n
        if not first:
            return
        triples = (np.concatenate(factor), (np.concatenate(at), np.concatenate(column)))
        matrix = coo_array(triples, shape=(first, max(give_at, len(program.cost)))).tocsr()
        self._add(matrix.indptr, matrix.indices, matrix.data, np.concatenate(most))

    def _add(self, starts: Any, column: Any, factor: Any, most: Floats) -> None:
        n = len(most)
        start = np.asarray(starts[:n], dtype=np.int32)
        low = np.full(n, -np.inf)
        self._highs.addRows(n, low, most, len(factor), start, np.asarray(column, dtype=np.int32), factor)

    def touch(self, dear: Dear, which: NDArray[np.intp], x: Floats) -> None:
        """Add the planes that touch some of the dear costs at an answer."""
        column, factor = dear.column[which], dear.factor[which]
        most = (factor * x[column]).sum(axis=1) - dear.cost[which]
        column = np.column_stack([column, self._dear_columns[which]]).astype(np.int32)
        factor = np.column_stack([factor, np.full(len(which), -1.0)])
        k = column.shape[1]
        self._add(np.arange(0, k * len(which), k), column.ravel(), factor.ravel(), most)

    def objective(self) -> float:
        """Return the cost of the best values, in the scale of the prices."""
        return float(self._highs.getInfo().objective_function_value)

    def run(self) -> Floats | None:
        """Return the best values; None where there are none."""
        import highspy

        self._highs.run()
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kOptimal:
            return np.array(self._highs.getSolution().col_value)
        none = (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible)
        if status in none:
            return None
        raise ArithmeticError(f"no answer about the grades: {self._highs.modelStatusToString(status)}")


def _gives(rows: Rows) -> int:
    """Return how many amounts the rows can give by."""
    return len(rows.most) if rows.gives is None else int(rows.gives.max(initial=-1)) + 1
