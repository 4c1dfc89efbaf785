"""Digging: the hours it takes, run by run and hole by hole, by the tool of the job and by hand beside services."""

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from drainsketch.job.price_book import Lookup, PriceRow, to_depth_ft
from drainsketch.job.price_terms import PriceTerms, Soil, Tool
from drainsketch.takeoff.earth import Earth, Hole
from drainsketch.takeoff.pits import PitHole
from drainsketch.takeoff.price.depths import SLACK_FT, DugAt, dug_by_depth
from drainsketch.takeoff.price.labor import Wages, hours_line
from drainsketch.takeoff.price.results import Params, PricedLine, Why
from drainsketch.takeoff.trench import FT3_PER_YD3
from drainsketch.takeoff.works import Works

RATES: dict[Tool, str] = {"hand": "dig_hand", "trencher": "dig_trencher", "mini-excavator": "dig_mini_excavator"}
ONLY_TRENCHES: Tool = "trencher"  # leaves holes to the spade


class _Digger(Struct, frozen=True):
    """A tool in a soil with its production rates, the shallowest first."""

    tool: Tool
    soil: Soil
    rates: tuple[PriceRow, ...]

    @property
    def limits_ft(self) -> list[float]:
        return [to_depth_ft(rate) for rate in self.rates]

    @property
    def asks(self) -> str:
        """Return the cells of the row that would tell how fast it digs what its rates do not reach."""
        deeper = f", second > {self.rates[-1].second}" if self.rates else ""
        return f"{RATES[self.tool]}, of {self.soil}{deeper}"


def digging(works: Works, earth: Earth, book: Lookup, terms: PriceTerms, wages: Wages) -> list[PricedLine]:
    """Return the labor of digging: runs and holes of basins and dry wells, what lies beside services by hand, and what has no depth yet."""
    machine, hand, holes = (
        _Digger(tool, terms.soil, book.rates(RATES[tool], terms.soil))
        for tool in (terms.tool, "hand", "hand" if terms.tool == ONLY_TRENCHES else terms.tool)
    )
    lines = []
    for run in earth.runs:
        name, zones = run.work.run.id, run.work.by_hand
        for digger, item, inside in ((machine, "dig_run", False), (hand, "dig_run_by_hand", True)):
            dug = dug_by_depth(run, earth.inside_ft(run.work), digger.limits_ft, zones, in_zones=inside)
            lines += _line(item, (("run", name), ("tool", digger.tool)), (name,), dug, digger, wages)
    kinds: tuple[tuple[str, Sequence[Hole | PitHole]], ...] = (
        ("dig_holes", earth.holes),
        ("dig_dry_wells", earth.pits),
    )
    for item, dug_out in kinds:
        for digger, some in _by_digger(dug_out, works.holes_by_hand, holes, hand):
            lines += _line(item, (("tool", digger.tool),), *_holes(some, digger), digger, wages)
    return lines + _without_depth(works, earth)


def _by_digger(
    holes: Sequence[Hole | PitHole], by_hand: frozenset[str], machine: _Digger, hand: _Digger
) -> list[tuple[_Digger, list[Hole | PitHole]]]:
    """Return who digs which holes: beside a service a hole is dug by hand, whole."""
    near = [h for h in holes if h.structure_id in by_hand]
    if machine.tool == "hand" or not near:
        return [(machine, list(holes))]
    return [(machine, [h for h in holes if h.structure_id not in by_hand]), (hand, near)]


def _holes(holes: Sequence[Hole | PitHole], digger: _Digger) -> tuple[tuple[str, ...], list[DugAt]]:
    """Return whose holes are dug, and what is dug of them by class of depth: a hole belongs to one whole."""
    limits = digger.limits_ft
    volume_ft3 = [0.0] * (len(limits) + 1)
    for hole in holes:
        volume_ft3[sum(hole.depth_ft > limit + SLACK_FT for limit in limits)] += hole.dug_ft3
    return tuple(h.structure_id for h in holes), [DugAt(0.0, v) for v in volume_ft3]


def _line(
    item: str, params: Params, owners: tuple[str, ...], dug: Sequence[DugAt], digger: _Digger, wages: Wages
) -> list[PricedLine]:
    """Return the hours that a tool takes for what is dug by class of depth, the last class being deeper than its rates."""
    if sum(d.volume_ft3 for d in dug) <= 1e-9:
        return []
    hours, how, used = 0.0, [], []
    for d, rate in zip(dug, digger.rates, strict=False):
        if d.volume_ft3 > 1e-9:
            assert rate.per_hour is not None
            amount = d.length_ft if rate.unit == "ft" else d.volume_ft3 / FT3_PER_YD3
            took = amount / float(rate.per_hour)
            said = f"{amount:.2f} ft" if rate.unit == "ft" else f"{d.volume_ft3:.1f} ft3 / 27 = {amount:.2f} yd3"
            depth = f"to {rate.second} ft deep" if rate.second else "any depth"
            how.append(f"{depth} {said}, / {rate.per_hour:f} {rate.unit} per hour = {took:.3f} h")
            hours += took
            used.append(rate)
    if len(how) > 1:
        how.append(f"together {hours:.3f} h")
    why: Why = "" if dug[-1].volume_ft3 <= 1e-9 else "too_deep" if digger.rates else "no_rate"
    line = hours_line(
        item,
        hours,
        wages,
        how,
        params=params,
        owners=owners,
        rates=used,
        crew=digger.tool != "hand",
        why=why,
        lacks=(RATES[digger.tool], digger.soil, "", "") if why else None,
    )
    return [replace(line, asks=digger.asks) if why else line]


def _without_depth(works: Works, earth: Earth) -> list[PricedLine]:
    """Return a line without an amount for each run, basin and dry well whose depth nobody knows: digging, stone and spoil are not counted."""
    dug = {r.work.run.id for r in earth.runs}
    dug |= {h.structure_id for h in earth.holes} | {p.structure_id for p in earth.pits}
    runs = [("run_without_depth", "run", w.run.id) for w in works.runs]
    basins = [("basin_without_depth", "structure", s.id) for s in works.job.structures if s.kind == "basin"]
    wells = [("pit_without_depth", "structure", s.id) for s in works.job.structures if s.outfall == "dry well"]
    return [
        PricedLine(
            item=item,
            params=((param, name),),
            group="labor",
            quantity=None,
            unit="hour",
            unit_price=None,
            amount=None,
            owners=(name,),
            why="no_depth",
        )
        for item, param, name in (*runs, *basins, *wells)
        if name not in dug
    ]


def machine_hours(lines: Sequence[PricedLine]) -> Decimal:
    """Return the hours that the machine of the job digs."""
    return sum((line.quantity or Decimal(0) for line in lines if line.unit == "crew_hour"), Decimal(0))
