"""Lines of levels that come back to a benchmark: how they close, and how a misclosure is spread."""

from collections.abc import Iterator
from itertools import accumulate

from msgspec import Struct

from drainsketch.ground.chain import Chain
from drainsketch.ground.results import Closure
from drainsketch.job.levelling import LevelBook, Sight
from drainsketch.job.sights import point_key, read_ft


class Line(Struct, frozen=True):
    """A line of levels, all by number in the book: its setups from a benchmark on, and the sight of the last that ends it."""

    setups: tuple[int, ...]
    sight: int
    measured_ft: float  # of the point at its end, as read
    known_ft: float  # the level of the benchmark there


class Corrections(Struct, frozen=True):
    """What the adjustment adds, ft: to the ``heights`` of the setups, by number, and to the ``sights`` by which a closed line
    hands on, by setup and sight. All other sights are read from the height as it then is.
    """

    heights: dict[int, float] = {}
    sights: dict[tuple[int, int], float] = {}

    def of(self, setup: int, sight: int) -> float:
        """Return the correction of a sight forward, ft; 0 for a benchmark (``setup`` -1)."""
        return self.sights.get((setup, sight), self.heights.get(setup, 0.0))


class PageCheck(Struct, frozen=True):
    """The arithmetic check of a line, ft: backsights less foresights against the last level less the first."""

    start: str
    end: str
    backsights_ft: float
    foresights_ft: float
    rise_ft: float

    @property
    def difference_ft(self) -> float:
        """Sum of the backsights less sum of the foresights; it agrees with the rise, or a number was copied wrong."""
        return self.backsights_ft - self.foresights_ft


def lines_of(book: LevelBook, found: Chain) -> tuple[Line, ...]:
    """Return the lines that come back to a benchmark, in the order of the book; a second look at it from one setup is one."""
    marks = {key: c.level_ft for key, c in found.points.items() if c.setup < 0}
    paths: dict[int, tuple[int, ...]] = {}
    out = []
    for number, setup in enumerate(book.setups):
        if number not in found.heights:
            continue
        for at, sight in enumerate(setup.sights):
            key = point_key(sight.at)
            if at != found.backsights[number] and key in marks and sight.reading_ft is not None:
                path = _path(book, found, number, paths)
                out.append(Line(path, at, found.heights[number] - sight.reading_ft, marks[key]))
    return tuple(out)


def _path(book: LevelBook, found: Chain, number: int, paths: dict[int, tuple[int, ...]]) -> tuple[int, ...]:
    """Return the setups from a benchmark to this one; ``paths`` are those that were asked for before, and take this one up."""
    own: list[int] = []
    at = number
    while at >= 0 and at not in paths:
        own.append(at)
        at = _before(book, found, at)
    paths[number] = path = (*paths.get(at, ()), *reversed(own))
    return path


def _before(book: LevelBook, found: Chain, number: int) -> int:
    """Return the setup that levelled the point this one looks back to; -1 for a benchmark."""
    return found.points[point_key(_backsight(book, found, number).at)].setup


def _backsight(book: LevelBook, found: Chain, number: int) -> Sight:
    return book.setups[number].sights[found.backsights[number]]


def _forward(book: LevelBook, found: Chain, line: Line) -> Iterator[int]:
    """Yield the number of the sight by which each setup of a line hands on to the next, the last to the benchmark."""
    for following in line.setups[1:]:
        yield found.points[point_key(_backsight(book, found, following).at)].sight
    yield line.sight


def closures_of(book: LevelBook, found: Chain, lines: tuple[Line, ...]) -> tuple[Closure, ...]:
    """Return how each line closes: measured less known, ft, against the allowance of the book."""
    paths = {line.setups[-1]: line.setups for line in lines}
    called = {last: tuple(book.setups[n].id for n in setups) for last, setups in paths.items()}
    names = {point_key(mark.name): mark.name for mark in reversed(book.benchmarks)}
    return tuple(
        Closure(
            start=names[point_key(_backsight(book, found, line.setups[0]).at)],
            end=names[point_key(book.setups[line.setups[-1]].sights[line.sight].at)],
            setups=called[line.setups[-1]],
            misclosure_ft=line.measured_ft - line.known_ft,
            allowance_ft=book.allowance_ft,
        )
        for line in lines
    )


def corrections(book: LevelBook, found: Chain, lines: tuple[Line, ...]) -> Corrections:
    """Return what the adjustment adds to heights and turning points, ft; ``lines`` are those that close within the allowance.

    The misclosure of a line is spread over its turning points with the opposite sign: in proportion to the length of sight so
    far where every sight of the line has its distance, else equally by setup. A line that shares setups with one before it
    spreads what is left over those of its own. The height of a setup is that of the adjusted point it looks back to plus the
    backsight, and all that does not hand on a line is read down from it.

    Source: Navy Engineering Aid manual, chapter 7 (distribution by distance or by setup, sign opposite to the misclosure);
    Ghilani and Wolf, Elementary Surveying, profile leveling (from memory: heights and then intermediate sights are worked out
    from the adjusted turning points). Check: tests/outside/test_levelling.py.
    """
    shift: dict[int, float] = {}
    turns: dict[tuple[int, int], float] = {}
    for line in lines:
        fixed = len(line.setups)
        while fixed and line.setups[fixed - 1] not in shift:
            fixed -= 1
        own = line.setups[fixed:]
        if not own:
            continue
        start = shift[line.setups[fixed - 1]] if fixed else 0.0
        left = line.known_ft - line.measured_ft - start
        so_far = list(accumulate(_weights(book, found, line)[fixed:]))
        for number, part in zip(own, so_far, strict=True):
            shift[number] = start + left * part / so_far[-1]
        turns |= {(n, at): shift[n] for n, at in zip(line.setups, _forward(book, found, line), strict=True)}
    heights: dict[int, float] = {}
    out = Corrections(heights, turns)
    for number in found.heights:  # in the order they were worked out: the point a setup hangs on comes first
        on = found.points[point_key(_backsight(book, found, number).at)]
        heights[number] = out.of(on.setup, on.sight)
    return out


def _weights(book: LevelBook, found: Chain, line: Line) -> list[float]:
    """Return the length of sight of each setup of a line, back and forward; ones where a distance is missing."""
    weights = []
    for number, at in zip(line.setups, _forward(book, found, line), strict=True):
        back, forward = _backsight(book, found, number).distance_ft, book.setups[number].sights[at]
        if back is None or forward.distance_ft is None or back + forward.distance_ft <= 0:
            return [1.0] * len(line.setups)
        weights.append(back + forward.distance_ft)
    return weights


def page_check(book: LevelBook, found: Chain) -> PageCheck | None:
    """Return the arithmetic check of the line that leads to the last foresight of the book; None without one.

    Source: start + sum of backsights - sum of foresights = end (Navy Engineering Aid manual).
    Check: tests/outside/test_levelling.py.
    """
    last = next(
        (
            (number, at)
            for number in reversed(range(len(book.setups)))
            if number in found.heights
            for at in reversed(range(len(book.setups[number].sights)))
            if (sight := book.setups[number].sights[at]).kind == "foresight" and sight.reading_ft is not None
        ),
        None,
    )
    if last is None:
        return None
    end = book.setups[last[0]].sights[last[1]]
    measured = found.heights[last[0]] - read_ft(end)
    line = Line(_path(book, found, last[0], {}), last[1], measured, measured)
    start = _backsight(book, found, line.setups[0])
    return PageCheck(
        start=start.at,
        end=end.at,
        backsights_ft=sum(read_ft(_backsight(book, found, n)) for n in line.setups),
        foresights_ft=sum(
            read_ft(book.setups[n].sights[s]) for n, s in zip(line.setups, _forward(book, found, line), strict=True)
        ),
        rise_ft=measured - found.points[point_key(start.at)].level_ft,
    )
