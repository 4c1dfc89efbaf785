"""From a job and its review to the marks of its plan; those of an unchanged thing are the same objects again."""

from collections.abc import Callable, Iterator, Sequence
from itertools import chain
from typing import Any, TypeVar

from drainsketch.job.ask import length_ft, run_points, structures_by_id
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Downspout, Heap, Job, Obstacle, Run, Shot
from drainsketch.review import Review
from drainsketch.sheets.drain_marks import (
    by_hand_marks,
    crossing_marks,
    finding_marks,
    hand_dig_marks,
    run_marks,
    structure_marks,
)
from drainsketch.sheets.flags import crossing_levels, flagged, named_by_warnings
from drainsketch.sheets.ground_marks import (
    boundary_marks,
    breakline_marks,
    downspout_marks,
    heap_marks,
    obstacle_marks,
    service_marks,
    shot_marks,
)
from drainsketch.sheets.laid_marks import belly_marks
from drainsketch.sheets.marks import Band, Disc, Mark, PlanMarks, Stroke
from drainsketch.wording import Words

M = TypeVar("M", bound=Mark)
NEAR_FT = 0.05
_AREAS_FIRST = ("other", "bed", "hardscape", "septic", "building", "fence", "tree", "well")


class MarkStore:
    """Marks of each thing, kept from one plan to the next while what they were made from stays equal.

    A layer of the plan in which nothing changed is the same tuple as before, so ``is`` tells a painter what to repaint.
    """

    def __init__(self) -> None:
        self._kept: dict[str, tuple[tuple[Any, ...], PlanMarks]] = {}
        self._fresh: dict[str, tuple[tuple[Any, ...], PlanMarks]] = {}
        self._parts: list[PlanMarks] = []
        self._plan = PlanMarks(ground=(), drains=(), flags=(), labels=())
        self._voice = ("", "")
        self._words = Words()

    def words(self, lang: str, units: Any) -> Words:
        """Return the words of this language and units; marks in other words are forgotten."""
        if self._voice != (lang, units):
            self._voice, self._words = (lang, units), Words(lang, units)
            self._kept, self._parts = {}, []
        return self._words

    def keep(self, key: str, inputs: tuple[Any, ...], make: Callable[..., PlanMarks]) -> PlanMarks:
        """Return the marks made from these inputs, made anew only when the inputs differ from last time's."""
        kept = self._kept.get(key)
        if kept is None or not _same(kept[0], inputs):
            kept = (inputs, make(*inputs))
        self._fresh[key] = kept
        return kept[1]

    def plan(self, parts: list[PlanMarks]) -> PlanMarks:
        """Return one plan of all parts, painting order kept."""
        self._kept, self._fresh = self._fresh, {}
        before, last = self._parts, self._plan
        self._parts = parts
        if _identical([p.ground for p in parts], [p.ground for p in before]):
            ground = last.ground
        else:
            ground = tuple(chain.from_iterable(p.ground for p in parts))
        drains = _settled(last.drains, sorted(chain.from_iterable(p.drains for p in parts), key=_depth_of))
        flags = _settled(last.flags, [m for p in parts for m in p.flags])
        labels = _settled(last.labels, [m for p in parts for m in p.labels])
        self._plan = PlanMarks(ground=ground, drains=drains, flags=flags, labels=labels)
        return self._plan


def plan_marks(job: Job, review: Review, store: MarkStore | None = None, lang: str = "en") -> PlanMarks:
    """Return what is drawn on the plan of a job.

    Parameters
    ----------
    review : the review of this job
    store : marks of an earlier plan to use again; it is brought up to date
    lang : language of the labels; their units are the job's
    """
    store = store or MarkStore()
    words = store.words(lang, job.header.units)
    return store.plan(
        [*_ground(job, review, store, words), *_drains(job, review, store, words), *_flags(review, store)]
    )


def _ground(job: Job, review: Review, store: MarkStore, words: Words) -> Iterator[PlanMarks]:
    def boundary(thing: Boundary) -> PlanMarks:
        return boundary_marks(thing, words)

    def obstacle(thing: Obstacle, _feet_per_in: float, is_named: bool) -> PlanMarks:
        return obstacle_marks(thing, job.criteria, words, is_named=is_named)

    def downspout(thing: Downspout) -> PlanMarks:
        return downspout_marks(thing, words)

    def heap(thing: Heap, words: Words, is_named: bool) -> PlanMarks:
        return heap_marks(thing, words, is_named=is_named)

    def shot(thing: Shot, level_ft: float | None) -> PlanMarks:
        return shot_marks(thing, level_ft, words)

    if job.boundary is not None:
        yield store.keep(job.boundary.id, (job.boundary,), boundary)
    root, named = job.criteria.root_zone_ft_per_in, named_by_warnings(review)
    on_top = _AREAS_FIRST.index("fence")
    obstacles = sorted(job.obstacles, key=lambda o: _AREAS_FIRST.index(o.kind))
    areas = [o for o in obstacles if _AREAS_FIRST.index(o.kind) < on_top]
    for thing in areas:
        yield store.keep(thing.id, (thing, root, thing.id in named), obstacle)
    for pile in job.heaps:  # over paving and beds, under trunks and fences
        yield store.keep(pile.id, (pile, words, pile.id in named), heap)
    for thing in obstacles[len(areas) :]:
        yield store.keep(thing.id, (thing, root, thing.id in named), obstacle)
    for spout in job.downspouts:
        yield store.keep(spout.id, (spout,), downspout)
    for breakline in job.breaklines:
        yield store.keep(breakline.id, (breakline, words), breakline_marks)
    levels = {s.id: s.elevation_ft for s in review.shots}
    for ground_shot in job.shots:
        yield store.keep(ground_shot.id, (ground_shot, levels.get(ground_shot.id)), shot)


def _drains(job: Job, review: Review, store: MarkStore, words: Words) -> Iterator[PlanMarks]:
    crossed = tuple(c.point for c in review.crossings if c.other_kind != "run")
    for service in job.services:
        yield store.keep(service.id, (service, words, crossed if service.exposed else ()), service_marks)
    structures = structures_by_id(job)
    flow, workable = {r.id: r for r in review.network.runs}, review.workable
    for run in job.runs:
        flowing = flow.get(run.id)
        if flowing is not None:
            points = flowing.points
        elif run.start in structures and run.end in structures:
            points = run_points(run, structures)
        else:
            continue
        inputs = (run, points, flowing is not None, workable.get(run.id), job.criteria, words)
        yield store.keep(run.id, inputs, _run)
    pits = review.pits
    for structure in job.structures:
        name = structure.id
        yield store.keep(name, (structure, review.levels.get(name), words, pits.get(name)), structure_marks)
    for laid in review.laid.values():
        if laid.bellies:
            yield store.keep(f"belly:{laid.run_id}", (laid, flow[laid.run_id], words), belly_marks)
    services, runs = {s.id: s for s in job.services}, {r.id: r for r in job.runs}
    levels = crossing_levels(review)
    for crossing in review.crossings:
        at, other, level = crossing.point, crossing.other, levels.get(crossing.number, "note")
        yield store.keep(f"crossing:{crossing.number}", (crossing.number, at, other, level), crossing_marks)
        if other in services:  # numbers shift when one is gone; the strip stays
            told = (at, services[other], runs[crossing.run_id], job.criteria)
            yield store.keep(f"hand-dig:{other}:{at}", told, hand_dig_marks)
    yield from _by_hand(job, review, store)


def _by_hand(job: Job, review: Review, store: MarkStore) -> Iterator[PlanMarks]:
    """Yield the stretches of trench beside a service; those across one have the strip over the service."""
    by_hand = review.plan.by_hand
    for run in job.runs:
        strips = [(c.hand_dig_from_ft, c.hand_dig_to_ft) for c in review.crossings if c.run_id == run.id]
        for low, high in by_hand.get(run.id, ()):
            if not any(a - NEAR_FT <= low and high <= b + NEAR_FT for a, b in strips):
                told_of = (run, review.plan.runs[run.id].course(low, high), job.criteria)
                yield store.keep(f"by hand:{run.id}:{low}", told_of, by_hand_marks)


def _run(run: Run, points: tuple[Point, ...], *rest: Any) -> PlanMarks:
    flowing, grade, criteria, words = rest
    return run_marks(
        run, points, flowing=flowing, length=length_ft(points), grade=grade, criteria=criteria, words=words
    )


def _flags(review: Review, store: MarkStore) -> Iterator[PlanMarks]:
    for finding, flag, has_sign in flagged(review):
        if has_sign:
            yield store.keep(f"warning:{flag}", (finding, flag), finding_marks)


def _depth_of(mark: Mark) -> int:
    """Sort key of what lies in the ground: strips of ground, services, pipe, then symbols."""
    if isinstance(mark, Band | Disc):
        return 0
    if isinstance(mark, Stroke):
        return 1 if mark.style.startswith("service.") else 2
    return 3


def _same(kept: tuple[Any, ...], inputs: tuple[Any, ...]) -> bool:
    return all(a is b or a == b for a, b in zip(kept, inputs, strict=True))


def _identical(a: Sequence[object], b: Sequence[object]) -> bool:
    return len(a) == len(b) and all(x is y for x, y in zip(a, b, strict=True))


def _settled(last: tuple[M, ...], now: list[M]) -> tuple[M, ...]:
    return last if _identical(last, now) else tuple(now)
