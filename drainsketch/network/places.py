"""Places: every foot at which a meeting is looked at, with the ground and how the service lies there.

Nothing here hangs on the levels of the pipe, so that grades can be placed by it.
"""

from math import ceil
from typing import Any

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.ground.surface import Surface
from drainsketch.job.model import Job, Service
from drainsketch.network.buried import lie_of
from drainsketch.network.meetings import Meeting
from drainsketch.network.profiles import STEP_FT
from drainsketch.network.results import Bools, Floats
from drainsketch.network.shapes import size_in

MOST_PLACES = 200  # looked at where a run lies along something for long


class Places(Struct, frozen=True):
    """n places of m meetings, those of one meeting together. Levels are ft, nan where not known or where a run is met.

    ``first`` (m + 1,) is where the places of each meeting begin; its own place comes first among them. ``top_ft``, ``size_ft``
    and ``error_ft`` are of the service; ``seen``: it was uncovered there. ``grade_known`` (m,) is False for a sewer or drain
    line whose grade nobody measured.
    """

    first: Any
    xy_ft: Floats
    station_ft: Floats
    ground_ft: Floats
    top_ft: Floats
    size_ft: Floats
    error_ft: Floats
    seen: Bools
    grade_known: Bools


def places_of(job: Job, met: tuple[Meeting, ...], geometry: dict[str, Any], surface: Surface | None) -> Places:
    """Return where each meeting is looked at: its own place, and every foot or less over which the two lie on each other.

    Parameters
    ----------
    met : the crossings in plan
    geometry : shapely lines of the runs, upstream first, by run id
    """
    first, xy, station = _spread(met, geometry)
    services = {s.id: s for s in job.services}
    by_service: dict[str, list[int]] = {}
    for m, meeting in enumerate(met):
        if meeting.other in services:
            by_service.setdefault(meeting.other, []).append(m)
    exposed = [e.point for i in by_service for e in services[i].exposed]
    ground = _ground(surface, np.concatenate([xy, np.array(exposed, dtype=float).reshape(-1, 2)]))
    at_exposures = ground[len(xy) :]
    n = len(xy)
    made = Places(
        first=first,
        xy_ft=xy,
        station_ft=station,
        ground_ft=ground[:n],
        top_ft=np.full(n, np.nan),
        size_ft=np.zeros(n),
        error_ft=np.zeros(n),
        seen=np.zeros(n, dtype=bool),
        grade_known=np.ones(len(met), dtype=bool),
    )
    used = 0
    for service_id, meetings in by_service.items():
        service = services[service_id]
        count = len(service.exposed)
        _lay(made, service, meetings, at_exposures[used : used + count])
        used += count
    return made


def ground_at_exposures(service: Service, surface: Surface | None) -> tuple[float, ...]:
    """Return the ground at each place where a service was exposed, ft; () where there is none."""
    if surface is None or not service.exposed:
        return ()
    levels: list[float] = surface.levels_at(np.array([e.point for e in service.exposed]))[0].tolist()
    return tuple(levels)


def _ground(surface: Surface | None, at: Floats) -> Floats:
    if surface is None or not len(at):
        return np.full(len(at), np.nan)
    return surface.levels_at(at)[0]


def _lay(made: Places, service: Service, meetings: list[int], exposed_ground_ft: Floats) -> None:
    """Write down how one service lies at the places of its meetings."""
    rows = np.concatenate([np.arange(made.first[m], made.first[m + 1]) for m in meetings])
    lie = lie_of(service, made.xy_ft[rows], made.ground_ft[rows], exposed_ground_ft)
    made.top_ft[rows] = lie.top_ft
    made.size_ft[rows] = size_in(service) / 12
    made.error_ft[rows] = lie.error_ft
    made.seen[rows] = lie.seen
    made.grade_known[meetings] = lie.grade_known


def _spread(met: tuple[Meeting, ...], geometry: dict[str, Any]) -> tuple[Any, Floats, Floats]:
    counts, xy, stations = [0], [], []
    for meeting in met:
        over_ft = meeting.to_ft - meeting.from_ft
        xy.append(np.array([meeting.point], dtype=float))
        stations.append(np.array([meeting.station_ft]))
        more = min(MOST_PLACES, ceil(over_ft / STEP_FT)) + 1 if over_ft > 0 else 0
        if more:
            line = geometry[meeting.run_id]
            stations.append(np.linspace(meeting.from_ft, meeting.to_ft, more))
            xy.append(shapely.get_coordinates(shapely.line_interpolate_point(line, line.length - stations[-1])))
        counts.append(1 + more)
    if not met:
        return np.zeros(1, dtype=int), np.zeros((0, 2)), np.zeros(0)
    return np.cumsum(counts), np.concatenate(xy), np.concatenate(stations)
