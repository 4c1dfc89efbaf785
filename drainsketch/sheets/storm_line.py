"""The hydraulic grade line of a storm along a path. Picked from the water review, not computed."""

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from drainsketch.network.results import Floats
from drainsketch.sheets.pathway import Pathway
from drainsketch.water.results import Water


def with_storm(path: Pathway, water: Water) -> Pathway:
    """Return a path with the grade line of a storm, and where it stands above the line from rim to rim.

    Fittings and outfalls have no rim that water could come out of. The step in a structure is the head lost there.
    """
    open_ = [p for p in path.posts if p.levels is not None and p.kind not in ("fitting", "outfall")]
    if not open_:
        return path
    stations, rims = [p.at_ft for p in open_], [p.levels.rim_ft for p in open_ if p.levels is not None]
    out: list[tuple[float, float]] = []
    for leg in path.legs:
        line = water.lines.get(leg.run.id)
        if line is None or leg.flow is None:
            continue
        out += [(leg.from_ft + s, z) for s, z in zip(line.station_ft, line.hgl_ft, strict=True)]
        head = water.heads.get(leg.flow.upstream)
        if head is not None:
            out.append((leg.to_ft, head.level_ft))
    return replace(path, water=tuple(_parted(out, np.array(stations), np.array(rims))))


def _parted(line: list[tuple[float, float]], stations: Floats, rims: Floats) -> Iterator[tuple[float, float, bool]]:
    """Yield the points of a line, and where it passes the rims a point for either side."""
    known = [(s, z, z - float(np.interp(s, stations, rims))) for s, z in line]
    for i, (s, z, over) in enumerate(known):
        if i:
            s0, z0, over0 = known[i - 1]
            if (over > 0) != (over0 > 0):
                share = over0 / (over0 - over)
                at = (s0 + share * (s - s0), z0 + share * (z - z0))
                yield (*at, over0 > 0)
                yield (*at, over > 0)
        yield s, z, over > 0
