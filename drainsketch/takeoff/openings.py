"""Openings of basins: where each pipe goes through the wall, and whether the body takes it."""

from typing import Literal

from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.bearings import azimuth_deg
from drainsketch.network.downhill import SLACK_FT
from drainsketch.takeoff.stacks import SLACK_IN, Stack
from drainsketch.takeoff.works import PipeEnd, Works

Part = Literal["body", "riser", "joint", "above"]


class Opening(Struct, frozen=True):
    """A hole for one pipe: how high its invert is above the basin's floor, in which piece, and toward where (azimuth)."""

    run: str
    leaving: bool
    diameter_in: int
    above_floor_in: float
    part: Part
    azimuth_deg: float


def openings(works: Works, stood: dict[str, Stack]) -> dict[str, tuple[Opening, ...]]:
    """Return the openings of every basin whose stack is known, lowest first.

    The hole is as wide as the pipe's outside; where it lies across the top of the body it goes through a joint, and
    where no riser stands there it comes out above the body.
    Source: arithmetic. Check: tests/takeoff/test_openings.py
    """
    return {
        name: tuple(
            sorted((_opening(stack, end) for end in works.ends[name] if end.work.grade), key=lambda o: o.above_floor_in)
        )
        for name, stack in stood.items()
    }


def _opening(stack: Stack, end: PipeEnd) -> Opening:
    grade = end.work.grade
    assert grade is not None  # the caller leaves those out
    invert_ft = grade.invert_up_ft if end.leaving else grade.invert_down_ft
    low_ft = invert_ft + grade.top_above_invert_ft - grade.outside_in / 12
    high_ft = invert_ft + grade.top_above_invert_ft
    joint_ft = stack.body_top_ft
    slack_ft = SLACK_IN / 12
    part: Part = "body" if high_ft <= joint_ft + slack_ft else "riser" if low_ft >= joint_ft - slack_ft else "joint"
    if part != "body" and not stack.risers_in:
        part = "above"
    return Opening(
        run=end.work.run.id,
        leaving=end.leaving,
        diameter_in=end.work.run.diameter_in,
        above_floor_in=(invert_ft - stack.bottom_ft) * 12,
        part=part,
        azimuth_deg=azimuth_deg(*end.away),
    )


def opening_findings(works: Works, stood: dict[str, Stack], holes: dict[str, tuple[Opening, ...]]) -> list[Finding]:
    """Return basins with more pipes than openings, pipe too large for them or up in the grate, and holes across a joint."""
    found = []
    for name, stack in stood.items():
        place = Place(ids=(name,), point=works.structures[name].point)
        body, pipes = stack.body, holes[name]
        if len(pipes) > body.openings:
            found.append(
                finding(
                    "basin_openings", place, value=len(pipes), limit=body.openings, structure=name, size=body.size_in
                )
            )
        largest = max(pipes, key=lambda o: o.diameter_in, default=None)
        if largest is not None and largest.diameter_in > body.largest_pipe_in:
            found.append(
                finding(
                    "pipe_over_opening",
                    place,
                    value=float(largest.diameter_in),
                    limit=float(body.largest_pipe_in),
                    structure=name,
                    run=largest.run,
                    size=body.size_in,
                )
            )
        found += _under_grate(works, stack, name, place)
        across = tuple(o.run for o in pipes if o.part == "joint")
        if across and stack.risers_in:
            found.append(finding("opening_at_joint", place, structure=name, runs=across))
    return found


def _under_grate(works: Works, stack: Stack, name: str, place: Place) -> list[Finding]:
    """Return the highest pipe at a basin, when it reaches up into the grate; one above the rim is told as such elsewhere."""
    tops = [
        (
            (e.work.grade.invert_up_ft if e.leaving else e.work.grade.invert_down_ft)
            + e.work.grade.top_above_invert_ft,
            e,
        )
        for e in works.ends[name]
        if e.work.grade is not None
    ]
    top_ft, end = max(tops, key=lambda t: t[0])
    over_in = (top_ft - stack.grate_bottom_ft) * 12
    if over_in <= SLACK_IN or top_ft > works.levels[name].rim_ft + SLACK_FT:
        return []
    above_floor_in = (top_ft - stack.bottom_ft) * 12
    return [
        finding(
            "pipe_in_grate",
            Place(ids=(name, end.work.run.id), point=place.point),
            value=above_floor_in,
            limit=above_floor_in - over_in,
            structure=name,
            run=end.work.run.id,
            over=over_in,
        )
    ]
