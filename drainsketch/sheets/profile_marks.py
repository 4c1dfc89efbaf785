"""What is drawn in a profile, as data: window and paper paint the same marks.

The points of strokes, signs and labels are (station along the path, elevation), ft. Styles, symbols and letterings are names
from ``look.py``.
"""

from collections.abc import Container, Iterator
from itertools import groupby

import numpy as np
from msgspec import Struct

from drainsketch.job.model import Job
from drainsketch.job.units import format_slope
from drainsketch.look import LEVEL_SIGNS, SERVICE_LETTERS
from drainsketch.network.results import Crossing, Floats
from drainsketch.review import Review
from drainsketch.sheets.marks import Label, Sign, Stroke
from drainsketch.sheets.pathway import Leg, Pathway
from drainsketch.sheets.profile_stacks import Column, column_of
from drainsketch.takeoff.cover import Paving
from drainsketch.takeoff.layering import layering
from drainsketch.wording import Words

LAYER_FT = 1e-6  # a layer that is thinner is none
DEEP_FT = 200.0  # of the earth below the highest ground: past the foot of every picture


class Section(Struct, frozen=True):
    """A pipe or service cut across: its top and bottom, how far it may be off, and its width along the station axis, ft.

    Levels are None where its depth is not known. ``letter`` is that of its kind; '' for drain pipe.
    """

    at_ft: float
    top_ft: float | None
    bottom_ft: float | None
    error_ft: float
    width_ft: float
    kind: str
    letter: str


class ProfileMarks(Struct, frozen=True):
    """The marks of a profile in painting order."""

    ground: tuple[Stroke, ...]  # earth, hand-dig zones, trench, pipe
    columns: tuple[Column, ...]
    lines: tuple[Stroke, ...]  # the ground line and whatever must stay visible over structures
    sections: tuple[Section, ...]
    laid: tuple[tuple[float, float, bool], ...]  # inverts shot on the laid pipe: station, level, within the tolerance
    flags: tuple[Sign, ...]
    labels: tuple[Label, ...]


def profile_marks(path: Pathway, review: Review, words: Words) -> ProfileMarks:
    """Return what is drawn of a path.

    Parameters
    ----------
    review : the review the path was picked from
    words : language and units of the labels
    """
    job = review.job
    paving = Paving(job.obstacles, job.sections)
    columns = tuple(c for post in path.posts if (c := column_of(post)) is not None)
    return ProfileMarks(
        ground=(*_earth(path), *_zones(path), *(m for leg in path.legs for m in _trench(leg, job, paving))),
        columns=columns,
        lines=(*(m for leg in path.legs for m in _ground_lines(leg)), *_levels_told(path)),
        sections=(*_branches(path, review), *(_section(s, c) for s, c, _ in path.crossings)),
        laid=path.laid,
        flags=(*_crossing_flags(path), *_warning_flags(path)),
        labels=(*_names(path, words), *_slopes(path, review.workable), *_inverts(path, words), *_services(path, words)),
    )


def _along(leg: Leg, level: Floats) -> tuple[tuple[float, float], ...]:
    return tuple(zip((leg.profile.station_ft + leg.from_ft).tolist(), level.tolist(), strict=True))


def _between(
    top: tuple[tuple[float, float], ...], bottom: tuple[tuple[float, float], ...], style: str, owner: str
) -> Stroke:
    return Stroke(points=(*top, *reversed(bottom)), style=style, owner=owner, closed=True)


def _earth(path: Pathway) -> Iterator[Stroke]:
    top = tuple(p for leg in path.legs for p in _along(leg, leg.profile.ground_ft))
    if len(top) > 1:
        foot = max(z for _, z in top) - DEEP_FT
        yield Stroke(points=(*top, (top[-1][0], foot), (top[0][0], foot)), style="earth", closed=True)


def _zones(path: Pathway) -> Iterator[Stroke]:
    """Yield the stretches of trench that are dug by hand, from the ground to the trench bottom."""
    for leg in path.legs:
        if leg.grade is None:
            continue
        for low, high in leg.by_hand:
            inside = leg.profile.station_ft[(leg.profile.station_ft > low) & (leg.profile.station_ft < high)]
            s = np.array([low, *inside, high])
            top = np.interp(s, leg.profile.station_ft, leg.profile.ground_ft)
            bottom = np.minimum(top, leg.grade.inverts_at(s) - leg.grade.bottom_below_invert_ft)
            yield _between(_pairs(leg, s, top), _pairs(leg, s, bottom), "hand-dig zone", leg.run.id)


def _pairs(leg: Leg, s: Floats, z: Floats) -> tuple[tuple[float, float], ...]:
    return tuple(zip((s + leg.from_ft).tolist(), z.tolist(), strict=True))


def _trench(leg: Leg, job: Job, paving: Paving) -> Iterator[Stroke]:
    """Yield what lies over the fill, the stone, the trench bottom, and the pipe with its walls.

    Topsoil over a drain, base course and surfacing under paving; stone as high as the takeoff counts it.
    """
    grade = leg.grade
    if grade is None:
        return
    owner = leg.run.id
    line = leg.flow.points[::-1] if leg.flow is not None else ()
    at = layering(job, leg.run, leg.profile, grade, paving.stretches(line))
    top, under, stone, bottom = (
        _pairs(leg, at.station_ft, z)
        for z in (np.maximum(at.ground_ft, at.bottom_ft), at.under_cover_ft, at.stone_top_ft, at.bottom_ft)
    )
    if (at.ground_ft - at.under_cover_ft > LAYER_FT).any():
        yield _between(top, under, "topsoil cap", owner)
    if (at.stone_top_ft - at.bottom_ft > LAYER_FT).any():
        yield _between(stone, bottom, "stone band", owner)
    knots = grade.knots
    yield _shifted(leg, knots, -grade.bottom_below_invert_ft, "trench line")
    top = tuple((leg.from_ft + s, z + grade.top_above_invert_ft) for s, z in knots)
    under = tuple((leg.from_ft + s, z + grade.top_above_invert_ft - grade.outside_in / 12) for s, z in knots)
    yield _between(top, under, "pipe wall", owner)
    yield _shifted(leg, knots, 0.0, "pipe inside")
    yield _shifted(leg, knots, grade.inside_in / 12, "pipe inside")


def _shifted(leg: Leg, knots: tuple[tuple[float, float], ...], by_ft: float, style: str) -> Stroke:
    return Stroke(points=tuple((leg.from_ft + s, z + by_ft) for s, z in knots), style=style, owner=leg.run.id)


def _ground_lines(leg: Leg) -> Iterator[Stroke]:
    """Yield the ground, broken where it is a guess."""
    points = _along(leg, leg.profile.ground_ft)
    guess = (leg.profile.guess[:-1] | leg.profile.guess[1:]).tolist()
    start = 0
    for at in range(1, len(guess) + 1):
        if at == len(guess) or guess[at] != guess[start]:
            yield Stroke(points=points[start : at + 1], style="ground guess" if guess[start] else "ground line")
            start = at


def _levels_told(path: Pathway) -> Iterator[Stroke]:
    """Yield the water of a storm, the pipe as laid, and the water that would stand in it."""
    for over, stretch in groupby(path.water, key=lambda point: point[2]):
        points = tuple((s, z) for s, z, _ in stretch)
        if len(points) > 1:
            yield Stroke(points=points, style="grade line.over" if over else "grade line")
    for leg in path.legs:
        points = tuple((s, z) for s, z, _ in path.laid if leg.from_ft <= s <= leg.to_ft)
        if len(points) > 1:
            yield Stroke(points=points, style="laid pipe", owner=leg.run.id)
    for low, high, level in path.bellies:
        yield Stroke(points=((low, level), (high, level)), style="belly")


def _section(at_ft: float, crossing: Crossing) -> Section:
    """Return a service, or the pipe of another run, where it crosses."""
    top, bottom = crossing.service_top_ft, crossing.service_bottom_ft
    size_ft = 0.0 if top is None or bottom is None else top - bottom
    skew = max(0.17, float(np.sin(np.radians(crossing.angle_deg))))
    letter = SERVICE_LETTERS.get(crossing.other_kind, "")
    return Section(at_ft, top, bottom, crossing.service_error_ft or 0.0, size_ft / skew, crossing.other_kind, letter)


def _branches(path: Pathway, review: Review) -> Iterator[Section]:
    """Yield the pipes that arrive at the path's structures from aside."""
    own = {leg.run.id for leg in path.legs}
    for post in path.posts:
        for run_id, invert in post.levels.inverts_in if post.levels is not None else ():
            grade = review.grades.get(run_id)
            if run_id not in own and grade is not None:
                top = invert + grade.top_above_invert_ft
                size_ft = grade.outside_in / 12
                yield Section(post.at_ft, top, top - size_ft, 0.0, size_ft, "branch", "")


def _crossing_flags(path: Pathway) -> Iterator[Sign]:
    for at_ft, c, symbol in path.crossings:
        level = c.service_top_ft if c.service_top_ft is not None else c.ground_ft
        if level is not None:
            yield Sign(at=(at_ft, level), symbol=symbol, owner=c.other, text=str(c.number))


def _warning_flags(path: Pathway) -> Iterator[Sign]:
    for warned in path.warned:
        leg = path.leg_at(warned.at_ft)
        if leg is not None:
            ground = float(np.interp(warned.at_ft - leg.from_ft, leg.profile.station_ft, leg.profile.ground_ft))
            yield Sign(at=(warned.at_ft, ground), symbol=LEVEL_SIGNS[warned.level], text=warned.letter)


def _names(path: Pathway, words: Words) -> Iterator[Label]:
    """Yield the ids of the structures over their rims; both ends first, which say where water comes from and goes."""
    ends = (path.posts[0], path.posts[-1]) if path.posts else ()
    for post in path.posts:
        if post.levels is not None:
            at = (post.at_ft, max(post.levels.rim_ft, post.levels.ground_ft))
            yield Label(at=at, text=post.id, lettering="structure", owner=post.id, rank=5 if post in ends else 6)


def _slopes(path: Pathway, workable: Container[str]) -> Iterator[Label]:
    """Yield the slope of every stretch of straight grade that can be dug, along it."""
    for leg in (leg for leg in path.legs if leg.run.id in workable):
        start = leg.from_ft
        for length_ft, slope in leg.grade.legs if leg.grade is not None else ():
            a = (start, leg.grade.invert_at(start - leg.from_ft) if leg.grade is not None else 0.0)
            start += length_ft
            b = (start, a[1] + slope * length_ft)
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            text = format_slope(slope)
            yield Label(at=middle, text=text, lettering="run", owner=leg.run.id, along=(a, b), rank=7, clear_pt=9.0)


def _inverts(path: Pathway, words: Words) -> Iterator[Label]:
    """Yield the lowest invert at every structure, or that it has none."""
    for post in path.posts:
        if post.levels is not None and post.lowest_ft is not None:
            lost, invert = words.word("sheets.plan.no_invert"), words.level(post.lowest_ft)
            text = lost if post.levels.no_invert else words.word("sheets.plan.invert", level=invert)
            yield Label(at=(post.at_ft, post.lowest_ft), text=text, lettering="level", owner=post.id, rank=9)


def _services(path: Pathway, words: Words) -> Iterator[Label]:
    """Yield the letters of the services, and words where no depth is known."""
    for at_ft, c, _ in path.crossings:
        letter = SERVICE_LETTERS.get(c.other_kind, c.other)
        if c.service_bottom_ft is not None:
            yield Label(at=(at_ft, c.service_bottom_ft), text=letter, lettering="service", owner=c.other, rank=6)
        elif c.pipe_bottom_ft is not None:
            text = f"{letter} {words.word('sheets.plan.depth_unknown')}"
            yield Label(at=(at_ft, c.pipe_bottom_ft), text=text, lettering="service", owner=c.other, rank=8)
