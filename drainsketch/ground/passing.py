"""The ground whose water no inlet takes in."""

import numpy as np

from drainsketch.ground.grid import centers, covered, polygon
from drainsketch.ground.remember import remembered
from drainsketch.ground.results import GroundStudy
from drainsketch.job.model import Boundary, Job


def past_inlets_ft2(job: Job, ground: GroundStudy) -> float:
    """Return how much ground sheds water that runs past every inlet, ft2 in plan; inside the lot line where there is one.

    Cells whose water reaches no inlet, as ``GroundStudy.reaches`` has it. Buildings are no ground: their roofs go to downspouts.

    Check: tests/ground/test_passing.py
    """
    return _past_ft2(ground, job.boundary)


@remembered
def _past_ft2(ground: GroundStudy, boundary: Boundary | None) -> float:
    known = ~np.isnan(ground.ground_ft)
    past = known if ground.reaches is None else known & (ground.reaches == 0)
    if boundary is not None:
        past = past & covered([polygon(boundary)], *centers(ground.grid))
    return float(past.sum()) * ground.grid.cell_ft**2
