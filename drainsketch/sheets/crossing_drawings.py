"""Every crossing close up: a plan to scale, a section along the pipe, and where to find it and how to dig there."""

from collections.abc import Sequence
from itertools import pairwise
from math import dist, hypot
from typing import Any

import shapely
from msgspec import Struct
from reportlab.platypus import CondPageBreak, Flowable
from shapely import box

from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.look import SERVICE_LETTERS, STYLES
from drainsketch.network.digging import width_of_ft
from drainsketch.network.results import Crossing
from drainsketch.network.shapes import line_of
from drainsketch.review import Review
from drainsketch.sheets.boxes import Rect, Spot
from drainsketch.sheets.closeup import Window, cut_out, signs_in
from drainsketch.sheets.crossing_section import crossing_section
from drainsketch.sheets.detail_head import detail_head
from drainsketch.sheets.drafting import (
    LINE_PT,
    Panel,
    Piece,
    arrow,
    bounds,
    grid,
    line,
    lines_of_text,
    moved,
    rect,
)
from drainsketch.sheets.flags import crossing_levels
from drainsketch.sheets.fonts import measure_label
from drainsketch.sheets.labels import PlacedSign, place_labels
from drainsketch.sheets.marks import Band, Disc, Label, Mark, Sign, Stroke, is_pipe
from drainsketch.sheets.para import SMALL_STRONG, para
from drainsketch.sheets.plan_marks import plan_marks
from drainsketch.sheets.plan_page import sign_width
from drainsketch.sheets.scale import Scale, scale_bar
from drainsketch.sheets.signs import crossing_symbol
from drainsketch.sheets.stakes import corner_ties, corners_of_job, ties
from drainsketch.wording import Words

FEET_SCALE, METRIC_SCALE = Scale(4.0), Scale(50 / 12, metric=True)
WIDE_FT, HIGH_FT = 10.0, 8.0
GAP_PT = 14.0
Names = dict[int, list[str]]


def crossing_drawings(job: Job, review: Review, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return every crossing drawn close up, in the order of their flags; [] where nothing is crossed."""
    if not review.crossings:
        return []
    scale = METRIC_SCALE if words.units == "m" else FEET_SCALE
    marks = plan_marks(job, review, lang=words.lang)
    around = [m for m in (*marks.ground, *marks.drains) if not isinstance(m, Label)]
    panels = [_row(c, around, job, review, words, scale, width) for c in review.crossings]
    bar = scale_bar(scale)
    written = scale.text() if scale.metric else words.word("sheets.scale.feet", feet=scale.ft_per_in)
    said = words.word("details.crossings.scale", scale=written, length=words.measure(bar.check))
    first, *rest = grid(panels, 1, width, 0.0)
    return [
        CondPageBreak(first.height + 150.0),
        *detail_head("crossings", said, bar, words, names, width),
        para(words.word("details.crossings.caution"), SMALL_STRONG),
        first,
        *rest,
    ]


def _row(
    crossing: Crossing, around: Sequence[Mark], job: Job, review: Review, words: Words, scale: Scale, width: float
) -> Panel:
    """Return plan, section and facts of one crossing side by side under its title."""
    plan = _plan(crossing, around, job, review, words, scale)
    room = width - plan.width - GAP_PT
    section = crossing_section(crossing, review, words, plan.height, room * 0.62)
    facts_x = plan.width + GAP_PT + (section.width + GAP_PT if section is not None else 0.0)
    facts = _facts(crossing, job, review, words, width - facts_x)
    tall = max([plan.height, facts_height(facts), *([section.height] if section is not None else [])])
    other = words.name(crossing.other)
    kind = "run" if crossing.other_kind == "run" else "service"
    letter = SERVICE_LETTERS.get(crossing.other_kind, "")
    title = words.word(
        f"details.crossings.{kind}", number=crossing.number, run=crossing.run_id, other=other, letter=letter
    )
    head = lines_of_text(0.0, 0.0, title, width, bold=True, most=2)
    top = tall + 5.0 + LINE_PT * len(head)
    pieces: list[Piece] = [*moved(head, 0.0, top), *moved(plan.pieces, 0.0, tall - plan.height)]
    if section is not None:
        pieces += moved(section.pieces, plan.width + GAP_PT, tall - section.height)
    pieces += moved(facts, facts_x, tall)
    return Panel(tuple(pieces), width, top)


def facts_height(facts: Sequence[Piece]) -> float:
    """Return how far lines of text that begin at 0 reach down, pt."""
    return -bounds(facts)[1]


def _plan(crossing: Crossing, around: Sequence[Mark], job: Job, review: Review, words: Words, scale: Scale) -> Panel:
    """Return the plan about a crossing, north up: trench, hand-dig strip with its stations, and what lies there."""
    window = Window(crossing.point, WIDE_FT, HIGH_FT, scale)
    wide, high = window.size
    areas = [m for m in around if isinstance(m, Disc) or (isinstance(m, Stroke) and m.closed)]
    strips = [m for m in around if isinstance(m, Band)]
    lines = [m for m in around if isinstance(m, Stroke) and not m.closed]
    wide_ft = {r.id: width_of_ft(r, job.criteria) for r in job.runs}
    trench = [
        Band(m.points, wide_ft[m.owner], "pit") for m in lines if m.style.startswith("run.") and m.owner in wide_ft
    ]
    strips.sort(key=lambda m: m.style != "hand-dig zone")
    pieces: list[Piece] = [*cut_out([*areas, *strips, *trench, *lines], window)]
    ticks = _ticks(crossing, job, review)
    pieces += [p for a, b, _ in ticks for p in cut_out([Stroke((a, b), "frame")], window)]
    signs = [PlacedSign(m, window.to_paper(m.at)) for m in signs_in(around, window, 8.0)]
    symbol = crossing_symbol(crossing_levels(review).get(crossing.number, "note"))
    flag = PlacedSign(Sign(crossing.point, symbol, text=str(crossing.number)), window.to_paper(crossing.point))
    clear = [_around(s.at, sign_width(s.sign)) for s in (*signs, flag)]
    labels = place_labels(
        _labels(crossing, ticks, job, review, words, window),
        window.to_paper,
        measure_label,
        keep_clear=clear,
        bounds=(2.0, 2.0, wide - 2.0, high - 2.0),
        pipes=[(window.to_paper(a), window.to_paper(b)) for m in lines if is_pipe(m) for a, b in pairwise(m.points)],
    )
    north: list[Piece] = [
        line((wide - 9.0, high - 31.0), (wide - 9.0, high - 14.0)),
        arrow((wide - 9.0, high - 13.0), (wide - 9.0, high - 30.0)),
    ]
    frame = rect(0.0, 0.0, wide, high, STYLES["frame"])
    return Panel((*pieces, *signs, *labels, flag, *north, frame), wide, high)


def _around(spot: Spot, width: float) -> Rect:
    return spot[0] - width / 2, spot[1] - width / 2, spot[0] + width / 2, spot[1] + width / 2


def _ticks(crossing: Crossing, job: Job, review: Review) -> list[tuple[Point, Point, float]]:
    """Return the ends of the hand-dig stretch as ticks square across the trench, each with its station, ft."""
    course = review.plan.geometry.get(crossing.run_id)
    if course is None or crossing.other_kind == "run" or crossing.hand_dig_ft <= 0:
        return []
    run = next(r for r in job.runs if r.id == crossing.run_id)
    half = width_of_ft(run, job.criteria) / 2 + 0.25
    found = []
    for station in (crossing.hand_dig_from_ft, crossing.hand_dig_to_ft):
        down = course.length - station
        a, b = (course.interpolate(min(course.length, max(0.0, down + d))) for d in (-0.05, 0.05))
        long = hypot(b.x - a.x, b.y - a.y)
        if not long:
            continue
        x, y = (a.x + b.x) / 2, (a.y + b.y) / 2
        px, py = -(b.y - a.y) / long * half, (b.x - a.x) / long * half
        found.append(((x + px, y + py), (x - px, y - py), station))
    return found


def _labels(
    crossing: Crossing,
    ticks: Sequence[tuple[Point, Point, float]],
    job: Job,
    review: Review,
    words: Words,
    window: Window,
) -> list[Label]:
    """Return the words of a close-up: the stations of the hand-dig strip, runs, services by their letter, structures."""
    frame = box(*window.rect).buffer(-0.4)
    said = [Label(a, words.length(station), "dimension", rank=2, clear_pt=2.0) for a, _, station in ticks]
    for run_id, course in review.plan.geometry.items():
        said += _along(course, frame, run_id, "run", 1 if run_id in (crossing.run_id, crossing.other) else 4)
    for service in job.services:
        name = f"{SERVICE_LETTERS[service.kind]} {words.word(f'sheets.service.{service.kind}')}"
        said += _along(line_of(service.points), frame, name, "service", 1 if service.id == crossing.other else 4)
    said += [Label(s.point, s.id, "structure", rank=3) for s in job.structures if window.holds(s.point, 0.5)]
    return said


def _along(course: Any, frame: Any, name: str, lettering: str, rank: int) -> list[Label]:
    """Return a label along the longest leg of a line that is seen in a frame; none where hardly any is seen."""
    legs = [
        (dist(a, b), a, b)
        for part in shapely.get_parts(course.intersection(frame))
        if part.geom_type == "LineString"
        for a, b in pairwise(part.coords)
    ]
    long, a, b = max(legs, default=(0.0, (0.0, 0.0), (0.0, 0.0)))
    if long < 1.0:
        return []
    at = (a[0] + 0.22 * (b[0] - a[0]), a[1] + 0.22 * (b[1] - a[1]))
    return [Label(at, name, lettering, along=(a, b), rank=rank, clear_pt=5.0)]


def _facts(crossing: Crossing, job: Job, review: Review, words: Words, width: float) -> list[Piece]:
    """Return what the crew has to know at a crossing, as lines of text from the top down."""
    c, is_run = crossing, crossing.other_kind == "run"
    said: list[tuple[str, bool]] = []
    if not is_run and not c.seen:
        said.append((words.word("details.crossings.expose"), True))
    said.append((words.word("details.crossings.at", run=c.run_id, station=c.station_ft, angle=c.angle_deg), False))
    if not is_run:
        strip = words.word(
            "details.crossings.hand_dig", low=c.hand_dig_from_ft, high=c.hand_dig_to_ft, length=c.hand_dig_ft
        )
        said.append((strip, True))
    said += [(tie, False) for tie in _ties(c.point, job, words)]
    if not is_run:
        marks = words.word(f"details.color.{c.other_kind}")
        said.append((words.word("details.crossings.marks", color=marks, letter=SERVICE_LETTERS[c.other_kind]), False))
        known = words.word(f"sheets.known_by.{c.known_by}")
        said.append((words.word("details.crossings.known", known=known), False))
    if c.run_id not in review.workable:
        said.append((words.word("details.crossings.stopped"), True))
    elif c.clearance_ft is not None:
        if c.position == "meets":
            said.append((words.word("sheets.crossings.meets"), True))
        else:
            place = words.word(f"sheets.crossings.{c.position}")
            said.append(
                (words.word("details.crossings.clearance", clear=c.clearance_ft, place=place, need=c.need_ft), False)
            )
    pieces: list[Piece] = []
    y = 0.0
    for fact, bold in said:
        lines = lines_of_text(0.0, y, fact, width, bold=bold, most=4)
        pieces += lines
        y -= LINE_PT * len(lines) + 1.5
    return pieces


class _Stake(Struct, frozen=True):
    """A structure as a point to tape from."""

    id: str
    point: Point


def _ties(spot: Point, job: Job, words: Words) -> list[str]:
    """Return the tapes to a spot from two corners of buildings, or from structures where there are no two corners."""
    corners = corners_of_job(job)
    if len(corners) < 2:
        stakes = [_Stake(s.id, s.point) for s in job.structures]
        return [words.word("details.crossings.tie", length=off, fixed=stake.id) for stake, off in ties(spot, stakes)]
    return corner_ties(spot, corners, job, words)
