"""A drawing from elsewhere as lines in its own units, gathered one by one within bounds; what is left out is counted."""

from collections import Counter
from collections.abc import Iterable, Sequence
from math import isfinite
from typing import Literal

from msgspec import Struct

from drainsketch.errors import DrawingError
from drainsketch.job.kinds import Point
from drainsketch.job.plain import LINE_LENGTH, plain

MOST_LINES = 20_000  # what a job holds
MOST_POINTS = 200_000
LONGEST = 5_000  # points of one line

DrawingUnit = Literal["ft", "in", "yd", "mi", "survey ft", "mm", "cm", "dm", "m", "km"]
METERS: dict[str, float] = {  # exact: international foot 0.3048 m, US survey foot 1200/3937 m (NIST SP 811)
    **{"ft": 0.3048, "in": 0.0254, "yd": 0.9144, "mi": 1609.344, "survey ft": 1200 / 3937},
    **{"mm": 0.001, "cm": 0.01, "dm": 0.1, "m": 1.0, "km": 1000.0},
}
UNIT_WORDS: dict[str, str] = {
    **{"ft": "feet", "in": "inches", "yd": "yards", "mi": "miles", "survey ft": "US survey feet"},
    **{"mm": "millimeters", "cm": "centimeters", "dm": "decimeters", "m": "meters", "km": "kilometers"},
}


class Drawn(Struct, frozen=True):
    """A line of a drawing, in its own units; the first point of a closed one is not repeated."""

    points: tuple[Point, ...]
    closed: bool = False
    layer: str = ""


class Drawing(Struct, frozen=True):
    """A drawing as read. ``unit`` is what it says of itself, None where it says nothing; ``told`` is what the user has to know of it."""

    source: str
    lines: tuple[Drawn, ...]
    unit: DrawingUnit | None = None
    told: tuple[str, ...] = ()
    on_globe: bool = False  # it came in longitude and latitude and stands in feet already


class Gathering:
    """Takes up the lines of a drawing one by one, within bounds, and counts what is left out."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.lines: list[Drawn] = []
        self.left_out: Counter[str] = Counter()
        self.levels = 0  # lines whose levels were dropped
        self._points = 0

    def take(self, points: Iterable[Sequence[float]], closed: bool, layer: str, what: str) -> None:
        """Take up a line; one with a point that is no number, or without a length, is counted as left out.

        Raises
        ------
        DrawingError : there are more lines or points than a job holds
        """
        kept: list[Point] = []
        for p in points:
            x, y = float(p[0]), float(p[1])
            if not (isfinite(x) and isfinite(y)):
                self.left_out[f"{what} with a coordinate that is no number"] += 1
                return
            if not kept or (x, y) != kept[-1]:
                kept.append((x, y))
                if len(kept) + self._points > MOST_POINTS:
                    raise DrawingError(
                        f"{self.source}, layer {layer or '0'}: more than {MOST_POINTS:,} points; leave layers out or take part of it"
                    )
        closed = closed or (len(kept) > 3 and kept[0] == kept[-1])  # one that ends where it began is an outline
        if closed and len(kept) > 1 and kept[0] == kept[-1]:
            kept.pop()
        if len(set(kept)) < 2:
            self.left_out[f"{what} without a length in plan"] += 1
            return
        closed = closed and len(kept) > 2
        self._points += len(kept)
        for piece in [kept] if len(kept) <= LONGEST else _pieces(kept, closed):
            self.lines.append(Drawn(tuple(piece), closed and piece is kept, plain(layer, LINE_LENGTH)))
        if len(self.lines) > MOST_LINES:
            raise DrawingError(
                f"{self.source}, layer {layer or '0'}: more than {MOST_LINES:,} lines; leave layers out or take part of it"
            )

    def drawing(self, unit: DrawingUnit | None, told: Iterable[str] = (), *, on_globe: bool = False) -> Drawing:
        """Return what was taken up. Raises DrawingError where that is nothing."""
        if not self.lines:
            there = self._said_left_out()
            raise DrawingError(
                f"{self.source}: no lines are in it; {there or 'draw them in model space and write it again'}"
            )
        said = [*told]
        if self.left_out:
            said.append(self._said_left_out())
        if self.levels:
            said.append(f"{_count(self.levels, 'line')} had levels, which are dropped: only the plan is taken.")
        return Drawing(self.source, tuple(self.lines), unit, tuple(said), on_globe)

    def _said_left_out(self) -> str:
        counts = sorted(self.left_out.items(), key=lambda one: (-one[1], one[0]))
        listed = ", ".join(f"{count} {plain(what, 60)}" for what, count in counts[:8])
        more = sum(count for _, count in counts[8:])
        return f"Left out: {listed}{f' and {more} more' if more else ''}." if counts else ""


def _pieces(points: list[Point], closed: bool) -> list[list[Point]]:
    """Return a line too long for a job in pieces that join end to end."""
    whole = [*points, points[0]] if closed else points
    step = LONGEST - 1
    return [whole[i : i + LONGEST] for i in range(0, len(whole) - 1, step)]


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
