"""The way of the water that a profile shows: runs strung together, outfall first. Picked from the review, not computed."""

from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property

import numpy as np
from msgspec import Struct

from drainsketch.job.ask import structures_by_id, thing
from drainsketch.job.kinds import Point
from drainsketch.job.model import Run, Structure
from drainsketch.network.bounds import pinned_ft
from drainsketch.network.results import Crossing, Floats, FlowRun, Grade, InletPath, Profile, StructureLevels
from drainsketch.review import Review
from drainsketch.sheets.flags import crossing_levels, flagged
from drainsketch.sheets.signs import crossing_symbol
from drainsketch.takeoff.stacks import Stack


class Leg(Struct, frozen=True, dict=True):
    """One run of the path; its station 0 lies at ``from_ft`` of the path. ``flow`` is None where it reaches no outfall."""

    from_ft: float
    run: Run
    flow: FlowRun | None
    profile: Profile
    grade: Grade | None
    by_hand: tuple[tuple[float, float], ...] = ()  # stations of the run

    @property
    def to_ft(self) -> float:
        """Return the station of its upstream end, ft."""
        return self.from_ft + (float(self.profile.station_ft[-1]) if len(self.profile.station_ft) else 0.0)

    @cached_property
    def inverts_ft(self) -> Floats | None:
        """Return the invert at every station of its ground line, ft."""
        return None if self.grade is None else self.grade.inverts_at(self.profile.station_ft)


class Post(Struct, frozen=True):
    """A structure of the path at its station."""

    at_ft: float
    structure: Structure
    levels: StructureLevels | None
    pinned: bool = False  # an invert there was typed, not placed by the program
    stack: Stack | None = None  # of a basin

    @property
    def id(self) -> str:
        """Return its id."""
        return self.structure.id

    @property
    def kind(self) -> str:
        """Return what kind of structure it is."""
        return self.structure.kind

    @property
    def lowest_ft(self) -> float | None:
        """Return the lowest invert of the pipes at it, ft."""
        if self.levels is None:
            return None
        inverts = [z for _, z in self.levels.inverts_in]
        out = self.levels.invert_out_ft
        return min([*inverts, *([] if out is None else [out])], default=None)


class Warned(Struct, frozen=True):
    """A warning of the review at its station, with the letter it has on the plan."""

    at_ft: float
    letter: str
    level: str
    kind: str


class Pathway(Struct, frozen=True, dict=True):
    """What is drawn: stations count from the outfall (or the downstream end) up.

    ``water`` is the hydraulic grade line at the peak of the storm, as (station, level, whether it is above the rims) in ft; empty
    while nobody worked it out. ``laid`` are
    the inverts shot on the laid pipe: (station, level, whether it is within the tolerance); ``bellies`` where water would stand in it:
    (from, to, level).
    """

    title: str
    length_ft: float
    legs: tuple[Leg, ...]
    posts: tuple[Post, ...]
    crossings: tuple[tuple[float, Crossing, str], ...]  # station, crossing, symbol of its flag
    inlet: str = ""
    warned: tuple[Warned, ...] = ()
    water: tuple[tuple[float, float, bool], ...] = ()
    laid: tuple[tuple[float, float, bool], ...] = ()
    bellies: tuple[tuple[float, float, float], ...] = ()

    def leg_at(self, station_ft: float) -> Leg | None:
        """Return the run at a station; at a structure the one upstream of it."""
        below = [leg for leg in self.legs if leg.from_ft <= station_ft + 1e-9]
        return below[-1] if below and len(below[-1].profile.station_ft) else None

    def place_at(self, station_ft: float) -> Point | None:
        """Return the plan point of a station."""
        leg = self.leg_at(station_ft)
        if leg is None:
            return None
        p, s = leg.profile, station_ft - leg.from_ft
        return float(np.interp(s, p.station_ft, p.x_ft)), float(np.interp(s, p.station_ft, p.y_ft))

    def station_of(self, point: Point, reach_ft: float) -> float | None:
        """Return the station nearest to a plan point; None where the path is farther off than ``reach_ft``."""
        x, y, station = self._places
        if len(x) < 2:
            return None
        dx, dy = np.diff(x), np.diff(y)
        long = np.maximum(dx * dx + dy * dy, 1e-12)
        t = np.clip(((point[0] - x[:-1]) * dx + (point[1] - y[:-1]) * dy) / long, 0.0, 1.0)
        off = np.hypot(x[:-1] + t * dx - point[0], y[:-1] + t * dy - point[1])
        at = int(off.argmin())
        if off[at] > reach_ft:
            return None
        return float(station[at] + t[at] * (station[at + 1] - station[at]))

    @cached_property
    def _places(self) -> tuple[Floats, Floats, Floats]:
        if not self.legs:
            return np.zeros(0), np.zeros(0), np.zeros(0)
        profiles = [leg.profile for leg in self.legs]
        station = np.concatenate([leg.profile.station_ft + leg.from_ft for leg in self.legs])
        return np.concatenate([p.x_ft for p in profiles]), np.concatenate([p.y_ft for p in profiles]), station

    @cached_property
    def extremes(self) -> tuple[Floats, Floats, Floats]:
        """Return (station, lowest, highest) of all that has to fit into the picture, ft."""
        rows = np.array(list(_extremes(self)), dtype=float).reshape(-1, 3)
        order = np.argsort(rows[:, 0], kind="stable")
        return rows[order, 0], rows[order, 1], rows[order, 2]


def pathway(review: Review, selection: tuple[str, ...], inlet: str = "") -> Pathway | None:
    """Return the path from an inlet, or that of what is selected: of the inlet, or the longest one through the run or structure.

    With nothing on a path selected it is the longest path of the job; None when there is none with a ground line.

    Parameters
    ----------
    inlet : the path to show, whatever is selected; '' follows the selection
    """
    for chosen in (inlet, *selection) if inlet else selection:
        through = [p for p in review.paths if p.inlet == chosen] or [
            p for p in review.paths if chosen in _on(review, p)
        ]
        if through:
            return _strung(review, max(through, key=lambda p: p.length_ft))
        if isinstance(thing(review.job, chosen), Run) and chosen in review.profiles:
            return _of_runs(review, (chosen,), f"Run {chosen}, which reaches no outfall")
    longest = max(review.paths, key=lambda p: p.length_ft, default=None)
    return None if longest is None else _strung(review, longest)


def way_along(review: Review, run_ids: tuple[str, ...]) -> Pathway | None:
    """Return the path along some runs, upstream first; None when one of them has no ground line.

    Its stations count from the downstream end of the last of them.
    """
    return _of_runs(review, run_ids, "")


def _on(review: Review, path: InletPath) -> set[str]:
    ends = {end for r in review.network.runs if r.id in path.run_ids for end in (r.upstream, r.downstream)}
    crossed = {c.other for c in review.crossings if c.run_id in path.run_ids}
    return {path.inlet, path.outfall, *path.run_ids, *ends, *crossed}


def _strung(review: Review, path: InletPath) -> Pathway | None:
    return _of_runs(review, path.run_ids, f"{path.inlet} to {path.outfall}", path.inlet)


def _of_runs(review: Review, run_ids: tuple[str, ...], title: str, inlet: str = "") -> Pathway | None:
    """String the runs together from the last (at the outfall) up; None when one has no ground line."""
    if any(i not in review.profiles for i in run_ids):
        return None
    flows = {r.id: r for r in review.network.runs if r.id in run_ids}
    runs = {r.id: r for r in review.job.runs if r.id in run_ids}
    structures = structures_by_id(review.job)
    at_ft = 0.0
    legs: list[Leg] = []
    posts: list[Post] = []
    for run_id in reversed(run_ids):
        flow = flows.get(run_id)
        by_hand = review.plan.runs[run_id].by_hand
        leg = Leg(at_ft, runs[run_id], flow, review.profiles[run_id], review.grades.get(run_id), by_hand)
        if flow is not None and not posts:
            posts.append(_post(review, structures[flow.downstream], at_ft))
        legs.append(leg)
        at_ft = leg.to_ft
        if flow is not None:
            posts.append(_post(review, structures[flow.upstream], at_ft))
    starts = {leg.run.id: leg.from_ft for leg in legs}
    stood = {post.id: post.at_ft for post in posts}
    return Pathway(
        title=title,
        length_ft=at_ft,
        legs=tuple(legs),
        posts=tuple(posts),
        crossings=tuple(_crossings(review, starts)),
        inlet=inlet,
        warned=tuple(_warned(review, starts, stood)),
        laid=tuple(
            (starts[run_id] + p.station_ft, p.invert_ft, p.ok)
            for run_id in reversed(run_ids)
            if run_id in review.laid
            for p in review.laid[run_id].points
        ),
        bellies=tuple(
            (starts[run_id] + b.from_ft, starts[run_id] + b.to_ft, b.level_ft)
            for run_id in reversed(run_ids)
            if run_id in review.laid
            for b in review.laid[run_id].bellies
        ),
    )


def _post(review: Review, structure: Structure, at_ft: float) -> Post:
    flows = {f.id: f for f in review.network.runs}
    pinned = structure.invert_ft is not None or any(
        (f := flows.get(r.id)) is not None
        and pinned_ft(r, f, "up" if f.upstream == structure.id else "down") is not None
        for r in review.job.runs
        if structure.id in (r.start, r.end)
    )
    return Post(at_ft, structure, review.levels.get(structure.id), pinned, review.stacks.get(structure.id))


def _crossings(review: Review, starts: dict[str, float]) -> Iterator[tuple[float, Crossing, str]]:
    levels = crossing_levels(review)
    met: dict[str, list[Crossing]] = defaultdict(list)
    for crossing in review.crossings:
        met[crossing.run_id].append(crossing)
    for run_id, from_ft in starts.items():
        for c in met[run_id]:
            yield from_ft + c.station_ft, c, crossing_symbol(levels.get(c.number, "note"))


def _warned(review: Review, starts: dict[str, float], stood: dict[str, float]) -> Iterator[Warned]:
    """Yield the warnings that have a sign of their own on the plan and lie on the path."""
    for finding, letter, has_sign in flagged(review):
        if not has_sign:
            continue
        ids = finding.place.ids
        run = next((i for i in ids if i in starts), None)
        post = next((i for i in ids if i in stood), None)
        if run is not None and finding.place.station_ft is not None:
            at_ft = starts[run] + finding.place.station_ft
        elif post is not None and ids[0] not in starts:
            at_ft = stood[post]
        elif run is not None:
            leg_ft = float(review.profiles[run].station_ft[-1])
            at_ft = starts[run] + leg_ft / 2
        else:
            continue
        yield Warned(at_ft, letter, finding.level, finding.kind)


def _extremes(path: Pathway) -> Iterator[tuple[float, float, float]]:
    for leg in path.legs:
        ground = leg.profile.ground_ft
        low, high = ground, ground
        if leg.grade is not None and leg.inverts_ft is not None:
            low = np.minimum(ground, leg.inverts_ft - leg.grade.bottom_below_invert_ft)
            high = np.maximum(ground, leg.inverts_ft + leg.grade.top_above_invert_ft)
        yield from zip((leg.profile.station_ft + leg.from_ft).tolist(), low.tolist(), high.tolist(), strict=True)
    for post in path.posts:
        if post.levels is not None:
            bed_ft = post.levels.rim_ft if post.stack is None else post.stack.dig_to_ft
            lowest_ft = bed_ft if post.lowest_ft is None else min(bed_ft, post.lowest_ft)
            yield post.at_ft, lowest_ft, post.levels.rim_ft
    for at_ft, crossing, _ in path.crossings:
        if crossing.service_bottom_ft is not None and crossing.service_top_ft is not None:
            off = crossing.service_error_ft or 0.0
            yield at_ft, crossing.service_bottom_ft - off, crossing.service_top_ft + off
    for at_ft, level, _ in (*path.water, *path.laid):
        yield at_ft, level, level
