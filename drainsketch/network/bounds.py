"""Bounds: the levels and slopes that ground, rims, pipe and criteria allow, for one network."""

from functools import cached_property
from typing import Any

import numpy as np
import shapely

from drainsketch.ground.surface import Surface
from drainsketch.job.ask import structures_by_id
from drainsketch.job.limits import Criteria
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.pipes import PipeSize, pipe_size
from drainsketch.network.digging import hole_side_ft, trench_width_ft
from drainsketch.network.legs import Leg, Lie, legs_of
from drainsketch.network.meetings import Meeting
from drainsketch.network.results import Bools, FlowRun, Network, Profile
from drainsketch.network.shapes import shape_of

OPEN_AIR = ("daylight", "curb")  # outfalls where the pipe comes out of the ground


class Bounds:
    """The levels that the ground and the rims allow, for one network. ``ground`` and ``rim`` by structure id, ft.

    Parameters
    ----------
    meetings, geometry, surface : crossings in plan, shapely lines of the runs by id, and the ground: with them a grade keeps
        clear of what it crosses
    before : bounds made earlier; what follows from the same objects is taken over
    """

    def __init__(
        self,
        job: Job,
        network: Network,
        profiles: dict[str, Profile],
        ground: dict[str, float],
        meetings: tuple[Meeting, ...] = (),
        geometry: dict[str, Any] | None = None,
        surface: Surface | None = None,
        before: "Bounds | None" = None,
    ) -> None:
        self.job = job
        self.meetings = meetings
        self.network = network
        self.profiles = profiles
        self.geometry = geometry or {}
        self.surface = surface
        self.structures = structures_by_id(job)
        self.runs = {r.id: r for r in job.runs}
        self.flows = {f.id: f for f in network.runs}
        self.ground = ground
        self.rim = {s.id: s.rim_ft if s.rim_ft is not None else ground[s.id] for s in job.structures}
        self.open_air_ft = _from_open_air(network, self.structures)
        self._drives: tuple[shapely.Geometry, ...]
        self._on_drive: dict[str, tuple[Profile, Bools | None]] = {}
        self._legs: dict[str, tuple[Profile, Run, tuple[float, ...], tuple[Leg, ...]]] = {}
        if before is not None and before.job.obstacles is job.obstacles:
            self._drives, self._on_drive = before._drives, dict(before._on_drive)
            if before.job.criteria == job.criteria and before.job.sections.solid_bed_in == job.sections.solid_bed_in:
                self._legs = dict(before._legs)
        else:
            self._drives = _drives(job)

    def size(self, run_id: str) -> PipeSize:
        """Return the pipe of a run."""
        return self._sizes[run_id]

    @cached_property
    def _sizes(self) -> dict[str, PipeSize]:
        kinds = {(r.pipe, r.diameter_in) for r in self.job.runs}
        sizes = {kind: pipe_size(*kind) for kind in kinds}
        return {r.id: sizes[r.pipe, r.diameter_in] for r in self.job.runs}

    def top_ft(self, run_id: str) -> float:
        """Return the height of the outside top of a run's pipe above its invert, ft."""
        size = self._sizes[run_id]
        return (size.inside_in + size.wall_in) / 12

    def below_ft(self, run_id: str) -> float:
        """Return the depth of the trench bottom below the invert, ft: pipe wall, and the stone bed under it."""
        is_drain = self.runs[run_id].use == "drain"
        bed_in = self.job.criteria.stone_bed_in if is_drain else self.job.sections.solid_bed_in
        return (self.size(run_id).wall_in + bed_in) / 12

    def width_ft(self, run_id: str) -> float:
        """Return the width of a run's trench, ft."""
        return trench_width_ft(self.size(run_id).outside_in, self.job.criteria.trench_width_in)

    def slopes(self, run_id: str) -> tuple[float, float]:
        """Return the least and the greatest slope of a run, ft/ft."""
        return self._slopes[run_id]

    @cached_property
    def _slopes(self) -> dict[str, tuple[float, float]]:
        return {r.id: slope_limits(r, self.job.criteria) for r in self.job.runs}

    def cover_ft(self, run_id: str) -> float:
        """Return the least cover of a run away from drives, ft."""
        return cover_in(self.runs[run_id], self.job.criteria) / 12

    def breaks(self, run_id: str) -> bool:
        """Return whether a run may change slope at its bends: asked for, and of flexible pipe."""
        return self.runs[run_id].grade_breaks and self.size(run_id).flexible

    def taper_to_ft(self, flow: FlowRun) -> float:
        """Return the station below which no cover is asked, ft."""
        return max(0.0, self.job.criteria.outfall_taper_ft - self.open_air_ft.get(flow.downstream, np.inf))

    def highest_out_ft(self, structure: Structure, run_id: str) -> float:
        """Return the highest invert with which a pipe can leave a structure: its top no higher than ground and rim."""
        return min(self.ground[structure.id], self.rim[structure.id]) - self.top_ft(run_id)

    @cached_property
    def hole_ft(self) -> dict[str, float]:
        """Return the side of the hole at each structure, ft, by id; 0 where there is none."""
        widest: dict[str, float] = {}
        for flow in self.network.runs:
            width_ft = self.width_ft(flow.id)
            for end in (flow.upstream, flow.downstream):
                widest[end] = max(width_ft, widest.get(end, 0.0))
        return {name: hole_side_ft(self.structures[name], width_ft) for name, width_ft in widest.items()}

    def on_drive(self, run_id: str) -> Bools | None:
        """Return (n,) whether each station of a run lies under a drive; None where none does."""
        if not self._drives:
            return None
        profile = self.profiles[run_id]
        kept = self._on_drive.get(run_id)
        if kept is None or kept[0] is not profile:
            mask: Bools = np.zeros(len(profile.x_ft), dtype=bool)
            for drive in self._drives:
                mask |= shapely.intersects_xy(drive, profile.x_ft, profile.y_ft)
            kept = self._on_drive[run_id] = (profile, mask if mask.any() else None)
        return kept[1]

    def legs(self, flow: FlowRun) -> tuple[Leg, ...]:
        """Return the legs of a run, from its downstream end up; the same objects while nothing they follow from changes."""
        profile, run = self.profiles[flow.id], self.runs[flow.id]
        places = (self.taper_to_ft(flow), self.hole_ft[flow.downstream] / 2, self.hole_ft[flow.upstream] / 2)
        kept = self._legs.get(flow.id)
        if kept is None or kept[0] is not profile or kept[1] != run or kept[2] != places:
            made = legs_of(flow, profile, self.on_drive(flow.id), self._lie(flow, *places))
            kept = self._legs[flow.id] = (profile, run, places, made)
        return kept[3]

    def _lie(self, flow: FlowRun, taper_to_ft: float, below_ft: float, above_ft: float) -> Lie:
        return Lie(
            top_ft=self.top_ft(flow.id),
            below_ft=self.below_ft(flow.id),
            width_ft=self.width_ft(flow.id),
            cover_ft=self.cover_ft(flow.id),
            drive_cover_ft=self.job.criteria.min_cover_drive_in / 12,
            taper_to_ft=taper_to_ft,
            dug=(below_ft, flow.length_ft - above_ft),
            breaks=self.breaks(flow.id),
        )


def _drives(job: Job) -> tuple[shapely.Geometry, ...]:
    drives = tuple(shape_of(o) for o in job.obstacles if o.kind == "hardscape" and o.drive)
    for drive in drives:
        shapely.prepare(drive)
    return drives


def _from_open_air(network: Network, structures: dict[str, Structure]) -> dict[str, float]:
    """Return how far each structure is from a daylight or curb outfall along the pipe, ft; others are left out."""
    far = {o: 0.0 for o in network.outfalls if (structures[o].outfall or "daylight") in OPEN_AIR}
    for flow in reversed(network.runs):
        if flow.downstream in far:
            far[flow.upstream] = min(far.get(flow.upstream, np.inf), far[flow.downstream] + flow.length_ft)
    return far


def slope_limits(run: Run, criteria: Criteria) -> tuple[float, float]:
    """Return the least and the greatest slope of a run, ft/ft.

    A rule for its pipe kind and size stands before one for its kind, that before the job's own; the least slope of the run
    itself stands before all. The greatest is never below the least.

    Source: definition. Check: tests/network/test_slope_rules.py
    """
    least, greatest = criteria.min_slope, criteria.max_slope
    rules = [r for r in criteria.slope_rules if r.pipe == run.pipe and r.diameter_in in (None, run.diameter_in)]
    if rules:
        rule = max(rules, key=lambda r: r.diameter_in is not None)
        least, greatest = rule.min_slope, rule.max_slope
    if run.min_slope is not None:
        least = run.min_slope
    return least, max(least, greatest)


def least_slopes(job: Job) -> dict[str, float]:
    """Return the least slope of every run, ft/ft, by id."""
    return {r.id: slope_limits(r, job.criteria)[0] for r in job.runs}


def cover_in(run: Run, criteria: Criteria) -> float:
    """Return the least cover of a run away from drives, in."""
    return criteria.min_cover_in if run.min_cover_in is None else run.min_cover_in


def pinned_ft(run: Run, flow: FlowRun, end: str) -> float | None:
    """Return the level a run is pinned at, at its 'up' or 'down' end; None when free."""
    return run.start_invert_ft if (end == "up") == flow.drawn_downhill else run.end_invert_ft


def fixed_level(structure: Structure, ground_ft: float) -> float | None:
    """Return the invert a structure is held at: its pin, or the ground where pipe comes out into the open; None when free."""
    if structure.invert_ft is not None:
        return structure.invert_ft
    opens = structure.kind == "outfall" and (structure.outfall or "daylight") in OPEN_AIR
    return ground_ft if opens else None
