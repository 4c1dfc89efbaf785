"""Edit the level book: benchmarks, setups, sights, and which shot of the plan takes its level from which sight.

Levels are worked out elsewhere. Where a sight goes, or is taken off its shot, the caller hands in the levels of the shots as
they stand (``review.book.by_shot``): the shot keeps its level, typed into it, so that nothing drops in silence.
"""

from collections.abc import Mapping
from typing import Any

from msgspec.structs import replace

from drainsketch.errors import EditError
from drainsketch.job.ask import thing
from drainsketch.job.edits.add import add, checked, fresh_id
from drainsketch.job.edits.change import replaced
from drainsketch.job.edits.laying import height_written
from drainsketch.job.kinds import Instrument, Point
from drainsketch.job.levelling import Benchmark, LevelBook, Setup, Sight
from drainsketch.job.model import Job, Shot
from drainsketch.job.sights import setup_of, sight_of, sights_of

Levels = Mapping[str, float]
MOST_SETUPS, MOST_SIGHTS, MOST_BENCHMARKS = 1_000, 5_000, 200


def change_book(job: Job, **fields: Any) -> Job:
    """Return the job with the allowance, the adjustment or the two-peg check set. Raises EditError outside their bounds."""
    wanted = replace(LevelBook(), **fields)
    checked("book", wanted)
    return _with(job, replace(job.book, **fields))


def fresh_ids(job: Job, stem: str, count: int) -> list[str]:
    """Return so many unused ids of the level book: the stem and the numbers above all that are used with it."""
    first = int(fresh_id(job, stem)[len(stem) :])
    return [f"{stem}{first + i}" for i in range(count)]


# -- benchmarks


def add_benchmark(job: Job, name: str, elevation_ft: float) -> Job:
    """Return the job with one more benchmark. Raises EditError outside the bounds of the model."""
    if len(job.book.benchmarks) >= MOST_BENCHMARKS:
        raise EditError(f"book.benchmarks: a level book holds {MOST_BENCHMARKS} benchmarks; delete some first")
    new = Benchmark(id=fresh_ids(job, "benchmark-", 1)[0], name=name, elevation_ft=elevation_ft)
    return _with(job, replace(job.book, benchmarks=(*job.book.benchmarks, checked(new.id, new))))


def change_benchmark(job: Job, benchmark_id: str, **fields: Any) -> Job:
    """Return the job with the name or the level of a benchmark set. Raises EditError when there is none, or out of bounds."""
    marks = job.book.benchmarks
    old = next((b for b in marks if b.id == benchmark_id), None)
    if old is None:
        raise EditError(f"{benchmark_id}: the level book has no benchmark with that id")
    new = checked(benchmark_id, replace(old, **fields))
    return _with(job, replace(job.book, benchmarks=tuple(new if b.id == benchmark_id else b for b in marks)))


def remove_benchmark(job: Job, benchmark_id: str) -> Job:
    """Return the job without a benchmark; an unknown id is ignored."""
    kept = tuple(b for b in job.book.benchmarks if b.id != benchmark_id)
    return _with(job, replace(job.book, benchmarks=kept))


# -- setups


def add_setup(job: Job, instrument: Instrument = "level", sights: tuple[Sight, ...] = ()) -> tuple[Job, str]:
    """Return the job with one more setup at the end of the book, and its id. Sights without an id get fresh ones."""
    if len(job.book.setups) >= MOST_SETUPS:
        raise EditError(f"book.setups: a level book holds {MOST_SETUPS} setups; delete some first")
    ids = iter(fresh_ids(job, "sight-", len(sights)))
    new = Setup(
        id=fresh_ids(job, "setup-", 1)[0],
        instrument=instrument,
        sights=tuple(s if s.id else replace(s, id=next(ids)) for s in sights),
    )
    return _with(job, replace(job.book, setups=(*job.book.setups, checked(new.id, new)))), new.id


def change_setup(job: Job, setup_id: str, **fields: Any) -> Job:
    """Return the job with the instrument or the name of a setup set. Raises EditError when there is none, or out of bounds."""
    return _with_setup(job, checked(setup_id, replace(_setup(job, setup_id), **fields)))


def move_setup(job: Job, setup_id: str, by: int) -> Job:
    """Return the job with a setup so many places further down the book (up: negative), as far as it goes."""
    setups = list(job.book.setups)
    at = setups.index(_setup(job, setup_id))
    setups.insert(min(max(at + by, 0), len(setups) - 1), setups.pop(at))
    return _with(job, replace(job.book, setups=tuple(setups)))


def remove_setup(job: Job, setup_id: str, levels: Levels, height_ft: float | None = None) -> Job:
    """Return the job without a setup and its sights; their shots keep the ``levels`` they had, typed into them.

    The cut sheet and as-laid readings that were taken from it keep its ``height_ft``. Raises EditError where there is none.
    """
    setup = setup_of(job.book, setup_id)
    if setup is None:
        return job
    job = height_written(job, setup_id, height_ft)
    job = _with(job, replace(job.book, setups=tuple(s for s in job.book.setups if s.id != setup_id)))
    for sight in setup.sights:
        job = _kept_level(job, sight.shot, levels)
    return job


# -- sights


def add_sight(job: Job, setup_id: str, new: Sight, at: int | None = None) -> tuple[Job, str]:
    """Return the job with a sight put into a setup before its sight number ``at`` (None: after the last), and its id."""
    setup = _setup(job, setup_id)
    if len(setup.sights) >= MOST_SIGHTS:
        raise EditError(f"{setup_id}: a setup holds {MOST_SIGHTS} sights; start another one")
    new = checked("sight", replace(new, id=new.id or fresh_ids(job, "sight-", 1)[0]))
    at = len(setup.sights) if at is None else at
    return _with_setup(job, replace(setup, sights=(*setup.sights[:at], new, *setup.sights[at:]))), new.id


def extend_setup(job: Job, setup_id: str, sights: tuple[Sight, ...]) -> Job:
    """Return the job with many sights put behind those of a setup, each with a fresh id."""
    setup = _setup(job, setup_id)
    if len(setup.sights) + len(sights) > MOST_SIGHTS:
        raise EditError(f"{setup_id}: a setup holds {MOST_SIGHTS} sights; start another one")
    ids = fresh_ids(job, "sight-", len(sights))
    new = tuple(replace(s, id=i) for s, i in zip(sights, ids, strict=True))
    return _with_setup(job, checked(setup_id, replace(setup, sights=(*setup.sights, *new))))


def change_sight(job: Job, sight_id: str, **fields: Any) -> Job:
    """Return the job with some fields of a sight set; its shot is set by ``bind``. Raises EditError outside the bounds."""
    setup, old = _sight(job, sight_id)
    if "id" in fields or "shot" in fields:
        raise EditError(f"{sight_id}: an id stays for good, and a shot is bound on the plan")
    new = checked(sight_id, replace(old, **fields))
    return _with_setup(job, replace(setup, sights=tuple(new if s.id == sight_id else s for s in setup.sights)))


def move_sight(job: Job, sight_id: str, by: int) -> Job:
    """Return the job with a sight so many places further down in its setup (up: negative), as far as it goes."""
    setup, old = _sight(job, sight_id)
    sights = list(setup.sights)
    at = sights.index(old)
    sights.insert(min(max(at + by, 0), len(sights) - 1), sights.pop(at))
    return _with_setup(job, replace(setup, sights=tuple(sights)))


def remove_sight(job: Job, sight_id: str, levels: Levels) -> Job:
    """Return the job without a sight. The shot it was bound to keeps the level it had in ``levels``, typed into it."""
    found = sight_of(job.book, sight_id)
    if found is None:
        return job
    setup, _ = _sight(job, sight_id)
    job = _with_setup(job, replace(setup, sights=tuple(s for s in setup.sights if s.id != sight_id)))
    return _kept_level(job, found.shot, levels)


# -- sights and shots


def bind(job: Job, sight_id: str, shot_id: str) -> Job:
    """Return the job with a shot of the plan taking its level from a sight.

    Raises
    ------
    EditError : no such sight or shot, the sight stands on another shot, or the shot has a level of its own or by another sight
    """
    setup, sight = _sight(job, sight_id)
    shot = thing(job, shot_id)
    if not isinstance(shot, Shot):
        raise EditError(f"{shot_id}: the plan has no shot with that id")
    if sight.shot == shot_id:
        return job
    if sight.shot is not None:
        raise EditError(f"{sight_id}: it stands on {sight.shot}; take it off that shot first")
    if shot.elevation_ft is not None:
        raise EditError(f"{shot_id}: it has a level of its own; clear that first, or choose another spot")
    if any(s.shot == shot_id for _, s in sights_of(job.book)):
        raise EditError(f"{shot_id}: it takes its level from another sight; take that one off it first")
    new = replace(sight, shot=shot_id)
    return _with_setup(job, replace(setup, sights=tuple(new if s.id == sight_id else s for s in setup.sights)))


def place_sight(job: Job, sight_id: str, at: Point) -> tuple[Job, str]:
    """Return the job with a new shot on the plan that takes its level from a sight, and its id; named as the sight's point."""
    _, sight = _sight(job, sight_id)
    new_id = fresh_id(job, "S")
    return bind(add(job, Shot(id=new_id, point=at, name=sight.at)), sight_id, new_id), new_id


def unbind(job: Job, sight_id: str, levels: Levels) -> Job:
    """Return the job with a sight taken off its shot; the shot keeps the level it had in ``levels``, typed into it."""
    setup, sight = _sight(job, sight_id)
    if sight.shot is None:
        return job
    new = replace(sight, shot=None)
    job = _with_setup(job, replace(setup, sights=tuple(new if s.id == sight_id else s for s in setup.sights)))
    return _kept_level(job, sight.shot, levels)


# -- inside


def _with(job: Job, book: LevelBook) -> Job:
    return job if book == job.book else replace(job, book=book)


def _with_setup(job: Job, new: Setup) -> Job:
    return _with(job, replace(job.book, setups=tuple(new if s.id == new.id else s for s in job.book.setups)))


def _setup(job: Job, setup_id: str) -> Setup:
    found = setup_of(job.book, setup_id)
    if found is None:
        raise EditError(f"{setup_id}: the level book has no setup with that id")
    return found


def _sight(job: Job, sight_id: str) -> tuple[Setup, Sight]:
    for setup, sight in sights_of(job.book):
        if sight.id == sight_id:
            return setup, sight
    raise EditError(f"{sight_id}: the level book has no sight with that id")


def _kept_level(job: Job, shot_id: str | None, levels: Levels) -> Job:
    """Return the job with a level typed into a shot that no sight is bound to any more."""
    shot = thing(job, shot_id) if shot_id is not None else None
    if not isinstance(shot, Shot) or shot.id not in levels or any(s.shot == shot.id for _, s in sights_of(job.book)):
        return job
    level = round(levels[shot.id], 6)
    return replaced(job, checked(shot.id, replace(shot, elevation_ft=level)))
