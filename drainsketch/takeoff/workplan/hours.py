"""Hours: the labor of a price shared out to the runs and structures it was counted from, in hours of the crew."""

from collections.abc import Mapping, Sequence

import shapely
from msgspec import Struct

from drainsketch.network.shapes import lines_in, shape_of
from drainsketch.takeoff.cover import BROKEN_OUT, Paved
from drainsketch.takeoff.earth import Earth, RunEarth
from drainsketch.takeoff.goods import fabric_ft2
from drainsketch.takeoff.price.results import PricedLine
from drainsketch.takeoff.surfaces import opened
from drainsketch.takeoff.workplan.results import TaskKind
from drainsketch.takeoff.works import Works

Hours = dict[str, dict[TaskKind, float]]  # by run or structure; '' where the price names none
KINDS: dict[str, TaskKind] = {
    "dig_run": "dig",
    "dig_run_by_hand": "expose",
    "dig_holes": "dig",
    "dig_dry_wells": "dig",
    "lay_pipe": "lay",
    "set_basin": "set",
    "set_piece": "set",
    "place_stone": "stone",
    "spread_topsoil": "topsoil",
    "spread_spoil": "spread",
    "backfill": "backfill",
    "saw_cutting": "strip",
    "break_out": "strip",
    "lay_fabric": "fabric",
    "lay_sod": "turf",
    "seed_lawn": "turf",
    "spread_mulch": "turf",
}
UNDER: dict[str, tuple[Paved, ...]] = {  # which paving each task is done at; nothing where it is done at all of it
    "saw_cutting": BROKEN_OUT,
    "break_out": BROKEN_OUT,
    "place_base": (),
    "patch_asphalt": ("asphalt",),
    "patch_concrete": ("concrete",),
    "relay_pavers": ("brick",),
    "spread_gravel": ("gravel",),
}
LAWN = ("lay_sod", "seed_lawn")
PLACED: tuple[TaskKind, ...] = ("strip", "other", "turf")  # done at some places along a run and not at others
OF_RUNS: tuple[TaskKind, ...] = ("strip", "fabric", "turf")  # along trenches; round a basin they are other work


class Shared(Struct, frozen=True):
    """Crew hours by owner and task, of what lies at some places along a run by item too, and which runs are dug by the foot."""

    hours: Hours
    by_foot: frozenset[str]
    items: dict[str, dict[TaskKind, dict[str, float]]] = {}

    @property
    def total(self) -> float:
        """Return all of them."""
        return sum(sum(some.values()) for some in self.hours.values())


def shared_hours(works: Works, earth: Earth, labor: Sequence[PricedLine], crew: int) -> Shared:
    """Return the hours of every labor line by owner.

    A line of several owners is shared by what each was counted for: pipe by its length, holes, stone, topsoil and backfill by volume,
    basins and pieces alike; paving by its length over the trench. An hour of one worker is 1 / crew of an hour of the crew; beside a machine all of them are busy.

    Parameters
    ----------
    labor : lines of a price; those that are no hours are left out
    crew : workers (1 or more)
    """
    weights, runs = _weights(works, earth), {w.run.id for w in works.runs}
    known = {r.work.run.id for r in earth.runs} | {w.run.id for w in works.runs} | set(works.structures)
    hours: Hours = {}
    items: dict[str, dict[TaskKind, dict[str, float]]] = {}
    by_foot = set()
    for line in labor:
        if line.unit not in ("hour", "crew_hour") or not line.quantity:
            continue
        crew_hours = float(line.quantity) / (1 if line.unit == "crew_hour" else crew)
        kind = KINDS.get(line.item, "other")
        if dict(line.params).get("tool") == "trencher" and kind == "dig":
            by_foot |= set(line.owners)
        owners = tuple(dict.fromkeys(o if o in known else "" for o in line.owners)) or ("",)
        for owner, share in _shares(owners, weights.get(line.item, {})).items():
            of = hours.setdefault(owner, {})
            here = "other" if kind in OF_RUNS and owner not in runs and (owner or kind != "turf") else kind
            of[here] = of.get(here, 0.0) + crew_hours * share
            if here in PLACED:
                there = items.setdefault(owner, {}).setdefault(here, {})
                there[line.item] = there.get(line.item, 0.0) + crew_hours * share
    _part_beds(hours, works, earth)
    return Shared(hours, frozenset(by_foot), items)


def gone_ft3(earth: Earth) -> dict[str, float]:
    """Return what is dug and does not go back, ft3 in the bank, by run and structure; all of it is the spoil of the takeoff."""
    found = {r.work.run.id: r.gone_ft3 for r in earth.runs if r.cut_ft2 > 0}
    found |= {h.structure_id: h.gone_ft3 for h in earth.holes}
    return found | {p.structure_id: p.gone_ft3 for p in earth.pits}


def _weights(works: Works, earth: Earth) -> dict[str, dict[str, float]]:
    drains = [r for r in earth.runs if r.work.run.use == "drain"]
    gone = gone_ft3(earth)
    dug = {r.work.run.id: r.trench_ft3 for r in earth.runs}
    dug |= {h.structure_id: h.dug_ft3 for h in earth.holes} | {p.structure_id: p.dug_ft3 for p in earth.pits}
    stone = {r.work.run.id: r.stone_ft3 - r.stone_pipe_ft3 for r in earth.runs}
    stone |= {h.structure_id: h.bed_ft3 + h.stone_ft3 for h in earth.holes} | {
        p.structure_id: p.stone_ft3 for p in earth.pits
    }
    cap = {r.work.run.id: r.cap_ft3 for r in drains} | {p.structure_id: p.cap_ft3 for p in earth.pits}
    return {
        "dig_holes": dug,
        "dig_dry_wells": dug,
        "lay_pipe": {w.run.id: w.pipe_ft for w in works.runs},
        "place_stone": stone,
        "spread_topsoil": cap,
        "spread_mulch": {r.work.run.id: sum(b - a for a, b in bed_zones(works, r)) for r in earth.runs},
        **{item: {r.work.run.id: _under_ft(r, paved) for r in earth.runs} for item, paved in UNDER.items()},
        "lay_fabric": fabric_ft2(works, earth),
        **dict.fromkeys(LAWN, _turf_ft2(works, earth)),
        "backfill": {owner: volume - gone.get(owner, 0.0) for owner, volume in dug.items()},
    }


def _turf_ft2(works: Works, earth: Earth) -> dict[str, float]:
    """Return the lawn that is put back, ft2, by run; that on fill areas under ''."""
    top = opened(works, earth)
    filled_ft2 = sum(ft2 for _, ft2 in top.filled)
    open_ft = sum(r.bare_ft for r in earth.runs)
    each = (top.lawn_ft2 - filled_ft2) / open_ft if open_ft > 0 else 0.0
    return {r.work.run.id: r.bare_ft * each for r in earth.runs} | {"": filled_ft2}


def bed_zones(works: Works, run: RunEarth) -> list[tuple[float, float]]:
    """Return the stretches of a run that lie in planting beds, stations, ft; the middle of the trench counts."""
    beds = [shape_of(o) for o in works.job.obstacles if o.kind == "bed"]
    if not beds or len(run.work.points) < 2:
        return []
    line = shapely.LineString(run.work.points[::-1])  # station 0 is downstream
    parts = lines_in(line.intersection(shapely.union_all(beds)))
    return [
        (min(ends), max(ends)) for p in parts for ends in [[line.project(shapely.Point(p.coords[i])) for i in (0, -1)]]
    ]


def _under_ft(run: RunEarth, paved: Sequence[Paved]) -> float:
    """Return how much of a run lies under some kinds of paving, ft."""
    return sum(s.to_ft - s.from_ft for s in run.stretches if not paved or s.paved in paved)


def _shares(owners: Sequence[str], weights: Mapping[str, float]) -> dict[str, float]:
    """Return the share of each owner; equal ones where nothing tells them apart."""
    of = {owner: max(0.0, weights.get(owner, 0.0)) for owner in owners}
    total = sum(of.values())
    if total <= 1e-9:
        return dict.fromkeys(of, 1 / len(of))
    return {owner: weight / total for owner, weight in of.items() if weight > 0}


def _part_beds(hours: Hours, works: Works, earth: Earth) -> None:
    """Part the bed from the stone over it: in a trench by thickness, at a basin by volume."""
    bed_in = {"drain": works.job.criteria.stone_bed_in, "solid": works.job.sections.solid_bed_in}
    beds = {r.work.run.id: _bed_share(r, bed_in[r.work.run.use] / 12) for r in earth.runs}
    beds |= {h.structure_id: h.bed_ft3 / (h.bed_ft3 + h.stone_ft3) if h.bed_ft3 > 0 else 1.0 for h in earth.holes}
    for owner, share in beds.items():
        of = hours.get(owner, {})
        if "stone" in of and share > 0:
            of["bed"] = of["stone"] * share
            of["stone"] -= of["bed"]
            if share >= 1:
                del of["stone"]


def _bed_share(run: RunEarth, bed_ft: float) -> float:
    stone_ft3 = run.stone_ft3 - run.stone_pipe_ft3
    return min(1.0, bed_ft * run.width_ft * run.dug_ft / stone_ft3) if stone_ft3 > 0 else 0.0
