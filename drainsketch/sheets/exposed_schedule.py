"""The buried services as they were uncovered, for the record: where, how deep, and at what level."""

from math import dist

from drainsketch.job.model import Exposure, Job, Service
from drainsketch.review import Review
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.wording import Words

NEAR_FT = 2.0  # of a crossing: the hole is that of the crossing


def exposed_schedule(job: Job, review: Review, words: Words) -> Schedule | None:
    """Return a line for every place where a service was uncovered, with what was measured there; None while nothing was.

    What was measured as a depth gets its level from the ground there, and what was measured as a level its depth.
    """
    rows = tuple(_row(service, seen, review, words) for service in job.services for seen in service.exposed)
    if not rows:
        return None
    columns = schedule_columns(
        words,
        "exposed",
        ("service", 2.0, False),
        ("where", 2.0, False),
        ("depth", 1.0, True),
        ("level", 1.0, True),
        ("size", 0.9, True),
    )
    return Schedule(words.word("sheets.exposed.title"), columns, rows, words.word("sheets.exposed.note"), has_ids=False)


def _row(service: Service, seen: Exposure, review: Review, words: Words) -> tuple[str, ...]:
    ground = None
    if review.surface is not None:
        level, guess = review.surface.level_at(*seen.point)
        ground = None if guess else level
    depth, top = seen.depth_ft, seen.top_ft
    if depth is None and top is not None and ground is not None:
        depth = ground - top
    if top is None and depth is not None and ground is not None:
        top = ground - depth
    return (
        words.name(service.id),
        _where(service, seen, review, words),
        NONE if depth is None else words.length(depth),
        NONE if top is None else words.level(top),
        NONE if service.size_in is None else words.inches(service.size_in),
    )


def _where(service: Service, seen: Exposure, review: Review, words: Words) -> str:
    """Return where a hole is: at a crossing by run and station, else by east and north."""
    crossed = [c for c in review.crossings if c.other == service.id and dist(c.point, seen.point) <= NEAR_FT]
    if crossed:
        at = min(crossed, key=lambda c: dist(c.point, seen.point))
        return words.word("sheets.exposed.at_crossing", run=at.run_id, station=words.length(at.station_ft))
    east, north = (words.length(v) for v in seen.point)
    return words.word("sheets.exposed.at", east=east, north=north)
