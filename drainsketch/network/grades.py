"""Grades: inverts that hold cover and least slope with the least digging.

Pinned inverts stay where the user put them. The others come from a linear program over the inverts at both ends of every run
(straight grade between structures), maximizing trench-weighted invert height, that is least excavation along the whole
stationed profile. Where no grade exists, the least breach is taken and what gave is reported.
"""

import numpy as np

from drainsketch.job.ask import structures_by_id
from drainsketch.job.model import Job, Run, Structure
from drainsketch.job.pipes import PipeSize, pipe_size
from drainsketch.network.meetings import Meeting
from drainsketch.network.profiles import lower_hull
from drainsketch.network.program import Program, Row, solve
from drainsketch.network.results import FlowRun, Grade, Network, Profile, Shortfall

OPEN_AIR = ("daylight", "curb")  # outfalls where the pipe comes out of the ground
TOLERANCE_FT = 1e-6
SHORT_FT = 1e-4  # less than any level can be shot or dug to
MAKE_GOOD_FT = 1 / 12  # pipe this little out of the ground near an outfall is graded over


class Bounds:
    """The levels that the ground and the rims allow, for one network. ``ground`` and ``rim`` by structure id, ft."""

    def __init__(
        self,
        job: Job,
        network: Network,
        profiles: dict[str, Profile],
        ground: dict[str, float],
        meetings: tuple[Meeting, ...] = (),
    ) -> None:
        self.job = job
        self.meetings = meetings
        self.network = network
        self.profiles = profiles
        self.structures = structures_by_id(job)
        self.runs = {r.id: r for r in job.runs}
        self.ground = ground
        self.rim = {s.id: s.rim_ft if s.rim_ft is not None else ground[s.id] for s in job.structures}
        self.open_air_ft = _from_open_air(network, self.structures)

    def size(self, run_id: str) -> PipeSize:
        """Return the pipe of a run."""
        run = self.runs[run_id]
        return pipe_size(run.pipe, run.diameter_in)

    def top_ft(self, run_id: str) -> float:
        """Return the height of the outside top of a run's pipe above its invert, ft."""
        size = self.size(run_id)
        return (size.inside_in + size.wall_in) / 12

    def below_ft(self, run_id: str) -> float:
        """Return the depth of the trench bottom below the invert, ft: pipe wall, and the stone bed of a drain."""
        bed_in = self.job.criteria.stone_bed_in if self.runs[run_id].use == "drain" else 0.0
        return (self.size(run_id).wall_in + bed_in) / 12

    def taper_to_ft(self, flow: FlowRun) -> float:
        """Return the station below which no cover is asked, ft."""
        return max(0.0, self.job.criteria.outfall_taper_ft - self.open_air_ft.get(flow.downstream, np.inf))

    def highest_out_ft(self, structure: Structure, run_id: str) -> float:
        """Return the highest invert with which a pipe can leave a structure: its top no higher than ground and rim."""
        return min(self.ground[structure.id], self.rim[structure.id]) - self.top_ft(run_id)


def _from_open_air(network: Network, structures: dict[str, Structure]) -> dict[str, float]:
    """Return how far each structure is from a daylight or curb outfall along the pipe, ft; others are left out."""
    far = {o: 0.0 for o in network.outfalls if (structures[o].outfall or "daylight") in OPEN_AIR}
    for flow in reversed(network.runs):
        if flow.downstream in far:
            far[flow.upstream] = min(far.get(flow.upstream, np.inf), far[flow.downstream] + flow.length_ft)
    return far


def place_inverts(bounds: Bounds) -> tuple[dict[str, tuple[float, float]], tuple[Shortfall, ...]]:
    """Return (up, down) inverts by run id, ft, and the structures whose water cannot leave.

    Limits: straight grade between structures; a tie-in or curb without a measured level is left free, or at the ground.
    Source: linear programming, least excavation of vertical-sided trenches (definition).
    Check: tests/network/test_grades.py (closed forms, a search over a fine grid) and tests/network/test_independent_grades.py (a
    second program written from the definition).
    """
    if not bounds.network.runs:
        return {}, ()
    program = _program(bounds)
    answer = solve(program)
    inverts = {f.id: (answer.values[f"up {f.id}"], answer.values[f"down {f.id}"]) for f in bounds.network.runs}
    short = _shortfalls(bounds, inverts) if answer.gave else ()
    return inverts, short


def _shortfalls(bounds: Bounds, inverts: dict[str, tuple[float, float]]) -> tuple[Shortfall, ...]:
    found: dict[str, Shortfall] = {}
    for flow in bounds.network.runs:
        structure = bounds.structures[flow.upstream]
        pinned = structure.invert_ft is not None or pinned_ft(bounds.runs[flow.id], flow, "up") is not None
        highest = bounds.highest_out_ft(structure, flow.id)
        worst = found.get(structure.id)
        needed = inverts[flow.id][0]
        if not pinned and needed - highest > max(SHORT_FT, worst.short_ft if worst else 0.0):
            found[structure.id] = Shortfall(structure.id, needed, highest)
    return tuple(found.values())


def _program(bounds: Bounds) -> Program:
    gains: dict[str, float] = {}
    rows: list[Row] = []
    width_ft = bounds.job.criteria.trench_width_in / 12
    for flow in bounds.network.runs:
        gains[f"up {flow.id}"] = gains[f"down {flow.id}"] = flow.length_ft * width_ft / 2 + 1e-6
        rows += _slope_rows(bounds, flow) + _cover_rows(bounds, flow) + _joint_rows(bounds, flow)
    for name in {f.upstream for f in bounds.network.runs} | {f.downstream for f in bounds.network.runs}:
        gains[f"at {name}"] = _hole_ft2(bounds.structures[name])
    return Program(
        gains=gains, rows=tuple(rows), fixed=_fixed(bounds), base_ft=float(np.mean(list(bounds.ground.values())))
    )


def _hole_ft2(structure: Structure) -> float:
    """Return the plan area of the hole a structure needs, ft2: a basin's size and 6 in of working room all round."""
    return (((structure.size_in or 12) + 12) / 12) ** 2 if structure.kind == "basin" else 1e-6


def _slope_rows(bounds: Bounds, flow: FlowRun) -> list[Row]:
    up, down = f"up {flow.id}", f"down {flow.id}"
    c = bounds.job.criteria
    return [
        Row(((down, 1.0), (up, -1.0)), -c.min_slope * flow.length_ft, "min slope"),
        Row(((up, 1.0), (down, -1.0)), max(c.max_slope, c.min_slope) * flow.length_ft, "max slope"),
    ]


def _cover_rows(bounds: Bounds, flow: FlowRun) -> list[Row]:
    """Rows that keep the pipe under its cover, at the stations that can bind: the lower convex hull of the ground."""
    profile = bounds.profiles[flow.id]
    taper_ft = bounds.taper_to_ft(flow)
    open_air: tuple[tuple[float, float], ...] = ()
    covered = profile.low
    if taper_ft > 0:
        asked = profile.station_ft >= taper_ft - TOLERANCE_FT
        covered = lower_hull(profile.station_ft[asked], profile.ground_ft[asked])
        open_air = lower_hull(profile.station_ft[~asked], profile.ground_ft[~asked])
    top_ft = bounds.top_ft(flow.id)
    cover_ft = top_ft + bounds.job.criteria.min_cover_in / 12
    rows = []
    for s, ground_ft in covered:
        terms = _at(flow, s)
        rows += [Row(terms, ground_ft - cover_ft, "cover"), Row(terms, ground_ft - top_ft, "ground")]
    # where no cover is asked the pipe may come out, but not hang in the air
    return rows + [Row(_at(flow, s), ground_ft + MAKE_GOOD_FT, "cover") for s, ground_ft in open_air]


def _at(flow: FlowRun, station_ft: float) -> tuple[tuple[str, float], ...]:
    """Return the invert at a station as terms of a row."""
    along = station_ft / flow.length_ft if flow.length_ft else 0.0
    return ((f"up {flow.id}", along), (f"down {flow.id}", 1.0 - along))


def _joint_rows(bounds: Bounds, flow: FlowRun) -> list[Row]:
    """Rows that tie the ends of a run to its structures: pipe leaves at the structure's invert, and enters at or above it.

    Where the run's end is pinned they give rather than break: pins may contradict each other.
    """
    run = bounds.runs[flow.id]
    above, below = bounds.structures[flow.upstream], bounds.structures[flow.downstream]
    up, down, here, there = f"up {flow.id}", f"down {flow.id}", f"at {above.id}", f"at {below.id}"
    rows = [Row(((here, 1.0),), bounds.highest_out_ft(above, flow.id), "ground")]
    rows += _same(up, here, "" if pinned_ft(run, flow, "up") is None else "pin")
    kind = "" if pinned_ft(run, flow, "down") is None else "pin"
    rows += [Row(((there, 1.0), (down, -1.0)), 0.0, kind)]
    if below.kind != "basin" and not (below.kind == "outfall" and below.outfall == "dry well"):
        rows += [Row(((down, 1.0), (there, -1.0)), 0.0, kind)]
    return rows


def _same(a: str, b: str, kind: str) -> list[Row]:
    return [Row(((a, 1.0), (b, -1.0)), 0.0, kind), Row(((b, 1.0), (a, -1.0)), 0.0, kind)]


def pinned_ft(run: Run, flow: FlowRun, end: str) -> float | None:
    """Return the level a run is pinned at, at its 'up' or 'down' end; None when free."""
    return run.start_invert_ft if (end == "up") == flow.drawn_downhill else run.end_invert_ft


def _fixed(bounds: Bounds) -> dict[str, float]:
    fixed: dict[str, float] = {}
    for flow in bounds.network.runs:
        for end in ("up", "down"):
            level = pinned_ft(bounds.runs[flow.id], flow, end)
            if level is not None:
                fixed[f"{end} {flow.id}"] = level
        for name in (flow.upstream, flow.downstream):
            level = fixed_level(bounds.structures[name], bounds.ground[name])
            if level is not None:
                fixed[f"at {name}"] = level
    return fixed


def fixed_level(structure: Structure, ground_ft: float) -> float | None:
    """Return the invert a structure is held at: its pin, or the ground where pipe comes out into the open; None when free."""
    if structure.invert_ft is not None:
        return structure.invert_ft
    opens = structure.kind == "outfall" and (structure.outfall or "daylight") in OPEN_AIR
    return ground_ft if opens else None


def grade(bounds: Bounds, flow: FlowRun, up_ft: float, down_ft: float) -> Grade:
    """Return what the inverts of a run make of its slope, cover and cut, ft."""
    profile = bounds.profiles[flow.id]
    slope = (up_ft - down_ft) / flow.length_ft if flow.length_ft else 0.0
    invert = down_ft + slope * profile.station_ft
    top, below = bounds.top_ft(flow.id), bounds.below_ft(flow.id)
    cover = profile.ground_ft - invert - top
    cut = profile.ground_ft - invert + below
    taper_ft = bounds.taper_to_ft(flow)
    asked = np.flatnonzero(profile.station_ft >= taper_ft - TOLERANCE_FT)
    if not len(asked):
        asked = np.arange(len(cover))
    least, least_asked = int(np.argmin(cover)), int(asked[np.argmin(cover[asked])])
    deepest = int(np.argmax(cut))
    size = bounds.size(flow.id)
    return Grade(
        run_id=flow.id,
        length_ft=flow.length_ft,
        slope=slope,
        invert_up_ft=up_ft,
        invert_down_ft=down_ft,
        inside_in=size.inside_in,
        outside_in=size.outside_in,
        top_above_invert_ft=top,
        bottom_below_invert_ft=below,
        least_cover_ft=float(cover[least]),
        least_cover_station_ft=float(profile.station_ft[least]),
        greatest_cover_ft=float(cover.max()),
        least_cut_ft=float(cut.min()),
        greatest_cut_ft=float(cut[deepest]),
        greatest_cut_station_ft=float(profile.station_ft[deepest]),
        cover_from_station_ft=min(taper_ft, flow.length_ft),
        asked_cover_ft=float(cover[least_asked]),
        asked_cover_station_ft=float(profile.station_ft[least_asked]),
    )
