"""Setting out: where structures and bends stand, by plan coordinates and by tape from the corners of buildings."""

from collections.abc import Sequence
from itertools import combinations
from math import acos, atan2, degrees, dist
from typing import Protocol, TypeVar

from msgspec import Struct

from drainsketch.job.kinds import Point
from drainsketch.job.model import Job, Obstacle
from drainsketch.network.results import FlowRun
from drainsketch.review import Review
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.sheets.text import LABEL_LENGTH, plain
from drainsketch.wording import Words

# a corner may be called by a direction when it reaches farther that way than every other by this much
CLEAR_FT = 0.5
DIRECTIONS: tuple[tuple[str, float, float], ...] = (
    ("ne", 1, 1),
    ("nw", -1, 1),
    ("se", 1, -1),
    ("sw", -1, -1),
    ("n", 0, 1),
    ("s", 0, -1),
    ("e", 1, 0),
    ("w", -1, 0),
)
# two arcs that cross at less than this angle leave the spot uncertain; common practice, no source
LEAST_ANGLE_DEG = 30.0
NEAREST = 8  # corners tried


class Corner(Struct, frozen=True):
    """A corner of a building with the direction it is called by."""

    building: Obstacle
    direction: str
    point: Point


class _HasPoint(Protocol):
    @property
    def point(self) -> Point: ...


Fixed = TypeVar("Fixed", bound=_HasPoint)


def corners_of(building: Obstacle) -> tuple[Corner, ...]:
    """Return the corners of a building that a direction names without doubt, each once."""
    named: dict[Point, str] = {}
    for direction, east, north in DIRECTIONS:
        reach = sorted({(p[0] * east + p[1] * north, p) for p in building.points}, reverse=True)
        if len(reach) > 1 and reach[0][0] - reach[1][0] >= CLEAR_FT:
            named.setdefault(reach[0][1], direction)
    return tuple(Corner(building, direction, point) for point, direction in named.items())


def ties(spot: Point, corners: Sequence[Fixed]) -> tuple[tuple[Fixed, float], ...]:
    """Return the two corners, or other fixed points, to tape a spot from, nearest first, with the level distances, ft; fewer when there are fewer.

    Of the nearest corners it is the nearest pair whose tapes cross at a good angle, if there is one.
    """
    near = sorted(((c, dist(spot, c.point)) for c in corners), key=lambda pair: pair[1])[:NEAREST]
    pairs = sorted(combinations(near, 2), key=lambda pair: pair[0][1] + pair[1][1])
    good = (p for p in pairs if LEAST_ANGLE_DEG <= _angle(spot, p[0][0].point, p[1][0].point) <= 180 - LEAST_ANGLE_DEG)
    return next(good, tuple(near[:2]))


def _angle(at: Point, one: Point, other: Point) -> float:
    """Return the angle at a spot between two points, degrees; 0 when the spot is one of them."""
    a, b = dist(at, one), dist(at, other)
    if a == 0.0 or b == 0.0:
        return 0.0
    cosine = ((one[0] - at[0]) * (other[0] - at[0]) + (one[1] - at[1]) * (other[1] - at[1])) / (a * b)
    return degrees(acos(max(-1.0, min(1.0, cosine))))


class Bend(Struct, frozen=True):
    """A bend of a run: its number counted downstream, station from the downstream end, turn to the right, degrees."""

    run: str
    number: int
    point: Point
    station_ft: float
    turn_deg: float


def bends_of(flow: FlowRun) -> tuple[Bend, ...]:
    """Return the bends of a run in the direction of flow."""
    found, behind = [], 0.0
    points = flow.points
    for number in range(1, len(points) - 1):
        before, at, after = points[number - 1], points[number], points[number + 1]
        behind += dist(before, at)
        coming = atan2(at[1] - before[1], at[0] - before[0])
        leaving = atan2(after[1] - at[1], after[0] - at[0])
        turn = (degrees(coming - leaving) + 180.0) % 360.0 - 180.0
        found.append(Bend(flow.id, number, at, flow.length_ft - behind, turn))
    return tuple(found)


def stake_schedule(job: Job, words: Words) -> Schedule:
    """Return where every structure stands: east, north, and tapes from two corners of buildings."""
    corners = corners_of_job(job)
    rows = tuple((s.id, *_place(s.point, corners, job, words)) for s in job.structures)
    columns = schedule_columns(
        words, "stakes", ("id", 0.7, False), ("east", 1.0, True), ("north", 1.0, True), ("tie", 2.8, False)
    )
    columns = (*columns, columns[-1])
    return Schedule(words.word("sheets.stakes.title"), columns, rows, _note(job, words))


def bend_schedule(job: Job, review: Review, words: Words) -> Schedule:
    """Return where every bend of a run stands, how far it turns, and the invert there."""
    corners = corners_of_job(job)
    rows, grades = [], review.workable
    for bend in (b for flow in review.network.runs for b in bends_of(flow)):
        grade = grades.get(bend.run)
        side = words.word(f"sheets.bends.{'right' if bend.turn_deg > 0 else 'left'}")
        rows.append(
            (
                f"{bend.run}-{bend.number}",
                words.length(bend.station_ft),
                f"{abs(bend.turn_deg):.0f}° {side}",
                words.level(grade.invert_at(bend.station_ft)) if grade else NONE,
                *_place(bend.point, corners, job, words),
            )
        )
    columns = schedule_columns(
        words,
        "bends",
        ("id", 0.8, False),
        ("station", 1.0, True),
        ("turn", 0.9, True),
        ("invert", 0.8, True),
        ("east", 1.0, True),
        ("north", 1.0, True),
        ("tie", 2.2, False),
    )
    columns = (*columns, columns[-1])
    return Schedule(words.word("sheets.bends.title"), columns, tuple(rows), words.word("sheets.bends.note"))


def corners_of_job(job: Job) -> tuple[Corner, ...]:
    """Return the corners of all buildings that a direction names without doubt."""
    return tuple(c for o in job.obstacles if o.kind == "building" for c in corners_of(o))


def corner_ties(spot: Point, corners: Sequence[Corner], job: Job, words: Words) -> list[str]:
    """Return the tapes to a spot from two corners of buildings, in words."""
    return [
        words.word(
            "sheets.stakes.from",
            length=words.length(off),
            corner=words.word(f"sheets.stakes.{corner.direction}"),
            building=called(corner.building, job, words),
        )
        for corner, off in ties(spot, corners)
    ]


def _place(spot: Point, corners: Sequence[Corner], job: Job, words: Words) -> tuple[str, str, str, str]:
    said = corner_ties(spot, corners, job, words)
    one, two = [*said, NONE, NONE][:2]
    return words.length(spot[0]), words.length(spot[1]), one, two


def called(building: Obstacle, job: Job, words: Words) -> str:
    """Return what a building is called: its name, with its id where another has the same."""
    name = plain(building.name, LABEL_LENGTH)
    alike = [o for o in job.obstacles if o.kind == "building" and plain(o.name, LABEL_LENGTH) == name]
    if len(alike) > 1:
        return words.name(building.id)
    return name or words.word("sheets.obstacle.building")


def _note(job: Job, words: Words) -> str:
    """Return what the figures mean, and where the plan's origin is by a corner of the lot."""
    said = words.word("sheets.stakes.note")
    if job.boundary is None:
        return said
    east, north = min(job.boundary.points, key=lambda p: (p[0] + p[1], p))
    return f"{said} {words.word('sheets.stakes.origin', east=words.length(east), north=words.length(north))}"
