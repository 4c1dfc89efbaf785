"""Paving of unknown make that a trench goes through: what it takes to put it back cannot be counted until somebody says what it is."""

from typing import Any

import shapely

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.model import Job
from drainsketch.network.shapes import Shapes
from drainsketch.takeoff.cover import paved_of


def paving_findings(job: Job, shapes: Shapes, geometry: dict[str, Any]) -> list[Finding]:
    """Return the drives and walks of unknown make that runs go through, one each, with the runs.

    Parameters
    ----------
    geometry : shapely lines of the runs by id
    """
    lines = [(run.id, geometry[run.id]) for run in job.runs if run.id in geometry]
    found = []
    for obstacle, shape in zip(job.obstacles, shapes.obstacles, strict=True):
        if obstacle.kind == "hardscape" and paved_of(obstacle) == "unknown" and lines:
            hits = shapely.length(shapely.intersection(shape, [line for _, line in lines]))
            runs = tuple(name for (name, _), length in zip(lines, hits.tolist(), strict=True) if length > 1e-6)
            if runs:
                place = Place(ids=(obstacle.id, *runs), point=obstacle.points[0])
                found.append(finding("paving_unknown", place, thing=obstacle.id, runs=runs))
    return found
