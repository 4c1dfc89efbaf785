"""Earth: what is dug along every run, round every basin and for every dry well, once for all the lines that need it."""

from msgspec import Struct

from drainsketch.network.digging import trench_width_ft
from drainsketch.resources import table
from drainsketch.takeoff.corners import corners_ft
from drainsketch.takeoff.cover import Paved, Paving, Stretch, layers_of
from drainsketch.takeoff.pits import PitHole, pit_holes
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.sweep import Dug, Swept, sweep, width_ft
from drainsketch.takeoff.works import RunWork, Works


class RunEarth(Struct, frozen=True):
    """A run's trench outside the holes of basins and dry wells, and outside the corners that belong to other trenches."""

    work: RunWork
    width_ft: float
    swept: Swept
    stretches: tuple[Stretch, ...] = ()  # under paving
    extent_ft: float = 0.0  # from hole or corner to hole or corner, dug or not

    @property
    def dug_ft(self) -> float:
        """Return the length in plan over which it is open, ft."""
        return self.swept.dug_ft

    @property
    def bare_ft(self) -> float:
        """Return how much of that length is not under paving, ft."""
        return self.swept.dug_ft - self.swept.paved_ft

    @property
    def cut_ft2(self) -> float:
        """Return the area from ground to trench bottom, seen from the side, ft2."""
        return self.swept.cut_ft2

    @property
    def stone_ft2(self) -> float:
        """Return the area of stone, pipe included, seen from the side, ft2."""
        return self.swept.stone_ft2

    @property
    def trench_ft3(self) -> float:
        """Return the volume of earth dug, ft3: paving that is broken out or lifted is not in it."""
        return (self.swept.cut_ft2 - self.swept.not_earth_ft2) * self.width_ft

    @property
    def stone_ft3(self) -> float:
        """Return the room for stone, pipe included, ft3."""
        return self.swept.stone_ft2 * self.width_ft

    @property
    def cap_ft3(self) -> float:
        """Return the topsoil over the stone of a drain, ft3."""
        return self.swept.topsoil_ft2 * self.width_ft

    @property
    def base_ft3(self) -> float:
        """Return the base course under paving, ft3."""
        return self.swept.base_ft2 * self.width_ft

    @property
    def pipe_ft3(self) -> float:
        """Return the outside of the pipe that lies in the fill of the trench, stone or earth, ft3."""
        return self.swept.pipe_ft3

    @property
    def stone_pipe_ft3(self) -> float:
        """Return the outside of the pipe that lies in stone, ft3."""
        return self.swept.stone_pipe_ft3

    @property
    def back_ft3(self) -> float:
        """Return the earth that goes back into the trench, as it lay in the bank, ft3."""
        s = self.swept
        return (s.fill_ft2 - s.stone_ft2) * self.width_ft - (s.pipe_ft3 - s.stone_pipe_ft3)

    @property
    def gone_ft3(self) -> float:
        """Return the earth that comes out and does not go back, ft3."""
        return max(0.0, self.trench_ft3 - self.back_ft3)


class Hole(Struct, frozen=True):
    """The square hole a basin stands in."""

    structure_id: str
    stack: Stack
    size_in: int
    side_ft: float
    depth_ft: float
    body_ft3: float  # of the basin, below ground
    bed_ft3: float
    paved: Paved | None = None  # what the ground there is paved with
    base_ft: float = 0.0  # of the base course round the basin
    not_earth_ft: float = 0.0  # of paving that is broken out or lifted before anyone digs
    ring_ft: float = 0.0  # from the bed up to the base course, or up to the ground
    in_stone: bool = False  # the ring is filled with stone

    @property
    def dug_ft3(self) -> float:
        """Return the volume of earth dug, ft3."""
        return self.side_ft**2 * (self.depth_ft - self.not_earth_ft)

    @property
    def ring_ft2(self) -> float:
        """Return the area round the basin in plan, ft2."""
        return self.side_ft**2 - (self.size_in / 12) ** 2

    @property
    def stone_ft3(self) -> float:
        """Return the stone round the basin, ft3; its bed is not in it."""
        return self.ring_ft2 * self.ring_ft if self.in_stone else 0.0

    @property
    def base_ft3(self) -> float:
        """Return the base course round the basin, ft3."""
        return self.ring_ft2 * self.base_ft

    @property
    def back_ft3(self) -> float:
        """Return the earth that goes back round the basin, as it lay in the bank, ft3."""
        return 0.0 if self.in_stone else self.ring_ft2 * self.ring_ft

    @property
    def gone_ft3(self) -> float:
        """Return the earth that comes out and does not go back, ft3."""
        return max(0.0, self.dug_ft3 - self.back_ft3)


class Earth(Struct, frozen=True):
    """All that is dug, in job order. ``corners`` is how far a trench begins from the middle of a joint, ft, by run and structure."""

    runs: tuple[RunEarth, ...]
    holes: tuple[Hole, ...]
    pits: tuple[PitHole, ...] = ()
    corners: dict[tuple[str, str], float] = {}

    def inside_ft(self, work: RunWork) -> dict[str, float]:
        """Return how far a run lies within the holes and foreign corners at its ends, ft, by structure id; no entry where it does not."""
        return _inside_ft(work, {h.structure_id: h.side_ft / 2 for h in self.holes}, self.pits, self.corners)

    def of_use(self, use: str) -> list[RunEarth]:
        """Return the runs of one use whose trench is open anywhere."""
        return [r for r in self.runs if r.work.run.use == use and r.cut_ft2 > 0]


def earth(works: Works, stood: dict[str, Stack]) -> Earth:
    """Return what is dug. Runs without a grade and basins without levels are left out.

    The trench is counted from hole to hole; a hole is as wide as the basin and 12 in, or as its widest trench, and as deep as
    the basin's bed or its deepest trench, whichever is more, and the pit of a dry well is as large as it is given. Where trenches
    meet, the deepest has the corner (``corners_ft``): so no earth is counted twice.
    """
    job = works.job
    paving = Paving(job.obstacles, job.sections)
    holes, pits = _holes(works, stood, paving), pit_holes(works, paving)
    corners = corners_ft(works, {h.structure_id for h in holes} | {p.structure_id for p in pits})
    halves = {h.structure_id: h.side_ft / 2 for h in holes}
    dug = []
    for w in works.runs:
        if w.profile is not None and w.grade is not None:
            inside = _inside_ft(w, halves, pits, corners)
            to_ft = w.plan_ft - inside.get(w.upstream, 0.0)
            under = paving.stretches(w.points[::-1])
            dug.append(Dug(w, w.profile, w.grade, inside.get(w.downstream, 0.0), to_ft, under))
    swept = sweep(job, dug)
    runs = [
        RunEarth(d.work, width_ft(job, d.grade), s, d.stretches, max(0.0, d.to_ft - d.from_ft))
        for d, s in zip(dug, swept, strict=True)
    ]
    return Earth(tuple(runs), holes, pits, corners)


def _inside_ft(
    work: RunWork,
    half_hole_ft: dict[str, float],
    pits: tuple[PitHole, ...],
    corners: dict[tuple[str, str], float],
) -> dict[str, float]:
    ends = ((work.downstream, work.points[::-1]), (work.upstream, work.points))
    found = {end: half_hole_ft[end] for end, _ in ends if end in half_hole_ft}
    found |= {end: corners[work.run.id, end] for end, _ in ends if (work.run.id, end) in corners}
    for hole in pits:
        found |= {end: hole.pit.inside_ft(points) for end, points in ends if end == hole.structure_id}
    return found


def _holes(works: Works, stood: dict[str, Stack], paving: Paving) -> tuple[Hole, ...]:
    c, sections, stock = works.job.criteria, works.job.sections, table("catalogue/stock.toml")["basin"]
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
        paved = paving.at(works.structures[name].point)
        layers = layers_of(paved, sections) if paved is not None else None
        over_ft = min(body_ft, layers.over_fill_ft) if layers is not None else 0.0
        surfacing_ft = min(body_ft, layers.surfacing_ft) if layers is not None else 0.0
        found.append(
            Hole(
                structure_id=name,
                stack=stack,
                size_in=size_in,
                side_ft=side_ft,
                depth_ft=depth_ft,
                body_ft3=(size_in / 12) ** 2 * body_ft,
                bed_ft3=side_ft**2 * (depth_ft - body_ft),
                paved=paved,
                base_ft=over_ft - surfacing_ft,
                not_earth_ft=min(body_ft, layers.not_earth_ft) if layers is not None else 0.0,
                ring_ft=body_ft - over_ft,
                in_stone=paved is not None and sections.paved_fill == "stone",
            )
        )
    return tuple(found)
