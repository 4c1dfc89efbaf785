"""Time of concentration: how long water takes from the farthest corner to the inlet, in a sheet, gathered, and in pipe."""

from collections.abc import Sequence
from math import isfinite, pow, sqrt
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.rain import Rain
from drainsketch.water.rain import Amount, intensity_in_h, lacking, two_year_day_in

MOST_SHEET_FT = 100.0  # then it gathers: NEH 630 chapter 15 (2010) (from memory)
LEAST_SLOPE = 0.001  # common practice, no source: ground said to be level still sheds; steeper is quicker, so more rain
MINIMUM_MIN = 5.0  # HEC-22 (from memory); Oregon DOT designs inlets on 5-min rain
SETTLED = 1e-9

LegKind = Literal["sheet", "shallow", "pipe"]
SheetForm = Literal["kinematic wave", "TR-55"]


class Stretch(Struct, frozen=True):
    """A piece of the way over ground: length in plan (ft), slope (ft/ft), n of sheet flow and k of shallow flow there."""

    length_ft: float
    slope: float
    sheet_n: float
    shallow_k: float


class PipeStretch(Struct, frozen=True):
    """A piece of the way in pipe: length (ft), slope (ft/ft), velocity (ft/s); without velocity it adds no time."""

    length_ft: float
    slope: float
    velocity_ft_s: float


class Leg(Struct, frozen=True):
    """One term of the time. ``factor`` is n of sheet flow or k of shallow flow; ``slope`` is the one used, ``raised`` if it is the floor."""

    kind: LegKind
    length_ft: float
    slope: float
    factor: float | None
    velocity_ft_s: float
    minutes: float
    raised: bool = False


class Concentration(Struct, frozen=True):
    """The time of concentration with every term of it.

    ``minutes`` is the sum of the legs, or ``minimum_min`` where that is more. ``intensity`` is the rain over ``minutes``, None
    where only the 2-year depth is known. ``check_min`` is the sum by the TR-55 form, None where that depth is not known.
    """

    legs: tuple[Leg, ...]
    sum_min: float
    minimum_min: float
    minutes: float
    form: SheetForm
    intensity: Amount | None = None
    check_min: float | None = None


def kinematic_wave_min(n: float, length_ft: float, slope: float, intensity_in_h: float, from_ft: float = 0.0) -> float:
    """Return the time of sheet flow by the kinematic wave, min: 0.933 / i^0.4 (n / sqrt(s))^0.6 (L to the 0.6).

    Where a stretch begins ``from_ft`` down the sheet, the water of the stretches above already flows there, and L^0.6 is what
    the whole length has more than the part above. So a sheet cut in two takes the time of the whole.

    Parameters
    ----------
    n : roughness of sheet flow
    slope : ft/ft, above 0
    intensity_in_h : rain over the time of concentration, above 0

    Source: HEC-22, 3rd ed., equation 3-3 (from memory); the stretches follow from the same wave over a cascade of planes.
    Check: tests/outside/test_concentration.py
    """
    span = pow(from_ft + length_ft, 0.6) - pow(from_ft, 0.6)
    return 0.933 / pow(intensity_in_h, 0.4) * pow(n / sqrt(slope), 0.6) * span


def tr55_sheet_min(n: float, length_ft: float, slope: float, two_year_day_in: float, from_ft: float = 0.0) -> float:
    """Return the time of sheet flow by the TR-55 form, min: 60 times 0.007 (n L)^0.8 / (P2^0.5 s^0.4).

    Parameters
    ----------
    n : roughness of sheet flow
    slope : ft/ft, above 0
    two_year_day_in : 2-year depth of 24 hours, in, above 0
    from_ft : length of the sheet above this stretch, as in ``kinematic_wave_min``

    Source: NRCS TR-55 (1986), equation 3-3 (from memory). Check: tests/outside/test_concentration.py
    """
    span = pow(from_ft + length_ft, 0.8) - pow(from_ft, 0.8)
    return 60 * 0.007 * pow(n, 0.8) / (sqrt(two_year_day_in) * pow(slope, 0.4)) * span


def shallow_velocity_ft_s(k: float, slope: float) -> float:
    """Return the velocity of shallow concentrated flow, ft/s: 3.28 k sqrt(slope in percent).

    Source: San Luis Obispo Drainage Design Manual (2003), equation 3, as HEC-22. Check: tests/outside/test_concentration.py
    """
    return 3.28 * k * sqrt(100 * slope)


def concentration(
    way: Sequence[Stretch],
    pipes: Sequence[PipeStretch] = (),
    rain: Rain | None = None,
    two_year_depth_in: float | None = None,
    minimum_min: float = MINIMUM_MIN,
) -> Concentration:
    """Return the time of concentration of an inlet, or of a point in the pipe below it.

    The first 100 ft run in a sheet, what is left gathered; the shorter limit of 100 sqrt(s) / n is not applied. The kinematic
    wave is the main formula, since it goes by the rain the job is held to; the TR-55 form was made from it for a fixed storm,
    and serves as a check, and alone where nothing but the 2-year depth is known. The wave needs the intensity and the
    intensity the time; they are found by going round. Each round moves the time by less than 0.4 of the round before (in
    logarithms), as depth does not fall with duration, so it settles, and on one answer. A slope below 0.001, either way, is
    taken as 0.001.

    Parameters
    ----------
    way : stretches from the farthest point down to the inlet; slopes of either sign, lengths 0 or more
    pipes : what follows in pipe
    rain : the rain of the job; not asked where it is lacking something
    two_year_depth_in : 2-year depth of 24 hours; from the table of ``rain`` where it has one and none is given

    Raises
    ------
    ValueError : neither rain nor 2-year depth is known; or a figure is no number, a length below 0, an n or k not above 0

    Source: HEC-22 section 3.2.2, TR-55 chapter 3, NEH 630 chapter 15 (from memory).
    Check: tests/outside/test_concentration.py
    """
    _hold(way, pipes, minimum_min)
    known = rain if rain is not None and not lacking(rain) else None
    depth = two_year_day_in(rain.table if rain else None) if two_year_depth_in is None else two_year_depth_in
    if not (depth is None or (isfinite(depth) and depth > 0)):
        raise ValueError("the 2-year depth has to be above 0 in")
    plain = (*_over_ground(way), *_in_pipe(pipes))
    check = None if depth is None else _timed(plain, tr55_in=depth)
    if known is None:
        if check is None:
            raise ValueError("the time of concentration needs the rain of the job or the 2-year depth of 24 hours")
        total = _sum_min(check)
        return Concentration(check, total, minimum_min, max(total, minimum_min), "TR-55", None, total)
    minutes = max(minimum_min, 1.0)
    for _ in range(200):
        legs = _timed(plain, wave_in_h=intensity_in_h(known, minutes).value)
        before, minutes = minutes, max(_sum_min(legs), minimum_min, 1e-6)
        if abs(minutes - before) <= SETTLED * before:
            break
    return Concentration(
        legs=legs,
        sum_min=_sum_min(legs),
        minimum_min=minimum_min,
        minutes=minutes,
        form="kinematic wave",
        intensity=intensity_in_h(known, minutes),
        check_min=None if check is None else _sum_min(check),
    )


def _hold(way: Sequence[Stretch], pipes: Sequence[PipeStretch], minimum_min: float) -> None:
    lengths = [s.length_ft for s in way] + [p.length_ft for p in pipes] + [minimum_min]
    rough = [f for s in way for f in (s.sheet_n, s.shallow_k)]
    if not all(isfinite(f) for f in (*lengths, *rough, *(s.slope for s in way), *(p.velocity_ft_s for p in pipes))):
        raise ValueError("lengths, slopes, n, k and velocities have to be numbers")
    if any(length < 0 for length in lengths) or any(f <= 0 for f in rough):
        raise ValueError("no length or minimum may be below 0; n and k have to be above 0")


def _over_ground(way: Sequence[Stretch]) -> list[Leg]:
    """Return the legs over ground, not timed yet: sheets as far as 100 ft reach, shallow flow beyond."""
    sheets: list[Leg] = []
    gathered: list[Leg] = []
    left = MOST_SHEET_FT
    for stretch in way:
        slope = max(abs(stretch.slope), LEAST_SLOPE)
        raised = slope > abs(stretch.slope)
        in_sheet = min(stretch.length_ft, left)
        beyond = stretch.length_ft - in_sheet
        if in_sheet > 0 or beyond == 0:
            sheets.append(Leg("sheet", in_sheet, slope, stretch.sheet_n, 0.0, 0.0, raised))
        if beyond > 0:
            velocity = shallow_velocity_ft_s(stretch.shallow_k, slope)
            minutes = beyond / velocity / 60
            gathered.append(Leg("shallow", beyond, slope, stretch.shallow_k, velocity, minutes, raised))
        left -= in_sheet
    return sheets + gathered


def _in_pipe(pipes: Sequence[PipeStretch]) -> list[Leg]:
    legs = []
    for pipe in pipes:
        velocity = abs(pipe.velocity_ft_s)
        minutes = pipe.length_ft / velocity / 60 if velocity > 0 else 0.0
        legs.append(Leg("pipe", pipe.length_ft, pipe.slope, None, velocity, minutes))
    return legs


def _timed(legs: Sequence[Leg], wave_in_h: float | None = None, tr55_in: float | None = None) -> tuple[Leg, ...]:
    """Return the legs with the sheets timed by the one form or the other."""
    timed: list[Leg] = []
    down_ft = 0.0
    for leg in legs:
        if leg.kind == "sheet" and leg.factor is not None:
            if wave_in_h is not None:
                minutes = kinematic_wave_min(leg.factor, leg.length_ft, leg.slope, wave_in_h, down_ft)
            else:
                assert tr55_in is not None  # one of the two is given
                minutes = tr55_sheet_min(leg.factor, leg.length_ft, leg.slope, tr55_in, down_ft)
            down_ft += leg.length_ft
            timed.append(
                replace(leg, minutes=minutes, velocity_ft_s=leg.length_ft / minutes / 60 if minutes > 0 else 0.0)
            )
        else:
            timed.append(leg)
    return tuple(timed)


def _sum_min(legs: Sequence[Leg]) -> float:
    return sum(leg.minutes for leg in legs)
