"""One step of time: levels at its end for which every place keeps what comes in and does not leave.

Implicit (backward Euler), so that a box that fills in a second does not swing; volumes are then moved by the flows found, so
that no water is made or lost however near the levels come.
"""

from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from msgspec import Struct

from drainsketch.ground.results import Floats, Ints
from drainsketch.water.storm.links import Grates, Passes, Pipes, Soaks
from drainsketch.water.storm.nodes import Nodes

NUDGE_FT = 1e-5
NOWHERE_FT = -1e6
ROUNDS, HALVINGS = 10, 5
CLOSE_FT3, CLOSE_FT = 2e-4, 1e-6  # a teaspoon, a hair; what a level is off is set right in the next step
FARTHEST_FT = 0.5  # a level moves in one round
MANY = 120  # nodes; from here on most of the square is empty


class System(Struct, frozen=True, dict=True):
    """Nodes, the levels that stay as they are (``fixed_ft``, numbered after the nodes), and the links between them.

    All links stand in one row: pipes, grates, passes, soaks. ``onto`` is the node that gets what leaves at each fixed level, -1 for none.
    """

    nodes: Nodes
    fixed_ft: Floats
    pipes: Pipes
    grates: Grates
    passes: Passes
    soaks: Soaks
    onto: Ints

    @cached_property
    def at(self) -> Ints:
        """The node that each link leads from."""
        return np.concatenate([self.pipes.at, self.grates.at, self.passes.at, self.soaks.at])

    @cached_property
    def to(self) -> Ints:
        """The node that each link leads to; beyond the nodes a fixed level, -1 nowhere."""
        return np.concatenate([self.pipes.to, self.grates.to, self.passes.to, self.soaks.to])

    @cached_property
    def kinds(self) -> tuple[slice, slice, slice, slice]:
        """Where pipes, grates, passes and soaks stand in the row."""
        ends = np.cumsum([0, *(len(k.at) for k in (self.pipes, self.grates, self.passes, self.soaks))]).tolist()
        one, two, three, four = (slice(a, b) for a, b in pairwise(ends))
        return one, two, three, four

    @cached_property
    def gets(self) -> Ints:
        """The node that gets the flow of each link; -1 where it is gone."""
        count = len(self.nodes.level_ft)
        fixed = self.to >= count
        gets = self.to.copy()
        gets[fixed] = self.onto[self.to[fixed] - count]
        return gets

    @cached_property
    def inner(self) -> tuple[Ints, Ints]:
        """The links whose flow hangs on the level of the node they lead to, and those whose flow some node gets."""
        led = np.flatnonzero((self.to >= 0) & (self.to < len(self.nodes.level_ft)))
        return led, np.flatnonzero(self.gets >= 0)

    @cached_property
    def places(self) -> tuple[Ints, Ints]:
        """Rows and columns of the entries that ``_solved`` puts together."""
        led, got = self.inner
        both = np.intersect1d(led, got)
        every = np.arange(len(self.nodes.level_ft))
        rows = np.concatenate([every, self.at, self.at[led], self.gets[got], self.gets[both]])
        return rows, np.concatenate([every, self.at, self.to[led], self.at[got], self.to[both]])

    def flows(self, at_ft: Floats, to_ft: Floats) -> Floats:
        """Return the flow of every link for the levels at its ends, cfs."""
        links: tuple[Pipes | Grates | Passes | Soaks, ...] = (self.pipes, self.grates, self.passes, self.soaks)
        parts = zip(links, self.kinds, strict=True)
        return np.concatenate([k.flows(at_ft[..., own], to_ft[..., own]) for k, own in parts if len(k.at)], axis=-1)

    def gains(self, flows: Floats) -> Floats:
        """Return what each node gains by its links, cfs."""
        count = len(self.nodes.level_ft)
        _, got = self.inner
        comes = np.bincount(self.gets[got], weights=flows[got], minlength=count)
        return np.asarray(comes - np.bincount(self.at, weights=flows, minlength=count))


class State(Struct, frozen=True):
    """Levels and volumes of the nodes, and the flow of each link in the step that led there."""

    level_ft: Floats
    volume_ft3: Floats
    flows_cfs: Floats


def marched(system: System, state: State, comes_cfs: Floats, step_s: float, halvings: int = HALVINGS) -> State:
    """Return the state a step later.

    Parameters
    ----------
    comes_cfs : mean flow from rain into each node over the step, (nodes,)
    step_s : its length; where levels do not settle it is gone through in halves

    Check: tests/water/storm/test_march.py
    """
    level, flows, settled = _settled(system, state, comes_cfs, step_s)
    if not settled and halvings:
        middle = marched(system, state, comes_cfs, step_s / 2, halvings - 1)
        end = marched(system, middle, comes_cfs, step_s / 2, halvings - 1)
        return State(end.level_ft, end.volume_ft3, (middle.flows_cfs + end.flows_cfs) / 2)
    return State(level, state.volume_ft3 + step_s * (comes_cfs + system.gains(flows)), flows)


def _settled(system: System, state: State, comes_cfs: Floats, step_s: float) -> tuple[Floats, Floats, bool]:
    """Return levels that keep the balance of the step, the flows at them, and whether they do; by Newton's steps, each halved
    where it would lead farther off."""
    level = state.level_ft
    flows, slopes = _flows_at(system, level)
    held, area = system.nodes.held(level)
    off = held - state.volume_ft3 - step_s * (comes_cfs + system.gains(flows))
    share = 1.0
    for _ in range(ROUNDS):
        worst = _worst(off, area)
        if worst < 1.0:
            return level, flows, True
        move = np.clip(_solved(system, area, slopes, off, step_s), -FARTHEST_FT, FARTHEST_FT)
        for share in (1.0, 0.5, 0.25):
            there = level - share * move
            flows, slopes = _flows_at(system, there)
            held, area = system.nodes.held(there)
            off = held - state.volume_ft3 - step_s * (comes_cfs + system.gains(flows))
            if _worst(off, area) < worst:
                break
        level = there
    return level, flows, _worst(off, area) < 1.0


def _worst(off_ft3: Floats, area_ft2: Floats) -> float:
    """Return how far the worst node is off, by what it may be."""
    return float((np.abs(off_ft3) / (CLOSE_FT3 + CLOSE_FT * area_ft2)).max(initial=0.0))


def _flows_at(system: System, level: Floats) -> tuple[Floats, tuple[Floats, Floats]]:
    """Return the flows of all links, and how they change with the level at either end, cfs per ft."""
    everywhere = np.concatenate([level, system.fixed_ft, [NOWHERE_FT]])  # what leads to -1 is gone
    at, to = np.tile(everywhere[system.at], (3, 1)), np.tile(everywhere[system.to], (3, 1))
    at[1] += NUDGE_FT
    to[2] += NUDGE_FT
    flows = system.flows(at, to) if len(system.at) else np.zeros((3, 0))
    return flows[0], ((flows[1] - flows[0]) / NUDGE_FT, (flows[2] - flows[0]) / NUDGE_FT)


def _solved(system: System, area: Floats, slopes: tuple[Floats, Floats], off: Floats, step_s: float) -> Floats:
    """Return by how much levels have to fall for what they are off, ft."""
    count, (led, got) = len(area), system.inner
    by_at, by_to = step_s * slopes[0], step_s * slopes[1]
    values = np.concatenate([area, by_at, by_to[led], -by_at[got], -by_to[np.intersect1d(led, got)]])
    rows, columns = system.places
    if count <= MANY:
        square = np.bincount(rows * count + columns, weights=values, minlength=count * count)
        return np.asarray(np.linalg.solve(square.reshape(count, count), off))
    return _sparse(rows, columns, values, off)


def _sparse(rows: Ints, columns: Ints, values: Floats, off: Floats) -> Floats:
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import spsolve

    matrix: Any = csc_array((values, (rows, columns)), shape=(len(off), len(off)))
    return np.asarray(spsolve(matrix, off))
