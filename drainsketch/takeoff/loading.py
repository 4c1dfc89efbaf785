"""What goes on the truck: the goods of the takeoff by where they are loaded, then tools and safety kit by what the job has."""

from collections.abc import Callable, Iterable
from typing import Literal

from msgspec import Struct

from drainsketch.network.digging import LADDER_FT, SHORING_FT
from drainsketch.network.downhill import SLACK_FT
from drainsketch.network.pits import pits_of
from drainsketch.network.results import Crossing
from drainsketch.takeoff.results import TakeoffLine
from drainsketch.takeoff.stacks import Stack
from drainsketch.takeoff.trench_sections import trench_sections
from drainsketch.takeoff.works import Works

Place = Literal["pipe rack", "fittings box", "basins", "rolls and bags", "delivered", "hauled off", "tools", "safety"]
PLACES: tuple[Place, ...] = (
    *("pipe rack", "fittings box", "basins", "rolls and bags", "delivered", "hauled off"),
    *("tools", "safety"),
)
BY_GROUP: dict[str, Place] = {"pipe": "pipe rack", "fittings": "fittings box", "structures": "basins"}
DELIVERED = ("stone_", "topsoil", "base_course", "asphalt", "concrete", "paver_sand", "gravel", "mulch", "splash_stone")
STOCKED = ("sticks_", "coils_")  # counts of lengths, that stand for the feet of pipe they are cut from
ROLLED = ("marking_tape", "fabric")
HAULED = ("spoil_loads", "paving_rubble")
NOT_LOADED = (
    "backfill",
    *("spoil_bank", "spoil_loose", "spoil_left", "spoil_spread", "spoil_room"),
    "lawn_left",
    "saw_cut",
    "paving_unknown",
)  # no goods, spoil that stays, or what is hauled off said once more
LAWN = ("sod", "lawn_seed", "lawn_left")
GLUED = ("sdr35", "sch40")


class Load(Struct, frozen=True):
    """A line of the loading list: a line of the takeoff, or a tool by its name, with the crossings it is needed for."""

    place: Place
    name: str
    line: TakeoffLine | None = None
    crossings: tuple[int, ...] = ()

    @property
    def quantity(self) -> float | None:
        """Return how many or how much is loaded: what is bought, where that is known, or else what is counted."""
        if self.line is None:
            return None
        return self.line.quantity if self.line.buy is None else self.line.buy

    @property
    def unit(self) -> str:
        """Return the unit of the quantity; '' of a tool."""
        if self.line is None:
            return ""
        return self.line.unit if self.line.buy is None else self.line.buy_unit or self.line.unit


class Yard(Struct, frozen=True):
    """What decides which tools a job needs."""

    by_level: bool
    by_string: bool
    services: bool
    by_hand: bool  # somewhere beside a service
    crossed: tuple[int, ...]  # crossings of services
    sawing: bool
    breaking: bool
    paving: bool
    backfill: bool
    lawn: bool
    stone: bool
    fabric: bool
    basins: bool
    glued: bool
    deepest_ft: float


Needed = Callable[[Yard], bool]
TOOLS: tuple[tuple[str, Place, Needed], ...] = (
    ("level", "tools", lambda y: y.by_level),
    ("string", "tools", lambda y: y.by_string),
    ("tape", "tools", lambda _: True),
    ("paint", "tools", lambda _: True),
    ("locator", "tools", lambda y: y.services),
    ("spades", "tools", lambda y: y.by_hand),
    ("shovels", "tools", lambda _: True),
    ("machine", "tools", lambda _: True),
    ("paving_saw", "tools", lambda y: y.sawing),
    ("breaker", "tools", lambda y: y.breaking),
    ("pipe_saw", "tools", lambda _: True),
    ("solvent", "tools", lambda y: y.glued),
    ("hole_saw", "tools", lambda y: y.basins),
    ("tamper", "tools", lambda y: y.backfill or y.paving),
    ("knife", "tools", lambda y: y.fabric),
    ("barrow", "tools", lambda y: y.stone),
    ("tarps", "tools", lambda _: True),
    ("sod_cutter", "tools", lambda y: y.lawn),
    ("plan", "safety", lambda _: True),
    ("barricades", "safety", lambda _: True),
    ("ladder", "safety", lambda y: y.deepest_ft > LADDER_FT - SLACK_FT),
    ("shoring", "safety", lambda y: y.deepest_ft > SHORING_FT - SLACK_FT),
    ("gear", "safety", lambda _: True),
    ("dust", "safety", lambda y: y.sawing),
    ("first_aid", "safety", lambda _: True),
)


def load_list(
    works: Works, stood: dict[str, Stack], lines: Iterable[TakeoffLine], crossings: Iterable[Crossing]
) -> tuple[Load, ...]:
    """Return the loading list, in the order of ``PLACES``.

    Parameters
    ----------
    works, stood : the job laid out for counting, and the stack of every basin
    lines : the takeoff
    crossings : what the runs cross; a service there is dug out by hand

    Which tool goes with what: common practice, no source; a ladder from 4 ft and protection from 5 ft by 29 CFR 1926.651(c)(2) and
    652(a)(1). Check: tests/takeoff/test_loading.py
    """
    counted = tuple(lines)
    stocked = {key for line in counted if line.item.startswith(STOCKED) for key in [_pipe(line)]}
    found = [
        Load(place, line.item, line)
        for line in counted
        if (place := _place(line)) is not None and not (line.item.startswith("pipe_") and _pipe(line) in stocked)
    ]
    yard = _yard(works, stood, {line.item for line in counted}, crossings)
    found += [
        Load(place, name, crossings=yard.crossed if name == "spades" else ())
        for name, place, need in TOOLS
        if need(yard)
    ]
    return tuple(sorted(found, key=lambda load: PLACES.index(load.place)))


def _place(line: TakeoffLine) -> Place | None:
    if line.group == "trench" or line.item.startswith(NOT_LOADED):
        return None
    if line.item.startswith(HAULED):
        return "hauled off"
    if line.item.startswith(DELIVERED):
        return "delivered"
    if line.item.startswith(ROLLED):
        return "rolls and bags"
    return BY_GROUP.get(line.group, "rolls and bags")


def _pipe(line: TakeoffLine) -> tuple[str, object, object]:
    """Return use, kind and size of the pipe that a line counts."""
    params = dict(line.params)
    return line.item.rpartition("_")[2], params.get("pipe"), params.get("diameter_in")


def _yard(works: Works, stood: dict[str, Stack], items: set[str], crossings: Iterable[Crossing]) -> Yard:
    job, sections, pits = works.job, trench_sections(works), pits_of(works.job, works.levels)
    by_string = job.laying.instrument == "string line"
    deep = [s.greatest_cut_ft for s in sections]
    deep += [works.levels[name].ground_ft - stack.dig_to_ft for name, stack in stood.items()]
    deep += [pit.dug_ft for pit in pits.values() if pit.dug_ft is not None]
    stony = any(r.use == "drain" for r in job.runs) or bool(pits)
    return Yard(
        by_level=not by_string,
        by_string=by_string,
        services=bool(job.services),
        by_hand=bool(works.holes_by_hand) or any(w.by_hand for w in works.runs),
        crossed=tuple(c.number for c in crossings if c.other_kind != "run"),
        sawing="saw_cut" in items,
        breaking="paving_rubble" in items,
        paving=any(s.surface != "lawn" for s in sections),
        backfill=any(r.use == "solid" for r in job.runs) or bool(stood),
        lawn=not items.isdisjoint(LAWN),
        stone=any(item.startswith(DELIVERED) for item in items),
        fabric=stony and job.sections.fabric != "none",
        basins=any(s.kind == "basin" for s in job.structures),
        glued=any(r.pipe in GLUED for r in job.runs),
        deepest_ft=max(deep, default=0.0),
    )
