"""Parts: what hangs together by pipe, or by runs that cross, and so has to be graded together."""

import numpy as np
from msgspec import Struct

from drainsketch.job.limits import Criteria
from drainsketch.job.model import Run, Structure
from drainsketch.network.bounds import Bounds, fixed_level, pinned_ft
from drainsketch.network.legs import Leg
from drainsketch.network.over_under import Pass
from drainsketch.network.results import FlowRun


class PartRun(Struct, frozen=True):
    """A run of a part with all that its levels hang on."""

    run: Run
    flow: FlowRun
    legs: tuple[Leg, ...]
    slopes: tuple[float, float]
    highest_out_ft: float
    highest_in_ft: float
    below_ft: float


class PartStructure(Struct, frozen=True):
    """A structure of a part: the level it is held at, and the hole dug for it."""

    structure: Structure
    ground_ft: float
    fixed_ft: float | None
    hole_side_ft: float


class Part(Struct, frozen=True):
    """Runs that have to be graded together. Equal parts have equal grades."""

    criteria: Criteria
    runs: tuple[PartRun, ...]
    structures: tuple[PartStructure, ...]
    passes: tuple[Pass, ...]


def parts_of(bounds: Bounds, crossed: tuple[Pass, ...]) -> tuple[Part, ...]:
    """Return the parts of a network, each with its runs in the network's order."""
    lead: dict[str, str] = {}

    def head(name: str) -> str:
        while lead.setdefault(name, name) != name:
            lead[name] = lead[lead[name]]
            name = lead[name]
        return name

    for flow in bounds.network.runs:
        lead[head(flow.upstream)] = head(flow.downstream)
    for p in crossed:
        if p.is_run:
            lead[head(bounds.flows[p.run_id].upstream)] = head(bounds.flows[p.other].upstream)
    runs: dict[str, list[FlowRun]] = {}
    for flow in bounds.network.runs:
        runs.setdefault(head(flow.upstream), []).append(flow)
    at: dict[str, list[Pass]] = {}
    for p in crossed:
        at.setdefault(head(bounds.flows[p.run_id].upstream), []).append(p)
    return tuple(_part(bounds, flows, tuple(at.get(name, ()))) for name, flows in runs.items())


def _part(bounds: Bounds, flows: list[FlowRun], crossed: tuple[Pass, ...]) -> Part:
    names = dict.fromkeys(name for f in flows for name in (f.upstream, f.downstream))
    return Part(
        criteria=bounds.job.criteria,
        runs=tuple(_part_run(bounds, f) for f in flows),
        structures=tuple(
            PartStructure(
                structure=bounds.structures[name],
                ground_ft=bounds.ground[name],
                fixed_ft=fixed_level(bounds.structures[name], bounds.ground[name]),
                hole_side_ft=bounds.hole_ft[name],
            )
            for name in names
        ),
        passes=crossed,
    )


def _part_run(bounds: Bounds, flow: FlowRun) -> PartRun:
    return PartRun(
        run=bounds.runs[flow.id],
        flow=flow,
        legs=bounds.legs(flow),
        slopes=bounds.slopes(flow.id),
        highest_out_ft=bounds.highest_out_ft(bounds.structures[flow.upstream], flow.id),
        highest_in_ft=bounds.highest_out_ft(bounds.structures[flow.downstream], flow.id),
        below_ft=bounds.below_ft(flow.id),
    )


class Table:
    """The unknowns of a part and its rows.

    An end of a run has an unknown of its own only where it may differ from its structure's: where it is pinned, and where it
    enters a basin or a dry well. Levels are written from ``base_ft``.
    """

    def __init__(self, part: Part) -> None:
        self.part = part
        self.base_ft = part.structures[0].ground_ft
        self.number = {r.run.id: i for i, r in enumerate(part.runs)}
        self.at = {s.structure.id: i for i, s in enumerate(part.structures)}
        self.count = len(self.at)
        self.fixed = {self.at[s.structure.id]: s.fixed_ft for s in part.structures if s.fixed_ft is not None}
        kinds = {s.structure.id: s.structure for s in part.structures}
        self.ends: list[tuple[int, int]] = []  # (down, up) of each run
        self.legs: list[Leg] = []
        self.knots: list[list[int]] = []  # of each run, from its downstream end up
        self.own: list[tuple[str, int, int, str]] = []  # (which end, own unknown, structure's, kind of tie)
        for r in part.runs:
            down = self._end(r, "down", drops_into(kinds[r.flow.downstream]))
            up = self._end(r, "up", False)
            knots = [down, *(self._new() for _ in r.legs[1:]), up]
            self.ends.append((down, up))
            self.knots.append(knots)
            self.legs += r.legs
        self.low = np.array([k for knots in self.knots for k in knots[:-1]], dtype=np.int32)
        self.high = np.array([k for knots in self.knots for k in knots[1:]], dtype=np.int32)
        self.length = np.array([leg.length_ft for leg in self.legs])
        self.levels = self.count

    def _new(self) -> int:
        self.count += 1
        return self.count - 1

    def _end(self, r: PartRun, end: str, drops: bool) -> int:
        level = pinned_ft(r.run, r.flow, end)
        at = self.at[r.flow.upstream if end == "up" else r.flow.downstream]
        if level is None and not drops:
            return at
        own = self._new()
        if level is not None:
            self.fixed[own] = level
        self.own.append(("drops" if drops else "same", own, at, "" if level is None else "pin"))
        return own


def drops_into(structure: Structure) -> bool:
    """Return whether pipe may arrive at a structure above the level its water leaves at."""
    return structure.kind == "basin" or (structure.kind == "outfall" and structure.outfall == "dry well")
