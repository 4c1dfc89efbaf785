"""How the setups of a level book hang on each other, as read.

The arithmetic of a setup is ``HI = known + backsight`` and ``level = HI - reading``; a level string is read down from, and
works alike. Setups are taken in the order of the book; one that waits for a point levelled further down is worked out as
soon as that point is. What is known stays known: a benchmark's level over any measured one, the first measured over a later.
A sight whose reading was struck out carries nothing.
"""

from msgspec import Struct

from drainsketch.job.levelling import Benchmark, LevelBook
from drainsketch.job.sights import point_key, read_ft


class Carried(Struct, frozen=True):
    """Where a level comes from: a benchmark (``setup`` -1), or the sight of a setup, both by their number in the book."""

    level_ft: float
    setup: int = -1
    sight: int = -1


class Chain(Struct, frozen=True):
    """The book before adjustment: by setup number the height and the backsight used, by point key where its level is from."""

    heights: dict[int, float]
    backsights: dict[int, int]
    points: dict[str, Carried]


def rests_on(book: LevelBook, number: int) -> tuple[str, Benchmark] | None:
    """Return the point that a setup looks back to, and the benchmark its height comes from; None where it hangs on nothing."""
    found = chain(book)
    if number not in found.heights:
        return None
    sight = book.setups[number].sights[found.backsights[number]]
    at = sight
    while (before := found.points[point_key(at.at)].setup) >= 0:
        at = book.setups[before].sights[found.backsights[before]]
    return sight.at, next(b for b in book.benchmarks if point_key(b.name) == point_key(at.at))


def chain(book: LevelBook) -> Chain:
    """Return heights and levels as read, ft, and how each hangs on the one before. Work grows with the number of sights.

    Source: differential leveling, definition (Ghilani and Wolf, Elementary Surveying, section 4.2.1).
    Check: tests/outside/test_levelling.py.
    """
    points: dict[str, Carried] = {}
    for mark in book.benchmarks:
        if key := point_key(mark.name):
            points.setdefault(key, Carried(mark.elevation_ft))
    heights: dict[int, float] = {}
    backsights: dict[int, int] = {}
    waiting: dict[str, list[tuple[int, int]]] = {}
    for number, setup in enumerate(book.setups):
        ready: list[tuple[int, int]] = []
        for at, sight in enumerate(setup.sights):
            if sight.kind == "backsight" and sight.reading_ft is not None and (key := point_key(sight.at)):
                if key in points:
                    ready = [(number, at)]
                    break
                waiting.setdefault(key, []).append((number, at))
        while ready:
            which, back = ready.pop()
            if which in heights:
                continue
            sights = book.setups[which].sights
            heights[which] = height = points[point_key(sights[back].at)].level_ft + read_ft(sights[back])
            backsights[which] = back
            for at, sight in enumerate(sights):
                key = point_key(sight.at)
                if at != back and key and key not in points and sight.reading_ft is not None:
                    points[key] = Carried(height - sight.reading_ft, which, at)
                    ready += reversed(waiting.pop(key, []))
    return Chain(heights, backsights, points)
