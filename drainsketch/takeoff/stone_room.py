"""The room that stone has in the trenches of drain runs, station by station, as the water stages ask for it."""

import numpy as np

from drainsketch.network.results import Floats, Grade, Profile
from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.water.stores import StoneTrench

STEP_FT = 1e-6


def stone_trenches(earth: Earth, cap_ft: float) -> tuple[StoneTrench, ...]:
    """Return the stone of every drain run that has any, in job order; its volume is what the takeoff counts.

    Parameters
    ----------
    earth : what is dug (``takeoff.earth``)
    cap_ft : topsoil over the stone, ft

    Notes
    -----
    Check: tests/takeoff/test_stone_room.py
    """
    return tuple(_trench(r, earth.inside_ft(r.work), cap_ft) for r in earth.of_use("drain") if r.stone_ft2 > 0)


def _knots(dug: RunEarth, cap_ft: float) -> tuple[Floats, Floats]:
    """Return stations and what lies over the stone at each, ft: the cap, and under paving its base course and surfacing.

    Where one gives way to the other it does so within ``STEP_FT``.
    """
    at, over = [-STEP_FT], [cap_ft]
    for s in dug.stretches:
        at += [s.from_ft, s.from_ft + STEP_FT, s.to_ft - STEP_FT, s.to_ft]
        over += [cap_ft, s.layers.over_fill_ft, s.layers.over_fill_ft, cap_ft]
    return np.array(at), np.array(over)


def _trench(dug: RunEarth, holes_ft: dict[str, float], cap_ft: float) -> StoneTrench:
    work = dug.work
    assert work.grade is not None and work.profile is not None  # or nothing would be dug
    from_ft, to_ft = holes_ft.get(work.downstream, 0.0), work.plan_ft - holes_ft.get(work.upstream, 0.0)
    station, invert, room = _rooms(work.profile, work.grade, from_ft, to_ft, _knots(dug, cap_ft))
    bottom = invert - work.grade.bottom_below_invert_ft
    return StoneTrench(
        run_id=work.run.id,
        station_ft=tuple(station.tolist()),
        invert_ft=tuple(invert.tolist()),
        bottom_ft=tuple(bottom.tolist()),
        top_ft=tuple((bottom + np.maximum(room, 0.0)).tolist()),
        width_ft=dug.width_ft,
        outside_ft=work.grade.outside_in / 12,
        wall_ft=work.size.wall_in / 12,
    )


def _rooms(
    profile: Profile, grade: Grade, from_ft: float, to_ft: float, over: tuple[Floats, Floats]
) -> tuple[Floats, Floats, Floats]:
    """Return stations from hole to hole, invert and height for stone at each, with one more wherever there begins to be room."""
    known = np.union1d(profile.station_ft, over[0])
    station = np.concatenate([[from_ft], known[(known > from_ft) & (known < to_ft)], [to_ft]])

    def room_at(at: Floats) -> tuple[Floats, Floats]:
        invert = grade.inverts_at(at)
        top = np.interp(at, profile.station_ft, profile.ground_ft) - np.interp(at, *over)
        return invert, top - (invert - grade.bottom_below_invert_ft)

    _, room = room_at(station)
    begins = np.flatnonzero(room[:-1] * room[1:] < 0)
    if len(begins):
        share = room[begins] / (room[begins] - room[begins + 1])
        station = np.insert(station, begins + 1, station[begins] + share * np.diff(station)[begins])
    return station, *room_at(station)
