"""The cut sheet of a run: at every station what is to be dug, and the number to read on the rod or under the string.

Station 0 is the downstream end. A reading is the height of instrument, or of the level string, minus the level the rod or tape
stands on. Readings are rounded only where they are written.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import hypot
from typing import Literal

import numpy as np
from msgspec import Struct

from drainsketch.job.kinds import Point, RodOn
from drainsketch.job.levelling import Laying
from drainsketch.job.units import reading_step_ft
from drainsketch.network.results import Crossing, FlowRun, Grade, Profile

MarkKind = Literal["structure", "bend", "grade break", "crossing", "ground break", "station"]
Trouble = Literal["", "above the line", "beyond the rod"]

SAME_FT = 0.05  # stations nearer to each other than this are one row
ROD_FT = 25.0  # common practice, no source: the longest rods reach 25 ft
HALF_METER_FT = 0.5 / 0.3048  # stations of a metric job are whole ones of these
GROUND_FT = 0.005  # the ground between two rows is straight within this, so that cuts printed to 0.01 hold anywhere
MOST_STATIONS = 500  # of a run; a longer one is stationed at a multiple of the interval


class CutMark(Struct, frozen=True):
    """What stands at a row: a structure by its id, a bend by its number counted downstream, a crossing by its flag."""

    kind: MarkKind
    name: str = ""


class CutRow(Struct, frozen=True):
    """One station. ``cut_ft`` is ground minus trench bottom, negative where that lies above the ground.

    ``reading_ft`` is what to read on the pipe (on its invert or its top), ``bottom_reading_ft`` on the trench bottom; None while
    there is no height to read from. ``fall_ft`` is how far the invert lies above that of the row before, downstream; 0 in the
    first row. ``is_close``: that fall is less than readings are rounded to.
    """

    station_ft: float
    marks: tuple[CutMark, ...]
    point: Point
    ground_ft: float
    guess: bool
    invert_ft: float
    bottom_ft: float
    cut_ft: float
    reading_ft: float | None
    bottom_reading_ft: float | None
    fall_ft: float
    is_close: bool
    trouble: Trouble = ""


class CutSheet(Struct, frozen=True):
    """The rows of a run from its downstream end up; ``interval_ft`` is what it is stationed at."""

    run_id: str
    rows: tuple[CutRow, ...]
    interval_ft: float
    height_ft: float | None
    rod_on: RodOn
    grade: Grade


def cut_sheet(
    laying: Laying,
    units: str,
    flow: FlowRun,
    profile: Profile,
    grade: Grade,
    crossings: Iterable[Crossing] = (),
    also: Iterable[float] = (),
) -> CutSheet:
    """Return the cut sheet of a run.

    invert = Grade.invert_at(station); trench bottom = invert - wall and bed; cut = ground - trench bottom;
    reading = height - (invert, or outside top of pipe).

    Parameters
    ----------
    laying : that of the job with its heights filled in (``heights.with_heights``)
    units : of the job; they say what readings are rounded to, and in meters that stations are round: the interval asked is taken
        to the nearest half meter, half a meter at least (10 ft is 3.0 m)
    crossings : of the job; those of other runs are left out
    also : further stations to give a row, ft

    A row stands wherever the ground is off the straight line between the rows beside it by more than ``GROUND_FT``, so that the cut
    anywhere follows from the rows. Limits: ground between the points of the profile is taken as straight. Source: sewer stakeout and cut sheets, NAVEDTRA 14070
    ch. 10. Check: tests/outside/test_cut_sheet.py.
    """
    interval = _interval_ft(laying.interval_ft, units, flow.length_ft)
    step = reading_step_ft(units)
    more = [(station, CutMark("station")) for station in also]
    wanted = [*_marks(flow, grade, crossings), *_stations(flow.length_ft, interval), *more]
    breaks = _ground_breaks(profile, [station for station, _ in _merged(wanted)])
    marked = _merged([*wanted, *((station, CutMark("ground break")) for station in breaks)])
    rows: list[CutRow] = []
    for station, marks in marked:
        invert = grade.invert_at(station)
        fall = invert - rows[-1].invert_ft if rows else 0.0
        ground, guess = _ground(profile, station)
        bottom = invert - grade.bottom_below_invert_ft
        stood_on = invert + (grade.top_above_invert_ft if laying.rod_on == "top of pipe" else 0.0)
        height = laying.height_ft
        reading = None if height is None else height - stood_on
        rows.append(
            CutRow(
                station_ft=station,
                marks=marks,
                point=point_at(flow, station),
                ground_ft=ground,
                guess=guess,
                invert_ft=invert,
                bottom_ft=bottom,
                cut_ft=ground - bottom,
                reading_ft=reading,
                bottom_reading_ft=None if height is None else height - bottom,
                fall_ft=fall,
                is_close=bool(rows) and fall < step,
                trouble=_trouble(reading, None if height is None else height - bottom),
            )
        )
    return CutSheet(flow.id, tuple(rows), interval, laying.height_ft, laying.rod_on, grade)


def to_shoot(laying: Laying, units: str, flow: FlowRun, grade: Grade) -> tuple[tuple[float, tuple[CutMark, ...]], ...]:
    """Return the stations at which laid pipe is to be shot, with what stands there: structures, grade breaks, every interval.

    The interval is that of the cut sheet.
    """
    interval = _interval_ft(laying.interval_ft, units, flow.length_ft)
    wanted = [m for m in _marks(flow, grade, ()) if m[1].kind != "bend"]
    return tuple(_merged([*wanted, *_stations(flow.length_ft, interval)]))


def point_at(flow: FlowRun, station_ft: float) -> Point:
    """Return the plan point of a station of a run, ft; past an end the end itself."""
    points = flow.points[::-1]
    left = max(0.0, station_ft)
    for (ax, ay), (bx, by) in pairwise(points):
        leg = hypot(bx - ax, by - ay)
        if left <= leg and leg > 0:
            return ax + (bx - ax) * left / leg, ay + (by - ay) * left / leg
        left -= leg
    return points[-1]


def can_be_read(reading_ft: float) -> bool:
    """Return whether a rod can show a reading: it is on the rod, and not above the line of sight."""
    return 0 <= reading_ft <= ROD_FT


def _trouble(reading_ft: float | None, bottom_reading_ft: float | None) -> Trouble:
    if reading_ft is None or bottom_reading_ft is None:
        return ""
    if reading_ft < 0:
        return "above the line"
    return "beyond the rod" if bottom_reading_ft > ROD_FT else ""


def _interval_ft(asked_ft: float, units: str, length_ft: float) -> float:
    interval = asked_ft if units != "m" else max(1, round(asked_ft / HALF_METER_FT)) * HALF_METER_FT
    while length_ft / interval > MOST_STATIONS:
        interval *= 2
    return interval


def _stations(length_ft: float, interval_ft: float) -> list[tuple[float, CutMark]]:
    return [(i * interval_ft, CutMark("station")) for i in range(int(length_ft / interval_ft) + 1)]


def _marks(flow: FlowRun, grade: Grade, crossings: Iterable[Crossing]) -> Iterator[tuple[float, CutMark]]:
    """Yield the station of everything that gets a row of its own, and what it is."""
    yield 0.0, CutMark("structure", flow.downstream)
    yield flow.length_ft, CutMark("structure", flow.upstream)
    behind = 0.0
    for number, (a, b) in enumerate(pairwise(flow.points), start=1):
        behind += hypot(b[0] - a[0], b[1] - a[1])
        if number < len(flow.points) - 1:
            yield flow.length_ft - behind, CutMark("bend", str(number))
    for station, _ in grade.breaks:
        yield station, CutMark("grade break")
    for c in crossings:
        if c.run_id == flow.id:
            yield c.station_ft, CutMark("crossing", str(c.number))
        elif c.other == flow.id and c.other_kind == "run":
            yield _station_of(flow, c.point), CutMark("crossing", str(c.number))


def _ground_breaks(profile: Profile, stations: list[float]) -> list[float]:
    """Return the stations between which and ``stations`` the ground is straight within ``GROUND_FT``, the worst places first."""
    at = np.array(sorted(set(stations)))
    found: list[float] = []
    while len(at) < MOST_STATIONS:
        known = np.interp(at, profile.station_ft, profile.ground_ft)
        off = np.abs(np.interp(profile.station_ft, at, known) - profile.ground_ft)
        off[np.abs(profile.station_ft[:, None] - at).min(axis=1) <= SAME_FT] = 0.0
        worst = int(off.argmax())
        if off[worst] <= GROUND_FT:
            break
        found.append(float(profile.station_ft[worst]))
        at = np.sort(np.append(at, found[-1]))
    return found


def _merged(marked: list[tuple[float, CutMark]]) -> Iterator[tuple[float, tuple[CutMark, ...]]]:
    """Yield each station once, rising, with all that stands there; a plain station is said only where it stands alone.

    Rows are put at the station of what stands there, not at the round one beside it.
    """
    rank = ("structure", "grade break", "bend", "crossing", "ground break", "station")
    ordered = sorted(marked, key=lambda m: m[0])
    group: list[tuple[float, CutMark]] = []
    for one in [*ordered, None]:
        if one is not None and (not group or one[0] - group[0][0] <= SAME_FT):
            group.append(one)
            continue
        group.sort(key=lambda m: rank.index(m[1].kind))
        named = tuple(dict.fromkeys(m for _, m in group if m.kind != "station"))
        yield max(0.0, group[0][0]), named or (CutMark("station"),)
        group = [one] if one is not None else []


def _station_of(flow: FlowRun, point: Point) -> float:
    """Return the station of the place on a run nearest to a plan point, ft."""
    best, station, behind = float("inf"), 0.0, 0.0
    for (ax, ay), (bx, by) in pairwise(flow.points[::-1]):
        leg = hypot(bx - ax, by - ay)
        if leg > 0:
            t = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / (leg * leg)
            t = min(1.0, max(0.0, t))
            off = hypot(ax + t * (bx - ax) - point[0], ay + t * (by - ay) - point[1])
            if off < best:
                best, station = off, behind + t * leg
        behind += leg
    return station


def _ground(profile: Profile, station_ft: float) -> tuple[float, bool]:
    """Return the ground at a station, ft, and whether it is a guess there."""
    stations = profile.station_ft
    after = int(np.searchsorted(stations, station_ft))
    near = [i for i in (after - 1, after) if 0 <= i < len(stations)]
    return float(np.interp(station_ft, stations, profile.ground_ft)), bool(profile.guess[near].any())
