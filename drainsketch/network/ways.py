"""Ways down: the pipe between structures and their outfall taken by itself, and whether any grade holds its limits."""

from collections.abc import Iterable
from functools import partial

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.model import Job
from drainsketch.network.bounds import Bounds
from drainsketch.network.grades import solve_part
from drainsketch.network.graph import downhill
from drainsketch.network.over_under import passes
from drainsketch.network.parts import parts_of
from drainsketch.network.program import Dear, Program, Whole
from drainsketch.network.results import Floats, Profile

FALL_KINDS = ("", "pin", "ground", "min slope")  # rows without which water does not leave by gravity
_NONE = np.zeros(0, dtype=np.int32)


class Ground(Struct, frozen=True):
    """The ground along runs, by run id, and at structures, by id, ft."""

    profiles: dict[str, Profile]
    levels: dict[str, float]


def runs_down(bounds: Bounds, structures: Iterable[str]) -> frozenset[str]:
    """Return the runs by which the water of structures goes down to its outfall."""
    way, found = downhill(bounds.network), set()
    for structure in structures:
        at = structure
        while at in way and way[at].id not in found:
            found.add(way[at].id)
            at = way[at].downstream
    return frozenset(found)


def narrowed(bounds: Bounds, job: Job, runs: frozenset[str], ground: Ground | None = None) -> Bounds:
    """Return the bounds of a changed job, of some of its runs alone; the job differs in no id and in nothing on plan."""
    return Bounds(
        job,
        replace(bounds.network, runs=tuple(f for f in bounds.network.runs if f.id in runs)),
        ground.profiles if ground is not None else bounds.profiles,
        ground.levels if ground is not None else bounds.ground,
        meetings=tuple(m for m in bounds.meetings if m.run_id in runs),
        geometry=bounds.geometry,
        surface=bounds.surface,
        before=bounds,
    )


def holds(bounds: Bounds, *, fall_only: bool = False) -> bool:
    """Return whether a grade exists that holds every limit, or with ``fall_only`` one by which the water leaves at all."""
    parts = parts_of(bounds, () if fall_only else passes(bounds))
    alter = partial(bare, fall_only=fall_only)
    return all(solve_part(part, may_give=False, alter=alter) is not None for part in parts)


def bare(program: Program, *, fall_only: bool = False) -> Program:
    """Return a program without its dear costs, which decide nothing about what is possible; or with its rows of fall alone."""
    rows = tuple(r for r in program.rows if r.kind in FALL_KINDS) if fall_only else program.rows
    return replace(program, rows=rows, dear=_free, dear_columns=_NONE)


def _free(_: Floats) -> Dear:
    none: Whole = np.zeros((0, 1), dtype=np.int32)
    return Dear(cost=np.zeros(0), column=none, factor=np.zeros((0, 1)))
