"""Filling days: blocks of work put on one day after another, each closed on the day it is opened wherever that can be."""

from collections.abc import Sequence
from math import floor

from msgspec import Struct

from drainsketch.takeoff.workplan.blocks import SAME_FT, Bit, Line, Spot

LEAST_FT = 5.0  # no stretch is cut shorter than this while there is a choice; common practice, no source
MOST_DAYS = 1000  # a plan of more is none: a production rate slipped
EPS_H = 1e-9


class TooLongError(Exception):
    """The work takes more than ``MOST_DAYS``."""


class Placed(Struct, frozen=True):
    """A task, or a part of one, on a day."""

    bit: Bit
    hours: float | None
    stretch: int
    goes_on: bool


class Cut(Struct, frozen=True):
    """A stretch of a run with the days on which it is opened and closed."""

    line: Line
    from_ft: float
    to_ft: float
    opened: int
    closed: int


class Days:
    """Days being filled, numbered from 1.

    Parameters
    ----------
    day_hours : hours the crew works a day (above 0)
    most_ft : most trench opened a day, ``LEAST_FT`` at least; None takes what the hours allow

    Raises
    ------
    TooLongError : from any of its methods
    """

    def __init__(self, day_hours: float, most_ft: float | None) -> None:
        self._day_hours = day_hours
        self._most_ft = None if most_ft is None else max(most_ft, LEAST_FT)
        self._used = self._feet = 0.0
        self.placed: list[list[Placed]] = [[]]
        self.opened_ft: list[float] = [0.0]  # trench that lies open at any time of the day
        self.overnight: list[list[str]] = [[]]
        self.cuts: list[Cut] = []

    @property
    def number(self) -> int:
        """Return the day that is being filled."""
        return len(self.placed)

    def add(self, bits: Sequence[Bit]) -> None:
        """Put tasks of the whole job on the day; those that take longer go on."""
        self._put(bits, 0)

    def work(self, blocks: Sequence[Line | Spot]) -> None:
        """Put all blocks on days, in order."""
        for block in blocks:
            if isinstance(block, Spot):
                self._spot(block)
            else:
                self._line(block)

    @property
    def _room_h(self) -> float:
        return self._day_hours - self._used

    @property
    def _room_ft(self) -> float:
        return float("inf") if self._most_ft is None else self._most_ft - self._feet

    @property
    def _is_fresh(self) -> bool:
        return self._used <= EPS_H and self._feet <= SAME_FT

    def _next(self) -> None:
        if self.number >= MOST_DAYS:
            raise TooLongError
        self.placed.append([])
        self.opened_ft.append(0.0)
        self.overnight.append([])
        self._used = self._feet = 0.0

    def _spot(self, block: Spot) -> None:
        if block.hours > self._room_h + EPS_H and not self._is_fresh:
            self._next()
        first = self.number
        self._put(block.bits, 0)
        if block.has_hole:
            for day in range(first, self.number):
                self.overnight[day - 1].append(block.structure_id)

    def _line(self, line: Line) -> None:
        at, end = line.along.low_ft, line.along.high_ft
        if end - at <= SAME_FT:
            self._stretch(line, at, end)
            return
        while at < end - SAME_FT:
            to = self._reach(line, at)
            if to - at < min(LEAST_FT, end - at) - SAME_FT:
                if not self._is_fresh:
                    self._next()
                    continue
                to = min(at + LEAST_FT, end)  # more than a day: it stays open
            self._stretch(line, at, to)
            at = to

    def _reach(self, line: Line, at: float) -> float:
        """Return how far the day reaches: to a whole foot, leaving no stub, and cutting no strip dug by hand where that can be."""
        end = line.along.high_ft
        to = min(line.along.reach_ft(at, max(0.0, self._room_h)), at + self._room_ft, end)
        if to >= end - SAME_FT:
            return end
        to = max(at, floor(to + SAME_FT)) if to - at > LEAST_FT + 1 else to
        for low, high in line.zones:
            if low < to < high and low - at >= LEAST_FT:
                to = low
        return end - LEAST_FT if end - to < LEAST_FT and end - LEAST_FT - at >= LEAST_FT else to

    def _stretch(self, line: Line, from_ft: float, to_ft: float) -> None:
        if line.hours(from_ft, to_ft) > self._room_h + EPS_H and not self._is_fresh:
            self._next()
        first = self.number
        self._feet += to_ft - from_ft
        self._put(line.bits(from_ft, to_ft), len(self.cuts) + 1)
        self.cuts.append(Cut(line, from_ft, to_ft, first, self.number))
        for day in range(first, self.number + 1):
            self.opened_ft[day - 1] += to_ft - from_ft
        for day in range(first, self.number):
            self.overnight[day - 1].append(line.run_id)
        if self.number > first:
            self._feet = to_ft - from_ft

    def _put(self, bits: Sequence[Bit], stretch: int) -> None:
        for bit in bits:
            left = bit.hours
            while left is not None and left > self._room_h + EPS_H:
                part = max(0.0, self._room_h)
                if part > EPS_H:
                    self._place(bit, part, stretch, goes_on=True)
                    left -= part
                self._next()
            self._place(bit, left, stretch, goes_on=False)

    def _place(self, bit: Bit, hours: float | None, stretch: int, *, goes_on: bool) -> None:
        self._used += hours or 0.0
        self.placed[-1].append(Placed(bit, hours, stretch, goes_on))
