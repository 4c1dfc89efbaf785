"""The level book worked out: heights of instrument, levels of points and shots, and how the lines close."""

from drainsketch.ground.chain import Chain, chain
from drainsketch.ground.closures import Corrections, closures_of, corrections, lines_of
from drainsketch.ground.results import BookLevels, LevelledShot, LevelledSight
from drainsketch.job.levelling import LevelBook, Sight
from drainsketch.job.model import Shot
from drainsketch.job.sights import point_key


def book_levels(book: LevelBook) -> BookLevels:
    """Return the levels of all that the book sights, ft, corrected where ``book.adjust`` says so.

    A line beyond the allowance stays as read: spreading a slip over good levels makes them all wrong. Every height is the
    level of the point it hangs on plus the backsight there, adjusted or not, so that what is read from it agrees with the
    ground. Where two sights are bound to one shot, the first that has a level counts.

    Check: tests/outside/test_levelling.py, tests/ground/test_book.py.
    """
    if not book.benchmarks and not book.setups:
        return BookLevels()
    found = chain(book)
    lines = lines_of(book, found)
    closures = closures_of(book, found, lines)
    closed = tuple(line for line, closure in zip(lines, closures, strict=True) if closure.holds)
    added = corrections(book, found, closed) if book.adjust else Corrections()
    by_point = {key: c.level_ft + added.of(c.setup, c.sight) for key, c in found.points.items()}
    sights, by_shot = _sights(book, found, added, by_point)
    return BookLevels(
        sights=sights,
        heights_ft={book.setups[n].id: height + added.heights.get(n, 0.0) for n, height in found.heights.items()},
        by_point=by_point,
        by_shot=by_shot,
        closures=closures,
    )


def _sights(
    book: LevelBook, found: Chain, added: Corrections, by_point: dict[str, float]
) -> tuple[tuple[LevelledSight, ...], dict[str, float]]:
    """Return every sight of the book in order, worked out, and the level of each bound shot."""
    out: list[LevelledSight] = []
    by_shot: dict[str, float] = {}
    for number, setup in enumerate(book.setups):
        read, back = found.heights.get(number), found.backsights.get(number, -1)
        height = None if read is None else read + added.heights.get(number, 0.0)
        for at, sight in enumerate(setup.sights):
            level, correction = None, 0.0
            if read is not None and at == back:
                level, correction = by_point[point_key(sight.at)], added.heights.get(number, 0.0)
            elif read is not None and sight.reading_ft is not None:
                correction = added.of(number, at)
                level = read - sight.reading_ft + correction
            out.append(_levelled(sight, setup.id, height, level, correction))
            if sight.shot is not None and level is not None:
                by_shot.setdefault(sight.shot, level)
    return tuple(out), by_shot


def _levelled(sight: Sight, setup: str, height: float | None, level: float | None, correction: float) -> LevelledSight:
    return LevelledSight(
        id=sight.id,
        setup=setup,
        kind=sight.kind,
        at=sight.at,
        height_ft=height,
        elevation_ft=level,
        correction_ft=correction,
    )


def levelled_shots(shots: tuple[Shot, ...], levels: BookLevels) -> tuple[LevelledShot, ...]:
    """Return the shots whose level is known: typed on them, or from the sight bound to them."""
    found = []
    for s in shots:
        level = s.elevation_ft if s.elevation_ft is not None else levels.by_shot.get(s.id)
        if level is not None:
            found.append(LevelledShot(id=s.id, point=s.point, elevation_ft=level, name=s.name))
    return tuple(found)
