"""Plain questions about the level book: which sight, which point, what is placed on the plan. No arithmetic here."""

from collections.abc import Iterator
from functools import lru_cache

from drainsketch.job.levelling import LevelBook, Setup, Sight
from drainsketch.job.model import Job


@lru_cache(maxsize=20_000)
def point_key(name: str) -> str:
    """Return what a point is known by: its name without regard to capitals and spaces.

    Examples
    --------
    >>> point_key("  Tp  1 ") == point_key("tp1")
    True
    """
    return "".join(name.split()).casefold()


def read_ft(sight: Sight) -> float:
    """Return the reading of a sight that has one, ft. Raises ValueError where it was struck out; callers ask first."""
    if sight.reading_ft is None:
        raise ValueError(f"{sight.id} has no reading")
    return sight.reading_ft


def sights_of(book: LevelBook) -> Iterator[tuple[Setup, Sight]]:
    """Yield every sight with its setup, in the order of the book."""
    for setup in book.setups:
        for sight in setup.sights:
            yield setup, sight


def sight_of(book: LevelBook, sight_id: str) -> Sight | None:
    """Return the sight with that id, or None."""
    return next((s for _, s in sights_of(book) if s.id == sight_id), None)


def setup_of(book: LevelBook, setup_id: str) -> Setup | None:
    """Return the setup with that id, or None."""
    return next((s for s in book.setups if s.id == setup_id), None)


def book_ids(book: LevelBook) -> Iterator[tuple[str, str]]:
    """Yield (path in the job file, id) of all in the book that has an id."""
    for i, mark in enumerate(book.benchmarks):
        yield f"book.benchmarks[{i}]", mark.id
    for i, setup in enumerate(book.setups):
        yield f"book.setups[{i}]", setup.id
        for j, sight in enumerate(setup.sights):
            yield f"book.setups[{i}].sights[{j}]", sight.id


def to_place(book: LevelBook) -> tuple[Sight, ...]:
    """Return the sights that may go on the plan and do not stand there yet, in the order of the book.

    Backsights, benchmarks, and points that stand on the plan by another sight are left out.
    """
    done = {point_key(s.at) for _, s in sights_of(book) if s.shot is not None}
    done |= {point_key(b.name) for b in book.benchmarks}
    done.discard("")
    out: list[Sight] = []
    for _, sight in sights_of(book):
        key = point_key(sight.at)
        if sight.kind != "backsight" and sight.shot is None and key not in done:
            out.append(sight)
            if key:
                done.add(key)
    return tuple(out)


def next_to_place(job: Job, sight_id: str = "") -> Sight | None:
    """Return the sight to place: the one asked for, else the first to place after it, else any.

    A backsight, and a sight that stands on the plan, are passed over.
    """
    asked = sight_of(job.book, sight_id) if sight_id else None
    if asked is not None and asked.shot is None and asked.kind != "backsight":
        return asked
    waiting = to_place(job.book)
    if asked is None or not waiting:
        return waiting[0] if waiting else None
    order = {s.id: i for i, (_, s) in enumerate(sights_of(job.book))}
    return next((s for s in waiting if order[s.id] > order[asked.id]), waiting[0])
