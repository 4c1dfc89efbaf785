"""How the figures of a dry well were made: what pit and stone hold, what comes and soaks away, and how soon it is empty."""

from collections.abc import Iterator
from math import floor, log10

from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Job
from drainsketch.network.pits import pit_of
from drainsketch.water.rain import intensity_in_h
from drainsketch.water.results import Water, Well
from drainsketch.water.stores import voids_below_ft3
from drainsketch.water.working import Say, Step, figure
from drainsketch.wording import Words


def well_working(job: Job, water: Water, outfall: str, words: Words) -> tuple[Step, ...]:
    """Return how the figures of a dry well were made: what it holds, then what the storm brings it to hold and how soon it is empty.

    Empty where nothing is known to arrive there, or it has neither pit nor stone. Check: tests/water/test_well_working.py, which works
    every line again
    """
    well = water.wells.get(outfall)
    if well is None or well.room_ft3 is None:
        return ()
    say = _Say(words)
    return (*_room(job, water, well, say), *_balance(job, well, say))


class _Say(Say):
    """Lines of wells."""

    def line(self, what: str, arithmetic: str, note: str = "", **params: object) -> Step:
        return Step(self.words.word(f"water.well.{what}", **params), arithmetic, note)

    def ft3(self, ft3: float, places: int | None = None) -> str:
        """Return a volume with its unit, to three places, or with so many decimals."""
        value = ft3 * self.units.ft**3
        return f"{figure(value) if places is None else f'{value:,.{places}f}'} {self.unit('ft3')}"

    def ft2(self, ft2: float) -> str:
        return f"{self.units.area(ft2)} {self.unit('ft2')}"

    def rate(self, in_h: float) -> str:
        """Return a rate over what makes of it the depth of an hour."""
        return f"{self.units.rain(in_h)} {self.unit('rain')} / {'1,000' if self.units.metric else '12'}"


def _room(job: Job, water: Water, well: Well, say: _Say) -> Iterator[Step]:
    """Return what pit and stone hold."""
    voids, pit = job.water.stone_voids, pit_of(structures_by_id(job)[well.outfall])
    parts = []
    if pit is not None:
        sides = " × ".join(f"{say.units.long(x)} {say.unit('ft')}" for x in pit)
        parts.append(well.pit_ft3)
        yield say.line("pit", f"{sides} × {figure(voids)} = {say.ft3(well.pit_ft3)}")
    for run in well.stone:
        trench = water.stores[run].trench
        assert trench is not None and well.spill_ft is not None  # or it would not count
        stone_ft3 = voids_below_ft3(trench, well.spill_ft, 1.0)
        parts.append(voids * stone_ft3)
        made = f"{say.ft3(stone_ft3)} × {figure(voids)} = {say.ft3(voids * stone_ft3)}"
        yield say.line("stone", made, run=run, level=say.words.level(well.spill_ft))
    if len(parts) > 1:
        yield say.line("room", f"{' + '.join(say.ft3(p) for p in parts)} = {say.ft3(well.room_ft3 or 0.0)}")
    if pit is not None and not well.stone:
        length, width, _ = (f"{say.units.long(x)} {say.unit('ft')}" for x in pit)
        yield say.line("pit_floor", f"{length} × {width} = {say.ft2(well.floor_ft2)}")
    elif well.balance is not None:
        yield say.line("floor", say.ft2(well.floor_ft2), say.words.word("water.well.mean"))


def _balance(job: Job, well: Well, say: _Say) -> Iterator[Step]:
    """Return what comes, what soaks away, what is left to hold, and how long that takes to be gone."""
    balance, rate = well.balance, job.water.infiltration_in_h
    if balance is None or rate is None:
        return
    minutes = balance.duration_min
    over = f"{figure(minutes)} / 60"
    rain = say.rate(intensity_in_h(job.rain, minutes).value)
    soaks_ft3 = well.floor_ft2 * rate / 12 * minutes / 60
    comes = f"{say.ft2(well.ca_ft2)} × {rain} × {over} = {say.ft3(balance.comes_ft3)}"
    yield say.line("comes", comes, minutes=figure(minutes))
    yield say.line("soaks", f"{say.ft2(well.floor_ft2)} × {say.rate(rate)} × {over} = {say.ft3(soaks_ft3)}")
    held = say.words.volume(balance.holds_ft3 * GALLONS_PER_FT3)
    if balance.holds_ft3 <= 0:
        yield say.line("holds", held)
        return
    places = max(0, 2 - floor(log10(balance.holds_ft3 * say.units.ft**3)))
    less = f"{say.ft3(balance.comes_ft3, places)} − {say.ft3(soaks_ft3, places)}"
    yield say.line("holds", f"{less} = {say.ft3(balance.holds_ft3)} = {held}")
    if well.drawdown_h is not None and well.room_ft3 is not None:
        full_ft3 = min(balance.holds_ft3, well.room_ft3)
        made = f"{say.ft3(full_ft3)} / ({say.ft2(well.floor_ft2)} × {say.rate(rate)})"
        yield say.line("drawdown", f"{made} = {figure(well.drawdown_h)} {say.unit('h')}")
