"""How much water the system holds below the ground: pipe, voids of stone, basins and pits, run by run and structure by structure."""

from collections.abc import Sequence
from math import pi

from drainsketch.job.basins import basin_body
from drainsketch.job.model import Job
from drainsketch.network.pits import pit_of
from drainsketch.network.results import Grade, StructureLevels
from drainsketch.water.results import Store
from drainsketch.water.stores import StoneTrench, voids_below_ft3


def stores_of(
    job: Job, grades: dict[str, Grade], levels: dict[str, StructureLevels], stone: Sequence[StoneTrench]
) -> dict[str, Store]:
    """Return what each run with a grade and each basin and pit holds when it is full, by id.

    Parameters
    ----------
    grades : those pipe can be laid to, by run id
    stone : of drain runs; a run without one is pipe alone

    Notes
    -----
    Pipe: pi / 4 D^2 along its slope. Stone: its voids, less the outside of the pipe. A basin: its plan area from the outlet's
    invert to the rim, since the sump below is full between storms too. A pit: the voids of its stone below the invert.
    Source: solid geometry. Check: tests/outside/test_stone_storage.py
    """
    trenches = {t.run_id: t for t in stone}
    found = {}
    for r in job.runs:
        grade = grades.get(r.id)
        if grade is not None:
            pipe_ft3 = pi / 4 * (grade.inside_in / 12) ** 2 * grade.laid_ft
            trench = trenches.get(r.id)
            voids = voids_below_ft3(trench, trench.highest_ft, job.water.stone_voids) if trench is not None else 0.0
            found[r.id] = Store(r.id, pipe_ft3=pipe_ft3, stone_ft3=voids, trench=trench)
    for s in job.structures:
        at = levels.get(s.id)
        if s.kind == "basin" and at is not None and at.invert_out_ft is not None and not at.no_invert:
            side_ft = basin_body(job, s.size_in).size_in / 12
            found[s.id] = Store(s.id, basin_ft3=side_ft**2 * max(0.0, at.rim_ft - at.invert_out_ft))
        elif (pit := pit_of(s)) is not None:
            length_ft, width_ft, depth_ft = pit
            found[s.id] = Store(s.id, stone_ft3=length_ft * width_ft * depth_ft * job.water.stone_voids)
    return found
