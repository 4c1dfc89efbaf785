"""What a storm that was played comes to, in a few figures for people."""

from typing import Literal

import numpy as np
from msgspec import Struct

from drainsketch.ground.ponding import GALLONS_PER_FT3
from drainsketch.ground.results import Floats
from drainsketch.job.model import Job
from drainsketch.network.results import Network
from drainsketch.water.results import Water
from drainsketch.water.storm.results import Played, Storm

SHOWS_FT2 = 2.0  # common practice, no source: less water than a footprint is none
LEAST_OUT_GAL = 1.0  # common practice, no source: less out of a grate is a splash


class Standing(Struct, frozen=True):
    """How much water stood on the ground at the worst, when, and for how long any did; what was left when the playing ended.

    Minutes are from the first rain; ``stood_min`` is how long more than a footprint of ground was under a quarter inch or more.
    """

    row: int
    minute: float
    area_ft2: float
    depth_ft: float
    gallons: float
    stood_min: float
    left_gallons: float
    still: bool  # water still stands at the end


def standing_of(played: Played) -> Standing:
    """Return how water stood on the ground while a storm was played."""
    volume, area = played.volumes_ft3(), played.areas_ft2()
    worst = int(volume.argmax())
    wet = area > SHOWS_FT2
    steps = np.diff(played.minute, append=played.minute[-1])
    depth = played.depth_ft(worst)
    return Standing(
        row=worst,
        minute=float(played.minute[worst]),
        area_ft2=float(area[worst]) if wet[worst] else 0.0,
        depth_ft=float(depth.max(initial=0.0)) if wet[worst] else 0.0,
        gallons=float(volume[worst]) * GALLONS_PER_FT3 if wet[worst] else 0.0,
        stood_min=float(steps[wet].sum()),
        left_gallons=float(volume[-1]) * GALLONS_PER_FT3 if wet[-1] else 0.0,
        still=bool(wet[-1]),
    )


def came_out_of(played: Played) -> dict[str, float]:
    """Return how much water came out at each grate and dry well while a storm was played, gallons; but for less than a gallon.

    What comes out and goes in again counts as often as it comes out. Check: tests/water/storm/test_facts.py
    """
    seconds = 60 * np.diff(played.minute, prepend=played.minute[0])  # a flow is the mean of the time up to its moment
    out = seconds @ np.maximum(-played.takes_cfs, 0.0) * GALLONS_PER_FT3
    return {name: v for name, v in zip(played.structures, out.tolist(), strict=True) if v >= LEAST_OUT_GAL}


class Trace(Struct, frozen=True):
    """One line of a hydrograph: what it shows, in 'cfs' or 'ft', over the moments of the playing."""

    what: str  # arrives, takes, passes, level, rim, flow, filled, leaves, spills, stands, rain
    unit: str
    values: tuple[float, ...]


def traces_of(storm: Storm, its_id: str) -> tuple[Trace, ...]:
    """Return the hydrographs of a structure, a run or an outfall with the drains; none where it had no part in the storm."""
    p = storm.after
    out = []

    def add(what: str, unit: str, column: Floats) -> None:
        out.append(Trace(what, unit, tuple(column.tolist())))

    if its_id in p.structures:
        n = p.structures.index(its_id)
        add("arrives", "cfs", p.arrives_cfs[:, n])
        add("takes", "cfs", p.takes_cfs[:, n])
        add("passes", "cfs", p.passes_cfs[:, n])
        add("level", "ft", p.level_ft[:, n])
    if its_id in p.runs:
        n = p.runs.index(its_id)
        add("flow", "cfs", p.flow_cfs[:, n])
        add("filled", "", p.filled[:, n])
    if its_id in p.outfalls:
        add("leaves", "cfs", p.leaves_cfs[:, p.outfalls.index(its_id)])
    return tuple(out)


class Caveat(Struct, frozen=True):
    """What has to be known of a storm that was played, and of which structures it is so.

    'not_played': a run below has no workable grade. 'typed_area': it stands in place of the ground with the drains, and today's ground
    knows nothing of it. 'comes_out': the review of the peak has water come out there, with all peaks at once and nothing held back.
    """

    kind: Literal["not_played", "typed_area", "comes_out"]
    ids: tuple[str, ...]


def caveats_of(job: Job, network: Network, water: Water, storm: Storm) -> tuple[Caveat, ...]:
    """Return what has to be known of a storm that was played.

    Check: tests/water/storm/test_caveats.py
    """
    typed = {s.id for s in job.structures if s.area_ft2 is not None} if storm.before is not None else set()
    found = (
        Caveat("not_played", tuple(i for i in network.inlets if i not in storm.after.structures)),
        Caveat("typed_area", tuple(i for i in storm.after.structures if i in typed)),
        Caveat("comes_out", tuple(s.id for s in job.structures if s.id in water.over)),
    )
    return tuple(c for c in found if c.ids)
