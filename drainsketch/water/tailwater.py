"""Water outside an outfall that stands so high that its level should be looked at again."""

from math import inf

from drainsketch.job.model import Job
from drainsketch.network.graph import downhill
from drainsketch.network.results import FlowRun, Network, StructureLevels
from drainsketch.water.heads import BOXES
from drainsketch.water.results import Tailwater

FAR_FT = 1.0  # above the ground at the outfall; common practice, no source


def high_tailwaters(job: Job, network: Network, levels: dict[str, StructureLevels]) -> tuple[Tailwater, ...]:
    """Return the tailwaters above every rim that drains to them, or more than a foot above the ground at their outfall.

    Check: tests/water/test_tailwater.py
    """
    way = downhill(network)
    rims: dict[str, list[tuple[float, str]]] = {}
    for s in job.structures:
        if s.kind in BOXES and s.id in way and s.id in levels:
            rims.setdefault(_end(s.id, way), []).append((levels[s.id].rim_ft, s.id))
    found = []
    for s in job.structures:
        level = s.tailwater_ft
        if level is None or s.id not in network.outfalls or s.id not in levels:
            continue
        highest_ft, rim_of = max(rims.get(s.id, []), default=(inf, ""))
        if level > highest_ft:
            found.append(Tailwater(s.id, level, "rims", highest_ft, rim_of))
        elif level > levels[s.id].ground_ft + FAR_FT:
            found.append(Tailwater(s.id, level, "ground", levels[s.id].ground_ft))
    return tuple(found)


def _end(name: str, way: dict[str, FlowRun]) -> str:
    """Return the structure that water of one gets to at last."""
    while name in way:
        name = way[name].downstream
    return name
