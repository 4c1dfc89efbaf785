"""Blocks of work: what is opened and closed together, a structure with its hole or a stretch of trench, and its tasks in order."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from drainsketch.job.sections import Fabric
from drainsketch.network.results import Crossing
from drainsketch.takeoff.earth import Earth
from drainsketch.takeoff.workplan.along import Along, Zone, along
from drainsketch.takeoff.workplan.hours import Shared, bed_zones
from drainsketch.takeoff.workplan.results import TaskKind
from drainsketch.takeoff.works import Works

SAME_FT = 1e-6
OF_RUN: tuple[TaskKind, ...] = (
    *("strip", "expose", "dig", "line", "bed", "lay", "check", "stone"),
    *("fabric", "backfill", "topsoil", "other", "turf"),
)
OF_STRUCTURE: tuple[TaskKind, ...] = ("dig", "bed", "set", "stone", "backfill", "topsoil", "other")


class Bit(Struct, frozen=True):
    """A task that is not on a day yet; without hours where the price counts none."""

    kind: TaskKind
    owner: str = ""
    ids: tuple[str, ...] = ()
    hours: float | None = None
    span_ft: tuple[float, float] | None = None
    crossings: tuple[int, ...] = ()


class Line(Struct, frozen=True):
    """A run to be worked from its low end up, in as many stretches as it takes days."""

    run_id: str
    fabric: Fabric
    along: Along
    zones: tuple[Zone, ...]
    crossings: tuple[Crossing, ...]

    def bits(self, from_ft: float, to_ft: float) -> list[Bit]:
        """Return the tasks of a stretch in the order they are done."""
        of = self.along.hours(from_ft, to_ft)
        span = (from_ft, to_ft)
        met = [c for c in self.crossings if from_ft - SAME_FT <= c.station_ft <= to_ft + SAME_FT]
        if self.along.high_ft - self.along.low_ft <= SAME_FT:  # nothing but hole
            of = {kind: float(done[-1]) for kind, done in self.along.done.items()}
            met = list(self.crossings)
        by_hand = of.get("expose", 0.0)
        done: list[TaskKind] = ["strip", "check", "turf"]  # whether hours are counted for them or not
        done += ["expose"] if met or by_hand > 0 else []
        done += ["fabric"] if self.fabric != "none" else []
        done += ["line"] if self.fabric == "round the stone" else []
        found = []
        for kind in OF_RUN:
            hours = of.get(kind)
            if hours or kind in done:
                flags = tuple(c.number for c in met) if kind == "expose" else ()
                ids = (self.run_id, *dict.fromkeys(c.other for c in met)) if kind == "expose" else (self.run_id,)
                found.append(Bit(kind, self.run_id, ids, hours or None, span, flags))
        return found

    def hours(self, from_ft: float, to_ft: float) -> float:
        """Return the crew hours of a stretch."""
        return sum(bit.hours or 0.0 for bit in self.bits(from_ft, to_ft))


class Spot(Struct, frozen=True):
    """A structure with its hole, whole."""

    structure_id: str
    bits: tuple[Bit, ...]
    has_hole: bool

    @property
    def hours(self) -> float:
        """Return its crew hours."""
        return sum(bit.hours or 0.0 for bit in self.bits)


def blocks_of(
    works: Works, earth: Earth, order: Sequence[str], crossings: Sequence[Crossing], shared: Shared
) -> tuple[list[Line | Spot], dict[str, float]]:
    """Return the blocks in the order they are worked, and the hours of what cannot be planned, by run and structure.

    A run is planned where a grade is known, a basin and a dry well where their hole is, any other structure where a run that is
    planned ends.
    """
    runs = {r.work.run.id: r for r in earth.runs}
    holes = {h.structure_id for h in earth.holes} | {p.structure_id for p in earth.pits}
    ends = {end for r in earth.runs if r.work.run.id in order for end in (r.work.upstream, r.work.downstream)}
    found: list[Line | Spot] = []
    left = {owner: sum(of.values()) for owner, of in shared.hours.items() if owner}
    for name in order:
        structure, run = works.structures.get(name), runs.get(name)
        of = shared.hours.get(name, {})
        if run is not None:
            its = tuple(c for c in crossings if c.run_id == name and c.other_kind != "run")
            zones = run.work.by_hand
            items = shared.items.get(name, {})
            beds = bed_zones(works, run) if "turf" in items else ()
            inside_ft = earth.inside_ft(run.work)
            laid = along(run, inside_ft, of, zones, by_foot=name in shared.by_foot, items=items, beds=beds)
            fabric: Fabric = works.job.sections.fabric if run.work.run.use == "drain" else "none"
            found.append(Line(name, fabric, laid, zones, its))
        elif structure is not None and (name in holes or (name in ends and not _needs_hole(works, name))):
            found.append(_spot(name, of, has_hole=name in holes))
        else:
            continue
        left.pop(name, None)
    return found, {owner: hours for owner, hours in left.items() if hours > 0}


def _needs_hole(works: Works, name: str) -> bool:
    structure = works.structures[name]
    return structure.kind == "basin" or structure.outfall == "dry well"


def _spot(name: str, of: Mapping[TaskKind, float], *, has_hole: bool) -> Spot:
    bits = tuple(Bit(kind, name, (name,), of[kind]) for kind in OF_STRUCTURE if of.get(kind))
    return Spot(name, bits, has_hole)
