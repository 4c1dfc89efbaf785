"""The owner's before and after: the yard in the storm as it is today and with the drains, each when most water stands."""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.ground.pools import pool_rings
from drainsketch.ground.results import GroundStudy, Ring
from drainsketch.job.model import Job
from drainsketch.job.rates import format_duration
from drainsketch.look import WATER_SHADES
from drainsketch.sheets.ground_marks import RANK_SERVICE
from drainsketch.sheets.marks import Label, Mark, PlanMarks
from drainsketch.sheets.storm_words import depth_said_in, source_words, standing_words
from drainsketch.sheets.water_marks import LEAST_DEPTH_FT, is_filled
from drainsketch.water.storm.facts import Standing, standing_of
from drainsketch.water.storm.results import Played, Storm
from drainsketch.wording import Words


class Pool(Struct, frozen=True):
    """Ground under water of one shade: deeper than one step of ``look.WATER_SHADES``, less deep than the next.

    ``outer`` is the waterline, () of all shades but the palest.
    """

    rings: tuple[Ring, ...]
    shade: int
    outer: tuple[Ring, ...] = ()


class Side(Struct, frozen=True):
    """One of the two plans. ``marks.ground`` lies under the water, ``marks.drains`` over it."""

    title: str
    marks: PlanMarks
    pools: tuple[Pool, ...]


class Pair(Struct, frozen=True):
    """Both plans, and what is said of them in plain words."""

    title: str
    today: Side
    drained: Side
    said: tuple[str, ...]
    caution: str

    @property
    def shades(self) -> tuple[int, ...]:
        """The shades of water on either plan, the palest first."""
        return tuple(sorted({p.shade for side in (self.today, self.drained) for p in side.pools}))


def pair_of(job: Job, owners: PlanMarks, ground: GroundStudy | None, storm: Storm | None, words: Words) -> Pair | None:
    """Return the before and after of a job; None where there is no storm, no ground, no pipe that drains, or water stands nowhere.

    Parameters
    ----------
    owners : the marks of the owner's plan, without water
    """
    if ground is None or storm is None or storm.before is None or not storm.after.runs:
        return None
    today, drained = standing_of(storm.before), standing_of(storm.after)
    if not today.area_ft2 and not drained.area_ft2:
        return None

    def side(key: str, played: Played, standing: Standing, marks: PlanMarks) -> Side:
        pools = tuple(_pools(ground, played, standing.row)) if standing.area_ft2 else ()
        labels = tuple(_depths(played, standing.row, words)) if standing.area_ft2 else ()
        marks = replace(marks, labels=(*marks.labels, *labels))
        return Side(_title(key, standing, words), marks, pools)

    brimful = ("brimful",) if any(p.depth_ft >= LEAST_DEPTH_FT for p in ground.ponds_now) else ()
    return Pair(
        title=words.word("sheets.pair.title"),
        today=side("today", storm.before, today, _yard(job, owners, drains=False)),
        drained=side("drained", storm.after, drained, _yard(job, owners, drains=True)),
        said=(
            source_words(job, words),
            standing_words("today", storm.before, job, words),
            standing_words("drained", storm.after, job, words),
        ),
        caution=" ".join(words.word(f"sheets.pair.{key}") for key in (*brimful, "caution")),
    )


def _yard(job: Job, owners: PlanMarks, *, drains: bool) -> PlanMarks:
    """Return what is on the ground under areas of water and over them, with the new pipe or without; no services, and few words."""
    areas = tuple(m for m in owners.ground if is_filled(m))
    rest: tuple[Mark, ...] = tuple(m for m in owners.ground if not is_filled(m))
    named = {o.id for o in job.obstacles if o.kind != "tree"}
    if drains:
        services = {s.id for s in job.services}
        rest += tuple(m for m in owners.drains if m.owner not in services)
        named |= {s.id for s in job.structures}
    labels = tuple(label for label in owners.labels if label.owner in named)
    return PlanMarks(ground=areas, drains=rest, flags=(), labels=labels)


def _pools(ground: GroundStudy, played: Played, row: int) -> Iterator[Pool]:
    """Yield the water that stands in low ground at a moment, shade by shade."""
    for members, level in played.waters(row):
        cells = np.concatenate([played.hollows[n].cells for n in members])
        steps = [pool_rings(ground, cells, level, deep) for deep, _ in WATER_SHADES]
        for shade, (rings, deeper) in enumerate(zip(steps, [*steps[1:], ()], strict=True)):
            if rings:
                yield Pool((*rings, *deeper), shade, rings if shade == 0 else ())


def _depths(played: Played, row: int, words: Words) -> Iterator[Label]:
    """Yield how deep water stands in each hollow at a moment; a puddle gets no words."""
    for hollow, deep_ft in zip(played.hollows, played.depth_ft(row).tolist(), strict=True):
        if deep_ft >= LEAST_DEPTH_FT:
            text = words.word("sheets.pair.deep", depth=depth_said_in(deep_ft))
            yield Label(at=hollow.low_point, text=text, lettering="water", rank=RANK_SERVICE, clear_pt=0.0)


def _title(key: str, standing: Standing, words: Words) -> str:
    side = words.word(f"sheets.pair.{key}")
    if not standing.area_ft2:
        return words.word("sheets.pair.dry", side=side)
    return words.word("sheets.pair.worst", side=side, time=format_duration(round(standing.minute)))
