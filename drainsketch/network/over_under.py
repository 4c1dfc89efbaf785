"""Over or under: how a run has to pass what it crosses."""

import numpy as np
import shapely
from msgspec import Struct

from drainsketch.network.bounds import Bounds
from drainsketch.network.legs import MAKE_GOOD_FT, lower_hull
from drainsketch.network.meetings import Meeting
from drainsketch.network.places import Places, places_of
from drainsketch.network.results import Floats
from drainsketch.network.windows import needs_ft

ROOM_FT = 0.002  # kept over what is asked, so that no rounding makes a crossing too near

MOST_PLACES = 8  # looked at where two runs lie over each other for long

Levels = tuple[tuple[float, float, float], ...]


class Pass(Struct, frozen=True):
    """A crossing that a grade has to keep clear of, over it or under it for its whole length.

    ``over`` holds (station, station of the other run, least invert), ``under`` the same with the greatest, ft. Where ``other`` is
    a run too, the level is over the invert of that run; elsewhere its station is 0. Both take the depth as known, and count its
    error against us where the service was uncovered; ``over_doubt`` and ``under_doubt`` count it everywhere, and are empty where
    that asks no more. ``need_over_ft`` and ``need_under_ft`` are how much of the clearance may go before the two
    touch. ``room_over``: cover lets the pipe pass over; ``ground_over``: the ground at least does.
    """

    run_id: str
    other: str
    is_run: bool
    over: Levels
    under: Levels
    over_doubt: Levels = ()
    under_doubt: Levels = ()
    need_over_ft: float = 0.0
    need_under_ft: float = 0.0
    room_over: bool = True
    ground_over: bool = True


class Side(Struct, frozen=True):
    """A crossing that has to be kept clear of: ``over`` True or False says how, None leaves it to be chosen."""

    crossing: Pass
    over: bool | None


def passes(bounds: Bounds) -> tuple[Pass, ...]:
    """Return the crossings whose levels are known, or are the network's own to choose.

    Services are kept clear of by what ``needs_ft`` asks; the outsides of two runs must not meet.
    """
    services = {s.id: s for s in bounds.job.services}
    met = tuple(
        m for m in bounds.meetings if m.run_id in bounds.flows and (m.other in services or m.other in bounds.flows)
    )
    if not met:
        return ()
    places = places_of(bounds.job, met, bounds.geometry, bounds.surface)
    found = []
    for m, meeting in enumerate(met):
        rows = slice(int(places.first[m]), int(places.first[m + 1]))
        if meeting.other in services:
            need = needs_ft(services[meeting.other], bounds.job.criteria)
            found += _by_service(bounds, meeting, places, rows, need[:2])
        else:
            found.append(_by_run(bounds, meeting, places, rows))
    return tuple(found)


def _by_service(bounds: Bounds, meeting: Meeting, places: Places, rows: slice, need: tuple[float, float]) -> list[Pass]:
    top, error = places.top_ft[rows], places.error_ft[rows]
    station, known = places.station_ft[rows], ~np.isnan(top)
    if not known.any():
        return []
    order = np.flatnonzero(known)[np.argsort(station[known], kind="stable")]
    station, top, error = station[order], top[order], error[order]
    wall_ft, top_ft = bounds.size(meeting.run_id).wall_in / 12, bounds.top_ft(meeting.run_id)
    straight = not bounds.breaks(meeting.run_id)

    def over(off_ft: Floats) -> Levels:
        level = top + off_ft + need[0] + ROOM_FT + wall_ft
        return tuple((s, 0.0, -z) for s, z in _least(station, -level, straight))

    def under(off_ft: Floats) -> Levels:
        level = top - places.size_ft[rows][order] - off_ft - need[1] - ROOM_FT - top_ft
        return tuple((s, 0.0, z) for s, z in _least(station, level, straight))

    flow, profile = bounds.flows[meeting.run_id], bounds.profiles[meeting.run_id]
    sure = np.where(places.seen[rows][order], error, 0.0)
    doubted = bool((error > sure).any())
    asked_ft = np.where(station >= bounds.taper_to_ft(flow), bounds.cover_ft(flow.id), -MAKE_GOOD_FT - top_ft)
    ceiling = np.interp(station, profile.station_ft, profile.ground_ft) - top_ft + ROOM_FT
    level = top + need[0] + wall_ft
    return [
        Pass(
            run_id=meeting.run_id,
            other=meeting.other,
            is_run=False,
            over=over(sure),
            under=under(sure),
            over_doubt=over(error) if doubted else (),
            under_doubt=under(error) if doubted else (),
            need_over_ft=need[0],
            need_under_ft=need[1],
            room_over=bool((level + sure <= ceiling - asked_ft).all()),
            ground_over=bool((level <= ceiling - np.minimum(asked_ft, 0.0)).all()),
        )
    ]


def _least(station: Floats, level: Floats, straight: bool) -> tuple[tuple[float, float], ...]:
    """Return the places that can bind: under straight grade those of the lower hull."""
    if straight and len(station) > 2:
        keep = np.append(np.diff(station) > 1e-9, True)  # the crossing's own place may stand twice
        return lower_hull(station[keep], level[keep])
    return tuple(zip(station.tolist(), level.tolist(), strict=True))


def _by_run(bounds: Bounds, meeting: Meeting, places: Places, rows: slice) -> Pass:
    a, b = meeting.run_id, meeting.other
    line = bounds.geometry[b]
    other = line.length - shapely.line_locate_point(line, shapely.points(places.xy_ft[rows]))
    over = bounds.size(a).wall_in / 12 + bounds.top_ft(b) + ROOM_FT
    under = -bounds.top_ft(a) - bounds.size(b).wall_in / 12 - ROOM_FT
    at = list(zip(places.station_ft[rows].tolist(), other.tolist(), strict=True))
    at = at if len(at) <= MOST_PLACES else [at[0], *at[1 :: len(at) // MOST_PLACES], at[-1]]
    return Pass(a, b, True, tuple((s, t, over) for s, t in at), tuple((s, t, under) for s, t in at))
