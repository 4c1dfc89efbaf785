"""Openings of basins: where each pipe goes through the wall, and whether the body takes it."""

from typing import Literal

from msgspec import Struct

from drainsketch.findings import Finding, Place, finding
from drainsketch.job.bearings import azimuth_deg
from drainsketch.takeoff.stacks import SLACK_IN, Stack
from drainsketch.takeoff.works import PipeEnd, Works

Part = Literal["body", "riser", "joint"]


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

    The hole is as wide as the pipe's outside; where it lies across the top of the body it goes through a joint.
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
    return Opening(
        run=end.work.run.id,
        leaving=end.leaving,
        diameter_in=end.work.run.diameter_in,
        above_floor_in=(invert_ft - stack.bottom_ft) * 12,
        part=part,
        azimuth_deg=azimuth_deg(*end.away),
    )


def opening_findings(works: Works, stood: dict[str, Stack], holes: dict[str, tuple[Opening, ...]]) -> list[Finding]:
    """Return basins with more pipes than openings, with pipe too large for them, and holes across a joint."""
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
        across = tuple(o.run for o in pipes if o.part == "joint")
        if across and stack.risers_in:
            found.append(finding("opening_at_joint", place, structure=name, runs=across))
    return found
