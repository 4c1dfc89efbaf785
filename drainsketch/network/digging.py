"""Digging: how wide trenches and basin holes are, and what a cut costs against a shallow one of the same volume."""

from functools import lru_cache

import numpy as np

from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.pipes import pipe_size
from drainsketch.network.results import Floats
from drainsketch.resources import table

LADDER_FT, SHORING_FT = 4.0, 5.0  # 29 CFR 1926.651(c)(2) and 652(a)(1): a way out, and sides held up


@lru_cache(maxsize=1_000)
def trench_width_ft(outside_in: float, wanted_in: float) -> float:
    """Return the width of a trench, ft: as wanted, but at least the outside diameter and 4 in.

    Parameters
    ----------
    outside_in : outside diameter of the pipe, in (above 0)
    wanted_in : width asked for, in (above 0)

    Returns
    -------
    width, ft

    Raises
    ------
    ValueError : a width is not above 0

    Notes
    -----
    Limits: hand-dug and small-bucket yard drains; narrower than ASTM D2321 asks for (outside diameter and 16 in).
    Source: common practice, no source. Check: tests/takeoff/test_trench.py

    Examples
    --------
    8 in corrugated pipe, 9.1 in outside, in a trench wanted 12 in wide:

    >>> round(trench_width_ft(9.1, 12.0) * 12, 6)
    13.1
    """
    if not (outside_in > 0 and wanted_in > 0):
        raise ValueError(f"outside_in and wanted_in must be above 0, not {outside_in}, {wanted_in}")
    beside_in: float = table("catalogue/stock.toml")["trench"]["beside_pipe_in"]
    return max(wanted_in, outside_in + beside_in) / 12


def width_of_ft(run: Run, criteria: Criteria) -> float:
    """Return the width of the trench of a run, ft: ``trench_width_ft`` of its pipe."""
    return trench_width_ft(pipe_size(run.pipe, run.diameter_in).outside_in, criteria.trench_width_in)


def widest_ft(job: Job) -> float:
    """Return the width of the widest trench of a job, ft; without runs that of small pipe."""
    return max((width_of_ft(run, job.criteria) for run in job.runs), default=job.criteria.trench_width_in / 12)


def hole_side_ft(structure: Structure, widest_trench_ft: float) -> float:
    """Return the side of the square hole a basin stands in, ft: the basin and its working room, or its widest trench.

    0 for whatever is no basin. Source: common practice, no source. Check: tests/network/test_dear_digging.py.
    """
    if structure.kind != "basin":
        return 0.0
    stock = table("catalogue/stock.toml")["basin"]
    size_in: float = structure.size_in or stock["default_size_in"]
    room_in: float = stock["work_room_in"]
    return max((size_in + room_in) / 12, widest_trench_ft)


def dear_kinks(criteria: Criteria) -> tuple[tuple[float, float], ...]:
    """Return the (cut in ft, what each foot below it costs over one above it) at which digging becomes dearer."""
    to_5, beyond_5 = criteria.beyond_4_ft_times, max(criteria.beyond_4_ft_times, criteria.beyond_5_ft_times)
    kinks = ((LADDER_FT, to_5 - 1.0), (SHORING_FT, beyond_5 - to_5))
    return tuple((at, more) for at, more in kinks if more > 0)


def dug_cost_ft(cut_ft: Floats, criteria: Criteria) -> Floats:
    """Return what cuts (n,), ft, cost to dig, in feet of shallow cut; nothing where the cut is above the ground.

    cost = cut + (t4 - 1) max(0, cut - 4) + (t5 - t4) max(0, cut - 5), with t4 and t5 the times of the criteria; t5 not below t4.

    Source: definition. Check: tests/network/test_dear_digging.py
    """
    cost: Floats = np.maximum(cut_ft, 0.0)
    for at, more in dear_kinks(criteria):
        cost = cost + more * np.maximum(cut_ft - at, 0.0)
    return cost
