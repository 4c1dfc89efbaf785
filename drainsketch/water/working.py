"""How the figures of the water review were made, line by line, with the job's own numbers: to be read, or worked again by hand.

Figures stand to three places, so that a line worked by hand comes to its result within 2 %.
"""

from collections.abc import Iterator
from math import floor, inf, log10

from msgspec import Struct

from drainsketch.job.basins import basin_body, grate_of
from drainsketch.job.model import Job, Structure
from drainsketch.job.rates import M_PER_FT, MM_PER_IN
from drainsketch.water.circular import section
from drainsketch.water.concentration import Concentration, Leg
from drainsketch.water.constants import CFS_PER_ACRE_IN_H, FT2_PER_ACRE, GRAVITY_FT_S2, MANNING_K
from drainsketch.water.grates import GRATE_ORIFICE, WEIR
from drainsketch.water.rain import Amount, intensity_in_h
from drainsketch.water.results import Arrival, GrateFlow, PipeFlow, Water
from drainsketch.wording import Words

PLACES = 3


class Step(Struct, frozen=True):
    """One line: what is worked out, the arithmetic with its result, and where a figure in it comes from."""

    what: str
    arithmetic: str
    note: str = ""


def inlet_working(job: Job, water: Water, inlet: str, words: Words) -> tuple[Step, ...]:
    """Return how the figures of an inlet were made: flow with its coefficient, time and rain, then grate and freeboard.

    Empty where nothing is known to arrive there. Check: tests/water/test_working.py, which works every line again
    """
    arrival = water.arrivals.get(inlet)
    if arrival is None:
        return ()
    say = Say(words)
    area = say.units.area(arrival.area_ft2)
    out = [say.rational(f"{figure(arrival.storm_c)} ×", area, arrival.rain, arrival.flow_cfs)]
    out += [
        *_shared(arrival, say),
        *_coefficient(arrival, say),
        *_time(arrival, say),
        say.rain(job, arrival.minutes, arrival.rain),
    ]
    grate = water.grates.get(inlet)
    if grate is not None:
        out += _grate(job, grate, say, drowned=inlet in water.over)
    if inlet in water.escapes:
        out.append(say.step("comes_out", words.flow(water.escapes[inlet].flow_cfs)))
    head = water.stands(inlet)
    if head is not None:
        places = 3 if say.units.metric else 2  # as levels are written
        rim, level = (round(z * say.units.ft, places) for z in (head.rim_ft, head.level_ft))
        left = f"{rim - level:.{places}f}".replace("-", "−")
        out.append(say.step("freeboard", f"{rim:.{places}f} − {level:.{places}f} = {left} {say.unit('ft')}"))
    return tuple(out)


def run_working(job: Job, water: Water, run_id: str, words: Words) -> tuple[Step, ...]:
    """Return how the figures of a run were made: flow with what drains to it and its rain, then full flow, depth and velocity.

    Empty where nothing arrives at it. Check: tests/water/test_working.py, which works every line again
    """
    flow = water.pipes.get(run_id)
    if flow is None:
        return ()
    say, u = Say(words), _Units(words)
    ca_ft2 = sum(water.arrivals[i].storm_c * water.arrivals[i].area_ft2 for i in flow.part) or flow.ca_ft2
    out = [say.rational("", u.area(ca_ft2), flow.rain, flow.flow_cfs)]
    out += [_gathered(water, flow, say), say.rain(job, flow.minutes, flow.rain)]
    if flow.slope is None or flow.full_cfs is None or flow.velocity_ft_s is None:
        return tuple(out)
    out.append(say.step("full", say.manning(flow, inf, flow.full_cfs), words.origin(flow.n_source)))
    if flow.full_cfs > 0:
        share = f"{u.flow(flow.flow_cfs)} / {u.flow(flow.full_cfs)} = {figure(flow.flow_cfs / flow.full_cfs)}"
        out.append(say.step("share", share))
    wet = section(flow.diameter_ft, inf if flow.depth_ft is None else flow.depth_ft)
    if flow.depth_ft is not None:
        out.append(
            say.step("depth", say.manning(flow, flow.depth_ft, flow.flow_cfs), depth=words.inches(flow.depth_ft * 12))
        )
    speed = f"{u.flow(flow.flow_cfs)} / {u.area(wet.area_ft2)} {say.unit('ft2')}"
    out.append(say.step("velocity", f"{speed} = {words.velocity(flow.velocity_ft_s)}"))
    return tuple(out)


def figure(value: float) -> str:
    """Return a number to three places, whole from a thousand on.

    Examples
    --------
    >>> figure(0.41234), figure(4.6400), figure(1240.4), figure(0.0546), figure(100.0)
    ('0.412', '4.64', '1,240', '0.0546', '100')
    """
    if value == 0:
        return "0"
    places = max(0, PLACES - 1 - floor(log10(abs(value))))
    text = f"{value:,.{places}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")


class _Units:
    """Figures in feet or in meters; flows as volume per second."""

    def __init__(self, words: Words) -> None:
        self.metric = words.units == "m"
        self.ft = M_PER_FT if self.metric else 1.0
        self.manning = MANNING_K * float(self.ft ** (1 / 3))
        self.weir = WEIR * float(self.ft**0.5)
        self.gravity = GRAVITY_FT_S2 * self.ft

    def long(self, ft: float) -> str:
        return figure(ft * self.ft)

    def area(self, ft2: float) -> str:
        return figure(ft2 * self.ft**2)

    def flow(self, cfs: float) -> str:
        return figure(cfs * self.ft**3)

    def rain(self, in_h: float) -> str:
        return figure(in_h * (MM_PER_IN if self.metric else 1.0))


class Say:
    """Lines in the words and the units of a job."""

    def __init__(self, words: Words) -> None:
        self.words = words
        self.units = _Units(words)

    def unit(self, name: str) -> str:
        """Return the word of a unit, metric in a metric job."""
        return self.words.word(f"water.unit.{'metric' if self.units.metric else 'foot'}.{name}")

    def step(self, what: str, arithmetic: str, note: str = "", **params: object) -> Step:
        return Step(self.words.word(f"water.step.{what}", **params), arithmetic, note)

    def rational(self, before: str, area: str, rain: Amount, flow_cfs: float) -> Step:
        """Return C i A = Q; ``before`` is C where the area does not hold it yet."""
        u = self.units
        per = "3,600" if u.metric else f"{FT2_PER_ACRE:,.0f} × {CFS_PER_ACRE_IN_H:.3f}"
        shown = "" if u.metric else f" = {u.flow(flow_cfs)} {self.unit('flow')}"
        product = f"{before} {u.rain(rain.value)} {self.unit('rain')} × {area} {self.unit('ft2')} / {per}".strip()
        return self.step("flow", f"{product}{shown} = {self.words.flow(flow_cfs)}")

    def rain(self, job: Job, minutes: float, rain: Amount) -> Step:
        """Return where the intensity comes from: typed, a row of the table, or between two of them."""
        result, what = self.words.rain(rain.value), self.unit("rain")
        table = job.rain.table
        if table is None or job.rain.intensity_in_h is not None:
            return self.step("rain_typed", result)
        place = table.return_periods_yr.index(job.rain.return_period_yr or 0.0)
        rows = [r.duration_min for r in table.rows if r.values[place] is not None]
        years = job.rain.return_period_yr
        low = max((m for m in rows if m <= minutes), default=None)
        high = min((m for m in rows if m >= minutes), default=None)
        if rain.beyond or low is None or high is None:
            held = figure(rain.nearest_min or minutes)
            return self.step(f"rain_{rain.beyond or 'shorter'}", result, minutes=figure(minutes), held=held)
        if high - low < 1e-9 or min(high - minutes, minutes - low) < 1e-6:
            return self.step("rain_row", result, minutes=figure(minutes), years=years)
        first, last = (self.units.rain(intensity_in_h(job.rain, m).value) for m in (low, high))
        share = f"ln({figure(minutes)} / {figure(low)}) / ln({figure(high)} / {figure(low)})"
        made = f"{first} {what} × ({last} / {first})^({share}) = {result}"
        return self.step("rain_between", made, minutes=figure(minutes), low=low, high=high, years=years)

    def manning(self, flow: PipeFlow, depth_ft: float, result_cfs: float) -> str:
        """Return Manning's formula of a run at a depth."""
        u, wet = self.units, section(flow.diameter_ft, depth_ft)
        area, radius = f"{u.area(wet.area_ft2)} {self.unit('ft2')}", f"{u.long(wet.radius_ft)} {self.unit('ft')}"
        made = f"{figure(u.manning)} / {figure(flow.n)} × {area} × ({radius})^(2/3) × {figure(flow.slope or 0.0)}^(1/2)"
        return f"{made} = {u.flow(result_cfs)} {self.unit('flow')} = {self.words.flow(result_cfs)}"


def _shared(arrival: Arrival, say: Say) -> Iterator[Step]:
    """Return the area of an inlet that takes water in with others: straight to it, and its part of the rest."""
    if not arrival.shared_with:
        return
    count, unit = len(arrival.shared_with) + 1, say.unit("ft2")
    straight = max(0.0, arrival.area_ft2 - arrival.pooled_ft2 / count)
    total = f"{say.units.area(arrival.area_ft2)} {unit}"
    made = f"{say.units.area(straight)} {unit} + {say.units.area(arrival.pooled_ft2)} {unit} / {count} = {total}"
    yield say.step("shared", made, say.words.word("water.equal_parts"), inlets=arrival.shared_with)


def _coefficient(arrival: Arrival, say: Say) -> Iterator[Step]:
    for s in arrival.shares:
        typed = s.surface == "typed"
        name = say.words.word("water.typed" if typed else f"sheets.storm.surface_{s.surface.replace('-', '_')}")
        ca = f"{say.units.area(s.area_ft2)} {say.unit('ft2')} × {figure(s.c)} = {say.units.area(s.area_ft2 * s.c)}"
        yield Step(name, f"{ca} {say.unit('ft2')}", say.words.origin(s.source))
    if len(arrival.shares) > 1:
        parts = " + ".join(say.units.area(s.area_ft2 * s.c) for s in arrival.shares)
        yield say.step("mean_c", f"({parts}) / {say.units.area(arrival.area_ft2)} = {figure(arrival.c)}")
    if arrival.storm_c > arrival.c * (1 + 1e-9):
        times = figure(arrival.storm_c / arrival.c)
        yield say.step("storm_c", f"{figure(arrival.c)} × {times} = {figure(arrival.storm_c)}")


def _time(arrival: Arrival, say: Say) -> Iterator[Step]:
    time = arrival.time
    minutes = say.words.word("water.minutes", minutes=figure(arrival.minutes))
    if time is None:
        yield say.step("time_typed", minutes)
        return
    sheet_ft = 0.0
    for leg in time.legs:
        yield _leg(leg, time, sheet_ft, say)
        sheet_ft += leg.length_ft if leg.kind == "sheet" else 0.0
    if len(time.legs) > 1:
        total = say.words.word("water.minutes", minutes=figure(time.sum_min))
        yield say.step("time", f"{' + '.join(figure(leg.minutes) for leg in time.legs)} = {total}")
    if time.sum_min < time.minimum_min:
        yield say.step("time_least", say.words.word("water.minutes", minutes=figure(time.minimum_min)))


def _leg(leg: Leg, time: Concentration, from_ft: float, say: Say) -> Step:
    u, result = say.units, say.words.word("water.minutes", minutes=figure(leg.minutes))
    note = say.words.word("water.raised") if leg.raised else ""
    factor = figure(leg.factor or 0.0)
    if leg.kind == "shallow":
        per = figure(3.28 * u.ft) + " × " if not u.metric else ""
        speed = f"{per}{factor} × √({figure(100 * leg.slope)})"
        return say.step("shallow", f"{u.long(leg.length_ft)} {say.unit('ft')} / ({speed}) / 60 = {result}", note)
    head = figure(0.933 * MM_PER_IN**0.4 / M_PER_FT**0.6 if u.metric else 0.933)
    rain = u.rain(time.intensity.value if time.intensity is not None else 0.0)
    far = f"({u.long(from_ft + leg.length_ft)} {say.unit('ft')})^0.6"
    span = f"({far} − ({u.long(from_ft)} {say.unit('ft')})^0.6)" if from_ft > 0 else far
    rough = f"({factor} / √({figure(leg.slope)}))^0.6"
    return say.step("sheet", f"{head} / ({rain} {say.unit('rain')})^0.4 × {rough} × {span} = {result}", note)


def _grate(job: Job, grate: GrateFlow, say: Say, *, drowned: bool) -> Iterator[Step]:
    """Return how deep water stands over a grate, and what it takes; where water comes out, that is as if the pipe below took it."""
    u = say.units
    basin = next(s for s in job.structures if s.id == grate.inlet)
    area_ft2, edge_ft = _openings(job, basin)
    clear = figure(1 - job.water.grate_clogged)
    deep = f"{u.long(grate.depth_ft)} {say.unit('ft')} = {say.words.inches(grate.depth_ft * 12)}"
    comes = u.flow(grate.flow_cfs)
    if grate.run_on_cfs > 0:
        comes = f"({comes} + {u.flow(grate.run_on_cfs)})"
    if grate.governs == "weir":
        made = f"({comes} / ({figure(u.weir)} × {u.long(edge_ft)} {say.unit('ft')} × {clear}))^(2/3)"
    else:
        below = f"{figure(GRATE_ORIFICE)} × {u.area(area_ft2)} {say.unit('ft2')} × {clear}"
        made = f"({comes} / ({below}))^2 / (2 × {figure(u.gravity)})"
    yield say.step(f"over_{grate.governs}", f"{made} = {deep}", say.words.word("water.as_if_free") if drowned else "")
    if grate.run_on_cfs > 0:
        yield say.step("runs_on", say.words.flow(grate.run_on_cfs))
    yield say.step("takes", say.words.flow(grate.takes_cfs), depth=say.words.inches(grate.allowed_ft * 12))


def _openings(job: Job, basin: Structure) -> tuple[float, float]:
    area_in2, edge_in = grate_of(basin_body(job, basin.size_in))
    return area_in2 / 144, edge_in / 12


def _gathered(water: Water, flow: PipeFlow, say: Say) -> Step:
    """Return C times A of what makes the peak."""
    unit = say.unit("ft2")
    if not flow.part:
        return say.step("gathered", f"{say.units.area(flow.ca_ft2)} {unit}", area=flow.area_ft2)
    shares = [water.arrivals[i].storm_c * water.arrivals[i].area_ft2 for i in flow.part]
    parts = " + ".join(say.units.area(ca) for ca in shares)
    return say.step("part", f"{parts} = {say.units.area(sum(shares))} {unit}", inlets=flow.part)
