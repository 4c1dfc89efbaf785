"""Small systems of places for the playing of a storm, made of plain numbers."""

from collections.abc import Sequence

import numpy as np

from drainsketch.water.storm.links import Grates, Passes, Pipes, Soaks
from drainsketch.water.storm.march import State, System, marched
from drainsketch.water.storm.nodes import Table, nodes_of

NONE, WHOLE = np.empty(0), np.empty(0, dtype=np.int64)


def tank(floor_ft: float, area_ft2: float) -> Table:
    return np.array([floor_ft, floor_ft + 50.0]), np.array([0.0, 50.0 * area_ft2])


def system(
    tables: Sequence[Table],
    *,
    fixed_ft: Sequence[float] = (),
    pipes: Pipes | None = None,
    grates: Grates | None = None,
    passes: Passes | None = None,
    soaks: Soaks | None = None,
) -> System:
    return System(
        nodes_of(tables),
        np.array(fixed_ft, dtype=np.float64),
        pipes or Pipes(WHOLE, WHOLE, *[NONE] * 7, np.empty((0, 2)), NONE),
        grates or Grates(WHOLE, WHOLE, *[NONE] * 4),
        passes or Passes(WHOLE, WHOLE, NONE, NONE, NONE),
        soaks or Soaks(WHOLE, NONE, NONE),
        np.full(len(fixed_ft), -1),
    )


def state(of: System, level_ft: Sequence[float]) -> State:
    level = np.array(level_ft, dtype=np.float64)
    return State(level, of.nodes.held(level)[0], np.zeros(len(of.at)))


def levels_over(of: System, start: State, comes, step_s: float, steps: int) -> np.ndarray:
    """Return the levels at the end of every step, the start first; ``comes`` tells the inflow by the middle of a step, s."""
    now, out = start, [start.level_ft]
    for n in range(steps):
        now = marched(of, now, np.asarray(comes((n + 0.5) * step_s)), step_s)
        out.append(now.level_ft)
    return np.array(out)


def one(value: float) -> np.ndarray:
    return np.array([value])


FIRST = np.array([0])
