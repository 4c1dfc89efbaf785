"""Earth: what is dug along every run, round every basin and for every dry well, once for all the lines that need it.

All runs are worked in one sweep over their stations, for speed: the review runs while a basin is being dragged.
"""

from itertools import accumulate

import numpy as np
from msgspec import Struct

from drainsketch.network.digging import trench_width_ft
from drainsketch.network.prisms import cut_area_ft2, dug_ft, pipe_in_layer_ft3
from drainsketch.network.results import Floats, Grade, Profile
from drainsketch.resources import table
from drainsketch.takeoff.pits import PitHole, pit_holes
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.works import RunWork, Works


class RunEarth(Struct, frozen=True):
    """What a run's trench is made of, outside the holes of basins and dry wells. Lengths in plan, ft; areas seen from the side, ft2."""

    work: RunWork
    dug_ft: float
    width_ft: float
    cut_ft2: float  # ground to trench bottom
    stone_ft2: float  # underside of the topsoil cap to trench bottom, where there is room for it
    pipe_ft3: float  # outside of the pipe: of a drain what lies in the stone, of a solid run what lies in the ground

    @property
    def trench_ft3(self) -> float:
        """Return the volume dug, ft3."""
        return self.cut_ft2 * self.width_ft

    @property
    def stone_ft3(self) -> float:
        """Return the room for stone, pipe included, ft3."""
        return self.stone_ft2 * self.width_ft

    @property
    def cap_ft3(self) -> float:
        """Return the room above the stone, ft3."""
        return (self.cut_ft2 - self.stone_ft2) * self.width_ft


class Hole(Struct, frozen=True):
    """The square hole a basin stands in."""

    structure_id: str
    stack: Stack
    size_in: int
    side_ft: float
    depth_ft: float
    body_ft3: float  # of the basin, below ground
    bed_ft3: float

    @property
    def dug_ft3(self) -> float:
        """Return the volume dug, ft3."""
        return self.side_ft**2 * self.depth_ft


class Earth(Struct, frozen=True):
    """All that is dug, in job order."""

    runs: tuple[RunEarth, ...]
    holes: tuple[Hole, ...]
    pits: tuple[PitHole, ...] = ()

    def inside_ft(self, work: RunWork) -> dict[str, float]:
        """Return how far a run lies within the holes at its ends, ft, by structure id; no entry where there is none."""
        return _inside_ft(work, {h.structure_id: h.side_ft / 2 for h in self.holes}, self.pits)

    def of_use(self, use: str) -> list[RunEarth]:
        """Return the runs of one use whose trench is open anywhere."""
        return [r for r in self.runs if r.work.run.use == use and r.cut_ft2 > 0]


def earth(works: Works, stood: dict[str, Stack]) -> Earth:
    """Return what is dug. Runs without a grade and basins without levels are left out.

    The trench is counted from hole to hole; a hole is as wide as the basin and 12 in, or as its widest trench, and as deep as
    the basin's bed or its deepest trench, whichever is more, and the pit of a dry well is as large as it is given: so no earth is
    counted twice. At a fitting the corner where trenches overlap is counted with each.
    """
    holes, pits = _holes(works, stood), pit_holes(works)
    dug = [(w, w.profile, w.grade) for w in works.runs if w.profile is not None and w.grade is not None]
    halves = {h.structure_id: h.side_ft / 2 for h in holes}
    return Earth(_run_earth(works, dug, [_inside_ft(w, halves, pits) for w, _, _ in dug]), holes, pits)


def _inside_ft(work: RunWork, half_hole_ft: dict[str, float], pits: tuple[PitHole, ...]) -> dict[str, float]:
    ends = ((work.downstream, work.points[::-1]), (work.upstream, work.points))
    found = {end: half_hole_ft[end] for end, _ in ends if end in half_hole_ft}
    for hole in pits:
        found |= {end: hole.pit.inside_ft(points) for end, points in ends if end == hole.structure_id}
    return found


def _holes(works: Works, stood: dict[str, Stack]) -> tuple[Hole, ...]:
    c, stock = works.job.criteria, table("catalogue/stock.toml")["basin"]
    found = []
    for name, stack in stood.items():
        size_in = stack.body.size_in
        ground_ft = works.levels[name].ground_ft
        side_ft = (size_in + stock["work_room_in"]) / 12
        for end in works.ends[name]:
            g = end.work.grade
            if g is not None:
                side_ft = max(side_ft, trench_width_ft(g.outside_in, c.trench_width_in))
        depth_ft = max(0.0, ground_ft - stack.dig_to_ft)
        body_ft = max(0.0, ground_ft - stack.bottom_ft)
        found.append(
            Hole(
                structure_id=name,
                stack=stack,
                size_in=size_in,
                side_ft=side_ft,
                depth_ft=depth_ft,
                body_ft3=(size_in / 12) ** 2 * body_ft,
                bed_ft3=side_ft**2 * (depth_ft - body_ft),
            )
        )
    return tuple(found)


def _run_earth(
    works: Works, dug: list[tuple[RunWork, Profile, Grade]], inside_ft: list[dict[str, float]]
) -> tuple[RunEarth, ...]:
    """Return the earth of each run from one sweep over the intervals between stations."""
    if not dug:
        return ()
    c = works.job.criteria
    cap_ft = c.topsoil_cap_in / 12
    counts = [len(p.station_ft) - 1 for _, p, _ in dug]
    width_ft = [trench_width_ft(g.outside_in, c.trench_width_in) for _, _, g in dug]
    per_run = np.array(
        [
            (
                inside.get(w.downstream, 0.0),
                w.plan_ft - inside.get(w.upstream, 0.0),
                g.slope,
                g.invert_down_ft,
                g.bottom_below_invert_ft,
                g.bottom_below_invert_ft - w.size.wall_in / 12 + (cap_ft if w.run.use == "drain" else 0.0),
                g.outside_in / 12,
            )
            for (w, _, g), inside in zip(dug, inside_ft, strict=True)
        ]
    )
    low, high, slope, level, below, over, outside = np.repeat(per_run.T, counts, axis=1)
    starts = list(accumulate(counts[:-1], initial=0))
    for start, count, (_, p, g) in zip(starts, counts, dug, strict=True):
        if g.breaks:  # each interval lies on the line of its own leg
            here = slice(start, start + count)
            slope[here], level[here] = g.lines_at((p.station_ft[:-1] + p.station_ft[1:]) / 2)
    station = (
        np.concatenate([p.station_ft[:-1] for _, p, _ in dug]),
        np.concatenate([p.station_ft[1:] for _, p, _ in dug]),
    )
    ground = np.concatenate([p.ground_ft[:-1] for _, p, _ in dug]), np.concatenate([p.ground_ft[1:] for _, p, _ in dug])
    cut = tuple(g - level + below - slope * s for g, s in zip(ground, station, strict=True))
    length, first, last = _clipped(station, cut, low, np.maximum(low, high))
    columns = (
        dug_ft(length, first, last),
        cut_area_ft2(length, first, last),
        cut_area_ft2(length, first - cap_ft, last - cap_ft),
        np.hypot(1.0, slope) * pipe_in_layer_ft3(length, first - over, last - over, outside),
    )
    sums = np.add.reduceat(np.stack(columns), starts, axis=1).T.tolist()
    return tuple(RunEarth(w, a, b, *rest) for (w, _, _), b, (a, *rest) in zip(dug, width_ft, sums, strict=True))


def _clipped(
    station: tuple[Floats, Floats], cut: tuple[Floats, ...], low: Floats, high: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return length and end cuts of each interval, kept between two stations."""
    (s0, s1), (c0, c1) = station, cut
    rise = (c1 - c0) / np.where(s1 > s0, s1 - s0, 1.0)
    a, b = np.clip(s0, low, high), np.clip(s1, low, high)
    return b - a, c0 + rise * (a - s0), c0 + rise * (b - s0)
