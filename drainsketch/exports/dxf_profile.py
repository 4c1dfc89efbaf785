"""The profiles of all runs in the drawing, below the plan: true feet both ways, so that any length or level can be measured."""

from collections.abc import Iterator
from math import ceil, floor
from typing import Protocol

import shapely
from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.ask import extent
from drainsketch.job.kinds import Point
from drainsketch.job.model import Job
from drainsketch.network.results import Crossing, FlowRun, Grade, Profile
from drainsketch.review import Review
from drainsketch.wording import Words

GAP_FT = 10.0
LEAST_RADIUS_FT = 0.02  # of what is crossed, so that it can be seen
HEAD_FT = 4.0  # above a profile for its name
LAYERS = (
    *("profile frame", "profile ground", "profile invert", "profile top of pipe", "profile trench bottom"),
    *("profile structure", "profile crossing", "profile crossing may be off", "lettering profile"),
)


class Pen(Protocol):
    """What draws on the layers of the drawing."""

    words: Words

    def line(self, layer: str, points: tuple[Point, ...], closed: bool = False) -> None:
        """Draw a line, ft."""

    def circle(self, layer: str, center: Point, radius_ft: float) -> None:
        """Draw a circle, ft."""

    def text(self, about: str, at: Point, text: str, below: bool = False) -> None:
        """Write beside a point."""


class Frame(Struct, frozen=True):
    """Where a profile stands in the drawing: station 0 (the downstream end) and the level at its foot."""

    left_ft: float
    low_ft: float
    foot_level_ft: float

    def at(self, station_ft: float, level_ft: float) -> Point:
        """Return the place of a station and a level in the drawing, ft."""
        return self.left_ft + station_ft, self.low_ft + level_ft - self.foot_level_ft


def draw_profiles(pen: Pen, job: Job, review: Review) -> None:
    """Draw the profile of every run that has a grade, one below the other, the first ``GAP_FT`` below the plan.

    A foot along a run is a foot to the right from its downstream end; a foot of level is a foot up. The level at the foot of each
    frame is written beside it.
    """
    found = extent(job)
    if found is None:
        return
    top_ft = found[1] - GAP_FT
    for flow in review.network.runs:
        grade, profile = review.workable.get(flow.id), review.profiles.get(flow.id)
        if grade is None or profile is None:
            continue
        crossings = tuple(_met_by(review, flow.id))
        foot, head = _levels(grade, profile, crossings)
        frame = Frame(found[0], top_ft - HEAD_FT - (head - foot), foot)
        _draw(pen, job, flow, grade, profile, crossings, frame, head)
        top_ft = frame.low_ft - GAP_FT


def _levels(grade: Grade, profile: Profile, crossings: tuple[Crossing, ...]) -> tuple[float, float]:
    """Return whole feet of level below and above all that is drawn."""
    levels = [*profile.ground_ft.tolist()]
    levels += [z + off for _, z in grade.knots for off in (grade.top_above_invert_ft, -grade.bottom_below_invert_ft)]
    levels += [z for c in crossings for z in _reach(c)]
    return float(floor(min(levels))), float(ceil(max(levels)))


def _draw(
    pen: Pen,
    job: Job,
    flow: FlowRun,
    grade: Grade,
    profile: Profile,
    crossings: tuple[Crossing, ...],
    frame: Frame,
    head_ft: float,
) -> None:
    foot = frame.foot_level_ft
    corners = ((0.0, foot), (grade.length_ft, foot), (grade.length_ft, head_ft), (0.0, head_ft))
    pen.line("profile frame", tuple(frame.at(*c) for c in corners), closed=True)
    ground = zip(profile.station_ft.tolist(), profile.ground_ft.tolist(), strict=True)
    pen.line("profile ground", tuple(frame.at(s, z) for s, z in ground))
    for layer, above_ft in (
        ("profile invert", 0.0),
        ("profile top of pipe", grade.top_above_invert_ft),
        ("profile trench bottom", -grade.bottom_below_invert_ft),
    ):
        pen.line(layer, tuple(frame.at(s, z + above_ft) for s, z in grade.knots))
    words = pen.words
    name = f"{flow.id} {words.inches(_diameter_in(job, flow.id))}, {flow.upstream} to {flow.downstream}, {words.slope(grade.slope)}"
    pen.text("profile", frame.at(0.0, head_ft + 1.5), name)
    pen.text(
        "profile",
        frame.at(0.0, foot),
        f"station 0 at {flow.downstream}; level at the foot {words.level(foot)}",
        below=True,
    )
    for end, station_ft, invert_ft in (
        (flow.downstream, 0.0, grade.invert_down_ft),
        (flow.upstream, grade.length_ft, grade.invert_up_ft),
    ):
        pen.line("profile structure", (frame.at(station_ft, foot), frame.at(station_ft, head_ft)))
        pen.text("profile", frame.at(station_ft, invert_ft), f"{end} inv {words.level(invert_ft)}")
    for crossing in crossings:
        _draw_crossing(pen, crossing, frame)


def _draw_crossing(pen: Pen, crossing: Crossing, frame: Frame) -> None:
    """Draw what is crossed, as high as it is where its depth is known, and where not a line from the ground to the foot.

    A depth that may be off is said so, with a broken line over all levels it may lie at.
    """
    said = f"crossing {crossing.number}: {crossing.other}"
    top_ft, bottom_ft, at_ft = crossing.service_top_ft, crossing.service_bottom_ft, crossing.station_ft
    if crossing.service_error_ft:
        said += f", may be off {pen.words.length(crossing.service_error_ft)} up or down"
        pen.line("profile crossing may be off", tuple(frame.at(at_ft, z) for z in _reach(crossing)))
    if top_ft is not None and bottom_ft is not None:
        middle_ft = (top_ft + bottom_ft) / 2
        pen.circle("profile crossing", frame.at(at_ft, middle_ft), max(LEAST_RADIUS_FT, (top_ft - bottom_ft) / 2))
        pen.text("profile", frame.at(at_ft, middle_ft), said)
    elif crossing.ground_ft is not None:
        foot_ft = frame.foot_level_ft
        pen.line("profile crossing", (frame.at(at_ft, foot_ft), frame.at(at_ft, crossing.ground_ft)))
        pen.text("profile", frame.at(at_ft, foot_ft), f"{said}, depth unknown")


def _met_by(review: Review, run_id: str) -> Iterator[Crossing]:
    """Yield what a run crosses, another run that crosses it too."""
    line = review.plan.geometry[run_id]
    for c in review.crossings:
        if c.run_id == run_id:
            yield c
        elif c.other == run_id:
            station_ft = line.length - line.project(shapely.Point(c.point))
            levels = {"service_top_ft": c.pipe_top_ft, "service_bottom_ft": c.pipe_bottom_ft}
            yield replace(c, run_id=run_id, other=c.run_id, station_ft=station_ft, **levels)


def _reach(crossing: Crossing) -> tuple[float, ...]:
    """Return the lowest and the highest level at which what is crossed may lie; nothing where its depth is unknown."""
    if crossing.service_top_ft is None or crossing.service_bottom_ft is None:
        return ()
    off_ft = crossing.service_error_ft or 0.0
    return crossing.service_bottom_ft - off_ft, crossing.service_top_ft + off_ft


def _diameter_in(job: Job, run_id: str) -> float:
    return float(next(r.diameter_in for r in job.runs if r.id == run_id))
