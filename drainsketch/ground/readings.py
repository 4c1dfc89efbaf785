"""What has to be settled about the readings of the level book before its levels can be trusted."""

from collections import Counter
from collections.abc import Iterable, Iterator

from drainsketch.findings import Finding, Param, Place, finding
from drainsketch.ground.results import BookLevels
from drainsketch.ground.twopeg import PEGS_FT, peg_error
from drainsketch.job.levelling import LevelBook, Setup, Sight
from drainsketch.job.model import Job, Shot
from drainsketch.job.plain import LABEL_LENGTH, plain
from drainsketch.job.sights import point_key, sights_of

ROD_FT = 25.0  # common practice, no source: the longest rods reach 25 ft
SAME_FT = 1e-6  # below any reading
MOST_NAMED = 8


def book_findings(job: Job, levels: BookLevels) -> tuple[Finding, ...]:
    """Return findings about readings, benchmarks, setups, closures, and shots bound to sights. Linear in the sights.

    Check: tests/ground/test_readings.py.
    """
    if not (
        job.book.setups or job.book.benchmarks or job.book.two_peg or any(s.elevation_ft is None for s in job.shots)
    ):
        return ()
    shots = {s.id: s for s in job.shots}
    return (
        *_readings(job.book, shots),
        *_setups(job.book, levels),
        *_benchmarks(job.book),
        *_closures(job.book, levels),
        *_read_again(job.book, levels, shots),
        *_two_peg(job.book),
        *_shots(job, levels),
    )


def setup_label(book: LevelBook, number: int) -> str:
    """Return what a setup is called: its name, or its number in the book counted from 1."""
    return plain(book.setups[number].name, LABEL_LENGTH) or str(number + 1)


def _name(at: str, own_id: str) -> str:
    """Return what a point is called, or else the id of what it stands in."""
    return plain(at, LABEL_LENGTH) or own_id


def _listed(names: Iterable[str]) -> tuple[str, ...]:
    """Return the first few of many names."""
    kept = tuple(names)
    return kept if len(kept) <= MOST_NAMED else (*kept[:MOST_NAMED], "…")


def _place(shot: Shot | None) -> Place:
    return Place() if shot is None else Place(ids=(shot.id,), point=shot.point)


def off_rod(setup: Setup, sight: Sight) -> str:
    """Return the kind of finding of a sight that no rod or string reads so, '' for one that can be."""
    if sight.reading_ft is None:
        return ""
    if sight.reading_ft < 0 and setup.instrument == "level":
        return "reading_below_zero"
    return "reading_beyond_rod" if abs(sight.reading_ft) > ROD_FT else ""


def _readings(book: LevelBook, shots: dict[str, Shot]) -> Iterator[Finding]:
    for number, setup in enumerate(book.setups):
        for sight in setup.sights:
            off = off_rod(setup, sight)
            if off:
                yield finding(
                    off,
                    _place(shots.get(sight.shot or "")),
                    value=sight.reading_ft,
                    limit=ROD_FT if off == "reading_beyond_rod" else None,
                    setup=setup_label(book, number),
                    sighted=_name(sight.at, sight.id),
                )


def _setups(book: LevelBook, levels: BookLevels) -> Iterator[Finding]:
    for number, setup in enumerate(book.setups):
        if not setup.sights or setup.id in levels.heights_ft:
            continue
        backsights = _listed(
            _name(s.at, s.id) for s in setup.sights if s.kind == "backsight" and s.reading_ft is not None
        )
        params: dict[str, Param] = {"setup": setup_label(book, number)}
        if backsights:
            yield finding("setup_adrift", Place(), params=params, points=backsights)
        else:
            yield finding("setup_without_backsight", Place(), params=params)


def _benchmarks(book: LevelBook) -> Iterator[Finding]:
    named = Counter(point_key(b.name) for b in book.benchmarks)
    sighted = {point_key(s.at) for _, s in sights_of(book)}
    told = set()
    for mark in book.benchmarks:
        key = point_key(mark.name)
        if named[key] > 1 and key not in told:
            told.add(key)
            yield finding("benchmark_twice", Place(), sighted=_name(mark.name, mark.id))
        if sighted and key not in sighted:
            yield finding("benchmark_unused", Place(), sighted=_name(mark.name, mark.id))


def _closures(book: LevelBook, levels: BookLevels) -> Iterator[Finding]:
    for closure in levels.closures:
        off = closure.misclosure_ft
        if not closure.holds:
            yield finding(
                "levels_not_adjusted" if book.adjust else "levels_misclose",
                Place(),
                value=abs(off),
                limit=closure.allowance_ft,
                start_at=_name(closure.start, closure.setups[0]),
                end_at=_name(closure.end, closure.setups[-1]),
                side="above" if off > 0 else "below",
            )


def _read_again(book: LevelBook, levels: BookLevels, shots: dict[str, Shot]) -> Iterator[Finding]:
    """Points that came out at another level when they were read again; benchmarks are told by their closures."""
    marks = {point_key(b.name) for b in book.benchmarks}
    for sight, (_, read) in zip(levels.sights, sights_of(book), strict=True):
        key = point_key(sight.at)
        first = levels.by_point.get(key)
        if first is None or sight.elevation_ft is None or key in marks:
            continue
        off = sight.elevation_ft - first
        if abs(off) > book.allowance_ft + SAME_FT:
            yield finding(
                "point_disagrees",
                _place(shots.get(read.shot or "")),
                value=abs(off),
                limit=book.allowance_ft,
                sighted=_name(sight.at, read.id),
                side="above" if off > 0 else "below",
            )


def _two_peg(book: LevelBook) -> Iterator[Finding]:
    if book.two_peg is not None:
        error = peg_error(book.two_peg)
        off = error.per_length_ft
        if not error.reads_true:
            yield finding("two_peg_off", Place(), value=abs(off), limit=PEGS_FT, side="above" if off > 0 else "below")


def _shots(job: Job, levels: BookLevels) -> Iterator[Finding]:
    bare = [s for s in job.shots if s.elevation_ft is None and s.id not in levels.by_shot]
    if bare:
        ids = tuple(s.id for s in bare)
        yield finding("shot_without_level", Place(ids=ids, point=bare[0].point), shots=_listed(ids))
    bound: dict[str, list[int]] = {}
    all_sights = tuple(s for _, s in sights_of(job.book))
    for number, sight in enumerate(all_sights):
        if sight.shot is not None:
            bound.setdefault(sight.shot, []).append(number)
    points = {s.id: s for s in job.shots}
    for shot_id, numbers in bound.items():
        if len(numbers) > 1:
            known = [z for n in numbers if (z := levels.sights[n].elevation_ft) is not None]
            yield finding(
                "shot_two_sights",
                _place(points.get(shot_id)),
                value=max(known) - min(known) if known else None,
                shot=shot_id,
                points=_listed(_name(all_sights[n].at, all_sights[n].id) for n in numbers),
            )
